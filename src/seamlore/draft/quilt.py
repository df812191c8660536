"""The quilt as it is drafted: blocks in a setting, with sashing and borders; sizes exact."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from typing import Literal

from seamlore.draft.block import Block, Place
from seamlore.draft.setting.repeat import even_units
from seamlore.draft.setting.setting import (
    STRAIGHT,
    Cut,
    Measure,
    OnPoint,
    Setting,
    check_setting,
    field_size,
    spots,
    takes_second,
)
from seamlore.errors import LengthError, ShapeError
from seamlore.lengths import Length, Unit, inches, show


@dataclass(frozen=True, slots=True)
class Sashing:
    """Strips between the blocks.

    Parameters
    ----------
    between_columns, between_rows : Length
        Finished widths; the width of the strips that stand, and of those that lie.
    outer : bool
        Whether a strip also runs round the outside of the blocks.
    cornerstones : bool
        Whether squares of another fabric stand where strips cross. Otherwise the lying strips run through.
    """

    between_columns: Length
    between_rows: Length
    outer: bool = False
    cornerstones: bool = False


@dataclass(frozen=True, slots=True)
class Pieced:
    """What a pieced border repeats.

    Parameters
    ----------
    unit : Block
        The unit as it lies in the top border, its foot toward the middle of the quilt; it is turned by
        quarters round the quilt.
    length : Length
        Finished length of one unit along the border; its other side is the width of the border.
    corner : Block, optional
        What stands in the corners; a plain square without.
    mirrored : bool
        Whether the units of each side are mirrored from its middle on, so that the corners look alike; the
        middle one of an odd number stays as drawn.
    """

    unit: Block
    length: Length
    corner: Block | None = None
    mirrored: bool = False


@dataclass(frozen=True, slots=True)
class Border:
    """One border.

    Parameters
    ----------
    width : Length
        Finished width, the same on all four sides.
    fabric : str
        What its fabric is called.
    corners : {"butted", "mitered", "squares"}
        Butted: the sides are sewn first, top and bottom run across; squares: another fabric at the corners.
    pieced : Pieced, optional
        What it repeats, when it is not one strip of cloth; it must divide evenly.
    """

    width: Length
    fabric: str = "border"
    corners: Literal["butted", "mitered", "squares"] = "butted"
    pieced: Pieced | None = None


@dataclass(frozen=True, slots=True)
class Turned:
    """How one block lies: mirrored left to right (if so), then turned clockwise by `turn` degrees.

    On point the block so turned is turned 45 degrees more, so that its top left corner points up.
    """

    turn: Literal[0, 90, 180, 270] = 0
    mirrored: bool = False


AS_DRAWN = Turned()


@dataclass(frozen=True, slots=True)
class Quilt:
    """A quilt of blocks in a setting, uncropped as pieced unless `cut` says otherwise.

    Parameters
    ----------
    name : str
        What the quilt is called.
    block : Block
        The block.
    block_width, block_height : Length
        Finished size of the block.
    rows, columns : int
        Blocks down and across; on point where they are widest.
    sashing : Sashing, optional
        Strips between the blocks.
    borders : tuple of Border
        From the inside outward.
    turned : mapping of (row, column) to Turned
        Blocks that lie otherwise than the block is drawn. On point every second row is one of the shorter
        rows between.
    fabrics : mapping of str to str
        What the fabric of a place is called: "A" -> "indigo prints". A place without an entry is
        called after its letter. The keys "sashing", "cornerstone", "strip" and "setting triangle" serve
        for those. A letter is one place in all blocks of the quilt.
    setting : Straight, OnPoint, Offset or Strips
        How the blocks lie.
    second : Block, optional
        The block that takes every other spot: pieced, or plain (a block of one patch).
    cut : Cut, optional
        What the edge has cut off blocks and sashing.
    """

    name: str
    block: Block
    block_width: Length
    block_height: Length
    rows: int
    columns: int
    sashing: Sashing | None = None
    borders: tuple[Border, ...] = ()
    turned: Mapping[tuple[int, int], Turned] = field(default_factory=dict)
    fabrics: Mapping[str, str] = field(default_factory=dict)
    setting: Setting = STRAIGHT
    second: Block | None = None
    cut: Cut | None = None

    def __post_init__(self) -> None:
        _check_numbers(self)
        check_setting(self.setting, self.measure, cornerstones=bool(self.sashing and self.sashing.cornerstones))
        object.__setattr__(self, "turned", {spot: how for spot, how in self.turned.items() if how != AS_DRAWN})
        known = set(self.spots)
        for row, column in self.turned:
            if (row, column) not in known:
                raise ShapeError(
                    f"a turned block in row {row + 1}, column {column + 1}",
                    f"the quilt has {self.rows} rows of {self.columns} blocks",
                    "name a block that is there",
                )
        _check_cut(self)
        self.places  # noqa: B018  (refuses letters that mean two things)
        for _ in border_sides(self):
            pass

    @property
    def unit(self) -> Unit:
        """The unit that the quilt is worked in."""
        return self.block_width.unit

    @property
    def gaps(self) -> tuple[Length, Length]:
        """Finished sashing between columns and between rows; 0 when there is none."""
        zero = inches(0).shown_in(self.unit)
        return (self.sashing.between_columns, self.sashing.between_rows) if self.sashing else (zero, zero)

    @property
    def measure(self) -> Measure:
        """The numbers that the size of the setting hangs on."""
        outer = bool(self.sashing and self.sashing.outer)
        return Measure(self.rows, self.columns, self.block_width, self.block_height, *self.gaps, outer)

    @property
    def spots(self) -> tuple[tuple[int, int], ...]:
        """Row and column of every block, cut ones too."""
        return tuple(spots(self.setting, self.rows, self.columns))

    @property
    def blocks(self) -> tuple[Block, ...]:
        """Every block that the quilt is made of, its main block first; units of borders last."""
        found = [self.block, *([self.second] if self.second else [])]
        for border in self.borders:
            if border.pieced:
                found += [border.pieced.unit, *([border.pieced.corner] if border.pieced.corner else [])]
        return tuple(found)

    @property
    def places(self) -> Mapping[str, Place]:
        """Every place of every block; a letter is one place in all of them."""
        found: dict[str, tuple[Place, str]] = {}
        for block in self.blocks:
            for letter, place in block.places.items():
                known, named = found.setdefault(letter, (place, block.name))
                if known != place:
                    raise ShapeError(
                        f"place {letter}, {_said(known)} in {named} and {_said(place)} in {block.name}",
                        "a letter is one place in the whole quilt",
                        "give it another letter in one of the two",
                    )
        return {letter: place for letter, (place, _) in sorted(found.items())}

    def block_at(self, row: int, column: int) -> Block:
        """Give the block that lies in a row and column."""
        return self.second if self.second and takes_second(self.setting, row, column) else self.block

    @property
    def field_size(self) -> tuple[Length, Length]:
        """Finished size of blocks and setting, without borders."""
        width, height = field_size(self.setting, self.measure)
        if self.cut:
            width, height = width - self.cut.left - self.cut.right, height - self.cut.top - self.cut.bottom
        return width, height

    @property
    def finished_size(self) -> tuple[Length, Length]:
        """Finished size of the whole quilt.

        Examples
        --------
        >>> from seamlore.draft.text.notation import read_block
        >>> from seamlore.lengths import length
        >>> plain = read_block("block Plain\\nA light\\n\\nA")
        >>> gap = Sashing(length("3in"), length("3in"))
        >>> Quilt("check", plain, length("8in"), length("8in"), 1, 7, gap).finished_size
        (Length('74 in'), Length('8 in'))
        """
        width, height = self.field_size
        for border in self.borders:
            width, height = width + border.width * 2, height + border.width * 2
        return width, height

    def fabric_of(self, key: str) -> str:
        """What the fabric of a place, of the sashing or of the cornerstones is called."""
        return self.fabrics.get(key, f"Fabric {key}" if len(key) == 1 else key)

    def __str__(self) -> str:
        width, height = self.finished_size
        return f"{self.name}: {self.rows} rows of {self.columns} {self.block.name}, {show(width)} by {show(height)}"


def border_sides(quilt: Quilt) -> Iterator[tuple[Border, Length, Length, int, int]]:
    """Give each border with what it is sewn round, from the inside outward.

    Yields
    ------
    tuple
        The border; the width and height that it is sewn round; how many units its top and its side hold
        (0 and 0 for a border that is not pieced).

    Raises
    ------
    ShapeError
        When a pieced border does not divide evenly, or would have to be mitered.
    """
    width, height = quilt.field_size
    for number, border in enumerate(quilt.borders, start=1):
        name = f"border {number}"
        across = down = 0
        if border.pieced:
            if border.corners == "mitered":
                raise ShapeError(
                    "a pieced border, mitered",
                    "a miter would cut through its units",
                    "butt it, or put squares in its corners",
                    where=name,
                )
            if border.pieced.corner and border.corners != "squares":
                raise ShapeError(
                    f"{border.pieced.corner.name} in the corners of a border that is {border.corners}",
                    "a corner block takes the place of corner squares",
                    "ask for corner squares",
                    where=name,
                )
            top = width if border.corners == "squares" else width + border.width * 2
            across, down = even_units(top, height, border.pieced.length, name)
        yield border, width, height, across, down
        width, height = width + border.width * 2, height + border.width * 2


def _said(place: Place) -> str:
    return place.value + " scrappy" * place.scrappy


def _check_numbers(quilt: Quilt) -> None:
    if quilt.rows < 1 or quilt.columns < 1:
        raise ShapeError(
            f"{quilt.rows} rows of {quilt.columns} blocks",
            "a quilt has at least one block",
            "give 1 or more of each",
        )
    widths = [quilt.block_width, quilt.block_height, *(border.width for border in quilt.borders)]
    if any(width.inches <= 0 for width in widths):
        raise LengthError("a block or border of 0 width", "each must be more than 0", "give its finished size")
    if quilt.sashing and min(quilt.gaps).inches < 0:
        raise LengthError("sashing of less than 0", "it must be 0 or more", "give its finished width")


def _check_cut(quilt: Quilt) -> None:
    cut = quilt.cut
    if cut is None:
        return
    sides = (cut.left, cut.top, cut.right, cut.bottom)
    if any(side.inches < 0 for side in sides):
        raise LengthError("a cut of less than 0", "the edge cuts off 0 or more", "give what is gone")
    if isinstance(quilt.setting, OnPoint):
        raise ShapeError(
            "a cut by lengths on point",
            "on point the edge leaves blocks whole or halves them",
            "set the blocks on point with half blocks",
        )
    limits = (quilt.block_width, quilt.block_height) * 2
    if any(side >= limit for side, limit in zip(sides, limits, strict=True)):
        raise ShapeError(
            "a cut as wide as a block",
            "the edge cuts only outer blocks",
            "leave the row or column out instead",
        )
    if any(side.inches <= 0 for side in quilt.field_size):
        raise ShapeError("a cut that leaves nothing", "part of a block must be left", "cut off less")
