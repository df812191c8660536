"""`seamlore look`: measure a quilt on its photograph."""

from __future__ import annotations

import re
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING

import click

from seamlore.cli.common import CountWord, SizeWord, json_option, print_json, say
from seamlore.errors import PhotoError
from seamlore.lengths import Length, Unit

if TYPE_CHECKING:
    from seamlore.photo.read import Look, Progress

Corners = tuple[tuple[float, float], ...]


class CornersWord(click.ParamType[Corners]):
    """Four corners on the command line: "x,y x,y x,y x,y" in pixels."""

    name = "corners"

    def convert(self, value: object, param: click.Parameter | None, ctx: click.Context | None) -> Corners:
        """Read them; wrong ones are refused in one line."""
        if isinstance(value, tuple):
            return value
        text = str(value)
        number = r"-?[0-9]{1,6}(?:\.[0-9]{1,9})?"
        words = text.replace(";", " ").split()
        if len(words) != 4 or not all(re.fullmatch(rf"{number},{number}", word) for word in words):
            raise PhotoError(
                f'"{text[:60]}"',
                "corners are four pairs x,y in pixels, clockwise from the quilt's top left",
                'write them as "75,256 1726,304 1620,2159 105,2162"',
            )
        return tuple((float(x), float(y)) for x, y in (word.split(",") for word in words))


@click.command("look")
@click.argument("photo", type=click.Path(path_type=Path))
@click.option("--size", type=SizeWord(), help="Width and length of the quilt by tape, such as 74x88in.")
@click.option(
    "--corners",
    type=CornersWord(),
    help='The quilt\'s corners in pixels, "x,y x,y x,y x,y", clockwise from top left.',
)
@click.option("--rows", type=CountWord(), help="Blocks down, when you have counted them.")
@click.option("--columns", type=CountWord(), help="Blocks across, when you have counted them.")
@click.option("--divisions", type=CountWord(), help="Into how many equal parts the side of the block is divided.")
@json_option
def command(
    photo: Path,
    size: tuple[Length, Length] | None,
    corners: Corners | None,
    rows: int | None,
    columns: int | None,
    divisions: int | None,
    as_json: bool,
) -> None:
    """Measure a quilt on PHOTO: how many blocks, how big, how they are set, how the block is pieced.

    Lay the quilt flat and take in all four corners. Without --size, lengths are parts of the quilt's width.
    """
    from seamlore.steps.ready import expect_photograph  # like what follows: help does not need it

    expect_photograph()
    from seamlore.steps.look import as_record, look  # slow to import

    with showing_progress() as progress:
        found = look(
            photo, size=size, corners=corners, rows=rows, columns=columns, divisions=divisions, progress=progress
        )
    if as_json:
        print_json(as_record(found.reading))
    else:
        _print(found)


@contextmanager
def showing_progress() -> Iterator[Progress | None]:
    """Show what is being done, on one line of a terminal; nothing where nobody watches."""
    if not sys.stderr.isatty():
        yield None
        return

    def told(stage: str, part: float) -> None:
        click.echo(f"\r\x1b[K{stage} ... {round(100 * part)} %", nl=False, err=True)

    try:
        yield told
    finally:
        click.echo("\r\x1b[K", nl=False, err=True)


def _print(found: Look) -> None:
    from seamlore.steps.look import answer, facts, in_100  # as above

    reading = found.reading
    unit = Unit.CM if reading.unit == "cm" else Unit.INCH
    say(answer(reading, unit), bold=True)
    names = {
        "block": "block, width",
        "block_down": "block, height",
        "sashing": "between columns",
        "sashing_down": "between rows",
    }
    for key, said in facts(reading, unit).items():
        say(f"  {names[key]}: {said}, measured on the photograph")
    if reading.unit == "width" and reading.block_size:
        width, height = reading.block_size
        say(
            f"  block {width:.4f} by {height:.4f} of the quilt's width; give --size to have it in inches or centimeters"
        )
    for kind in reading.kinds or ():
        pieced = f"{len(kind.patches)} patches on {kind.divisions} divisions" if len(kind.patches) > 1 else "plain"
        blocks = "1 block" if kind.count == 1 else f"{kind.count} blocks"
        say(f"  {blocks}: {pieced}, {in_100(kind.confidence)} sure of the seams")
    odd = [each for each in reading.blocks or () if each.turn or each.mirrored or each.differs or each.kind is None]
    for each in odd:
        ways = (
            [f"turned {each.turn} degrees"] * bool(each.turn)
            + ["mirrored"] * each.mirrored
            + (["not read"] if each.kind is None else ["different"] * each.differs)
        )
        say(f"  row {each.row + 1}, column {each.column + 1}: {', '.join(ways)}")
    if reading.fabrics:
        say(f"  {len(reading.fabrics)} fabrics told apart")
    say(f"  how sure: {in_100(reading.confidence.grid)} of rows, columns and setting")
    corners = " ".join(f"{x:.0f},{y:.0f}" for x, y in reading.corners)
    say(f"  corners {reading.corners_from}: {corners}")
    for warning in reading.warnings:
        say(f"  ! {warning}", fg="yellow")
