"""A quilt of one block repeated, or of two that take turns."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from seamlore.draft.block import Block
from seamlore.draft.border import Border
from seamlore.draft.kinds import AS_DRAWN, Cell, Kind, Turned, sign_for
from seamlore.draft.quilt import Quilt, Sashing
from seamlore.draft.quilt_checks import check_counts
from seamlore.draft.setting.setting import STRAIGHT, Cut, Setting, spots, takes_every_other
from seamlore.draft.where import said
from seamlore.errors import ShapeError
from seamlore.lengths import Length


def repeated(
    name: str,
    block: Block,
    block_width: Length,
    block_height: Length,
    rows: int,
    columns: int,
    sashing: Sashing | None = None,
    borders: tuple[Border, ...] = (),
    *,
    turned: Mapping[tuple[int, int], Turned] | None = None,
    fabrics: Mapping[str, str] | None = None,
    setting: Setting = STRAIGHT,
    every_other: Block | None = None,
    kinds: Iterable[Kind] = (),
    cut: Cut | None = None,
) -> Quilt:
    """Make a quilt of one block repeated, or of two that take turns.

    Parameters
    ----------
    name, block_width, block_height, sashing, borders, setting, cut
        As in `Quilt`.
    block : Block
        The block.
    rows, columns : int
        Blocks down and across; on point where they are widest.
    turned : mapping of (row, column) to Turned, optional
        Blocks that lie otherwise than drawn.
    fabrics : mapping of str to str, optional
        What the fabric of a letter, the same in every kind that has it, or of the setting is called.
    every_other : Block, optional
        A block that takes every other place: pieced, or plain (of one patch).
    kinds : iterable of Kind, optional
        More kinds, for the units of pieced borders.

    Examples
    --------
    >>> from seamlore.draft.catalogue import find
    >>> from seamlore.lengths import length
    >>> made = repeated("q", find("shoo fly"), length("9in"), length("9in"), 7, 8)
    >>> made.kinds[0].name, made.counts
    ('SF', {'SF': 56})
    """
    more, given = tuple(kinds), dict(fabrics or {})
    taken = {kind.name for kind in more}
    first = Kind(sign_for(block, taken), block)
    found = [first, *([Kind(sign_for(every_other, {first.name, *taken}), every_other)] if every_other else []), *more]
    check_counts(rows, columns)
    cells: list[list[Cell]] = []
    ways = dict(turned or {})
    for row, column in spots(setting, rows, columns):
        if column == 0:
            cells.append([])
        other = every_other is not None and takes_every_other(setting, row, column)
        cells[-1].append(Cell(found[1 if other else 0].name, ways.pop((row, column), AS_DRAWN)))
    for row, column in ways:
        raise ShapeError(
            f"a turned block in {said(row, column)}",
            f"the quilt has {rows} rows of {columns} blocks",
            "name a block that is there",
        )
    used = {cell.kind for row in cells for cell in row} | {name for border in borders for name in border.kinds}
    placed = tuple(
        Kind(
            kind.name,
            kind.block,
            {**{key: name for key, name in given.items() if key in kind.block.places}, **kind.fabrics},
        )
        for kind in found
        if kind.name in used
    )
    letters = {letter for kind in found for letter in kind.block.places}
    return Quilt(
        name,
        placed,
        tuple(map(tuple, cells)),
        block_width,
        block_height,
        sashing,
        borders,
        {key: name for key, name in given.items() if key not in letters},
        setting,
        cut,
    )
