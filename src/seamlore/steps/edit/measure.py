"""Set the reading right, put in what the tape says, follow one account of the sums."""

from __future__ import annotations

from collections.abc import Mapping
from functools import partial
from typing import Any

import msgspec

from seamlore.errors import MeasureError
from seamlore.limits import PAGE_DIVISIONS, PAGE_ROWS, TAPE_ROWS
from seamlore.photo.frame import check_corners
from seamlore.steps.edit.edges import bowed, bows_kept
from seamlore.steps.edit.typed import Slips, count, with_unit
from seamlore.steps.study.job import Job
from seamlore.steps.study.sections import Choice, Corrections
from seamlore.steps.study.tape import OVERALL, Span, Tape
from seamlore.study.measured import What

_LENGTHS = (
    *(name for names in OVERALL.values() for name in names),
    *("block", "block_down", "sashing", "sashing_down", "tolerance"),
    *("border", "border_left", "border_right", "border_top", "border_bottom"),
)
# A line that was put in place and moved again lies this near to where it was put, in parts of the quilt.
_SAME_LINE = 0.004


def corrected(job: Job, size_px: tuple[int, int], asked: Mapping[str, Any]) -> tuple[Corrections, str, Slips]:
    """Set the reading right.

    Parameters
    ----------
    job : Job
        With its photograph read.
    size_px : (int, int)
        Width and height of the photograph.
    asked : mapping
        What to set right; the rest stays: "corners" four [x, y] in photograph pixels; "edge" [number, x, y], an edge
        (0 top, 1 right, 2 bottom, 3 left) and a point that it was drawn to; "row_line" or "column_line" [before,
        after] in parts of the quilt; "rows", "columns", "divisions" as typed, empty to leave it to the photograph; "setting"
        "straight", "on point", "none", or empty.

    Returns
    -------
    corrections : Corrections
    says : str
        What was done, in the user's words; empty when nothing changes.
    slips : Slips
        Counts that cannot be read, by field.

    Raises
    ------
    MeasureError, PhotoError
        When a place cannot be used.
    """
    now, slips = job.inputs.corrections, Slips()
    changes: dict[str, Any] = {}
    says = []
    frame = job.flat.frame
    if (corners := asked.get("corners")) is not None:
        placed = check_corners(corners, size_px).tolist()
        changes |= {"corners": placed, "bows": bows_kept(frame, placed)}
        says.append("moved a corner")
    if (moved := asked.get("edge")) is not None:
        changes |= {"corners": frame.corners, "bows": bowed(frame, *_edge_of(moved))}
        says.append("bowed an edge")
    for name in ("row", "column"):
        if (moved := asked.get(f"{name}_line")) is not None:
            changes[f"{name}_lines"] = _with_line(getattr(now, f"{name}_lines"), moved)
            says.append(f"moved a line of the {name}s")
    for name, most in (("rows", PAGE_ROWS), ("columns", PAGE_ROWS), ("divisions", PAGE_DIVISIONS)):
        if name not in asked:
            continue
        before = getattr(now, name)
        wanted = slips.read(name, asked[name], partial(count, what=name, most=most), before)
        if wanted != before:
            # Lines put in place for other counts would stand for other lines now.
            changes |= {name: wanted} | ({f"{name[:-1]}_lines": None} if name != "divisions" else {})
            says.append(f"said there are {wanted} {name}" if wanted else f"left the {name} to the photograph")
    if (setting := asked.get("setting")) is not None and setting != (now.setting or ""):
        changes |= {"setting": setting or None, "row_lines": None, "column_lines": None}
        if setting == "none":
            changes |= {"rows": None, "columns": None}
        said = {"none": "in no block grid", "": "as the photograph shows"}.get(setting, setting)
        says.append(f"said that the blocks are set {said}")
    try:
        made = msgspec.convert({**msgspec.to_builtins(now), **changes}, Corrections)
    except msgspec.ValidationError:
        raise MeasureError("that correction", "it cannot be used", "load the page again and try once more") from None
    return made, " and ".join(says), slips


def uncorrected(job: Job) -> tuple[Corrections, str]:
    """Take back all corrections of the reading; nothing is said when there are none."""
    none = Corrections()
    return none, "took back all corrections of the reading" if job.inputs.corrections != none else ""


def _edge_of(moved: Any) -> tuple[int, tuple[float, float]]:
    if not (isinstance(moved, list) and len(moved) == 3 and all(isinstance(part, int | float) for part in moved)):
        raise MeasureError("an edge that was bowed", "it has a number and a point", "load the page again")
    if moved[0] not in (0, 1, 2, 3):
        raise MeasureError(f"edge number {moved[0]}", "a quilt has four edges, 0 to 3", "load the page again")
    return int(moved[0]), (float(moved[1]), float(moved[2]))


def _with_line(lines: tuple[float, ...] | None, moved: Any) -> list[float]:
    """Put a line that was moved from one place to another among those that were moved before."""
    if not (isinstance(moved, list) and len(moved) == 2 and all(isinstance(part, int | float) for part in moved)):
        raise MeasureError("a line that was moved", "it has a place before and after", "load the page again")
    before, after = moved
    kept = [line for line in lines or () if abs(line - before) > _SAME_LINE]
    return sorted([*kept, min(max(float(after), 0.0), 1.0)])


def taped(job: Job, typed: Mapping[str, str]) -> tuple[Tape, Slips]:
    """Put in what the tape says; what can be read is kept and the rest said by its field.

    Parameters
    ----------
    job : Job
    typed : mapping of str to str
        Every field of the tape, empty where nothing was measured; a bare number is in the unit of the study.
    """
    slips, now = Slips(), job.inputs.tape
    in_unit = partial(with_unit, unit=job.unit)
    read: dict[str, Any] = {
        name: slips.read(name, typed.get(name, ""), in_unit, getattr(now, name)) for name in _LENGTHS
    }
    for name in ("rows", "columns"):
        read[name] = slips.read(
            name, typed.get(name, ""), partial(count, what=name, most=TAPE_ROWS), getattr(now, name)
        )
    more = [
        msgspec.structs.replace(
            each, value=slips.read(f"more_{at}", typed.get(f"more_{at}", each.value), in_unit, each.value)
        )
        for at, each in enumerate(now.more)
    ]
    read["more"] = tuple(each for each in more if each.value)
    return msgspec.structs.replace(now, **read, outer_sashing=bool(typed.get("outer_sashing"))), slips


def measured_next(job: Job, typed: str) -> tuple[Tape, Slips]:
    """Put in what the tape shows of the measurement that was asked for.

    Parameters
    ----------
    job : Job
        With something to measure next.
    typed : str
        A length, "0" or "none"; a bare number is in the unit of the study.

    Raises
    ------
    MeasureError
        When nothing is asked for any more.
    """
    now, slips, asked = job.inputs.tape, Slips(), job.next_measure
    if asked is None:
        raise MeasureError(f'"{typed[:40]}"', "nothing is asked for any more", "put it in its own field")
    measure = asked.measure
    text = "0" if measure.what is What.BORDER and typed.strip().lower() == "none" else typed
    value = slips.read("next", text, partial(with_unit, unit=job.unit), "")
    if not value:
        return now, slips
    match measure.what:
        case What.BORDER:
            return msgspec.structs.replace(now, **{f"border_{measure.side}": value}), slips
        case What.OVERALL:
            empty = [name for name in OVERALL[measure.along] if not getattr(now, name)]
            return msgspec.structs.replace(now, **{empty[0]: value}), slips
    line = Span(
        what="span" if measure.what is What.SPAN else "outer block",
        along=measure.along,
        value=value,
        blocks=measure.blocks,
        sashings=measure.sashings,
        side=measure.side,
    )
    return msgspec.structs.replace(now, more=(*now.more, line)), slips


def following(job: Job, account: str) -> Choice:
    """Follow one account of the sums, by its text; the likeliest when none is named."""
    return msgspec.structs.replace(job.inputs.choice, explanation=account or None)
