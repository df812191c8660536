"""The ways open to her, side by side, in words; the answer of the page, and what was decided."""

from __future__ import annotations

from collections import Counter
from fractions import Fraction
from math import sqrt

from seamlore.draft.unread import left_out_words
from seamlore.errors import SeamloreError
from seamlore.fabric.shop import bought, cost, to_buy
from seamlore.fabric.stash import Offer
from seamlore.hours import Hours, hours
from seamlore.lengths import Length, Unit, in_unit, inches, show, show_size
from seamlore.making.cutting import Cut
from seamlore.saving.options import WAYS, Option, option
from seamlore.saving.resetting import NEW, has_cut_blocks
from seamlore.steps.assess.assess import holding
from seamlore.steps.assess.words import percent
from seamlore.steps.decide.cloth_words import opening
from seamlore.steps.decide.decide import Basis
from seamlore.steps.decide.setting import cuts_of, pointed
from seamlore.steps.draft.doubtful import doubtful_words
from seamlore.steps.making.work import fabrics_said, in_all, tasks
from seamlore.steps.study.job import Job

# Inches of thread to an inch sewn by hand, with what is lost at both ends. Common practice, no source.
_THREAD = 3
_WASTE, _WIDTH_IN = Fraction(6, 5), 42
_MOST_LINES = 14


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
        option("repair", [*_mending(job, basis), *_tying(job)], _mended(basis), weak),
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
        else f"hung from a sleeve over its whole width{_sleeve(job)}, 6 to 12 months, then as long a rest; 50 lux"
    )
    return takes


def _sleeve(job: Job) -> str:
    """What a hanging sleeve is cut: 9 in deep for a rod; it ends an inch inside each edge and has a hem of an inch at each end, so
    that it is cut as long as the quilt is wide. Common practice, no source.
    """
    if job.size is None:
        return ""
    inch = inches(1) if job.unit is Unit.INCH else in_unit(Fraction(5, 2), Unit.CM)
    return f" (cut {show_size(inch * 9, job.size[0].shown_in(job.unit))}, sewn to the backing alone)"


def _mending(job: Job, basis: Basis) -> list[str]:
    counts = Counter(each.method.name for each in basis.repairs)
    if not counts:
        return ["nothing: no damage that is mended was noted"]
    stitched = sum(each.stitched_in for each in basis.repairs)
    thread = f", about {to_buy(in_unit(stitched * _THREAD, Unit.INCH).shown_in(job.unit))} of it" if stitched else ""
    takes = [f"{number} x {name}" for name, number in counts.items()] + [
        f"fine cotton thread{thread}, a fine needle, daylight"
    ]
    cloth = sum((a.inches * b.inches for a, b in (each.size for each in basis.repairs if each.size)), Fraction(0))
    if cloth:
        # Laid out with care about a fifth goes to waste; common practice, no source.
        long = in_unit(cloth * _WASTE / _WIDTH_IN, Unit.INCH)
        takes.append(f"{_cloth(job, long, 'cloth or net in all')}, in several fabrics")
    return [*takes, _worked(hours("inch by hand", stitched), "of sewing by hand")] if stitched else takes


def _tying(job: Job) -> list[str]:
    """The ties that are missing, where how it is held was entered."""
    try:
        held = holding(job)
    except SeamloreError:
        return []
    if held is None or held.enough:
        return []
    if held.too_many:
        return [f"more than {len(held.missing):,} ties, or quilting in lines"]
    count = len(held.missing)
    return [
        f"{count} more tie{'s' * (count != 1)}, where the page Assess shows them",
        _worked(hours("tie", count), "of tying"),
    ]


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
        return [
            basis.opened_fault
            or ("enter the width of the new sashing or border below" if known else basis.small_fault)
        ]
    opened = basis.opened
    takes = [str(opened.quilt).partition(": ")[2], *opening(job, basis, opened.seams)]
    seams, seamed_in, patches, round_in = 0, 0.0, 0, 0.0
    lines: list[str] = []
    for need in opened.fabrics:
        lines += [f"{need.fabric}: {cut.how}" for cut in need.cuts]
        lines.append(_cloth(job, need.length, need.fabric))
        for cut in need.cuts:
            if need.fabric.startswith(NEW):
                count, long_in = sewn_in(cut)
                seams, seamed_in = seams + count, seamed_in + count * long_in
            else:
                sides = sum(side.inches_float for side in cut.finished)
                patches, round_in = patches + cut.needed, round_in + cut.needed * sides
    takes += lines[:_MOST_LINES]
    if len(lines) > _MOST_LINES:
        takes.append(f"and {len(lines) - _MOST_LINES} lines more: save its plan")
    if opened.completed:
        takes.append(
            f"{opened.completed} cut blocks completed, {patches} patches new: cloth of their age, or new that says so; "
            "look under the edge first, they may be folded inside, whole"
        )
        takes.append(_worked(hours("inch of seam opened", round_in), "to take their cut patches out"))
    if seams or patches:
        sewn = hours("seam by machine", seams + patches) + hours("inch by machine", seamed_in + round_in)
        takes.append(_worked(sewn, "to sew them in"))
    if has_cut_blocks(basis.quilt, cuts_of(job, basis.quilt)) and not job.inputs.decision.cut_blocks:
        takes.append("cut blocks stay as they are: completed or left out can be chosen below")
    return takes


def sewn_in(cut: Cut) -> tuple[int, float]:
    """How many seams the new pieces of one kind take, and how long each is in inches: a strip both of its long sides, a side
    triangle both of its legs, a corner triangle its long side.
    """
    if cut.shape == "quarter-square triangle":
        return 2 * cut.needed, cut.finished[0].inches_float / sqrt(2)
    if cut.shape == "half-square triangle":
        return cut.needed, cut.finished[0].inches_float * sqrt(2)
    return 2 * cut.count, cut.size[0].inches_float


def _share(basis: Basis) -> float:
    parts = {each.of: each for each in basis.assessed.survey.parts}
    return parts["blocks"].whole / parts["the front"].whole if "blocks" in parts else 0.0


def _set(basis: Basis) -> list[str]:
    share, opened = _share(basis), basis.opened
    if opened is not None and basis.quilt is not None and opened.stands:
        # Blocks that are left out do not survive in it.
        share *= len(opened.stands) / len(basis.quilt.spots)
    blocks = f", {percent(share)} of the front" if share else ""
    kept = f"the piecing of the blocks{blocks}"
    if opened is not None and opened.completed:
        kept += f", but for {len(opened.new)} patches"
    return [kept, "no quilting or ties, setting or edge"]


def _parting(job: Job, basis: Basis) -> list[str]:
    if basis.given is None:
        return [basis.small_fault]
    found = basis.given
    takes = [f"{len(basis.stages)} stages, each with a stop"]
    takes += opening(job, basis)
    takes.append(
        f"gives {len(found.whole)} whole, {len(found.edge)} edge and {len(found.corners)} corner blocks that are sound"
    )
    if basis.block is not None:
        one, other = basis.block
        takes.append(f"sewn again they finish at {show_size(one.finished, other.finished)}")
        if not one.keeps_points and pointed(basis.quilt):
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
    try:
        cuts = job.cuts
    except SeamloreError:
        # What cannot be laid out as asked is reckoned in strips, as on the page Make.
        cuts = ()
    takes = [f"{show_size(*plan.finished)} finished; {fabrics_said(plan)}"]
    # What is not known is in none of these figures.
    takes += [each.rstrip(".") for each in (left_out_words(plan.quilt, "reckoned"), doubtful_words(job)) if each]
    lengths = [each.cut.length for each in cuts] or [each.length for each in plan.fabrics]
    # Each fabric is bought by itself.
    cloth = sum((bought(each.shown_in(job.unit)) for each in lengths), inches(0))
    takes.append(_cloth(job, cloth, "fabric for the top"))
    takes.append(f"{in_all(tasks(plan, cuts))} in all (page Make)")
    takes.append(f"backing: {plan.backing}")
    if plan.filling:
        takes.append(f"{plan.filling.kind}: {plan.filling}")
    return takes


def _cloth(job: Job, cloth: Length, of: str) -> str:
    """So much cloth as a shop is asked for it, and what it costs at her price where she gave one."""
    cloth = cloth.shown_in(job.unit)
    text = job.inputs.decision.price.strip()
    spent = cost(bought(cloth), Offer(of, None, Fraction(text), job.unit)) if text else None
    return f"{to_buy(cloth)} of {of}" + ("" if spent is None else f", {float(spent):.2f} at your price")


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
