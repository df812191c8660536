"""What the study sheet of a quilt shows, gathered from its job; what is not there is left out and said to be unknown."""

from __future__ import annotations

import datetime
from collections.abc import Callable, Iterable, Mapping, Sequence
from typing import TypeVar

from seamlore.draft.quilt import Quilt
from seamlore.draft.unread import not_read_words
from seamlore.draft.where import SIDES, said_all
from seamlore.drawing.shapes import ImageFile
from seamlore.errors import SeamloreError
from seamlore.lengths import Length, Unit, in_unit, show
from seamlore.photo.reading import TO_SHOW, Reading
from seamlore.sheets.content import Account, Dated, Fact, FurtherPhoto, Predicted, Remark, StudyContent, ToMeasure
from seamlore.steps.assess.sheet import condition_content
from seamlore.steps.decide.decide import decide
from seamlore.steps.decide.ways import decision_lines
from seamlore.steps.draft.doubtful import doubtful_words
from seamlore.steps.draft.offered import shown_words
from seamlore.steps.look import unread, warnings
from seamlore.steps.shelf.figures import Figures, figures_of
from seamlore.steps.shelf.noticing import kept, noticed
from seamlore.steps.study.job import Job
from seamlore.steps.study.lead import study_lead
from seamlore.study.adjustment import Adjustment
from seamlore.study.measured import AXES, Known, Measurement, What
from seamlore.study.next_measure import asked_for

T = TypeVar("T")
# A sheet has two to six pages: so many pictures of remarks and further photographs find room on them.
_MOST_REMARKS, _MOST_FURTHER, _FURTHER_PX = 4, 6, 700
_SHOWS = {
    "front": "the front again",
    "back": "the back",
    "behind": "the top from behind",
    "detail": "a detail",
    "label": "a label or an inscription",
    "stage": "on the way",
}
# Places of blocks that are said one by one; the picture shows the rest.
_MOST_PLACES = 24


def study_content(
    job: Job,
    *,
    printed: datetime.date,
    others: Sequence[Figures] = (),
    read_photograph: Callable[[str], bytes] | None = None,
) -> StudyContent:
    """Gather what the study sheet shows; what is not there is left out and said to be unknown.

    Parameters
    ----------
    job : Job
    printed : date
        Today, as the caller knows it.
    others, read_photograph
        As `study_pdf` takes them.
    """
    reading = job.reading if job.inputs.photo is not None else None
    drafted = if_possible(lambda: job.quilt)
    adjustment = measured(job)
    photo = None
    if reading is not None:
        from seamlore.photo.files.encoding import to_jpeg  # opens pictures: slow to import

        photo = ImageFile("as-found.jpg", "image/jpeg", to_jpeg(job.flat.pixels))
    cut = dict(job.chosen.cut) if adjustment else {}
    edge_now = None
    if drafted is not None and cut:
        zero = in_unit(0, job.unit)
        left, top, right, bottom = (cut.get(side, zero) for side in ("left", "top", "right", "bottom"))
        edge_now = (left, top, right, bottom)
    return StudyContent(
        name=job.inputs.about.name,
        printed=printed,
        reading=reading,
        photo=photo,
        drafted=drafted,
        edge_now=edge_now,
        cloths=job.cloths[0] if drafted else {},
        patch_cloths=job.cloths[1] if drafted else {},
        lead=study_lead(job, drafted),
        facts=tuple(_facts(job)),
        sums=(adjustment.verdict,) if adjustment else (),
        accounts=tuple(Account(each.likely, each.text) for each in adjustment.explanations[:5]) if adjustment else (),
        to_measure=_to_measure(job) if adjustment else None,
        dated=_dated(job),
        condition=condition_content(job),
        decision=_decided(job),
        unknown=tuple(unknown(job)),
        remarks=tuple(remarks(job)),
        noticed=tuple(_remarked(job, others)),
        further=tuple(_further(job, read_photograph)) if read_photograph else (),
    )


def measured(job: Job) -> Adjustment | None:
    """The measurements and every account of them; None where a quilt was drafted by hand and nothing was measured."""
    return if_possible(lambda: job.adjustment)


def _remarked(job: Job, others: Sequence[Figures]) -> Iterable[Remark]:
    """What is worth noticing, as she wants it told: the first ones with their pictures."""
    from seamlore.sheets.study_sheet import remark_room  # the document engine: slow to import

    room = remark_room(job.inputs.making.paper)
    found = kept(noticed(job, figures_of(job, ""), others, room_mm=room))
    pictured = [each.key for each in found if each.picture is not None][:_MOST_REMARKS]
    for each in found:
        beside = "" if each.own else f" (compared with {each.compared})"
        yield Remark(f"{each.says.rstrip('.')}{beside}", each.picture if each.key in pictured else None)


def _further(job: Job, read_photograph: Callable[[str], bytes]) -> Iterable[FurtherPhoto]:
    """Photographs beside the one that is read, made small; one that is missing is left out, as its pages say."""
    from seamlore.photo.files.encoding import smaller, to_jpeg  # opens pictures: slow to import
    from seamlore.photo.opening import open_photo

    front = job.inputs.photographs.front
    rest = [each for each in job.inputs.photographs.photographs if each is not front and each.shows != "fabric"]
    for number, each in enumerate(rest[:_MOST_FURTHER], start=1):
        try:
            pixels = smaller(open_photo(read_photograph(each.reference), name=each.name).pixels, _FURTHER_PX)
        except SeamloreError:
            continue
        shows = _SHOWS[each.shows] + (f", taken {each.taken}" if each.taken else "")
        height, width = pixels.shape[:2]
        yield FurtherPhoto(
            ImageFile(f"further-{number}.jpg", "image/jpeg", to_jpeg(pixels, quality=82)), (width, height), shows
        )


def _facts(job: Job) -> Iterable[Fact]:
    # Who it is comes first of its figures.
    keeping = job.inputs.keeping
    if keeping.accession:
        yield Fact("accession number", keeping.accession, "", "as given")
    how = " ".join(part for part in (keeping.acquired_how, keeping.acquired) if part)
    if how:
        yield Fact("acquired", how, "", "as told")
    adjustment = measured(job)
    unit, cut = job.unit, dict(job.chosen.cut) if adjustment else {}
    for each in adjustment.measured.lengths if adjustment else ():
        # What the photograph says of an edge is a position, not a size; it is told where blocks are held to be cut.
        if each.what is What.EDGE and (each.side not in cut or each.value.inches >= 0):
            continue
        yield Fact(_fact_name(each), _shown(abs(each.value), unit), _give(each.tolerance, unit), each.read)
    for axis in () if adjustment else AXES:
        # Without blocks there are no sums; what the tape says stands all the same.
        if taped := job.inputs.tape.overall(axis):
            name = "width of the quilt" if axis == "across" else "length of the quilt"
            yield Fact(name, _shown(taped, unit), "", str(Known.TAPE))
    for count in adjustment.measured.counts if adjustment else ():
        known = "counted" if count.known is not Known.PHOTO else str(count.known)
        yield Fact("blocks across" if count.along == "across" else "blocks down", str(count.number), "", known)
    drafted = if_possible(lambda: job.drafted)
    own = _own_sizes(job)
    for snap in drafted.snaps if drafted else ():
        size = own.get(snap.what, snap.chosen)
        if size is None:
            continue
        if size.inches == snap.chosen.inches:
            yield Fact(f"{snap.what}, as drafted", _shown(size, unit), "", f"{snap.known}: {snap.reason}")
        else:
            found = f"as you drafted it; what was measured comes to {_shown(snap.chosen, unit)}"
            yield Fact(f"{snap.what}, as drafted", _shown(size, unit), "", found)


def _own_sizes(job: Job) -> Mapping[str, Length | None]:
    """What a draft that was changed by hand has for the sizes that are reckoned from what was measured; None where no one size."""
    quilt = if_possible(lambda: job.quilt) if job.inputs.choice.draft else None
    if quilt is None:
        return {}
    across, down = quilt.gaps
    sizes = {
        "block width": quilt.block_width,
        "block height": quilt.block_height,
        "sashing between columns": across,
        "sashing between rows": down,
    }
    around = {
        f"border at the {side}": sum((each.side(side).width for each in quilt.borders), across * 0) for side in SIDES
    }
    top, right, bottom, left = around.values()
    sides, level = left if left == right else None, top if top == bottom else None
    pairs = {
        "border at the sides": sides,
        "border at top and bottom": level,
        "border": sides if sides == level else None,
    }
    return {**sizes, **around, **pairs}


def _fact_name(each: Measurement) -> str:
    if each.what is What.EDGE:
        return f"cut off at the {each.side}"
    return each.name.removeprefix("the ")


def _shown(value: Length, unit: Unit) -> str:
    return show(value.shown_in(unit))


def _give(tolerance: Length, unit: Unit) -> str:
    return f"± {show(tolerance.shown_in(unit), direction='up')}"


def _to_measure(job: Job) -> ToMeasure | None:
    found = job.next_measure
    if found is None:
        return None
    shown = [
        Predicted(_shown(value, job.unit) if value else "none", " or ".join(names)) for value, names in found.outcomes
    ]
    return ToMeasure(asked_for(found.measure), tuple(shown))


def _dated(job: Job) -> Dated | None:
    if not job.inputs.evidence.text.strip():
        return None
    dating = job.dating
    return Dated(
        dating.dates,
        dating.dossier.evidence,
        tuple(
            (each.part, str(each.median), f"{each.most[0]} to {each.most[1]}", each.sentence)
            for each in dating.answers
        ),
        tuple(each.sentence for each in dating.contradictions) + dating.departures,
        dating.cautions,
        dating.headline,
        tuple(each.sentence for each in dating.readings),
    )


def _decided(job: Job) -> tuple[str, ...]:
    decision = job.inputs.decision
    if job.inputs.photo is None or not (decision.way or decision.words or decision.stages):
        return ()
    return decision_lines(job, decide(job))


def unknown(job: Job) -> Iterable[str]:
    """Say what nobody knows yet of a quilt."""
    label, dated = job.inputs.label, job.inputs.evidence.text.strip()
    if not label.maker:
        yield "who made it"
    if not label.place:
        yield "where it was made"
    if not (label.made or dated):
        yield "when its parts were made: no evidence of date has been entered"
    adjustment = measured(job)
    chosen = adjustment.explanations if adjustment else ()
    if adjustment is None:
        if not any(map(job.inputs.tape.overall, AXES)):
            yield "how large it is: nothing was measured"
    elif len(chosen) > 1 and chosen[0].weight < 0.95:
        yield "why the sums come out as they do: more than one explanation stands"
    yield from _unread(job)
    yield "what the fibers and dyes are: a photograph does not show it"
    if job.inputs.photo is not None:
        behind = any(each.of_back for each in job.inputs.photographs.photographs)
        yield f"the {'' if behind else 'back, the '}filling and the quilting: only the front was read"


def _unread(job: Job) -> Iterable[str]:
    """Say of how many blocks nobody knows how they are pieced."""
    quilt = if_possible(lambda: job.quilt)
    if quilt is not None:
        missing, whole = len(quilt.not_read), len(quilt.spots)
    elif job.inputs.photo is not None:
        missing, whole = unread(job.reading)
    else:
        return
    if missing:
        yield f"how {missing} of {whole} blocks {'is' if missing == 1 else 'are'} pieced: not read"


def remarks(job: Job) -> Iterable[str]:
    """Say what is odd about single blocks, what the reading warns of, and which blocks are not read."""
    if job.inputs.photo is None:
        return
    reading = job.reading
    quilt = if_possible(lambda: job.quilt)
    own = quilt if job.inputs.choice.draft else None
    yield from _odd_blocks(reading, own)
    adjustment = measured(job)
    drafted = if_possible(lambda: job.drafted)
    said = drafted.notes if drafted else ()
    asked = warnings(reading, job.chosen if adjustment and adjustment.sums else None)
    if quilt is not None:
        # What stands in the draft is said below; what the photograph left open is asked for where there is none.
        asked = tuple(each for each in asked if TO_SHOW not in each)
    if own is not None:
        said = tuple(each for each in said if drafted and each != not_read_words(drafted.quilt))
    yield from asked
    yield from said
    if quilt is not None and quilt.not_read and not_read_words(quilt) not in said:
        yield not_read_words(quilt)
    if quilt is not None:
        yield from (each for each in (shown_words(job), doubtful_words(job)) if each)


def _odd_blocks(reading: Reading, own: Quilt | None) -> Iterable[str]:
    """Say which blocks lie or are made otherwise, those of one kind of oddity together; they lie as in a draft by hand."""
    places: dict[str, list[tuple[int, int]]] = {}
    for (row, column), lies in own.turned.items() if own else ():
        if own and own.cells[row][column].read:
            places.setdefault(" and ".join(_ways(lies.turn, mirrored=lies.mirrored)), []).append((row, column))
    for block in reading.blocks or ():
        odd = [] if own else _ways(block.turn, mirrored=block.mirrored)
        odd += ["different from the rest"] * (block.differs and block.kind is not None)
        if odd:
            places.setdefault(" and ".join(odd), []).append((block.row, block.column))
    for how, those in places.items():
        more = f"; and {len(those) - _MOST_PLACES} more" if len(those) > _MOST_PLACES else ""
        count = "1 block is" if len(those) == 1 else f"{len(those)} blocks are"
        yield f"{count} {how}: {said_all(those[:_MOST_PLACES])}{more}"


def _ways(turn: int, *, mirrored: bool) -> list[str]:
    return [f"turned {turn} degrees"] * bool(turn) + ["mirrored"] * mirrored


def if_possible(work: Callable[[], T]) -> T | None:
    """Give what can be worked out, None where the quilt has too little for it; the sheet then says less."""
    try:
        return work()
    except SeamloreError:
        return None
