"""The block grid of a flattened quilt: how many blocks, how big, how they are set, where each one lies.

Everything here is in pixels of the flattened picture, x to the right and y down, from the quilt's top left corner:
the middle of the first pixel is at 0.5, 0.5.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass, replace
from itertools import chain
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from seamlore.errors import PhotoError
from seamlore.limits import PAGE_ROWS
from seamlore.photo.grid.candidates import Candidate, Candidates, candidates
from seamlore.photo.grid.combs import Comb, not_slid
from seamlore.photo.grid.confidence import shares
from seamlore.photo.grid.doubling import whole_blocks
from seamlore.photo.grid.lines import Axis, PlacedLines, place, through
from seamlore.photo.grid.network import Glance, glances
from seamlore.photo.grid.on_point import set_by_slants, slant
from seamlore.photo.grid.repeats import Repeats, field_of, repeats
from seamlore.photo.grid.step_energy import Evidence, gather
from seamlore.photo.networks import squeezed

Floats = NDArray[np.float64]
Setting = Literal["straight", "on point", "none"]
Span = tuple[float, float]


@dataclass(frozen=True, slots=True)
class Second:
    """Another answer: how the blocks are set, how many down and across (0 for "none"), and how likely that is, 0..1."""

    setting: Setting
    rows: int
    columns: int
    confidence: float


@dataclass(frozen=True, eq=False)
class Grid:
    """Where the blocks of a quilt lie on its flattened picture.

    Attributes
    ----------
    setting
        "straight", "on point", or "none": no block grid was found. Then every other field is empty or 0.
    rows, columns
        Blocks down and across, counting those that the edge cuts. Plain alternate blocks count as blocks.
        On point: whole rows of blocks at their widest, so that between them lie (rows - 1) x (columns - 1) more.
    cells
        The four corners [x, y] of every block without the sashing round it, shape (rows, columns, 4, 2), clockwise.
        Straight: from the block's top left. On point: from its uppermost corner (top, right, bottom, left), so that
        the block is seen upright when the quilt is turned 45 degrees against the clock. Corners of a block that the
        edge cuts lie outside the picture. A block that is not there has NaN in all of its corners.
    between
        On point, the blocks between the counted ones, shape (rows - 1, columns - 1, 4, 2), in the same order
        of corners; plain setting squares or blocks like the others. Empty, shape (0, 0, 4, 2), when set straight.
    column_spans, row_spans
        Start and end of each column along x and of each row along y; the first and last reach outside the picture
        when the edge cuts them. On point: from corner to corner of the blocks.
    block
        Finished width and height of one block: the nominal size of most. On point: its sides, not its diagonals.
    sashing
        The gap between columns and between rows; 0 where blocks touch. On point: across the two sides.
    edge
        Left, top, right, bottom: signed distance inward from the quilt's edge to the nominal outer side of the
        outermost counted blocks: positive over a border or outer sashing, negative by what is cut off.
        On point: to the outermost corners of the blocks.
    block_sigma, sashing_sigma, edge_sigma
        Standard uncertainties of these, not counting how well the quilt's corners are known.
    evidence
        What the grid was judged by, each 0..1 or a ratio, by name; `confidence` is made from it.
    confidence
        The probability, 0..1, that setting, rows and columns are all exact; for "none", that there is no grid.
    second
        The likeliest answer but this one; None where nothing else was seen.
    """

    setting: Setting
    rows: int
    columns: int
    cells: Floats
    between: Floats
    column_spans: tuple[Span, ...]
    row_spans: tuple[Span, ...]
    block: tuple[float, float]
    sashing: tuple[float, float]
    edge: tuple[float, float, float, float]
    block_sigma: tuple[float, float]
    sashing_sigma: tuple[float, float]
    edge_sigma: float
    evidence: dict[str, float]
    confidence: float
    second: Second | None = None


# No quilt has more blocks than this across or down that a photograph could show.
# An answer so sure after one look is as right as after two: 99 of 100 rendered quilts.
_ENOUGH = 0.95


def no_grid(confidence: float, evidence: dict[str, float] | None = None) -> Grid:
    """Make the answer that there is no block grid."""
    nothing = np.zeros((0, 0, 4, 2))
    return Grid(
        setting="none",
        rows=0,
        columns=0,
        cells=nothing,
        between=nothing,
        column_spans=(),
        row_spans=(),
        block=(0.0, 0.0),
        sashing=(0.0, 0.0),
        edge=(0.0, 0.0, 0.0, 0.0),
        block_sigma=(0.0, 0.0),
        sashing_sigma=(0.0, 0.0),
        edge_sigma=0.0,
        evidence=evidence or {},
        confidence=confidence,
    )


@dataclass(frozen=True, eq=False)
class Survey:
    """What a flattened picture shows before anyone says how many blocks there are; kept between two corrections."""

    seen: Glance
    alike: Repeats
    found: Candidates
    evidence: Evidence


def survey(pixels: NDArray[np.uint8], *, progress: Callable[[str, float], None] | None = None) -> Survey:
    """Look a flattened picture over.

    Parameters
    ----------
    pixels : ndarray of uint8, shape (height, width, 3)
        The flattened quilt, sRGB.
    progress : callable, optional
        Told what is being done and how far the work is, 0..1.

    Raises
    ------
    PhotoError
        When the picture is smaller than 16 x 16 px.

    Examples
    --------
    >>> survey(np.full((60, 80, 3), 200, np.uint8)).evidence.size
    (640, 480)
    """
    if min(pixels.shape[:2]) < 16:
        few = f"{pixels.shape[1]} x {pixels.shape[0]} px"
        raise PhotoError(f"a quilt of {few} in the photograph", "at least 16 x 16 px are needed", "take it closer")
    tell = progress or (lambda _what, _part: None)
    tell("looking for the block grid", 0.0)
    size = (pixels.shape[1], pixels.shape[0])
    square = squeezed(pixels)
    looks = glances(square, size[0] / size[1])
    # The network takes all cores; what seams there are is looked for beside what comes after, on which it does not rest.
    first = next(looks)
    with ThreadPoolExecutor(1) as beside:
        evidence = beside.submit(gather, pixels)
        for seen in chain([first], looks):
            alike = repeats(square, field_of(seen))
            found = candidates(seen, size, alike)
            if _likeliest(found, shares(found, seen.none))[1] > _ENOUGH:
                break
        tell("looking for seams", 0.5)
        return Survey(seen, alike, found, evidence.result())


def find_grid(
    pixels: NDArray[np.uint8],
    *,
    seen: Survey | None = None,
    rows: int | None = None,
    columns: int | None = None,
    setting: Setting | None = None,
    column_lines: Sequence[float] = (),
    row_lines: Sequence[float] = (),
    progress: Callable[[str, float], None] | None = None,
) -> Grid:
    """Find the block grid of a flattened quilt.

    Parameters
    ----------
    pixels : ndarray of uint8, shape (height, width, 3)
        The flattened quilt, sRGB; its edges are the edges of the picture.
    seen : Survey, optional
        What `survey` gave of the same pixels, when it was kept.
    rows, columns : int, optional
        Blocks down and across, when she has counted them: kept, whatever the picture says.
    setting : "straight", "on point" or "none", optional
        How the blocks are set, when she says so.
    column_lines, row_lines : sequence of float
        Places along x and along y, in pixels, where she has put lines of the grid herself. Each stands for the
        nearest line of the grid.
    progress : callable, optional
        Told what is being done and how far the work is, 0..1.

    Returns
    -------
    Grid
        Its setting is "none" when there is no block grid.

    Raises
    ------
    PhotoError
        When `rows` or `columns` is not 1 to 60, or the picture is smaller than 16 x 16 px.

    Examples
    --------
    >>> squares = np.indices((6, 5)).sum(axis=0) % 2 * 160 + 40
    >>> picture = np.kron(squares, np.ones((40, 40)))[..., None].repeat(3, axis=2).astype(np.uint8)
    >>> grid = find_grid(picture, rows=6, columns=5)
    >>> grid.setting, grid.rows, grid.columns, [round(side) for side in grid.block]
    ('straight', 6, 5, [40, 40])
    >>> find_grid(np.full((60, 80, 3), 200, np.uint8)).setting
    'none'
    """
    for name, count in (("rows", rows), ("columns", columns)):
        if count is not None and not 1 <= count <= PAGE_ROWS:
            raise PhotoError(f"{count} {name} of blocks", f"1 to {PAGE_ROWS} can be read", "count them again")
    tell = progress or (lambda _what, _part: None)
    if setting == "none":
        return replace(no_grid(1.0), second=_second(seen, ("none", 0, 0)) if seen is not None else None)
    if seen is None:
        seen = survey(pixels, progress=progress)
    on_point = None if setting is None else setting == "on point"
    size = (pixels.shape[1], pixels.shape[0])
    if rows is None and columns is None and setting is None:
        found, none = seen.found, seen.seen.none
    else:
        # Who counts blocks has seen that there are some.
        found, none = candidates(seen.seen, size, seen.alike, rows=rows, columns=columns, on_point=on_point), 0.0
    part = shares(found, none)
    best, confidence = _likeliest(found, part)
    if best is None:
        return replace(no_grid(confidence, {"none": seen.seen.none}), second=_second(seen, ("none", 0, 0)))
    if rows is None and columns is None:
        best = whole_blocks(seen.evidence.lab, best)
    if not best.on_point:
        best = replace(best, across=not_slid(best.across), down=not_slid(best.down))
    tell("placing each line", 0.8)
    scale = seen.evidence.scale
    lines = (np.asarray(column_lines, float) * scale[0], np.asarray(row_lines, float) * scale[1])
    return replace(_grid(seen.evidence, best, lines, confidence), second=_second(seen, _counts(best)))


def _counts(of: Candidate) -> tuple[Setting, int, int]:
    return "on point" if of.on_point else "straight", of.down.count, of.across.count


def _second(seen: Survey, best: tuple[Setting, int, int]) -> Second | None:
    """Give the likeliest answer that the picture alone leaves beside the one that was taken."""
    found = seen.found
    if not len(found):
        return None
    part = shares(found, seen.seen.none)
    _, of = np.unique(found.counts, axis=0, return_inverse=True)
    sums = np.bincount(of, weights=part[:-1])
    others = [Second("none", 0, 0, float(part[-1]))] if best[0] != "none" else []
    for group in np.argsort(-sums).tolist():
        same = np.flatnonzero(of == group)
        told = _counts(whole_blocks(seen.evidence.lab, found[int(same[part[same].argmax()])]))
        if told != best:
            others.append(Second(*told, min(1.0, float(sums[group]))))
            break
    return max(others, key=lambda each: each.confidence, default=None)


def _likeliest(found: Candidates, part: Floats) -> tuple[Candidate | None, float]:
    """Give the likeliest grid of the likeliest setting and counts, and how likely these are.

    None when there being no grid is likelier than there being any, be it one of those found or another.
    """
    if not len(found) or part[-1] > 0.5:
        return None, float(part[-1])
    _, of = np.unique(found.counts, axis=0, return_inverse=True)
    sums = np.bincount(of, weights=part[:-1])
    best = np.flatnonzero(of == sums.argmax())
    return found[int(best[part[best].argmax()])], min(1.0, float(sums.max()))


def _axis(comb: Comb, length: int) -> Axis:
    return Axis(comb.first * length, comb.pitch * length, comb.gap * length, comb.count)


def _inside(axis: Axis, length: int) -> slice:
    """The part of an axis that the blocks cover."""
    low, high = max(0, round(axis.first)), min(length, round(axis.last))
    return slice(low, high) if high - low > 2 else slice(0, length)


def _placed(evidence: Evidence, best: Candidate, given: tuple[Floats, Floats]) -> tuple[PlacedLines, PlacedLines]:
    width, height = evidence.size
    x, y = _axis(best.across, width), _axis(best.down, height)
    if best.on_point:
        x, y = set_by_slants(slant(evidence), x, y)
        # Corners of blocks make no line that could be followed: they lie where the even grid has them.
        return place(np.zeros(width), x, given[0].tolist()), place(np.zeros(height), y, given[1].tolist())
    upright = through(evidence.across, _inside(y, height))
    level = through(np.ascontiguousarray(evidence.down.T), _inside(x, width))
    return place(upright, x, given[0].tolist()), place(level, y, given[1].tolist())


def _grid(evidence: Evidence, best: Candidate, given: tuple[Floats, Floats], confidence: float) -> Grid:
    across, down = _placed(evidence, best, given)
    scale = evidence.scale
    width, height = evidence.size
    columns, rows = across.spans / scale[0], down.spans / scale[1]
    root2 = float(np.sqrt(2)) if best.on_point else 1.0

    def pair(of: Callable[[PlacedLines], float]) -> tuple[float, float]:
        return of(across) / scale[0] / root2, of(down) / scale[1] / root2

    return Grid(
        setting="on point" if best.on_point else "straight",
        rows=best.down.count,
        columns=best.across.count,
        cells=_diamonds(columns, rows) if best.on_point else _squares(columns, rows),
        between=_between(columns, rows) if best.on_point else np.zeros((0, 0, 4, 2)),
        column_spans=tuple((float(a), float(b)) for a, b in columns),
        row_spans=tuple((float(a), float(b)) for a, b in rows),
        block=pair(lambda placed: placed.pitch - placed.gap),
        sashing=pair(lambda placed: placed.gap),
        edge=(
            across.first / scale[0],
            down.first / scale[1],
            (width - across.last) / scale[0],
            (height - down.last) / scale[1],
        ),
        block_sigma=pair(lambda placed: float(np.hypot(placed.pitch_sigma, placed.gap_sigma))),
        sashing_sigma=pair(lambda placed: placed.gap_sigma),
        edge_sigma=max(across.end_sigma / scale[0], down.end_sigma / scale[1]),
        evidence=dict(best.told),
        confidence=confidence,
    )


def _squares(columns: Floats, rows: Floats) -> Floats:
    cells = np.empty((len(rows), len(columns), 4, 2))
    for corner, (x, y) in enumerate(((0, 0), (1, 0), (1, 1), (0, 1))):
        cells[:, :, corner, 0] = columns[None, :, x]
        cells[:, :, corner, 1] = rows[:, None, y]
    return cells


def _diamonds(columns: Floats, rows: Floats) -> Floats:
    cells = np.empty((len(rows), len(columns), 4, 2))
    middle_x, middle_y = columns.mean(axis=1)[None, :], rows.mean(axis=1)[:, None]
    cells[:, :, 0, 0], cells[:, :, 0, 1] = middle_x, rows[:, None, 0]
    cells[:, :, 1, 0], cells[:, :, 1, 1] = columns[None, :, 1], middle_y
    cells[:, :, 2, 0], cells[:, :, 2, 1] = middle_x, rows[:, None, 1]
    cells[:, :, 3, 0], cells[:, :, 3, 1] = columns[None, :, 0], middle_y
    return cells


def _between(columns: Floats, rows: Floats) -> Floats:
    """Give the blocks between the whole rows: as large, their middles half-way between four others."""
    return _diamonds((columns[:-1] + columns[1:]) / 2, (rows[:-1] + rows[1:]) / 2)
