"""`seamlore cut`: lay a list of pieces out on fabric, edge to edge."""

from __future__ import annotations

from pathlib import Path

import click

from seamlore.cli.common import LengthWord, json_option, print_json, say
from seamlore.files import read_text
from seamlore.lengths import Length


@click.command("cut")
@click.argument("pieces", type=click.Path(path_type=Path))
@click.option("--width", type=LengthWord(), required=True, help="The fabric's usable width, such as 42in.")
@json_option
def command(pieces: Path, width: Length, as_json: bool) -> None:
    """Lay the rectangles of PIECES out on fabric with little waste, every cut running from edge to edge.

    PIECES is a list with the columns fabric, piece, width, height, count, may_turn (yes or no): cut sizes, in the unit
    of --width, width across the fabric. docs/cutting.md has more.
    """
    from seamlore.steps.cut import as_record, cut, cuts_in_words, headline  # numpy is slow to import, help needs none

    fabrics = cut(read_text(pieces, "a list of pieces"), width, source=pieces.name)
    if as_json:
        print_json(as_record(fabrics))
        return
    for each in fabrics:
        say(headline(each) + ".", bold=True)
        for line in cuts_in_words(each):
            say(f"  {line}")
    say("A rotary blade is very sharp: cut away from yourself, close it after every cut, keep it from children.")
