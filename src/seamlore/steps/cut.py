"""Cut: a list of pieces -> layouts on each fabric that can be cut edge to edge, with a proved least length."""

from __future__ import annotations

import csv
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from io import StringIO
from math import lcm
from typing import Any

from seamlore import limits
from seamlore.errors import LengthError, PlanError
from seamlore.lengths import Length, Unit, in_unit, length, show, show_size
from seamlore.packing.pieces import Block, Kind
from seamlore.packing.plan import Layout, lay_out

COLUMNS = ("fabric", "piece", "width", "height", "count", "may_turn")


@dataclass(frozen=True, slots=True)
class Piece:
    """One row of a list of pieces: cut sizes, across the fabric and along it."""

    name: str
    width: Length
    height: Length
    count: int
    may_turn: bool


@dataclass(frozen=True, slots=True)
class FabricCut:
    """What is cut from one fabric.

    Parameters
    ----------
    name : str
    pieces : tuple of Piece
        The kinds of the layout, in its order.
    layout : Layout
    part : Length
        The length of one part of the layout.
    """

    name: str
    pieces: tuple[Piece, ...]
    layout: Layout
    part: Length

    @property
    def width(self) -> Length:
        """The usable width."""
        return self.part * self.layout.width

    @property
    def length(self) -> Length:
        """What to cut off."""
        return self.part * self.layout.length

    @property
    def least_length(self) -> Length:
        """What no layout can go below."""
        return self.part * self.layout.least_length

    @property
    def waste(self) -> float:
        """The share of the fabric that becomes no piece."""
        area = sum(each.count * each.width.inches * each.height.inches for each in self.pieces)
        return float(1 - area / (self.width.inches * self.length.inches))


def cut(text: str, width: Length, *, source: str = "") -> list[FabricCut]:
    """Lay out the pieces of a list on a fabric of this usable width, fabric by fabric.

    Parameters
    ----------
    text : str
        The list, comma-separated, with the columns of `COLUMNS`; bare numbers are in the unit of `width`.
    width : Length
        Usable width of every fabric.
    source : str
        Name of the file, for messages.

    Returns
    -------
    list of FabricCut
        In the order in which the fabrics are first named.

    Raises
    ------
    PlanError
        When a row cannot be read or a piece does not lie within the width, naming row and value.

    Examples
    --------
    >>> from seamlore.lengths import inches
    >>> head = "fabric,piece,width,height,count,may_turn"
    >>> [red] = cut(f"{head}\\nred,square,5,5,16,no", inches(42))
    >>> str(red.length), str(red.least_length), round(red.waste, 3)
    ('10 in', '10 in', 0.048)
    >>> cut(head, inches(42))
    Traceback (most recent call last):
        ...
    seamlore.errors.PlanError: a list without pieces: it names at least one; write a row for each kind of piece
    """
    if width.inches <= 0:
        raise PlanError(f"a fabric {width} wide", "a width is more than 0", "give the usable width, such as 42in")
    found: dict[str, dict[tuple[str, Length, Length, bool], int]] = {}
    total = 0
    for row, fabric, piece in _rows(text, width.unit, source):
        where = f"{source}, row {row}" if source else f"row {row}"
        if piece.width > width and not (piece.may_turn and piece.height <= width):
            size = show_size(piece.width, piece.height)
            raise PlanError(
                f'"{piece.name}" of {size}',
                f"the fabric is {width} wide" + (", and it fits in neither turn" if piece.may_turn else ""),
                "cut it in parts, let it turn, or take a wider fabric",
                where=where,
            )
        total += piece.count
        if total > limits.PIECES:
            raise PlanError(
                f"{total:,} pieces up to here",
                f"at most {limits.PIECES:,} are laid out at once",
                "cut the list in parts",
                where=where,
            )
        kinds = found.setdefault(fabric, {})
        key = piece.name, piece.width, piece.height, piece.may_turn
        kinds[key] = kinds.get(key, 0) + piece.count
    if not found:
        raise PlanError(
            "a list without pieces", "it names at least one", "write a row for each kind of piece", where=source
        )
    return [
        _laid_out(fabric, [Piece(name, w, h, count, turn) for (name, w, h, turn), count in kinds.items()], width)
        for fabric, kinds in found.items()
    ]


def _laid_out(fabric: str, pieces: Sequence[Piece], width: Length) -> FabricCut:
    # Parts so fine that every side is a whole number of them; the width is cut down to whole parts.
    sides = [side.measured_in(width.unit) for each in pieces for side in (each.width, each.height)]
    per_unit = lcm(*(side.denominator for side in sides))
    parts = int(width.measured_in(width.unit) * per_unit)
    if parts > limits.PARTS_ACROSS:
        raise PlanError(
            f'sizes of "{fabric}" that only 1/{per_unit} {width.unit} divides',
            f"a width is at most {limits.PARTS_ACROSS:,} such parts",
            "round the sizes up to marks of the ruler",
        )
    kinds = [
        Kind(
            int(each.width.measured_in(width.unit) * per_unit),
            int(each.height.measured_in(width.unit) * per_unit),
            each.count,
            each.may_turn,
        )
        for each in pieces
    ]
    return FabricCut(fabric, tuple(pieces), lay_out(kinds, parts), in_unit(Fraction(1, per_unit), width.unit))


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
    if sorted(head) != sorted(COLUMNS):
        wrong = next((name for name in head if name not in COLUMNS), "")
        missing = next((name for name in COLUMNS if name not in head), "")
        given = f'the column "{wrong}"' if wrong else "the columns" if not missing else f'no column "{missing}"'
        raise PlanError(
            given,
            f"the columns are {', '.join(COLUMNS)}, each once",
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
    )


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


def as_record(fabrics: Sequence[FabricCut]) -> dict[str, Any]:
    """Give the layouts as `seamlore cut --json` prints them."""
    return {"unit": str(fabrics[0].width.unit), "fabrics": [_fabric_record(each) for each in fabrics]}


def _fabric_record(each: FabricCut) -> dict[str, Any]:
    part = each.part
    return {
        "fabric": each.name,
        "width": each.width.number,
        "length": each.length.number,
        "least_length": each.least_length.number,
        "places": [
            {
                "piece": each.pieces[place.kind].name,
                "x": (part * place.x).number,
                "y": (part * place.y).number,
                "width": (part * place.width).number,
                "height": (part * place.height).number,
                "turned": place.turned,
            }
            for place in each.layout.places()
        ],
    }


def headline(each: FabricCut) -> str:
    """Say what to cut off and how near to the least that is."""
    saying = f"{each.name}: cut {show(each.length, direction='up')} of {show(each.width)} wide; "
    if each.layout.length == each.layout.least_length:
        return saying + f"no plan needs less; {each.waste:.1%} is waste"
    return saying + f"no plan needs less than {show(each.least_length)}; {each.waste:.1%} is waste"


def cuts_in_words(each: FabricCut) -> list[str]:
    """Say every cut in order: strips off the length first, then each strip from its left end."""
    lines = []
    for number, strip in enumerate(each.layout.strips, start=1):
        lines.append(f"Strip {number}: cut {show(each.part * strip.height)} off, across the whole width.")
        lines += [f"  {line}" for line in _cuts(each, strip, "the strip")]
    return lines


def _cuts(each: FabricCut, block: Block, what: str) -> list[str]:
    if block.kind >= 0:
        return [f"{what.capitalize()}: trim to {_said(each, block)}."]
    row = _row(block, block.across)
    side = "width" if block.across else "height"
    lines: list[str] = []
    at = 0
    while at < len(row):
        like = at + 1
        while like < len(row) and row[like] == row[at]:
            like += 1
        size = show(each.part * int(getattr(row[at], side)))
        how = "cross-cut" if block.across else "cut back"
        times = f", {like - at} times" if like - at > 1 else ""
        if row[at].kind >= 0:
            lines.append(f"From {what} {how} {size}{times}: {_said(each, row[at])}.")
        else:
            lines.append(f"From {what} {how} {size}{times}:")
            lines += [f"  {line}" for line in _cuts(each, row[at], "that")]
        at = like
    return lines


def _row(block: Block, across: bool) -> list[Block]:
    """All that lies side by side (or one behind the other) in a block."""
    if block.kind >= 0 or block.across != across:
        return [block]
    return [each for half in block.blocks for each in _row(half, across)]


def _said(each: FabricCut, block: Block) -> str:
    size = show_size(each.part * block.width, each.part * block.height)
    return f'"{each.pieces[block.kind].name}", {size}' + (", turned" if block.turned else "")
