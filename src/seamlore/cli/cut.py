"""`seamlore cut`: lay a list of pieces out on fabric, edge to edge; or hexagons, with their papers."""

from __future__ import annotations

import datetime
from pathlib import Path
from typing import Any

import click

from seamlore.cli.common import CountWord, FileWord, LengthWord, PercentWord, json_option, print_json, say
from seamlore.errors import PlanError
from seamlore.files import Written, read_text, write
from seamlore.lengths import Length


@click.command("cut")
@click.argument("pieces", type=click.Path(path_type=Path), required=False)
@click.option("--width", type=LengthWord(), required=True, help="The fabric's usable width, such as 42in.")
@click.option(
    "--plan",
    type=click.Choice(["frugal", "simple", "fitting"]),
    default="frugal",
    help="Least fabric, fewest settings of the ruler, or few settings with no more bought than for the least.",
)
@click.option("--extra", type=PercentWord(), default="5%", help="How much more fabric the simple plan may take; 5%.")
@click.option(
    "--stash",
    type=click.Path(path_type=Path),
    help="A file of what is at hand, used first, and of how fabrics are printed.",
)
@click.option("--stash-only", is_flag=True, help="Nothing can be bought.")
@click.option(
    "--shrinkage", type=PercentWord(), default="0%", help="What bought fabric loses in the wash, such as 3%."
)
@click.option("--layers", type=CountWord(), default="4", help="How many layers are cut at once; 4.")
@click.option(
    "--hexagons", type=LengthWord(), help="Instead of a list: hexagons sewn over papers, with sides of so much."
)
@click.option("--count", type=CountWord(), help="How many hexagons.")
@click.option("--seam", type=LengthWord(), help="Seam allowance of hexagons; 1/4in or 0.75cm when left out.")
@click.option("--papers", type=FileWord(), help="Print their papers and the template to this PDF.")
@click.option("--paper", default="letter", metavar="letter|a4", help="What is printed on.")
@json_option
def command(
    pieces: Path | None,
    width: Length,
    plan: str,
    extra: Any,
    stash: Path | None,
    stash_only: bool,
    shrinkage: Any,
    layers: int,
    hexagons: Length | None,
    count: int | None,
    seam: Length | None,
    papers: Path | None,
    paper: str,
    as_json: bool,
) -> None:
    """Lay the rectangles of PIECES out on fabric with little waste, every cut running from edge to edge.

    PIECES is a list with the columns fabric, piece, width, height, count, may_turn (yes or no), and repeat where a print is
    cut motif by motif: cut sizes, in the unit of --width, width across the fabric. docs/cutting.md has more.
    """
    if hexagons is not None:
        if pieces is not None or count is None:
            given = f"the list {pieces.name} and hexagons" if pieces else "hexagons without how many"
            raise PlanError(
                given, "hexagons are cut by themselves, so many of them", "write --hexagons 1in --count 60"
            )
        _hexagons(hexagons, count, width, seam, papers, paper, as_json=as_json)
        return
    if pieces is None:
        raise PlanError("nothing to cut", "a list of pieces or hexagons is", "name a list, or give --hexagons")
    # numpy is slow to import, help needs none
    from seamlore.steps.cutting.cut import as_record, cut, not_used, stash_from
    from seamlore.steps.cutting.wanted import wishes_for
    from seamlore.steps.cutting.words import both_plans, cuts_in_words, headline

    at_hand = stash_from(stash, width.unit)
    wishes = wishes_for(plan, stash=at_hand, buying=not stash_only, share=extra, shrinkage=shrinkage, layers=layers)
    fabrics = cut(read_text(pieces, "a list of pieces"), width, wishes, source=pieces.name)
    if as_json:
        print_json(as_record(fabrics))
        return
    for each in fabrics:
        say(headline(each) + ".", bold=True)
        for line in (*both_plans(each), *cuts_in_words(each)):
            say(f"  {line}")
    for line in not_used(fabrics, at_hand):
        say(line)
    say("A rotary blade is very sharp: cut away from yourself, close it after every cut, keep it from children.")


def _hexagons(
    side: Length, count: int, width: Length, seam: Length | None, papers: Path | None, paper: str, *, as_json: bool
) -> None:
    from seamlore.steps.making.hexagons import hexagons_asked, hexagons_pdf, hexagons_record  # as above
    from seamlore.steps.sewing.sew import checked_paper

    found, on = hexagons_asked(side, count, width, seam), checked_paper(paper)
    if papers is not None:
        write([Written(papers, hexagons_pdf(found, on, datetime.date.today()), "the papers")])
    if as_json:
        print_json(hexagons_record(found) | {"files": [str(papers)] if papers else []})
        return
    say(f"{found}.")
    if papers is not None:
        say(f"{papers}: print it at 100 % and measure the test squares before you cut.")
