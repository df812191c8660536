"""How the blocks of a study are set: their sizes, what lies between and round them, seams to open, a new setting."""

from __future__ import annotations

from fractions import Fraction

from seamlore.condition.ground import cut_sides
from seamlore.draft.kinds import plain_block
from seamlore.draft.quilt import Quilt, Sashing
from seamlore.draft.repeated import repeated
from seamlore.draft.setting.setting import STRAIGHT, OnPoint
from seamlore.errors import MeasureError, SeamloreError
from seamlore.lengths import SEAM_ALLOWANCE, Length, Unit, in_unit, inches, length, on_mark
from seamlore.making.plan import FABRIC_WIDTH
from seamlore.saving.opening import seams, seams_kept, seams_on_point
from seamlore.saving.resetting import Opened, has_cut_blocks, opened
from seamlore.steps.assess.assess import Assessed
from seamlore.steps.study.job import Job

_SIDES = ("left", "top", "right", "bottom")


def seam_of(job: Job) -> Length:
    """The seam that is sewn now: hers, or the usual."""
    return job.seam_allowance or SEAM_ALLOWANCE[job.unit]


def block_sizes(job: Job, quilt: Quilt | None) -> tuple[Length, Length] | None:
    """Finished width and height of a block: as drafted; without a draft as read, on quarter inches or half centimeters."""
    if quilt is not None:
        return quilt.block_width, quilt.block_height
    sizes = job.reading.block_size
    if sizes is not None and job.reading.setting == "on point":
        # What stands on point is square: its setting triangles have two equal sides.
        sizes = (sum(sizes) / 2,) * 2
    return as_read(job, sizes)


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


def pointed(quilt: Quilt | None) -> bool:
    """Whether its blocks have points to lose: not where each is one piece of cloth."""
    return quilt is None or not all(kind.plain for kind in quilt.kinds)


def cuts_of(job: Job, quilt: Quilt | None) -> dict[str, Length]:
    """What the quilt's edge cuts off its outermost blocks, set straight, side by side: by the sums where they tell, else by
    the reading, else as drafted; sides that it does not cut are left out."""
    if job.reading.setting != "straight":
        return {}
    try:
        if job.adjustment.sums:
            return {side: cut for side, cut in job.chosen.cut if cut.inches > 0}
    except SeamloreError:
        # Counts that no quilt has are told on the page Look.
        pass
    if quilt is not None and quilt.cut is not None:
        return {side: cut for side in _SIDES if (cut := getattr(quilt.cut, side)).inches > 0}
    edge, found = job.reading.edge, {}
    for side in cut_sides(job.reading):
        gone = as_read(job, (abs(getattr(edge, side)),) * 2)
        # Without a size it is known that they are cut, and not by how much.
        found[side] = gone[0] if gone is not None else inches(0).shown_in(job.unit)
    return found


def opened_for(job: Job, found: Assessed, quilt: Quilt | None) -> Opened | None:
    """Reckon the new setting that she asked for; None where she asked for none, or no size is known.

    Raises
    ------
    SeamloreError
        When it cannot be set so.
    """
    decision = job.inputs.decision
    text, border = decision.new_sashing.strip(), decision.new_border.strip()
    sizes = block_sizes(job, quilt)
    if not (text or border or decision.cut_blocks) or sizes is None:
        return None
    old = quilt if quilt is not None else _plainly(job, sizes)
    if old is None:
        return None
    cut = cuts_of(job, quilt)
    choice = decision.cut_blocks or "as they are"
    if choice != "as they are" and not has_cut_blocks(old, cut):
        raise MeasureError(
            f"cut blocks {choice}", "the edge cuts none", "leave that choice, or say on the page Look what is cut"
        )
    if choice == "completed" and quilt is None:
        raise MeasureError("cut blocks completed", "the old quilt is not drafted yet", "go to the page Draft first")
    around = job.size or old.finished_size
    width = job.inputs.making.fabric_width.strip()
    return opened(
        old,
        seams_to_open(job, found, quilt, kept=True) or sizes[0] * 0,
        (around[0] + around[1]) * 2,
        seam_of(job),
        length(width) if width else FABRIC_WIDTH[job.unit],
        sashing=length(text, unit=job.unit) if text else None,
        new_border=length(border, unit=job.unit) if border else None,
        cut_blocks=choice,
        cut=cut,
    )


def _plainly(job: Job, sizes: tuple[Length, Length]) -> Quilt | None:
    """The setting as it was read, its blocks plain; what is sewn between and round them is the same whatever they are."""
    reading = job.reading
    if reading.rows is None or reading.columns is None or reading.setting not in ("straight", "on point"):
        return None
    gaps = gaps_between(job, None, sizes)
    strips = Sashing(*gaps) if max(gaps).inches > 0 else None
    setting = OnPoint() if reading.setting == "on point" else STRAIGHT
    name = job.inputs.about.name
    return repeated(name, plain_block(), *sizes, reading.rows, reading.columns, strips, setting=setting)


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


def bordered_by(job: Job, quilt: Quilt | None) -> dict[str, Length]:
    """How wide what lies outside the blocks is, side by side: as drafted, else as read; sides without it are left out."""
    if quilt is not None and quilt.borders:
        top, right, bottom, left = quilt.bands
        widths = {"top": top, "right": right, "bottom": bottom, "left": left}
        return {side: width for side, width in widths.items() if width.inches > 0}
    edge, found = job.reading.edge, {}
    for side in bordered(job):
        width = as_read(job, (getattr(edge, side),) * 2)
        if width is not None:
            found[side] = width[0]
    return found


def seams_to_open(job: Job, found: Assessed, quilt: Quilt | None, *, kept: bool = False) -> Length | None:
    """Seam to open before every block is free; None where no size or no blocks are known.

    With `kept` only of the blocks that are set again, where she leaves cut ones out.
    """
    sizes, reading = block_sizes(job, quilt), job.reading
    if sizes is None or reading.rows is None or reading.columns is None:
        return None
    gaps = gaps_between(job, quilt, sizes)
    if reading.setting == "on point":
        return seams_on_point(found.ground.block_at, sizes[0], gaps[0].inches > 0)
    cut, around = cuts_of(job, quilt), bordered(job)
    if kept and job.inputs.decision.cut_blocks == "left out" and cut:
        return seams_kept(reading.rows, reading.columns, sizes, gaps, around, cut)
    return seams(reading.rows, reading.columns, sizes, gaps, around, cut)
