"""How the fabrics of a plan are cut, for page and booklet: the list with both sizes, the diagrams, every cut in its order."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence

from seamlore.drawing.shapes import Ring
from seamlore.lengths import Length, show, show_size
from seamlore.making.cutting import Cut
from seamlore.making.nesting import Slant
from seamlore.packing.cuts import Line, cuts_of, lines_in
from seamlore.packing.pieces import Block
from seamlore.packing.plan import Place, places_in
from seamlore.pictures.laid import Laid, LaidPiece, NumberedLine, Slash
from seamlore.sheets.pattern import CutFabric, ToCut
from seamlore.steps.cutting.from_stash import Used
from seamlore.steps.cutting.of_plan import PlanCut
from seamlore.steps.cutting.words import both_plans, cuts_in_words, form_said, least_said
from seamlore.steps.making.cutting import corner_to_corner, finished_words, what_then
from seamlore.steps.words import few, listed

# As many numbers as can be read at a glance.
_FEW = 8


def cut_as_planned(plan_cut: PlanCut, key: str) -> CutFabric:
    """Gather all that is cut from one fabric: its list, both plans in words, its diagrams, its cuts.

    Parameters
    ----------
    plan_cut : PlanCut
    key : str
        The place or key whose cloth it is.
    """
    need, cut = plan_cut.need, plan_cut.cut
    at_hand = _counts([(strip, used.times) for used in cut.used for strip in used.strips])
    lines = []
    for source in need.cuts:
        kinds = [kind for kind, served in enumerate(plan_cut.sources) if source in served]
        from_stash = sum(at_hand[kind] for kind in kinds)
        numbers = plan_cut.numbers(source)
        # Not "cut 4": that would be four of them.
        said = [f"cut no. {_numbers(numbers)}"] if numbers else []
        said += [f"{from_stash} from the stash"] if from_stash else []
        lines.append(
            ToCut(
                few(source.labels),
                show_size(*source.size) if source.size[0] != source.size[1] else f"{show(source.size[0])} square",
                source.count,
                what_then(source),
                "; ".join(said),
                finished_words(source),
            )
        )
    plans = (*both_plans(cut), *((_least(plan_cut),) if cut.plans else ()), *plan_cut.notes)
    return CutFabric(need.fabric, key, tuple(lines), (), tuple(laid_of(plan_cut)), plans, tuple(cuts_in_words(cut)))


def _numbers(cuts: Sequence[int]) -> str:
    shown = " · ".join(str(each) for each in cuts[:_FEW])
    return shown if len(cuts) <= _FEW else f"{shown} and {len(cuts) - _FEW} more"


def _least(plan_cut: PlanCut) -> str:
    said = least_said(plan_cut.cut)
    # Beside it what a handbook's sum comes to, where all of it is bought as wide as is reckoned.
    plain = plan_cut.need.plain
    told = not plan_cut.cut.used and plain >= plan_cut.cut.length
    beside = f"; strips of one kind each take {show(plain, direction='up')}" if told else ""
    return f"{said[0].upper()}{said[1:]}{beside}."


def laid_of(plan_cut: PlanCut) -> list[Laid]:
    """Give the diagrams of one fabric: each thing at hand, then each different strip of what is bought."""
    cut = plan_cut.cut
    # All rectangles of one odd scrap are shown together.
    scraps: dict[int, list[Used]] = {}
    for number, used in enumerate(cut.used):
        scraps.setdefault(id(used.holding) if used.holding.outline else -1 - number, []).append(used)
    found = [_used(plan_cut, each) for each in scraps.values()]
    if cut.layout is None:
        return found
    cuts = {each.size: each for each in cut.layout.cuts}
    for strip, times in Counter(cut.layout.strips).items():
        lines = lines_in(strip, cuts[strip.height], cut.layout.width)
        held = _held(plan_cut, [strip])
        if not held:
            continue  # the way to the first motif, or what lies between two rows of them
        said = f"cut {times} strip{'s' * (times != 1)} like this: {held}" + " from each" * (times != 1)
        found.append(
            Laid(
                cut.width,
                cut.part * strip.height,
                tuple(_piece(plan_cut, place) for place in places_in(strip)),
                tuple(_line(each, cut.part) for each in lines),
                said,
            )
        )
    return found


def _used(plan_cut: PlanCut, parts: Sequence[Used]) -> Laid:
    cut, holding = plan_cut.cut, parts[0].holding
    part = cut.part
    pieces: list[LaidPiece] = []
    lines: list[NumberedLine] = []
    for number, used in enumerate(parts):
        cuts = {each.size: each for each in cuts_of(used.strips, used.width)}
        y = used.y
        for strip in used.strips:
            pieces += [_piece(plan_cut, place, used.x) for place in places_in(strip, y)]
            for line in lines_in(strip, cuts[strip.height], used.width):
                lines.append(_line(line, part, used.x, y, number))
            y += strip.height
    times = max(used.times for used in parts)
    said = (
        f"from the stash, {form_said(holding, times)}: {_held(plan_cut, [s for used in parts for s in used.strips])}"
    )
    return Laid(
        holding.width.shown_in(part.unit),
        holding.length.shown_in(part.unit),
        tuple(pieces),
        tuple(lines),
        said + " from each" * (times != 1),
        _ring(holding.outline),
        tuple(_ring(each) for each in holding.spoilt),
    )


def _ring(points: Sequence[tuple[object, object]]) -> Ring:
    return tuple((float(x), float(y)) for x, y in points)  # type: ignore[arg-type]


def _line(line: Line, part: Length, x: int = 0, y: int = 0, within: int = 0) -> NumberedLine:
    per = part.inches_float
    ends = ((line.x0 + x) * per, (line.y0 + y) * per, (line.x1 + x) * per, (line.y1 + y) * per)
    return NumberedLine(line.number, *ends, within)


def _piece(plan_cut: PlanCut, place: Place, x: int = 0) -> LaidPiece:
    per = plan_cut.cut.part.inches_float
    # Strips that are joined are cut to their pieces afterwards: as strips they have the width of the fabric.
    source = None if place.kind < plan_cut.joined else plan_cut.sources[place.kind][0]
    upright = place.width < place.height
    then: Slash = corner_to_corner(source, upright=upright) if source else ""
    slants: Sequence[Slant] = ()
    if source and source.nest:
        slants = source.nest.slants(source.yields)
        # A strip of few templates may be wider than it is long.
        wider = source.nest.run(source.yields) < source.nest.depth
        upright = upright != wider if place.width != place.height else source.lies == "along"
    return LaidPiece(
        (place.x + x) * per,
        place.y * per,
        place.width * per,
        place.height * per,
        plan_cut.cut.pieces[place.kind].name,
        then,
        tuple((float(one), float(two)) for one, two in slants),
        upright,
    )


def _held(plan_cut: PlanCut, strips: Sequence[Block]) -> str:
    counts = _counts([(strip, 1) for strip in strips])
    names: Counter[str] = Counter()
    for kind, many in counts.items():
        source: Cut | None = plan_cut.sources[kind][0] if len(plan_cut.sources[kind]) == 1 else None
        each = source.yields if source and source.nest else 1
        names[plan_cut.cut.pieces[kind].name] += many * each
    return listed([f"{many} {name}" for name, many in names.items()])


def _counts(strips: Sequence[tuple[Block, int]]) -> Counter[int]:
    found: Counter[int] = Counter()
    for strip, times in strips:
        for place in places_in(strip):
            found[place.kind] += times
    return found
