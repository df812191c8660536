"""What a sheet shows, as words, exact lengths and values of lower rooms; sheets lay out and do not compute."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date

from seamlore.chronology.evidence import Evidence
from seamlore.chronology.inference import Dates
from seamlore.draft.quilt import Quilt
from seamlore.draft.where import Where
from seamlore.drawing.picture import Picture
from seamlore.drawing.shapes import ImageFile, Paint
from seamlore.lengths import Length
from seamlore.photo.reading import Reading
from seamlore.sheets.condition_part import ConditionContent

NAMELESS = "A quilt without a name"


@dataclass(frozen=True, slots=True)
class Fact:
    """One thing known, and how.

    Parameters
    ----------
    what : str
        Such as "width of the quilt".
    value : str
        As a tape shows it, unit included.
    give_or_take : str
        Such as "± 1/4 in"; empty when exact.
    known : str
        Such as "by tape", "measured on the photograph", "computed", "custom of the trade".
    """

    what: str
    value: str
    give_or_take: str
    known: str


@dataclass(frozen=True, slots=True)
class Account:
    """One explanation of the sums: how likely it is, in words, and what it says."""

    likely: str
    text: str


@dataclass(frozen=True, slots=True)
class Predicted:
    """What the tape will show, and what follows from that."""

    value: str
    means: str


@dataclass(frozen=True, slots=True)
class ToMeasure:
    """The measurement that would tell most: what to measure, and what each outcome means."""

    what: str
    outcomes: tuple[Predicted, ...]


@dataclass(frozen=True, slots=True, eq=False)
class Dated:
    """When the parts were made, as far as evidence goes.

    Parameters
    ----------
    dates : Dates
        Probabilities, for the picture.
    evidence : tuple of Evidence
        What speaks, for the lines under each part.
    parts : tuple of (part, middle, range of 9 in 10, sentence)
    clashes : tuple of str
        What cannot both be right.
    cautions : tuple of str
        What misleads in this evidence, and what always holds.
    headline : str
        Every part that is known, in one sentence without its full stop.
    means : tuple of str
        What the years mean together: quilted later, old blocks set new, a reproduction.
    """

    dates: Dates
    evidence: tuple[Evidence, ...]
    parts: tuple[tuple[str, str, str, str], ...]
    clashes: tuple[str, ...] = ()
    cautions: tuple[str, ...] = ()
    headline: str = ""
    means: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Remark:
    """One thing worth noticing, with what it is compared with, and its picture where it has one."""

    says: str
    picture: Picture | None = None


@dataclass(frozen=True, slots=True)
class FurtherPhoto:
    """One more photograph of the quilt: the picture, made small, its size in pixels, and what it shows."""

    file: ImageFile
    size_px: tuple[int, int]
    shows: str


@dataclass(frozen=True, slots=True)
class StudyContent:
    """What a study sheet shows.

    Parameters
    ----------
    name : str
        What the study is called.
    printed : date
        Passed in.
    reading : Reading, optional
        What was read in the photograph.
    photo : ImageFile, optional
        The photograph flattened to the quilt's outline, without the camera's data.
    drafted : Quilt, optional
        As drafted, uncropped.
    edge_now : tuple of Length, optional
        Left, top, right, bottom: how far inside the drafted edge the quilt's edge now runs.
    cloths : mapping
        Cloths by place or by fabric.
    patch_cloths : mapping
        Cloths of single patches by their addresses, as the photograph shows them.
    lead : str
        One or two sentences that say what the quilt is.
    facts : tuple of Fact
        Every number, with how it is known.
    sums : tuple of str
        The sums as done on paper.
    accounts : tuple of Account
        Explanations, likeliest first.
    to_measure : ToMeasure, optional
        What to measure next.
    dated : Dated, optional
        When its parts were made.
    condition : ConditionContent, optional
        What state it is in.
    decision : tuple of str
        What was decided about it, and what the stages showed.
    unknown : tuple of str
        What is not known.
    remarks : tuple of str
        What the reader should know of the reading: warnings, turned blocks.
    noticed : tuple of Remark
        What is worth noticing.
    further : tuple of FurtherPhoto
        Photographs beside the one that was read: its back, details, a label.
    left_out : tuple of str
        What is private and does not stand here.
    """

    name: str
    printed: date
    reading: Reading | None = None
    photo: ImageFile | None = None
    drafted: Quilt | None = None
    edge_now: tuple[Length, Length, Length, Length] | None = None
    cloths: Mapping[str, Paint] = field(default_factory=dict)
    patch_cloths: Mapping[Where, Paint] = field(default_factory=dict)
    lead: str = ""
    facts: tuple[Fact, ...] = ()
    sums: tuple[str, ...] = ()
    accounts: tuple[Account, ...] = ()
    to_measure: ToMeasure | None = None
    dated: Dated | None = None
    condition: ConditionContent | None = None
    decision: tuple[str, ...] = ()
    unknown: tuple[str, ...] = ()
    remarks: tuple[str, ...] = ()
    noticed: tuple[Remark, ...] = ()
    further: tuple[FurtherPhoto, ...] = ()
    left_out: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class LabelContent:
    """What a label says.

    Parameters
    ----------
    name : str
        What the quilt is called.
    printed : date
        Passed in.
    width, height : Length
        Finished size on the quilt.
    maker : str
        Who made it; "maker unknown" unless told.
    known : tuple of str
        What is known, a line each: when, where, of what, how large.
    unknown : tuple of str
        What is not known; it belongs on the label, so that nobody guesses later.
    repaired : tuple of str
        What was done to it since, by whom and when.
    """

    name: str
    printed: date
    width: Length
    height: Length
    maker: str = "maker unknown"
    known: tuple[str, ...] = ()
    unknown: tuple[str, ...] = ()
    repaired: tuple[str, ...] = ()
