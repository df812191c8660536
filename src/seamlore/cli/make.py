"""`seamlore make`: cutting, fabric, backing, batting and binding."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from seamlore.cli.common import CountWord, LengthWord, PercentWord, SideWord, json_option, print_json, say
from seamlore.errors import PlanError
from seamlore.lengths import Length, show, show_seam, show_size
from seamlore.wording import american, keep_words

if TYPE_CHECKING:
    from seamlore.making.methods import Choose
    from seamlore.making.plan import Plan
    from seamlore.steps.cutting.of_plan import PlanCut


@click.command("make", context_settings={"token_normalize_func": american})
@click.argument("block", metavar="BLOCK|FILE", required=True)
@click.option("--size", type=SideWord(), help="Finished size of the block, such as 9in or 8x10in.")
@click.option("--rows", type=CountWord(), help="Blocks down.")
@click.option("--columns", type=CountWord(), help="Blocks across.")
@click.option("--sashing", type=LengthWord(), help="Finished width of sashing between blocks.")
@click.option("--cornerstones", is_flag=True, help="Squares of another fabric where the sashing crosses.")
@click.option("--outer-sashing", is_flag=True, help="Sashing round the outside as well.")
@click.option(
    "--border", "borders", type=LengthWord(), multiple=True, help="Finished width of a border; again for the next."
)
@click.option("--mitered", is_flag=True, help="Miter the corners of the borders.")
@click.option("--width", type=LengthWord(), help="Usable width of the fabric; 42in when left out.")
@click.option(
    "--backing-width", type=LengthWord(), help="Usable width of the backing fabric; as --width when left out."
)
@click.option("--seam", type=LengthWord(), help="Seam allowance; 1/4in or 0.75cm when left out.")
@click.option(
    "--edge",
    "--binding",
    "binding",
    type=click.Choice(
        ["straight", "bias", "back to front", "front to back", "facing", "pillowcase", "knife edge", "none"]
    ),
    default="straight",
    help="How the edge is finished: a binding, folded over, faced, turned, or left.",
)
@click.option(
    "--binding-width", type=LengthWord(), help="Cut width of binding or facing strips; 2 1/2in or 6cm when left out."
)
@click.option(
    "--filling",
    type=click.Choice(["batting", "blanket", "older quilt", "none"]),
    default="batting",
    help="What lies between top and backing.",
)
@click.option(
    "--spare", type=LengthWord(), help="What to buy of each fabric beyond its need; the usual when left out."
)
@click.option(
    "--half-squares",
    type=click.Choice(["one", "two", "eight"]),
    default="one",
    help="How many half-square triangles are made at a time.",
)
@click.option(
    "--quarter-squares",
    type=click.Choice(["one", "two"]),
    default="one",
    help="How many quarter-square triangles are made at a time.",
)
@click.option(
    "--geese", type=click.Choice(["one", "four"]), default="one", help="How many flying geese are made at a time."
)
@click.option(
    "--strips",
    type=click.Choice(["one", "sets"]),
    default="one",
    help="Whether four patches, nine patches and rails are cut patch by patch or from sets of strips.",
)
@click.option(
    "--foundations",
    type=LengthWord(),
    help="Cut patches for foundations, so much wider on every side than their seam, such as 1/4in.",
)
@click.option(
    "--choose",
    "choose_by",
    type=click.Choice(["as said", "least fabric", "fewest cuts"]),
    default="as said",
    help="Whether to choose the ways of making units that take least.",
)
@click.option(
    "--plan",
    type=click.Choice(["fitting", "simple", "frugal"]),
    default="fitting",
    help="Few settings of the ruler with no more bought than plain strips take, fewest settings, or least fabric.",
)
@click.option("--extra", type=PercentWord(), default="5%", help="How much more fabric the simple plan may take; 5%.")
@click.option(
    "--stash",
    type=click.Path(path_type=Path),
    help="A file of what is at hand, used first, and of how fabrics are printed.",
)
@click.option(
    "--shrinkage", type=PercentWord(), default="0%", help="What bought fabric loses in the wash, such as 3%."
)
@click.option("--layers", type=CountWord(), default="4", help="How many layers are cut at once; 4.")
@click.option("--edge-shows", type=LengthWord(), help="How much of an edge that is folded over shows on the front.")
@click.option(
    "--backing-repeat", type=LengthWord(), help="Length of the backing's pattern, to match it at the seams."
)
@click.option("--off-middle", is_flag=True, help="Keep the seams of the backing away from its middle.")
@click.option(
    "--held-by", type=click.Choice(["quilting", "ties"]), default="quilting", help="How the layers are held together."
)
@click.option("--gap", type=LengthWord(), help="How far apart quilting or ties may be, as the batting's label says.")
@click.option(
    "--method",
    "piecing",
    type=click.Choice(["machine", "hand", "papers"]),
    default="machine",
    help="How the top is sewn, for the hours that it takes.",
)
@click.option("--pace", default="", help="Your pace beside the hours that are reckoned: 2 for twice as long.")
@click.option("--price", default="", help="Price of a yard, or of a meter, of fabric.")
@click.option("--filling-price", "batting_price", default="", help="Price of the batting.")
@json_option
def command(
    block: str,
    size: tuple[Length, Length] | None,
    rows: int | None,
    columns: int | None,
    sashing: Length | None,
    cornerstones: bool,
    outer_sashing: bool,
    borders: tuple[Length, ...],
    mitered: bool,
    width: Length | None,
    backing_width: Length | None,
    seam: Length | None,
    binding: str,
    binding_width: Length | None,
    filling: str,
    spare: Length | None,
    half_squares: str,
    quarter_squares: str,
    geese: str,
    strips: str,
    foundations: Length | None,
    choose_by: Choose,
    plan: str,
    extra: Any,
    stash: Path | None,
    shrinkage: Any,
    layers: int,
    edge_shows: Length | None,
    backing_repeat: Length | None,
    off_middle: bool,
    held_by: str,
    gap: Length | None,
    piecing: str,
    pace: str,
    price: str,
    batting_price: str,
    as_json: bool,
) -> None:
    """Work out what a quilt takes: what to cut, how much fabric to buy, backing, batting and binding.

    BLOCK is a name such as "shoo fly" or a block file, with --size, --rows and --columns; or FILE is a draft file,
    which says all that itself.
    """
    from seamlore.steps.cutting.cut import not_used, stash_from
    from seamlore.steps.cutting.of_plan import cut_plan
    from seamlore.steps.cutting.wanted import wishes_for
    from seamlore.steps.draft.wanted import Wanted, read, unit_of  # fractions and the catalogue: not needed for help
    from seamlore.steps.make import as_record, make
    from seamlore.steps.study.own_words import own_names

    wanted = None
    asked = {"--size": size, "--rows": rows, "--columns": columns}
    missing = [word for word, value in asked.items() if value is None]
    given = read(block)
    if size is not None and rows is not None and columns is not None:
        wanted = Wanted(size, rows, columns, sashing, cornerstones, outer_sashing, borders, mitered)
    elif len(missing) < len(asked):
        raise PlanError(
            f"{given.name} without {' and '.join(missing)}", "a plan needs all three", "add what is missing"
        )
    at_hand = stash_from(stash, unit_of(given, wanted))
    made = make(
        given,
        wanted,
        fabric_width=width,
        backing_width=backing_width,
        seam_allowance=seam,
        binding=binding,
        binding_width=binding_width,
        filled_with=filling,
        spare=spare,
        ways={"half_squares": half_squares, "quarter_squares": quarter_squares, "geese": geese, "strips": strips},
        choose_by=choose_by,
        edge_shows=edge_shows,
        backing_repeat=backing_repeat,
        off_middle=off_middle,
        held_by=held_by,
        gap=gap,
        piecing=piecing,
        pace=pace,
        price=price,
        batting_price=batting_price,
        prints=at_hand.prints,
        foundation=foundations,
    )
    keep_words(own_names(made.quilt))
    cuts = cut_plan(made, wishes_for(plan, stash=at_hand, share=extra, shrinkage=shrinkage, layers=layers))
    if as_json:
        print_json(as_record(made, cuts))
    else:
        _print(made, cuts)
        for line in not_used([each.cut for each in cuts], at_hand):
            say(line)


def _print(made: Plan, cuts: Sequence[PlanCut]) -> None:
    from seamlore.steps.cutting.words import both_plans, cuts_in_words, difference_said, headline  # as above
    from seamlore.steps.making.work import costs_of, in_all, tasks

    say(f"{made.quilt.name}: {show_size(*made.finished)} finished", bold=True)
    say(
        f"  usable fabric width {show(made.fabric_width)}, seam allowance {show_seam(made.seam)} included in every cut"
    )
    say("\nTo buy", bold=True)
    for each in cuts:
        say(f"  {headline(each.cut)}; with a spare {each.buy_with_spare}")
    say(f"  backing: {made.backing}")
    for other in made.backing.others:
        say(f"    or {other}")
    if made.filling:
        say(f"  {made.filling.kind}: {made.filling}")
    if made.edge_finish:
        say(f"  {made.edge_finish}")
    say(f"  {made.holding.kind}: {made.holding}")
    say(f"  finished, with its edge: {show_size(*made.measures)}")
    say("\nTo cut", bold=True)
    say(f"  {difference_said(made.seam, made.margin)}")
    for cut in made.cutting:
        say(f"  {cut.fabric}: {cut.how}")
    if made.batches:
        say("\nMade several at a time", bold=True)
        for batch in made.batches:
            say(f"  {batch.name}: {batch.how}")
    say("\nIn which order", bold=True)
    for each in cuts:
        say(f"  {each.cut.name}", bold=True)
        for line in (*both_plans(each.cut), *each.notes, *cuts_in_words(each.cut)):
            say(f"    {line}")
    say("\nTime, and what it costs", bold=True)
    done = tasks(made, cuts)
    for task in done:
        say(f"  {task}")
    say(f"  in all {in_all(done)}")
    for cost in costs_of(made, cuts):
        say(f"  {cost}")
    if made.notes:
        say("\nBear in mind", bold=True)
        for note in made.notes:
            say(f"  {note}")
