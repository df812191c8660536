"""Where every piece of a quilt's top lies, for drawing it."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction

import numpy as np

from seamlore.draft.block import Block
from seamlore.draft.quilt import Quilt
from seamlore.draft.setting.border import border_parts
from seamlore.draft.setting.on_point import point_bits, point_spots
from seamlore.draft.setting.parts import Bit, Frame, Ring, Role, Spot, SpotKind, parts, spot_kind
from seamlore.draft.setting.setting import OnPoint, Strips
from seamlore.draft.setting.straight import straight_bits, straight_spots
from seamlore.plane.outline import Points

# The turned frame: x down to the right, y down to the left.
_TILT = np.array([[1.0, 1.0], [-1.0, 1.0]]) / np.sqrt(2.0)


@dataclass(frozen=True, slots=True, eq=False)
class Laid:
    """One piece where it lies.

    Parameters
    ----------
    role : str
        What it is in the quilt, as in `pieces`.
    key : str
        The place ("A"), "sashing", "cornerstone", "strip", "setting triangle", "plain block" or "border 1";
        what its color hangs on.
    fabric : str
        What its fabric is called.
    outline : ndarray, shape (n, 2)
        Finished corners in inches from the quilt's top left corner.
    row, column : int
        Of its block; -1 for what belongs to no block.
    patch : int
        Index of the patch in its block as drawn (unturned); -1 for what belongs to no block.
    """

    role: Role
    key: str
    fabric: str
    outline: Points
    row: int = -1
    column: int = -1
    patch: int = -1


@dataclass(frozen=True, slots=True)
class Arrangement:
    """Everything that a quilt's top is sewn from, exact and in its place.

    Parameters
    ----------
    spots : tuple of Spot
        Blocks by row and column, then the units of pieced borders from the inside outward.
    setting : tuple of Bit
        Sashing, strips and setting triangles.
    borders : tuple of tuple of Bit
        Strips and squares of each border, from the inside outward.
    """

    spots: tuple[Spot, ...]
    setting: tuple[Bit, ...]
    borders: tuple[tuple[Bit, ...], ...]


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
    >>> from seamlore.draft.text.notation import read_block
    >>> from seamlore.lengths import inches
    >>> plain = read_block("block Plain\\nA light\\n\\nA")
    >>> arranged = arrange(Quilt("q", plain, inches(8), inches(8), 2, 2, setting=OnPoint()))
    >>> len(arranged.spots), len(arranged.setting), arranged.borders
    (5, 8, ())
    """
    frame = _field_frame(quilt)
    border_bits, border_spots = border_parts(quilt)
    setting = [] if isinstance(quilt.setting, OnPoint) else straight_bits(quilt, frame)
    if on_point(quilt):
        setting += point_bits(quilt, frame)
    spots = sorted(_block_spots(quilt, frame), key=lambda spot: (spot.row, spot.column))
    return Arrangement(
        (*spots, *(spot for border in border_spots for spot in border)),
        tuple(setting),
        tuple(map(tuple, border_bits)),
    )


def on_point(quilt: Quilt) -> bool:
    """Tell whether the blocks of a quilt stand on a corner, in a whole field or in strips."""
    return isinstance(quilt.setting, OnPoint) or (isinstance(quilt.setting, Strips) and quilt.setting.on_point)


def _block_spots(quilt: Quilt, frame: Frame) -> Iterator[Spot]:
    return point_spots(quilt, frame) if on_point(quilt) else straight_spots(quilt, frame)


def _field_frame(quilt: Quilt) -> Frame:
    """The frame of blocks and setting: its origin is their corner before anything is cut off."""
    band = sum((border.width.inches for border in quilt.borders), Fraction(0))
    if quilt.cut:
        return Frame(band - quilt.cut.left.inches, band - quilt.cut.top.inches)
    return Frame(band, band)


def lay(quilt: Quilt) -> tuple[Laid, ...]:
    """Lay out every piece of a quilt's top.

    Parameters
    ----------
    quilt : Quilt
        As drafted.

    Returns
    -------
    tuple of Laid
        Borders first (outermost first), then the setting, then the patches of every block by row and column,
        then those of pieced borders.

    Examples
    --------
    >>> from seamlore.draft.text.notation import read_block
    >>> from seamlore.lengths import length
    >>> four = read_block("block Four Patch\\nA dark\\nB light\\n\\nA B\\nB A")
    >>> len(lay(Quilt("q", four, length("8in"), length("8in"), 2, 3)))
    24
    """
    arranged = arrange(quilt)
    bits = [bit for border in reversed(arranged.borders) for bit in border] + list(arranged.setting)
    return (*map(_lay_bit, bits), *_lay_spots(quilt, arranged.spots))


def _floats(ring: Ring, frame: Frame) -> Points:
    """Corners as floats, turned as the frame is, but not yet moved."""
    points = np.array([[float(x), float(y)] for x, y in ring])
    return points @ _TILT if frame.tilted else points


def _offset(x: Fraction, y: Fraction, frame: Frame) -> Points:
    point = np.array([float(x), float(y)])
    return (point @ _TILT if frame.tilted else point) + [float(frame.x), float(frame.y)]


def _lay_bit(bit: Bit) -> Laid:
    return Laid(bit.role, bit.key, bit.fabric, _floats(bit.outline, bit.frame) + _offset(bit.x, bit.y, bit.frame))


def _lay_spots(quilt: Quilt, spots: tuple[Spot, ...]) -> Iterator[Laid]:
    shapes: dict[tuple[SpotKind, bool], list[tuple[int, str, str, Points]]] = {}
    for spot in spots:
        kind = spot_kind(spot), spot.frame.tilted
        if kind not in shapes:
            shapes[kind] = [
                (part.index, part.place, quilt.fabric_of(part.place), _floats(part.outline, spot.frame))
                for part in parts(spot)
            ]
        corner = _offset(spot.x, spot.y, spot.frame)
        of_block = spot.row >= 0
        for index, place, fabric, points in shapes[kind]:
            yield Laid(spot.role, place, fabric, points + corner, spot.row, spot.column, index if of_block else -1)


def field_corner(quilt: Quilt) -> tuple[float, float]:
    """Inches from the quilt's top left corner to the top left corner of blocks and setting."""
    band = sum((border.width.inches_float for border in quilt.borders), 0.0)
    return band, band


def block_corner(quilt: Quilt, row: int, column: int) -> tuple[float, float]:
    """Inches from the quilt's top left corner to the corner that is the top left of the block as drawn, unturned.

    A block on point stands on a corner, and this is the one that points up.
    """
    frame = _field_frame(quilt)
    spot = next(spot for spot in _block_spots(quilt, frame) if (spot.row, spot.column) == (row, column))
    x, y = _offset(spot.x, spot.y, spot.frame)
    return float(x), float(y)


def lay_block(block: Block) -> tuple[tuple[str, Points], ...]:
    """Lay out the patches of a block on a square of side 1: place and outline of each."""
    return tuple((each.place, each.points) for each in block.patches)
