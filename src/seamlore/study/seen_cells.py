"""What stands in the cells of a quilt, from what its photograph shows: kinds drawn exactly, and how each block lies."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import product
from typing import Literal

from seamlore.draft.block import Block
from seamlore.draft.kinds import NOT_READ, UNNAMED, Cell, Cells, Kind, Turned, sign_for
from seamlore.draft.setting.setting import Setting, row_as_laid, spots
from seamlore.errors import SeamloreError
from seamlore.photo.reading import BlockAt, Reading, SeenKind
from seamlore.study.seen_block import exact_block

_TURNS: tuple[Literal[0, 90, 180, 270], ...] = (0, 90, 180, 270)


def drafted_cells(
    setting: Setting, rows: int, columns: int, reading: Reading | None, drawn: Block | None, notes: list[str]
) -> tuple[tuple[Kind, ...], Cells]:
    """Draft the kinds and cells of a quilt.

    Parameters
    ----------
    setting : Straight or OnPoint
    rows, columns : int
        As the quilt is drafted.
    reading : Reading or None
        What the photograph shows; None without one.
    drawn : Block or None
        Takes the place of the commonest kind of the reading, or stands everywhere without one.
    notes : list of str
        Gets what was assumed or left out.

    Returns
    -------
    kinds : tuple of Kind
    cells : tuple of tuple of Cell
        A block whose piecing was not read, or could not be drawn exactly, is not read.
    """
    places = list(spots(setting, rows, columns))
    if reading is None or not reading.kinds:
        # Said by hand, and nothing seen contradicts it.
        assert drawn is not None
        kind = Kind(sign_for(drawn), drawn)
        return (kind,), _picture({at: Cell(kind.name) for at in places}, places)
    kinds = _kinds(reading, drawn)
    if not reading.blocks and len(kinds) == 1:
        # A reading that says nothing of single blocks says that all are as the one.
        (kind,) = kinds.values()
        return (kind,), _picture({at: Cell(kind.name) for at in places}, places)
    found: dict[tuple[int, int], Cell] = {}
    if (reading.rows, reading.columns) == (rows, columns):
        laid = {number: _laid_on(kind.block, reading.kinds[number]) for number, kind in kinds.items()}
        if drawn is not None and laid.get(0, (0, False)) is None:
            notes.append("The block drawn is not the block on the photograph; turns are kept as they were seen.")
        for at, each in _as_laid(reading, setting):
            if each.kind in kinds:
                found[at] = Cell(kinds[each.kind].name, _lies(each, laid[each.kind] or (0, False)))
    elif len(kinds) == len(reading.kinds) == 1 and all(each.kind is not None for each in reading.blocks or ()):
        notes.append("Turned blocks are left out: the photograph shows another number of blocks than the draft has.")
        (only,) = kinds.values()
        found = {at: Cell(only.name) for at in places}
    else:
        notes.append(
            "Which block stands where is left out: the photograph shows another number of blocks than the draft has."
        )
    cells = {at: found.get(at, NOT_READ) for at in places}
    used = {cell.kind for cell in cells.values()}
    return tuple(kind for kind in kinds.values() if kind.name in used), _picture(cells, places)


def _kinds(reading: Reading, drawn: Block | None) -> dict[int, Kind]:
    """The kinds that can be drawn exactly, by their numbers in the reading; each block has a name of its own."""
    found: dict[int, Kind] = {}
    names: set[str] = set()
    for number, seen in enumerate(reading.kinds or ()):
        if number == 0 and drawn is not None:
            block = drawn
        else:
            try:
                block = exact_block(seen, name=_name(seen, names), reading=reading, kind=number)
            except SeamloreError:
                if len(reading.kinds or ()) == 1:
                    # The only block there is: whoever looks is told why it cannot be drawn.
                    raise
                continue
        names.add(block.name)
        found[number] = Kind(sign_for(block, {kind.name for kind in found.values()}), block)
    return found


def _name(seen: SeenKind, taken: set[str]) -> str:
    called = "plain" if len(seen.patches) == 1 else seen.name or UNNAMED
    numbers = iter(range(2, 1000))
    name = called
    while name in taken:
        name = f"{called} {next(numbers)}"
    return name


def _as_laid(reading: Reading, setting: Setting) -> Iterator[tuple[tuple[int, int], BlockAt]]:
    """Every block of the reading with its row and column in the draft."""
    for blocks, between in ((reading.blocks, False), (reading.between, True)):
        for each in blocks or ():
            yield (row_as_laid(setting, each.row, between=between), each.column), each


def _lies(each: BlockAt, laid: tuple[int, bool]) -> Turned:
    turn0, mirrored0 = laid
    turn = (each.turn - turn0 if each.mirrored else each.turn + turn0) % 360
    return Turned(_TURNS[turn // 90], each.mirrored != mirrored0)


def _picture(cells: dict[tuple[int, int], Cell], places: list[tuple[int, int]]) -> Cells:
    rows: list[list[Cell]] = []
    for row, column in places:
        if column == 0:
            rows.append([])
        rows[-1].append(cells[row, column])
    return tuple(map(tuple, rows))


def _laid_on(drawn: Block, kind: SeenKind) -> tuple[int, bool] | None:
    """How the drawn block must be moved to lie as the kind seen does; None where it is another block."""
    try:
        seen = exact_block(kind)
    except SeamloreError:
        # The block could not be read; its owner drew it, and the turns seen are all there is.
        return None
    if len(drawn.patches) != len(seen.patches):
        return None
    outlines = {each.outline for each in seen.patches}
    values = {each.outline: seen.places[each.place].value for each in seen.patches}
    matches = []
    for mirrored, turn in product((False, True), _TURNS):
        moved = drawn.moved(turn, mirrored=mirrored)
        if {each.outline for each in moved.patches} == outlines:
            alike = sum(drawn.places[each.place].value == values[each.outline] for each in moved.patches)
            matches.append((-alike, mirrored, turn))
    if not matches:
        return None
    _, mirrored, turn = min(matches)
    return turn, mirrored
