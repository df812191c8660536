"""How blocks are laid out and joined into the top, and what is sewn round it, in words."""

from __future__ import annotations

from collections.abc import Collection, Iterable

from seamlore.draft.border import widths_said
from seamlore.draft.groups import as_sewn, groups
from seamlore.draft.groups import ways as numbers
from seamlore.draft.kinds import AS_DRAWN
from seamlore.draft.quilt import Quilt
from seamlore.draft.setting.arranged import arrange
from seamlore.draft.setting.setting import Offset, Strips
from seamlore.draft.where import SIDES, SideName, said_all
from seamlore.lengths import show
from seamlore.sewing.row_names import line_of, lines
from seamlore.sewing.top import Ring, Top
from seamlore.sheets.pattern import SewingStep
from seamlore.steps.sewing.pressing import rows_pressing, top_pressing
from seamlore.steps.words import listed

# Turned blocks that are named; more are told by the drawing.
_NAMED = 24


def top_steps(top: Top, quilt: Quilt) -> tuple[SewingStep, ...]:
    """Say how blocks are joined into the top, and what is sewn round it.

    Examples
    --------
    >>> from seamlore.draft.catalogue import find
    >>> from seamlore.draft.repeated import repeated
    >>> from seamlore.draft.setting.setting import OnPoint
    >>> from seamlore.lengths import inches
    >>> from seamlore.sewing.top import sewn_top
    >>> point = repeated("q", find("four patch"), inches(8), inches(8), 2, 2, setting=OnPoint())
    >>> print(*top_steps(sewn_top(point), point)[0].steps, sep="\\n")
    Sew 3 diagonal rows, of 1, 3 and 1 blocks, with a side triangle at each end (4 in all); join the rows.
    Sew the 4 corner triangles on last.
    Give 1 block a half turn, which changes nothing that is seen, so that seams nest: row 2, column 1.
    """
    steps = [*_laid_out(quilt), *_joined(top, quilt)]
    for number, ring in enumerate(top.borders, start=1):
        name = "the border" if len(top.borders) == 1 else f"border {number}"
        steps += _ring_words(ring, quilt, name)
    scrappy = any(place.scrappy for kind in quilt.kinds for place in kind.block.places.values())
    return (SewingStep("The top", (*steps, *top_pressing(top, scrappy=scrappy))),)


def layout_words(quilt: Quilt) -> Iterable[str]:
    """Say how the blocks lie, with the drawing of the layout.

    Examples
    --------
    >>> from seamlore.draft.catalogue import find
    >>> from seamlore.draft.cells import with_cells
    >>> from seamlore.draft.kinds import Cell, Turned
    >>> from seamlore.draft.repeated import repeated
    >>> from seamlore.lengths import inches
    >>> two = repeated("q", find("log cabin"), inches(8), inches(8), 1, 2)
    >>> print(*layout_words(with_cells(two, {(0, 1): Cell("LC", Turned(90))})), sep="\\n")
    Lay all blocks out before you join them. An arrow in a block points to its top, as the block is drawn where it is sewn.
    A quarter turn to the right: row 1, column 2.
    """
    if quilt.rows == quilt.columns == 1:
        yield f"One block{', and what goes round it' if quilt.borders else ''}."
        return
    several = " The signs are those of the blocks." if len(quilt.kinds) > 1 else ""
    count = len(lines(quilt, arrange(quilt).spots))
    line = line_of(quilt)
    where = {"row": "", "column": "", "diagonal row": ", counted from the top right corner"}[line]
    circles = f" A number in a circle is that of a {line}{where}." if count > 1 else ""
    ways: dict[tuple[int, bool], list[tuple[int, int]]] = {}
    for at, lies in sorted(as_sewn(quilt).items()):
        if lies.turn or lies.mirrored:
            ways.setdefault((lies.turn, lies.mirrored), []).append(at)
    arrows = " An arrow in a block points to its top, as the block is drawn where it is sewn." if any(ways) else ""
    parts = any(count > 1 for _, count in numbers(groups(quilt)))
    which = " A number in brackets says which of the ways a block is that the edge has cut." if parts else ""
    yield f"Lay all blocks out before you join them.{arrows}{several}{which}{circles}"
    if sum(map(len, ways.values())) > _NAMED:
        return
    for (turn, mirrored), spots in sorted(ways.items()):
        way = {0: "", 90: "a quarter turn to the right", 180: "a half turn", 270: "a quarter turn to the left"}[turn]
        how = ", ".join(part for part in ("reversed" if mirrored else "", way) if part)
        yield f"{how[0].upper()}{how[1:]}: {said_all(spots)}."


def _laid_out(quilt: Quilt) -> Iterable[str]:
    turned = sum(lies != AS_DRAWN for lies in as_sewn(quilt).values())
    if len(quilt.counts) > 1 or turned:
        ways = f" {turned} block{'s lie' if turned > 1 else ' lies'} turned or mirrored." if turned else ""
        yield f"Lay the blocks out first as the drawing of the quilt shows.{ways}"
    missing = len(quilt.not_read)
    if missing:
        yield (
            f"{missing} block{'s are' if missing > 1 else ' is'} not read and counted nowhere: the top cannot be joined "
            f"until {'they are' if missing > 1 else 'it is'} known."
        )


def _joined(top: Top, quilt: Quilt) -> Iterable[str]:
    rows = top.rows
    sashed = bool(quilt.sashing and any(quilt.gaps))
    corners = bool(quilt.sashing and quilt.sashing.cornerstones)
    count = len(rows.lengths)
    if rows.way == "columns":
        assert isinstance(quilt.setting, Strips)
        strips = count + (1 if quilt.setting.outer else -1)
        between = f" with {strips} strip{'s' * (strips != 1)} of {show(quilt.setting.width)}" if strips else ""
        ends = ", filled out with side and corner triangles," if rows.side_triangles or rows.corner_triangles else ""
        yield f"Sew {count} column{'s' * (count != 1)} of {rows.lengths[0]} blocks{ends} and join them{between}."
        return
    if rows.way == "diagonal rows":
        ends = (
            f", with a side triangle at each end ({rows.side_triangles} in all)"
            if rows.side_triangles
            else ", cut blocks at their ends"
            if not rows.corner_triangles
            else ""
        )
        between = " and sashing between the blocks and the rows" if sashed else ""
        of = listed([str(length) for length in rows.lengths])
        spanned = sashed and rows.side_triangles and quilt.sashing and not quilt.sashing.outer
        if count > 1 and spanned:
            yield (
                f"Sew {count} diagonal rows, of {of} blocks, with sashing between the blocks. Join them with the sashing between "
                f"the rows and the {rows.side_triangles} side triangles in the order of the steps: a triangle closes the end of a "
                "row and of its sashing at once."
            )
        elif count > 1:
            yield f"Sew {count} diagonal rows, of {of} blocks{ends}{between}; join the rows."
        if rows.corner_triangles:
            yield f"Sew the {rows.corner_triangles} corner triangles on last."
        return
    if sashed and corners:
        yield (
            "Sew each row of blocks with vertical sashing between, and each row of horizontal sashing with its "
            "cornerstones; press toward the sashing, then join the rows."
        )
    elif sashed:
        upright, level = (bool(gap) for gap in quilt.gaps)
        within = " with vertical sashing between" * upright
        joined = "join the rows with horizontal sashing" if level else "join the rows"
        yield f"Sew each row of blocks{within}, then {joined}. Press toward the sashing."
    elif sum(rows.lengths) > 1:
        pressing = f", {way}" if (way := rows_pressing(top)) else ""
        yield f"Join the blocks into rows{pressing}; then join the rows."
    if isinstance(quilt.setting, Offset):
        ends = "cut blocks" if quilt.setting.ends == "cut blocks" else "plain pieces"
        yield f"Every second row begins and ends with {ends}."


def _in_order(where: Collection[SideName]) -> str:
    """Which sides a butted border is sewn to: left and right first, for top and bottom run across them."""
    upright = [side for side in ("left", "right") if side in where]
    level = [side for side in ("top", "bottom") if side in where]
    first = "the sides" if len(upright) == 2 else f"the {upright[0]} side" if upright else ""
    then = "top and bottom" if len(level) == 2 else f"the {level[0]}" if level else ""
    return ", then to ".join(part for part in (first, then) if part)


def _ring_words(ring: Ring, quilt: Quilt, name: str) -> Iterable[str]:
    border = ring.border
    held = [(side, count) for side, count in zip(SIDES, ring.units, strict=True) if count]
    if held:
        counts = {count for _, count in held}
        each = (
            f"{held[0][1]} units for each side"
            if len(held) == 4 and len(counts) == 1
            else listed([f"{count} units for the {side}" for side, count in held])
        )
        yield f"Sew the units of {name} into strips: {each}."
    if not border.even:
        yield f"{name[0].upper()}{name[1:]} is {widths_said(border)}."
    where = [side for side in SIDES if border.side(side).width]
    if border.corners == "mitered":
        slant = ", each miter from the outer corner to the inner one" if len(border.widths) > 1 else ""
        yield f"Sew {name} to all four sides and miter its corners{slant}."
    elif border.corners == "squares":
        what = "corner blocks" if ring.corners else "corner squares"
        yield f"Sew {name} to the sides; sew {what} to its other strips and join those at top and bottom."
    else:
        yield f"Measure the top through its middle; sew {name} to {_in_order(where)}."
