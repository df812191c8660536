"""What a sheet shows, as words, exact lengths and values of lower rooms; sheets lay out and do not compute."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date

from seamlore.chronology.evidence import Evidence
from seamlore.chronology.inference import Dates
from seamlore.draft.block import Patch
from seamlore.draft.quilt import Quilt
from seamlore.draft.where import Where
from seamlore.drawing.shapes import ImageFile, Paint
from seamlore.lengths import Length
from seamlore.making.corners_off import CornersOff
from seamlore.photo.reading import Reading
from seamlore.pictures.cutting import Strip
from seamlore.plane.outline import Points

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
    unknown : tuple of str
        What is not known.
    remarks : tuple of str
        What the reader should know of the reading: warnings, turned blocks.
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
    unknown: tuple[str, ...] = ()
    remarks: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class ToBuy:
    """One line of what to buy.

    Parameters
    ----------
    name : str
        The fabric, or "Backing", "Batting", "Binding".
    purpose : str
        What it is for.
    buy : str
        How a shop is asked: "1 3/8 yd".
    key : str
        The place or key whose cloth it is, for its chip of color; empty for none.
    note : str
        How it was reckoned.
    """

    name: str
    purpose: str
    buy: str
    key: str = ""
    note: str = ""


@dataclass(frozen=True, slots=True)
class ToCut:
    """One line of a cutting list.

    Parameters
    ----------
    label : str
        What the pieces are called: "A1", "vertical sashing".
    cut : str
        Cut size: "3 7/8 x 3 7/8".
    count : int
        How many are cut in that size.
    then : str
        What follows: "cut once corner to corner: 112 triangles".
    strips : str
        From how many strips, how wide.
    finished : str
        Finished size.
    """

    label: str
    cut: str
    count: int
    then: str = ""
    strips: str = ""
    finished: str = ""


@dataclass(frozen=True, slots=True)
class CutFabric:
    """All that is cut from one fabric: its list and its diagram."""

    fabric: str
    key: str
    lines: tuple[ToCut, ...]
    strips: tuple[Strip, ...] = ()


@dataclass(frozen=True, slots=True)
class PatchTemplate:
    """One template: finished outline in inches, what is written on it, how the grain runs.

    Parameters
    ----------
    label : str
    outline_in : ndarray, shape (n, 2)
    lines : tuple of str
    grain_deg : float
        Clockwise from x.
    by_ruler : bool
        Whether the piece is cut by its size as well: where it does not go on one page, no template is printed.
    cut : str
        Its cut size in words, for a piece that is cut by its size.
    corners : CornersOff, optional
        How it is cut with a ruler where it is a rectangle without its corners.
    block : Length, optional
        The finished side of its block, so that another can be offered where a template is too large.
    """

    label: str
    outline_in: Points
    lines: tuple[str, ...]
    grain_deg: float = 90.0
    by_ruler: bool = False
    cut: str = ""
    corners: CornersOff | None = None
    block: Length | None = None


@dataclass(frozen=True, slots=True)
class SewingStep:
    """One stage of sewing: what is done, and which of its block's patches it joins (none: no picture)."""

    title: str
    steps: tuple[str, ...]
    patches: tuple[int, ...] = ()


@dataclass(frozen=True, slots=True)
class SewnBlock:
    """One kind of spot and how it is sewn.

    Parameters
    ----------
    name : str
        What it is called: "The block", "Nine Patch", "half of Nine Patch".
    said : tuple of str
        How many are made and how large each finishes.
    kind : str
        The name of its kind, for its cloths.
    patches : tuple of Patch
        Of one of them, in parts of the longer side of the block.
    steps : tuple of SewingStep
        In the order of sewing; none for a piece of cloth that is only cut.
    """

    name: str
    said: tuple[str, ...]
    kind: str
    patches: tuple[Patch, ...]
    steps: tuple[SewingStep, ...]


@dataclass(frozen=True, slots=True)
class BookletContent:
    """What a pattern booklet shows.

    Parameters
    ----------
    name : str
        What the pattern is called.
    printed : date
        Passed in.
    quilt : Quilt
        What is made.
    allowance : Length
        Seam allowance, which all cut sizes include.
    fabric_width : Length
        Usable width reckoned with.
    cloths : mapping
        Cloths by place or by fabric.
    lead : str
        One or two sentences on the quilt that it comes from.
    buy, finishing : tuple of ToBuy
        Fabrics in order of use; then backing, batting, binding.
    cutting : tuple of CutFabric
    blocks : tuple of SewnBlock
        Every kind of spot, in the order of sewing.
    sewing : tuple of SewingStep
        How the top is joined from them.
    unread : str
        How many blocks are not read and which; empty where all are.
    finishing_steps : tuple of str
        Layering, quilting or tying, edge finish.
    templates : tuple of PatchTemplate
    for_baby : bool
        Whether to say what concerns babies more strongly: set when the quilt is of crib size.
    """

    name: str
    printed: date
    quilt: Quilt
    allowance: Length
    fabric_width: Length
    cloths: Mapping[str, Paint] = field(default_factory=dict)
    lead: str = ""
    buy: tuple[ToBuy, ...] = ()
    finishing: tuple[ToBuy, ...] = ()
    cutting: tuple[CutFabric, ...] = ()
    blocks: tuple[SewnBlock, ...] = ()
    sewing: tuple[SewingStep, ...] = ()
    unread: str = ""
    finishing_steps: tuple[str, ...] = ()
    templates: tuple[PatchTemplate, ...] = ()
    for_baby: bool = False


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
