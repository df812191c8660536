"""Labels for what is made from an old quilt, or after it: what it comes from, and its own year."""

from __future__ import annotations

import datetime
from collections.abc import Mapping
from fractions import Fraction

from seamlore.errors import SeamloreError, nearest
from seamlore.lengths import inches
from seamlore.limits import WORDS, checked_text
from seamlore.printing.content import Paper
from seamlore.sheets.content import LabelContent
from seamlore.sheets.label import label
from seamlore.steps.study.job import Job

# What was made, and what that is called on the label.
MADE: Mapping[str, str] = {
    "parts": "made from parts of it, after it was taken apart",
    "reset": "its own blocks, set together again",
    "reproduction": "a reproduction, of new cloth",
}
FIELDS = ("name", "by", "year", "why", "when")


def made_label(
    job: Job,
    made: str,
    given: Mapping[str, str],
    *,
    printed: datetime.date,
    paper: Paper = "letter",
    mirrored: bool = False,
) -> bytes:
    """Print the label of something that was made from the quilt or after it.

    Parameters
    ----------
    job : Job
        Of the old quilt.
    made : str
        Of `MADE`.
    given : mapping of str to str
        `name` of what was made, `by` whom, in which `year`; `when` and `why` the old quilt was taken apart.
    printed : date
    paper : {"letter", "a4"}
    mirrored : bool
        For transfer paper.

    Raises
    ------
    SeamloreError
        When there is no such kind, no year is given, or the words are too many for the label.
    """
    from seamlore.printing.pages import to_pdf  # the document engine: slow to import

    return to_pdf(label(made_content(job, made, given, printed=printed), paper, mirrored=mirrored), paper)


def made_content(job: Job, made: str, given: Mapping[str, str], *, printed: datetime.date) -> LabelContent:
    """Gather what the label says; as `made_label`.

    Examples
    --------
    >>> from seamlore.steps.study.inputs import Inputs
    >>> from seamlore.steps.study.sections import About
    >>> old = Job(Inputs(about=About(name="Old star")))
    >>> said = made_content(old, "reproduction", {"year": "2026"}, printed=datetime.date(2026, 11, 30))
    >>> said.known
    ('Made in 2026, a reproduction of "Old star"', 'The old quilt: maker unknown, not dated')
    """
    if made not in MADE:
        raise SeamloreError(f'"{made}"', "there is no label for that", nearest(made, MADE))
    words = {key: checked_text(" ".join(given.get(key, "").split()), f"the {key}", WORDS) for key in FIELDS}
    if not words["year"]:
        raise SeamloreError(
            "a label without a year",
            "what is new carries its own year, so that nobody takes it for old",
            "give the year",
        )
    old, told = job.inputs.about.name, job.inputs.label
    try:
        dated = told.made or (job.dating.for_label if job.inputs.evidence.text.strip() else "")
    except SeamloreError:
        # The evidence cannot be read; its page says so.
        dated = told.made
    maker = f"made by {told.maker}" if told.maker else "maker unknown"
    first = {
        "parts": f'Made in {words["year"]} from parts of "{old}"',
        "reset": f'The blocks of "{old}", set together again in {words["year"]}',
        "reproduction": f'Made in {words["year"]}, a reproduction of "{old}"',
    }[made]
    known = [first, f"The old quilt: {maker}, {dated or 'not dated'}"]
    known += [f"From {told.place}"] if told.place else []
    if made != "reproduction":
        apart = " ".join(part for part in (words["when"], f"because {words['why']}" if words["why"] else "") if part)
        known += [f"Taken apart {apart}"] if apart else []
    unknown = [] if words["by"] else ["who made it new"]
    if made != "reproduction" and not words["why"]:
        unknown.append("why the old quilt was taken apart")
    return LabelContent(
        name=words["name"] or {"parts": f"From {old}", "reset": old, "reproduction": f"After {old}"}[made],
        printed=printed,
        width=inches(5),
        height=inches(Fraction(7, 2)),
        maker=f"Made by {words['by']}" if words["by"] else "",
        known=tuple(known),
        unknown=tuple(unknown),
    )
