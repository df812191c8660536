"""Change what is noted on the photographs of a quilt, and what is said of its condition."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import replace
from datetime import date
from typing import Any

import msgspec

from seamlore.condition.annotation import new_key, to_annotation, to_note
from seamlore.condition.holding import FILLINGS, LINES, TIES
from seamlore.condition.kinds import DYE_RESULTS, HAND_RESULTS, OBJECTS, PARTS, SEVERITY, kind_named, usual_parts
from seamlore.condition.notes import Note, checked_outline
from seamlore.errors import MeasureError, PhotoError, ShapeError, UnknownNameError
from seamlore.lengths import length
from seamlore.limits import LINE, STORY, whole_number
from seamlore.steps.assess.assess import ground_for
from seamlore.steps.assess.frames import check_on_quilt, placed
from seamlore.steps.edit.typed import Slips, with_unit
from seamlore.steps.study.condition import Condition, FadedPlaces, Notes, Said
from seamlore.steps.study.job import Job
from seamlore.steps.study.sections import Photograph

# More notes than this on one quilt keep the machine busy and help nobody.
MOST_NOTES = 2_000


def photograph_of(job: Job, sha: str) -> Photograph:
    """Find a photograph of the study by the SHA-256 of its content.

    Raises
    ------
    PhotoError
        When the study has none of that name.
    """
    found = next((each for each in job.inputs.photographs.photographs if each.sha == sha), None)
    if found is None:
        raise PhotoError("a note on another photograph", "this study has no such photograph", "load the page again")
    return found


def noted(job: Job, sha: str, typed: Mapping[str, str], outline: Any, now: str) -> tuple[Notes, str, str]:
    """Add a note.

    Parameters
    ----------
    job : Job
    sha : str
        The photograph that it was drawn on.
    typed : mapping of str to str
        "kind", "severity", "says", "of", "result".
    outline : sequence of (x, y)
        In pixels of that photograph.
    now : str
        When, as ISO 8601 with its zone.

    Returns
    -------
    Notes, str, str
        The notes with it, what was done, and what was mended in the outline.

    Raises
    ------
    SeamloreError
        When the outline or the kind cannot be taken.
    """
    photograph, kind = photograph_of(job, sha), kind_named(typed.get("kind", ""))
    before = job.inputs.notes.annotations
    if len(before) >= MOST_NOTES:
        raise ShapeError(f"more than {MOST_NOTES:,} notes", "no quilt needs so many", "draw several spots as one")
    drawn = checked_outline(_pairs(outline), photograph.size, kind)
    note = _worded(Note("", sha, kind.name, drawn.outline, noted=now), typed)
    check_on_quilt(placed(job).get(sha), job.reading.size, note)
    key = new_key(note, (each.id for each in before))
    made = to_annotation(replace(note, key=key))
    return Notes(annotations=(*before, made)), f"noted: {kind.name}", drawn.mended


def _pairs(outline: Any) -> Sequence[Any]:
    if not isinstance(outline, Sequence) or not all(
        isinstance(each, Sequence) and len(each) == 2 for each in outline
    ):
        raise ShapeError("a note without an outline", "it is drawn on the picture", "draw round the spot first")
    return outline


def renoted(job: Job, key: str, typed: Mapping[str, str], outline: Any = None) -> tuple[Notes, str, str]:
    """Change what a note says, and its outline where one is given; else its place stays.

    Returns
    -------
    Notes, str, str
        The notes with it changed, what was done, and what was mended in the outline.

    Raises
    ------
    SeamloreError
        When there is no such note, or the outline or the kind cannot be taken.
    """
    found, now = _found(job, key)
    kind = kind_named(typed.get("kind", now.kind))
    one, other = (each.name in ("tie", "hand test", "dye test") for each in (kind, now.about))
    if one != other or (kind.name == "quilting line") != (now.kind == "quilting line"):
        raise ShapeError(f"a {now.kind} as a {kind.name}", "the one is a spot, the other is not", "draw it anew")
    mended = ""
    if outline is not None:
        drawn = checked_outline(_pairs(outline), photograph_of(job, now.photograph).size, kind)
        now, mended = replace(now, outline=drawn.outline), drawn.mended
        check_on_quilt(placed(job).get(now.photograph), job.reading.size, now)
    note = _worded(replace(now, kind=kind.name), typed)
    before = job.inputs.notes.annotations
    made = (*before[:found], to_annotation(note), *before[found + 1 :])
    return Notes(annotations=made), f"{'changed' if outline is None else 'reshaped'} a note: {kind.name}", mended


def unnoted(job: Job, key: str) -> tuple[Notes, str]:
    """Take a note away."""
    found, note = _found(job, key)
    before = job.inputs.notes.annotations
    return Notes(annotations=(*before[:found], *before[found + 1 :])), f"took away a note: {note.kind}"


def _found(job: Job, key: str) -> tuple[int, Note]:
    for index, each in enumerate(job.inputs.notes.annotations):
        if each.id == key:
            return index, to_note(each)
    raise UnknownNameError("a note that is not there", "it was taken away, or never kept", "load the page again")


def _worded(note: Note, typed: Mapping[str, str]) -> Note:
    does = note.about.does
    text = typed.get("severity", "")
    severity = whole_number(text) or 0
    if does in ("word", "held", "tried"):
        severity = 0
    elif severity not in SEVERITY:
        raise MeasureError(
            f'how bad "{text[:20]}"', "it is 1 slight, 2 plain, 3 serious or 4 gone", "choose one of them"
        )
    results = {"hand test": HAND_RESULTS, "dye test": DYE_RESULTS}.get(note.kind, {})
    result = typed.get("result", "")
    if results and result not in results:
        raise MeasureError(
            f'"{result[:20]}" as what came of it', f"it is {' or '.join(results)}", "choose what you saw"
        )
    says = " ".join(typed.get("says", note.says).split())[:STORY]
    if note.kind == "inscription" and not _paired(says):
        raise ShapeError(
            f'the inscription "{says[:40]}"',
            "each doubtful letter stands between [ and ]",
            "write it as M[a]ry 187[1]",
        )
    of = " ".join(typed.get("of", note.of).split())[:LINE]
    return replace(note, severity=severity, says=says, of=of, result=result if results else "")


def _paired(says: str) -> bool:
    deep = 0
    for letter in says:
        deep += (letter == "[") - (letter == "]")
        if deep not in (0, 1):
            return False
    return deep == 0


def described(job: Job, typed: Mapping[str, str]) -> tuple[Condition, Slips]:
    """Change what is said of the condition; what can be read is kept and the rest said by its field.

    Parameters
    ----------
    job : Job
    typed : mapping of str to str
        Fields of `Condition`; "part-backing" and the like for parts.

    Examples
    --------
    >>> from seamlore.steps.study.inputs import Inputs
    >>> made, slips = described(Job(Inputs()), {"object": "top", "tie_every": "4", "apart": "x"})
    >>> made.object, made.tie_every, list(slips)
    ('top', '4 in', ['apart'])
    """
    slips, now = Slips(), job.inputs.condition
    given: dict[str, Any] = {}
    for name in ("tie_every", "line_every", "apart"):
        if name in typed:
            given[name] = slips.read(name, typed[name], _distance(job), getattr(now, name))
    for name, known in (("object", ("", *OBJECTS)), ("ties", TIES), ("lines", LINES), ("filling", FILLINGS)):
        if typed.get(name) in known:
            given[name] = typed[name]
    given |= {name: typed[name] for name in ("examined_by", "light") if name in typed}
    if "examined_on" in typed:
        given["examined_on"] = slips.read("examined_on", typed["examined_on"], day, now.examined_on)
    if "edge_asked" in typed:
        given["edge_holds"] = typed.get("edge_holds") == "yes"
    kind = given.get("object", now.object)
    parts = {name: how for name in PARTS if (how := typed.get(f"part-{name}")) in ("there", "none", "not known")}
    if any(f"part-{name}" in typed for name in PARTS):
        # What is so with all things of its kind is not said once more.
        usual = usual_parts(kind)
        given["parts"] = {name: how for name, how in parts.items() if how != usual[name]}
    if kind != now.object:
        given["parts"] = {}
    return msgspec.structs.replace(now, **given), slips


def _distance(job: Job) -> Callable[[str], str]:
    def read(text: str) -> str:
        written = with_unit(text, job.unit)
        if written and not length(written).inches > 0:
            raise MeasureError(text, "a distance is more than 0", "measure from one to the next")
        return written

    return read


def day(text: str) -> str:
    """Read a day, as ISO 8601; nothing stays nothing.

    Raises
    ------
    MeasureError

    Examples
    --------
    >>> day("2026-11-30"), day("")
    ('2026-11-30', '')
    >>> day("30.11.26")
    Traceback (most recent call last):
        ...
    seamlore.errors.MeasureError: the day "30.11.26": it is written as year-month-day; such as 2026-11-30
    """
    try:
        return date.fromisoformat(text).isoformat() if text else ""
    except ValueError:
        raise MeasureError(
            f'the day "{text[:20]}"', "it is written as year-month-day", "such as 2026-11-30"
        ) from None


def judged(job: Job, row: str, column: str, verdict: str, why: str) -> tuple[Condition, str]:
    """Say of a block that it is sound, doubtful or lost; any other word leaves it to the notes.

    Raises
    ------
    ShapeError
        When there is no such block.
    """
    at = (whole_number(row) or 0) - 1, (whole_number(column) or 0) - 1
    blocks = ground_for(job).block_at
    if at not in blocks:
        rows, columns = (max((each[axis] for each in blocks), default=-1) + 1 for axis in (0, 1))
        raise ShapeError(
            f"row {row[:9]}, column {column[:9]}",
            f"there are {rows} rows of {columns} blocks",
            "count them on the picture",
        )
    key, now = f"{at[0]},{at[1]}", dict(job.inputs.condition.blocks)
    now.pop(key, None)
    if verdict in ("sound", "doubtful", "lost"):
        now[key] = Said(verdict=verdict, why=why)  # type: ignore[arg-type]
    made = msgspec.structs.replace(job.inputs.condition, blocks=dict(sorted(now.items())))
    return made, f"judged row {at[0] + 1}, column {at[1] + 1}"


def compared(job: Job, sha: str, spots: Any, of: str) -> tuple[Condition, str]:
    """Add the protected and the faded place of one cloth, and the white card where there is one.

    Raises
    ------
    SeamloreError
        When fewer than two places were tapped, or one lies outside the picture.
    """
    photograph = photograph_of(job, sha)
    if not isinstance(spots, Sequence) or not 2 <= len(spots) <= 3:
        raise ShapeError(
            f"{len(spots) if isinstance(spots, Sequence) else 0} places", "two are compared, a white card is a third",
            "tap the protected place, then the faded one, then the card if there is one",
        )  # fmt: skip
    point = kind_named("tie")
    protected, exposed, *white = (checked_outline([each], photograph.size, point).outline[0] for each in spots)
    made = FadedPlaces(photograph=sha, protected=protected, exposed=exposed, white=white[0] if white else None, of=of)
    now = job.inputs.condition
    return msgspec.structs.replace(now, fading=(*now.fading, made)), "compared two places of a cloth"


def uncompared(job: Job, number: str) -> tuple[Condition, str]:
    """Take such a pair of places away."""
    now, index = job.inputs.condition, whole_number(number)
    if index is None or index >= len(now.fading):
        raise UnknownNameError("a pair of places that is not there", "it was taken away", "load the page again")
    rest = (*now.fading[:index], *now.fading[index + 1 :])
    return msgspec.structs.replace(now, fading=rest), "took away two places of a cloth"
