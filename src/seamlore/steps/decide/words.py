"""The ways open to her, side by side, in words; and the answer of the page."""

from __future__ import annotations

from collections import Counter
from fractions import Fraction
from math import ceil
from typing import Any

from seamlore.errors import SeamloreError
from seamlore.hours import Hours, hours
from seamlore.lengths import INCHES_PER_YARD, Length, Unit, in_unit, inches, show, show_size
from seamlore.saving.giving import Resewn
from seamlore.saving.options import WAYS, Option, option
from seamlore.saving.projects import Fit
from seamlore.saving.small_quilt import SmallQuilt
from seamlore.saving.stages import SAMPLES
from seamlore.saving.trimming import Trimmed
from seamlore.steps.assess.words import percent
from seamlore.steps.decide.decide import Basis, Stored, frames, sewn_by_her, sides_cut
from seamlore.steps.study.job import Job

_EIGHTH_YARD = Fraction(1, 8)
_MOST = 12


def answer(job: Job, basis: Basis) -> str:
    """Say what was decided, or what stands in the way."""
    decision = job.inputs.decision
    if decision.way:
        on = f", {decision.decided_on}" if decision.decided_on else ""
        return f"Decided{on}: {WAYS[decision.way][0].lower()}"
    if basis.given is None:
        return "Not decided yet"
    whole = len(basis.given.whole)
    blocks = f"{whole} whole sound block{'s' * (whole != 1)}"
    if not job.inputs.notes.annotations:
        return f"Not decided yet. It could give {blocks}, if nothing is damaged: nothing is noted yet"
    return f"Not decided yet. It could give {blocks}"


def options(job: Job, basis: Basis) -> tuple[Option, ...]:
    """Put the five ways side by side as they are for this quilt."""
    weak = ["weak cloth: not hung, folded away from it"] if basis.assessed.suspects else []
    return (
        option("keep", _keeping(job, basis), ["all of the maker's work and cloth"], weak),
        option("repair", _mending(basis), _mended(basis), weak),
        option("reset", _setting(job, basis), _set(basis), weak),
        option("take apart", _parting(job, basis), _parted(basis), weak),
        option("reproduce", _making(job), ["all of the old quilt, as in keeping it"]),
    )


def _keeping(job: Job, basis: Basis) -> list[str]:
    takes = [
        "a box of acid-free board, or a tube 4 to 6 in across with tissue or washed muslin; no plastic, no raw wood"
    ]
    takes.append(f"{len(basis.stored.across.at) + len(basis.stored.down.at)} folds, padded, other ones once or twice a year" if basis.stored
                 else "folds padded and changed once or twice a year, or rolled right side out")  # fmt: skip
    hung = any(each.kind == "tendered cloth" for each in basis.assessed.notes) or basis.assessed.suspects
    takes.append(
        "not hung: cloth is weak"
        if hung
        else "hung from a sleeve over its whole width, 6 to 12 months, then as long a rest; 50 lux"
    )
    return takes


def _mending(basis: Basis) -> list[str]:
    counts = Counter(each.method.name for each in basis.repairs)
    if not counts:
        return ["nothing: no damage that is mended was noted"]
    takes = [f"{number} x {name}" for name, number in counts.items()] + [
        "fine cotton thread, a fine needle, daylight"
    ]
    stitched = sum(each.stitched_in for each in basis.repairs)
    return [*takes, _worked(hours("inch by hand", stitched), "of sewing by hand")] if stitched else takes


def _worked(found: Hours, what: str) -> str:
    return f"{found} {what} ({'; '.join(found.known)})"


def _mended(basis: Basis) -> list[str]:
    survives = ["all of it: nothing original is cut away, each repair can be undone"]
    width, height = basis.assessed.ground.size
    sizes = [each.size for each in basis.repairs if each.size is not None]
    if sizes and basis.assessed.unit != "width":
        unit = Unit(basis.assessed.unit)
        new = sum(float(a.measured_in(unit) * b.measured_in(unit)) for a, b in sizes)
        survives.append(f"new cloth or net on {percent(min(new / (width * height), 1))} of the front")
    return survives


def _setting(job: Job, basis: Basis) -> list[str]:
    if basis.opened is None:
        known = basis.block is not None
        return [basis.opened_fault or ("enter the width of the new sashing below" if known else basis.small_fault)]
    opened = basis.opened
    takes = [f"{show(opened.seams)} of seams to open, and {show(opened.edges)} of edge"]
    for count, long, wide in (opened.short, opened.long):
        if count:
            takes.append(f"{count} strip{'s' * (count != 1)} {show_size(wide, long)} cut")
    if opened.strips:
        cloth = opened.short[2] * opened.strips
        takes.append(f"{_yards(cloth)} of fabric for them{_price(job, cloth)}")
        seams = 2 * (opened.short[0] + opened.long[0])
        sewn = 2 * sum(count * long.inches_float for count, long, _ in (opened.short, opened.long))
        takes.append(_worked(hours("seam by machine", seams) + hours("inch by machine", sewn), "to sew them in"))
    cut = sides_cut(job)
    if cut:
        takes.append(f"cut blocks at the {', '.join(sorted(cut))}: completed with cloth of their age, or left out")
    return takes


def _share(basis: Basis) -> float:
    parts = {each.of: each for each in basis.assessed.survey.parts}
    return parts["blocks"].whole / parts["the front"].whole if "blocks" in parts else 0.0


def _set(basis: Basis) -> list[str]:
    share = _share(basis)
    blocks = f", {percent(share)} of the front" if share else ""
    return [f"the piecing of the blocks{blocks}", "no quilting or ties, setting or edge"]


def _parting(job: Job, basis: Basis) -> list[str]:
    if basis.given is None:
        return [basis.small_fault]
    found = basis.given
    takes = [f"{len(basis.stages)} stages, each with a stop"]
    if basis.opened is not None:
        takes.append(f"{show(basis.opened.seams)} of seams to open")
    takes.append(
        f"gives {len(found.whole)} whole, {len(found.edge)} edge and {len(found.corners)} corner blocks that are sound"
    )
    if basis.block is not None:
        one, other = basis.block
        takes.append(f"sewn again they finish at {show_size(one.finished, other.finished)}")
        if not one.keeps_points:
            takes.append(
                f"{show(one.points_lost)} of every point is lost, unless each is framed or sewn to a foundation"
            )
    return takes


def _parted(basis: Basis) -> list[str]:
    if basis.given is None or not basis.assessed.survey.blocks:
        return ["pieces of cloth"]
    sound = len(basis.given.whole) + len(basis.given.edge) + len(basis.given.corners)
    part = _share(basis) * sound / len(basis.assessed.survey.blocks)
    return [
        f"sound blocks, about {percent(part)} of the front, in other things",
        "the record, photographs and samples",
    ]


def _making(job: Job) -> list[str]:
    try:
        plan = job.plan
    except SeamloreError as fault:
        return [f"a draft first: {fault}"]
    takes = [f"{show_size(*plan.finished)} finished; {len(plan.fabrics)} fabric{'s' * (len(plan.fabrics) != 1)}"]
    cloth = sum((each.length for each in plan.fabrics), inches(0))
    takes.append(f"{_yards(cloth)} for the top{_price(job, cloth)}")
    takes.append(f"backing: {plan.backing}")
    if plan.filling:
        takes.append(f"{plan.filling.kind}: {plan.filling}")
    return takes


def _yards(cloth: Length) -> str:
    parts = ceil(cloth.inches / INCHES_PER_YARD / _EIGHTH_YARD)
    return f"{show(in_unit(parts * _EIGHTH_YARD, Unit.INCH), bare=True)} yd"


def _price(job: Job, cloth: Length) -> str:
    """What fabric costs at her price; nothing where she gave none."""
    text = job.inputs.decision.price.strip()
    if not text:
        return ""
    yards = ceil(cloth.inches / INCHES_PER_YARD / _EIGHTH_YARD) * _EIGHTH_YARD
    return f", {float(yards * Fraction(text)):.2f} at your price"


def stored_words(job: Job, stored: Stored, unit: Unit) -> tuple[str, ...]:
    """Say where to fold."""
    made = []
    for folds, side in ((stored.across, "left"), (stored.down, "top")):
        if not folds.at:
            made.append(f"No fold counted from the {side}")
            continue
        mark = inches("1/4") if job.unit is Unit.INCH else in_unit("0.5", Unit.CM)
        at = [
            show(in_unit(Fraction(each).limit_denominator(10**6), unit).shown_in(job.unit), mark=mark)
            for each in folds.at
        ]
        crossed = (
            "crossing no weak cloth"
            if folds.cost == 0
            else "the best there is; weak cloth or an old fold is met, pad it well"
        )
        made.append(f"Fold at {' and '.join(at)} from the {side}: {crossed}")
    return tuple(made)


def shown(job: Job, basis: Basis) -> dict[str, Any]:
    """Give what the page shows beside the options, in words."""
    small, block, trimmed = basis.small, basis.block, basis.trimmed
    unit = None if basis.assessed.unit == "width" else Unit(basis.assessed.unit)
    return {
        "gives": _gives_words(basis),
        "block_words": "" if block is None else _block_words(block),
        "small_words": "" if small is None else small_words(small),
        "things": [thing_words(fit, number) for number, fit in enumerate(basis.fits, start=1)],
        "mends": [
            {
                "says": each.says,
                "number": each.number + 1,
                "method": each.method,
                "size": show_size(*(side.shown_in(job.unit) for side in each.size)) if each.size else "",
            }
            for each in basis.repairs
        ],
        "stored": stored_words(job, basis.stored, unit) if basis.stored and unit else (),
        "trimmed_words": "" if trimmed is None else _trimmed_words(trimmed),
        "framed_words": _framed_words(job),
        "seam_words": _seam_words(job),
        "samples": SAMPLES,
        "ways": WAYS,
        "refold": "Write the folds of this year into the fields of last year's when you refold it: once or twice a year.",
    }


def _gives_words(basis: Basis) -> str:
    if basis.given is None:
        return basis.small_fault[:1].upper() + basis.small_fault[1:]
    found = basis.given
    words = f"{len(found.whole)} whole, {len(found.edge)} on the edge and {len(found.corners)} at corners are sound"
    return f"{words}; {found.doubtful} doubtful, {found.lost} lost"


def _block_words(block: tuple[Resewn, Resewn]) -> str:
    one, other = block
    words = f"Raw edge to raw edge {show_size(one.raw, other.raw)}; sewn again they finish at {show_size(one.finished, other.finished)}"
    if one.keeps_points:
        return f"{words}, points whole"
    lost = show(one.points_lost)
    return f"{words}, and {lost} of every point along the edges is lost. Framing strips sewn on with what is left, or a foundation, keep them"


def small_words(small: SmallQuilt) -> str:
    """Say what a smaller quilt is."""
    gap = f", sashing {show(small.sashing)}" if small.sashing.inches else ""
    left = f"; {small.left_over} left over" if small.left_over else "; none left over"
    off = f"; width and height together {show(small.off)} off what was wished" if small.off.inches else ""
    return f"{small.columns} across and {small.rows} down{gap}: {show_size(small.width, small.height)}{left}{off}"


def thing_words(fit: Fit, number: int) -> dict[str, Any]:
    """Say how a thing comes out of the blocks."""
    project = fit.project
    wide, high = fit.strips
    add = []
    for gap, way in ((wide, "across"), (high, "down")):
        if gap.inches > 0:
            add.append(f"{show(gap)} of strips {way}")
        elif gap.inches < 0:
            add.append(f"{show(abs(gap))} trimmed away {way}")
    return {
        "number": number,
        "name": project.name,
        "size": show_size(project.width, project.height),
        "takes": fit.takes or f"{fit.pieces} from half a block",
        "count": fit.count,
        "left": fit.left,
        "from_cut": bool(fit.pieces),
        "adds": "; ".join([*add, project.adds] if project.adds else add),
        "touches": project.touches,
        "hers": project.hers,
    }


def _trimmed_words(trimmed: Trimmed) -> str:
    words = f"Trim to {show(trimmed.to)}, raw edge to raw edge: they finish at {show(trimmed.finished)}"
    if trimmed.too_small:
        words += f"; too small and to be framed: {_numbers(trimmed.too_small)}"
    if trimmed.points_cut:
        words += f"; points lost, up to {show(trimmed.most_lost, direction='up')}, in {_numbers(trimmed.points_cut)}"
    return words if trimmed.too_small or trimmed.points_cut else f"{words}; none is too small, no point is lost"


def _framed_words(job: Job) -> str:
    found = frames(job)
    if found is None:
        return ""
    to, made = found
    listed = [
        f"block {number} {show(each.sides)} and {show(each.ends)}"
        for number, each in enumerate(made[:_MOST], start=1)
    ]
    more = f"; and {len(made) - _MOST} more" if len(made) > _MOST else ""
    return (
        f"Or a frame of its own for each, to {show(to)} raw edge to raw edge, points whole; strips cut for the sides, then for "
        f"top and bottom: {'; '.join(listed)}{more}"
    )


def _seam_words(job: Job) -> str:
    try:
        found = sewn_by_her(job)
    except SeamloreError as fault:
        return str(fault)
    if found is None:
        return ""
    mark = inches("1/32") if job.unit is Unit.INCH else in_unit("0.05", Unit.CM)
    return f"Your seam takes up {show(found, mark=mark)}; enter that as your seam allowance on the page Make"


def _numbers(given: tuple[int, ...]) -> str:
    return ", ".join(str(each + 1) for each in given)


def decision_lines(job: Job, basis: Basis) -> tuple[str, ...]:
    """Say what was decided, for the study sheet; nothing while nothing is."""
    decision = job.inputs.decision
    if not (decision.way or decision.words or decision.stages):
        return ()
    lines = []
    if decision.way:
        by = [word for word in (decision.decided_on, decision.decided_by) if word]
        lines.append(WAYS[decision.way][0] + (f" ({', '.join(by)})" if by else ""))
    lines += [" ".join(decision.words.split())] if decision.words.strip() else []
    lines += [f"Asked: {' '.join(decision.asked.split())}"] if decision.asked.strip() else []
    lines += [f"{each.name}: {decision.stages[each.key]}" for each in basis.stages if each.key in decision.stages]
    return tuple(lines)
