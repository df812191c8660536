"""How much is sewn in a top, its seams counted and measured, and the hours they take; how they are pressed changes neither."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from itertools import pairwise
from math import hypot

from seamlore.draft.groups import Group, groups
from seamlore.draft.quilt import Quilt
from seamlore.draft.setting.arranged import arrange
from seamlore.errors import ShapeError
from seamlore.hours import Hours, hours
from seamlore.once import Once
from seamlore.sewing.setting import rounds_of, top_pieces
from seamlore.sewing.steps import Method, Step, sewn


@dataclass(frozen=True, slots=True)
class Seams:
    """How much is sewn.

    Parameters
    ----------
    count : int
        How many seams.
    inches : float
        How long they are together.
    turns : int
        How many corners they turn.
    """

    count: int
    inches: float
    turns: int


def counted(steps: Iterable[tuple[Step, int]]) -> Seams:
    """Count and measure the seams of steps, each sewn so many times.

    Examples
    --------
    >>> from seamlore.draft.catalogue import find
    >>> four = find("four patch")
    >>> labels = tuple(each.place for each in four.patches)
    >>> steps = sewn(tuple(each.outline for each in four.patches), labels, labels, True).steps
    >>> counted((step, step.count) for step in steps)
    Seams(count=3, inches=2.0, turns=0)
    """
    count = turns = 0
    long = 0.0
    for step, times in steps:
        done = [seam for seam in step.seams if seam.manner != "begun"]
        count += len(done) * times
        # A mitered corner is met as a turn is: three seams end in one point.
        turns += sum(len(seam.path) - 2 + (seam.manner == "mitered") for seam in done) * times
        long += sum(_long(seam.path) for seam in done) * times
    return Seams(count, long, turns)


def together(parts: Iterable[Seams]) -> Seams:
    """Add up what is sewn in each part.

    Examples
    --------
    >>> together([Seams(3, 2.0, 0), Seams(1, 1.5, 2)])
    Seams(count=4, inches=3.5, turns=2)
    """
    every = list(parts)
    return Seams(
        sum(each.count for each in every), sum(each.inches for each in every), sum(each.turns for each in every)
    )


def _long(path: Sequence[tuple[object, object]]) -> float:
    points = [(float(x), float(y)) for x, y in path]  # type: ignore[arg-type]
    return sum(hypot(x1 - x0, y1 - y0) for (x0, y0), (x1, y1) in pairwise(points))


@Once
def seams_of(quilt: Quilt) -> Seams:
    """Count and measure the seams of the top of a quilt; blocks that were not read are not counted.

    Raises
    ------
    ShapeError
        When a block cannot be sewn by any order of seams; it and its pieces are named.

    Examples
    --------
    Six blocks of three seams, four of them in a pair of two; two seams in each row of three blocks, and one between the rows.

    >>> from seamlore.draft.catalogue import find
    >>> from seamlore.draft.repeated import repeated
    >>> from seamlore.lengths import inches
    >>> seams_of(repeated("q", find("four patch"), inches(4), inches(4), 2, 3))
    Seams(count=23, inches=76.0, turns=0)
    """
    found = groups(quilt)
    steps: list[tuple[Step, int]] = []
    for group in found:
        if len(group.parts) > 1:
            with named(group):
                of = sewn(tuple(part.outline for part in group.parts), group.labels, group.labels, True)
            steps += [(step, step.count * group.count) for step in of.steps]
    for each in rounds_of(top_pieces(quilt, arrange(quilt), found)):
        steps += [(step, step.count) for step in each.of.steps]
    return counted(steps)


@contextmanager
def named(group: Group) -> Iterator[None]:
    """Name the block in the refusal of one that cannot be sewn."""
    try:
        yield
    except ShapeError as fault:
        raise ShapeError(fault.given, fault.limit, fault.remedy, where=f"block {group.kind.block.name}") from fault


def sewing_hours(seams: Seams, pieces: int, method: Method = "machine") -> Hours:
    """Say how long the sewing of a top takes, from the first seam to the last, pressing included.

    Parameters
    ----------
    seams : Seams
    pieces : int
        How many pieces of cloth: each is basted over its paper.
    method : {"machine", "hand", "papers"}

    Examples
    --------
    >>> print(sewing_hours(Seams(0, 0.0, 0), 0))
    under an hour
    """
    return sum(_hours(seams, pieces, method), Hours())


def _hours(seams: Seams, pieces: int, method: Method) -> Iterator[Hours]:
    if method == "machine":
        yield hours("seam by machine", seams.count)
        yield hours("inch by machine", seams.inches)
        yield hours("turn of a set-in seam by machine", seams.turns)
        return
    yield hours("inch by hand", seams.inches)
    if method == "papers":
        yield hours("piece over paper", pieces)
