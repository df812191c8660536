"""`seamlore shelf`: what is on the shelf, its backups, and putting one back."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import click

from seamlore.cli import shelf_out, shelf_studies
from seamlore.cli.common import json_option, print_json, shelf_option
from seamlore.cli.shelf_studies import asked, its_shelf


@click.group("shelf", invoke_without_command=True)
@shelf_option
@json_option
@click.pass_context
def command(context: click.Context, shelf: Path, as_json: bool) -> None:
    """List the quilts on the shelf, the one changed last first; find, send and take them; back it up."""
    context.obj = (shelf, as_json)
    if context.invoked_subcommand is None:
        _list(shelf, as_json)


def _list(folder: Path, as_json: bool) -> None:
    from seamlore.shelf.shelf import Shelf  # the database: help does not need it

    with Shelf(folder, begin=False) as opened:
        entries = opened.studies()
    if as_json:
        print_json(
            {
                "folder": str(folder),
                "studies": [{"number": each.number, "name": each.name, "changed": each.changed} for each in entries],
            }
        )
        return
    if not entries:
        click.echo(f"The shelf in {folder} is empty. Begin with: seamlore open")
    for each in entries:
        click.echo(f"{each.name}   (changed {each.changed[:10]})")


@command.command("backup")
@its_shelf
@json_option
@click.pass_context
def backup(context: click.Context, shelf: Path | None, as_json: bool) -> None:
    """Make a backup now; the four newest are kept, and one for each of the last seven days."""
    from seamlore.shelf.shelf import Shelf  # as above

    folder, as_json = asked(context, shelf, as_json)
    with Shelf(folder, begin=False) as opened:
        made = opened.backup()
    if as_json:
        print_json({"folder": str(folder), "backup": _record(made)})
    else:
        click.echo(f"A backup was made: {made.path}")


@command.command("restore")
@click.argument("name", metavar="[BACKUP]", default="newest")
@click.option("--list", "only_list", is_flag=True, help="List the backups, the newest first, and change nothing.")
@its_shelf
@json_option
@click.pass_context
def restore(context: click.Context, name: str, only_list: bool, shelf: Path | None, as_json: bool) -> None:
    """Put BACKUP, the newest when none is named, in the shelf's place.

    The shelf as it is goes into the row of backups first, or beside it when it is damaged: nothing is thrown away.
    Photographs stay as they are.
    """
    from seamlore.shelf.backups import backups_in  # as above
    from seamlore.shelf.opening import BACKUPS
    from seamlore.shelf.shelf import Shelf

    folder, as_json = asked(context, shelf, as_json)
    if only_list:
        row = backups_in(folder / BACKUPS)
        if as_json:
            print_json({"folder": str(folder), "backups": [_record(each) for each in row]})
        for each in row if not as_json else ():
            click.echo(f"{each.name}   (made {each.says})")
        if not row and not as_json:
            click.echo(f"There is no backup in {folder}.")
        return
    with Shelf(folder, restore=name) as opened:
        entries, restored = opened.studies(), opened.restored
    assert restored is not None
    if as_json:
        print_json({"folder": str(folder), "backup": _record(restored), "studies": len(entries)})
    else:
        quilts = f"{len(entries)} quilt{'s' * (len(entries) != 1)}"
        click.echo(f"The shelf is as it was on {restored.says}: {quilts}.")


def _record(made: Any) -> dict[str, str]:
    return {"name": made.name, "made": made.made.isoformat()}


shelf_studies.add_to(command)
shelf_out.add_to(command)
