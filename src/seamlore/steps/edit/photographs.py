"""Change the photographs of a study: add others than the front, say what they show, lay them on the quilt."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

import msgspec

from seamlore.errors import PhotoError, SeamloreError
from seamlore.limits import whole_number
from seamlore.photo.frame import Frame, check_corners
from seamlore.steps.edit.condition import day
from seamlore.steps.study.job import Job
from seamlore.steps.study.sections import Photograph, Photographs

SHOWS: dict[str, str] = {
    "front": "the whole front",
    "back": "the whole back",
    "behind": "the top from behind",
    "detail": "a detail",
    "label": "a label or an inscription",
    "stage": "a stage of the work",
    "fabric": "a fabric at hand",
}
MOST = 60


def added(job: Job, new: Photograph, shows: str, taken: str) -> tuple[Photographs, str]:
    """Add a photograph behind those that there are; the front that is read stays the one.

    Raises
    ------
    SeamloreError
        When it is there already, or there are too many.
    """
    now = job.inputs.photographs.photographs
    if any(each.sha == new.sha for each in now):
        raise PhotoError(new.name, "this photograph is here already", "choose another")
    if len(now) >= MOST:
        raise PhotoError(f"more than {MOST} photographs", "no study needs so many", "leave some out")
    if shows not in SHOWS:
        raise PhotoError(f'"{shows[:20]}"', f"a photograph shows {', '.join(SHOWS.values())}", "choose one of them")
    made = msgspec.structs.replace(new, shows=shows, taken=day(taken) or None)
    return Photographs(photographs=(*now, made)), f"added a photograph: {SHOWS[shows]}"


def changed(job: Job, sha: str, typed: Mapping[str, str], corners: Any) -> tuple[Photographs, str]:
    """Say what a photograph shows and when it was taken, and lay it on the quilt.

    Parameters
    ----------
    job : Job
    sha : str
    typed : mapping of str to str
        "shows", "side", "taken"; "row_from", "row_to", "column_from", "column_to" of the blocks that its corners
        enclose, all empty for the whole quilt.
    corners : four (x, y) or None
        In its pixels, clockwise as seen; None leaves it where it is.

    Raises
    ------
    SeamloreError
    """
    now = job.inputs.photographs.photographs
    index = next((number for number, each in enumerate(now) if each.sha == sha), None)
    if index is None:
        raise PhotoError("a photograph that is not there", "it was taken away", "load the page again")
    given: dict[str, Any] = {}
    if "taken" in typed:
        given["taken"] = day(typed["taken"]) or None
    if now[index] is not job.inputs.photographs.front:
        given |= {"shows": typed["shows"]} if typed.get("shows") in SHOWS else {}
        given |= {"side": typed["side"]} if typed.get("side") in ("front", "back") else {}
        if corners is not None:
            points = check_corners(corners, now[index].size)
            given["corners"] = tuple((float(x), float(y)) for x, y in points)
            given["part"] = _part(job, typed)
            left, top, right, bottom = given["part"]
            Frame(given["corners"], (right - left, bottom - top))
    made = msgspec.structs.replace(now[index], **given)
    says = "laid a photograph on the quilt" if corners is not None else "said what a photograph shows"
    return Photographs(photographs=(*now[:index], made, *now[index + 1 :])), says


def _part(job: Job, typed: Mapping[str, str]) -> tuple[float, float, float, float]:
    """Which part of the quilt the blocks asked for take up."""
    words = {name: typed.get(name, "").strip() for name in ("column_from", "row_from", "column_to", "row_to")}
    if not any(words.values()):
        return (0.0, 0.0, 1.0, 1.0)
    reading = job.reading
    spans = {
        "column": (reading.column_spans or (), reading.size[0]),
        "row": (reading.row_spans or (), reading.size[1]),
    }
    found = []
    for name, text in words.items():
        axis, _, end = name.partition("_")
        given, whole = spans[axis]
        number = whole_number(text)
        if number is None or not 1 <= number <= len(given):
            raise SeamloreError(
                f'{axis} "{text[:9]}"',
                f"there are {len(given)} {axis}s",
                "count them on the front; leave all empty for the whole",
            )
        edge = given[number - 1][end == "to"]
        found.append(min(max(edge / whole, 0.0), 1.0))
    left, top, right, bottom = found
    if not (left < right and top < bottom):
        raise SeamloreError(
            "blocks from last to first", "the first comes before the last", "enter them the other way"
        )
    return left, top, right, bottom


def removed(job: Job, sha: str) -> tuple[Photographs, str]:
    """Take a photograph out of the study; its notes stay and are found again when it comes back.

    Raises
    ------
    PhotoError
        When it is the front that is read.
    """
    now = job.inputs.photographs
    found = next((each for each in now.photographs if each.sha == sha), None)
    if found is None:
        raise PhotoError("a photograph that is not there", "it was taken away", "load the page again")
    if found is now.front:
        raise PhotoError("the front that is read", "all else rests on it", "use another front on the page Look")
    rest = tuple(each for each in now.photographs if each is not found)
    return Photographs(photographs=rest), f"took out a photograph: {SHOWS[found.shows]}"
