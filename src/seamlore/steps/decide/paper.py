"""Taking apart on paper, filled from the job."""

from __future__ import annotations

import datetime
from collections.abc import Iterator
from itertools import groupby

from seamlore.saving.stages import SAMPLES, Stage
from seamlore.steps.decide.cloth_words import opening
from seamlore.steps.decide.decide import Basis
from seamlore.steps.decide.words import rows_words
from seamlore.steps.study.job import Job


def taking_apart_pdf(job: Job, basis: Basis, *, printed: datetime.date) -> bytes:
    """Print the stages, the samples to keep and the labels of the bags, as PDF."""
    from seamlore.printing.pages import to_pdf  # the document engine: slow to import
    from seamlore.sheets.taking_apart import TakingApartContent, taking_apart

    found = job.inputs.decision.stages
    content = TakingApartContent(
        job.inputs.about.name,
        printed,
        tuple(
            (each.name, _do(job, basis, each), each.look, each.may_change, found.get(each.key, ""))
            for each in basis.stages
        ),
        SAMPLES,
        basis.missing,
        tuple((each.what, each.why) for each in basis.stops),
        tuple(bags(job.inputs.about.name, basis)),
        opening(job, basis),
    )
    return to_pdf(taking_apart(content), job.inputs.making.paper)


def _do(job: Job, basis: Basis, stage: Stage) -> str:
    order = rows_words(job, basis) if stage.key == "rows" else ""
    return f"{stage.do} {order}." if order else stage.do


def bags(name: str, basis: Basis) -> Iterator[tuple[str, str]]:
    """Give the labels of the bags: the edge, ties, backing and filling, then the blocks row by row."""
    gone = basis.assessed.without
    for part in ("edge finish", "ties", "backing", "filling", "border", "setting"):
        if part not in gone:
            yield part[:1].upper() + part[1:], f"{name}: {part}; date, weight, from where"
    for row, blocks in groupby(basis.assessed.survey.blocks, key=lambda each: each.at[0]):
        listed = list(blocks)
        words = []
        for verdict in ("sound", "doubtful", "lost"):
            columns = [str(each.at[1] + 1) for each in listed if each.verdict == verdict]
            words += [f"{verdict}: {', '.join(columns)}"] if columns else []
        yield f"Row {row + 1}", f"{name}: columns 1 to {len(listed)}; {'; '.join(words)}"
