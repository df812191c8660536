"""Pressing in words: which blocks are pressed otherwise or turned so that seams nest, and where none can."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Collection, Iterable, Sequence
from itertools import pairwise

from seamlore.draft.where import SIDES, Where, said_all
from seamlore.sewing.ends import Lying
from seamlore.sewing.top import Made, OtherWay, Top
from seamlore.steps.words import listed

# Blocks that are named one by one; more are told by how they lie, or row by row.
_NAMED = 12
_FEW = 3


def block_pressing(made: Made, top: Top) -> Iterable[str]:
    """Say which blocks of one kind are pressed otherwise than the steps show, and how many crossings do not nest.

    Examples
    --------
    >>> from seamlore.draft.catalogue import find
    >>> from seamlore.draft.repeated import repeated
    >>> from seamlore.lengths import inches
    >>> from seamlore.sewing.top import sewn_top
    >>> nine = sewn_top(repeated("q", find("nine patch"), inches(9), inches(9), 4, 4))
    >>> print(*block_pressing(nine.blocks[0], nine))
    In 8 of the 16 press every seam against the arrows, so that neighbors nest: every other block, as on a checkerboard.
    >>> list(block_pressing(sewn_top(repeated("q", find("four patch"), inches(9), inches(9), 1, 1)).blocks[0], nine))
    []
    """
    if made.others and top.lying is not None:
        numbers = {piece.where: number for number, piece in enumerate(top.pieces)}
        ways = {spot.where: top.lying.lying[numbers[spot.where]].way for spot in made.group.spots}
        counts = {way: list(ways.values()).count(way) for way in set(ways.values())}
        usual = min(counts, key=lambda way: (-counts[way], way))
        for other in made.others:
            those = [where for where, way in sorted(ways.items()) if way != usual and counts[way] == other.count]
            if made.group.role == "border":
                which = _along_sides(those)
            else:
                which = _which([(at.row, at.column) for at in those], [(at.row, at.column) for at in ways])
            yield (
                f"In {other.count} of the {made.count} press {_against(made, other)} against the arrows, so that neighbors "
                f"nest{which}."
            )
    if made.clashes:
        count = len(set(made.clashes))
        yield (
            f"At {count} point{'s' * (count != 1)} of it seams do not nest, whichever way they are pressed: {_helped(top)}."
        )


def _helped(top: Top) -> str:
    """What helps where seams do not nest."""
    return "pin there" if top.in_the_ditch else "pin there, or press open"


def pressing_reached(made: Made, *, in_the_ditch: bool = False) -> Iterable[str]:
    """Say what the pressing of one kind of spot leaves, and what no pressing could better.

    Examples
    --------
    >>> from seamlore.draft.catalogue import find
    >>> from seamlore.draft.repeated import repeated
    >>> from seamlore.lengths import inches
    >>> from seamlore.sewing.top import sewn_top
    >>> def told(name):
    ...     print(*pressing_reached(sewn_top(repeated("q", find(name), inches(9), inches(9), 1, 1)).blocks[0]))
    >>> told("yankee puzzle")
    Pressed as shown every crossing nests, no point is thicker than four allowances, and nothing dark lies under light.
    >>> told("shoo fly")
    Pressed as shown it has 10 stretches of seam with dark under light; no pressing leaves less.
    """
    if made.pressed is None:
        return
    left = _left(made.pressed.value)
    if not left:
        yield "Pressed as shown every crossing nests, no point is thicker than four allowances, and nothing dark lies under light."
        return
    best = made.pressed.value == made.pressed.bound
    least = _left(made.pressed.bound)
    without = " without open seams" * in_the_ditch
    sure = (
        f"no pressing{without} leaves less"
        if best
        else f"none can leave less than {listed(least) if least else 'nothing'}"
    )
    yield f"Pressed as shown it has {listed(left)}; {sure}."


def _left(value: Sequence[int]) -> list[str]:
    words = (
        ("crossing that does not nest", "crossings that do not nest"),
        ("point thicker than four allowances", "points thicker than four allowances"),
        ("seam toward the fuller of two pieces", "seams toward the fuller of two pieces"),
        ("stretch of seam with dark under light", "stretches of seam with dark under light"),
    )
    return [f"{count} {many if count > 1 else one}" for count, (one, many) in zip(value, words, strict=True) if count]


def _against(made: Made, other: OtherWay) -> str:
    """The steps whose seams are pressed otherwise than most blocks have them."""
    whole, part = list[str](), list[str]()
    for mine, theirs in zip(made.steps, other.steps, strict=True):
        unlike = sum(one.press != two.press for one, two in zip(mine.seams, theirs.seams, strict=True))
        if unlike:
            (whole if unlike == len(mine.seams) else part).append(mine.name)
    if len(whole) == len(made.steps):
        return "every seam"
    some = [f"some seams of {listed(part)}"] if part else []
    return listed([*whole, *some])


def top_pressing(top: Top, *, scrappy: bool = False) -> Iterable[str]:
    """Say how the seams that join the blocks are pressed.

    Parameters
    ----------
    top : Top
    scrappy : bool
        Whether a place takes many fabrics: then a block that looks the same turned shows another scrap there.

    Examples
    --------
    >>> from seamlore.draft.catalogue import find
    >>> from seamlore.draft.repeated import repeated
    >>> from seamlore.lengths import inches
    >>> from seamlore.sewing.top import sewn_top
    >>> print(*top_pressing(sewn_top(repeated("q", find("log cabin"), inches(9), inches(9), 2, 2))), sep="\\n")
    At 3 points where blocks meet seams do not nest, whichever way they are pressed: pin there, or press open.
    """
    if top.lying is None:
        return
    turned = {
        (top.pieces[number].where.row, top.pieces[number].where.column): lies
        for number, lies in top.lying.lying.items()
        if lies.quarters and top.pieces[number].where.part == "block"
    }
    if turned:
        yield from _turned(turned, top, "moves no seam, only scraps" if scrappy else "changes nothing that is seen")
    count = len(top.lying.clashes) + len(top.clashes)
    bound = top.lying.bound + top.bound
    if count:
        sure = (
            "whichever way they are pressed" if count == bound else f"and at {bound} of them no pressing could help"
        )
        sure = sure if bound else "and no better way was found"
        where = f"At {count} point{'s' * (count != 1)} where blocks meet seams do not nest"
        yield f"{where}, {sure}: {_helped(top)}."


def _turned(turned: dict[tuple[int, int], Lying], top: Top, how: str) -> Iterable[str]:
    of = [
        (piece.where.row, piece.where.column)
        for number, piece in enumerate(top.pieces)
        if number in (top.lying.lying if top.lying else {}) and piece.where.part == "block"
    ]
    turns = {1: "a quarter turn to the right", 2: "a half turn", 3: "a quarter turn to the left"}
    for quarters, turn in turns.items():
        which = [at for at, lies in sorted(turned.items()) if lies.quarters == quarters]
        if which:
            many = f"{len(which)} block{'s' * (len(which) != 1)}"
            yield f"Give {many} {turn}, which {how}, so that seams nest{_which(which, of)}."


def _along_sides(some: Sequence[Where]) -> str:
    """Which units of a border, by their places along its sides, counted from the left or from the top."""
    by_place: dict[int, list[str]] = defaultdict(list)
    for where in some:
        by_place[where.column].append(where.side)
    if len(by_place) > _NAMED:
        return ""
    alike: dict[tuple[str, ...], list[int]] = defaultdict(list)
    for place, sides in by_place.items():
        alike[tuple(each for each in SIDES if each in sides)].append(place + 1)
    told = [
        f"number {listed([str(each) for each in places])} {'on each side' if len(sides) == len(SIDES) else f'at the {listed(list(sides))}'}"
        for sides, places in alike.items()
    ]
    return f": {'; '.join(told)}"


def _which(some: Sequence[tuple[int, int]], of: Sequence[tuple[int, int]]) -> str:
    """Which blocks of a quilt, where they are few or lie regularly."""
    chosen = set(some)
    if len(chosen) == len(of):
        return ": all of them"
    if len(chosen) > _FEW:
        for said_of, down, across in (
            ("every other block, as on a checkerboard", 1, 1),
            ("every other row", 1, 0),
            ("every other column", 0, 1),
        ):
            for odd in (0, 1):
                if chosen == {at for at in of if (at[0] * down + at[1] * across) % 2 == odd}:
                    begins = ", beginning with the first" if odd == 0 and "check" not in said_of else ""
                    return f": {said_of}{begins}"
    if len(chosen) <= _NAMED:
        return f": {said_all(chosen)}"
    return ": " + "; ".join(_in_row(row, chosen, of) for row in sorted({row for row, _ in chosen}))


def _in_row(row: int, chosen: Collection[tuple[int, int]], of: Sequence[tuple[int, int]]) -> str:
    """Which blocks of one row, neighbors together."""
    columns = sorted(column for at, column in chosen if at == row)
    if len(columns) == sum(at == row for at, _ in of):
        return f"all of row {row + 1}"
    return said_all((row, column) for column in columns)


def rows_pressing(top: Top) -> str:
    """Say in half a sentence how the seams between the blocks of a row are pressed; empty where there are none.

    Examples
    --------
    >>> from seamlore.draft.catalogue import find
    >>> from seamlore.draft.repeated import repeated
    >>> from seamlore.lengths import inches
    >>> from seamlore.sewing.top import sewn_top
    >>> rows_pressing(sewn_top(repeated("q", find("four patch"), inches(9), inches(9), 3, 3)))
    'pressing each row the other way from the last'
    """
    ways: dict[int, set[str]] = {}
    for step in top.steps:
        if step.made == "row":
            for copy, presses in zip(step.copies, step.presses, strict=False):
                ways.setdefault(top.pieces[copy[0]].where.row, set()).update(presses)
    rows = sorted(ways)
    if not rows:
        return ""
    by_turns = all(len(each) == 1 for each in ways.values()) and all(
        ways[one] != ways[two] for one, two in pairwise(rows)
    )
    if by_turns:
        return "pressing each row the other way from the last"
    return "pressing toward the plainer of two blocks, and where both are alike each row the other way from the last"
