"""`seamlore draft`: a block or a whole quilt, drawn exactly and named."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import click

from seamlore.cli.common import LengthWord, SideWord, json_option, print_json
from seamlore.errors import SeamloreError
from seamlore.lengths import Length, show, show_size

if TYPE_CHECKING:
    from seamlore.draft.quilt import Quilt
    from seamlore.steps.understand import BlockFacts, QuiltFacts


@click.command("draft")
@click.argument("block", metavar="[BLOCK|FILE]", required=False)
@click.option("--list", "listing", is_flag=True, help="List the catalogue.")
@click.option("--size", type=SideWord(), help="Finished size of the block: with --rows and --columns, a whole quilt.")
@click.option("--rows", type=int, help="Blocks down.")
@click.option("--columns", type=int, help="Blocks across.")
@click.option("--sashing", type=LengthWord(), help="Finished width of sashing between blocks.")
@click.option("--cornerstones", is_flag=True, help="Squares of another fabric where the sashing crosses.")
@click.option("--outer-sashing", is_flag=True, help="Sashing round the outside as well.")
@click.option(
    "--border", "borders", type=LengthWord(), multiple=True, help="Finished width of a border; again for the next."
)
@click.option("--mitred", is_flag=True, help="Miter the corners of the borders.")
@click.option("--on-point", is_flag=True, help="Blocks on point, with side and corner triangles.")
@click.option("--bed", type=str, help='Fit the quilt to a bed, such as "queen".')
@click.option("--drop", type=LengthWord(), help="How far it hangs down at sides and foot; with --bed.")
@click.option("--svg", type=click.Path(path_type=Path, dir_okay=False), help="Write the picture to this file.")
@click.option("--text", "as_text", is_flag=True, help="Print the block file or draft file itself.")
@json_option
def command(
    block: str | None,
    listing: bool,
    size: tuple[Length, Length] | None,
    rows: int | None,
    columns: int | None,
    sashing: Length | None,
    cornerstones: bool,
    outer_sashing: bool,
    borders: tuple[Length, ...],
    mitred: bool,
    on_point: bool,
    bed: str | None,
    drop: Length | None,
    svg: Path | None,
    as_text: bool,
    as_json: bool,
) -> None:
    """Draw a block or a whole quilt exactly, and say what it is called and what it is made of.

    BLOCK is a name such as "churn dash" or a block file; FILE may be a draft file, which describes a whole quilt. A block
    with --size, --rows and --columns becomes a quilt. docs/notation.md and docs/draft-files.md show how to write both.
    """
    if listing:
        _print_catalogue(as_json)
        return
    if block is None:
        raise click.UsageError("no block was named; --list shows the catalogue")
    from seamlore.draft.block import Block  # the catalogue and numpy: not needed for help
    from seamlore.steps.draft import Wanted, fitted, put_together, read
    from seamlore.steps.understand import block_record, of_block, of_quilt, quilt_record

    given = read(block)
    if isinstance(given, Block) and (size or rows or columns):
        if size is None or rows is None or columns is None:
            raise SeamloreError(
                f"{given.name} without all of --size, --rows and --columns",
                "a quilt needs all three",
                "add what is missing",
            )
        wanted = Wanted(size, rows, columns, sashing, cornerstones, outer_sashing, borders, mitred, on_point=on_point)
        given = put_together(given, wanted)
    if bed is not None:
        given = fitted(given, bed, drop)
    if svg is not None:
        _write(svg, _svg(given))
    if isinstance(given, Block):
        facts = of_block(given)
        if as_json:
            print_json(block_record(facts))
        elif as_text:
            click.echo(block_record(facts)["text"], nl=False)
        else:
            _print_block(facts)
    else:
        whole = of_quilt(given)
        if as_json:
            print_json(quilt_record(whole))
        elif as_text:
            click.echo(quilt_record(whole)["text"], nl=False)
        else:
            _print_quilt(whole)


def _svg(given: object) -> str:
    from seamlore.draft.block import Block  # as above
    from seamlore.drawing.svg import to_svg
    from seamlore.pictures.blocks import block_picture
    from seamlore.pictures.quilts import quilt_picture

    if isinstance(given, Block):
        return to_svg(block_picture(given, 90, letters=True))
    quilt: Quilt = given  # type: ignore[assignment]
    return to_svg(quilt_picture(quilt, 180, 240))


def _write(path: Path, text: str) -> None:
    part = path.with_name(path.name + ".part")
    try:
        part.write_text(text, encoding="utf-8")
        part.replace(path)
    except OSError as fault:
        reason = (fault.strerror or "it cannot be written").lower()
        raise SeamloreError(str(path), f"the picture cannot be written: {reason}", "choose another place") from None


def _print_block(facts: BlockFacts) -> None:
    from seamlore.steps.understand import match_words  # as above

    block = facts.block
    also = f" (also {', '.join(block.also)})" if block.also else ""
    click.secho(f"{block.name}{also}", bold=True)
    click.echo(f"  {len(block.patches)} patches on {block.divisions} divisions; {facts.symmetry}")
    for kind, count in facts.unit_counts.items():
        click.echo(f"  {count} {kind} unit{'s' * (count > 1)}")
    for match in facts.matches:
        if match.block.name != block.name:
            click.echo(f"  compare {match_words(match)}")
    for note in block.notes:
        click.echo(f"  {note}")
    click.echo("")
    from seamlore.draft.notation import write_block  # as above

    click.echo(write_block(block), nl=False)


def _print_quilt(facts: QuiltFacts) -> None:
    quilt = facts.quilt
    click.secho(f"{quilt.name}: {show_size(*quilt.finished_size)} finished", bold=True)
    size = (
        show(quilt.block_width)
        if quilt.block_width == quilt.block_height
        else show_size(quilt.block_width, quilt.block_height)
    )
    click.echo(f"  {len(quilt.spots)} {quilt.block.name} blocks of {size}, {quilt.rows} rows of {quilt.columns}")
    gaps = [show(gap) for gap in dict.fromkeys(quilt.gaps) if gap]
    if gaps:
        click.echo(f"  sashing {' and '.join(gaps)}")
    for border in quilt.borders:
        click.echo(f"  border {show(border.width)}, {border.corners}")
    click.echo(f"  {sum(piece.count for piece in facts.pieces):,} pieces of {len(facts.pieces)} kinds")
    shares = ", ".join(
        f"{value} {round(100 * share)} %" for value, share in facts.proportions.shares.items() if share
    )
    click.echo(f"  by area: {shares}")
    for custom in facts.proportions.customs:
        click.echo(f"  {custom}")


def _print_catalogue(as_json: bool) -> None:
    from seamlore.draft.catalogue import all_blocks  # reads every block file

    blocks = all_blocks()
    if as_json:
        print_json(
            {
                "blocks": [
                    {"name": b.name, "also": list(b.also), "family": b.family, "divisions": b.divisions}
                    for b in blocks
                ]
            }
        )
        return
    for each in blocks:
        also = f" (also {', '.join(each.also)})" if each.also else ""
        click.echo(f"{each.name}{also}: {each.family}, {each.divisions} divisions")
