"""An explanation in numbers and in a quilter's words."""

from __future__ import annotations

from fractions import Fraction

from seamlore.lengths import Length, Unit, in_unit, inches, on_mark, root2, show, show_seam
from seamlore.study.causes import Cause, Causes, Kind, of_kind, true_count
from seamlore.study.fit import Fit
from seamlore.study.measured import AXES, SIDES, Axis, Known, Measurement, Side, What
from seamlore.study.measurements import Measurements
from seamlore.study.unknowns import border_there


def told(m: Measurements, causes: Causes, made: Fit) -> str:
    """Tell an explanation: one sentence for each cause, with its numbers."""
    parts = [_cut(m, causes, made), _border(m, causes, made), *(_one(m, causes, each, made) for each in causes)]
    if not causes:
        adds_up = any(m.said(What.OVERALL, axis) and m.said(What.BLOCK, axis) and m.count(axis) for axis in AXES)
        parts.append("Nothing is wrong: the sums come out." if adds_up else "Nothing that was measured disagrees.")
    return " ".join(part for part in (*parts, _taken_as(m, causes, made)) if part)


def _taken_as(m: Measurements, causes: Causes, made: Fit) -> str:
    """Say which size is taken for a block or sashing that was read a little otherwise: all measurements have a say."""
    said = []
    for what, unfinished in ((What.BLOCK, Kind.UNFINISHED), (What.SASHING, Kind.SASHING_UNFINISHED)):
        for axis in AXES:
            read, best = m.said(what, axis), made.best.get(m.size_name(what, axis))
            if read is None or best is None or read.known is Known.PHOTO or of_kind(causes, unfinished):
                continue
            misread = any(each.kind is Kind.FIGURE and m.lengths[each.figure] is read for each in causes)
            size = exact(best, m.unit)
            if not misread and show(size) != show(read.value):
                said.append(f"{read.name} as {show(size)}")
    return f"That takes {' and '.join(dict.fromkeys(said))}." if said else ""


def gone(m: Measurements, causes: Causes, axis: Axis, made: Fit) -> tuple[tuple[Side, Length], ...]:
    """What is cut off or folded in at the two sides of an axis; empty when that is no part of the explanation.

    Without a measurement at either side, what the sums miss is shared alike.
    """
    if not of_kind(causes, Kind.CUT, axis):
        return ()
    near, far = SIDES[axis]
    n, whole = true_count(m, causes, axis), m.said(What.OVERALL, axis)
    block = made.best.get(m.size_name(What.BLOCK, axis))
    plain = not any(of_kind(causes, each, axis) for each in _ELSEWHERE)
    if plain and not _told_by_side(m, axis) and n is not None and whole is not None and block is not None:
        total = made_of(m, causes, axis, made, n, block)
        each = (total - whole.value) / 2
        return (near, each), (far, each)
    # A side that no measurement reaches is not spoken of.
    return tuple(
        (side, about(made.best[f"cut {side}"], m.unit)) for side in (near, far) if f"cut {side}" in made.best
    )


# Where one of these holds too, not all that the sums miss is at the edge.
_ELSEWHERE = (Kind.SHRUNK, Kind.WIDE_SEAMS, Kind.FIGURE, Kind.STRETCHED, Kind.UNTOLD)


def made_of(m: Measurements, causes: Causes, axis: Axis, made: Fit, n: int, block_in: float) -> Length:
    """What blocks and sashing come to along an axis, uncropped, at the likeliest sizes."""
    total = exact(block_in, m.unit) * n
    gaps = n - 1 + 2 * (m.outer_sashing or of_kind(causes, Kind.OUTER_SASHING)) if m.has_sashing(axis) else 0
    if gaps:
        total = total + exact(made.best[m.size_name(What.SASHING, axis)], m.unit) * gaps
    return root2(total) if m.on_point else total


def borders_of(m: Measurements, causes: Causes, made: Fit) -> tuple[tuple[Side, Length], ...]:
    """How wide the border is at each side that has one: as taped, or what fits best."""
    found: list[tuple[Side, Length]] = []
    for axis in AXES:
        for side in SIDES[axis]:
            name, said = border_there(m, causes, side), m.border(side)
            if not name:
                continue
            taped = said is not None and said.known is not Known.PHOTO and name == m.border_name(side)
            misread = any(cause.kind is Kind.FIGURE and m.lengths[cause.figure] is said for cause in causes)
            best = made.best.get(name)
            if said is not None and taped and not misread:
                found.append((side, said.value))
            elif best:
                found.append((side, about(best, m.unit)))
    return tuple(found)


def matters(m: Measurements, causes: Causes, cause: Cause, made: Fit) -> bool:
    """Whether a cause, once fitted, does something that a tape could show."""
    least = 0.15
    match cause.kind:
        case Kind.CUT:
            axis: Axis = "down" if cause.along == "down" else "across"
            sides = [lost.inches_float for _, lost in gone(m, causes, axis, made)]
            block = made.best.get(m.size_name(What.BLOCK, axis), 0.0)
            # Where a whole block is gone, a row or column is; that is a miscount.
            return sum(sides) >= 2 * least and max(sides) < block
        case Kind.FIGURE:
            wrong, slip = m.lengths[cause.figure], made.best.get("slip", 0.0)
            return abs(slip) >= max(least, 2 * wrong.sigma_in) and (wrong.value_in > slip or wrong.what is What.EDGE)
        case Kind.BORDER:
            known = made.best.get("border", 0.0) if _said_all_round(m) else 0.0
            return abs(made.best.get(f"border {cause.along}", known) - known) >= least
        case Kind.STRETCHED:
            return abs(made.best.get("stretch", 0.0)) >= 0.01
        case Kind.SHRUNK:
            return made.best.get("draw", 0.0) >= 0.005
        case Kind.WIDE_SEAMS:
            return made.best.get("seam", 0.0) >= 1 / 64
        case Kind.UNTOLD:
            return abs(made.best.get(f"rest {cause.along}", least)) >= least
    return True


def _said_all_round(m: Measurements) -> bool:
    return any(each.what is What.BORDER and each.along == "both" for each in m.lengths)


def _told_by_side(m: Measurements, axis: Axis) -> bool:
    return any(each.what in (What.EDGE, What.OUTER) and each.along == axis for each in m.lengths)


def exact(value_in: float, unit: Unit) -> Length:
    """A size that lies on a mark, made exact again after its way through floats."""
    finest = inches(Fraction(1, 16)) if unit is Unit.INCH else in_unit(Fraction(1, 10), unit)
    return on_mark(Length(Fraction(value_in), unit), "nearest", finest)


def about(value_in: float, unit: Unit) -> Length:
    """A fitted length, on the nearest eighth of an inch or millimeter."""
    return on_mark(Length(Fraction(value_in), unit), "nearest")


def _one(m: Measurements, causes: Causes, cause: Cause, made: Fit) -> str:
    unit, allowance = m.unit, m.seam_allowance
    match cause.kind:
        case Kind.CUT | Kind.BORDER:
            return ""  # told of both axes at once
        case Kind.UNFINISHED:
            said = next(each for each in m.lengths if each.what is What.BLOCK and each.known is not Known.PHOTO)
            finished = said.value - allowance * 2
            return (
                f"The block was measured unfinished, with {show_seam(allowance)} of seam allowance on each side: "
                f"it is {show(finished)} finished, not {show(said.value)}.{_check(m, causes, made, block=finished)}"
            )
        case Kind.SASHING_UNFINISHED:
            said = next(each for each in m.lengths if each.what is What.SASHING and each.known is not Known.PHOTO)
            finished = said.value - allowance * 2
            return (
                f"The sashing was measured unfinished: it is {show(finished)} finished, "
                f"not {show(said.value)}.{_check(m, causes, made, sashing=finished)}"
            )
        case Kind.FIGURE:
            return _figure_sentence(m.lengths[cause.figure], made, unit)
        case Kind.MISCOUNT:
            what = "columns" if cause.along == "across" else "rows"
            return f"There are {cause.number} {what}, not {m.count('down' if what == 'rows' else 'across')}.{_check(m, causes, made)}"
        case Kind.SHRUNK:
            return (
                f"Quilting and washing have drawn the quilt in by about {round(made.best['draw'] * 100, 1):g} in 100 "
                "since its blocks were the size that was said."
            )
        case Kind.WIDE_SEAMS:
            finest = inches(Fraction(1, 32)) if unit is Unit.INCH else in_unit(Fraction(1, 20), unit)
            wide = on_mark(Length(Fraction(made.best["seam"]), unit), "nearest", finest)
            return f"Every seam was taken about {_thread(wide, finest)} wider than planned, on each side of the seam."
        case Kind.OUTER_SASHING:
            return f"Sashing runs round the outside of the blocks too.{_check(m, causes, made)}"
        case Kind.STRETCHED:
            ratio = made.best["stretch"]
            way = ("longer than wide", "wider than long")[ratio < 0]
            return (
                f"Quilting, washing or stretch have made it about {round(abs(ratio) * 100, 1):g} in 100 {way}, measured "
                "against what its maker pieced."
            )
        case Kind.UNTOLD:
            rest = about(made.best[f"rest {cause.along}"], unit)
            where = "width" if cause.along == "across" else "length"
            if rest.inches > 0:
                return f"Something is not told: the {where} is {show(rest)} more than anything told makes up."
            return f"Something is told wrongly: the {where} is {show(abs(rest))} less than what was told makes."


def _border(m: Measurements, causes: Causes, made: Fit) -> str:
    """Tell of borders that are not in the sums, or not as wide as they were said to be."""
    axes = [axis for axis in AXES if of_kind(causes, Kind.BORDER, axis)]
    wide = [about(made.best.get(f"border {axis}", 0.0), m.unit) for axis in axes]
    if not axes:
        return ""
    where = {"across": "at the sides", "down": "at top and bottom"}
    if _said_all_round(m):
        said = show(m.lengths[[each.what for each in m.lengths].index(What.BORDER)].value)
        if not wide[0]:
            return f"There is no border {where[axes[0]]}, though one of {said} was told."
        return f"The border {where[axes[0]]} is not the {said} that was said: it is about {show(wide[0])}."
    if len(axes) == 2 and wide[0] == wide[1]:
        return f"A border of about {show(wide[0])} all round is not in the sums."
    told = " and ".join(f"{show(width)} {where[axis]}" for axis, width in zip(axes, wide, strict=True))
    return f"A border of about {told} is not in the sums."


def _thread(wide: Length, finest: Length) -> str:
    return show(wide, mark=finest) if wide.unit is Unit.INCH else f"{float(wide.measured_in(Unit.CM) * 10):g} mm"


def _cut(m: Measurements, causes: Causes, made: Fit) -> str:
    parts = []
    for axis in AXES:
        sides = gone(m, causes, axis, made)
        if not sides:
            continue
        where = "width" if axis == "across" else "length"
        if _told_by_side(m, axis):
            lost = [
                f"{show(each)} {'is gone ' * (not index)}at the {side}" for index, (side, each) in enumerate(sides)
            ]
            parts.append(" and ".join(lost))
        else:
            one, two = sides[0][1], sides[-1][1]
            parts.append(
                f"{show(one + two)} is gone from the {where}, {show(one)} from each side if both were cut alike"
            )
    return f"The outer blocks are cut down or folded in: {'; '.join(parts)}." if parts else ""


def _figure_sentence(wrong: Measurement, made: Fit, unit: Unit) -> str:
    should = about(wrong.value_in - made.best["slip"], unit)
    if wrong.what is What.SASHING:
        how = "narrower" if should < wrong.value else "wider"
        return f"The sashing is {how} than said: about {show(should)}, not {show(wrong.value)}."
    name = wrong.name[0].upper() + wrong.name[1:]
    return f"{name} is misread: it should be about {show(should)}, not {show(wrong.value)}."


def _check(
    m: Measurements, causes: Causes, made: Fit, *, block: Length | None = None, sashing: Length | None = None
) -> str:
    """The sum once more with the mended figures, where a quilter can follow it: none with others than were just said."""
    if len(causes) != 1:
        return ""
    told = []
    for axis in AXES:
        n, whole = true_count(m, causes, axis), m.said(What.OVERALL, axis)
        best = made.best.get(m.size_name(What.BLOCK, axis))
        if m.on_point or n is None or whole is None or best is None:
            continue
        size = exact(best, m.unit)
        if block is not None and size != block:
            return ""
        total, text = size * n, f"{n} x {show(size, bare=True)}"
        gaps = n - 1 + 2 * (m.outer_sashing or of_kind(causes, Kind.OUTER_SASHING)) if m.has_sashing(axis) else 0
        if gaps:
            strip = exact(made.best[m.size_name(What.SASHING, axis)], m.unit)
            if sashing is not None and strip != sashing:
                return ""
            total, text = total + strip * gaps, f"{text} + {gaps} x {show(strip, bare=True)}"
        widths = [width for side, width in borders_of(m, causes, made) if side in SIDES[axis]]
        for width in dict.fromkeys(widths):
            times = f"{widths.count(width)} x " if widths.count(width) > 1 else ""
            total, text = total + width * widths.count(width), f"{text} + {times}{show(width, bare=True)}"
        told.append(f"{text} = {show(total)}")
    return f" {'; '.join(told)}." if told else ""
