"""Borders: four sides, each with its width, its fabric, and what it repeats if it is pieced."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from typing import Literal

from seamlore.draft.setting.repeat import even_count, spacers
from seamlore.draft.where import SIDES, SideName
from seamlore.errors import LengthError, ShapeError
from seamlore.lengths import Length, inches, show
from seamlore.limits import BORDER_IN

Corners = Literal["butted", "mitered", "squares"]


@dataclass(frozen=True, slots=True)
class Pieced:
    """What one side of a pieced border repeats.

    Parameters
    ----------
    kind : str
        The kind of its unit, drawn as it lies in the top border, its foot toward the middle of the quilt; it is turned
        by quarters round the quilt.
    length : Length
        Finished length of one unit along the border; its other side is the width of the border.
    mirrored : bool
        Whether the units are mirrored from the middle of the side on, so that the corners look alike; the middle one
        of an odd number stays as drawn.
    """

    kind: str
    length: Length
    mirrored: bool = False


@dataclass(frozen=True, slots=True)
class Side:
    """One side of a border.

    Parameters
    ----------
    width : Length
        Finished; 0 where the border does not run along this side.
    fabric : str
        What its fabric is called, when it is one strip of cloth.
    pieced : Pieced, optional
        What it repeats, when it is pieced.
    """

    width: Length
    fabric: str = "border"
    pieced: Pieced | None = None


@dataclass(frozen=True, slots=True)
class Border:
    """One border.

    Parameters
    ----------
    top, right, bottom, left : Side
    corners : {"butted", "mitered", "squares"}
        Butted: the sides are sewn first, top and bottom run across; squares: another fabric at the corners.
    corner : str, optional
        The kind of block in its corners, instead of plain squares.
    """

    top: Side
    right: Side
    bottom: Side
    left: Side
    corners: Corners = "butted"
    corner: str | None = None

    def side(self, name: SideName) -> Side:
        """Give one side by its name."""
        found: Side = getattr(self, name)
        return found

    @property
    def sides(self) -> tuple[Side, Side, Side, Side]:
        """Top, right, bottom, left."""
        return self.top, self.right, self.bottom, self.left

    @property
    def widths(self) -> tuple[Length, ...]:
        """The widths that it has, the same said once: of the sides first, then of top and bottom."""
        found = (self.left.width, self.right.width, self.top.width, self.bottom.width)
        return tuple(dict.fromkeys(found))

    @property
    def even(self) -> bool:
        """Whether all four sides are alike."""
        return len(set(self.sides)) == 1

    @property
    def kinds(self) -> tuple[str, ...]:
        """The kinds of blocks in it, each once."""
        names = [side.pieced.kind for side in self.sides if side.pieced] + ([self.corner] if self.corner else [])
        return tuple(dict.fromkeys(names))

    def with_sides(self, sides: Iterable[Side]) -> Border:
        """Give it other sides: top, right, bottom, left."""
        top, right, bottom, left = sides
        return Border(top, right, bottom, left, self.corners, self.corner)


def border(
    width: Length,
    fabric: str = "border",
    corners: Corners = "butted",
    *,
    pieced: Pieced | None = None,
    corner: str | None = None,
    **other: Length,
) -> Border:
    """Make a border, the same on all four sides but for widths that are given by side.

    Parameters
    ----------
    width : Length
        Finished width.
    fabric, corners, pieced, corner
        As in `Side` and `Border`.
    top, right, bottom, left : Length, optional
        Widths of single sides.

    Examples
    --------
    >>> from seamlore.lengths import inches
    >>> made = border(inches(4), "brown", top=inches(6))
    >>> [str(side.width) for side in made.sides], made.even
    (['6 in', '4 in', '4 in', '4 in'], False)
    """
    top, right, bottom, left = (Side(other.get(name, width), fabric, pieced) for name in SIDES)
    return Border(top, right, bottom, left, corners, corner)


def widths_said(given: Border) -> str:
    """Say how wide a border is: one width, or those of its sides.

    Examples
    --------
    >>> from seamlore.lengths import inches
    >>> widths_said(border(inches(4))), widths_said(border(inches(4), top=inches(6), bottom=inches(6)))
    ('4 in', '4 in at the sides, 6 in at top and bottom')
    >>> widths_said(border(inches(4), top=inches(6), left=inches(0)))
    'none at the left, 6 in at the top, 4 in at right and bottom'
    """
    top, right, bottom, left = (show(side.width) if side.width else "" for side in given.sides)
    if top == bottom and left == right and top and left:
        return top if top == left else f"{left} at the sides, {top} at top and bottom"
    where: dict[str, list[str]] = {}
    for width, side in zip((top, right, bottom, left), SIDES, strict=True):
        where.setdefault(width, []).append(side)
    none = where.pop("", [])
    said = [f"{width} at {_named(sides)}" for width, sides in where.items()]
    return ", ".join([f"none at {_named(none)}", *said] if none else said)


def _named(sides: Sequence[str]) -> str:
    """Sides as they are said: "the top", "top and bottom", "top, right and bottom"."""
    return f"the {sides[0]}" if len(sides) == 1 else f"{', '.join(sides[:-1])} and {sides[-1]}"


@dataclass(frozen=True, slots=True)
class Round:
    """One border with what it is sewn round.

    Parameters
    ----------
    border : Border
    number : int
        From 1, the innermost.
    width, height : Length
        Of what it is sewn round.
    units : tuple of int
        How many units top, right, bottom and left hold; 0 for a side that is not pieced.
    """

    border: Border
    number: int
    width: Length
    height: Length
    units: tuple[int, int, int, int]


def rounds(borders: Iterable[Border], field: tuple[Length, Length]) -> Iterator[Round]:
    """Give each border with what it is sewn round, from the inside outward.

    Raises
    ------
    LengthError
        When a width is less than 0, or a border has no side.
    ShapeError
        When a pieced side does not divide evenly, would have to be mitered, or corners cannot be made.
    """
    width, height = field
    for number, each in enumerate(borders, start=1):
        name = f"border {number}"
        _check(each, name)
        units = [0, 0, 0, 0]
        across = width if each.corners == "squares" else width + each.left.width + each.right.width
        for index, side in enumerate(each.sides):
            if side.pieced and side.width:
                long, unit = (height if index % 2 else across), side.pieced.length
                where = f"{name}, {('top and bottom', 'sides')[index % 2] if each.even else 'the ' + SIDES[index]}"
                plain = spacers(across, height, unit) if each.even else ()
                units[index] = even_count(long, unit, where, plain)
        top, right, bottom, left = units
        yield Round(each, number, width, height, (top, right, bottom, left))
        width, height = width + each.left.width + each.right.width, height + each.top.width + each.bottom.width


def _check(each: Border, name: str) -> None:
    widths = [side.width for side in each.sides]
    if any(width.inches < 0 for width in widths) or not any(widths):
        raise LengthError("a border of 0 width", "it must be more than 0", "give its finished size", where=name)
    widest = max(widths, key=lambda width: width.inches)
    if widest.inches > BORDER_IN:
        given, most = show(widest), show(inches(BORDER_IN).shown_in(widest.unit))
        raise LengthError(
            f"a border of {given}" + (" and a little more" if given == most else ""),
            f"at most {most}",
            "give its finished width, from seam to seam",
            where=name,
        )
    if each.corners == "mitered" and not all(widths):
        raise ShapeError(
            "a mitered border where a side has no width", "a miter joins two sides", "butt its corners", where=name
        )
    if each.corners == "squares" and not all(widths):
        raise ShapeError(
            "corner squares where a side has no width", "a corner joins two sides", "butt its corners", where=name
        )
    if each.corners == "mitered" and any(side.pieced for side in each.sides):
        raise ShapeError(
            "a pieced border, mitered",
            "a miter would cut through its units",
            "butt it, or put squares in its corners",
            where=name,
        )
    if each.corner and each.corners != "squares":
        raise ShapeError(
            f"a block in the corners of a border that is {each.corners}",
            "a corner block takes the place of corner squares",
            "ask for corner squares",
            where=name,
        )
