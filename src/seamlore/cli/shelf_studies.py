"""`seamlore shelf`, what it does with studies: find, take, set aside, take back, duplicate, delete; their figures."""

from __future__ import annotations

import stat
from collections.abc import Callable
from pathlib import Path
from typing import Any

import click

from seamlore.cli.common import CountWord, json_option, print_json, say, usual_shelf
from seamlore.errors import SeamloreError

its_shelf = click.option(
    "--shelf",
    type=click.Path(path_type=Path, file_okay=False),
    help="The folder that the shelf is kept in.",
)


def asked(context: click.Context, shelf: Path | None, as_json: bool) -> tuple[Path, bool]:
    """Give the folder and whether JSON is wanted, said behind the command or behind what it is to do."""
    outer, outer_json = context.obj
    return shelf or outer or usual_shelf(), as_json or outer_json


def add_to(group: click.Group) -> None:
    """Put the commands into a group."""
    for each in (find, cloth, work, take, aside, back, delete, duplicate):
        group.add_command(each)


@click.command("find")
@click.argument("words", nargs=-1)
@click.option("--block", default="", help="Only quilts with this block.")
@click.option("--setting", default="", help='Only quilts set so, such as "on point".')
@click.option("--fabric", default="", help="Only quilts with this fabric or clue.")
@click.option("--condition", default="", help="Only quilts in this condition.")
@click.option("--decision", default="", help="Only quilts of which this was decided.")
@click.option("--tag", default="", help="Only quilts with this tag.")
@click.option("--years", default="", help='Only quilts that may have been made then, such as "1880 to 1910".')
@click.option("--order", default="changed", show_default=True, help="changed, name, accession, year or size.")
@click.option("--aside", is_flag=True, help="Those that were set aside.")
@its_shelf
@json_option
@click.pass_context
def find(context: click.Context, /, words: tuple[str, ...], shelf: Path | None, as_json: bool, **given: Any) -> None:
    """Find quilts by the beginnings of words in all that is known of them."""
    from seamlore.shelf.shelf import Shelf  # the database: help does not need it
    from seamlore.steps.shelf.cards import FILTERS
    from seamlore.steps.shelf.find import Wanted
    from seamlore.steps.shelf.find import find as found_by

    folder, as_json = asked(context, shelf, as_json)
    marks = {kind: given[kind] for kind in FILTERS}
    wanted = Wanted(" ".join(words), marks, given["years"], given["order"], given["aside"])
    with Shelf(folder, begin=False) as opened:
        found = found_by(opened, wanted, most=1_000_000)
    if as_json:
        print_json({"folder": str(folder), "count": found.count, "studies": [_record(each) for each in found.quilts]})
        return
    for each in found.quilts:
        say(f"{each.name}   ({', '.join(each.lines)})")
    say(f"{found.count} found.")


def _record(each: Any) -> dict[str, Any]:
    years = each.listed.years
    return {
        "number": each.number,
        "name": each.name,
        "identity": each.listed.identity,
        "accession": each.listed.accession,
        "years": list(years) if years else None,
        "blocks": list(each.facts.figures.blocks) if each.facts.figures else None,
        "changed": each.listed.entry.changed,
    }


@click.command("cloth")
@click.argument("name")
@click.argument("fabric", type=CountWord())
@its_shelf
@json_option
@click.pass_context
def cloth(context: click.Context, name: str, fabric: int, shelf: Path | None, as_json: bool) -> None:
    """Look for FABRIC of the study NAME, as the page Fabrics counts them, in all other quilts: the surest first."""
    from seamlore.shelf.shelf import Shelf  # as above
    from seamlore.steps.shelf.elsewhere import elsewhere
    from seamlore.steps.shelf.working import work_out_one

    folder, as_json = asked(context, shelf, as_json)
    with Shelf(folder, begin=False) as opened:
        number = opened.named(name).number
        found = elsewhere(opened, number, fabric - 1)
        if found is None:
            work_out_one(opened, number)
            found = elsewhere(opened, number, fabric - 1)
    if found is None:
        raise SeamloreError(
            f'the cloths of "{name}"',
            "they are not known at one scale",
            "add a photograph, and the quilt's width and height by tape",
        )
    if as_json:
        print_json(
            {
                "folder": str(folder),
                "name": name,
                "fabric": fabric,
                "says": found.says,
                "not_enough": found.why_not,
                "cloths": found.cloths,
                "quilts": found.quilts,
                "stands": [_stand(each) for each in found.stands],
            }
        )
        return
    say(f"{found.says}.")
    if found.why_not:
        say(f"Not enough to tell: {found.why_not}.")
    for each in found.stands:
        say(f"{each.quilt.name}, fabric {each.fabric + 1}: {each.says}.")


def _stand(each: Any) -> dict[str, Any]:
    return {
        "number": each.quilt.number,
        "name": each.quilt.name,
        "fabric": each.fabric + 1,
        "chance": each.chance,
        "not_enough": each.why_not,
        "figures_held": each.looked_at,
        "made": [each.dated.first, each.dated.last] if each.dated else None,
        "lends": {"when": each.lent.when, "trust": each.lent.trust} if each.lent and each.lent.when else None,
    }


@click.command("work")
@its_shelf
@json_option
@click.pass_context
def work(context: click.Context, shelf: Path | None, as_json: bool) -> None:
    """Work out the figures of every quilt whose photograph was not read since it changed, for lists and comparisons."""
    from seamlore.shelf.shelf import Shelf  # as above
    from seamlore.steps.shelf.working import work_out_all

    folder, as_json = asked(context, shelf, as_json)
    with Shelf(folder, begin=False) as opened:
        done = work_out_all(opened, tell=(lambda line: None) if as_json else say)
    if as_json:
        print_json({"folder": str(folder), "worked_out": done.count, "not": list(done.faults)})
        return
    for line in done.faults:
        say(line)
    say(f"The figures of {done.count} quilt{'s' * (done.count != 1)} were worked out.")


@click.command("take")
@click.argument("zips", nargs=-1, required=True, type=click.Path(path_type=Path))
@click.option(
    "--as-copy", is_flag=True, help="Where the same study is there and has changed, put this one beside it."
)
@its_shelf
@json_option
@click.pass_context
def take(context: click.Context, zips: tuple[Path, ...], as_copy: bool, shelf: Path | None, as_json: bool) -> None:
    """Put the studies in ZIPS on the shelf, each whole or not at all."""
    from seamlore.shelf.shelf import Shelf  # as above
    from seamlore.steps.leaving.sending import take as taken
    from seamlore.steps.leaving.zipped import MOST_IN_ALL

    folder, as_json = asked(context, shelf, as_json)
    done = []
    with Shelf(folder) as opened:
        for path in zips:
            done.append(taken(opened, _read(path, MOST_IN_ALL), source=path.name, as_copy=as_copy))
    if as_json:
        print_json(
            {"folder": str(folder), "taken": [{"number": e.number, "name": e.name, "fresh": e.fresh} for e in done]}
        )
        return
    for each in done:
        say(each.says)


def _read(path: Path, most: int) -> bytes:
    try:
        there = path.stat()
        if not stat.S_ISREG(there.st_mode):
            raise SeamloreError(str(path), "it is no file, and a zip is one", "save the zip as a file first")
        if there.st_size > most:
            raise SeamloreError(str(path), f"a study has at most {most // 2**30} GB", "check the name of the file")
        return path.read_bytes()
    except OSError as fault:
        reason = (fault.strerror or "the disk refused").lower()
        raise SeamloreError(str(path), f"the zip cannot be read: {reason}", "check the name of the file") from None


def _on(
    context: click.Context, name: str, shelf: Path | None, as_json: bool, do: Callable[..., Any], says: str
) -> None:
    """Do something with one study, set aside or not, and say that it was done."""
    from seamlore.shelf.collection import Collection  # as above
    from seamlore.shelf.shelf import Shelf

    folder, as_json = asked(context, shelf, as_json)
    with Shelf(folder, begin=False) as opened:
        entry = opened.named(name, aside=True)
        result = do(Collection(opened), entry.number)
        made = opened.entry(result).name if isinstance(result, int) else ""
    if as_json:
        print_json({"folder": str(folder), "name": entry.name, "done": says, **({"made": made} if made else {})})
    else:
        say(f'"{entry.name}" {says}' + (f' as "{made}".' if made else "."))


@click.command("aside")
@click.argument("name")
@its_shelf
@json_option
@click.pass_context
def aside(context: click.Context, name: str, shelf: Path | None, as_json: bool) -> None:
    """Set the study NAME aside: it stands in no list, and can be taken back."""
    _on(context, name, shelf, as_json, lambda collection, number: collection.set_aside(number), "was set aside")


@click.command("back")
@click.argument("name")
@its_shelf
@json_option
@click.pass_context
def back(context: click.Context, name: str, shelf: Path | None, as_json: bool) -> None:
    """Take the study NAME back that was set aside."""
    _on(
        context,
        name,
        shelf,
        as_json,
        lambda collection, number: collection.take_back(number),
        "is on the shelf again",
    )


@click.command("duplicate")
@click.argument("name")
@its_shelf
@json_option
@click.pass_context
def duplicate(context: click.Context, name: str, shelf: Path | None, as_json: bool) -> None:
    """Put the study NAME on the shelf once more, to be changed without changing the first."""
    _on(context, name, shelf, as_json, lambda collection, number: collection.duplicate(number), "was duplicated")


@click.command("delete")
@click.argument("name")
@click.option("--yes", is_flag=True, help="Delete it without asking.")
@its_shelf
@json_option
@click.pass_context
def delete(context: click.Context, name: str, yes: bool, shelf: Path | None, as_json: bool) -> None:
    """Delete the study NAME for good, after it was set aside: it, its history, and photographs that no other has."""
    from seamlore.shelf.shelf import Shelf  # as above

    if not yes:
        with Shelf(asked(context, shelf, as_json)[0]) as opened:
            name = opened.named(name, aside=True).name
        click.confirm(
            f'Delete "{name}" for good, with its history and its photographs? This cannot be undone.',
            abort=True,
            err=True,
        )
    _on(context, name, shelf, as_json, lambda collection, number: collection.delete(number), "was deleted for good")
