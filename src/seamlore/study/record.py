"""The record of one old quilt: what is known of it, how, and what is not.

It is JSON that can be read by eye. Each length carries its unit; the schema is made from these types.
"""

from __future__ import annotations

from collections.abc import Iterable
from fractions import Fraction
from typing import Any, Literal

import msgspec

from seamlore.errors import NotationError
from seamlore.lengths import Length, Unit, in_unit, show
from seamlore.photo.reading import Reading, upgraded
from seamlore.study.adjustment import Adjustment, Explanation
from seamlore.study.drafting import Drafted
from seamlore.study.measured import Along, Axis, Known, Measurement, What
from seamlore.study.measurements import Count, Measurements

VERSION = 1

KnownWord = Literal["by tape", "measured on the photograph", "as told", "computed", "custom of the trade"]
WhatWord = Literal["overall", "block", "sashing", "border", "span", "outer block", "edge"]


class TapeLine(msgspec.Struct, frozen=True, kw_only=True):
    """One measured length, numbers in `unit`; `readings` are what it is the mean of, where there are several."""

    what: WhatWord
    along: Along
    value: float
    tolerance: float
    unit: Literal["in", "cm"]
    known: KnownWord = "by tape"
    blocks: int = 0
    sashings: int = 0
    side: Literal["left", "right", "top", "bottom", ""] = ""
    readings: tuple[float, ...] = ()


class CountLine(msgspec.Struct, frozen=True, kw_only=True):
    """How many blocks were counted across or down."""

    along: Axis
    number: int
    known: KnownWord = "by tape"


class Observation(msgspec.Struct, frozen=True, kw_only=True):
    """Something seen or told that is no length: of which part, and how it is known."""

    text: str
    part: str = ""
    known: str = ""


class Account(msgspec.Struct, frozen=True, kw_only=True):
    """One explanation of the measurements, its weight (0..1), and whether the user follows it."""

    text: str
    likely: str
    weight: float
    chosen: bool = False


class Decision(msgspec.Struct, frozen=True, kw_only=True):
    """Something decided on the way from as found to as drafted, and what else would have done."""

    what: str
    choice: str
    reason: str = ""
    alternatives: tuple[str, ...] = ()


class Study(msgspec.Struct, frozen=True, kw_only=True):
    """All that is known of one old quilt.

    Attributes
    ----------
    name
        What the quilt is called.
    story
        What was told of it: maker, place, family; empty when nothing was.
    observations
        What was seen.
    measurements, counts
        What was measured and counted, each with how it is known.
    seam_allowance
        Of the unit in `unit`, what is allowed on each side of a patch.
    outer_sashing
        Whether sashing is known to run round the outside.
    on_point
        Whether the blocks stand on their points.
    reading
        What was measured in the photograph.
    explanations
        Accounts of the measurements, likeliest first.
    decisions
        How the draft came about.
    not_known
        What nobody knows yet, in sentences.
    """

    name: str
    story: str = ""
    observations: tuple[Observation, ...] = ()
    unit: Literal["in", "cm"] = "in"
    seam_allowance: float = 0.25
    outer_sashing: bool = False
    on_point: bool = False
    measurements: tuple[TapeLine, ...] = ()
    counts: tuple[CountLine, ...] = ()
    reading: Reading | None = None
    explanations: tuple[Account, ...] = ()
    decisions: tuple[Decision, ...] = ()
    not_known: tuple[str, ...] = ()
    version: int = VERSION


def study_of(
    name: str,
    found: Adjustment,
    *,
    story: str = "",
    observations: Iterable[Observation] = (),
    reading: Reading | None = None,
    drafted: Drafted | None = None,
    chosen: Explanation | None = None,
) -> Study:
    """Put a study together.

    Parameters
    ----------
    name : str
        What the quilt is called.
    found : Adjustment
        Measurements and explanations.
    story, observations
        What was told and seen.
    reading : Reading, optional
        What was measured in the photograph.
    drafted : Drafted, optional
        The draft, whose decisions are kept.
    chosen : Explanation, optional
        The explanation that the user follows.

    Examples
    --------
    >>> from seamlore.lengths import inches
    >>> from seamlore.study.adjustment import adjust
    >>> from seamlore.study.measured import taken
    >>> from seamlore.study.measurements import measurements
    >>> m = measurements([taken(What.OVERALL, inches("70.5"), "across"), taken(What.BLOCK, inches("7.5"))], columns=9)
    >>> study = study_of("Blue quilt", adjust(m))
    >>> measured(study) == m, study.not_known[0]
    (True, 'Who made it is not known.')
    """
    m = found.measured
    return Study(
        name=name,
        story=story,
        observations=tuple(observations),
        unit=m.unit.value,
        seam_allowance=float(m.seam_allowance.measured_in(m.unit)),
        outer_sashing=m.outer_sashing,
        on_point=m.on_point,
        measurements=tuple(_line(each) for each in m.lengths),
        counts=tuple(CountLine(along=each.along, number=each.number, known=each.known.value) for each in m.counts),
        reading=reading,
        explanations=tuple(
            Account(text=each.text, likely=each.likely, weight=round(each.weight, 3), chosen=each is chosen)
            for each in found.explanations
        ),
        decisions=decisions(drafted) if drafted else (),
        not_known=not_known(found, reading, story=story),
    )


def _line(each: Measurement) -> TapeLine:
    unit = each.value.unit
    return TapeLine(
        what=each.what.value,
        along=each.along,
        value=float(each.value.measured_in(unit)),
        tolerance=float(each.tolerance.measured_in(unit)),
        unit=unit.value,
        known=each.known.value,
        blocks=each.blocks,
        sashings=each.sashings,
        side=each.side,
        readings=tuple(float(one.measured_in(unit)) for one in each.readings),
    )


def measured(study: Study) -> Measurements:
    """Give a study's measurements back, exact, ready to be adjusted."""

    def exact(number: float, unit: str) -> Length:
        # The shortest decimal that a float prints as is the number that was written.
        return in_unit(Fraction(repr(number)), Unit(unit))

    return Measurements(
        tuple(
            Measurement(
                What(each.what),
                each.along,
                exact(each.value, each.unit),
                exact(each.tolerance, each.unit),
                Known(each.known),
                each.blocks,
                each.sashings,
                each.side,
                tuple(exact(one, each.unit) for one in each.readings),
            )
            for each in study.measurements
        ),
        tuple(Count(each.along, each.number, Known(each.known)) for each in study.counts),
        exact(study.seam_allowance, study.unit),
        study.outer_sashing,
        study.on_point,
    )


def decisions(drafted: Drafted) -> tuple[Decision, ...]:
    """Keep how each size of a draft came about."""
    return tuple(
        Decision(
            what=each.what,
            choice=show(each.chosen),
            reason=each.reason,
            alternatives=tuple(show(other) for other in each.alternatives),
        )
        for each in drafted.snaps
    )


def not_known(found: Adjustment, reading: Reading | None = None, *, story: str = "") -> tuple[str, ...]:
    """Say plainly what is not known.

    Examples
    --------
    >>> from seamlore.lengths import inches
    >>> from seamlore.study.adjustment import adjust
    >>> from seamlore.study.measured import taken
    >>> from seamlore.study.measurements import measurements
    >>> for line in not_known(adjust(measurements([taken(What.BLOCK, inches(8))], columns=7)), story="Told by Ada."):
    ...     print(line)
    When it was made is not known until it is dated.
    Nothing tests the count and the block yet: the size of the whole quilt was not measured.
    """
    lines = [] if story.strip() else ["Who made it is not known.", "Where it was made is not known."]
    lines.append("When it was made is not known until it is dated.")
    top = found.explanations[0]
    rivals = [each for each in found.explanations[1:] if each.likely == "about as likely"]
    if rivals:
        lines.append("Which of these holds is not known: " + " Or: ".join(each.text for each in (top, *rivals)))
    if not found.sums:
        lines.append("Nothing tests the count and the block yet: the size of the whole quilt was not measured.")
    if top.cut and not any(each.what.value in ("outer block", "edge") for each in found.measured.lengths):
        lines.append("How much is gone from each single side is not known, only how much in all.")
    if reading is not None and all(
        each.known is Known.PHOTO for each in found.measured.lengths if each.what is What.BLOCK
    ):
        lines.append("No block was measured by tape: a photograph alone does not tell 12 in from 12 1/8 in.")
    return tuple(lines)


def write_study(study: Study) -> bytes:
    """Write a study as JSON that can be read by eye."""
    return msgspec.json.format(msgspec.json.encode(study), indent=2) + b"\n"


def read_study(text: bytes, *, source: str = "") -> Study:
    """Read a study.

    Raises
    ------
    NotationError
        When it is no study, saying what is wrong where; or when it was written by a later version.

    Examples
    --------
    >>> read_study(write_study(Study(name="Blue quilt"))).name
    'Blue quilt'
    >>> read_study(b"{}")
    Traceback (most recent call last):
        ...
    seamlore.errors.NotationError: this file: Object missing required field `name`; ...
    """
    given = source or "this file"
    try:
        found = msgspec.json.decode(text, type=dict[str, Any])
        if isinstance(found.get("reading"), dict):
            found["reading"] = upgraded(found["reading"])
        study = msgspec.convert(found, Study)
    except (msgspec.DecodeError, UnicodeDecodeError) as fault:
        raise NotationError(given, str(fault), "give a study that was written here") from fault
    if study.version > VERSION:
        raise NotationError(
            f"{given}, version {study.version}", f"this program reads up to version {VERSION}", "use a newer program"
        )
    return study


def schema() -> dict[str, Any]:
    """Make the JSON Schema of a study.

    Examples
    --------
    >>> schema()["$ref"]
    '#/$defs/Study'
    """
    return msgspec.json.schema(Study)
