"""What several commands share: reading files, lengths as options, printing JSON."""

from __future__ import annotations

import json
from collections.abc import Callable
from pathlib import Path
from typing import Any

import click

from seamlore.errors import SeamloreError
from seamlore.lengths import Length, length, size


def usual_shelf() -> Path:
    """Give the folder that the shelf is kept in when none is named: Seamlore, in the user's documents."""
    return Path.home() / "Documents" / "Seamlore"


shelf_option = click.option(
    "--shelf",
    type=click.Path(path_type=Path, file_okay=False),
    default=usual_shelf,
    show_default="Seamlore, in your documents",
    help="The folder that the shelf is kept in.",
)
json_option = click.option("--json", "as_json", is_flag=True, help="Print one JSON object and nothing else.")


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
        if isinstance(value, tuple):
            return value
        try:
            side = length(value)
        except SeamloreError as fault:
            try:
                return size(value)
            except SeamloreError:
                # Said of the length alone, which is the likelier slip where nothing says "by".
                if any(word in value.lower() for word in ("x", "×", "by")):
                    raise
                raise fault from None
        return side, side


def read_text(path: Path, what: str) -> str:
    """Read a text file that a user named.

    Raises
    ------
    SeamloreError
        When it is not there, is a folder, or is not text.
    """
    try:
        return path.read_text(encoding="utf-8-sig")
    except UnicodeDecodeError:
        raise SeamloreError(f"{path.name}", f"{what} is a text file in UTF-8", "save it as plain text") from None
    except OSError as fault:
        reason = (fault.strerror or "it cannot be read").lower()
        raise SeamloreError(f"{path}", f"{what} cannot be read: {reason}", "check the name of the file") from None


def write_text(path: Path, text: str, what: str) -> None:
    """Write a text file whole or not at all.

    Raises
    ------
    SeamloreError
        When it cannot be written.
    """
    part = path.with_name(path.name + ".part")
    try:
        part.write_text(text, encoding="utf-8")
        part.replace(path)
    except OSError as fault:
        reason = (fault.strerror or "it cannot be written").lower()
        raise SeamloreError(str(path), f"{what} cannot be written: {reason}", "choose another place") from None


def print_json(record: Callable[[], Any] | Any) -> None:
    """Print one JSON object on standard output."""
    click.echo(json.dumps(record, ensure_ascii=False, allow_nan=False))


def american(option: str) -> str:
    """Take the British spelling of an option for the American one.

    Examples
    --------
    >>> american("mitred"), american("border")
    ('mitered', 'border')
    """
    return {"mitred": "mitered"}.get(option, option)
