"""What a quilt of blocks gives, as the command line asks for it: from counts and sizes alone."""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import Any

from seamlore.condition.survey import BlockState
from seamlore.draft.quilt import check_counts
from seamlore.errors import MeasureError, SeamloreError
from seamlore.hours import hours
from seamlore.lengths import SEAM_ALLOWANCE, Length, Unit, checked_seam, show, show_seam
from seamlore.limits import BLOCKS
from seamlore.saving.backing import Backs, backs
from seamlore.saving.cloth import BACKING, Cloth
from seamlore.saving.giving import Resewn, given, grid, resewn
from seamlore.saving.projects import PROJECTS, fits
from seamlore.saving.resetting import seams
from seamlore.saving.small_quilt import best
from seamlore.steps.decide.words import small_words, thing_words

_SIDES = ("left", "top", "right", "bottom")


@dataclass(frozen=True, slots=True)
class Counted:
    """What a quilt of blocks gives, in words and as one JSON object."""

    words: str
    block: tuple[Resewn, Resewn]
    small_words: str
    things: tuple[dict[str, Any], ...]
    record: dict[str, Any]
    opening: str = ""
    backs: tuple[Backs, ...] | None = None


def as_record(
    rows: int,
    columns: int,
    block: tuple[Length, Length],
    sashing: Length | None,
    widest: Length | None,
    cut: str,
    lost: str,
    *,
    wished: tuple[Length, Length] | None,
    allowance: Length | None,
    seam: Length | None,
    backing: tuple[Length, Length] | None = None,
) -> Counted:
    """Count what a quilt of blocks gives.

    Parameters
    ----------
    rows, columns : int
    block : (width, height)
        Finished.
    sashing, widest : Length or None
    cut, lost : str
        Sides that the edge cuts; blocks that are not sound, "row,column" from 1.
    wished : (width, height) or None
    allowance, seam : Length or None
    backing : (width, height) or None
        What is sound of the old backing, as one piece.

    Raises
    ------
    SeamloreError

    Examples
    --------
    >>> from seamlore.lengths import inches
    >>> found = as_record(8, 7, (inches(8), inches(8)), inches(3), None, "left,top,right,bottom", "",
    ...     wished=None, allowance=None, seam=None)
    >>> found.words, found.small_words
    ('30 whole blocks, 22 on the edge, 4 at corners', '5 across and 6 down, sashing 3 in: 52 x 63 in; none left over')
    """
    check_counts(rows, columns)
    if rows * columns > BLOCKS:
        raise MeasureError(f"{rows} rows of {columns} blocks", f"at most {BLOCKS:,} blocks are taken", "count again")
    sides = {each.strip() for each in cut.split(",") if each.strip()}
    if wrong := sides - set(_SIDES):
        raise MeasureError(f'the side "{min(wrong)[:20]}"', f"a quilt has {', '.join(_SIDES)}", "name these")
    states = [BlockState(at, "lost") for at in _cells(lost, rows, columns)]
    found = given(grid(rows, columns), sides, states)
    sewn = checked_seam(SEAM_ALLOWANCE[block[0].unit] if seam is None else seam)
    left = sewn if allowance is None else allowance
    for what, width in (("a seam allowance", sewn), ("an allowance left on the blocks", left)):
        if width >= min(block):
            raise MeasureError(
                f"{what} of {show_seam(width)}", "it is narrower than the block", "give what is beyond the seam"
            )
    again = (resewn(block[0], left, sewn), resewn(block[1], left, sewn))
    sizes = (again[0].finished, again[1].finished)
    gap = sashing if sashing is not None else block[0] * 0
    small, fault = None, ""
    try:
        small = best(len(found.whole), sizes, (gap, widest or gap), wished=wished, like=(rows, columns))
    except SeamloreError as refused:
        if found.whole:
            raise
        # Said kindly: what remains is counted all the same.
        fault = str(refused)
    things = tuple(
        thing_words(each, number)
        for number, each in enumerate(
            fits(len(found.whole), sizes, seam=sewn, cut=len(found.edge) + len(found.corners)), start=1
        )
    )
    unit = block[0].unit
    to_open = seams(rows, columns, block, (gap, gap))
    spent = hours("inch of seam opened", to_open.inches_float)
    old = _backs(backing, unit)

    def number(length: Length) -> float:
        return float(length.measured_in(unit))

    record = {
        "unit": unit.value,
        "whole": [list(each) for each in found.whole],
        "edge": [list(each) for each in found.edge],
        "corners": [list(each) for each in found.corners],
        "block": {
            "raw": [number(each.raw) for each in again],
            "finished": [number(each.finished) for each in again],
            "points_lost": number(again[0].points_lost),
        },
        "small_quilt": None
        if small is None
        else {
            "rows": small.rows,
            "columns": small.columns,
            "sashing": number(small.sashing),
            "size": [number(small.width), number(small.height)],
            "left_over": small.left_over,
            "off": number(small.off),
        },
        "seams": number(to_open),
        "opening_hours": [round(spent.least, 2), round(spent.most, 2)],
        "backing": None
        if old is None
        else [
            {
                "name": each.project.name,
                "size": [number(each.width), number(each.height)],
                "count": each.count,
                "touches": each.project.touches,
            }
            for each in old
        ],
        "things": [{name: each[name] for name in ("name", "takes", "count", "left", "touches")} for each in things],
    }
    words = f"{len(found.whole)} whole blocks, {len(found.edge)} on the edge, {len(found.corners)} at corners"
    return Counted(
        words,
        again,
        small_words(small) if small else fault,
        things,
        record,
        f"{show(to_open)} of seams to open: {spent}",
        old,
    )


def _backs(backing: tuple[Length, Length] | None, unit: Unit) -> tuple[Backs, ...] | None:
    if backing is None:
        return None
    from shapely import box  # slow to import: only where a backing is given

    wide, high = (float(side.measured_in(unit)) for side in backing)
    return backs(Cloth(BACKING, (box(0, 0, wide, high),), wide * high), PROJECTS, unit)


def _cells(text: str, rows: int, columns: int) -> list[tuple[int, int]]:
    found = []
    for word in text.split():
        pair = re.fullmatch(r"(\d{1,5}),(\d{1,5})", word)
        at = (int(pair[1]) - 1, int(pair[2]) - 1) if pair else (-1, -1)
        if not (0 <= at[0] < rows and 0 <= at[1] < columns):
            raise MeasureError(
                f'the block "{word[:20]}"', f"there are {rows} rows of {columns}", "write row,column from 1"
            )
        found.append(at)
    return found
