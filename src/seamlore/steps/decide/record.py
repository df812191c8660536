"""What a quilt of blocks gives, as the command line asks for it: from counts and sizes alone."""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

from seamlore.condition.survey import BlockState
from seamlore.draft.kinds import plain_block
from seamlore.draft.quilt import Sashing
from seamlore.draft.quilt_checks import check_counts
from seamlore.draft.repeated import repeated
from seamlore.errors import MeasureError, SeamloreError
from seamlore.hours import hours
from seamlore.lengths import SEAM_ALLOWANCE, Length, Unit, checked_seam, show, show_seam, show_size
from seamlore.limits import BLOCKS
from seamlore.making.cutting import Cut
from seamlore.making.plan import FABRIC_WIDTH
from seamlore.making.strips import FabricNeed
from seamlore.saving.backing import Backs, backs
from seamlore.saving.cloth import BACKING, Cloth
from seamlore.saving.giving import Resewn, given, grid, resewn
from seamlore.saving.opening import seams, seams_kept
from seamlore.saving.projects import PROJECTS, fits
from seamlore.saving.resetting import NEW, CutBlocks, Opened, opened
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
    strips: tuple[str, ...] = ()
    anew: tuple[str, ...] = ()


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
    gone: Length | None = None,
    new_sashing: Length | None = None,
    new_border: Length | None = None,
    cut_blocks: CutBlocks = "as they are",
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
    gone : Length or None
        What the edge has cut off the blocks at each side that it cuts; half of a block when not given.
    new_sashing, new_border, cut_blocks
        For re-setting, as `saving.resetting.set_anew` takes them.

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
    if min(block).inches <= 0:
        raise MeasureError(f"a block of {show_size(*block)}", "both sides are above 0", "give its finished size")
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
    off = _cut_off(block, sides, gone)
    if cut_blocks != "as they are" and not off:
        raise MeasureError(
            f"cut blocks {cut_blocks}", "no side is cut", "name the sides with --cut, or leave that choice"
        )
    to_open = seams(rows, columns, block, (gap, gap), cut=off)
    setting = Sashing(gap, gap) if gap.inches > 0 else None
    whole = repeated("Old quilt", plain_block(), *block, rows, columns, setting)
    anew = None
    if new_sashing is not None or new_border is not None or cut_blocks != "as they are":
        kept = seams_kept(rows, columns, block, (gap, gap), (), off) if cut_blocks == "left out" else to_open
        size = whole.finished_size
        anew = opened(whole, kept, (size[0] + size[1]) * 2, sewn, FABRIC_WIDTH[unit], sashing=new_sashing, new_border=new_border, cut_blocks=cut_blocks, cut=off)  # fmt: skip
    strips = _strips(rows, columns, block, gap, off, left, sewn)
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
        "strips": [
            {
                "name": name,
                "count": count,
                "raw": [number(each.raw) for each in strip],
                "finished": [number(each.finished) for each in strip],
            }
            for name, count, strip in strips
        ],
        "reset": None if anew is None else _reset(anew, number),
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
        tuple(
            f"{count} of {name}, raw {show_size(*(each.raw for each in strip))}; sewn again {show_size(*(each.finished for each in strip))}"
            for name, count, strip in strips
        ),
        _reset_words(anew) if anew is not None else (),
    )


def _cut_off(block: tuple[Length, Length], sides: set[str], gone: Length | None) -> dict[str, Length]:
    """What is gone at each side that the edge cuts: half a block where nothing is said."""
    found: dict[str, Length] = {}
    for side in _SIDES:
        if side not in sides:
            continue
        whole = block[0] if side in ("left", "right") else block[1]
        found[side] = whole / 2 if gone is None else gone
        if not 0 < found[side].inches < whole.inches:
            raise MeasureError(
                f"{found[side]} cut off at the {side}",
                "it is more than nothing and less than a block",
                "measure again",
            )
    return found


def _strips(
    rows: int,
    columns: int,
    block: tuple[Length, Length],
    gap: Length,
    off: dict[str, Length],
    left: Length,
    seam: Length,
) -> list[tuple[str, int, tuple[Resewn, Resewn]]]:
    """The strips of sashing that come out whole, each with its length and its width."""
    if not gap.inches:
        return []
    none = block[0] * 0
    long = block[0] * columns + gap * (columns - 1) - off.get("left", none) - off.get("right", none)
    wide = resewn(gap, left, seam)
    found = [
        ("vertical sashing", rows * (columns - 1), (resewn(block[1], left, seam), wide)),
        ("horizontal sashing", rows - 1, (resewn(long, left, seam), wide)),
    ]
    return [each for each in found if each[1]]


def _new_cuts(anew: Opened) -> list[tuple[FabricNeed, Cut]]:
    """What is cut for the new setting; what completes a block is not known from counts alone."""
    return [(need, cut) for need in anew.fabrics if need.fabric.startswith(NEW) for cut in need.cuts]


def _reset(anew: Opened, number: Callable[[Length], float]) -> dict[str, Any]:
    return {
        "rows": anew.quilt.rows,
        "columns": anew.quilt.columns,
        "finished": [number(side) for side in anew.quilt.finished_size],
        "seams": number(anew.seams),
        "completed": anew.completed,
        "cutting": [
            {"fabric": need.fabric, "count": cut.count, "cut": [number(side) for side in cut.size]}
            for need, cut in _new_cuts(anew)
        ],
        "fabrics": [
            {"fabric": need.fabric, "length": number(need.length), "buy": need.buy}
            for need in anew.fabrics
            if need.fabric.startswith(NEW)
        ],
    }


def _reset_words(anew: Opened) -> tuple[str, ...]:
    lines = [
        f"{anew.quilt.rows} rows of {anew.quilt.columns}, {show_size(*anew.quilt.finished_size)}; {show(anew.seams)} of seams to open"
    ]
    if anew.completed:
        lines.append(
            f"{anew.completed} cut blocks to complete: their patches are listed on the page Decide, where the blocks are known"
        )
    lines += [f"{need.fabric}: {cut.how}" for need, cut in _new_cuts(anew)]
    lines += [f"{need.buy} of {need.fabric}" for need in anew.fabrics if need.fabric.startswith(NEW)]
    return tuple(lines)


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
