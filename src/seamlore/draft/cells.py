"""Changing what stands in the cells of a quilt: other counts, another setting, other kinds."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import replace
from typing import Any

from seamlore.draft.block import Block
from seamlore.draft.border import Border
from seamlore.draft.kinds import AS_DRAWN, UNNAMED, Cell, Cells, Kind, Turned, sign_for
from seamlore.draft.quilt import Quilt
from seamlore.draft.setting.setting import OnPoint, Setting, spots, takes_every_other
from seamlore.draft.where import SIDES

At = tuple[int, int]


def with_cells(quilt: Quilt, cells: Mapping[At, Cell], kinds: Iterable[Kind] = ()) -> Quilt:
    """Put other blocks into some cells; kinds that nothing takes any more are dropped.

    Parameters
    ----------
    quilt : Quilt
    cells : mapping of (row, column) to Cell
    kinds : iterable of Kind
        Kinds that the quilt has not yet; one of a name that it has takes the place of that one.

    Examples
    --------
    >>> from seamlore.draft.catalogue import find
    >>> from seamlore.draft.kinds import NOT_READ, plain_block
    >>> from seamlore.draft.repeated import repeated
    >>> from seamlore.lengths import inches
    >>> old = repeated("q", find("shoo fly"), inches(9), inches(9), 2, 2)
    >>> new = with_cells(old, {(0, 1): Cell("P"), (1, 1): NOT_READ}, [Kind("P", plain_block())])
    >>> dict(new.counts), new.not_read
    ({'SF': 2, 'P': 1}, ((1, 1),))
    >>> with_cells(old, {}) == old
    True
    """
    changed = tuple(
        tuple(cells.get((row, column), cell) for column, cell in enumerate(old))
        for row, old in enumerate(quilt.cells)
    )
    return _again(quilt, changed, quilt.borders, kinds)


def with_lies(quilt: Quilt, ways: Mapping[At, Turned]) -> Quilt:
    """Lay the blocks of a quilt so; those of which nothing is said lie as drawn.

    Examples
    --------
    >>> from seamlore.draft.catalogue import find
    >>> from seamlore.draft.repeated import repeated
    >>> from seamlore.lengths import inches
    >>> old = repeated("q", find("pinwheel"), inches(9), inches(9), 1, 2)
    >>> dict(with_lies(old, {(0, 1): Turned(90)}).turned)
    {(0, 1): Turned(turn=90, mirrored=False)}
    """
    return replace(
        quilt,
        cells=tuple(
            tuple(replace(cell, lies=ways.get((row, column), AS_DRAWN)) for column, cell in enumerate(cells))
            for row, cells in enumerate(quilt.cells)
        ),
    )


def _again(quilt: Quilt, cells: Cells, borders: tuple[Border, ...], kinds: Iterable[Kind] = (), **more: Any) -> Quilt:
    """The same quilt with other cells and borders, only with the kinds that these take."""
    known = {kind.name: kind for kind in quilt.kinds} | {kind.name: kind for kind in kinds}
    used = {cell.kind for row in cells for cell in row} | {name for border in borders for name in border.kinds}
    kept = tuple(kind for name, kind in known.items() if name in used)
    return replace(quilt, kinds=kept, cells=cells, borders=borders, **more)


def with_borders(quilt: Quilt, borders: tuple[Border, ...], kinds: Iterable[Kind] = ()) -> Quilt:
    """Put other borders round a quilt; kinds that nothing takes any more are dropped."""
    return _again(quilt, quilt.cells, borders, kinds)


def with_kinds(quilt: Quilt, change: Callable[[Kind], Kind]) -> Quilt:
    """Change every kind; what a cell has of its own for a letter that its kind has no more is dropped."""
    kinds = tuple(change(kind) for kind in quilt.kinds)
    new_names = {old.name: new.name for old, new in zip(quilt.kinds, kinds, strict=True)}
    letters = {kind.name: set(kind.block.places) for kind in kinds}

    def carried(cell: Cell) -> Cell:
        if not cell.read:
            return cell
        name = new_names[cell.kind]
        own = {letter: fabric for letter, fabric in cell.fabrics.items() if letter in letters[name]}
        return Cell(name, cell.lies, own)

    cells = tuple(tuple(map(carried, row)) for row in quilt.cells)
    borders = tuple(_renamed(border, new_names) for border in quilt.borders)
    return replace(quilt, kinds=kinds, cells=cells, borders=borders)


def _renamed(border: Border, names: Mapping[str, str]) -> Border:
    sides = [
        replace(side, pieced=replace(side.pieced, kind=names[side.pieced.kind])) if side.pieced else side
        for side in border.sides
    ]
    return replace(border.with_sides(sides), corner=names[border.corner] if border.corner else None)


def with_block(quilt: Quilt, name: str, block: Block) -> Quilt:
    """Piece one kind otherwise; its fabrics stay where its letters do.

    Examples
    --------
    >>> from seamlore.draft.catalogue import find
    >>> from seamlore.draft.repeated import repeated
    >>> from seamlore.lengths import inches
    >>> old = repeated("q", find("shoo fly"), inches(9), inches(9), 7, 8)
    >>> with_block(old, "SF", find("pinwheel")).made_of
    'Pinwheel'
    """
    old = quilt.kind(name)
    # The only kind is called as `repeated` would call it; one of several keeps its name, by which cells are known.
    alone = len(quilt.kinds) == 1 and name == sign_for(old.block)
    fabrics = {letter: fabric for letter, fabric in old.fabrics.items() if letter in block.places}
    new = Kind(sign_for(block) if alone else name, block, fabrics)
    return with_kinds(quilt, lambda kind: new if kind.name == name else kind)


def with_counts(quilt: Quilt, rows: int, columns: int, setting: Setting | None = None, **more: Any) -> Quilt:
    """Give a quilt other counts of blocks, or set them otherwise; the pattern of its cells goes on.

    Parameters
    ----------
    quilt : Quilt
    rows, columns : int
        On point, of whole blocks where they are widest.
    setting : Straight, OnPoint, Offset or Strips, optional
        As it is when not given.
    **more
        Other fields of the quilt that change with them.

    Examples
    --------
    >>> from seamlore.draft.catalogue import find
    >>> from seamlore.draft.repeated import repeated
    >>> from seamlore.lengths import inches
    >>> board = repeated("q", find("shoo fly"), inches(9), inches(9), 3, 3, every_other=find("pinwheel"))
    >>> dict(with_counts(board, 5, 5).counts), dict(with_counts(board, 4, 4, OnPoint()).counts)
    ({'SF': 13, 'Pi': 12}, {'SF': 16, 'Pi': 9})
    """
    kind = quilt.setting if setting is None else setting
    borders = more.pop("borders", quilt.borders)
    if (rows, columns, kind) == (quilt.rows, quilt.columns, quilt.setting):
        return _again(quilt, quilt.cells, borders, **more)
    places = list(spots(kind, rows, columns))
    pair = every_other(quilt)
    if pair is not None:
        lies = _lies(quilt) if kind == quilt.setting else {}
        made = {at: Cell(pair[takes_every_other(kind, *at)], **lies.get(at, {})) for at in places}
    elif type(kind) is type(quilt.setting):
        made = _carried_on(quilt, places)
    else:
        made = _set_anew(quilt, kind, places)
    cells: list[list[Cell]] = []
    for row, column in places:
        if column == 0:
            cells.append([])
        cells[-1].append(made[row, column])
    return _again(quilt, tuple(map(tuple, cells)), borders, setting=kind, **more)


def _lies(quilt: Quilt) -> dict[At, dict[str, Any]]:
    """How the blocks lie, and what they have of their own."""
    return {
        (row, column): {"lies": quilt.cells[row][column].lies, "fabrics": quilt.cells[row][column].fabrics}
        for row, column in quilt.spots
    }


def every_other(quilt: Quilt) -> tuple[str, str] | None:
    """Name the two kinds that take turns, or the one that stands everywhere twice; None when neither is so.

    Examples
    --------
    >>> from seamlore.draft.catalogue import find
    >>> from seamlore.draft.repeated import repeated
    >>> from seamlore.lengths import inches
    >>> every_other(repeated("q", find("shoo fly"), inches(9), inches(9), 3, 3))
    ('SF', 'SF')
    """
    found: tuple[set[str], set[str]] = (set(), set())
    for row, column in quilt.spots:
        found[takes_every_other(quilt.setting, row, column)].add(quilt.cells[row][column].kind)
    if any(len(kinds) > 1 for kinds in found) or "" in found[0] | found[1]:
        return None
    (first,) = found[0]
    return first, next(iter(found[1]), first)


def _carried_on(quilt: Quilt, places: Iterable[At]) -> dict[At, Cell]:
    """Cells that were there stay; new ones carry on the pattern, or begin the picture again where it has none."""
    step = 2 if isinstance(quilt.setting, OnPoint) else 1
    rows = len(quilt.cells)
    down = next(
        each
        for each in range(step, rows + step, step)
        if all(_same(quilt.cells[row], quilt.cells[row + each]) for row in range(rows - each))
    )
    widest = max(map(len, quilt.cells))
    across = next(
        each
        for each in range(1, widest + 1)
        if all(
            row[column].kind == row[column + each].kind for row in quilt.cells for column in range(len(row) - each)
        )
    )
    made = {}
    for row, column in places:
        if row < rows and column < len(quilt.cells[row]):
            made[row, column] = quilt.cells[row][column]
            continue
        like = quilt.cells[row if row < rows else row % down % rows]
        made[row, column] = Cell(like[column % min(across, len(like))].kind)
    return made


def _same(one: tuple[Cell, ...], two: tuple[Cell, ...]) -> bool:
    return all(a.kind == b.kind for a, b in zip(one, two, strict=False))


def _set_anew(quilt: Quilt, setting: Setting, places: Iterable[At]) -> dict[At, Cell]:
    """Blocks of whole rows keep their kinds in another setting; those between take the commonest."""
    was, now = isinstance(quilt.setting, OnPoint), isinstance(setting, OnPoint)
    counts = quilt.counts
    usual = Cell(max(counts, key=lambda name: counts[name]) if counts else "")
    made = {}
    for row, column in places:
        if now and row % 2:
            made[row, column] = usual
            continue
        old = (row // 2 if now else row) * (2 if was else 1)
        there = old < len(quilt.cells) and column < len(quilt.cells[old])
        made[row, column] = Cell(quilt.cells[old][column].kind) if there else usual
    return made


def with_fabrics(quilt: Quilt, names: Mapping[str, str]) -> Quilt:
    """Call fabrics by name.

    Parameters
    ----------
    quilt : Quilt
    names : mapping of str to str
        By key; a letter alone stands for that letter of every kind that has it, "border 1" for all its sides.

    Examples
    --------
    >>> from seamlore.draft.catalogue import find
    >>> from seamlore.draft.repeated import repeated
    >>> from seamlore.lengths import inches
    >>> old = repeated("q", find("shoo fly"), inches(9), inches(9), 3, 3, every_other=find("pinwheel"))
    >>> new = with_fabrics(old, {"A": "muslin", "Pi A": "red", "sashing": "tan"})
    >>> new.fabric_of("SF A"), new.fabric_of("Pi A"), new.fabric_of("sashing")
    ('muslin', 'red', 'tan')
    """
    left = dict(names)
    kinds = []
    for kind in quilt.kinds:
        fabrics = dict(kind.fabrics)
        for letter in kind.block.places:
            key = quilt.key(kind, letter)
            if key in names or letter in names:
                fabrics[letter] = names.get(key, names.get(letter, ""))
        kinds.append(replace(kind, fabrics=fabrics))
    for key in [*quilt.places, *(letter for kind in quilt.kinds for letter in kind.block.places)]:
        left.pop(key, None)
    borders = []
    for number, border in enumerate(quilt.borders, start=1):
        whole = left.pop(f"border {number}", None)
        alone = {name: left.pop(f"border {number} {name}", whole) for name in SIDES}
        sides = zip(SIDES, border.sides, strict=True)
        borders.append(border.with_sides(replace(side, fabric=alone[name] or side.fabric) for name, side in sides))
    return replace(quilt, kinds=tuple(kinds), borders=tuple(borders), fabrics={**quilt.fabrics, **left})


def rows_said(quilt: Quilt) -> str:
    """Say in how many rows the blocks lie, and of how many; on point those between the whole rows too.

    Examples
    --------
    >>> from seamlore.draft.catalogue import find
    >>> from seamlore.draft.repeated import repeated
    >>> from seamlore.lengths import inches
    >>> rows_said(repeated("q", find("nine patch"), inches(9), inches(9), 5, 4))
    '5 rows of 4'
    >>> rows_said(repeated("q", find("nine patch"), inches(9), inches(9), 3, 3, setting=OnPoint()))
    '3 rows of 3 on point and 2 of 2 between'
    """
    rows = f"{quilt.rows} row{'s' * (quilt.rows != 1)} of {quilt.columns}"
    if not isinstance(quilt.setting, OnPoint):
        return rows
    between = [len(cells) for cells in quilt.cells[1::2] if cells]
    if quilt.setting.edge == "half blocks" or not between:
        return f"{rows} on point"
    return f"{rows} on point and {len(between)} of {between[0]} between"


def counts_said(quilt: Quilt) -> str:
    """Say how many blocks there are of each kind, the commonest first.

    Examples
    --------
    >>> from seamlore.draft.catalogue import find
    >>> from seamlore.draft.repeated import repeated
    >>> from seamlore.lengths import inches
    >>> counts_said(repeated("q", find("nine patch"), inches(9), inches(9), 5, 5, every_other=find("pinwheel")))
    '13 Nine Patch and 12 Pinwheel'
    >>> from dataclasses import replace
    >>> one, two = (replace(find("pinwheel"), name=name) for name in (UNNAMED, f"{UNNAMED} 2"))
    >>> counts_said(repeated("q", one, inches(9), inches(9), 5, 5, every_other=two))
    '25 unnamed (2 kinds)'
    """
    counts: dict[str, int] = {}
    nameless = {
        kind.name for kind in quilt.kinds if kind.block.name.startswith(UNNAMED) and kind.name in quilt.counts
    }
    for name, count in quilt.counts.items():
        # Those without a name are told together: the numbers that keep them apart are no names.
        kinds = f" ({len(nameless)} kinds)" if len(nameless) > 1 else ""
        called = f"unnamed{kinds}" if name in nameless else quilt.kind(name).block.name
        counts[called] = counts.get(called, 0) + count
    said = [f"{count} {called}" for called, count in sorted(counts.items(), key=lambda each: -each[1])]
    return said[0] if len(said) == 1 else f"{', '.join(said[:-1])} and {said[-1]}" if said else "none read"


def blocks_said(quilt: Quilt) -> str:
    """Say how many blocks of each kind there are; those that were not read are not counted.

    Examples
    --------
    >>> from seamlore.draft.catalogue import find
    >>> from seamlore.draft.kinds import NOT_READ
    >>> from seamlore.draft.repeated import repeated
    >>> from seamlore.lengths import inches
    >>> whole = repeated("q", find("nine patch"), inches(9), inches(9), 1, 2)
    >>> blocks_said(whole), blocks_said(with_cells(whole, {(0, 1): NOT_READ}))
    ('2 Nine Patch blocks', '1 Nine Patch block')
    """
    return f"{counts_said(quilt)} block{'s' * (sum(quilt.counts.values()) != 1)}"
