"""The block seen on a photograph, drawn exactly."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Sequence
from contextlib import suppress
from fractions import Fraction
from itertools import pairwise
from math import dist, hypot

from seamlore.draft.block import Block, Corner, Place, Value, block, patch
from seamlore.draft.exact.outlines import Whole
from seamlore.draft.kinds import UNNAMED
from seamlore.errors import ShapeError
from seamlore.photo.reading import Reading, Ring, SeenBlock

# So near to its place, in parts of the block's side, a corner is seen at best: on fine divisions nothing tells it from
# the line next to it.
_SEEN = 1 / 80
# Corners so near are one, and one so near to a seam lies on it, in parts of the side; the nearest that will do is taken.
_NEAR = 1 / 100, 1 / 70, 1 / 48


def exact_block(seen: SeenBlock, *, name: str = UNNAMED, reading: Reading | None = None, kind: int = 0) -> Block:
    """Draw the block seen on a photograph exactly, its corners on the grid of its divisions.

    Parameters
    ----------
    seen : SeenBlock
        As it stands in most blocks; corners in 0..1.
    name : str
        What to call it.
    reading : Reading, optional
        Tells which places are scrappy: those whose patches come from more than two fabrics.
    kind : int
        Which kind of the reading it is.

    Returns
    -------
    Block
        Places and values kept. A corner goes to a line of the divisions, or half-way between two; where a seam ends on
        a slanted one, as near to that as the slanted one runs.

    Raises
    ------
    ShapeError
        When a corner lies on neither, or the patches do not cover the block.

    Examples
    --------
    >>> from seamlore.photo.reading import SeenPatch
    >>> left = SeenPatch(outline=((0, 0), (0.51, 0), (0.49, 1), (0, 0.99)), place="A", value="dark")
    >>> right = SeenPatch(outline=((0.51, 0), (1, 0), (1, 1), (0.5, 1)), place="B", value="light")
    >>> [each.area for each in exact_block(SeenBlock(divisions=2, patches=(left, right))).patches]
    [Fraction(1, 2), Fraction(1, 2)]
    >>> exact_block(SeenBlock(divisions=2, patches=(left,)))
    Traceback (most recent call last):
        ...
    seamlore.errors.ShapeError: the block on the photograph, block Unnamed block, at (1.5, 1) divisions ...
    """
    where = "the block on the photograph"
    places = _places(seen, reading, kind)

    def drawn(outlines: Iterable[Sequence[Corner]]) -> Block:
        patches = [patch(outline, each.place) for outline, each in zip(outlines, seen.patches, strict=True)]
        return block(name, seen.divisions, patches, places)

    try:
        return drawn([_on_grid(corner, seen.divisions) for corner in each.outline] for each in seen.patches)
    except ShapeError as fault:
        for near in _NEAR:
            with suppress(ShapeError):
                return drawn(_meeting([each.outline for each in seen.patches], seen.divisions, near))
        raise ShapeError(
            fault.given, fault.limit, "name the block or draw it by hand", where=f"{where}, {fault.where}".strip(", ")
        ) from fault


def _on_grid(corner: tuple[float, float], divisions: int) -> Corner:
    def on(value: float) -> Fraction:
        whole = round(value * divisions)
        if abs(value * divisions - whole) <= 0.2:
            return Fraction(whole, divisions)
        half = round(value * divisions * 2)
        off = abs(value * divisions * 2 - half)
        if off <= 0.4 or off <= _SEEN * divisions * 2:
            return Fraction(half, divisions * 2)
        raise ShapeError(
            f"a corner at {value:.3f} of the side",
            f"corners lie on {divisions} divisions or half-way between",
            "name the block or draw it by hand",
        )

    return on(corner[0]), on(corner[1])


def _meeting(outlines: Sequence[Ring], divisions: int, near: float) -> list[list[Corner]]:
    """Corners of patches, exactly: where a seam ends on another one, the corner there is on that seam's very line.

    Corners at which no other seam runs through are put on the divisions first; those on the seams between them follow.
    """
    corners: list[tuple[float, float]] = []
    rings: list[list[int]] = []
    for outline in outlines:
        ring = []
        for corner in outline:
            there = [k for k, other in enumerate(corners) if dist(corner, other) < near]
            if not there:
                corners.append(corner)
            ring.append(there[0] if there else len(corners) - 1)
        rings.append([at for at, before in zip(ring, [ring[-1], *ring], strict=False) if at != before])
    sides = {(min(a, b), max(a, b)) for ring in rings for a, b in pairwise([*ring, ring[0]])}
    through: dict[int, list[tuple[int, int]]] = {
        k: [
            side
            for side in sides
            if k not in side and _runs_through(corners[k], corners[side[0]], corners[side[1]], near)
        ]
        for k in range(len(corners))
    }
    # For each corner the other ends of its seams on which some corner lies, and which.
    carried: dict[int, list[tuple[int, int]]] = defaultdict(list)
    for k, on in through.items():
        for start, end in on:
            carried[start].append((end, k))
            carried[end].append((start, k))
    exact: dict[int, Corner] = {}

    def put(k: int, waiting: tuple[int, ...] = ()) -> Corner:
        if k not in exact:
            x, y = _on_grid(corners[k], divisions)
            if through[k] and k not in waiting:
                waits = (*waiting, k)
                lines = [(put(side[0], waits), put(side[1], waits)) for side in through[k]]
                # Where seams end on each other in a ring one corner was put down first: the seam that carries it runs on.
                lines += [(put(end, waits), exact[on]) for end, on in carried[k] if on in exact and end not in waits]
                x, y = _where_lines_meet(lines) or _on_line(x, y, *lines[0])
            exact.setdefault(k, (x, y))
        return exact[k]

    placed = ([put(at) for at in ring] for ring in rings)
    return [[at for at, before in zip(ring, [ring[-1], *ring], strict=False) if at != before] for ring in placed]


def _runs_through(
    corner: tuple[float, float], start: tuple[float, float], end: tuple[float, float], near: float
) -> bool:
    """Whether a side runs through a corner, and does not end there."""
    run = end[0] - start[0], end[1] - start[1]
    off = corner[0] - start[0], corner[1] - start[1]
    long = hypot(*run)
    along = (off[0] * run[0] + off[1] * run[1]) / long
    return abs(off[0] * run[1] - off[1] * run[0]) / long < near and near < along < long - near


def _on_line(x: Whole, y: Whole, start: Corner, end: Corner) -> Corner:
    """The point of a line that lies as far across, or down where it is steeper."""
    across, down = end[0] - start[0], end[1] - start[1]
    if abs(float(across)) >= abs(float(down)):
        return start[0] + (x - start[0]), start[1] + (x - start[0]) * down / across
    return start[0] + (y - start[1]) * across / down, start[1] + (y - start[1])


def _where_lines_meet(lines: Sequence[tuple[Corner, Corner]]) -> Corner | None:
    """Where the first two lines that cross meet; None where all run the same way."""
    (x, y), (x1, y1) = lines[0]
    for (u, v), (u1, v1) in lines[1:]:
        turn = (x1 - x) * (v1 - v) - (y1 - y) * (u1 - u)
        if turn:
            part = ((u - x) * (v1 - v) - (v - y) * (u1 - u)) / turn
            return x + part * (x1 - x), y + part * (y1 - y)
    return None


def _places(seen: SeenBlock, reading: Reading | None, kind: int) -> dict[str, Place]:
    weights: dict[str, dict[Value, float]] = defaultdict(lambda: defaultdict(float))
    for each in seen.patches:
        xs, ys = [x for x, _ in each.outline], [y for _, y in each.outline]
        weights[each.place][each.value] += (max(xs) - min(xs)) * (max(ys) - min(ys))
    found: dict[str, set[str]] = defaultdict(set)
    # A fabric's patches are numbered as the kind that stands there lists them.
    here = {at for at, each in (reading.everywhere if reading else {}).items() if each.kind == kind}
    for fabric in (reading.fabrics if reading else None) or ():
        for *at, index in fabric.everywhere:
            if tuple(at) in here and 0 <= index < len(seen.patches):
                found[seen.patches[index].place].add(fabric.id)
    return {
        place: Place(max(sorted(values), key=lambda value: values[value]), scrappy=len(found[place]) > 2)
        for place, values in weights.items()
    }
