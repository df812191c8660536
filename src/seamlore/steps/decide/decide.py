"""All that a decision rests on: what the quilt gives, what could be made, how it is stored, mended, set anew or taken apart."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from fractions import Fraction
from typing import TypeVar

import numpy as np
from numpy.typing import NDArray

from seamlore.condition.ground import cut_sides
from seamlore.condition.kinds import kind_named
from seamlore.draft.cells import with_counts
from seamlore.draft.quilt import Quilt, Sashing
from seamlore.errors import MeasureError, SeamloreError
from seamlore.lengths import SEAM_ALLOWANCE, Length, Unit, in_unit, inches, length, on_mark, pair
from seamlore.saving.folding import Folds, folds, shunned, weak
from seamlore.saving.giving import Given, Resewn, given, resewn
from seamlore.saving.projects import Fit, Project, fits
from seamlore.saving.repair import Repair, repairs
from seamlore.saving.resetting import Opened, reset
from seamlore.saving.small_quilt import SmallQuilt, best
from seamlore.saving.stages import STAGES, Stage, Stop, missing, stops
from seamlore.saving.trimming import Framed, Trimmed, common_size, frame, own_seam
from seamlore.steps.assess.assess import Assessed, assess
from seamlore.steps.study.job import Job

# Custom when nothing else is said: usable width of fabric.
_FABRIC_WIDTH = inches(42)
# Folds nearer than this to last year's are the same fold; what they cost weighs more than any weak cloth.
_NEAR = inches(2)
T = TypeVar("T")


@dataclass(frozen=True, slots=True)
class Stored:
    """How it is folded for its box: folds from the left and from the top, in the reading's unit."""

    across: Folds
    down: Folds


@dataclass(frozen=True, slots=True, eq=False)
class Basis:
    """What a decision rests on.

    Parameters
    ----------
    assessed : Assessed
    quilt : Quilt or None
        The draft; None where there is none.
    given : Given or None
        None where no blocks are known.
    block : (Resewn, Resewn) or None
        Width and height of a block that is sewn again.
    small : SmallQuilt or None
        And why there is none.
    small_fault : str
    fits : tuple of Fit
    opened : Opened or None
    opened_fault : str
    repairs : tuple of Repair
    stored : Stored or None
    stored_fault : str
    trimmed : Trimmed or None
    trimmed_fault : str
    missing : tuple of str
        Photographs that are missing before anything is cut.
    stops : tuple of Stop
    stages : tuple of Stage
    """

    assessed: Assessed
    quilt: Quilt | None
    given: Given | None
    block: tuple[Resewn, Resewn] | None
    small: SmallQuilt | None
    small_fault: str
    fits: tuple[Fit, ...]
    opened: Opened | None
    opened_fault: str
    repairs: tuple[Repair, ...]
    stored: Stored | None
    stored_fault: str
    trimmed: Trimmed | None
    trimmed_fault: str
    missing: tuple[str, ...]
    stops: tuple[Stop, ...]
    stages: tuple[Stage, ...]


def seam_of(job: Job) -> Length:
    """The seam that is sewn now: hers, or the usual."""
    return job.seam_allowance or SEAM_ALLOWANCE[job.unit]


def decide(job: Job) -> Basis:
    """Reckon what a decision rests on; what cannot be reckoned is left out, with the reason.

    Raises
    ------
    SeamloreError
        When the photograph cannot be read.
    """
    found, decision = assess(job), job.inputs.decision
    quilt = _draft(job)
    gives, block, fault = _gives(job, found, quilt)
    small, small_fault = None, fault
    things: tuple[Fit, ...] = ()
    if gives is not None and block is not None:
        sizes = (block[0].finished, block[1].finished)
        try:
            small = _small(job, gives, sizes, quilt)
        except SeamloreError as refused:
            small_fault = str(refused)
        own = [
            Project(each.name, length(each.width), length(each.height), each.faces, hers=True)
            for each in decision.things
        ]
        cut = len(gives.edge) + len(gives.corners)
        things = fits(
            len(gives.whole), sizes, own, seam=seam_of(job), cut=cut, ruled_out=bool(decision.ruled_out.strip())
        )
    opened, opened_fault = _tried(lambda: _opened(job, quilt))
    stored, stored_fault = _tried(lambda: stored_in(job, found))
    trimmed, trimmed_fault = _tried(lambda: _trimmed(job))
    unit = None if found.unit == "width" else Unit(found.unit)
    shows = {each.shows for each in job.inputs.photographs.photographs}
    dyes = [each.result for each in found.notes if each.kind == "dye test"]
    return Basis(
        found,
        quilt,
        gives,
        block,
        small,
        small_fault,
        things,
        opened,
        opened_fault,
        repairs(found.notes, found.laid, unit),
        stored,
        stored_fault,
        trimmed,
        trimmed_fault,
        missing(shows, found.notes, found.without),
        stops(found.notes, decision.asked, bool(dyes) and "color" not in dyes, bool(found.suspects)),
        tuple(each for each in STAGES if not each.without or not set(each.without) <= found.without),
    )


def _tried(work: Callable[[], T]) -> tuple[T | None, str]:
    try:
        return work(), ""
    except SeamloreError as refused:
        return None, str(refused)


def _draft(job: Job) -> Quilt | None:
    try:
        return job.quilt
    except SeamloreError:
        # Without a draft the blocks are those of the reading; the page says what is missing.
        return None


def _gives(job: Job, found: Assessed, quilt: Quilt | None) -> tuple[Given | None, tuple[Resewn, Resewn] | None, str]:
    reading = job.reading
    if not found.ground.block_at or reading.rows is None or reading.columns is None:
        return None, None, "no block grid was read: what it gives is its fabric, and its backing"
    sides = sides_cut(job) if reading.setting == "straight" else frozenset()
    gives = given(found.ground.block_at, sides, found.survey.blocks)
    sizes = block_sizes(job, quilt)
    if sizes is None:
        return gives, None, "no size of the blocks is known: enter it by tape on the page Look"
    allowance = _left(job)
    try:
        block = (resewn(sizes[0], allowance, seam_of(job)), resewn(sizes[1], allowance, seam_of(job)))
    except MeasureError as refused:
        return gives, None, str(refused)
    return gives, block, ""


def block_sizes(job: Job, quilt: Quilt | None) -> tuple[Length, Length] | None:
    """Finished width and height of a block: as drafted; without a draft as read, on quarter inches or half centimeters."""
    if quilt is not None:
        return quilt.block_width, quilt.block_height
    return _as_read(job, job.reading.block_size)


def _as_read(job: Job, sizes: tuple[float, float] | None) -> tuple[Length, Length] | None:
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


def _small(job: Job, gives: Given, block: tuple[Length, Length], quilt: Quilt | None) -> SmallQuilt:
    decision, unit = job.inputs.decision, job.unit
    gaps = quilt.gaps if quilt is not None else _as_read(job, job.reading.sashing)
    old = gaps[0] if gaps is not None else block[0] * 0
    least = length(decision.least, unit=unit) if decision.least.strip() else old
    most = (
        length(decision.most, unit=unit) if decision.most.strip() else max(least, old, key=lambda each: each.inches)
    )
    if most.inches < least.inches:
        raise MeasureError(f"sashing from {least} to {most}", "the narrowest comes first", "enter them the other way")
    wished = pair(decision.wished, unit=unit) if decision.wished.strip() else None
    reading = job.reading
    like = (reading.rows or 1, reading.columns or 1)
    return best(len(gives.whole), block, (least, most), wished=wished, like=like, outer=decision.outer)


def _opened(job: Job, quilt: Quilt | None) -> Opened | None:
    text = job.inputs.decision.new_sashing.strip()
    sizes, reading = block_sizes(job, quilt), job.reading
    if not text or sizes is None or reading.rows is None or reading.columns is None:
        return None
    if reading.setting != "straight":
        raise MeasureError(
            "new sashing", "it is reckoned for blocks set straight", "draft the new setting on the page Draft"
        )
    gaps = quilt.gaps if quilt is not None else _as_read(job, reading.sashing)
    width = job.inputs.making.fabric_width.strip()
    return reset(
        reading.rows,
        reading.columns,
        sizes,
        gaps or (sizes[0] * 0, sizes[1] * 0),
        length(text, unit=job.unit),
        seam_of(job),
        length(width) if width else _FABRIC_WIDTH,
    )


def weak_places(found: Assessed) -> list[NDArray[np.float64]]:
    """Outlines of what a fold is to avoid: suspect patches, and cloth that is torn, holed, rubbed or gone."""
    suspect = np.flatnonzero(np.isin(found.ground.fabric, [each.fabric for each in found.suspects]))
    torn = [each.outline for each in found.laid if kind_named(each.kind).does == "cloth" and len(each.outline) > 2]
    return [*(found.ground.outlines[index] for index in suspect.tolist()), *torn]


def stored_in(job: Job, found: Assessed) -> Stored | None:
    """Choose folds for the box that was named; None where none was.

    Raises
    ------
    SeamloreError
        When no size is known, or the quilt does not go into it.
    """
    decision = job.inputs.decision
    if not decision.box.strip():
        return None
    if found.unit == "width":
        raise MeasureError("a box", "no size of the quilt is known", "enter it by tape on the page Look")
    unit = Unit(found.unit)
    box = [float(side.measured_in(unit)) for side in pair(decision.box, unit=job.unit)]
    outlines = weak_places(found)
    near = float(_NEAR.measured_in(unit))
    before = [_places(job, text, unit) for text in (decision.folds_across, decision.folds_down)]

    def along(axis: int, most: float) -> Folds:
        side, other = found.ground.size[axis], found.ground.size[1 - axis]
        marks, cost = weak(side, other, outlines, axis)
        return folds(marks, shunned(marks, cost, before[axis], near, 2 * other), side, most)

    made, fault = [], None
    for turned in (False, True):
        try:
            made.append(Stored(along(0, box[turned]), along(1, box[not turned])))
        except MeasureError as refused:
            fault = refused
    if not made:
        assert fault is not None
        raise fault
    return min(made, key=lambda each: (len(each.across.at) + len(each.down.at), each.across.cost + each.down.cost))


def _places(job: Job, text: str, unit: Unit) -> list[float]:
    return [float(length(each, unit=job.unit).measured_in(unit)) for each in text.split(";") if each.strip()]


def sewn_by_her(job: Job) -> Length | None:
    """What her own seam takes up, by the test block that she measured; None where she measured none.

    Raises
    ------
    SeamloreError
        When its measures do not go together.
    """
    decision = job.inputs.decision
    if not (decision.strip_cut.strip() and decision.strips_sewn.strip()):
        return None
    cut, sewn = (length(text, unit=job.unit) for text in (decision.strip_cut, decision.strips_sewn))
    return own_seam(cut, sewn, int(decision.strips or "3"))


def frames(job: Job) -> tuple[Length, tuple[Framed, ...]] | None:
    """Give each loose block a frame of its own to one size, a strip about an inch wide on every side; None without any.

    Raises
    ------
    SeamloreError
        When a side cannot be read.
    """
    sides = _loose(job)
    if not sides:
        return None
    inch = in_unit(1, Unit.INCH).shown_in(job.unit)
    half = inches("1/2") if job.unit is Unit.INCH else in_unit(1, Unit.CM)
    to = on_mark(max((side for each in sides for side in each), key=lambda each: each.inches) + inch * 2, "up", half)
    return to, tuple(frame(each, to, _left(job), seam_of(job)) for each in sides)


def _left(job: Job) -> Length:
    """What is left of the blocks' own seam allowance: what she said, or what is sewn now."""
    text = job.inputs.decision.allowance.strip()
    return length(text, unit=job.unit) if text else seam_of(job)


def _loose(job: Job) -> list[tuple[Length, Length]]:
    return [pair(line, unit=job.unit) for line in job.inputs.decision.loose.splitlines() if line.strip()]


def _trimmed(job: Job) -> Trimmed | None:
    sides = _loose(job)
    return common_size(sides, _left(job), seam_of(job)) if sides else None


def draft_of(quilt: Quilt, rows: int, columns: int, sashing: Length, outer: bool, name: str) -> Quilt:
    """Draft a smaller thing of the old quilt's blocks, without borders.

    Raises
    ------
    SeamloreError
        When the old quilt's setting does not go with it.
    """
    fewer = with_counts(replace(quilt, borders=(), cut=None), rows, columns)
    strips = Sashing(sashing, sashing, outer) if sashing.inches > 0 else None
    return replace(fewer, name=name, sashing=strips)
