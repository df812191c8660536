"""The quilt as it is drafted: one block, set straight, with sashing and borders; sizes exact."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Literal

from seamlore.draft.block import Block
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
class Border:
    """One border.

    Parameters
    ----------
    width : Length
        Finished width, the same on all four sides.
    fabric : str
        What its fabric is called.
    corners : {"butted", "mitred", "squares"}
        Butted: the sides are sewn first, top and bottom run across; squares: another fabric at the corners.
    """

    width: Length
    fabric: str = "border"
    corners: Literal["butted", "mitred", "squares"] = "butted"


@dataclass(frozen=True, slots=True)
class Turned:
    """How one block lies: mirrored left to right (if so), then turned clockwise by `turn` degrees."""

    turn: Literal[0, 90, 180, 270] = 0
    mirrored: bool = False


@dataclass(frozen=True, slots=True)
class Quilt:
    """A quilt of one block in rows and columns, uncropped as pieced.

    Parameters
    ----------
    name : str
        What the quilt is called.
    block : Block
        The block.
    block_width, block_height : Length
        Finished size of the block.
    rows, columns : int
        Blocks down and across.
    sashing : Sashing, optional
        Strips between the blocks.
    borders : tuple of Border
        From the inside outward.
    turned : mapping of (row, column) to Turned
        Blocks that lie otherwise than the block is drawn.
    fabrics : mapping of str to str
        What the fabric of a place is called: "A" -> "indigo prints". A place without an entry is
        called after its letter. The keys "sashing" and "cornerstone" serve for those.
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

    def __post_init__(self) -> None:
        if self.rows < 1 or self.columns < 1:
            raise ShapeError(
                f"{self.rows} rows of {self.columns} blocks",
                "a quilt has at least one block",
                "give 1 or more of each",
            )
        widths = [self.block_width, self.block_height, *(border.width for border in self.borders)]
        if any(width.inches <= 0 for width in widths):
            raise LengthError("a block or border of 0 width", "each must be more than 0", "give its finished size")

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
    def field_size(self) -> tuple[Length, Length]:
        """Finished size of blocks and sashing, without borders."""
        across, down = self.gaps
        outer = 1 if self.sashing and self.sashing.outer else -1
        return (
            self.block_width * self.columns + across * (self.columns + outer),
            self.block_height * self.rows + down * (self.rows + outer),
        )

    @property
    def finished_size(self) -> tuple[Length, Length]:
        """Finished size of the whole quilt.

        Examples
        --------
        >>> from seamlore.draft.notation import read_block
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
