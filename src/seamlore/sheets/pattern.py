"""What a pattern booklet shows, as words, exact lengths and values of lower rooms; sheets lay out and do not compute."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date

from seamlore.draft.block import Patch
from seamlore.draft.quilt import Quilt
from seamlore.draft.where import Where
from seamlore.drawing.shapes import Paint
from seamlore.lengths import Length
from seamlore.making.corners_off import CornersOff
from seamlore.making.methods import Piecing
from seamlore.pictures.cutting import Strip
from seamlore.pictures.laid import Laid
from seamlore.plane.outline import Points
from seamlore.sewing.foundation import Foundations, Section
from seamlore.sewing.setting import TopPiece
from seamlore.sewing.steps import Outline, Step


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
    with_spare : str
        How a shop is asked when a spare for shrinking, squaring up and a slip is wanted; empty where none is reckoned.
    """

    name: str
    purpose: str
    buy: str
    key: str = ""
    note: str = ""
    with_spare: str = ""


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
    """All that is cut from one fabric.

    Parameters
    ----------
    fabric, key : str
        What it is called; the place or key whose cloth it is.
    lines : tuple of ToCut
    strips : tuple of Strip
        Diagrams of strips that are reckoned kind by kind.
    laid : tuple of Laid
        Diagrams of a cutting plan.
    plans : tuple of str
        Both plans in words, that which is followed first; how short none can be; what was added.
    steps : tuple of str
        Every cut in its order, as numbered in the diagrams; what is cut further is set in by two spaces.
    """

    fabric: str
    key: str
    lines: tuple[ToCut, ...]
    strips: tuple[Strip, ...] = ()
    laid: tuple[Laid, ...] = ()
    plans: tuple[str, ...] = ()
    steps: tuple[str, ...] = ()


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
    """One stage of joining the top: what is done, in its order."""

    title: str
    steps: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class DrawnStep:
    """One step of a block, to be drawn.

    Parameters
    ----------
    step : Step
        From `sewing.steps`.
    title : str
        What is sewn: "Unit 1, flying geese", "Row 2", "The block".
    words : tuple of str
        What is done, in its order.
    make : str
        How many: "4 a block, 16 in all".
    size : str
        What the tape should now show.
    still_round : Length, optional
        The allowance that is still round what comes of it, where that is not the same for all steps.
    """

    step: Step
    title: str
    words: tuple[str, ...]
    make: str
    size: str
    still_round: Length | None = None


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
    labels : tuple of str
        What each patch is called in lists.
    outlines : tuple of outlines
        Of each patch in inches, as the steps number them.
    steps : tuple of DrawnStep
        In the order of sewing; none for a piece of cloth that is only cut.
    """

    name: str
    said: tuple[str, ...]
    kind: str
    patches: tuple[Patch, ...]
    labels: tuple[str, ...]
    outlines: tuple[Outline, ...]
    steps: tuple[DrawnStep, ...]

    @property
    def lettered(self) -> tuple[str, ...]:
        """The labels as they stand in drawings of this block: without the sign of its kind."""
        return tuple(label.removeprefix(f"{self.kind} ") for label in self.labels)


@dataclass(frozen=True, slots=True, eq=False)
class BlockFoundation:
    """How one kind of spot is sewn on foundations.

    Parameters
    ----------
    name : str
        What it is called.
    labels : tuple of str
        What each of its pieces is called.
    foundations : Foundations
    said : tuple of str
        How many, in which order, and how large to cut the rough pieces.
    printed : tuple of tuple of Section
        Those that are printed, those alike together; all of several pieces when it is empty.
    has_lesson : bool
        Whether a lesson is printed of it: of whole blocks, not of what the edge has cut.
    """

    name: str
    labels: tuple[str, ...]
    foundations: Foundations
    said: tuple[str, ...] = ()
    printed: tuple[tuple[Section, ...], ...] = ()
    has_lesson: bool = True


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
    difference : str
        Why cut sizes are larger than finished ones.
    blocks : tuple of SewnBlock
        Every kind of spot, in the order of sewing.
    sewing : tuple of SewingStep
        How the top is joined from them.
    top : tuple of DrawnStep
        The same, step by step, to be drawn.
    top_pieces : tuple of TopPiece
        What these steps number.
    unread : str
        How many blocks are not read and which, and that nothing is done for them; empty where all are.
    doubtful : str
        How many blocks are read, but not surely; empty where none are.
    patch_cloths : mapping of Where to paint
        Colors of single patches, as the photograph shows them; for the cover.
    piecing : {"machine", "hand", "papers"}
        How it is sewn, and so what its templates show.
    together : tuple of (str, str)
        Units that are made several at a time: what they are, and how.
    finishing_steps : tuple of str
        Layering, quilting or tying, edge finish.
    templates : tuple of PatchTemplate
    for_baby : bool
        Whether the quilt is of crib size, so that what concerns babies is said on its cover.
    old_cloth : bool
        Whether old cloth is handled in making it, so that what it can hold is said.
    difficulty : str
        For whom the pattern is, and why.
    tools : tuple of str
        What is needed besides fabric.
    layout : tuple of str
        How the blocks lie, in words.
    before : tuple of str
        How every piece is handled in the way of sewing that was chosen.
    still_round : Length, optional
        The allowance still round what is sewn; that of the cutting when not given.
    hours : str
        How long sewing the top takes, and how that is known.
    batches : tuple of str
        What is sewn in one go.
    foundations : tuple of BlockFoundation
        Of the blocks that go on few foundations.
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
    difference: str = ""
    blocks: tuple[SewnBlock, ...] = ()
    sewing: tuple[SewingStep, ...] = ()
    top: tuple[DrawnStep, ...] = ()
    top_pieces: tuple[TopPiece, ...] = ()
    unread: str = ""
    doubtful: str = ""
    patch_cloths: Mapping[Where, Paint] = field(default_factory=dict)
    together: tuple[tuple[str, str], ...] = ()
    piecing: Piecing = "machine"
    finishing_steps: tuple[str, ...] = ()
    templates: tuple[PatchTemplate, ...] = ()
    for_baby: bool = False
    old_cloth: bool = False
    difficulty: str = ""
    tools: tuple[str, ...] = ()
    layout: tuple[str, ...] = ()
    before: tuple[str, ...] = ()
    still_round: Length | None = None
    hours: str = ""
    batches: tuple[str, ...] = ()
    foundations: tuple[BlockFoundation, ...] = ()
