"""Talk notes for one quilt or a row of them, filled from what was measured and from what is worth noticing."""

from __future__ import annotations

import datetime
from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import replace
from fractions import Fraction
from math import ceil

from seamlore.draft.repeated import repeated
from seamlore.draft.units import units
from seamlore.errors import SeamloreError
from seamlore.lengths import Length, Unit, in_unit, show_size
from seamlore.limits import NAME, checked_text
from seamlore.making.plan import plan
from seamlore.pictures.blocks import block_picture
from seamlore.pictures.palette import kind_cloths, quilt_cloths
from seamlore.printing.content import Paper
from seamlore.sheets.talk import Kit, Point, Shown, TalkContent, talk
from seamlore.shelf.shelf import Shelf
from seamlore.steps.leaving.private import PRIVATE, told
from seamlore.steps.leaving.record import card_told, checked
from seamlore.steps.make import as_record
from seamlore.steps.shelf.across import rest_of
from seamlore.steps.shelf.compare import ROWS
from seamlore.steps.shelf.figures import Figures
from seamlore.steps.shelf.noticing import kept, noticed
from seamlore.steps.study.job import Job
from seamlore.steps.study.sections import LabelWords

MOST = 30
MOST_PEOPLE = 200
# The room of a still: two stand on a page with their words.
_STILL_MM = (84.0, 72.0)
# Minutes: to bring a quilt up and say what it is, then for each thing to show. Common practice, no source.
_FIRST, _EACH = 2, 1.5
# Two hold a quilt that two pairs of arms span; a wider one takes three. Common practice, no source.
_TWO_HOLD_IN = 80.0
_SAID = ("size", "block", "sashing", "fabrics told apart", "when")
_PACKING = (
    "each quilt in a clean cotton sheet, rolled or loosely folded, never in plastic for longer than the way",
    "a clean sheet for the table or the floor, larger than the largest quilt",
    "clean, dry hands: no rings, no cream; gloves where a quilt sheds or its dyes are not known",
    "a magnifying glass, a tape measure, a flashlight to hold flat along the surface",
    "the sheets and the photographs of each quilt, and what is not known of it",
    "water and a towel for hands; no food, drink or ink near the quilts",
)
_SUPPLIES = (
    "sewing machine or needles, thread in a neutral color, pins: for each",
    "ruler, rotary cutter with a closed blade, and cutting mat: for each two",
    "iron and pressing board: for each four, on a firm table of its own, cords out of the way",
    "one sewn block as a sample, and one taken apart into its units",
)


def talk_pdf(
    jobs: Sequence[tuple[int, Job]],
    shelf: Shelf,
    *,
    printed: datetime.date,
    title: str = "",
    people: int = 0,
    paper: Paper = "letter",
    chosen: Iterable[str] = (),
) -> bytes:
    """Print talk notes for quilts, in the order given; what is private is left out of them unless it is chosen.

    Parameters
    ----------
    jobs : sequence of (int, Job)
        The number of each on the shelf, and what follows from it.
    shelf : Shelf
        For what they are compared with.
    printed : date
    title : str
    people : int
        For a class on the first quilt's commonest block: so many take part; 0 for none.
    paper : {"letter", "a4"}
    chosen : iterable of str
        What may leave, of `private.PRIVATE`.

    Raises
    ------
    SeamloreError
        When there are none or too many quilts or people, or the class has no block to sew.
    """
    from seamlore.printing.pages import to_pdf  # the document engine: slow to import

    allowed = frozenset(chosen)
    leaving = [(number, *told(job, allowed)) for number, job in jobs]
    content = talk_content(
        [(number, job) for number, job, _ in leaving],
        shelf,
        printed=printed,
        title=title,
        people=people,
        chosen=allowed,
    )
    out = dict.fromkeys(each for *_, left in leaving for each in left if "name" in each)
    content = replace(content, left_out=tuple(out))
    return to_pdf(talk(content, paper), paper)


def talk_content(
    jobs: Sequence[tuple[int, Job]],
    shelf: Shelf,
    *,
    printed: datetime.date,
    title: str = "",
    people: int = 0,
    chosen: frozenset[str] = frozenset(PRIVATE),
) -> TalkContent:
    """Gather what talk notes hold; as `talk_pdf`, of jobs from which what is private was taken."""
    checked((number for number, _ in jobs), MOST)
    if not 0 <= people <= MOST_PEOPLE:
        raise SeamloreError(f"a class of {people}", f"1 to {MOST_PEOPLE} take part", "say how many")
    quilts = tuple(_shown(job, number, shelf, chosen) for number, job in jobs)
    plain = checked_text(" ".join(title.split()), "the title", NAME)
    called = plain or (quilts[0].name if len(quilts) == 1 else "A row of quilts")
    content = TalkContent(called, printed, quilts, _PACKING)
    return _with_class(content, jobs[0][1], people) if people else content


def _shown(job: Job, number: int, shelf: Shelf, chosen: frozenset[str]) -> Shown:
    quilt = card_told(shelf, number, chosen)
    figures = quilt.facts.figures or Figures(rests_on="")
    notices = kept(noticed(job, figures, rest_of(shelf, number), room_mm=_STILL_MM))
    points = (*_unit_still(job), *(Point(each.says, each.where, each.compared, each.picture) for each in notices))
    said = []
    for what, _, say in ROWS:
        value = say(quilt, figures) if what in _SAID else ""
        if value and value != "none":
            said.append((what[:1].upper() + what[1:], value))
    size = figures.measured or figures.size
    wide = max(size) if size else 0.0
    holders = 3 if size and min(size) > _TWO_HOLD_IN else 2
    weak = figures.condition in ("weak cloth", "lost blocks")
    hold = (
        "flat on the table, turned back from one corner; nobody holds it up, since its cloth is weak"
        if weak
        else f"{holders} hold it by the whole of its upper edge, hands underneath, the back towards them; "
        "then flat on the table"
    )
    label: LabelWords = job.inputs.label
    unknown = [
        what
        for what, value in (("who made it", label.maker), ("where", label.place), ("when", label.made or figures.headline))
        if not value
    ]  # fmt: skip
    close_ups = ["the whole front, flat, from straight above", "one block, filling the picture"]
    close_ups += [each.where for each in notices if each.where and not each.where.startswith("the patches lit")]
    close_ups += [
        "the back, one corner turned over",
        "the edge finish",
        "a seam from the back, with a ruler beside it",
    ]
    minutes = ceil(_FIRST + _EACH * len(points))
    return Shown(
        quilt.name,
        quilt.listed.accession,
        figures.lead,
        minutes,
        0 if weak or not wide else holders,
        hold,
        points,
        tuple(said),
        tuple(dict.fromkeys(close_ups)),
        tuple(unknown),
    )


def _unit_still(job: Job) -> tuple[Point, ...]:
    """The unit that the commonest block has most of, alone in its cloths, the rest dimmed."""
    try:
        quilt = job.quilt
    except SeamloreError:
        return ()
    pieced = [kind for kind in quilt.kinds if not kind.plain and quilt.counts.get(kind.name)]
    found = units(max(pieced, key=lambda each: quilt.counts[each.name]).block) if pieced else ()
    if not found:
        return ()
    kind = max(pieced, key=lambda each: quilt.counts[each.name])
    counts = Counter(each.kind for each in found)
    named, count = counts.most_common(1)[0]
    one = next(each for each in found if each.kind == named)
    paints = kind_cloths(quilt, kind, quilt_cloths(quilt, job.cloths[0]))
    still = block_picture(kind.block, 42, paints, only=one.patches, title=f"One {named} of the block")
    times = f"{count} times in each block" if count > 1 else "once in each block"
    says = f"A unit of {kind.block.name}: {named}, {times}. One is shown, the rest of its block dimmed."
    return (Point(says, f"one {named}", "", still),)


def _with_class(content: TalkContent, job: Job, people: int) -> TalkContent:
    """Kits for one block each: what is cut for it, and what all of them take."""
    quilt = job.quilt
    pieced = [kind for kind in quilt.kinds if not kind.plain and quilt.counts.get(kind.name)]
    if not pieced:
        raise SeamloreError("a class", "this quilt has no pieced block to sew", "choose another quilt")
    kind = max(pieced, key=lambda each: quilt.counts[each.name])
    width, height = quilt.block_width, quilt.block_height
    one = as_record(
        plan(repeated(kind.block.name, kind.block, width, height, 1, 1), binding="none", filled_with="none")
    )
    # Side by side in one row they are cut from the same strips.
    whole = repeated(kind.block.name, kind.block, width, height, 1, people)
    cloth = {
        each["fabric"]: each["buy"] for each in as_record(plan(whole, binding="none", filled_with="none"))["fabrics"]
    }
    unit = one["unit"]
    lines: dict[str, list[str]] = {}
    for each in one["cutting"]:
        wide, high = each["cut"]
        yields = f", each cut into {each['yields']}" if each["yields"] > 1 else ""
        cut = show_size(_exact(wide, unit), _exact(high, unit))
        lines.setdefault(each["fabric"], []).append(f"{each['count']} of {cut}{yields}")
    kits = tuple(Kit(fabric, "; ".join(said), cloth.get(fabric, "")) for fabric, said in lines.items())
    paints = kind_cloths(quilt, kind, quilt_cloths(quilt, job.cloths[0]))
    drawn = block_picture(kind.block, 50, paints, letters=True)
    return replace(content, people=people, block=kind.block.name, kits=kits, supplies=_SUPPLIES, drawn=drawn)


def _exact(number: float, unit: str) -> Length:
    return in_unit(Fraction(number).limit_denominator(640), Unit(unit))
