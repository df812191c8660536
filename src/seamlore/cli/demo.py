"""`seamlore demo`: the whole job, once."""

from __future__ import annotations

import datetime
from pathlib import Path
from typing import TYPE_CHECKING

import click

from seamlore.cli.common import FolderWord, json_option, print_json, say
from seamlore.cli.look import showing_progress
from seamlore.lengths import Unit, show_size

if TYPE_CHECKING:
    from seamlore.steps.demo import Shown


@click.command("demo")
@click.option(
    "--out",
    type=FolderWord(),
    default=Path("seamlore-demo"),
    help="Folder for the results.",
)
@json_option
def command(out: Path, as_json: bool) -> None:
    """Do the whole job, once, on a worn quilt that comes with the program (it and its story are invented).

    From one photograph and a few tape measurements: the quilt measured, its sums explained, its block and setting
    drafted uncropped, fabric and cutting worked out, and three sheets printed as PDF.
    """
    from seamlore.steps.demo import demo  # opens pictures and prints: slow to import

    with showing_progress() as progress:
        shown = demo(out, today=datetime.date.today(), progress=progress)
    if as_json:
        print_json(_record(shown))
    else:
        _print(shown)


def _record(shown: Shown) -> dict[str, object]:
    from seamlore.steps.look import as_record  # as above
    from seamlore.steps.make import as_record as plan_record

    job = shown.job
    return {
        "folder": str(shown.folder),
        "files": [name for name, _ in shown.files],
        "reading": as_record(job.reading),
        "verdict": job.adjustment.verdict,
        "explanations": [
            {"text": each.text, "likely": each.likely, "weight": each.weight} for each in job.adjustment.explanations
        ],
        "next": str(job.next_measure) if job.next_measure else None,
        "plan": plan_record(job.plan, job.cuts),
    }


def _print(shown: Shown) -> None:
    from seamlore.steps.look import answer  # as above

    job = shown.job
    say(f"{job.inputs.about.name}", bold=True)
    say(f"  Seen: {answer(job.reading, Unit.INCH, job.chosen)}")
    say(f"  Sums: {job.adjustment.verdict}")
    for each in job.adjustment.explanations[:3]:
        say(f"    {each}")
    if job.next_measure:
        say(f"  {job.next_measure}")
    quilt = job.quilt
    say(
        f"  Drafted: {quilt.made_of}, {quilt.rows} rows of {quilt.columns}, {show_size(*quilt.finished_size)} uncropped"
    )
    for laid in job.cuts:
        say(f"  To buy: {laid.cut.buy} of {laid.cut.name}")
    say(f"\nThe results are in {shown.folder.resolve()}:", bold=True)
    for name, says in shown.files:
        say(f"  {name:18} {says}")
