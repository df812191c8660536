"""The same quilt in other colors: by place, by its fabrics, by light and dark only; or with values exchanged."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace

from seamlore.draft.block import Block, Value
from seamlore.draft.layout import Laid
from seamlore.draft.proportion import value_of_key
from seamlore.draft.quilt import Border, Quilt
from seamlore.errors import UnknownNameError, nearest

# One color, as #rrggbb, for each piece in the order of `layout.lay`.
Coloring = tuple[str, ...]

# Light, medium and dark as grays of CIELAB lightness 90, 62 and 32: as far apart as print and screen keep them.
VALUE_GRAYS: Mapping[Value | None, str] = {
    "light": "#e2e2e2",
    "medium": "#959595",
    "dark": "#4b4b4b",
    None: "#ffffff",
}


def by_place(laid: Sequence[Laid], colors: Mapping[str, str], *, others: str = "#ffffff") -> Coloring:
    """Color each piece by its place, or by what else it is.

    Parameters
    ----------
    laid : sequence of Laid
        From `layout.lay`.
    colors : mapping of str to str
        A color for each key: "A", "sashing", "border 1".
    others : str
        The color of what has none.

    Returns
    -------
    tuple of str

    Examples
    --------
    >>> from seamlore.draft.layout import lay
    >>> from seamlore.draft.text.notation import read_block
    >>> from seamlore.lengths import inches
    >>> half = read_block("block Half\\nA dark\\nB light\\n\\nA|B")
    >>> by_place(lay(Quilt("q", half, inches(8), inches(8), 1, 1)), {"A": "#8f443b"})
    ('#8f443b', '#ffffff')
    >>> by_place([], {})
    ()
    """
    return tuple(colors.get(piece.key, others) for piece in laid)


def by_fabric(
    laid: Sequence[Laid], swatches: Mapping[str, str], placed: Sequence[str | None] | None = None
) -> Coloring:
    """Color each piece as the fabric that it is cut from.

    Parameters
    ----------
    laid : sequence of Laid
        From `layout.lay`.
    swatches : mapping of str to str
        The color of each fabric by its name.
    placed : sequence of (str or None), optional
        What scrappy patches are cut from (`Placement.fabrics`); for the rest, and without it, a piece's own fabric
        counts.

    Returns
    -------
    tuple of str

    Raises
    ------
    UnknownNameError
        When a piece is cut from a fabric that has no swatch.

    Examples
    --------
    >>> from seamlore.draft.layout import lay
    >>> from seamlore.draft.text.notation import read_block
    >>> from seamlore.lengths import inches
    >>> plain = read_block("block Plain\\nA dark\\n\\nA")
    >>> laid = lay(Quilt("q", plain, inches(8), inches(8), 1, 2, fabrics={"A": "madder"}))
    >>> by_fabric(laid, {"madder": "#8f443b", "rose": "#bd8278"}, [None, "rose"])
    ('#8f443b', '#bd8278')
    >>> by_fabric(laid, {"rose": "#bd8278"})
    Traceback (most recent call last):
        ...
    seamlore.errors.UnknownNameError: the fabric "madder": it has no swatch; choose one of: rose
    """
    found = []
    for index, piece in enumerate(laid):
        name = (placed[index] if placed is not None else None) or piece.fabric
        if name not in swatches:
            raise UnknownNameError(f'the fabric "{name}"', "it has no swatch", nearest(name, swatches))
        found.append(swatches[name])
    return tuple(found)


def by_value(laid: Sequence[Laid], quilt: Quilt, values: Mapping[str, Value] | None = None) -> Coloring:
    """Color each piece in the gray of its value, as one squints to see light and dark only.

    Parameters
    ----------
    laid : sequence of Laid
        From `layout.lay`.
    quilt : Quilt
        The same quilt.
    values : mapping of str to {"light", "medium", "dark"}, optional
        Values of what is not a place, by key or by fabric; what has none stays white.

    Returns
    -------
    tuple of str

    Examples
    --------
    >>> from seamlore.draft.layout import lay
    >>> from seamlore.draft.text.notation import read_block
    >>> from seamlore.lengths import inches
    >>> quilt = Quilt("q", read_block("block Half\\nA dark\\nB light\\n\\nA|B"), inches(8), inches(8), 1, 1)
    >>> by_value(lay(quilt), quilt) == (VALUE_GRAYS["dark"], VALUE_GRAYS["light"])
    True
    >>> by_value([], quilt)
    ()
    """
    places, known = quilt.places, values or {}
    return tuple(VALUE_GRAYS[value_of_key(places, piece.key, piece.fabric, known)] for piece in laid)


def with_values(quilt: Quilt, values: Mapping[str, Value]) -> Quilt:
    """Give the same quilt with other values in some of its places: dark where it was light.

    Parameters
    ----------
    quilt : Quilt
        As drafted.
    values : mapping of str to {"light", "medium", "dark"}
        New values by place; places without an entry keep theirs.

    Returns
    -------
    Quilt

    Raises
    ------
    UnknownNameError
        When the quilt has no such place.

    Examples
    --------
    >>> from seamlore.draft.text.notation import read_block
    >>> from seamlore.lengths import inches
    >>> quilt = Quilt("q", read_block("block Half\\nA dark\\nB light\\n\\nA|B"), inches(8), inches(8), 1, 1)
    >>> [place.value for place in with_values(quilt, {"A": "light", "B": "dark"}).places.values()]
    ['light', 'dark']
    >>> with_values(quilt, {}) == quilt
    True
    """
    for letter in values:
        if letter not in quilt.places:
            raise UnknownNameError(f"place {letter}", "the quilt has none", nearest(letter, quilt.places))

    def valued(block: Block) -> Block:
        places = {
            letter: replace(place, value=values.get(letter, place.value)) for letter, place in block.places.items()
        }
        return replace(block, places=places)

    def bordered(border: Border) -> Border:
        pieced = border.pieced
        if pieced is None:
            return border
        corner = valued(pieced.corner) if pieced.corner else None
        return replace(border, pieced=replace(pieced, unit=valued(pieced.unit), corner=corner))

    return replace(
        quilt,
        block=valued(quilt.block),
        second=valued(quilt.second) if quilt.second else None,
        borders=tuple(map(bordered, quilt.borders)),
    )


def exchanged(quilt: Quilt) -> Quilt:
    """Give the same quilt with light and dark exchanged, as a negative shows it; medium stays.

    Examples
    --------
    >>> from seamlore.draft.text.notation import read_block
    >>> from seamlore.lengths import inches
    >>> quilt = Quilt("q", read_block("block Half\\nA dark\\nB light\\n\\nA|B"), inches(8), inches(8), 1, 1)
    >>> exchanged(exchanged(quilt)) == quilt, exchanged(quilt).places["A"].value
    (True, 'light')
    """
    other: Mapping[Value, Value] = {"light": "dark", "medium": "medium", "dark": "light"}
    return with_values(quilt, {letter: other[place.value] for letter, place in quilt.places.items()})
