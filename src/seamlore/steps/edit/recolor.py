"""Other colors and values for the same block or quilt."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace

from seamlore.draft.block import VALUES, Block, Value
from seamlore.draft.layout import lay
from seamlore.draft.quilt import Quilt
from seamlore.draft.recolor import VALUE_GRAYS, by_value, exchanged, with_values
from seamlore.drawing.shapes import Color
from seamlore.errors import UnknownNameError, nearest
from seamlore.pictures.palette import quilt_cloths
from seamlore.steps.words import color, pair


def colors(given: Block | Quilt, said: Sequence[str]) -> dict[str, Color]:
    """Read colors for places, or for what else has a fabric: "A=madder", "sashing=#e6d6aa", "border 1=indigo".

    Parameters
    ----------
    given : Block or Quilt
        What is to be colored.
    said : sequence of str

    Raises
    ------
    UnknownNameError
        When there is no such place or color.

    Examples
    --------
    >>> from seamlore.draft.catalogue import find
    >>> colors(find("shoo fly"), ["A=#ffffff"])
    {'A': '#ffffff'}
    >>> colors(find("shoo fly"), ["Q=red"])
    Traceback (most recent call last):
        ...
    seamlore.errors.UnknownNameError: --color: "Q": nothing here is called that; choose one of: A, B
    """
    known = set(given.places)
    if isinstance(given, Quilt):
        known |= {*quilt_cloths(given), *given.fabrics.values(), *map(given.fabric_of, given.places)}
        known |= {side.fabric for border in given.borders for side in border.sides}
    found = {}
    for text in said:
        key, name = pair(text, "--color")
        for each in _keys_meant(given, key):
            _check_key(each, known, "--color")
            found[each] = color(name, where="--color")
    return found


def _keys_meant(given: Block | Quilt, said: str) -> tuple[str, ...]:
    """A letter alone stands for that letter of every kind of block that has it."""
    if isinstance(given, Quilt) and said not in given.places:
        kinds = [kind for kind in given.kinds if said in kind.block.places]
        return tuple(given.key(kind, said) for kind in kinds) or (said,)
    return (said,)


def _check_key(key: str, known: set[str], where: str) -> None:
    if key not in known:
        raise UnknownNameError(f'"{key}"', "nothing here is called that", nearest(key, known), where=where)


def values(given: Block | Quilt, said: Sequence[str]) -> dict[str, Value]:
    """Read values for places, or for what else has a fabric: "A=light", "sashing=medium".

    Raises
    ------
    UnknownNameError
        When there is no such place or value.

    Examples
    --------
    >>> from seamlore.draft.catalogue import find
    >>> values(find("shoo fly"), ["A=dark"])
    {'A': 'dark'}
    """
    known = set(given.places) | (set(quilt_cloths(given)) if isinstance(given, Quilt) else set())
    found: dict[str, Value] = {}
    for text in said:
        key, name = pair(text, "--value")
        for each in _keys_meant(given, key):
            _check_key(each, known, "--value")
        if name not in VALUES:
            raise UnknownNameError(
                f'the value "{name}"', "a value is light, medium or dark", nearest(name, VALUES), where="--value"
            )
        found |= dict.fromkeys(_keys_meant(given, key), name)
    return found


def revalued(given: Block | Quilt, wanted: Mapping[str, Value], *, negative: bool = False) -> Block | Quilt:
    """Give the same block or quilt with other values in some places, or with light and dark exchanged.

    Examples
    --------
    >>> from seamlore.draft.catalogue import find
    >>> revalued(find("four patch"), {}, negative=True).places["A"].value
    'dark'
    """
    places = {key: value for key, value in wanted.items() if key in given.places}
    if isinstance(given, Quilt):
        changed = with_values(given, places)
        return exchanged(changed) if negative else changed
    other: Mapping[Value, Value] = {"light": "dark", "medium": "medium", "dark": "light"}
    after = {letter: places.get(letter, place.value) for letter, place in given.places.items()}
    return replace(
        given,
        places={
            letter: replace(place, value=other[after[letter]] if negative else after[letter])
            for letter, place in given.places.items()
        },
    )


def grays(given: Block | Quilt, known: Mapping[str, Value] | None = None) -> dict[str, Color] | tuple[Color, ...]:
    """Color by value only: by place for a block, by piece for a quilt; what has no known value stays white.

    Examples
    --------
    >>> from seamlore.draft.catalogue import find
    >>> grays(find("four patch")) == {"A": VALUE_GRAYS["light"], "B": VALUE_GRAYS["dark"]}
    True
    """
    if isinstance(given, Block):
        return {letter: VALUE_GRAYS[place.value] for letter, place in given.places.items()}
    return by_value(lay(given), given, known)
