"""Which seams of parts that are alike are the same."""

from __future__ import annotations

from collections import defaultdict

from seamlore.sewing.allowances import Allowances
from seamlore.sewing.apart import Part
from seamlore.sewing.joins import Join, joins
from seamlore.sewing.steps import Sewn, every_part


def first_copies(of: Sewn, met: Allowances) -> list[tuple[int, bool]]:
    """Of each seam: the same seam of the first of all parts that are alike, and whether its two sides are the other way
    round there."""
    numbers = {seam: number for number, seam in enumerate(met.seams)}
    kinds: dict[object, list[Part]] = defaultdict(list)
    for part in every_part(of.whole):
        kinds[of.take.key(part)].append(part)
    found = [(number, False) for number in range(len(met.seams))]
    for parts in kinds.values():
        first = min(parts, key=lambda part: part.pieces)
        order = of.take.orders(frozenset(first.pieces))[0]
        for part in parts:
            there = of.take.orders(frozenset(part.pieces))[0]
            for number, same, swapped in same_seams(of, part, first, dict(zip(there, order, strict=True))):
                found[numbers[part.pieces, number]] = numbers[first.pieces, same], swapped
    return found


def same_seams(of: Sewn, part: Part, first: Part, names: dict[int, int]) -> list[tuple[int, int, bool]]:
    """Which seam of one part is which of another that is alike, and whether its sides are the other way round.

    None where the parts are not joined in the same way when they are laid on each other so: a square of four patches
    turned by a quarter has its rows for columns.
    """

    def sides(of_part: Part, join: Join, names: dict[int, int]) -> tuple[frozenset[int], frozenset[int]]:
        one, two = (
            frozenset(names.get(piece, piece) for each in side for piece in of_part.parts[each].pieces)
            for side in (join.first, join.second)
        )
        return one, two

    there = {}
    for number, join in enumerate(joins(of.net, first)):
        if join.manner != "begun":
            one, two = sides(first, join, {})
            there[one, two] = number, False
            there[two, one] = number, True
    found = []
    for number, join in enumerate(joins(of.net, part)):
        if join.manner != "begun":
            same = there.get(sides(part, join, names))
            if same is None:
                return []
            found.append((number, *same))
    return found
