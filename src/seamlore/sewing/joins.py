"""The seams by which the parts of a part are joined, in the order of sewing."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import combinations
from typing import Literal

from seamlore.draft.block import Corner
from seamlore.sewing.apart import Part
from seamlore.sewing.cuts import Pieces
from seamlore.sewing.seammap import SeamMap

# Begun: sewn a part of the way and left open; finished: the rest of a seam that was begun. Stopped: sewn from corner to
# corner of the seam line, the allowances left free; mitered: joins two sides of a frame that were sewn on so.
SeamManner = Literal["straight", "begun", "finished", "stopped", "mitered", "set in"]


@dataclass(frozen=True, slots=True)
class Join:
    """One seam of a part: the stretches that it sews, what it joins (numbers of the part's parts), and how."""

    numbers: tuple[int, ...]
    first: tuple[int, ...]
    second: tuple[int, ...]
    manner: SeamManner = "straight"
    begins: int = -1


def joins(net: SeamMap, part: Part) -> list[Join]:
    """List the seams of a part in the order of sewing."""
    inside = [frozenset(each.pieces) for each in part.parts]
    if part.manner == "partial":
        return _ring_joins(net, inside)
    if part.manner == "mitered":
        return _frame_joins(net, inside)
    if part.manner == "set in":
        return [
            Join(tuple(net.between(inside[0], other)), tuple(range(number)), (number,), "set in")
            for number, other in enumerate(inside[1:], start=1)
        ]
    found = []
    for one, other in combinations(range(len(inside)), 2):
        shared = net.between(inside[one], inside[other])
        if shared:
            found.append(Join(tuple(shared), (one,), (other,)))
    return found


def _ring_joins(net: SeamMap, inside: Sequence[Pieces]) -> list[Join]:
    """A partial seam: the first arm to the middle, left open; the others in turn; then what was left open."""
    middle, *arms = inside
    last = len(arms)
    numbers = net.between(middle, arms[0])
    begun = net.path(numbers)
    # Sewing begins away from where the last arm will come.
    corner_of_last = {at for number in net.between(middle, arms[-1]) for at in net.stretches[number][:2]}
    begins = begun[-1] if begun[0] in corner_of_last else begun[0]
    found = [Join(tuple(numbers), (0,), (1,), "begun", begins)]
    joined = middle | arms[0]
    for number, arm in enumerate(arms[1:], start=2):
        shared = net.between(joined - arms[0] if number == last else joined, arm)
        found.append(Join(tuple(shared), tuple(range(number)), (number,)))
        joined = joined | arm
    rest = net.between(arms[0], middle | arms[-1])
    found.append(Join(tuple(rest), (0, last), (1,), "finished", begins))
    return found


def _frame_joins(net: SeamMap, inside: Sequence[Pieces]) -> list[Join]:
    """Sides of a frame to its middle, then each corner, from the middle outward."""
    middle, *sides = inside
    found = [
        Join(tuple(net.between(middle, side)), (0,), (number,), "stopped")
        for number, side in enumerate(sides, start=1)
    ]
    corners = {at for number in net.edge(middle) for at in net.stretches[number][:2]}
    for number, side in enumerate(sides, start=1):
        onward = number % len(sides) + 1
        shared = net.between(side, inside[onward])
        (begins,) = {at for each in shared for at in net.stretches[each][:2]} & corners
        found.append(Join(tuple(shared), (number,), (onward,), "mitered", begins))
    return found


def seam_path(net: SeamMap, join: Join) -> tuple[Corner, ...]:
    """The exact corners of a seam: where sewing begins, where it turns, where it ends."""
    path = net.path(join.numbers)
    return net.bends(path if join.begins in (-1, path[0]) else path[::-1])
