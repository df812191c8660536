"""What a quilt gives in one piece: whole and cut blocks, strips, borders, areas of backing, and what each finishes at."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from seamlore.draft.quilt import Quilt
from seamlore.errors import MeasureError
from seamlore.lengths import Length, Unit, in_unit, inches, on_mark
from seamlore.saving.backing import areas
from seamlore.saving.between import Strip
from seamlore.saving.cloth import BACKING, Cloth
from seamlore.saving.giving import Given, Resewn, resewn
from seamlore.steps.assess.assess import Assessed
from seamlore.steps.decide.loose import allowance_left
from seamlore.steps.decide.setting import block_sizes, bordered_by, cuts_of, gaps_between, pointed, seam_of
from seamlore.steps.study.job import Job

Sizes = tuple[Length, Length]
_CALLED = {
    "short sashing": "vertical sashing, between the blocks of a row",
    "long sashing": "horizontal sashing, between rows",
    "top border": "border at the top",
    "bottom border": "border at the bottom",
    "left border": "border at the left",
    "right border": "border at the right",
}
# The longest sound pieces of damaged strips that are listed.
_MOST_RUNS = 6


@dataclass(frozen=True, slots=True)
class OnePiece:
    """Pieces of one kind that come out whole.

    Parameters
    ----------
    name : str
    sound, of : int
        How many of how many.
    raw, again : (width, height) or None
        As each comes out, raw edge to raw edge, and what it finishes at when it is sewn again; None where no size is
        known or nothing is left.
    note : str
        What that costs, or why none is given.
    """

    name: str
    sound: int
    of: int
    raw: Sizes | None
    again: Sizes | None
    note: str = ""


def one_pieces(
    job: Job,
    found: Assessed,
    quilt: Quilt | None,
    gives: Given | None,
    strips: Sequence[Strip],
    weak: dict[str, str],
    sound: Sequence[Cloth],
) -> tuple[OnePiece, ...]:
    """List what comes out in one piece, the blocks first, then strips, borders and areas of the backing.

    Parameters
    ----------
    job : Job
    found : Assessed
    quilt : Quilt or None
    gives : Given or None
    strips : sequence of Strip
    weak : dict of str to str
        Parts that a hand test found weak, and why.
    sound : sequence of Cloth
    """
    made: list[OnePiece] = []
    sizes = block_sizes(job, quilt)
    if gives is not None:
        made += _blocks(job, found, quilt, gives, sizes)
    if sizes is not None:
        made += _strips(job, quilt, sizes, strips, weak)
    backing = next((each for each in sound if each.of == BACKING), None)
    if backing is not None and not backing.suspect and found.unit != "width":
        made += _areas(job, backing, Unit(found.unit))
    return tuple(made)


def _blocks(job: Job, found: Assessed, quilt: Quilt | None, gives: Given, sizes: Sizes | None) -> Iterator[OnePiece]:
    cut = cuts_of(job, quilt)
    last = tuple(max(at[axis] for at in found.ground.block_at) for axis in (0, 1))

    def sides(at: tuple[int, int]) -> tuple[str, ...]:
        meets = {"left": at[1] == 0, "top": at[0] == 0, "right": at[1] == last[1], "bottom": at[0] == last[0]}
        return tuple(side for side, there in meets.items() if there and side in cut)

    every = Counter(map(sides, found.ground.block_at))
    fine = Counter(map(sides, (*gives.whole, *gives.edge, *gives.corners)))
    for which, of in sorted(every.items(), key=lambda each: (len(each[0]), each[0])):
        name = f"blocks cut at the {' and '.join(which)}" if which else "whole blocks"
        left = _left(sizes, which, cut) if sizes is not None else None
        ends = (sum(side in which for side in ("left", "right")), sum(side in which for side in ("top", "bottom")))
        yield _piece(job, name, fine[which], of, left, ends, points=pointed(quilt))


def _left(sizes: Sizes, which: Sequence[str], cut: dict[str, Length]) -> Sizes | None:
    """What the edge has left of a block; None where it is not known how much it cuts off."""
    if any(not cut[side] for side in which):
        return None
    wide, high = sizes
    for side in which:
        if side in ("left", "right"):
            wide -= cut[side]
        else:
            high -= cut[side]
    return wide, high


def _piece(
    job: Job,
    name: str,
    sound: int,
    of: int,
    left: Sizes | None,
    ends: tuple[int, int] = (0, 0),
    *,
    points: bool = False,
) -> OnePiece:
    if left is None:
        return OnePiece(name, sound, of, None, None, "no size is known")
    allowance, seam = allowance_left(job), seam_of(job)
    try:
        again = [resewn(side, allowance, seam, cut_ends=cut) for side, cut in zip(left, ends, strict=True)]
    except MeasureError:
        return OnePiece(name, sound, of, left, None, "nothing is left between the seams: as patches alone")
    raw, finished = (again[0].raw, again[1].raw), (again[0].finished, again[1].finished)
    return OnePiece(name, sound, of, raw, finished, _costs(again[0], points, any(ends)))


def _costs(one: Resewn, points: bool, cut: bool) -> str:
    said = []
    if cut:
        said.append("the cut side has no allowance: the seam is taken from the block")
    if not one.keeps_points:
        said.append(
            "points lost along the edges: frame it, or sew it to a foundation"
            if points
            else "smaller by what the seam takes more"
        )
    return "; ".join(said)


def _strips(
    job: Job, quilt: Quilt | None, sizes: Sizes, strips: Sequence[Strip], weak: dict[str, str]
) -> Iterator[OnePiece]:
    gaps = gaps_between(job, quilt, sizes)
    cut = cuts_of(job, quilt)
    none = sizes[0] * 0
    reading = job.reading
    columns = reading.columns or 1
    around = bordered_by(job, quilt)
    size = job.size
    measured: dict[str, Sizes | None] = {
        "short sashing": (sizes[1] if reading.setting == "straight" else sizes[0], gaps[0]),
        "long sashing": (
            sizes[0] * columns + gaps[0] * (columns - 1) - cut.get("left", none) - cut.get("right", none),
            gaps[1],
        ),
    }
    for side in ("top", "bottom", "left", "right"):
        long = None if size is None else size[0] if side in ("top", "bottom") else size[1] - around.get("top", none) - around.get("bottom", none)  # fmt: skip
        measured[f"{side} border"] = (long, around[side]) if long is not None and side in around else None
    for kind, name in _CALLED.items():
        alike = [each for each in strips if each.kind == kind]
        left = measured[kind]
        if not alike or (left is not None and not left[1]):
            continue
        why = weak.get(alike[0].of, "")
        whole = 0 if why else sum(each.whole for each in alike)
        made = _piece(job, name, whole, len(alike), left)
        yield OnePiece(
            name,
            whole,
            len(alike),
            made.raw,
            made.again,
            why or "; ".join(filter(None, [made.note, *_runs(job, alike)])),
        )


def _runs(job: Job, strips: Sequence[Strip]) -> Iterator[str]:
    """The longest sound pieces of strips that are not whole, as they can be cut; and how many bear writing."""
    unit = job.reading.unit
    if any(each.bears for each in strips):
        yield "what bears writing stays whole"
    if unit == "width":
        return
    least = inches(2) if job.unit is Unit.INCH else in_unit(5, Unit.CM)
    mark = inches("1/4") if job.unit is Unit.INCH else in_unit("0.5", Unit.CM)
    found = [
        on_mark(in_unit((end - begin) * each.long, Unit(unit)).shown_in(job.unit), "down", mark)
        for each in strips
        if not each.whole
        for begin, end in each.sound
    ]
    listed = sorted((each for each in found if each >= least), reverse=True)
    if listed:
        more = f" and {len(listed) - _MOST_RUNS} more" if len(listed) > _MOST_RUNS else ""
        yield f"of damaged ones, cut across: {', '.join(map(str, listed[:_MOST_RUNS]))}{more}"


def _areas(job: Job, backing: Cloth, unit: Unit) -> Iterator[OnePiece]:
    mark = inches("1/4") if job.unit is Unit.INCH else in_unit("0.5", Unit.CM)
    least = float((inches(6) if job.unit is Unit.INCH else in_unit(15, Unit.CM)).measured_in(unit))
    key = ("areas", tuple(piece.wkb for piece in backing.pieces), least)
    seam = seam_of(job)
    for number, sides in enumerate(job.memo.get(key, lambda: areas(backing, least)), start=1):
        raw = tuple(on_mark(in_unit(side, unit).shown_in(job.unit), "down", mark) for side in sides)
        again = (raw[0] - seam * 2, raw[1] - seam * 2)
        yield OnePiece(
            "backing, the largest area" if number == 1 else f"backing, area {number} beside it",
            1,
            1,
            (raw[0], raw[1]),
            again,
        )
