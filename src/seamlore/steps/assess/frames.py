"""Where each photograph of a study lies on the quilt: the front as it was read, the others as they were laid."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from seamlore.condition.notes import Note
from seamlore.errors import SeamloreError, ShapeError
from seamlore.photo.frame import STRAIGHT, Frame
from seamlore.plane.outline import signed_area
from seamlore.steps.study.job import Job
from seamlore.steps.study.sections import Photograph

Floats = NDArray[np.float64]
# A side of an outline is bent with the quilt's bowed edges in so many parts.
_BENT_IN = 8
# Of the longer side: an edge is drawn by hand, and what is sewn through it lies on it.
_AT_THE_EDGE = 0.01


@dataclass(frozen=True, slots=True)
class LaidPhotograph:
    """A photograph and where it lies.

    Parameters
    ----------
    photograph : Photograph
    frame : Frame
        Of the part of the quilt that it shows.
    offset : (x, y)
        Where that part begins, from the quilt's top left as the front shows it, in the reading's unit.
    """

    photograph: Photograph
    frame: Frame
    offset: tuple[float, float] = (0.0, 0.0)

    def to_quilt(self, points_px: ArrayLike, *, closed: bool = True) -> Floats:
        """Take an outline of the photograph to the quilt as the front shows it; what is seen from behind is mirrored."""
        points = np.asarray(points_px, dtype=np.float64).reshape(-1, 2)
        if self.frame.bows != STRAIGHT and len(points) > 1:
            points = _bent(points, closed)
        return np.asarray(self.frame.to_quilt(points) + np.array(self.offset), dtype=np.float64)

    def to_photo(self, points_quilt: ArrayLike) -> Floats:
        """Take points of the quilt to the photograph's pixels."""
        points = np.asarray(points_quilt, dtype=np.float64).reshape(-1, 2) - np.array(self.offset)
        return np.asarray(self.frame.to_photo(points), dtype=np.float64)

    def bending(self, outlines: Sequence[ArrayLike]) -> float:
        """By how much of itself the area of an outline differs at most from what straight edges would give; 0 without bows.

        The quilt is taken for the rectangle that the tape measured, its bowed edges bent straight. How far the cloth between
        them goes along is not known, so that no area is known better than this.
        """
        if self.frame.bows == STRAIGHT or not len(outlines):
            return 0.0
        straight = LaidPhotograph(self.photograph, self.frame.straightened(), self.offset)
        areas = np.array(
            [[abs(signed_area(each.to_quilt(outline))) for each in (self, straight)] for outline in outlines]
        )
        known = areas[(areas > 0).all(axis=1)]
        return float(np.abs(known[:, 1] / known[:, 0] - 1).max(initial=0.0))


def _bent(points: Floats, closed: bool) -> Floats:
    ends = np.roll(points, -1, axis=0) if closed else points[1:]
    starts = points if closed else points[:-1]
    along = np.arange(_BENT_IN)[None, :, None] / _BENT_IN
    made = (starts[:, None] + along * (ends - starts)[:, None]).reshape(-1, 2)
    return made if closed else np.vstack([made, points[-1:]])


def placed(job: Job) -> dict[str, LaidPhotograph]:
    """Give every photograph that lies on the quilt, by the SHA-256 of its content.

    Raises
    ------
    SeamloreError
        When the front cannot be read.
    """
    front = job.inputs.photographs.front
    found: dict[str, LaidPhotograph] = {}
    if front is not None:
        found[front.sha] = LaidPhotograph(front, job.flat.frame)
    width, height = job.reading.size
    for each in job.inputs.photographs.photographs:
        if each is front or each.corners is None:
            continue
        left, top, right, bottom = each.part
        try:
            frame = Frame(each.corners, ((right - left) * width, (bottom - top) * height))
        except SeamloreError:
            # Corners that make no quilt were refused when they were given; kept ones are of another program.
            continue
        found[each.sha] = LaidPhotograph(each, frame.back() if each.of_back else frame, (left * width, top * height))
    return found


def check_on_quilt(where: LaidPhotograph | None, size: tuple[float, float], note: Note) -> None:
    """Refuse a tie, a quilting line or a test that lies off the quilt; what is not laid on it cannot be told.

    Parameters
    ----------
    where : LaidPhotograph or None
        Its photograph; None where that does not lie on the quilt.
    size : (width, height)
        Of the quilt, in the reading's unit.
    note : Note

    Raises
    ------
    ShapeError
    """
    if where is None or note.about.does not in ("held", "tried"):
        return
    points = where.to_quilt(note.outline, closed=False)
    give = _AT_THE_EDGE * max(size)
    off = ((points < -give) | (points > np.array(size) + give)).any(axis=1)
    if off.any():
        x, y = note.outline[0]
        raise ShapeError(
            f"a {note.kind} at {x:.0f}, {y:.0f}", "it lies off the quilt", "put it inside the quilt's edge"
        )
