"""`seamlore assess`: the state of a quilt from notes and a reading."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import click

from seamlore.cli.common import json_option, print_json, say
from seamlore.errors import SeamloreError
from seamlore.files import read_text
from seamlore.limits import FILE_BYTES
from seamlore.wording import keep_words

if TYPE_CHECKING:
    from seamlore.steps.assess.record import FromFiles


@click.command("assess")
@click.argument("notes", type=click.Path(path_type=Path))
@click.argument("reading", type=click.Path(path_type=Path))
@click.option(
    "--photograph",
    type=click.Path(path_type=Path),
    metavar="FILE",
    help="The one that was read, where notes are of several.",
)
@json_option
def command(notes: Path, reading: Path, photograph: Path | None, as_json: bool) -> None:
    """Reckon the state of a quilt: what share of it, of each fabric and of each block is affected, and what is sound.

    NOTES are Web Annotations, as the page Assess saves them; READING is what seamlore look --json printed for the same
    photograph.
    """
    from seamlore.steps.assess.record import as_record, from_files  # arrays: slow to import, and help needs none

    files = from_files(
        read_text(notes, "a file of notes", most=FILE_BYTES),
        read_text(reading, "a reading", most=FILE_BYTES),
        notes_name=notes.name,
        photograph=None if photograph is None else _bytes(photograph),
        reading_name=reading.name,
    )
    if as_json:
        print_json(as_record(files.found, files.weak))
    else:
        _print(files)


def _bytes(path: Path) -> bytes:
    try:
        if not path.is_file():
            raise SeamloreError(str(path), "it is no file", "give the photograph that was read")
        return path.read_bytes()
    except OSError as fault:
        reason = (fault.strerror or "the disk refused").lower()
        raise SeamloreError(str(path), f"it cannot be read: {reason}", "check the name of the file") from None


def _print(files: FromFiles) -> None:
    from seamlore.steps.assess.words import answer, note_words, percent  # as above

    found = files.found
    keep_words([*(each.says for each in found.notes), *(each.of for each in found.notes)])
    say(f"{answer(found)}.\n", bold=True)
    for part in found.survey.parts:
        say(f"  {part.of}: {percent(part.part)}")
    for verdict in ("lost", "doubtful"):
        blocks = [each for each in found.survey.blocks if each.verdict == verdict]
        if blocks:
            say(f"\n{verdict.capitalize()}", bold=True)
            for block in blocks:
                say(f"  {block.called}: {', '.join(block.reasons)}")
    lists = (
        ("Notes", [note_words(each) for each in found.notes]),
        ("Weak cloth", files.weak),
        ("Where to look next", [each.words for each in found.to_test]),
    )
    for heading, lines in lists:
        if lines:
            say(f"\n{heading}", bold=True)
            for line in lines:
                say(f"  {line}")
    if files.left_out:
        say(f"\nLeft out: {files.left_out} note{'s' * (files.left_out != 1)} of other photographs.")
