"""`seamlore date`: date each part from an evidence file."""

from __future__ import annotations

import datetime
from pathlib import Path
from typing import TYPE_CHECKING

import click

from seamlore.cli.common import FileWord, json_option, print_json, say
from seamlore.files import Written, read_text, write
from seamlore.limits import TEXT
from seamlore.wording import keep_words

if TYPE_CHECKING:
    from seamlore.steps.date import Dating


@click.command("date")
@click.argument("evidence", type=click.Path(path_type=Path), required=False)
@click.option(
    "--clues",
    is_flag=True,
    help="List the datable features that EVIDENCE may name, with their sources; with a word after it, those that have it.",
)
@click.option("--svg", type=FileWord(), help="Write the picture of the years to this file.")
@json_option
def command(evidence: Path | None, clues: bool, svg: Path | None, as_json: bool) -> None:
    """Date each part of a quilt from EVIDENCE, a text file of what was seen and what came before what.

    A part is dated by itself: blocks, setting, backing, filling, quilting or ties, edge finish, repair. Each
    answer gives its reason first and its probability after it. docs/dating.md shows how to write the file.
    """
    if clues:
        _print_clues("" if evidence is None else str(evidence), as_json)
        return
    if evidence is None:
        raise click.UsageError("no evidence file was named")
    from seamlore.steps.date import as_record, date  # numpy is slow to import, and help does not need it

    text = read_text(evidence, "an evidence file", most=TEXT)
    dating = date(text, this_year=datetime.date.today().year, source=evidence.name)
    keep_words(each.says for each in dating.dossier.evidence)
    if svg is not None:
        from seamlore.drawing.svg import to_svg  # as above
        from seamlore.pictures.charts.bands import bands_picture

        drawn = to_svg(bands_picture(dating.dates, dating.dossier.evidence, 180))
        write([Written(svg, drawn, "the picture")], inputs=[evidence])
    if as_json:
        print_json(as_record(dating))
    else:
        _print(dating)


def _print(dating: Dating) -> None:
    from seamlore.steps.date import shares_in_words  # as above

    say(f"{dating.headline}.\n", bold=True)
    for answer in dating.answers:
        say(f"{answer.part}: about {answer.median}", bold=True)
        say(f"  half: {answer.half[0]} to {answer.half[1]}   9 in 10: {answer.most[0]} to {answer.most[1]}")
        say(f"  {answer.sentence}")
        for move in answer.moved_by[:3]:
            low, high = move.most_without
            say(f"    without {move.evidence.says}: {low} to {high}, middle {move.median_without}")
    for heading, lines in (
        ("What it means", [each.sentence for each in dating.readings]),
        ("These cannot both be right", [each.sentence for each in dating.contradictions]),
        ("Outside the usual years", list(dating.departures)),
        ("As asked", [sentence for sentence, _ in dating.statements]),
        ("What to look at next", [look.sentence for look in dating.next_looks]),
        ("Taken for usual", list(shares_in_words(dating.dossier.shares)) if dating.dossier.usual else []),
        ("Bear in mind", list(dating.cautions)),
    ):
        if lines:
            say(f"\n{heading}", bold=True)
            for line in lines:
                say(f"  {line}")


def _print_clues(words: str, as_json: bool) -> None:
    from seamlore.steps.clues import clues_record  # as above

    known = clues_record(words)
    if as_json:
        print_json({"clues": known})
        return
    if not known:
        say(f'No clue of date has "{words}" in it; without a word, --clues lists all.')
    for clue in known:
        click.secho(clue["key"], bold=True, nl=False)
        click.echo(
            f": {clue['feature']}. {clue['usual']} ({clue['region']}; dates the {clue['dates']}; {clue['strength']})"
        )
        told = [f"{figure['year']}: {figure['source']}, {figure['known']}" for figure in clue["figures"].values()]
        click.echo(f"    beware: {clue['mistaken_for']}. {'; '.join(told)}")
        if clue["hazard"]:
            click.echo(f"    take care: {clue['hazard']}")
