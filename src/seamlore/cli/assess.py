"""`seamlore assess`: the state of a quilt from notes and a reading."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import click

from seamlore.cli.common import json_option, print_json, say
from seamlore.files import read_text
from seamlore.limits import FILE_BYTES
from seamlore.wording import keep_words

if TYPE_CHECKING:
    from seamlore.steps.assess.assess import Assessed


@click.command("assess")
@click.argument("notes", type=click.Path(path_type=Path))
@click.argument("reading", type=click.Path(path_type=Path))
@json_option
def command(notes: Path, reading: Path, as_json: bool) -> None:
    """Reckon the state of a quilt: what share of it, of each fabric and of each block is affected, and what is sound.

    NOTES are Web Annotations, as the page Assess saves them; READING is what seamlore look --json printed for the same
    photograph.
    """
    from seamlore.steps.assess.record import as_record, from_files  # arrays: slow to import, and help needs none

    found = from_files(
        read_text(notes, "a file of notes", most=FILE_BYTES),
        read_text(reading, "a reading", most=FILE_BYTES),
        notes_name=notes.name,
        reading_name=reading.name,
    )
    if as_json:
        print_json(as_record(found))
    else:
        _print(found)


def _print(found: Assessed) -> None:
    from seamlore.steps.assess.words import answer, note_words, percent  # as above

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
        ("Weak cloth", [f"{each.called}: {each.why}" for each in found.suspects]),
        ("Where to look next", [each.words for each in found.to_test]),
    )
    for heading, lines in lists:
        if lines:
            say(f"\n{heading}", bold=True)
            for line in lines:
                say(f"  {line}")
