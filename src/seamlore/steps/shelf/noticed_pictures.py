"""Pictures of what is worth noticing, drawn over the quilt laid flat."""

from __future__ import annotations

import hashlib
from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from seamlore.drawing.picture import Picture
from seamlore.drawing.shapes import ImageFile
from seamlore.errors import SeamloreError
from seamlore.photo.reading import Reading, SeenFabric
from seamlore.pictures.charts.noticed import drift_picture, held_picture, lit_picture
from seamlore.pictures.found import found_picture
from seamlore.steps.assess.assess import holding
from seamlore.steps.study.job import Job
from seamlore.steps.study.patch_rings import patch_rings

Room = tuple[float, float]


def small_photo(job: Job) -> ImageFile:
    """Give the photograph laid flat, small enough to be printed several times."""
    from seamlore.photo.files.encoding import smaller, to_jpeg  # opens pictures: slow to import

    made = job.memo.get(("small flat", job.look_key), lambda: to_jpeg(smaller(job.flat.pixels, 900), quality=82))
    # Of several quilts in one document each has a name of its own.
    return ImageFile(f"as-found-{hashlib.sha256(made).hexdigest()[:12]}.jpg", "image/jpeg", made)


def turned(job: Job, reading: Reading, room: Room) -> Picture:
    """Show which blocks lie turned."""
    return found_picture(reading, small_photo(job), *room, title="Blocks that lie turned")


def lit(
    job: Job, reading: Reading, fabrics: Sequence[SeenFabric], room: Room, title: str, description: str
) -> Picture | None:
    """Light the patches of some fabrics; None where no patch of theirs has a place on the photograph."""
    spots = [
        (between, *at)
        for each in fabrics
        for between, those in ((False, each.patches), (True, each.between))
        for at in those
    ]
    # The last point of each lies inside it and is no corner.
    rings = [
        tuple((float(x), float(y)) for x, y in ring[:-1])
        for ring in patch_rings(job.look, spots).values()
        if len(ring)
    ]
    if not rings:
        return None
    height, width = job.flat.pixels.shape[:2]
    return lit_picture(
        small_photo(job), (float(width), float(height)), rings, *room, title=title, description=description
    )


def drift(
    job: Job,
    reading: Reading,
    along: str,
    number: int,
    x: NDArray[np.float64],
    y: NDArray[np.float64],
    says: str,
    room: Room,
) -> Picture:
    """Join the middles of one row's or column's blocks, and draw a straight line beside them."""
    spans = reading.row_spans if along == "row" else reading.column_spans
    assert spans is not None
    middle = sum(spans[number]) / 2
    even = np.full_like(x, middle)
    lies, straight = np.stack([x, even + y], axis=1), np.stack([x, np.full_like(x, middle + y[0])], axis=1)
    if along == "column":
        lies, straight = lies[:, ::-1], straight[:, ::-1]
    points = [(float(a), float(b)) for a, b in lies]
    ends = ((float(straight[0][0]), float(straight[0][1])), (float(straight[-1][0]), float(straight[-1][1])))
    return drift_picture(small_photo(job), reading.size, points, ends, *room, description=says)


def held(job: Job, room: Room, says: str) -> Picture | None:
    """Show ties and quilting lines, and the widest place that nothing holds; None where that cannot be reckoned any more."""
    try:
        found = holding(job)
    except SeamloreError:
        return None
    if found is None:
        return None
    widest = found.widest
    around = (widest.x, widest.y, widest.radius) if np.isfinite(widest.radius) else None
    ties = [(float(x), float(y)) for x, y in found.points]
    lines = [tuple((float(x), float(y)) for x, y in each) for each in found.lines]
    return held_picture(small_photo(job), job.reading.size, ties, lines, around, *room, description=says)
