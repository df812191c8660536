"""Stages: nobody knows before it is open. What to look at, what may change the choice, what is missing before any cut.

Common practice, no source; documenting before any cutting and asking those whom it concerns: trade.md E3.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import Literal

from seamlore.condition.notes import Note
from seamlore.condition.survey import BlockState


@dataclass(frozen=True, slots=True)
class Stage:
    """One stage of taking a quilt apart, and the stop at its end.

    Parameters
    ----------
    key : str
    name : str
    do : str
    look : str
        What to look at.
    may_change : str
        What may change the choice.
    without : tuple of str
        Parts without which this stage falls away.
    """

    key: str
    name: str
    do: str
    look: str
    may_change: str
    without: tuple[str, ...] = ()


STAGES: tuple[Stage, ...] = (
    Stage(
        "corner",
        "One corner opened",
        "Open the edge finish at the plainest corner, a hand's width each way; cut threads, never cloth.",
        "How many layers, what lies between, an older quilt inside, how the edge was turned, the seam allowances that are left, "
        "the colors where no light came.",
        "An older quilt inside; allowances under 1/8 in; cloth that splits at the needle holes; a name or a date.",
        ("edge finish",),
    ),
    Stage(
        "edge",
        "The edge opened",
        "Open the whole edge finish and keep it, rolled, in a bag of its own.",
        "Whether outer blocks run on under the edge: a cut block may be folded inside, whole. Width left for new seams.",
        "Blocks that are whole after all; an edge that is the only strong part.",
        ("edge finish",),
    ),
    Stage(
        "ties",
        "Ties or quilting taken out",
        "From the middle outward: snip on the back, draw out on the front; quilting every third stitch from the back. A tie is kept.",
        "Holes that stay open, rust at knots, cloth torn by ties.",
        "Holes that show from arm's length; cloth that comes out with the knot.",
        ("ties", "quilting"),
    ),
    Stage(
        "backing",
        "The backing lifted",
        "Lift the backing from one side, rolling it; then the filling. Photograph what lies there before it is moved.",
        "Marks and sacks on the inside of the backing; repairs from behind; stains that went through.",
        "The backing is sound and large enough to serve again; the filling is an older quilt.",
        ("backing",),
    ),
    Stage(
        "top",
        "The top seen from behind",
        "Turn the top over on a clean sheet; photograph it whole from behind and each damaged place.",
        "Stitching by hand or machine, thread, allowances block by block, cut blocks folded inside, newspaper or foundation.",
        "It is strong enough to stay a top: back and quilt it again as it is. Dates or names on foundations.",
    ),
    Stage(
        "rows",
        "Rows parted",
        "Open the long seams between rows, those beside weak cloth last; each row is rolled and labeled.",
        "Allowances that fray; seams that were sewn twice.",
        "Fewer sound blocks than counted: reckon again what they give.",
    ),
    Stage(
        "blocks",
        "Blocks parted",
        "Open the short seams; each block goes flat into its bag with its label before the next is opened.",
        "Raw sides, measured: they need not be alike.",
        "The common size costs points: frame them, or sew them to a foundation.",
    ),
)

# One of each is kept as it is found.
SAMPLES = (
    "one whole block",
    "one tie, or a hand's length of quilting",
    "a piece of filling",
    "a strip of backing",
    "a seam with its thread",
)


@dataclass(frozen=True, slots=True)
class Stop:
    """Something that must be settled before anything is cut, and why."""

    what: str
    why: str


def missing(shown: Collection[str], notes: Iterable[Note], without: Collection[str]) -> tuple[str, ...]:
    """Name the photographs that are missing before any cutting.

    Parameters
    ----------
    shown : collection of str
        What the photographs of the study show.
    notes : iterable of Note
    without : collection of str
        Parts that are not there.

    Examples
    --------
    >>> missing({"front"}, [], {"backing"})
    ('details: a block, the edge, the worst spot', 'the top from behind')
    >>> missing({"front", "back", "detail"}, [Note("", "", "inscription", ())], set())
    ('the label or inscription that was noted, from near',)
    """
    found = []
    if "front" not in shown:
        found.append("the whole front")
    if "backing" not in without and "back" not in shown:
        found.append("the whole back")
    if "detail" not in shown:
        found.append("details: a block, the edge, the worst spot")
    if "label" not in shown and any(each.kind == "inscription" for each in notes):
        found.append("the label or inscription that was noted, from near")
    if "backing" in without and "behind" not in shown:
        found.append("the top from behind")
    return tuple(found)


def stops(notes: Iterable[Note], asked: str, dye_tested: bool, suspect: bool) -> tuple[Stop, ...]:
    """Name what stands in the way of cutting.

    Parameters
    ----------
    notes : iterable of Note
    asked : str
        Whom she has asked, or that nobody is to be asked; empty when she has not said.
    dye_tested : bool
        Whether every color that was tried kept its color, and one was tried.
    suspect : bool
        Whether a hand test found weak cloth.

    Examples
    --------
    >>> [each.what for each in stops([Note("", "", "inscription", (), says="M 1871")], "", True, False)]
    ['an inscription', 'nobody was asked yet']
    >>> stops([], "no family known; bought at a fair", True, False)
    ()
    """
    found = []
    written = [each for each in notes if each.kind == "inscription"]
    if written:
        found.append(
            Stop(
                "an inscription",
                "blocks with names, dates or signatures stay whole, and may be a reason to keep all of it",
            )
        )
    if not asked.strip():
        found.append(
            Stop("nobody was asked yet", "a family or a community that it comes from is asked before anything is cut")
        )
    if not dye_tested:
        found.append(Stop("no dye test", "no washing is planned until every color was tried"))
    if suspect:
        found.append(Stop("weak cloth", "blocks that hold it are left out of what can be given, or supported first"))
    return tuple(found)


Way = Literal["keep", "repair", "reset", "take apart", "reproduce"]


def row_order(blocks: Sequence[BlockState], *, on_point: bool = False) -> tuple[tuple[int, int], ...]:
    """Order the long seams between rows so that the weakest cloth is handled last.

    Parameters
    ----------
    blocks : sequence of BlockState
    on_point : bool
        Whether the blocks stand on point: then rows run along a diagonal, counted from the top left corner.

    Returns
    -------
    tuple of (row, weak)
        The row before each seam, from 0, and how many doubtful or lost blocks lie along it; those with fewest first.

    Examples
    --------
    Four whole blocks round one between them lie in three diagonal rows: one, three and one.

    >>> at = [(0, 0), (0, 1), (1, 0), (2, 0), (2, 1)]
    >>> row_order([BlockState(each, "lost" if each == (0, 0) else "sound") for each in at], on_point=True)
    ((1, 0), (0, 1))
    """
    weak: dict[int, int] = {}
    for each in blocks:
        row, column = each.at
        # Every second row is one of those between, half a block to the right.
        number = (row + 2 * column + row % 2) // 2 if on_point else row
        weak[number] = weak.get(number, 0) + (each.verdict != "sound")
    rows = sorted(weak)
    return tuple(
        sorted(((one, weak[one] + weak[other]) for one, other in pairwise(rows)), key=lambda seam: (seam[1], seam[0]))
    )
