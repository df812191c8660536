"""One step of sewing in words: what it is called, what is joined and how, how it is pressed, what it should now measure."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from fractions import Fraction

from seamlore.draft.units import units
from seamlore.lengths import FINEST_MARK, Length, on_mark, show, show_size
from seamlore.sewing.measuring import is_box, now_measures, tape_lies
from seamlore.sewing.steps import Method, Step
from seamlore.sewing.top import Made, Top
from seamlore.sheets.pattern import DrawnStep
from seamlore.steps.words import listed

_WAYS = {
    "across": "one under the other",
    "up and down": "side by side",
    "on the diagonal": "along the diagonal seam",
    "at a slant": "along the slanting seam",
}
METHODS: Mapping[Method, str] = {"machine": "by machine", "hand": "by hand", "papers": "by hand over papers"}
_SEWN: Mapping[Method, str] = {
    "machine": "",
    "hand": ", from mark to mark",
    "papers": ": whip the folded edges together",
}
# What is done with every piece before and while it is sewn; common practice, no source.
_BEFORE: Mapping[Method, tuple[str, ...]] = {
    "machine": (
        "Sew right sides together from raw edge to raw edge, in a seam as wide as the allowance or a thread less.",
    ),
    "hand": (
        "Mark the seam line on the wrong side of every piece, with its corners. Sew right sides together with a running "
        "stitch from mark to mark, a back stitch at each end; leave the allowances free, so that they can lie either way.",
    ),
    "papers": (
        "Cut a paper of every piece at its finished size, on the line of its template. Lay it on the wrong side, fold "
        "the allowance over it and baste. Whip the folded edges together, right sides facing, through the cloth alone. Take "
        "a paper out when all its neighbors are sewn on.",
    ),
}
# Quilted beside its thread alone, a seam that is pressed open would hold by it alone: common practice, no source.
_CLOSED = "No seam is pressed open, since the quilt is quilted in the ditch."


def before(method: Method, in_the_ditch: bool = False) -> tuple[str, ...]:
    """Say what is done with every piece before and while it is sewn.

    Examples
    --------
    >>> before("machine", in_the_ditch=True)[-1]
    'No seam is pressed open, since the quilt is quilted in the ditch.'
    """
    return (*_BEFORE[method], *([_CLOSED] if in_the_ditch and method != "papers" else []))


# Sashing and borders are too long for papers: common practice, no source.
_OPENED = (
    "Take the papers out along the edges that are joined now, and open their folded allowances out; strips and what is between "
    "them have no papers. Sew with a running stitch in the fold line, or by machine, and press toward the strip."
)
_UNPAPERED = "These have no papers: sew with a running stitch, or by machine, and press toward the longer strip."
# Parts that are told one by one, in their order; more are counted.
_ONE_BY_ONE = 7
_WORDS = r"(half |quarter )?block|(side |corner )triangle|cornerstone|strip"


def drawn_steps(made: Made, allowance: Length, method: Method = "machine") -> Iterator[DrawnStep]:
    """Say each step in which one kind of spot is sewn.

    Parameters
    ----------
    made : Made
        From `sewing.top.sewn_top`.
    allowance : Length
        Seam allowance, in the unit that sizes are said in.
    method : {"machine", "hand", "papers"}

    Examples
    --------
    >>> from seamlore.draft.catalogue import find
    >>> from seamlore.draft.repeated import repeated
    >>> from seamlore.lengths import inches
    >>> from seamlore.sewing.top import sewn_top
    >>> star = sewn_top(repeated("q", find("ohio star"), inches(9), inches(9), 2, 2)).blocks[0]
    >>> for step in drawn_steps(star, inches("1/4")):
    ...     print(f"{step.title}: {step.words[0]} {step.make}")
    Unit 1: Join B1 and A2, along the diagonal seam. Make 8 a block, 32 in all.
    Unit 2, quarter-square triangle: Join 2 of unit 1, along the diagonal seam. Make 4 a block, 16 in all.
    Row 1: Join A1, unit 2 and A1, side by side. Make 2 a block, 8 in all.
    Row 2: Join unit 2, B2 and unit 2, side by side. Make 1 a block, 4 in all.
    The block: Join row 1, row 2 and row 1, one under the other. Make 4.
    """
    called = _unit_names(made)
    for step in made.steps:
        yield DrawnStep(
            step,
            _title(step, called),
            tuple(_words(step, method)),
            _make(step, made.count),
            _measures(step, still_round(allowance, method), method),
        )


def top_steps_drawn(top: Top, allowance: Length, method: Method = "machine") -> Iterator[DrawnStep]:
    """Say each step in which the top is joined from its blocks.

    Examples
    --------
    >>> from seamlore.draft.catalogue import find
    >>> from seamlore.draft.repeated import repeated
    >>> from seamlore.lengths import inches
    >>> from seamlore.sewing.top import sewn_top
    >>> four = sewn_top(repeated("q", find("four patch"), inches(8), inches(8), 2, 3))
    >>> for step in top_steps_drawn(four, inches("1/4")):
    ...     print(f"{step.title}: {step.words[0]} {step.size}")
    Row 1: Join 3 blocks, side by side. It should now measure 24 1/2 x 8 1/2 in, raw edge to raw edge.
    The top: Join row 1 and row 1*, one under the other. It should now measure 24 1/2 x 16 1/2 in, raw edge to raw edge.
    """
    for step in top.steps:
        title = step.name[0].upper() + step.name[1:]
        which = _lines(step, top)
        make = f"Make {step.count}{which and ', for '}{which}." if step.count > 1 else ""
        bare = _without_papers(step, top) if method == "papers" else 0
        sewn_on = bare > 0
        how = [_UNPAPERED if bare == len(step.pieces) else _OPENED] if sewn_on else []
        words = (*how, *_words(step, "hand" if sewn_on else method, top))
        still = allowance if sewn_on else still_round(allowance, method)
        size = _measures(step, still, "hand" if sewn_on else method)
        yield DrawnStep(step, title, words, make, size, still)


def _without_papers(step: Step, top: Top) -> int:
    """How many of the pieces in a step have no papers: sashing, cornerstones, strips, and borders that are not pieced."""
    spots = {spot.where for made in top.blocks for spot in made.group.spots}
    strips = ("sashing", "cornerstone", "strip", "border")
    return sum(
        top.pieces[piece].where.part in strips and top.pieces[piece].where not in spots for piece in step.pieces
    )


def _lines(step: Step, top: Top, *, unlike: bool = False) -> str:
    """The rows that the copies of a step are, as the layout numbers them; nothing where they are none."""
    copies = [
        copy
        for copy, other in zip(step.copies, step.unlike or (False,) * step.count, strict=True)
        if other or not unlike
    ]
    numbers = [{top.pieces[piece].line for piece in copy} - {0} for copy in copies]
    if any(len(each) != 1 for each in numbers):
        return ""
    line = top.rows.way if len(numbers) > 1 else top.rows.way[:-1]
    return f"{line} {listed([str(number) for number in sorted(number for (number,) in numbers)])}"


def _unit_names(made: Made) -> Mapping[frozenset[int], str]:
    """What the trade calls the units of a whole block, by the numbers of their pieces."""
    group = made.group
    if group.part != "whole":
        return {}
    place = {part.index: number for number, part in enumerate(group.parts)}
    return {frozenset(place[index] for index in unit.patches): unit.kind for unit in units(group.kind.block)}


def _title(step: Step, called: Mapping[frozenset[int], str]) -> str:
    name = step.name[0].upper() + step.name[1:]
    kind = next((called[frozenset(copy)] for copy in step.copies if frozenset(copy) in called), "")
    return f"{name}, {kind}" if kind and step.made == "unit" else name


def _words(step: Step, method: Method, top: Top | None = None) -> Iterator[str]:
    names = [part.shown for part in step.parts]
    if step.manner == "partial":
        middle, first, *others = names
        yield (
            f"Sew {first} to {middle}, beginning at the end marked 1: stop half way, and leave the rest of the seam open "
            f"(a partial seam)."
        )
        yield f"Add {listed(others)} in turn, each along its whole side."
        yield f"Fold {first} back, and finish the first seam over {names[-1]}."
    elif step.manner == "mitered":
        yield from _mitered(names, method)
    elif step.manner == "set in":
        yield from _set_in(step, names, method)
    else:
        # What is only counted stands in another order on the picture.
        told = "as drawn: " * (len(names) > _ONE_BY_ONE and len(set(names)) > 1)
        yield f"Join {told}{_counted(names)}, {_WAYS[step.way]}{_SEWN[method]}."
    pressed = "" if method == "papers" else _pressed(step)
    if pressed:
        yield f"{pressed}{_unlike(step, top)}"


def _unlike(step: Step, top: Top | None) -> str:
    """Which copies differ from the first, so that seams nest, and by which name later steps call them."""
    if not any(step.unlike):
        return ""
    which = _lines(step, top, unlike=True) if top and not step.other_parts else ""
    if which:
        return (
            f" Press {which} the other way: below {'it is' if sum(step.unlike) == 1 else 'these are'} {step.name}*."
        )
    said = f" Press {step.other_way} of the {step.count} the other way" if step.other_way else ""
    if step.other_parts:
        of = f"in {step.other_parts} more" if said else f" In {step.other_parts} of the {step.count}"
        parts = "take parts marked * where the others take those without, and the other way about"
        said = f"{said}; {of} {parts}" if said else f"{of} {parts}"
    return f"{said}: below {'it is' if sum(step.unlike) == 1 else 'these are'} {step.name}*."


def _mitered(names: list[str], method: Method) -> Iterator[str]:
    middle, *sides = names
    each = listed(list(dict.fromkeys(sides)))
    count = {3: "three", 4: "four"}.get(len(sides), str(len(sides)))
    if method == "papers":
        yield f"Whip {each} to the {count} sides of {middle}; then fold the papers so that the ends meet, and whip each corner."
        return
    yield (
        f"Sew {each} to the {count} sides of {middle}, each from corner to corner of the seam line and no further: the "
        "allowances at the ends stay free."
    )
    outward = "a back stitch at each end" if method == "hand" else "secured at both ends"
    yield (
        f"At each corner fold the work so that two ends lie right sides together, and sew them from the inner corner "
        f"outward, {outward}. See that it lies flat before you trim its allowance."
    )


def _set_in(step: Step, names: list[str], method: Method) -> Iterator[str]:
    corners = sum(len(seam.path) - 2 for seam in step.seams)
    where = "the corner" if corners == 1 else "each corner"
    told = f"Set {_counted(names[1:])} into {names[0]}, in the order of the numbers: "
    if method == "papers":
        yield f"{told}whip the folded edges together up to {where}, fold the papers so that the next two edges meet, and go on."
        return
    yield "Mark the corners of the seam line on every piece. Sew from mark to mark, and leave the allowances free."
    if method == "hand":
        yield f"{told}sew to {where}, take a back stitch there, lay the next edges on each other, and sew on."
    else:
        yield f"{told}sew to {where}, stop with the needle down, turn, and sew on."


def _counted(names: list[str]) -> str:
    alike = len(set(names)) == 1 and len(names) > 1
    if alike:
        return _many(len(names), names[0])
    if len(names) <= _ONE_BY_ONE:
        return listed(names)
    counts = {name: names.count(name) for name in names}
    return listed([_many(count, name) if count > 1 else name for name, count in counts.items()])


def _many(count: int, name: str) -> str:
    """So many of something: in the plural where it is called by a word."""
    return f"{count} {name}s" if re.fullmatch(_WORDS, name) else f"{count} of {name}"


def _pressed(step: Step) -> str:
    ways = [seam.press for seam in step.seams if seam.manner != "begun"]
    if not any(ways):
        return ""
    if set(ways) == {"open"}:
        return f"Press the seam{'s' * (len(ways) > 1)} open."
    if set(ways) == {"fanned"} and all(len(part.pieces) == 1 for part in step.parts):
        # Nothing crosses it yet.
        return "Leave the allowances free: they are fanned round when the seams that cross them are sewn."
    if set(ways) == {"fanned"}:
        return "Press the allowances round, like a fan."
    if len(ways) == 1 and ways[0] in ("first", "second"):
        seam = step.seams[-1]
        side = seam.first if ways[0] == "first" else seam.second
        if len(side) == 1 and len({part.shown for part in step.parts}) == len(step.parts):
            return f"Press toward {step.parts[side[0]].shown}."
    toward = _toward(step)
    if toward:
        return f"Press {'both' if len(ways) == 2 else 'all'} seams toward {listed(toward)}."
    return f"Press as the arrow{'s show' if len(ways) > 1 else ' shows'}."


def _toward(step: Step) -> list[str]:
    """What all seams of a step are pressed toward, where that has names that nothing on their other sides has."""
    if step.manner != "straight" or any(seam.press not in ("first", "second") for seam in step.seams):
        return []
    over, away = set[str](), set[str]()
    for seam in step.seams:
        one, other = (seam.first, seam.second) if seam.press == "first" else (seam.second, seam.first)
        over |= {step.parts[number].shown for number in one}
        away |= {step.parts[number].shown for number in other}
    return list(over) if len(over) == 1 and not over & away else []


def _make(step: Step, blocks: int) -> str:
    if step.made == "whole":
        return f"Make {blocks}."
    return f"Make {step.count} a block, {step.count * blocks} in all." if blocks > 1 else f"Make {step.count}."


def still_round(allowance: Length, method: Method) -> Length:
    """Give the allowance that is still round what is sewn: over papers it is folded behind."""
    return Length(Fraction(0), allowance.unit) if method == "papers" else allowance


def _measures(step: Step, allowance: Length, method: Method) -> str:
    wide, high = now_measures(step.outline, allowance, allowance.unit)
    box = is_box(step.outline)
    size = f"{show(wide)} square" if box and wide == high else show_size(wide, high)
    exact = all(on_mark(side, "nearest", FINEST_MARK[side.unit]) == side for side in (wide, high))
    size = size if exact else f"about {size}"
    edges = "fold to fold" if method == "papers" else "raw edge to raw edge"
    slant = "" if box or abs(tape_lies(step.outline)[1]) < 1e-9 else ", along its slanting side"
    cut = "" if box or method == "papers" else ", points cut off"
    return f"It should now measure {size}, {edges}{slant}{cut}."
