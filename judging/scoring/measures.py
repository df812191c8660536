"""How far a reading is from the truth: the measures, picture by picture.

Names follow the literature on finding lattices in pictures: a texel is what repeats, here a block. A texel is
detected when the reading has a block whose middle lies within a quarter of a block of the true one; localization is
how far off the middles of detected texels are. The lattice is right when setting, rows and columns all are.
"""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass, field

import cv2
import numpy as np
from numpy.typing import NDArray

from judging.rendering.piecing import ELEMENTS, Element, after, moved
from judging.scoring.pairs import fabric_pairs
from judging.truth import Segment, Truth
from seamlore.photo.reading import Pair, Reading, SeenBlock

Points = NDArray[np.float64]
# How far a seam may lie from the true one and still count, in parts of the block's side; and how densely it is sampled.
SEAM_NEAR = 0.03
SAMPLE = 0.01


@dataclass(slots=True)
class Score:
    """One reading of one photograph against its truth. None where a measure does not apply.

    `pitch_error` is relative, one for each direction; `corner_error` the farthest corner's distance in parts of the
    quilt's width; `seams` (precision, recall, F1); `turns` (visible turns found, all visible turns, blocks falsely
    said to be turned, all blocks not turned); `seams_by_change` the F1 of seams where one drawn inside one fabric is called
    false though it is sewn there; `fabrics` (precision and recall of pairs of patches said to be of one fabric,
    fabrics told apart, fabrics there are).
    """

    name: str
    corners_from: str
    has_grid: bool | None
    said_grid: bool
    lattice: bool | None
    confidence: float
    counts: str
    warnings: tuple[str, ...] = ()
    pitch_error: tuple[float, ...] = ()
    corner_error: float | None = None
    seams: tuple[float, float, float] | None = None
    seams_by_change: float | None = None
    turns: tuple[int, int, int, int] | None = None
    fabrics: tuple[float, float, int, int] | None = None
    texels: tuple[int, int] | None = None
    texel_errors: tuple[float, ...] = ()
    seconds: float = 0.0
    notes: dict[str, str | int | float] = field(default_factory=dict)


def score(name: str, reading: Reading, truth: Truth, seconds: float, middles_px: Points | None = None) -> Score:
    """Measure one reading.

    Parameters
    ----------
    name : str
        What to call the photograph.
    reading : Reading
        What was read.
    truth : Truth
        What is so.
    seconds : float
        How long it took.
    middles_px : ndarray, shape (n, 2), optional
        Where the reader has the middles of its blocks in the photograph, edges followed; by the reading's rows and
        columns with straight edges when not given.

    Returns
    -------
    Score
    """
    has_grid = None if truth.setting is None else truth.setting != "none"
    said = reading.setting != "none"
    right = None
    if has_grid:
        right = said and reading.setting == truth.setting and (reading.rows, reading.columns) in accepted(truth)
    found = Score(
        name=name,
        corners_from=reading.corners_from,
        has_grid=has_grid,
        said_grid=said,
        lattice=right,
        confidence=reading.confidence.grid,
        counts=f"{_counts(truth)} read as {_counts(reading)}",
        warnings=reading.warnings,
        seconds=seconds,
        notes=dict(truth.notes),
    )
    if reading.corners_from == "found" and truth.corners is not None and truth.corners_of == "quilt":
        found.corner_error = corner_error(reading.corners, truth.corners)
    if right and truth.row_spans is not None:
        found.pitch_error = pitch_errors(reading, truth)
        if truth.seams is not None and reading.block is not None:
            found.seams = seam_f1(pieced_block(reading), truth)
            found.seams_by_change = seam_f1(pieced_block(reading), truth, hidden_are_false=True)[2]
        if truth.blocks is not None and reading.blocks is not None:
            found.turns = turns(reading, truth)
        if reading.block is not None:
            found.fabrics = fabric_pairs(reading.block, reading.blocks or (), reading.fabrics or (), truth)
    if has_grid and truth.quads:
        found.texels, found.texel_errors = texels(
            block_middles_px(reading) if middles_px is None else middles_px, truth
        )
    return found


def pieced_block(reading: Reading) -> SeenBlock:
    """The commonest kind that has a seam; the block as it stands in most where none has."""
    assert reading.block is not None
    return next((kind for kind in reading.kinds or () if len(kind.patches) > 1), reading.block)


def broken(name: str, corners_from: str, truth: Truth, what: str) -> Score:
    """The score of a photograph that could not be read at all."""
    has_grid = None if truth.setting is None else truth.setting != "none"
    wrong = False if has_grid else None
    told = f"{_counts(truth)} not read: {what}"
    # Counted against the reader in every measure, as the surest of wrong readings.
    return Score(name, corners_from, has_grid, True, wrong, 1.0, told, notes=dict(truth.notes))


def accepted(truth: Truth) -> set[tuple[int | None, int | None]]:
    """The counts that are right; a hand-made count on point may have been of half rows."""
    counts = {(truth.rows, truth.columns)}
    if truth.setting == "on point" and truth.row_spans is None and truth.rows and truth.columns:
        counts.add(((truth.rows + 1) // 2, (truth.columns + 1) // 2))
    return counts


def _counts(given: Reading | Truth) -> str:
    return f"{given.setting} {given.rows} x {given.columns}" if given.rows else str(given.setting)


def corner_error(read: tuple[Pair, ...], true: tuple[Pair, ...]) -> float:
    """Distance of the farthest corner, in parts of the quilt's width in the photograph.

    Examples
    --------
    >>> square = ((0.0, 0.0), (100.0, 0.0), (100.0, 100.0), (0.0, 100.0))
    >>> corner_error(((0.0, 1.0), *square[1:]), square)
    0.01
    >>> corner_error(square, square)
    0.0
    """
    one, two = np.array(read), np.array(true)
    width = (np.linalg.norm(two[1] - two[0]) + np.linalg.norm(two[2] - two[3])) / 2
    return float(np.linalg.norm(one - two, axis=1).max() / width)


def pitch_errors(reading: Reading, truth: Truth) -> tuple[float, ...]:
    """Relative error of the distance from block to block, across and down, where there is more than one block.

    Taken between the inner sides of the outermost blocks, since their outer sides may be cut off.
    """
    errors = []
    for axis, read, true in ((0, reading.column_spans, truth.column_spans), (1, reading.row_spans, truth.row_spans)):
        if read is None or true is None or len(read) != len(true) or len(true) < 2:
            continue
        assert truth.size is not None
        scale = truth.size[axis] / reading.size[axis]
        errors.append(abs(_pitch(read) * scale / _pitch(true) - 1))
    return tuple(errors)


def _pitch(spans: tuple[Pair, ...]) -> float:
    if len(spans) == 2:
        return (spans[1][0] - spans[0][0] + spans[1][1] - spans[0][1]) / 2
    ends, starts = [end for _, end in spans], [start for start, _ in spans]
    return (starts[-1] - starts[1] + ends[-2] - ends[0]) / (2 * (len(spans) - 2))


def _sampled(segments: list[Segment] | tuple[Segment, ...]) -> Points:
    points = [np.empty((0, 2))]
    for x0, y0, x1, y1 in segments:
        count = max(int(np.hypot(x1 - x0, y1 - y0) / SAMPLE), 1)
        # From the middle of each step: shared ends are not counted twice.
        t = ((np.arange(count) + 0.5) / count)[:, None]
        points.append(np.array([x0, y0]) + t * np.array([x1 - x0, y1 - y0]))
    return np.concatenate(points)


def inner_seams(block: SeenBlock) -> list[Segment]:
    """The sides of a block's patches that are not the block's own sides; each seam is named twice or once."""
    found = []
    for each in block.patches:
        for (x0, y0), (x1, y1) in zip(each.outline, each.outline[1:] + each.outline[:1], strict=True):
            on_side = any(
                abs(a - side) < 1e-3 and abs(b - side) < 1e-3 for a, b in ((x0, x1), (y0, y1)) for side in (0, 1)
            )
            if not on_side:
                found.append((x0, y0, x1, y1))
    return found


def _near(points: Points, others: Points) -> NDArray[np.bool_]:
    if not len(points) or not len(others):
        return np.zeros(len(points), dtype=bool)
    squared = ((points[:, None] - others[None]) ** 2).sum(axis=2)
    return np.asarray(squared.min(axis=1) <= SEAM_NEAR**2)


def seam_f1(block: SeenBlock, truth: Truth, *, hidden_are_false: bool = False) -> tuple[float, float, float]:
    """Precision, recall and F1 of the visible seams, each seam a set of points on the unit block.

    A seam that is sewn there, but changes fabric faintly, in few blocks or not at all, counts neither for nor against;
    where `hidden_are_false`, one at which fabric changes in no block is called false, as a reader that goes by color
    alone would have it. Where as many
    blocks lie one way as another, or on point, any of the four turns of the block will do.
    """
    sewn = truth.doubtful_seams if hidden_are_false else truth.doubtful_seams + truth.hidden_seams
    visible, doubtful = _sampled(truth.seams or ()), _sampled(sewn)
    read = _once(_sampled(inner_seams(block)))
    free = truth.setting == "on point" or truth.notes.get("turning", "none") != "none"
    best = (0.0, 0.0, 0.0)
    for element in ELEMENTS[: 4 if free else 1]:
        lying = moved(read, element) if len(read) else read
        hit = _near(lying, visible)
        counted = hit | ~_near(lying, doubtful)
        precision = float(hit[counted].mean()) if counted.any() else float(not len(visible))
        recall = float(_near(visible, lying).mean()) if len(visible) else 1.0
        f1 = 2 * precision * recall / (precision + recall) if precision + recall else 0.0
        if f1 >= best[2]:
            best = (precision, recall, f1)
    return best


def _once(points: Points) -> Points:
    """Each spot once, though two patches share a seam."""
    if not len(points):
        return points
    _, kept = np.unique(np.rint(points / SAMPLE).astype(int), axis=0, return_index=True)
    return np.asarray(points[np.sort(kept)])


def turns(reading: Reading, truth: Truth) -> tuple[int, int, int, int]:
    """Visible turns found, all visible turns, blocks falsely said to be turned, all blocks that are not.

    Blocks that differ in piecing or color are left out. The block as read may stand otherwise than the true one when
    as many lie one way as another: the way that fits most blocks is taken.
    """
    symmetry = set(truth.symmetry or ((0, False),))
    read = {(each.row, each.column): (each.turn, each.mirrored) for each in reading.blocks or ()}
    true: dict[tuple[int, int], Element] = {
        (each.row, each.column): (each.turn, each.mirrored) for each in truth.blocks or () if not each.differs
    }
    pairs = [(lies, read[place]) for place, lies in true.items() if place in read]
    like: dict[Element, frozenset[Element]] = {
        element: frozenset(after(other, element) for other in symmetry) for element in ELEMENTS
    }
    fits = Counter({base: sum(after(base, said) in like[lies] for lies, said in pairs) for base in ELEMENTS})
    base = max(ELEMENTS, key=lambda each: fits[each])
    straight = [said for lies, said in pairs if lies in symmetry]
    # A turned block that the reading does not list at all is one not found.
    turned = sum(lies not in symmetry for lies in true.values())
    found = sum(after(base, said) in like[lies] for lies, said in pairs if lies not in symmetry)
    false = sum(after(base, said) not in symmetry for said in straight)
    return found, turned, false, len(straight)


def block_middles_px(reading: Reading) -> Points:
    """Where the reading has the middles of its blocks in the photograph, shape (n, 2), edges taken as straight."""
    if not reading.row_spans or not reading.column_spans:
        return np.empty((0, 2))
    w, h = reading.size
    flat = np.array([[0, 0], [w, 0], [w, h], [0, h]], np.float32)
    project = cv2.getPerspectiveTransform(flat, np.array(reading.corners, np.float32))
    ys, xs = ([(a + b) / 2 for a, b in spans] for spans in (reading.row_spans, reading.column_spans))
    middles = np.array([[x, y] for y in ys for x in xs], np.float64)
    seen = cv2.perspectiveTransform(middles.reshape(-1, 1, 2), project)
    return np.asarray(seen, dtype=np.float64).reshape(-1, 2)


def texels(read: Points, truth: Truth) -> tuple[tuple[int, int], tuple[float, ...]]:
    """Blocks detected and blocks there are; and how far off each detected one is, in parts of its side."""
    quads = np.array([each.corners_px for each in truth.quads])
    middles, sides = quads.mean(axis=1), np.sqrt(np.abs(_areas(quads)))
    if not len(read):
        return (0, len(quads)), ()
    away = np.linalg.norm(middles[:, None] - read[None], axis=2).min(axis=1) / sides
    hit = away < 0.25
    return (int(hit.sum()), len(quads)), tuple(float(each) for each in away[hit])


def _areas(quads: Points) -> Points:
    x, y = quads[..., 0], quads[..., 1]
    return np.asarray((x * np.roll(y, -1, axis=1) - y * np.roll(x, -1, axis=1)).sum(axis=1) / 2)
