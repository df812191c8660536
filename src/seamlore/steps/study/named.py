"""Blocks that were read take their names from the catalogue."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace
from typing import TYPE_CHECKING

from seamlore.draft.block import Block
from seamlore.draft.cells import with_block
from seamlore.draft.kinds import reletter
from seamlore.draft.quilt import Quilt

if TYPE_CHECKING:
    from seamlore.draft.naming.naming import Match


def named(quilt: Quilt, names_of: Callable[[Block], Sequence[Match]], *, own: Block | None = None) -> Quilt:
    """Name the blocks of a quilt after the catalogue's drawings that are the same, no two the same.

    Parameters
    ----------
    quilt : Quilt
    names_of : callable
        The catalogue's entries that a block matches, the best first.
    own : Block, optional
        The block that the user named or drew: it keeps its name.

    Examples
    --------
    >>> from seamlore.draft.naming.naming import name_block
    >>> from seamlore.draft.repeated import repeated
    >>> from seamlore.draft.text.notation import read_block
    >>> from seamlore.lengths import inches
    >>> seen = read_block("block Seen\\nA dark\\nB light\\n\\nA B\\nB A")
    >>> named(repeated("q", seen, inches(6), inches(6), 2, 2), name_block).made_of
    'Four Patch'
    """
    taken = {own.name} if own else set()
    for kind in quilt.kinds:
        if kind.block is own:
            continue
        known = [match for match in names_of(kind.block) if match.kind != "near"]
        if known and known[0].block.name not in taken:
            block = _named_after(kind.block, known[0])
            quilt, taken = with_block(quilt, kind.name, block), taken | {block.name}
    return quilt


def _named_after(block: Block, match: Match) -> Block:
    """Give a block the name of the catalogue's entry, and its letters where each stands for one of the block's."""
    entry = match.block
    letters = {seen[0]: letter for letter, seen in match.places.items() if len(seen) == 1}
    lettered = block
    if len(letters) == len(block.places) == len(entry.places):
        lettered = reletter(block, letters)
    return replace(lettered, name=entry.name, also=entry.also, family=entry.family, notes=entry.notes)
