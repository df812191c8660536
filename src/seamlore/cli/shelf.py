"""`seamlore shelf`: what is on the shelf."""

from __future__ import annotations

from pathlib import Path

import click

from seamlore.cli.common import json_option, print_json, shelf_option


@click.command("shelf")
@shelf_option
@json_option
def command(shelf: Path, as_json: bool) -> None:
    """List the quilts on the shelf, the one changed last first."""
    from seamlore.shelf.shelf import Shelf  # the database: help does not need it

    with Shelf(shelf) as opened:
        entries = opened.studies()
    if as_json:
        print_json(
            {
                "folder": str(shelf),
                "studies": [{"number": each.number, "name": each.name, "changed": each.changed} for each in entries],
            }
        )
        return
    if not entries:
        click.echo(f"The shelf in {shelf} is empty. Begin with: seamlore open")
    for each in entries:
        click.echo(f"{each.name}   (changed {each.changed[:10]})")
