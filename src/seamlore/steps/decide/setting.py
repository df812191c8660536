"""How the blocks of a study are set: their sizes, what lies between and round them, seams to open, a new setting."""

from __future__ import annotations

from fractions import Fraction

from seamlore.condition.ground import cut_sides
from seamlore.draft.quilt import Quilt
from seamlore.errors import MeasureError, SeamloreError
from seamlore.lengths import SEAM_ALLOWANCE, Length, Unit, in_unit, inches, length, on_mark
from seamlore.saving.resetting import Opened, reset, seams, seams_on_point
from seamlore.steps.assess.assess import Assessed
from seamlore.steps.study.job import Job

# Custom when nothing else is said: usable width of fabric.
_FABRIC_WIDTH = inches(42)


def seam_of(job: Job) -> Length:
    """The seam that is sewn now: hers, or the usual."""
    return job.seam_allowance or SEAM_ALLOWANCE[job.unit]


def block_sizes(job: Job, quilt: Quilt | None) -> tuple[Length, Length] | None:
    """Finished width and height of a block: as drafted; without a draft as read, on quarter inches or half centimeters."""
    if quilt is not None:
        return quilt.block_width, quilt.block_height
    return as_read(job, job.reading.block_size)


def as_read(job: Job, sizes: tuple[float, float] | None) -> tuple[Length, Length] | None:
    """Lengths of the reading, no finer than a photograph tells them; None where it has no scale."""
    if sizes is None or job.reading.unit == "width":
        return None
    mark = inches("1/4") if job.unit is Unit.INCH else in_unit("0.5", Unit.CM)
    wide, high = (
        on_mark(
            in_unit(Fraction(each).limit_denominator(64), Unit(job.reading.unit)).shown_in(job.unit), "nearest", mark
        )
        for each in sizes
    )
    return wide, high


def sides_cut(job: Job) -> frozenset[str]:
    """The sides whose outermost blocks the quilt's edge cuts: by the sums where they tell, else by the reading."""
    try:
        if job.adjustment.sums:
            return frozenset(side for side, cut in job.chosen.cut if cut.inches > 0)
    except SeamloreError:
        # Counts that no quilt has are told on the page Look.
        pass
    return cut_sides(job.reading)


def opened_for(job: Job, quilt: Quilt | None) -> Opened | None:
    decision = job.inputs.decision
    text, border = decision.new_sashing.strip(), decision.new_border.strip()
    sizes, reading = block_sizes(job, quilt), job.reading
    if not (text or border) or sizes is None or reading.rows is None or reading.columns is None:
        return None
    if reading.setting != "straight":
        raise MeasureError(
            "new sashing", "it is reckoned for blocks set straight", "draft the new setting on the page Draft"
        )
    old = gaps_between(job, quilt, sizes)
    width = job.inputs.making.fabric_width.strip()
    return reset(
        reading.rows,
        reading.columns,
        sizes,
        old,
        length(text, unit=job.unit) if text else old[0],
        seam_of(job),
        length(width) if width else _FABRIC_WIDTH,
        border=length(border, unit=job.unit) if border else None,
        bordered=bordered(job),
        around=job.size,
    )


def gaps_between(job: Job, quilt: Quilt | None, sizes: tuple[Length, Length]) -> tuple[Length, Length]:
    gaps = quilt.gaps if quilt is not None else as_read(job, job.reading.sashing)
    return gaps or (sizes[0] * 0, sizes[1] * 0)


def bordered(job: Job) -> frozenset[str]:
    """Sides on which something is sewn to the outermost blocks: a border, or sashing round the outside."""
    edge, reading = job.reading.edge, job.reading
    if edge is None or not reading.block_size:
        return frozenset()
    least = 2 * reading.uncertainty.edge if reading.uncertainty else 0.1 * min(reading.block_size)
    return frozenset(side for side in ("left", "top", "right", "bottom") if getattr(edge, side) > least)


def seams_to_open(job: Job, found: Assessed, quilt: Quilt | None) -> Length | None:
    """Seam to open before every block is free; None where no size or no blocks are known."""
    sizes, reading = block_sizes(job, quilt), job.reading
    if sizes is None or reading.rows is None or reading.columns is None:
        return None
    gaps = gaps_between(job, quilt, sizes)
    if reading.setting == "on point":
        return seams_on_point(found.ground.block_at, sizes[0], gaps[0].inches > 0)
    return seams(reading.rows, reading.columns, sizes, gaps, bordered(job))
