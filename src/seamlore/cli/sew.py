"""`seamlore sew`: the order of sewing; the pattern booklet of a quilt, or the lesson of a block."""

from __future__ import annotations

import datetime
from pathlib import Path
from typing import Any

import click

from seamlore.cli.common import FileWord, LengthWord, SideWord, json_option, print_json, say
from seamlore.lengths import Length
from seamlore.wording import american, keep_words


@click.command("sew", context_settings={"token_normalize_func": american})
@click.argument("block", metavar="BLOCK|FILE", required=True)
@click.option(
    "--size", "sizes", type=SideWord(), multiple=True, help="Finished size of a block; again for a lesson in more."
)
@click.option(
    "--method",
    type=click.Choice(["machine", "hand", "papers"]),
    default="machine",
    help="By machine, by hand, or over papers.",
)
@click.option("--in-the-ditch", is_flag=True, help="It is quilted along its seams: none is pressed open.")
@click.option("--seam", type=LengthWord(), help="Seam allowance; 1/4in or 0.75cm when left out.")
@click.option("--booklet", type=FileWord(), help="Print the pattern booklet of a draft file to this PDF.")
@click.option("--lesson", type=FileWord(), help="Write the lesson of a block to this PDF, or .html for a site.")
@click.option("--paper", default="letter", metavar="letter|a4", help="What is printed on.")
@click.option("--plain", is_flag=True, help="Print without color.")
@json_option
def command(
    block: str,
    sizes: tuple[tuple[Length, Length], ...],
    method: str,
    in_the_ditch: bool,
    seam: Length | None,
    booklet: Path | None,
    lesson: Path | None,
    paper: str,
    plain: bool,
    as_json: bool,
) -> None:
    """Say how a block or a quilt is sewn, step by step; print its booklet, or a block lesson.

    BLOCK is a name such as "shoo fly" or a block file, with --size; or FILE is a draft file, which says its sizes itself.
    """
    from seamlore import files  # fractions, the catalogue and the document engine: not needed for help
    from seamlore.steps.draft.wanted import read
    from seamlore.steps.sewing.sew import as_quilt, booklet_file, checked_paper, lesson_file, sewing_record
    from seamlore.steps.study.own_words import own_names

    given = read(block)
    checked_paper(paper)
    quilt = as_quilt(given, sizes)
    keep_words(own_names(quilt))
    how: dict[str, Any] = {"method": method, "allowance": seam, "in_the_ditch": in_the_ditch}
    record = sewing_record(quilt, **how)
    print_on: dict[str, Any] = {"paper": paper, "plain": plain, "printed": datetime.date.today()}
    written = []
    if booklet is not None:
        written.append(booklet_file(given, booklet, **how, **print_on))
    if lesson is not None:
        written.append(lesson_file(given, lesson, sizes, **how, **print_on))
    files.write(written)
    if as_json:
        print_json(record | {"files": [str(each.path) for each in written]})
        return
    _print(record)
    for each in written:
        say(f"\nWritten: {each.path}")


def _print(record: dict[str, Any]) -> None:
    for block in record["blocks"]:
        say(f"{block['name']}: make {block['count']}", bold=True)
        for line in block["told"]:
            say(f"  {line}")
        _steps(record, block["steps"])
    if record["top"]:
        say("\nThe top", bold=True)
        _steps(record, record["top"])


def _steps(record: dict[str, Any], steps: list[dict[str, Any]]) -> None:
    from seamlore.lengths import Unit, in_unit, show_size  # as above

    for step in steps:
        size = show_size(*(in_unit(side, Unit(record["unit"])) for side in step["measures"]))
        count = f"{step['count']} of it; " if step["count"] > 1 else ""
        say(f"  {step['title']}: {count}now {size}")
        for line in step["words"]:
            say(f"    {line}")
