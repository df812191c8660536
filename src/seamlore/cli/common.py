"""What several commands share: lengths, counts and files as options, printing JSON."""

from __future__ import annotations

import json
from collections.abc import Callable
from pathlib import Path
from typing import Any

import click

from seamlore.errors import SeamloreError
from seamlore.lengths import Length, length, pair, size
from seamlore.limits import percent, whole_number
from seamlore.wording import reworded


def usual_shelf() -> Path:
    """Give the folder that the shelf is kept in when none is named: Seamlore, in the user's documents."""
    return Path.home() / "Documents" / "Seamlore"


class LengthWord(click.ParamType[Length]):
    """A length with its unit on the command line."""

    name = "length"

    def convert(self, value: Any, param: click.Parameter | None, ctx: click.Context | None) -> Length:
        """Read it; a wrong one is refused in the words of `lengths`."""
        return value if isinstance(value, Length) else length(value)


class SizeWord(click.ParamType[tuple[Length, Length]]):
    """A width and a height on the command line, such as 74x88in; one length serves for both."""

    name = "size"

    def convert(self, value: Any, param: click.Parameter | None, ctx: click.Context | None) -> tuple[Length, Length]:
        """Read it; a wrong one is refused in the words of `lengths`."""
        return value if isinstance(value, tuple) else size(value)


class SideWord(SizeWord):
    """A width and a height, or one length for both sides of a square."""

    def convert(self, value: Any, param: click.Parameter | None, ctx: click.Context | None) -> tuple[Length, Length]:
        """Read it; a wrong one is refused in the words of `lengths`."""
        return value if isinstance(value, tuple) else pair(value)


class CountWord(click.ParamType[int]):
    """A whole number on the command line; 0 and less are left to the step, which says why not."""

    name = "number"

    def convert(self, value: Any, param: click.Parameter | None, ctx: click.Context | None) -> int:
        """Read it; what is none is refused in one short line."""
        if isinstance(value, int):
            return value
        text = str(value).strip()
        number = whole_number(text.removeprefix("-"))
        if number is None:
            named = param.opts[0] if param else "a number"
            raise SeamloreError(f'{named} "{text}"', "it is a whole number", "write it in digits, such as 7")
        return -number if text.startswith("-") else number


class PercentWord(click.ParamType[Any]):
    """A share in percent on the command line, such as 5% or 2.5; a part of the whole once read."""

    name = "percent"

    def convert(self, value: Any, param: click.Parameter | None, ctx: click.Context | None) -> Any:
        """Read it; what is none is refused in one short line."""
        if not isinstance(value, str):
            return value
        share = percent(value)
        if share is None:
            named = param.opts[0] if param else "a share"
            raise SeamloreError(f'{named} "{value}"', "it is a number of percent", "write it as 5%")
        return share


class FileWord(click.ParamType[Path]):
    """A file to write on the command line."""

    name = "file"

    def convert(self, value: Any, param: click.Parameter | None, ctx: click.Context | None) -> Path:
        """Take its name; an empty one is refused."""
        if not str(value).strip():
            named = param.opts[0] if param else f"a {self.name}"
            raise SeamloreError(f'{named} ""', f"a {self.name} has a name", "name one, or leave it out")
        return Path(value)


class FolderWord(FileWord):
    """A folder on the command line."""

    name = "folder"

    def convert(self, value: Any, param: click.Parameter | None, ctx: click.Context | None) -> Path:
        """Take its name; an empty one, and that of a file, is refused."""
        path = super().convert(value, param, ctx)
        try:
            is_file = path.exists() and not path.is_dir()
        except (OSError, ValueError) as fault:
            reason = (getattr(fault, "strerror", None) or "no folder can have that name").lower()
            raise SeamloreError(str(path), f"it is no folder: {reason}", "name another") from None
        if is_file:
            raise SeamloreError(str(path), "it is a file, and a folder is wanted", "name another")
        return path


shelf_option = click.option(
    "--shelf",
    type=FolderWord(),
    default=usual_shelf,
    show_default="Seamlore, in your documents",
    help="The folder that the shelf is kept in.",
)
json_option = click.option("--json", "as_json", is_flag=True, help="Print one JSON object and nothing else.")


def print_json(record: Callable[[], Any] | Any) -> None:
    """Print one JSON object on standard output."""
    click.echo(json.dumps(record, ensure_ascii=False, allow_nan=False))


def say(line: str = "", *, bold: bool = False, fg: str | None = None) -> None:
    """Print a line, in British words when these were asked for."""
    click.secho(reworded(line), bold=bold, fg=fg)
