"""All that follows from the notes of a study: areas, verdicts, weak cloth, what holds, what has faded."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from seamlore.condition.annotation import to_note
from seamlore.condition.compare import Changed, compare
from seamlore.condition.fading import Faded, faded
from seamlore.condition.ground import Ground, ground_of
from seamlore.condition.holding import FILLINGS, USUAL_APART_IN, Held, held, pattern_lines, pattern_ties
from seamlore.condition.kinds import PARTS, usual_parts
from seamlore.condition.notes import Note
from seamlore.condition.rot import HandTest, Suspect, ToTest, hand_tests, suspects, to_test
from seamlore.condition.survey import Laid, Survey, Verdict, survey
from seamlore.errors import MeasureError, SeamloreError
from seamlore.lengths import Unit, in_unit, inches, length
from seamlore.photo.reading import Reading
from seamlore.steps.assess.frames import LaidPhotograph, placed
from seamlore.steps.fabrics.facts import called
from seamlore.steps.study.condition import Condition, FadedPlaces
from seamlore.steps.study.job import Job

# A place on a photograph is looked at over so many pixels each way, so that threads and grain even out.
_AROUND_PX = 6


@dataclass(frozen=True, slots=True, eq=False)
class Assessed:
    """The state of a quilt.

    Parameters
    ----------
    ground : Ground
    unit : {"in", "cm", "width"}
        Of its lengths; "width": parts of the quilt's width, as no size is known.
    notes : tuple of Note
    laid : tuple of Laid
        Those of them that lie on the quilt, each with its number in `notes`.
    survey : Survey
        Of `laid`, in their order.
    tests : tuple of HandTest
    suspects : tuple of Suspect
    to_test : tuple of ToTest
    placed : dict of str to LaidPhotograph
        Photographs that lie on the quilt.
    without : frozenset of str
        Parts that are not there.
    """

    ground: Ground
    unit: Literal["in", "cm", "width"]
    notes: tuple[Note, ...]
    laid: tuple[Laid, ...]
    survey: Survey
    tests: tuple[HandTest, ...]
    suspects: tuple[Suspect, ...]
    to_test: tuple[ToTest, ...]
    placed: dict[str, LaidPhotograph]
    without: frozenset[str]

    @property
    def damage(self) -> int:
        """How many notes of damage there are."""
        return sum(each.about.damage for each in self.notes)


def notes_of(job: Job) -> tuple[Note, ...]:
    """Read the notes of a study."""
    return tuple(to_note(each) for each in job.inputs.notes.annotations)


def without(condition: Condition) -> frozenset[str]:
    """Name the parts that are not there.

    Examples
    --------
    >>> sorted(without(Condition(object="top", parts={"border": "none", "backing": "there"})))
    ['border', 'edge finish', 'filling', 'quilting', 'ties']
    """
    return frozenset(name for name, how in parts_of(condition).items() if how == "none")


def parts_of(condition: Condition) -> dict[str, str]:
    """Say of each part whether it is "there", "none" or "not known": by what it is, and by what she said.

    Examples
    --------
    >>> parts_of(Condition(object="quilt"))["backing"], parts_of(Condition())["backing"]
    ('there', 'not known')
    """
    return usual_parts(condition.object) | {name: how for name, how in condition.parts.items() if name in PARTS}


def fabric_names(reading: Reading) -> list[str]:
    """What the fabrics of a reading are called, in its order, and their value."""
    fabrics = reading.fabrics or ()
    return [f"{name}, {each.value}" for name, each in zip(called(fabrics), fabrics, strict=True)]


def ground_for(job: Job) -> Ground:
    """Lay out the quilt of a study as its photograph was read."""
    return job.memo.get(
        ("ground", job.look_key),
        lambda: ground_of(job.reading, (job.look.cells_quilt, job.look.between_quilt), fabric_names(job.reading)),
    )


def assess(job: Job) -> Assessed:
    """Reckon the state of a quilt from the notes of its study.

    Raises
    ------
    SeamloreError
        When its photograph cannot be read.
    """
    inputs = job.inputs
    decision = inputs.decision
    creases = (decision.folds_across, decision.folds_down)
    rests_on = (job.look_key, repr(inputs.notes), repr(inputs.condition), repr(inputs.photographs), creases)
    return job.memo.get(("assessed", *rests_on), lambda: _assess(job))


def _assess(job: Job) -> Assessed:
    folds = tuple((axis, at) for axis in (0, 1) for at in last_folds(job, axis))
    return reckoned(ground_for(job), job.reading.unit, notes_of(job), placed(job), job.inputs.condition, folds)


def last_folds(job: Job, axis: int) -> list[float]:
    """Where last year's folds lie from the left (0) or from the top (1), in the reading's unit; none without a size."""
    unit = job.reading.unit
    if unit == "width":
        return []
    text = (job.inputs.decision.folds_across, job.inputs.decision.folds_down)[axis]
    return [float(length(each, unit=job.unit).measured_in(Unit(unit))) for each in text.split(";") if each.strip()]


def reckoned(
    ground: Ground,
    unit: Literal["in", "cm", "width"],
    notes: tuple[Note, ...],
    where: dict[str, LaidPhotograph],
    condition: Condition,
    folds: tuple[tuple[int, float], ...] = (),
) -> Assessed:
    """Reckon the state of a quilt from its ground, its notes, where their photographs lie, and last year's folds."""
    parts = without(condition)
    # A top seen from behind is the top; without a backing all that is seen from behind is.
    backed = "backing" not in parts
    laid = tuple(
        Laid(each.kind, each.severity, at.to_quilt(each.outline, closed=each.kind != "quilting line"), at.photograph.of_backing and backed, number)
        for number, each in enumerate(notes)
        if (at := where.get(each.photograph)) is not None
    )  # fmt: skip
    tried = [each for each in laid if each.kind == "hand test" and not each.behind]
    points = np.array([each.outline[0] for each in tried]).reshape(-1, 2)
    tests = hand_tests(
        ground, points, [notes[each.number].result for each in tried], [notes[each.number].of for each in tried]
    )
    placed_here = {each.number for each in tried}
    behind = {each.number for each in laid if each.behind}
    tests += tuple(
        HandTest(each.result, -1, None, each.of or ("backing" if number in behind else ""))
        for number, each in enumerate(notes)
        if each.kind == "hand test" and number not in placed_here
    )
    weak = suspects(ground, tests)
    hers: dict[tuple[int, int], tuple[Verdict, str]] = {
        _cell(at): (said.verdict, said.why) for at, said in condition.blocks.items()
    }
    found = survey(ground, laid, suspect={each.fabric: each.why for each in weak}, hers=hers, without=parts)
    return Assessed(ground, unit, notes, laid, found, tests, weak, to_test(ground, laid, tests, folds), where, parts)


def _cell(text: str) -> tuple[int, int]:
    row, column = text.split(",")
    return int(row), int(column)


def apart_of(job: Job) -> float:
    """How far apart the filling may be held, in the reading's unit.

    Raises
    ------
    MeasureError
        When no size is known, so that nothing on the quilt can be measured.
    """
    if job.reading.unit == "width":
        raise MeasureError(
            "how it is held", "no size of the quilt is known", "enter its width and length by tape on the page Look"
        )
    condition, unit = job.inputs.condition, Unit(job.reading.unit)
    if condition.apart.strip():
        return float(length(condition.apart, unit=job.unit).measured_in(unit))
    known = FILLINGS[condition.filling].apart_in if condition.filling in FILLINGS else None
    return float(inches(known or USUAL_APART_IN).measured_in(unit))


def holding(job: Job) -> Held | None:
    """Reckon how a quilt is held; None where nothing was entered, or there is nothing to hold.

    Raises
    ------
    SeamloreError
        When no size is known, or a pattern is by blocks and none were read.
    """
    found, condition = assess(job), job.inputs.condition
    single = [each for each in found.laid if each.kind in ("tie", "quilting line")]
    if condition.ties == condition.lines == "none" and not single:
        return None
    apart = apart_of(job)
    # Of the notes only ties and lines hold: no other note makes this be reckoned again.
    drawn = tuple((each.kind, each.outline.tobytes()) for each in single)
    how = (condition.ties, condition.tie_every, condition.lines, condition.line_every, condition.edge_holds)
    rests_on = ("held", job.look_key, how, drawn, apart)
    return job.memo.get(rests_on, lambda: _held(job, found, single, apart))


def _held(job: Job, found: Assessed, single: Iterable[Laid], apart: float) -> Held:
    condition, unit = job.inputs.condition, Unit(job.reading.unit)

    def measured(text: str) -> float | None:
        return float(length(text, unit=job.unit).measured_in(unit)) if text.strip() else None

    ties = pattern_ties(found.ground, condition.ties, measured(condition.tie_every))
    lines = pattern_lines(found.ground, condition.lines, measured(condition.line_every))
    drawn = [each.outline[:1] for each in single if each.kind == "tie"]
    lines += tuple(each.outline for each in single if each.kind == "quilting line")
    return held(found.ground, np.concatenate([ties, *drawn]), lines, apart=apart, edge_holds=condition.edge_holds)


@dataclass(frozen=True, slots=True)
class Compared:
    """Two places of one cloth, and what came of comparing them; a fault in words where that could not be."""

    places: FadedPlaces
    found: Faded | None
    fault: str = ""


def fadings(job: Job) -> tuple[Compared, ...]:
    """Compare each cloth's protected place with its faded one, on the photograph of the front."""
    front, found = job.inputs.photographs.front, []
    for each in job.inputs.condition.fading:
        if front is None or each.photograph != front.sha:
            found.append(Compared(each, None, "it is of a photograph that is no longer the one that is read"))
            continue
        colors = [
            None if spot is None else color_around(job.photo.pixels, spot)
            for spot in (each.protected, each.exposed, each.white)
        ]
        try:
            found.append(Compared(each, faded(colors[0], colors[1], colors[2])))  # type: ignore[arg-type]
        except SeamloreError as fault:
            found.append(Compared(each, None, str(fault)))
    return tuple(found)


def color_around(pixels: NDArray[np.uint8], spot: tuple[float, float]) -> NDArray[np.float64]:
    """Give the middle color round a place of a photograph, sRGB 0 to 1."""
    x, y = (round(part) for part in spot)
    seen = pixels[max(y - _AROUND_PX, 0) : y + _AROUND_PX + 1, max(x - _AROUND_PX, 0) : x + _AROUND_PX + 1]
    return np.asarray(np.median(seen.reshape(-1, 3), axis=0) / 255, dtype=np.float64)


def dates(job: Job) -> tuple[str, ...]:
    """Give the days on which photographs with notes on the quilt were taken, the first first."""
    found = assess(job)
    used = {found.notes[each.number].photograph for each in found.laid}
    return tuple(sorted({found.placed[sha].photograph.taken or "" for sha in used} - {""}))


def since(job: Job, day: str) -> tuple[Changed, ...]:
    """Set what was noted on photographs taken after a day against what was noted on those up to it."""
    found = assess(job)
    when = {
        each.number: found.placed[found.notes[each.number].photograph].photograph.taken or "" for each in found.laid
    }
    before = [each for each in found.laid if when[each.number] and when[each.number] <= day]
    after = [each for each in found.laid if when[each.number] > day]
    return compare(found.ground, before, after)


def area_in(found: Assessed, area: float, unit: Unit) -> str:
    """Say an area in squares of the study's unit; nothing where no size is known.

    Of a hundredth part of it a hand cannot draw: two figures are enough.
    """
    if found.unit == "width":
        return ""
    side = float(in_unit(1, Unit(found.unit)).measured_in(unit))
    squares = area * side**2
    words = f"{squares:,.0f}" if squares >= 9.5 else f"{squares:.2g}"
    return f"{words} sq {unit.value}"
