"""What a laid-out quilt is made of: blocks at their spots, and the bits between and round them.

Both the picture (`layout`) and the list of pieces (`pieces`) are made from this one arrangement, so that they
cannot disagree. Everything is exact. Blocks on point lie in a frame that is turned 45 degrees, where their corners
are fractions; setting triangles lie in the quilt's own frame, since their long or short sides are on the straight
grain along the edge.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from typing import Literal

from seamlore.draft.block import Corner
from seamlore.draft.exact.roots import Exact
from seamlore.draft.kinds import Kind, Turned
from seamlore.draft.where import Where

Role = Literal[
    "patch",
    "plain block",
    "sashing",
    "cornerstone",
    "strip",
    "border",
    "border corner",
    "side triangle",
    "corner triangle",
    "row end",
    "not read",
]
Ring = tuple[Corner, ...]
# What lies on or right of a line, as a, b, c with a x + b y >= c.
HalfPlane = tuple[Fraction, Fraction, Fraction]


@dataclass(frozen=True, slots=True)
class Frame:
    """Where exact coordinates are counted from.

    Parameters
    ----------
    x, y : Fraction
        Origin, in inches from the quilt's top left corner.
    tilted : bool
        Whether its axes are turned 45 degrees clockwise: x runs down to the right, y down to the left.
    """

    x: Fraction = Fraction(0)
    y: Fraction = Fraction(0)
    tilted: bool = False


@dataclass(frozen=True, slots=True)
class Spot:
    """Where one block lies, or where one would lie that was not read.

    Parameters
    ----------
    where : Where
        Its row and column; of a unit of a pieced border its side.
    role : str
        What it is in the quilt: "patch" for a pieced block, "plain block", "border", "border corner", "not read".
    kind : Kind or None
        Which kind of block; None where it was not read.
    turned : Turned
        How it lies.
    width, height : Fraction
        Finished, in inches, as it lies.
    x, y : Fraction
        Its top left corner in the frame.
    frame : Frame
        What x and y are counted in.
    own : tuple of (letter, fabric)
        Its own fabrics, where they differ from its kind's.
    keep : tuple of HalfPlane
        What the edge has left of it, in the frame; empty when it is whole.
    """

    where: Where
    role: Role
    kind: Kind | None
    turned: Turned
    width: Fraction
    height: Fraction
    x: Fraction
    y: Fraction
    frame: Frame
    own: tuple[tuple[str, str], ...] = ()
    keep: tuple[HalfPlane, ...] = ()

    @property
    def box(self) -> Ring:
        """The four corners of the block in its frame."""
        right, bottom = self.x + self.width, self.y + self.height
        return ((self.x, self.y), (right, self.y), (right, bottom), (self.x, bottom))

    @property
    def left(self) -> tuple[HalfPlane, ...]:
        """What the edge has left of it, counted from its own corner."""
        return tuple((a, b, c - a * self.x - b * self.y) for a, b, c in self.keep)


@dataclass(frozen=True, slots=True)
class Bit:
    """One piece that belongs to no block.

    Parameters
    ----------
    where : Where
        What it belongs to.
    role, key, fabric, label : str
        What it is, what its color hangs on, what its fabric is called, what it is called in lists.
    outline : tuple of (Fraction, Fraction)
        Its finished corners in inches; add x and y to find it in the frame.
    x, y : Fraction
        Where it lies in the frame.
    frame : Frame
        What it lies in.
    """

    where: Where
    role: Role
    key: str
    fabric: str
    label: str
    outline: Ring
    x: Fraction
    y: Fraction
    frame: Frame


def box(width: Exact, height: Exact) -> Ring:
    """Make the outline of a rectangle with its top left corner at 0, 0.

    Examples
    --------
    >>> [(int(x), int(y)) for x, y in box(Fraction(3), Fraction(2))]
    [(0, 0), (3, 0), (3, 2), (0, 2)]
    """
    zero = Fraction(0)
    return ((zero, zero), (width, zero), (width, height), (zero, height))


def moved_ring(ring: Ring, turned: Turned) -> Ring:
    """Mirror and turn an outline within the unit square.

    Examples
    --------
    >>> moved_ring(((Fraction(0), Fraction(0)),), Turned(90)) == ((Fraction(1), Fraction(0)),)
    True
    """
    if turned.mirrored:
        ring = tuple((1 - x, y) for x, y in reversed(ring))
    for _ in range(turned.turn // 90):
        ring = tuple((1 - y, x) for x, y in ring)
    return ring


def inside(ring: Ring, keep: Sequence[HalfPlane]) -> bool:
    """Tell whether an outline lies wholly within some half planes.

    Examples
    --------
    >>> right = (Fraction(1), Fraction(0), Fraction(1))
    >>> inside(box(Fraction(2), Fraction(2)), [right]), inside(box(Fraction(2), Fraction(2)), [])
    (False, True)
    """
    return all(a * x + b * y >= c for a, b, c in keep for x, y in ring)


def clip(rings: Sequence[Ring], keep: Sequence[HalfPlane]) -> list[Ring]:
    """Cut outlines down to what lies within half planes, exactly.

    Parameters
    ----------
    rings : sequence of outlines
        They need not be convex; each may come apart into several.
    keep : sequence of HalfPlane
        What is kept.

    Returns
    -------
    list of outlines

    Examples
    --------
    >>> square = box(Fraction(2), Fraction(2))
    >>> right = (Fraction(1), Fraction(0), Fraction(1))
    >>> [[(int(x), int(y)) for x, y in ring] for ring in clip([square], [right])]
    [[(1, 0), (2, 0), (2, 2), (1, 2)]]
    >>> clip([square], [(Fraction(1), Fraction(0), Fraction(5))])
    []
    """
    found = list(rings)
    for plane in keep:
        found = [part for ring in found for part in _clip_one(ring, plane)]
    return found


def _clip_one(ring: Ring, plane: HalfPlane) -> list[Ring]:
    a, b, c = plane
    over = [a * x + b * y - c for x, y in ring]
    if all(each >= 0 for each in over):
        return [ring]
    if all(each <= 0 for each in over):
        return []
    chains = _chains(ring, over)
    # Along the line, what is inside lies between the first and second crossing, the third and fourth, ...
    ends = sorted(
        [(_along(chain[0], plane), number, 0) for number, chain in enumerate(chains)]
        + [(_along(chain[-1], plane), number, -1) for number, chain in enumerate(chains)]
    )
    partner = {}
    for one, two in zip(ends[::2], ends[1::2], strict=True):
        partner[one[1:]], partner[two[1:]] = two[1:], one[1:]
    found: list[Ring] = []
    left = set(range(len(chains)))
    while left:
        start = number = min(left)
        corners: list[Corner] = []
        while True:
            left.discard(number)
            corners += chains[number]
            number, end = partner[number, -1]
            if end != 0 or number == start:
                break
        clean = tuple(corner for corner, nxt in zip(corners, corners[1:] + corners[:1], strict=True) if corner != nxt)
        found.append(clean)
    return found


def _chains(ring: Ring, over: Sequence[Exact]) -> list[list[Corner]]:
    """The stretches of an outline that lie strictly inside, each from where it enters to where it leaves."""
    count = len(ring)
    start = next(index for index in range(count) if over[index] <= 0)
    chains: list[list[Corner]] = []
    for step in range(count):
        index, nxt = (start + step) % count, (start + step + 1) % count
        here, there = over[index], over[nxt]
        if here <= 0 < there:
            chains.append([_crossing(ring[index], ring[nxt], here, there), ring[nxt]])
        elif here > 0 and there > 0:
            chains[-1].append(ring[nxt])
        elif here > 0 >= there:
            chains[-1].append(_crossing(ring[index], ring[nxt], here, there))
    return chains


def _crossing(one: Corner, two: Corner, here: Exact, there: Exact) -> Corner:
    share = here / (here - there)
    return one[0] + share * (two[0] - one[0]), one[1] + share * (two[1] - one[1])


def _along(corner: Corner, plane: HalfPlane) -> Exact:
    return plane[0] * corner[1] - plane[1] * corner[0]


@dataclass(frozen=True, slots=True)
class Part:
    """One patch of a block at its spot: its index in the block as drawn, its place, its outline from the
    corner of the spot."""

    index: int
    place: str
    outline: Ring


# What two spots share when the same patches lie in them: kind, way round, size, and what the edge left.
SpotKind = tuple[str, Turned, Fraction, Fraction, tuple[HalfPlane, ...]]


def spot_kind(spot: Spot) -> SpotKind:
    """Tell which spots of one quilt hold the same patches."""
    return spot.kind.name if spot.kind else "", spot.turned, spot.width, spot.height, spot.left


def outlines(spot: Spot) -> list[Ring]:
    """Give what the edge has left of a spot, in inches from its corner; the whole box where it cut nothing."""
    whole = box(spot.width, spot.height)
    return clip([whole], spot.left) if spot.keep else [whole]


def parts(spot: Spot) -> tuple[Part, ...]:
    """List the patches that lie in a spot, cut down to what the edge has left; none where it was not read.

    Parameters
    ----------
    spot : Spot
        Any spot.

    Returns
    -------
    tuple of Part
        In the order in which the block as drawn lists its patches; inches from the corner of the spot.

    Examples
    --------
    >>> from dataclasses import replace
    >>> from seamlore.draft.text.notation import read_block
    >>> two = Kind("T", read_block("block Two\\nA dark\\nB light\\n\\nA|B"))
    >>> zero = Fraction(0)
    >>> whole = Spot(Where("block", 0, 0), "patch", two, Turned(90), Fraction(8), Fraction(6), zero, zero, Frame())
    >>> [(part.place, max(y for _, y in part.outline)) for part in parts(whole)]
    [('A', Fraction(3, 1)), ('B', Fraction(6, 1))]
    >>> [part.place for part in parts(replace(whole, keep=((zero, Fraction(1), Fraction(3)),)))]
    ['B']
    >>> parts(replace(whole, kind=None))
    ()
    """
    if spot.kind is None:
        return ()
    keep = spot.left
    found = []
    for index, each in enumerate(spot.kind.block.patches):
        ring = tuple((x * spot.width, y * spot.height) for x, y in moved_ring(each.outline, spot.turned))
        found += [Part(index, each.place, piece) for piece in (clip([ring], keep) if keep else [ring])]
    return tuple(found)
