"""`seamlore shelf`, what leaves: a study as one zip, quilts in open formats, a catalogue, a web page."""

from __future__ import annotations

import datetime
import sys
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

import click

from seamlore.cli.common import FileWord, FolderWord, json_option, print_json, say
from seamlore.cli.shelf_studies import asked, its_shelf


def add_to(group: click.Group) -> None:
    """Put the commands into a group."""
    for each in (send, export, catalogue, web):
        group.add_command(each)


@click.command("send")
@click.argument("name")
@click.option("--out", type=FileWord(), required=True, help="The zip to write.")
@click.option(
    "--with",
    "chosen",
    multiple=True,
    metavar="WHAT",
    help="What private may leave: owner, price, address, camera, names, or all; may be given again.",
)
@its_shelf
@json_option
@click.pass_context
def send(
    context: click.Context, name: str, out: Path, chosen: tuple[str, ...], shelf: Path | None, as_json: bool
) -> None:
    """Pack the study NAME as one zip, what is private left out of it."""
    from seamlore.files import Written, write
    from seamlore.shelf.shelf import Shelf  # as above
    from seamlore.steps.leaving.sending import send as packed
    from seamlore.steps.leaving.sending import size_words

    folder, as_json = asked(context, shelf, as_json)
    with Shelf(folder, begin=False) as opened:
        sent = packed(opened, opened.named(name).number, _chosen(chosen))
    write([Written(out, sent.data, "the zip")])
    if as_json:
        print_json({"file": str(out), "bytes": len(sent.data), "left_out": list(sent.left_out)})
        return
    say(f"{out} ({size_words(sent.data)})")
    for each in sent.left_out:
        say(f"Left out: {each}.")


@click.command("export")
@click.argument("names", nargs=-1, required=True)
@click.option("--format", "form", required=True, help="csv, lido, dublin-core, schema-org, iiif, svg or dxf.")
@click.option("--out", type=FileWord(), required=True, help="The file to write.")
@click.option("--address", default="", help="Where the file and the photographs will stand on the web.")
@click.option("--with", "chosen", multiple=True, metavar="WHAT", help="What private may leave, as for send.")
@its_shelf
@json_option
@click.pass_context
def export(
    context: click.Context, /, names: tuple[str, ...], shelf: Path | None, as_json: bool, **given: Any
) -> None:
    """Write the studies NAMES in an open format, what is private left out."""
    from seamlore.files import Written, write
    from seamlore.shelf.shelf import Shelf  # as above
    from seamlore.steps.leaving.exporting import export as exported
    from seamlore.steps.leaving.sending import size_words

    folder, as_json = asked(context, shelf, as_json)
    chosen = _chosen(given["chosen"])
    with Shelf(folder, begin=False) as opened:
        numbers = [opened.named(name).number for name in names]
        data, made = exported(opened, numbers, given["form"], chosen, address=given["address"])
    write([Written(given["out"], data, made.file)])
    if as_json:
        print_json({"file": str(given["out"]), "bytes": len(data), "format": given["form"]})
    else:
        say(f"{given['out']} ({size_words(data)})")


@click.command("catalogue")
@click.argument("names", nargs=-1)
@click.option("--out", type=FileWord(), required=True, help="The PDF to write.")
@click.option("--title", default="", help="What it is called.")
@click.option("--paper", type=click.Choice(["letter", "a4"]), default="letter", show_default=True)
@click.option("--with", "chosen", multiple=True, metavar="WHAT", help="What private may leave, as for send.")
@its_shelf
@json_option
@click.pass_context
def catalogue(
    context: click.Context, /, names: tuple[str, ...], shelf: Path | None, as_json: bool, **given: Any
) -> None:
    """Print a catalogue of the studies NAMES, of the whole shelf when none is named."""
    from seamlore.shelf.shelf import Shelf  # as above
    from seamlore.steps.leaving.catalogue import catalogue_pdf

    folder, as_json = asked(context, shelf, as_json)
    with Shelf(folder, begin=False) as opened, _progress(as_json) as tell:
        data = catalogue_pdf(
            opened,
            _numbers(opened, names),
            printed=datetime.date.today(),
            title=given["title"],
            chosen=_chosen(given["chosen"]),
            paper=given["paper"],
            tell=tell,
        )
    _write(given["out"], data, "the catalogue", as_json)


@click.command("web")
@click.argument("names", nargs=-1)
@click.option("--out", type=FolderWord(), required=True, help="The folder to write into.")
@click.option("--title", default="", help="What it is called.")
@click.option("--address", default="", help="Where the folder will stand on the web.")
@click.option("--with", "chosen", multiple=True, metavar="WHAT", help="What private may leave, as for send.")
@its_shelf
@json_option
@click.pass_context
def web(context: click.Context, /, names: tuple[str, ...], shelf: Path | None, as_json: bool, **given: Any) -> None:
    """Make the web page of the studies NAMES, of the whole shelf when none is named, in a folder of its own."""
    from seamlore.files import Written, write
    from seamlore.shelf.shelf import Shelf  # as above
    from seamlore.steps.leaving.web import web_folder

    folder, as_json = asked(context, shelf, as_json)
    with Shelf(folder, begin=False) as opened, _progress(as_json) as tell:
        files = web_folder(
            opened,
            _numbers(opened, names),
            made=datetime.date.today(),
            title=given["title"],
            chosen=_chosen(given["chosen"]),
            address=given["address"],
            tell=tell,
        )
    out = given["out"]
    for each in {(out / name).parent for name in files}:
        each.mkdir(parents=True, exist_ok=True)
    write([Written(out / name, data, "the web page") for name, data in files.items()])
    if as_json:
        print_json({"folder": str(out), "files": sorted(files)})
    else:
        say(f"{out / 'index.html'} ({len(files)} files)")


def _numbers(opened: Any, names: tuple[str, ...]) -> list[int]:
    return [opened.named(name).number for name in names] or [each.number for each in opened.studies()]


def _chosen(words: tuple[str, ...]) -> tuple[str, ...]:
    from seamlore.steps.leaving.private import PRIVATE  # as above

    return tuple(PRIVATE) if "all" in words else words


def _write(path: Path, data: bytes, what: str, as_json: bool) -> None:
    from seamlore.files import Written, write
    from seamlore.steps.leaving.sending import size_words  # as above

    write([Written(path, data, what)])
    if as_json:
        print_json({"file": str(path), "bytes": len(data)})
    else:
        say(f"{path} ({size_words(data)})")


@contextmanager
def _progress(as_json: bool) -> Iterator[Callable[[str, float], None]]:
    """Show on a terminal how far the work is."""
    shows = sys.stderr.isatty() and not as_json

    def tell(stage: str, part: float) -> None:
        if shows:
            click.echo(f"\r{100 * part:3.0f} %  {stage[:60]:60}", nl=False, err=True)

    yield tell
    if shows:
        click.echo("", err=True)
