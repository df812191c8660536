"""Hand on what was found: study sheet, pattern booklet and label, filled from the job and laid out by `sheets`."""

from __future__ import annotations

import datetime
from collections.abc import Callable, Iterable
from fractions import Fraction
from typing import TypeVar

from seamlore.draft.cells import counts_said
from seamlore.draft.unread import not_read_words
from seamlore.drawing.shapes import ImageFile
from seamlore.errors import SeamloreError
from seamlore.lengths import Length, Unit, in_unit, inches, show, show_size
from seamlore.sheets.content import (
    Account,
    Dated,
    Fact,
    LabelContent,
    Predicted,
    StudyContent,
    ToMeasure,
)
from seamlore.steps.assess.sheet import condition_content
from seamlore.steps.decide.decide import decide
from seamlore.steps.decide.ways import decision_lines
from seamlore.steps.draft.unread import shown_words
from seamlore.steps.look import warnings
from seamlore.steps.order import STEPS
from seamlore.steps.shelf.figures import figures_of
from seamlore.steps.shelf.noticing import Notice, kept, noticed
from seamlore.steps.study.job import Job
from seamlore.steps.study.lead import study_lead
from seamlore.steps.study.own_words import own_words
from seamlore.study.adjustment import Adjustment
from seamlore.study.measured import AXES, Known, Measurement, What
from seamlore.study.next_measure import asked_for
from seamlore.study.record import study_of, write_study
from seamlore.wording import speaking

T = TypeVar("T")


def study_pdf(job: Job, *, printed: datetime.date) -> bytes:
    """Print the study sheet of a quilt as PDF."""
    from seamlore.printing.pages import to_pdf  # the document engine: slow to import
    from seamlore.sheets.study_sheet import study_sheet

    paper = job.inputs.making.paper
    parts = [part for step in STEPS for part in step.sheet]
    with speaking(keep=own_words(job)):
        return to_pdf(study_sheet(study_content(job, printed=printed), paper, parts), paper)


def label_pdf(job: Job, *, printed: datetime.date) -> bytes:
    """Print the label of a quilt as PDF."""
    from seamlore.printing.pages import to_pdf  # as above
    from seamlore.sheets.label import label

    paper = job.inputs.making.paper
    with speaking(keep=own_words(job)):
        return to_pdf(label(label_content(job, printed=printed), paper), paper)


def study_record(job: Job) -> bytes:
    """Write all that is known of a quilt as one record, JSON after docs/schema/study.json.

    Raises
    ------
    SeamloreError
        When nothing was measured.
    """
    study = study_of(
        job.inputs.about.name,
        job.adjustment,
        story=job.inputs.about.story,
        reading=job.reading if job.inputs.photo is not None else None,
        drafted=_if_possible(lambda: job.drafted),
        chosen=job.chosen,
    )
    return write_study(study)


# The study sheet


def study_content(job: Job, *, printed: datetime.date) -> StudyContent:
    """Gather what the study sheet shows; what is not there is left out and said to be unknown.

    Parameters
    ----------
    job : Job
    printed : date
        Today, as the caller knows it.
    """
    reading = job.reading if job.inputs.photo is not None else None
    drafted = _if_possible(lambda: job.quilt)
    adjustment = measured(job)
    photo = None
    if reading is not None:
        from seamlore.photo.encoding import to_jpeg  # opens pictures: slow to import

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
        noticed=tuple(f"{each.says.rstrip('.')}{_beside(each)}" for each in _noticed(job)),
    )


def measured(job: Job) -> Adjustment | None:
    """The measurements and every account of them; None where a quilt was drafted by hand and nothing was measured."""
    return _if_possible(lambda: job.adjustment)


def _noticed(job: Job) -> tuple[Notice, ...]:
    """What is worth noticing in this quilt by itself, as she wants it told."""
    return kept(noticed(job, figures_of(job, ""), (), pictures=False))


def _beside(notice: Notice) -> str:
    return "" if notice.own else f" (compared with {notice.compared})"


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
    for count in adjustment.measured.counts if adjustment else ():
        known = "counted" if count.known is not Known.PHOTO else str(count.known)
        yield Fact("blocks across" if count.along == "across" else "blocks down", str(count.number), "", known)
    drafted = _if_possible(lambda: job.drafted)
    for snap in drafted.snaps if drafted else ():
        yield Fact(f"{snap.what}, as drafted", _shown(snap.chosen, unit), "", f"{snap.known}: {snap.reason}")


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
        yield "how large it is: nothing was measured"
    elif len(chosen) > 1 and chosen[0].weight < 0.95:
        yield "why the sums come out as they do: more than one explanation stands"
    yield "what the fibers and dyes are: a photograph does not show it"
    if job.inputs.photo is not None:
        behind = any(each.of_back for each in job.inputs.photographs.photographs)
        yield f"the {'' if behind else 'back, the '}filling and the quilting: only the front was read"


def remarks(job: Job) -> Iterable[str]:
    """Say what is odd about single blocks, what the reading warns of, and which blocks are not read."""
    if job.inputs.photo is None:
        return
    reading = job.reading
    for block in reading.blocks or ():
        odd = [f"turned {block.turn} degrees"] * bool(block.turn) + ["mirrored"] * block.mirrored
        odd += ["different from the rest"] * (block.differs and block.kind is not None)
        if odd:
            yield f"row {block.row + 1}, column {block.column + 1} is {' and '.join(odd)}"
    yield from warnings(reading, job.chosen if job.adjustment.sums else None)
    drafted = _if_possible(lambda: job.drafted)
    yield from drafted.notes if drafted else ()
    quilt = _if_possible(lambda: job.quilt)
    said = drafted.notes if drafted else ()
    if quilt is not None and quilt.not_read and not_read_words(quilt) not in said:
        yield not_read_words(quilt)
    if quilt is not None and (shown := shown_words(job)):
        yield shown


def _if_possible(work: Callable[[], T]) -> T | None:
    """Give what can be worked out, None where the quilt has too little for it; the sheet then says less."""
    try:
        return work()
    except SeamloreError:
        return None


# The booklet


# The label


def label_content(job: Job, *, printed: datetime.date) -> LabelContent:
    """Gather what the label says: what is known, and what is not."""
    words, known = job.inputs.label, []
    drafted = _if_possible(lambda: job.quilt)
    if drafted is not None:
        known.append(f"{counts_said(drafted)} block{'s' * (len(drafted.spots) != 1)}")
        if drafted.not_read:
            known.append(f"{len(drafted.not_read)} more blocks not read")
    width, height = (job.inputs.tape.overall(axis) for axis in AXES)
    if width and height:
        known.append(f"{show_size(width, height)} when measured in {printed.year}")
    dated = _if_possible(lambda: job.dating.for_label) if job.inputs.evidence.text.strip() else None
    known += [f"Made {words.made}"] if words.made else []
    # What was reckoned says so, beside what was told.
    known += [f"{dated[0].upper()}{dated[1:]}, as far as the evidence goes"] if dated else []
    known += [f"In {words.place}"] if words.place else []
    known += [f"Now with {words.now_with}"] if words.now_with else []
    missing = [] if words.maker else ["who made it"]
    missing += [] if words.place else ["where"]
    missing += [] if words.made or dated else ["when"]
    return LabelContent(
        name=job.inputs.about.name,
        printed=printed,
        width=inches(5),
        height=inches(Fraction(7, 2)),
        maker=f"Made by {words.maker}" if words.maker else "Maker unknown",
        known=tuple(known),
        unknown=tuple(missing),
        repaired=(f"Finished by {words.finished_by}",) if words.finished_by else (),
    )
