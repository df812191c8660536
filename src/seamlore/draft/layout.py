"""Where every piece of a quilt's top lies, in inches, for drawing; `setting/arranged.py` has it exactly."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction
from functools import lru_cache

import numpy as np

from seamlore.draft.block import Patch
from seamlore.draft.kinds import Kind, Turned
from seamlore.draft.quilt import Quilt
from seamlore.draft.setting.arranged import Arrangement, arrange, block_spots, field_frame
from seamlore.draft.setting.parts import Bit, Frame, Ring, Role, Spot, outlines, parts
from seamlore.draft.where import Where
from seamlore.once import Very
from seamlore.plane.outline import Points

NOT_READ_KEY = "not read"
# The turned frame: x down to the right, y down to the left.
TILT = np.array([[1.0, 1.0], [-1.0, 1.0]]) / np.sqrt(2.0)


@dataclass(frozen=True, slots=True, eq=False)
class Laid:
    """One piece where it lies.

    Parameters
    ----------
    where : Where
        Its address.
    role : str
        What it is in the quilt, as in `pieces`.
    key : str
        The key of its place ("A", or "SF A" where there are several kinds), "sashing", "cornerstone", "strip",
        "setting triangle", "plain block", "border 1", or "not read"; what its color hangs on.
    fabric : str
        What its fabric is called; nothing where it was not read.
    outline : ndarray, shape (n, 2)
        Finished corners in inches from the quilt's top left corner.
    own : bool
        Whether its fabric is its own and not that of its kind.
    """

    where: Where
    role: Role
    key: str
    fabric: str
    outline: Points
    own: bool = False

    @property
    def row(self) -> int:
        """Of its block; -1 for what belongs to no block."""
        return self.where.row if self.where.part == "block" else -1

    @property
    def column(self) -> int:
        """Of its block; -1 for what belongs to no block."""
        return self.where.column if self.where.part == "block" else -1

    @property
    def patch(self) -> int:
        """Index of the patch in its block as drawn (unturned); -1 for what belongs to no block."""
        return self.where.patch if self.where.part == "block" else -1


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
        then those of pieced borders; a block that was not read is one piece.

    Examples
    --------
    >>> from seamlore.draft.repeated import repeated
    >>> from seamlore.draft.text.notation import read_block
    >>> from seamlore.lengths import length
    >>> four = read_block("block Four Patch\\nA dark\\nB light\\n\\nA B\\nB A")
    >>> len(lay(repeated("q", four, length("8in"), length("8in"), 2, 3)))
    24
    """
    arranged = arrange(quilt)
    return (*lay_bits(arranged), *_lay_spots(quilt, arranged.spots))


def lay_bits(arranged: Arrangement) -> list[Laid]:
    """Lay out what belongs to no block: borders first, the outermost before the others, then the setting."""
    bits = [bit for border in reversed(arranged.borders) for bit in border] + list(arranged.setting)
    return [_lay_bit(bit) for bit in bits]


@dataclass(frozen=True, slots=True, eq=False)
class PartLaid:
    """One patch of a spot: its index in the block as drawn, its letter, its finished corners counted from the spot's own
    corner; the whole spot has index -1 and no letter where it was not read."""

    index: int
    letter: str
    outline: Points


@dataclass(frozen=True, slots=True, eq=False)
class SpotLaid:
    """One spot where it lies.

    Parameters
    ----------
    spot : Spot
    corner : ndarray, shape (2,)
        Its own corner, in inches from the quilt's top left corner.
    unit : tuple of PartLaid or None
        Its patches as they lie in a square of 1 by 1: the very same for all spots of a kind that lie alike, from one draft
        to the next. None where the edge has cut it, or it was not read.
    """

    spot: Spot
    corner: Points
    unit: tuple[PartLaid, ...] | None

    @property
    def parts(self) -> tuple[PartLaid, ...]:
        """Its patches in inches from its corner."""
        spot = self.spot
        if self.unit is not None:
            return _sized(Very(self.unit), spot.width, spot.height, spot.frame.tilted)
        if spot.kind is None:
            return tuple(PartLaid(-1, "", _floats(ring, spot.frame)) for ring in outlines(spot))
        return tuple(PartLaid(part.index, part.place, _floats(part.outline, spot.frame)) for part in parts(spot))


def lay_spots(spots: tuple[Spot, ...]) -> Iterator[SpotLaid]:
    """Lay out spots; what is in them is worked out once for all that are alike."""
    units: dict[tuple[str, int, bool], tuple[PartLaid, ...]] = {}
    # Blocks of one row or column share their place along the other way.
    places: dict[int, float] = {}
    for spot in spots:
        unit = None
        if spot.kind is not None and not spot.keep:
            lies = spot.kind.name, spot.turned.turn, spot.turned.mirrored
            unit = units.get(lies)
            if unit is None:
                unit = units[lies] = _unit(Very(spot.kind.block.patches), spot.turned)
        x, y = spot.x, spot.y
        for each in (x, y):
            if id(each) not in places:
                places[id(each)] = float(each)
        yield SpotLaid(spot, _offset(places[id(x)], places[id(y)], spot.frame), unit)


@lru_cache(maxsize=2048)
def _unit(drawn: Very[tuple[Patch, ...]], turned: Turned) -> tuple[PartLaid, ...]:
    found = []
    for index, (each, (here, across)) in enumerate(zip(drawn.value, _as_floats(drawn), strict=True)):
        # As `moved_ring`, on what was made floats once for all ways to lie.
        if turned.mirrored:
            here, across = (
                np.stack([one[:, 0], two[:, 1]], 1)[::-1] for one, two in ((across, here), (here, across))
            )
        for _ in range(turned.turn // 90):
            here, across = (np.stack([one[:, 1], two[:, 0]], 1) for one, two in ((across, here), (here, across)))
        found.append(PartLaid(index, each.place, here))
    return tuple(found)


@lru_cache(maxsize=256)
def _as_floats(drawn: Very[tuple[Patch, ...]]) -> list[tuple[Points, Points]]:
    """The corners of every patch in a square of 1 by 1, and their distances from the square's other two sides."""
    return [
        (
            np.array([[float(x), float(y)] for x, y in each.outline]),
            np.array([[float(1 - x), float(1 - y)] for x, y in each.outline]),
        )
        for each in drawn.value
    ]


@lru_cache(maxsize=2048)
def _sized(unit: Very[tuple[PartLaid, ...]], width: Fraction, height: Fraction, tilted: bool) -> tuple[PartLaid, ...]:
    size = np.array([float(width), float(height)])
    sized = (part.outline * size for part in unit.value)
    turned = (points @ TILT if tilted else points for points in sized)
    return tuple(PartLaid(part.index, part.letter, points) for part, points in zip(unit.value, turned, strict=True))


def _floats(ring: Ring, frame: Frame) -> Points:
    """Corners as floats, turned as the frame is, but not yet moved."""
    points = np.array([[float(x), float(y)] for x, y in ring])
    return points @ TILT if frame.tilted else points


def _offset(x: Fraction | float, y: Fraction | float, frame: Frame) -> Points:
    if not frame.tilted:
        return np.array([float(x) + float(frame.x), float(y) + float(frame.y)])
    turned: Points = np.array([float(x), float(y)]) @ TILT + [float(frame.x), float(frame.y)]
    return turned


def _lay_bit(bit: Bit) -> Laid:
    outline = _floats(bit.outline, bit.frame) + _offset(bit.x, bit.y, bit.frame)
    return Laid(bit.where, bit.role, bit.key, bit.fabric, outline)


def _lay_spots(quilt: Quilt, spots: tuple[Spot, ...]) -> Iterator[Laid]:
    keys: dict[str, dict[str, tuple[str, str]]] = {}
    for laid in lay_spots(spots):
        spot, where = laid.spot, laid.spot.where
        name, own = spot.kind.name if spot.kind else "", dict(spot.own)
        if name not in keys:
            keys[name] = dict(_keys(quilt, spot.kind))
        for part in laid.parts:
            key, fabric = keys[name][part.letter]
            at = Where(where.part, where.row, where.column, part.index, where.side)
            fabric = own.get(part.letter) or fabric
            yield Laid(at, spot.role, key, fabric, part.outline + laid.corner, part.letter in own)


def _keys(quilt: Quilt, kind: Kind | None) -> Iterator[tuple[str, tuple[str, str]]]:
    """Key and fabric of each letter of a kind; of what was not read under no letter."""
    if kind is None:
        yield "", (NOT_READ_KEY, "")
        return
    for letter in kind.block.places:
        key = quilt.key(kind, letter)
        yield letter, (key, quilt.fabric_of(key))


def spot_outlines(spot: Spot) -> tuple[Points, ...]:
    """Give the outline of what the edge has left of a spot, in inches from the quilt's top left corner.

    Examples
    --------
    >>> from seamlore.draft.repeated import repeated
    >>> from seamlore.draft.text.notation import read_block
    >>> from seamlore.lengths import inches
    >>> plain = read_block("block Plain\\nA light\\n\\nA")
    >>> (outline,) = spot_outlines(arrange(repeated("q", plain, inches(8), inches(8), 1, 2)).spots[1])
    >>> outline.tolist()
    [[8.0, 0.0], [16.0, 0.0], [16.0, 8.0], [8.0, 8.0]]
    """
    corner = _offset(spot.x, spot.y, spot.frame)
    return tuple(_floats(ring, spot.frame) + corner for ring in outlines(spot))


def up_of(spot: Spot) -> tuple[float, float]:
    """Give the direction in which the top of the block as drawn lies, as a unit vector of the quilt as it hangs.

    Examples
    --------
    >>> from seamlore.draft.repeated import repeated
    >>> from seamlore.draft.text.notation import read_block
    >>> from seamlore.lengths import inches
    >>> two = read_block("block Two\\nA dark\\nB light\\n\\nA|B")
    >>> up_of(arrange(repeated("q", two, inches(8), inches(8), 1, 1)).spots[0])
    (0.0, -1.0)
    """
    up = {0: (0.0, -1.0), 90: (1.0, 0.0), 180: (0.0, 1.0), 270: (-1.0, 0.0)}[spot.turned.turn]
    x, y = np.array(up) @ TILT if spot.frame.tilted else np.array(up)
    return float(x), float(y)


def block_corner(quilt: Quilt, row: int, column: int) -> tuple[float, float]:
    """Inches from the quilt's top left corner to the corner that is the top left of the block as drawn, unturned.

    A block on point stands on a corner, and this is the one that points up.
    """
    frame = field_frame(quilt)
    spot = next(spot for spot in block_spots(quilt, frame) if (spot.where.row, spot.where.column) == (row, column))
    x, y = _offset(spot.x, spot.y, spot.frame)
    return float(x), float(y)
