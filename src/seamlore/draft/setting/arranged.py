"""Where every piece of a quilt's top lies, exactly: the one arrangement that counting, sewing and drawing all read."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from seamlore.draft.quilt import Quilt
from seamlore.draft.setting.border import border_parts
from seamlore.draft.setting.on_point import point_bits, point_spots
from seamlore.draft.setting.parts import Bit, Frame, Spot
from seamlore.draft.setting.setting import OnPoint, Strips
from seamlore.draft.setting.straight import straight_bits, straight_spots
from seamlore.once import Once


@dataclass(frozen=True, slots=True)
class Arrangement:
    """Everything that a quilt's top is sewn from, exact and in its place.

    Parameters
    ----------
    spots : tuple of Spot
        Blocks by row and column, those not read too; then the units of pieced borders from the inside outward.
    setting : tuple of Bit
        Sashing, strips and setting triangles.
    borders : tuple of tuple of Bit
        Strips and squares of each border, from the inside outward.
    """

    spots: tuple[Spot, ...]
    setting: tuple[Bit, ...]
    borders: tuple[tuple[Bit, ...], ...]

    @property
    def bits(self) -> tuple[Bit, ...]:
        """All pieces that belong to no block: setting, then borders."""
        return (*self.setting, *(bit for border in self.borders for bit in border))


@Once
def arrange(quilt: Quilt) -> Arrangement:
    """Arrange blocks, setting and borders of a quilt.

    Parameters
    ----------
    quilt : Quilt
        As drafted.

    Returns
    -------
    Arrangement
        What `lay` draws and `pieces` counts.

    Examples
    --------
    >>> from seamlore.draft.repeated import repeated
    >>> from seamlore.draft.text.notation import read_block
    >>> from seamlore.lengths import inches
    >>> plain = read_block("block Plain\\nA light\\n\\nA")
    >>> arranged = arrange(repeated("q", plain, inches(8), inches(8), 2, 2, setting=OnPoint()))
    >>> len(arranged.spots), len(arranged.setting), arranged.borders
    (5, 8, ())
    """
    frame = field_frame(quilt)
    border_bits, border_spots = border_parts(quilt)
    setting = [] if isinstance(quilt.setting, OnPoint) else straight_bits(quilt, frame)
    if on_point(quilt):
        setting += point_bits(quilt, frame)
    spots = sorted(block_spots(quilt, frame), key=lambda spot: (spot.where.row, spot.where.column))
    return Arrangement(
        (*spots, *(spot for border in border_spots for spot in border)),
        tuple(setting),
        tuple(map(tuple, border_bits)),
    )


def on_point(quilt: Quilt) -> bool:
    """Tell whether the blocks of a quilt stand on a corner, in a whole field or in strips."""
    return isinstance(quilt.setting, OnPoint) or (isinstance(quilt.setting, Strips) and quilt.setting.on_point)


def block_spots(quilt: Quilt, frame: Frame) -> Iterator[Spot]:
    """Give the spots of all blocks, those not read too."""
    return point_spots(quilt, frame) if on_point(quilt) else straight_spots(quilt, frame)


def field_frame(quilt: Quilt) -> Frame:
    """Give the frame of blocks and setting: its origin is their corner before anything is cut off."""
    top, _, _, left = (band.inches for band in quilt.bands)
    if quilt.cut:
        return Frame(left - quilt.cut.left.inches, top - quilt.cut.top.inches)
    return Frame(left, top)
