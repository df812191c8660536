"""What the single lines of a draft file say: lengths, settings, sashing, borders, turns."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any, Literal, ParamSpec, TypeVar, cast

from seamlore.draft.border import Border, Side
from seamlore.draft.border import border as even_border
from seamlore.draft.kinds import Turned
from seamlore.draft.quilt import Sashing
from seamlore.draft.setting.setting import Cut, Offset, OnPoint, Setting, Straight, Strips
from seamlore.errors import NotationError, SeamloreError, nearest
from seamlore.lengths import Length, inches, length, pair
from seamlore.limits import FABRIC_NAME, ROWS, whole_number

_TURN = re.compile(r"(m?)(0|90|180|270)")
_CORNERS = ("butted", "mitered", "mitred", "squares")
_BRITISH = {"mitred": "mitered"}
_Given = ParamSpec("_Given")
_Made = TypeVar("_Made")


@dataclass(frozen=True, slots=True)
class Line:
    """One line of a file: where it stands, and what follows its first word.

    Parameters
    ----------
    number : int
        From 1.
    text : str
        What follows the word.
    source : str
        The file's name with a comma, or nothing.
    column : int
        Which word of it is meant, from 1; 0 for the whole line.
    """

    number: int
    text: str = ""
    source: str = ""
    column: int = 0

    @property
    def where(self) -> str:
        """The place, for messages."""
        return f"{self.source}line {self.number}" + (f", column {self.column}" if self.column else "")

    def refuse(self, given: str, limit: str, remedy: str) -> NotationError:
        """Make the error that names this line."""
        return NotationError(given, limit, remedy, where=self.where)

    def at(self, make: Callable[_Given, _Made], *given: _Given.args, **named: _Given.kwargs) -> _Made:
        """Call something, and put this line before the place of its complaint."""
        try:
            return make(*given, **named)
        except SeamloreError as fault:
            where = ", ".join(part for part in (self.where, fault.where) if part)
            raise type(fault)(fault.given, fault.limit, fault.remedy, where=where) from fault

    def parts(self) -> list[str]:
        """What commas part."""
        return [part.strip() for part in self.text.split(",")]

    def options(self, words: Sequence[str], known: Sequence[str]) -> Sequence[str]:
        """Give back words that are all known; refuse the first that is not, offering the nearest."""
        for word in words:
            if word not in known:
                raise self.refuse(f'"{word}"', "it says nothing here", nearest(word, known))
        return words


def count(line: Line) -> int:
    """Read a number of rows or columns.

    Examples
    --------
    >>> count(Line(4, "7"))
    7
    >>> count(Line(4, "none"))
    Traceback (most recent call last):
        ...
    seamlore.errors.NotationError: line 4: "none": from 1 to 500; give a whole number
    """
    number = whole_number(line.text)
    if number is None or not 1 <= number <= ROWS:
        raise line.refuse(f'"{line.text}"', f"from 1 to {ROWS}", "give a whole number")
    return number


def finished(line: Line) -> tuple[Length, Length]:
    """Read one length for a square, or a width and a height.

    Examples
    --------
    >>> finished(Line(3, "9 in")), finished(Line(3, "9 x 12 in"))
    ((Length('9 in'), Length('9 in')), (Length('9 in'), Length('12 in')))
    >>> finished(Line(3, "9"))
    Traceback (most recent call last):
        ...
    seamlore.errors.LengthError: line 3: "9" is not a length: it has no unit; ...
    """
    return line.at(pair, line.text)


def setting(line: Line) -> Setting:
    """Read how blocks are set.

    Examples
    --------
    >>> setting(Line(6, "on point, half blocks"))
    OnPoint(edge='half blocks')
    >>> setting(Line(6, "askew"))
    Traceback (most recent call last):
        ...
    seamlore.errors.NotationError: line 6: "askew": blocks are not set so; choose one of: offset, on point, straight, strips
    """
    kind, *rest = line.parts()
    if kind == "straight":
        line.options(rest, [])
        return Straight()
    if kind == "on point":
        return OnPoint("half blocks" if line.options(rest, ["half blocks"]) else "triangles")
    if kind == "offset":
        return Offset("plain" if line.options(rest, ["plain ends"]) else "cut blocks")
    if kind.startswith("strips"):
        width = line.at(length, kind.removeprefix("strips"))
        said = line.options(rest, ["outside", "on point"])
        return Strips(width, "outside" in said, "on point" in said)
    kinds = ("straight", "on point", "offset", "strips")
    raise line.refuse(f'"{kind}"', "blocks are not set so", nearest(kind, kinds))


def sashing(line: Line) -> Sashing:
    """Read the widths of sashing, and whether it runs outside and has cornerstones.

    Examples
    --------
    >>> sashing(Line(7, "2 by 3 in, outside")).between_rows
    Length('3 in')
    >>> sashing(Line(7, "0 in")).between_rows
    Length('0 in')
    """
    widths, *rest = line.parts()
    said = line.options(rest, ["outside", "cornerstones"])
    return Sashing(*line.at(pair, widths), "outside" in said, "cornerstones" in said)


def cut(line: Line) -> Cut:
    """Read how much is cut off at some sides.

    Examples
    --------
    >>> cut(Line(8, "left 2 in")).left, cut(Line(8, "left 2 in")).top
    (Length('2 in'), Length('0 in'))
    """
    sides: dict[str, Length] = dict.fromkeys(("left", "top", "right", "bottom"), inches(0))
    for part in line.parts():
        side, _, given = part.partition(" ")
        line.options([side], list(sides))
        sides[side] = line.at(length, given)
    return Cut(**sides)


def border(line: Line) -> Border:
    """Read a border: its width, its corners if they are said, and its fabric.

    Examples
    --------
    >>> made = border(Line(9, "4 in, mitered, brown, faded"))
    >>> made.corners, made.top.fabric
    ('mitered', 'brown, faded')
    >>> border(Line(9, "4 in, mitred")).corners  # the British spelling is read too
    'mitered'
    >>> border(Line(9, "4 in")).top.fabric
    'border'
    """
    given, *rest = line.parts()
    width = line.at(length, given)
    corners = rest.pop(0) if rest and rest[0] in _CORNERS else "butted"
    corners = _BRITISH.get(corners, corners)
    # A fabric's name may hold commas; it comes last, as it was written.
    fabric = line.text.split(",", line.text.count(",") - len(rest) + 1)[-1].strip() if rest else "border"
    _check_fabric(line, fabric)
    return even_border(width, fabric, cast(Literal["butted", "mitered", "squares"], corners))


def side(line: Line, now: Side) -> Side:
    """Read one side of a border that is otherwise than the rest: its width, and its fabric if it is another.

    Examples
    --------
    >>> side(Line(10, "6 in, blue"), Side(inches(4), "brown"))
    Side(width=Length('6 in'), fabric='blue', pieced=None)
    >>> side(Line(10, "6 in"), Side(inches(4), "brown")).fabric
    'brown'
    """
    given, comma, fabric = line.text.partition(",")
    named = fabric.strip() if comma else now.fabric
    _check_fabric(line, named)
    return replace(now, width=line.at(length, given.strip()), fabric=named)


def _check_fabric(line: Line, name: str) -> None:
    if len(name) > FABRIC_NAME:
        raise line.refuse(
            f"a fabric's name of {len(name):,} characters", f"at most {FABRIC_NAME}", "write it shorter"
        )


def fabric(line: Line) -> tuple[str, str]:
    """Read what the fabric of a place is called.

    Examples
    --------
    >>> fabric(Line(9, "A = muslin"))
    ('A', 'muslin')
    """
    key, equals, name = (part.strip() for part in line.text.partition("="))
    _check_fabric(line, name)
    if not (key and equals and name):
        raise line.refuse(f'"{line.text}"', "a fabric line is a place = a name", "write: fabric A = muslin")
    return key, name


def is_pattern(line: Line) -> bool:
    """Tell whether a line of turns names a pattern.

    Examples
    --------
    >>> is_pattern(Line(9, "in fours")), is_pattern(Line(9, "m90 0"))
    (True, False)
    """
    return not _TURN.fullmatch(line.text.split()[0])


def turned_rows(lines: Sequence[Line], spots: Sequence[tuple[int, int]]) -> Mapping[tuple[int, int], Turned]:
    """Read a line of turns for each row of blocks.

    Parameters
    ----------
    lines : sequence of Line
        One for each row, from the top.
    spots : sequence of (row, column)
        Of all blocks, as `Quilt.spots` has them.

    Returns
    -------
    mapping of (row, column) to Turned
        An entry for every block, also for those that lie as drawn.

    Examples
    --------
    >>> turned_rows([Line(9, "0 m90")], [(0, 0), (0, 1)])[0, 1]
    Turned(turn=90, mirrored=True)
    >>> turned_rows([Line(9, "0")], [(0, 0), (0, 1)])
    Traceback (most recent call last):
        ...
    seamlore.errors.NotationError: line 9: 1 turn: this row has 2 blocks; give one for each
    """
    rows: dict[int, list[tuple[int, int]]] = {}
    for spot in spots:
        rows.setdefault(spot[0], []).append(spot)
    if len(lines) != len(rows):
        given = f"{len(lines)} line{'s' * (len(lines) > 1)} of turns"
        raise lines[-1].refuse(given, f"the quilt has {len(rows)} rows", "give one for each")
    ways: dict[tuple[int, int], Turned] = {}
    for row, line in zip(rows.values(), lines, strict=True):
        words = line.text.split()
        if len(words) != len(row):
            raise line.refuse(
                f"{len(words)} turn{'s' * (len(words) != 1)}", f"this row has {len(row)} blocks", "give one for each"
            )
        for spot, word in zip(row, words, strict=True):
            found = _TURN.fullmatch(word)
            if not found:
                raise line.refuse(f'"{word}"', "a turn is 0, 90, 180 or 270, after an m if mirrored", "mend it")
            turn: Any = int(found[2])
            ways[spot] = Turned(turn, bool(found[1]))
    return ways
