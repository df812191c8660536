"""A list of pieces as a table with commas: read row by row, what is wrong named with its row and value."""

from __future__ import annotations

import csv
from collections.abc import Mapping
from io import StringIO

from seamlore import limits
from seamlore.errors import LengthError, PlanError
from seamlore.lengths import Length, Unit, length, pair
from seamlore.steps.cutting.wanted import Piece

COLUMNS = ("fabric", "piece", "width", "height", "count", "may_turn")
# May be there too: how far apart the motifs stand that pieces are cut around, such as "8 x 6".
REPEAT = "repeat"


def read_pieces(text: str, unit: Unit, *, source: str = "") -> dict[str, list[Piece]]:
    """Read a list of pieces.

    Parameters
    ----------
    text : str
        The list, comma-separated, with the columns of `COLUMNS`, and `REPEAT` if wanted.
    unit : Unit
        Of bare numbers.
    source : str
        Name of the file, for messages.

    Returns
    -------
    dict of str to list of Piece
        By fabric, in the order in which they are first named; rows that are alike are one.

    Raises
    ------
    PlanError
        When a row cannot be read, naming row and value.

    Examples
    --------
    >>> head = "fabric,piece,width,height,count,may_turn"
    >>> [(each.name, each.count) for each in read_pieces(f"{head}\\nred,square,5,5,16,no", Unit.INCH)["red"]]
    [('square', 16)]
    >>> read_pieces(head, Unit.INCH)
    Traceback (most recent call last):
        ...
    seamlore.errors.PlanError: a list without pieces: it names at least one; write a row for each kind of piece
    """
    found: dict[str, dict[Piece, int]] = {}
    total = 0
    for row, fabric, piece in _rows(text, unit, source):
        where = f"{source}, row {row}" if source else f"row {row}"
        total += piece.count
        if total > limits.PIECES:
            raise PlanError(
                f"{total:,} pieces up to here",
                f"at most {limits.PIECES:,} are laid out at once",
                "cut the list in parts",
                where=where,
            )
        kinds = found.setdefault(fabric, {})
        same = next((each for each in kinds if each.like(piece)), piece)
        kinds[same] = kinds.get(same, 0) + piece.count
    if not found:
        raise PlanError(
            "a list without pieces", "it names at least one", "write a row for each kind of piece", where=source
        )
    return {fabric: [each.times(count) for each, count in kinds.items()] for fabric, kinds in found.items()}


def _rows(text: str, unit: Unit, source: str) -> list[tuple[int, str, Piece]]:
    lines = csv.reader(StringIO(text))
    try:
        every = [(lines.line_num, row) for row in lines if any(cell.strip() for cell in row)]
    except csv.Error as fault:
        raise PlanError(
            f"row {lines.line_num}", f"it cannot be read: {fault}", "save it as plain CSV", where=source
        ) from None
    if not every:
        raise PlanError("an empty file", "a list begins with its columns", f"write {','.join(COLUMNS)}", where=source)
    head = [cell.strip().casefold() for cell in every[0][1]]
    if sorted(name for name in head if name != REPEAT) != sorted(COLUMNS) or head.count(REPEAT) > 1:
        wrong = next((name for name in head if name not in (*COLUMNS, REPEAT)), "")
        missing = next((name for name in COLUMNS if name not in head), "")
        given = f'the column "{wrong}"' if wrong else "the columns" if not missing else f'no column "{missing}"'
        raise PlanError(
            given,
            f"the columns are {', '.join(COLUMNS)}, each once, and {REPEAT} if wanted",
            "mend the first row",
            where=f"{source}, row 1" if source else "row 1",
        )
    if len(every) - 1 > limits.CUTTING_ROWS:
        raise PlanError(
            f"{len(every) - 1:,} rows",
            f"at most {limits.CUTTING_ROWS:,} are taken",
            "put like pieces together",
            where=source,
        )
    found = []
    for number, row in every[1:]:
        where = f"{source}, row {number}" if source else f"row {number}"
        if len(row) != len(head):
            raise PlanError(f"{len(row)} values", f"a row has {len(head)}", "write one for each column", where=where)
        cells = {name: cell.strip() for name, cell in zip(head, row, strict=True)}
        found.append((number, _name(cells, "fabric", where), _piece(cells, unit, where)))
    return found


def _piece(cells: Mapping[str, str], unit: Unit, where: str) -> Piece:
    count = limits.whole_number(cells["count"])
    if not count:
        raise PlanError(
            f'count "{cells["count"]}"',
            "a count is a whole number of 1 or more",
            "write how many are cut",
            where=where,
        )
    turn = cells["may_turn"].casefold()
    if turn not in ("yes", "no"):
        raise PlanError(f'may_turn "{cells["may_turn"]}"', "it is yes or no", "write one of them", where=where)
    return Piece(
        _name(cells, "piece", where),
        _side(cells, "width", unit, where),
        _side(cells, "height", unit, where),
        count,
        turn == "yes",
        _repeat(cells, unit, where),
        where,
    )


def _repeat(cells: Mapping[str, str], unit: Unit, where: str) -> tuple[Length, Length] | None:
    text = cells.get(REPEAT, "")
    if not text:
        return None
    try:
        across, along = pair(text, unit=unit)
    except LengthError as fault:
        raise PlanError(
            f'{REPEAT} "{text}"', fault.limit, "write it as 8 x 6, across and along", where=where
        ) from None
    if across.inches <= 0 or along.inches <= 0:
        raise PlanError(f'{REPEAT} "{text}"', "a repeat is more than 0", "measure from motif to motif", where=where)
    return across, along


def _side(cells: Mapping[str, str], name: str, unit: Unit, where: str) -> Length:
    text = cells[name]
    try:
        side = length(text, unit=unit)
    except LengthError as fault:
        raise PlanError(f'{name} "{text}"', fault.limit, "write a number such as 4 1/2 or 4.5", where=where) from None
    if side.inches <= 0:
        raise PlanError(f'{name} "{text}"', "a side is more than 0", "write its cut size", where=where)
    return side


def _name(cells: Mapping[str, str], name: str, where: str) -> str:
    text = cells[name]
    if not text or len(text) > limits.NAME:
        raise PlanError(
            f"{name} of {len(text)} characters", f"it has 1 to {limits.NAME}", "name it in a few words", where=where
        )
    return limits.checked_text(text, f"the {name}", limits.NAME, source=f"{where}, ")
