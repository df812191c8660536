"""What the page on deciding shows beside the ways, in words."""

from __future__ import annotations

from calendar import monthrange
from datetime import date
from fractions import Fraction
from typing import Any

from seamlore.errors import SeamloreError
from seamlore.lengths import Unit, in_unit, inches, show, show_size
from seamlore.saving.giving import Resewn
from seamlore.saving.options import WAYS
from seamlore.saving.projects import Fit
from seamlore.saving.resetting import CUT_BLOCKS, has_cut_blocks
from seamlore.saving.small_quilt import SmallQuilt
from seamlore.saving.stages import SAMPLES, row_order
from seamlore.saving.trimming import Trimmed, frame
from seamlore.steps.decide.cloth_words import cloth_shown, near_words, opening, patches_words
from seamlore.steps.decide.decide import Basis
from seamlore.steps.decide.loose import allowance_left, frames, sewn_by_her
from seamlore.steps.decide.pieces import OnePiece
from seamlore.steps.decide.setting import cuts_of, pointed, seam_of
from seamlore.steps.decide.storage import Stored
from seamlore.steps.study.job import Job

_MOST = 12


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
        listed = f"{', '.join(at[:-1])} and {at[-1]}" if len(at) > 1 else at[0]
        made.append(f"Fold at {listed} from the {side}: {crossed}")
    decided = job.inputs.decision.decided_on
    if decided:
        first = date.fromisoformat(decided)
        half, whole = (_months_on(first, months) for months in (6, 12))
        made.append(f"Folded on {first}, it is folded anew by {half}, or by {whole} at the latest")
    return tuple(made)


def _months_on(day: date, months: int) -> date:
    """The same day so many months later, or the last of that month."""
    years, month = divmod(day.month - 1 + months, 12)
    last = monthrange(day.year + years, month + 1)[1]
    return date(day.year + years, month + 1, min(day.day, last))


def rows_words(job: Job, basis: Basis) -> str:
    """Say in which order the rows are parted, so that the weakest cloth is handled last; nothing for a single row."""
    on_point = job.reading.setting == "on point"
    order = row_order(basis.assessed.survey.blocks, on_point=on_point)
    if not order:
        return ""
    listed = "; ".join(
        f"rows {row + 1} and {row + 2}" + (f" ({weak} weak block{'s' * (weak != 1)})" if weak else "")
        for row, weak in order
    )
    if on_point:
        return f"They run along a diagonal; counted from the top left corner, part them in this order: {listed}"
    return f"Part them in this order: {listed}"


def shown(job: Job, basis: Basis) -> dict[str, Any]:
    """Give what the page shows beside the options, in words."""
    small, block, trimmed = basis.small, basis.block, basis.trimmed
    unit = None if basis.assessed.unit == "width" else Unit(basis.assessed.unit)
    return {
        "gives": _gives_words(basis),
        "block_words": "" if block is None else _block_words(job, block, pointed(basis.quilt)),
        "small_words": "" if small is None else small_words(small),
        "pieces": [piece_words(each) for each in basis.pieces],
        "cut_choice": has_cut_blocks(basis.quilt, cuts_of(job, basis.quilt)),
        "cut_ways": CUT_BLOCKS,
        "things": [thing_words(fit, number) for number, fit in enumerate(basis.fits, start=1)],
        "mends": [
            {
                "says": each.says,
                "number": each.number + 1,
                "method": each.method,
                "near": _near_words(basis, each.number),
                "size": show_size(*(side.shown_in(job.unit) for side in each.size)) if each.size else "",
            }
            for each in basis.repairs
        ],
        "stored": stored_words(job, basis.stored, unit) if basis.stored and unit else (),
        "trimmed_words": "" if trimmed is None else _trimmed_words(trimmed),
        "framed_words": _framed_words(job),
        "seam_words": _seam_words(job),
        "samples": SAMPLES,
        "rows_words": rows_words(job, basis),
        "to_open": opening(job, basis),
        "ways": WAYS,
        "patches_words": patches_words(basis),
        **cloth_shown(job, basis),
        "refold": "Write the folds of this year into the fields of last year's when you refold it: once or twice a year.",
    }


def piece_words(each: OnePiece) -> dict[str, str]:
    """Say what comes out in one piece."""
    return {
        "name": each.name,
        "count": f"{each.sound} of {each.of}",
        "raw": show_size(*each.raw) if each.raw else "",
        "again": show_size(*each.again) if each.again else "",
        "note": each.note,
    }


def _near_words(basis: Basis, number: int) -> str:
    """The nearest fabric at hand for one spot, cloth by cloth."""
    found = [
        f"{each.fabric}: {near_words(each.near[0])}" for each in basis.nearest if number in each.spots and each.near
    ]
    return "; ".join(found)


def _gives_words(basis: Basis) -> str:
    if basis.given is None:
        return basis.small_fault[:1].upper() + basis.small_fault[1:]
    found = basis.given
    words = f"{len(found.whole)} whole, {len(found.edge)} on the edge and {len(found.corners)} at corners are sound"
    return f"{words}; {found.doubtful} doubtful, {found.lost} lost"


def _block_words(job: Job, block: tuple[Resewn, Resewn], points: bool) -> str:
    one, other = block
    words = f"Raw edge to raw edge {show_size(one.raw, other.raw)}; sewn again they finish at {show_size(one.finished, other.finished)}"
    if not points:
        return words
    if one.keeps_points:
        return f"{words}, points whole"
    lost = show(one.points_lost)
    return f"{words}, and {lost} of every point along the edges is lost. {_kept_whole(job, one, other)}"


def _kept_whole(job: Job, one: Resewn, other: Resewn) -> str:
    """Offer what keeps points whole: strips sewn on with what is left, or a foundation under it."""
    left, seam = allowance_left(job), seam_of(job)
    inch = in_unit(1, Unit.INCH if job.unit is Unit.INCH else Unit.CM) * (
        1 if job.unit is Unit.INCH else Fraction(5, 2)
    )
    old = (one.raw - left * 2, other.raw - left * 2)
    to = max(old, key=lambda side: side.inches) + inch + seam * 2
    foundation = f"a foundation under each, {show_size(*(side + seam * 2 for side in old))}, basted to it, whose edge the new seam takes"
    if not left:
        return f"What keeps them: {foundation}"
    strips = frame((one.raw, other.raw), to, left, seam)
    return (
        f"What keeps them: framing strips sewn on with the {show(left)} that is left, cut {show(strips.sides)} wide for the sides and "
        f"{show(strips.ends)} for top and bottom, so that each finishes at {show(to - seam * 2)}; or {foundation}"
    )


def small_words(small: SmallQuilt) -> str:
    """Say what a smaller quilt is."""
    single = small.rows * small.columns == 1
    gap = f", sashing {show(small.sashing)}" if small.sashing.inches and not single else ""
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
        f"block {number}: {show(each.sides)} and {show(each.ends)}"
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
