"""Color patches of the draft with fabrics that the photograph shows."""

from __future__ import annotations

from collections.abc import Mapping

from seamlore.draft.block import Block
from seamlore.draft.edit import with_place, with_value
from seamlore.errors import ShapeError
from seamlore.photo.reading import SeenFabric

_LETTERS = "ABCDEFGHIJKLMNOPQRSTUVWXYZ"


def colored_with(
    given: Block, cloths: Mapping[str, str], patch: int, fabric: SeenFabric
) -> tuple[Block, dict[str, str]]:
    """Cut one patch of a block from a fabric.

    The patch goes to the place that is cut from this fabric already; if there is none, to a new place of its own, as
    light or dark as the fabric.

    Parameters
    ----------
    given : Block
    cloths : mapping of str to str
        Colors chosen so far, "#rrggbb" by place.
    patch : int
        Index of the patch.
    fabric : SeenFabric

    Returns
    -------
    block : Block
    cloths : dict of str to str
        Of the places that the block has now.

    Raises
    ------
    ShapeError
        When there is no such patch, or no letter is left for a new place.

    Examples
    --------
    >>> from seamlore.draft.catalogue import find
    >>> madder = SeenFabric(id="f1", srgb="#8a3b35", value="medium", patches=())
    >>> block, cloths = colored_with(find("four patch"), {}, 0, madder)
    >>> [each.place for each in block.patches], block.places["C"].value, cloths
    (['C', 'A', 'A', 'B'], 'medium', {'C': '#8a3b35'})
    >>> [each.place for each in colored_with(block, cloths, 3, madder)[0].patches]
    ['C', 'A', 'A', 'C']
    """
    place = next(
        (letter for letter, color in cloths.items() if color == fabric.srgb and letter in given.places), None
    )
    fresh = place is None
    if place is None:
        place = next((letter for letter in _LETTERS if letter not in given.places), None)
    if place is None:
        raise ShapeError(
            f"another place in {given.name}", "it has all 26 letters", "give the patch a place that there is"
        )
    made = with_place(given, patch, place)
    if fresh:
        made = with_value(made, place, fabric.value)
    now = {**cloths, place: fabric.srgb}
    return made, {letter: color for letter, color in now.items() if letter in made.places}
