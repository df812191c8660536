"""Hand on what was found: study sheet, pattern booklet and label, filled from the job and laid out by `sheets`."""

from __future__ import annotations

import datetime
from collections.abc import Callable, Iterable, Sequence
from dataclasses import replace
from fractions import Fraction

from seamlore.draft.cells import blocks_said
from seamlore.lengths import inches, show_size
from seamlore.sheets.content import LabelContent
from seamlore.steps.leaving.private import told
from seamlore.steps.order import STEPS
from seamlore.steps.sheet_content import if_possible, study_content
from seamlore.steps.shelf.figures import Figures
from seamlore.steps.study.job import Job
from seamlore.steps.study.own_words import own_words
from seamlore.study.measured import AXES
from seamlore.study.record import study_of, write_study
from seamlore.wording import speaking


def study_pdf(
    job: Job,
    *,
    printed: datetime.date,
    chosen: Iterable[str] = (),
    others: Sequence[Figures] = (),
    read_photograph: Callable[[str], bytes] | None = None,
) -> bytes:
    """Print the study sheet of a quilt as PDF; what is private is left out of it unless it is chosen.

    Parameters
    ----------
    job : Job
    printed : date
        Today, as the caller knows it.
    chosen : iterable of str
        What may leave, of `private.PRIVATE`.
    others : sequence of Figures
        Of the rest of the shelf, with which it is compared.
    read_photograph : callable, optional
        Gives a photograph by its reference; without it none but the one that is read is printed.
    """
    from seamlore.printing.pages import to_pdf  # the document engine: slow to import
    from seamlore.sheets.study_sheet import study_sheet

    job, left_out = told(job, chosen)
    paper = job.inputs.making.paper
    parts = [part for step in STEPS for part in step.sheet]
    content = study_content(job, printed=printed, others=others, read_photograph=read_photograph)
    # Of the rest nothing would stand on the sheet in any case.
    content = replace(content, left_out=tuple(each for each in left_out if "name" in each))
    with speaking(keep=own_words(job)):
        return to_pdf(study_sheet(content, paper, parts), paper)


def label_pdf(job: Job, *, printed: datetime.date) -> bytes:
    """Print the label of a quilt as PDF."""
    from seamlore.printing.pages import to_pdf  # as above
    from seamlore.sheets.label import label

    paper = job.inputs.making.paper
    with speaking(keep=own_words(job)):
        return to_pdf(label(label_content(job, printed=printed), paper), paper)


def study_record(job: Job, chosen: Iterable[str] = ()) -> bytes:
    """Write all that is known of a quilt as one record, JSON after docs/schema/study.json; what is private as `study_pdf`.

    Raises
    ------
    SeamloreError
        When nothing was measured.
    """
    job, _ = told(job, chosen)
    study = study_of(
        job.inputs.about.name,
        job.adjustment,
        story=job.inputs.about.story,
        reading=job.reading if job.inputs.photo is not None else None,
        drafted=if_possible(lambda: job.drafted),
        chosen=job.chosen,
    )
    return write_study(study)


def label_content(job: Job, *, printed: datetime.date) -> LabelContent:
    """Gather what the label says: what is known, and what is not."""
    words, known = job.inputs.label, []
    drafted = if_possible(lambda: job.quilt)
    if drafted is not None:
        known.append(blocks_said(drafted))
        if drafted.not_read:
            unread = len(drafted.not_read)
            known.append(f"{unread} more block{'s' * (unread != 1)} not read")
    width, height = (job.inputs.tape.overall(axis) for axis in AXES)
    if width and height:
        known.append(f"{show_size(width, height)} when measured in {printed.year}")
    dated = if_possible(lambda: job.dating.for_label) if job.inputs.evidence.text.strip() else None
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
