"""The colors that were chosen for the draft's cloths, over those that the photograph shows."""

from __future__ import annotations

from collections.abc import Mapping

from seamlore.draft.quilt import Quilt
from seamlore.draft.where import Where


def chosen_cloths(
    quilt: Quilt, cloths: Mapping[str, str], seen: tuple[dict[str, str], dict[Where, str]]
) -> tuple[dict[str, str], dict[Where, str]]:
    """Lay the colors that were chosen over those that the photograph shows.

    Parameters
    ----------
    quilt : Quilt
        The draft.
    cloths : mapping of str to str
        Chosen, by key; a letter alone stands for that letter of every kind that has it.
    seen : tuple
        Colors by key and for single patches, as `steps.study.cloths.seen_cloths` gives them.

    Examples
    --------
    >>> from seamlore.draft.catalogue import find
    >>> from seamlore.draft.repeated import repeated
    >>> from seamlore.draft.where import in_block
    >>> from seamlore.lengths import inches
    >>> four = repeated("q", find("four patch"), inches(8), inches(8), 1, 1)
    >>> seen = {"B": "#efe7d7"}, {in_block(0, 0, 1): "#112233"}
    >>> chosen_cloths(four, {"A": "#8a3b35", "Q": "#000000"}, seen)
    ({'B': '#efe7d7', 'A': '#8a3b35'}, {})
    """
    told: dict[str, str] = {}
    for kind in quilt.kinds:
        for letter in kind.block.places:
            key = quilt.key(kind, letter)
            if key in cloths or letter in cloths:
                told[key] = cloths.get(key) or cloths[letter]
    own = {name for row in quilt.cells for cell in row for name in cell.fabrics.values()}
    told |= {
        key: color for key, color in cloths.items() if key in _SETTING or key in own or key.startswith("border ")
    }
    by_key, single = seen
    left = {where: color for where, color in single.items() if _key_at(quilt, where) not in told}
    return {**by_key, **told}, left


# What else can be given a color, beside places, borders and fabrics that single blocks have of their own.
_SETTING = ("sashing", "cornerstone", "strip", "setting triangle", "plain block")


def _key_at(quilt: Quilt, where: Where) -> str:
    kind = quilt.kind(quilt.cells[where.row][where.column].kind)
    return quilt.key(kind, kind.block.patches[where.patch].place)
