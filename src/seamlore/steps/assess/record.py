"""The state of a quilt as one JSON object, and from files: what the command line works on."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from hashlib import sha256
from typing import Any

from seamlore.condition.annotation import page, read_page
from seamlore.condition.ground import ground_of
from seamlore.condition.notes import Note, checked_outline
from seamlore.errors import NotationError, ShapeError
from seamlore.photo.frame import Frame
from seamlore.photo.reading import read_reading
from seamlore.steps.assess.around import strips_of, strips_read
from seamlore.steps.assess.assess import Assessed, assess, fabric_names, reckoned
from seamlore.steps.assess.frames import LaidPhotograph, check_on_quilt
from seamlore.steps.assess.words import weak_words
from seamlore.steps.study.condition import Condition
from seamlore.steps.study.job import Job
from seamlore.steps.study.sections import Photograph


def notes_page(job: Job) -> dict[str, Any]:
    """Give the notes of a study as a page of W3C Web Annotations."""
    return page(job.inputs.notes.annotations)


@dataclass(frozen=True, slots=True)
class FromFiles:
    """What files tell of a quilt.

    Parameters
    ----------
    found : Assessed
    weak : tuple of str
        What hand tests found, a sentence each.
    left_out : int
        How many notes of other photographs the file holds.
    """

    found: Assessed
    weak: tuple[str, ...]
    left_out: int = 0


def from_files(
    notes: str, reading: str, *, photograph: bytes | None = None, notes_name: str = "", reading_name: str = ""
) -> FromFiles:
    """Reckon the state of a quilt from a page of notes and the reading of the photograph that they were drawn on.

    Parameters
    ----------
    notes : str
        As the page Assess saves them.
    reading : str
        As `seamlore look --json` prints it.
    photograph : bytes, optional
        The one that was read. Notes of others are left out: where these lie on the quilt the reading does not say.

    Raises
    ------
    SeamloreError
        When one of them is something else, the notes are of several photographs and none is given, or none is of it.
    """
    seen = read_reading(reading, source=reading_name)
    drawn = tuple(
        _checked(each, number, seen.photo_size)
        for number, each in enumerate(read_page(notes, notes_name or "the notes"), start=1)
    )
    every = len(drawn)
    if photograph is not None:
        name = sha256(photograph).hexdigest()
        drawn = tuple(each for each in drawn if each.photograph == name)
        if every and not drawn:
            raise NotationError(
                f"{every} notes, none of that photograph",
                "they name it by its content",
                "give the very file that was read",
            )
    several = len({each.photograph for each in drawn})
    if several > 1:
        raise NotationError(
            f"notes of {several} photographs",
            "a reading is of one",
            "say which it is with --photograph FILE; those of the others are left out",
        )
    frame = Frame(seen.corners, seen.size, seen.bows)
    where = {each.photograph: LaidPhotograph(Photograph(reference=f"{each.photograph}.jpg"), frame) for each in drawn}
    for each in drawn:
        check_on_quilt(where[each.photograph], seen.size, each)
    found = reckoned(ground_of(seen, names=fabric_names(seen)), seen.unit, drawn, where, Condition())
    return FromFiles(found, tuple(weak_words(found, strips_read(seen, found))), every - len(drawn))


def _checked(note: Note, number: int, photo_size_px: tuple[int, int]) -> Note:
    """Look a note of a file through as one drawn on the page is: mended, or refused with its number and the place."""
    try:
        return replace(note, outline=checked_outline(note.outline, photo_size_px, note.about).outline)
    except ShapeError as fault:
        raise ShapeError(
            fault.given, fault.limit, fault.remedy, where=f"note {number}{f', {fault.where}' if fault.where else ''}"
        ) from None


def as_record(found: Assessed, weak: Iterable[str]) -> dict[str, Any]:
    """Give the state as one JSON object; lengths and areas in its unit, rows and columns from 0 at the top left.

    Parameters
    ----------
    found : Assessed
    weak : iterable of str
        What hand tests found, as `weak_words` says it.
    """
    laid = {each.number: index for index, each in enumerate(found.laid)}

    def area(number: int) -> float | None:
        return float(found.survey.areas[laid[number]]) if number in laid else None

    return {
        "unit": found.unit,
        "notes": [
            {
                "id": each.key,
                "kind": each.kind,
                "severity": each.severity or None,
                "says": each.says,
                "of": each.of,
                "result": each.result or None,
                "area": area(number),
            }
            for number, each in enumerate(found.notes)
        ],
        "parts": [_share(each) for each in found.survey.parts],
        "fabrics": [
            {**_share(each), "patches": each.pieces, "touched": each.touched} for each in found.survey.fabrics
        ],
        "kinds": [{"kind": kind, "spots": spots, "area": size} for kind, spots, size in found.survey.by_kind],
        "blocks": [
            {
                "row": each.at[0],
                "column": each.at[1],
                "verdict": each.verdict,
                "reasons": list(each.reasons),
                "cut": each.cut,
            }
            for each in found.survey.blocks
        ],
        "suspect": [
            {"fabric": each.called, "why": each.why, "patches": each.patches, "blocks": each.blocks}
            for each in found.suspects
        ],
        "weak": list(weak),
        "test_next": [each.words for each in found.to_test],
    }


def record_of(job: Job) -> dict[str, Any]:
    """Give the state of a study as one JSON object."""
    found = assess(job)
    return as_record(found, weak_words(found, strips_of(job, found)))


def _share(share: Any) -> dict[str, Any]:
    return {"of": share.of, "area": share.whole, "affected": share.affected, "share": share.part}
