"""The colors that were chosen for the draft's cloths, over those that the photograph shows."""

from __future__ import annotations

from collections.abc import Mapping

from seamlore.draft.block import Block


def chosen_cloths(
    block: Block,
    cloths: Mapping[str, str],
    seen: tuple[dict[str, str], dict[tuple[int, int, int], str]],
) -> tuple[dict[str, str], dict[tuple[int, int, int], str]]:
    """Lay the colors that were chosen over those that the photograph shows.

    Parameters
    ----------
    block : Block
        The draft's block.
    cloths : mapping of str to str
        Chosen, by place.
    seen : tuple
        Colors by key and for single patches, as `steps.study.cloths.seen_cloths` gives them.

    Examples
    --------
    >>> from seamlore.draft.catalogue import find
    >>> four = find("four patch")
    >>> chosen_cloths(four, {"A": "#8a3b35", "Q": "#000000"}, ({"B": "#efe7d7"}, {(0, 0, 1): "#112233"}))
    ({'B': '#efe7d7', 'A': '#8a3b35'}, {})
    """
    told = {letter: color for letter, color in cloths.items() if letter in block.places}
    by_key, single = seen
    left = {spot: color for spot, color in single.items() if block.patches[spot[2]].place not in told}
    return {**by_key, **told}, left
