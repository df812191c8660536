"""`seamlore decide`: what a quilt of blocks gives, and what could be made of it."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import click

from seamlore.cli.common import CountWord, LengthWord, SideWord, SizeWord, json_option, print_json, say
from seamlore.lengths import Length, show, show_size

if TYPE_CHECKING:
    from seamlore.saving.resetting import CutBlocks


@click.command("decide")
@click.option("--rows", type=CountWord(), required=True, help="Blocks down, those that the edge cuts too.")
@click.option("--columns", type=CountWord(), required=True, help="Blocks across, those that the edge cuts too.")
@click.option("--block", type=SideWord(), required=True, help="Finished size of a block, such as 8in or 8x10in.")
@click.option("--sashing", type=LengthWord(), help="Finished width of sashing between blocks; none when left out.")
@click.option(
    "--widest", type=LengthWord(), help="The widest sashing of the smaller quilt; as --sashing when left out."
)
@click.option("--cut", default="", help="Sides that the edge cuts: left, top, right, bottom, with commas between.")
@click.option("--lost", default="", help="Blocks that are not sound: row,column from 1, such as '1,2 3,4'.")
@click.option("--wished", type=SizeWord(), help="The size that a smaller quilt is to come near to.")
@click.option(
    "--allowance", type=LengthWord(), help="Seam allowance that is left on the blocks; as --seam when left out."
)
@click.option("--seam", type=LengthWord(), help="Seam allowance that is sewn now; 1/4in or 0.75cm when left out.")
@click.option(
    "--backing", type=SizeWord(), help="What is sound of the old backing, as one piece: what it could back."
)
@click.option(
    "--cut-off",
    "gone",
    type=LengthWord(),
    help="How much the edge cuts off those blocks; half a block when left out.",
)
@click.option("--new-sashing", type=LengthWord(), help="Re-setting: finished width of new sashing, 0in for none.")
@click.option("--new-border", type=LengthWord(), help="Re-setting: finished width of a new border all round.")
@click.option(
    "--cut-blocks",
    type=click.Choice(["as they are", "completed", "left out"]),
    default="as they are",
    help="Re-setting: what becomes of the blocks that the edge cuts.",
)
@json_option
def command(
    rows: int,
    columns: int,
    block: tuple[Length, Length],
    sashing: Length | None,
    widest: Length | None,
    cut: str,
    lost: str,
    wished: tuple[Length, Length] | None,
    allowance: Length | None,
    seam: Length | None,
    backing: tuple[Length, Length] | None,
    gone: Length | None,
    new_sashing: Length | None,
    new_border: Length | None,
    cut_blocks: CutBlocks,
    as_json: bool,
) -> None:
    """Count the whole and cut blocks that are sound, say what they finish at when they are sewn again, and what could be
    made of them.

    The choice itself is made at the table, on the page Decide.
    """
    from seamlore.steps.decide.record import as_record  # fractions and arrays: not needed for help

    found = as_record(
        rows,
        columns,
        block,
        sashing,
        widest,
        cut,
        lost,
        wished=wished,
        allowance=allowance,
        seam=seam,
        backing=backing,
        gone=gone,
        new_sashing=new_sashing,
        new_border=new_border,
        cut_blocks=cut_blocks,
    )
    if as_json:
        print_json(found.record)
    else:
        _print(found)


def _print(found: Any) -> None:
    say(f"{found.words}.\n", bold=True)
    one, other = found.block
    say(f"  sewn again a block finishes at {show_size(one.finished, other.finished)}")
    if not one.keeps_points:
        say(f"  {show(one.points_lost)} of every point is lost, unless each is framed or sewn to a foundation")
    for strip in found.strips:
        say(f"  {strip}")
    say(f"  {found.opening}")
    say(f"  a smaller quilt: {found.small_words}")
    if found.anew:
        say("\nSet anew", bold=True)
        for line in found.anew:
            say(f"  {line}")
    say("\nWhat could be made", bold=True)
    for thing in found.things:
        touches = f"   touches {thing['touches']}: only after hazards are ruled out" if thing["touches"] else ""
        say(
            f"  {thing['count']} x {thing['name']}, {thing['size']}: {thing['takes']}{' of the cut ones' if thing['from_cut'] else ' block each' if thing['takes'] == 1 else ' blocks each'}, {thing['left']} left{touches}"
        )
    if found.backs is not None:
        say("\nWhat the old backing could back", bold=True)
        for back in found.backs:
            touches = (
                f"   touches {back.project.touches}: only after hazards are ruled out" if back.project.touches else ""
            )
            say(f"  {back.count or 'no'} x {back.project.name}, cut {show_size(back.width, back.height)}{touches}")
