"""The same quilt in other colors: by place, by its fabrics, by light and dark only; or with values exchanged."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace

from seamlore.draft.block import Value
from seamlore.draft.kinds import Kind
from seamlore.draft.layout import NOT_READ_KEY, Laid
from seamlore.draft.quilt import Quilt
from seamlore.draft.sizes.proportion import value_of_key
from seamlore.errors import UnknownNameError, nearest

# One color, as #rrggbb, for each piece in the order of `layout.lay`.
Coloring = tuple[str, ...]

# What was not read is left as paper.
NOT_READ_COLOR = "#ffffff"
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
    >>> from seamlore.draft.repeated import repeated
    >>> from seamlore.draft.text.notation import read_block
    >>> from seamlore.lengths import inches
    >>> half = read_block("block Half\\nA dark\\nB light\\n\\nA|B")
    >>> by_place(lay(repeated("q", half, inches(8), inches(8), 1, 1)), {"A": "#8f443b"})
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
    >>> from seamlore.draft.repeated import repeated
    >>> from seamlore.draft.text.notation import read_block
    >>> from seamlore.lengths import inches
    >>> plain = read_block("block Plain\\nA dark\\n\\nA")
    >>> laid = lay(repeated("q", plain, inches(8), inches(8), 1, 2, fabrics={"A": "madder"}))
    >>> by_fabric(laid, {"madder": "#8f443b", "rose": "#bd8278"}, [None, "rose"])
    ('#8f443b', '#bd8278')
    >>> by_fabric(laid, {"rose": "#bd8278"})
    Traceback (most recent call last):
        ...
    seamlore.errors.UnknownNameError: the fabric "madder": it has no swatch; choose one of: rose
    """
    found = []
    for index, piece in enumerate(laid):
        if piece.key == NOT_READ_KEY:
            found.append(NOT_READ_COLOR)
            continue
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
    >>> from seamlore.draft.repeated import repeated
    >>> from seamlore.draft.text.notation import read_block
    >>> from seamlore.lengths import inches
    >>> quilt = repeated("q", read_block("block Half\\nA dark\\nB light\\n\\nA|B"), inches(8), inches(8), 1, 1)
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
        New values by key of a place; places without an entry keep theirs.

    Returns
    -------
    Quilt

    Raises
    ------
    UnknownNameError
        When the quilt has no such place.

    Examples
    --------
    >>> from seamlore.draft.repeated import repeated
    >>> from seamlore.draft.text.notation import read_block
    >>> from seamlore.lengths import inches
    >>> quilt = repeated("q", read_block("block Half\\nA dark\\nB light\\n\\nA|B"), inches(8), inches(8), 1, 1)
    >>> [place.value for place in with_values(quilt, {"A": "light", "B": "dark"}).places.values()]
    ['light', 'dark']
    >>> with_values(quilt, {}) == quilt
    True
    """
    for key in values:
        if key not in quilt.places:
            raise UnknownNameError(f"place {key}", "the quilt has none", nearest(key, quilt.places))

    def valued(kind: Kind) -> Kind:
        places = {
            letter: replace(place, value=values.get(quilt.key(kind, letter), place.value))
            for letter, place in kind.block.places.items()
        }
        return replace(kind, block=replace(kind.block, places=places))

    return replace(quilt, kinds=tuple(map(valued, quilt.kinds)))


def exchanged(quilt: Quilt) -> Quilt:
    """Give the same quilt with light and dark exchanged, as a negative shows it; medium stays.

    Examples
    --------
    >>> from seamlore.draft.repeated import repeated
    >>> from seamlore.draft.text.notation import read_block
    >>> from seamlore.lengths import inches
    >>> quilt = repeated("q", read_block("block Half\\nA dark\\nB light\\n\\nA|B"), inches(8), inches(8), 1, 1)
    >>> exchanged(exchanged(quilt)) == quilt, exchanged(quilt).places["A"].value
    (True, 'light')
    """
    other: Mapping[Value, Value] = {"light": "dark", "medium": "medium", "dark": "light"}
    return with_values(quilt, {key: other[place.value] for key, place in quilt.places.items()})
