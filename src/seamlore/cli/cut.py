"""`seamlore cut`: lay a list of pieces out on fabric, edge to edge."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import click

from seamlore.cli.common import CountWord, LengthWord, PercentWord, json_option, print_json, say
from seamlore.files import read_text
from seamlore.lengths import Length


@click.command("cut")
@click.argument("pieces", type=click.Path(path_type=Path))
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
@json_option
def command(
    pieces: Path,
    width: Length,
    plan: str,
    extra: Any,
    stash: Path | None,
    stash_only: bool,
    shrinkage: Any,
    layers: int,
    as_json: bool,
) -> None:
    """Lay the rectangles of PIECES out on fabric with little waste, every cut running from edge to edge.

    PIECES is a list with the columns fabric, piece, width, height, count, may_turn (yes or no), and repeat where a print is
    cut motif by motif: cut sizes, in the unit of --width, width across the fabric. docs/cutting.md has more.
    """
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
