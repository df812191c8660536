"""The state of a quilt as one JSON object, and from files: what the command line works on."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from seamlore.condition.annotation import page, read_page
from seamlore.condition.ground import ground_of
from seamlore.condition.notes import Note, checked_outline
from seamlore.errors import ShapeError
from seamlore.photo.frame import Frame
from seamlore.photo.reading import read_reading
from seamlore.steps.assess.assess import Assessed, fabric_names, reckoned
from seamlore.steps.assess.frames import LaidPhotograph, check_on_quilt
from seamlore.steps.study.condition import Condition
from seamlore.steps.study.job import Job
from seamlore.steps.study.sections import Photograph


def notes_page(job: Job) -> dict[str, Any]:
    """Give the notes of a study as a page of W3C Web Annotations."""
    return page(job.inputs.notes.annotations)


def from_files(notes: str, reading: str, *, notes_name: str = "", reading_name: str = "") -> Assessed:
    """Reckon the state of a quilt from a page of notes and the reading of the photograph that they were drawn on.

    Parameters
    ----------
    notes : str
        As the page Assess saves them.
    reading : str
        As `seamlore look --json` prints it.

    Raises
    ------
    SeamloreError
        When one of them is something else.
    """
    seen = read_reading(reading, source=reading_name)
    drawn = tuple(
        _checked(each, number, seen.photo_size)
        for number, each in enumerate(read_page(notes, notes_name or "the notes"), start=1)
    )
    frame = Frame(seen.corners, seen.size, seen.bows)
    # All notes of the file are of the photograph that was read: others are not known here.
    where = {each.photograph: LaidPhotograph(Photograph(reference=f"{each.photograph}.jpg"), frame) for each in drawn}
    for each in drawn:
        check_on_quilt(where[each.photograph], seen.size, each)
    return reckoned(ground_of(seen, names=fabric_names(seen)), seen.unit, drawn, where, Condition())


def _checked(note: Note, number: int, photo_size_px: tuple[int, int]) -> Note:
    """Look a note of a file through as one drawn on the page is: mended, or refused with its number and the place."""
    try:
        return replace(note, outline=checked_outline(note.outline, photo_size_px, note.about).outline)
    except ShapeError as fault:
        raise ShapeError(
            fault.given, fault.limit, fault.remedy, where=f"note {number}{f', {fault.where}' if fault.where else ''}"
        ) from None


def as_record(found: Assessed) -> dict[str, Any]:
    """Give the state as one JSON object; lengths and areas in its unit, rows and columns from 0 at the top left."""
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
        "test_next": [each.words for each in found.to_test],
    }


def _share(share: Any) -> dict[str, Any]:
    return {"of": share.of, "area": share.whole, "affected": share.affected, "share": share.part}
