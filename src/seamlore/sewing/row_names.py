"""What the steps that join a field are called: after the rows that the layout numbers, and in their order."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable, Mapping, Sequence
from dataclasses import replace
from fractions import Fraction
from typing import Literal

from seamlore.draft.quilt import Quilt
from seamlore.draft.setting.parts import Spot
from seamlore.draft.setting.setting import OnPoint, Strips
from seamlore.sewing.steps import Step

Line = Literal["row", "diagonal row", "column"]


def line_of(quilt: Quilt) -> Line:
    """Say in what the blocks of a quilt are joined first: rows, rows on the diagonal, or columns."""
    if isinstance(quilt.setting, Strips):
        return "column"
    return "diagonal row" if isinstance(quilt.setting, OnPoint) else "row"


def lines(quilt: Quilt, spots: Sequence[Spot]) -> list[list[Spot]]:
    """Gather the blocks of each row, or column, in the order in which the layout numbers them.

    Parameters
    ----------
    quilt : Quilt
    spots : sequence of Spot
        Of its arrangement; those of blocks alone are gathered.

    Returns
    -------
    list of list of Spot
        Rows from the top; rows on the diagonal from the top right corner; columns from the left.

    Examples
    --------
    >>> from seamlore.draft.catalogue import find
    >>> from seamlore.draft.layout import arrange
    >>> from seamlore.draft.repeated import repeated
    >>> from seamlore.lengths import inches
    >>> point = repeated("q", find("four patch"), inches(8), inches(8), 2, 3, setting=OnPoint())
    >>> [len(row) for row in lines(point, arrange(point).spots)]
    [1, 3, 3, 1]
    """
    blocks = [spot for spot in spots if spot.where.part == "block"]
    if isinstance(quilt.setting, Strips):
        return _by(blocks, lambda spot: Fraction(spot.where.column), lambda spot: Fraction(spot.where.row))
    # In the turned frame a row on the diagonal runs along x.
    return _by(blocks, lambda spot: spot.y if spot.frame.tilted else Fraction(spot.where.row), lambda spot: spot.x)


def _by(
    spots: Sequence[Spot], row: Callable[[Spot], Fraction], along: Callable[[Spot], Fraction]
) -> list[list[Spot]]:
    found: dict[Fraction, list[Spot]] = defaultdict(list)
    for spot in spots:
        found[row(spot)].append(spot)
    return [sorted(found[key], key=along) for key in sorted(found)]


def named_field(steps: Sequence[Step], of: Sequence[int], names: Sequence[str], line: Line) -> tuple[Step, ...]:
    """Name the steps of a field after its rows, and put them in their order.

    Parameters
    ----------
    steps : sequence of Step
        As `sewn` gives them, the whole last.
    of : sequence of int
        Of each piece: the number of the row that it is a block of; 0 for sashing, triangles and all else.
    names : sequence of str
        What each piece is called.
    line : {"row", "diagonal row", "column"}

    Returns
    -------
    tuple of Step
        Each with its name, parts too: first what goes between rows, then row by row what is joined within it, then rows
        with rows, the whole last. A step comes after all that it joins.
    """
    numbers = {step.name: [_rows(copy, of) for copy in step.copies] for step in steps}
    most: dict[int, int] = {}
    for step in steps:
        for copy, rows in zip(step.copies, numbers[step.name], strict=True):
            if len(rows) == 1:
                most[rows[0]] = max(most.get(rows[0], 0), len(copy))
    called: dict[str, str] = {}
    between = sum(not rows[0] for rows in numbers.values())
    made: list[tuple[tuple[int, int], Step]] = []
    for step in steps:
        each = numbers[step.name]
        first = min(each)
        whole_row = all(
            len(rows) == 1
            and len(copy) == most[rows[0]]
            and sum(of[piece] == rows[0] for piece in copy) == of.count(rows[0])
            for copy, rows in zip(step.copies, each, strict=True)
        )
        if step.made == "whole":
            name = step.name
        elif not first:
            name = _plain(step, names, called) if between > 1 else _stem(step, names)
        else:
            name = _named(first, step, of, names, line, whole_row=whole_row)
            # Those that join the same, told apart by what they hold, may still be two.
            name = f"{name}, part {len(called) + 1}" if name in called.values() else name
        called[step.name] = name
        rank = len(of) + 1 if len(first) > 1 else first[0] if first else 0
        made.append(((rank, step.stage), replace(step, made="row") if whole_row and step.made == "unit" else step))
    ordered = [step for _, step in sorted(made, key=lambda one: (one[1].made == "whole", one[0]))]
    return tuple(_renamed(step, called) for step in ordered)


def _rows(pieces: Sequence[int], of: Sequence[int]) -> tuple[int, ...]:
    return tuple(sorted({of[piece] for piece in pieces} - {0}))


def _renamed(step: Step, called: Mapping[str, str]) -> Step:
    parts = tuple(replace(part, name=called.get(part.name, part.name)) for part in step.parts)
    return replace(step, name=called[step.name], parts=parts)


def _stem(step: Step, names: Sequence[str]) -> str:
    return "sashing row" if any("sashing" in names[piece] for piece in step.pieces) else "row between"


def _plain(step: Step, names: Sequence[str], called: Mapping[str, str]) -> str:
    """What holds no block: a row of sashing, or of plain pieces."""
    stem = _stem(step, names)
    return f"{stem} {1 + sum(name.startswith(stem) for name in called.values())}"


def _named(
    rows: tuple[int, ...], step: Step, of: Sequence[int], names: Sequence[str], line: Line, *, whole_row: bool
) -> str:
    if len(rows) > 1:
        last = rows[-1]
        name = f"{line}s {rows[0]} {'and' if len(rows) == 2 else 'to'} {last}"
        return name + _with(_triangles(step, names))
    if whole_row:
        return f"{line} {rows[0]}"
    extra = [names[piece] for piece in step.pieces if not of[piece]]
    sashed = any("sashing" in name or name == "cornerstone" for name in extra)
    blocks, every = len(step.pieces) - len(extra), of.count(rows[0])
    triangles = _triangles(step, names)
    row = f"{line} {rows[0]}"
    some = row if blocks == every else f"{'one block' if blocks == 1 else f'{blocks} blocks'} of {row}"
    if not triangles and not (sashed and (blocks == 1 or "cornerstone" in extra)):
        return f"blocks of {row}" if blocks == every else some
    return some + _with("sashing" if sashed else "", triangles)


def _triangles(step: Step, names: Sequence[str]) -> str:
    count = sum("triangle" in names[piece] for piece in step.pieces)
    return "a triangle" if count == 1 else f"{count} triangles" if count else ""


def _with(*what: str) -> str:
    given = [each for each in what if each]
    return f" with {' and '.join(given)}" if given else ""
