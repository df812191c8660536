"""Which way seams are pressed: the best there is, with what no pressing can better.

In this order: no seam is folded back over the more crowded of its two sides; as few crossings as can be that do not
nest; as few points as can be where more than four allowances lie on each other; as few seams as can be that lie toward
the fuller of two pieces, where other seams end only at their very ends; as little dark under light as can be.
Where six or more seams meet in a point, a seam through it may be pressed open, unless it is quilted in the ditch.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import lru_cache

from seamlore.draft.block import Corner, Value
from seamlore.sewing.alike import first_copies, same_seams
from seamlore.sewing.allowances import MANY, Allowances, Crossing, allowances
from seamlore.sewing.cuts import Pieces
from seamlore.sewing.pressing_model import Model, Pressed
from seamlore.sewing.steps import Outline, Press, Sewn, Step, every_part, sewn


def pressed(of: Sewn, values: Sequence[Value], *, in_the_ditch: bool = False) -> tuple[Allowances, Pressed]:
    """Work out how the seams of sewn pieces are pressed.

    Parameters
    ----------
    of : Sewn
    values : sequence of {"light", "medium", "dark"}
        Of each piece.
    in_the_ditch : bool
        Whether seams are quilted in the ditch: none is then pressed open.

    Returns
    -------
    Allowances, Pressed

    Examples
    --------
    >>> from seamlore.draft.catalogue import find
    >>> from seamlore.sewing.steps import sewn
    >>> four = find("four patch")
    >>> labels = tuple(each.place for each in four.patches)
    >>> taken = sewn(tuple(each.outline for each in four.patches), labels, labels, True)
    >>> _, found = pressed(taken, [four.places[label].value for label in labels])
    >>> found.value, found.bound
    ((0, 0, 0, 1), (0, 0, 0, 1))
    """
    met = allowances(of)
    alike = first_copies(of, met)
    together = Model(of, met, values, in_the_ditch, alike, shared=True)
    found = together.solved()
    if found.value == together.trivial:
        return met, replace(found, bound=found.value)
    apart = Model(of, met, values, in_the_ditch, alike, shared=False).solved()
    return met, replace(found, bound=apart.bound) if found.value == apart.value else apart


@dataclass(frozen=True, eq=False)
class PressedPieces:
    """Sewn pieces with their pressing: what `allowances` found, how seams are pressed, and the steps that say so."""

    of: Sewn
    met: Allowances
    pressed: Pressed
    steps: tuple[Step, ...]

    def corners(self, numbers: Sequence[int]) -> tuple[Corner, ...]:
        """Exact corners by their numbers, such as those of clashes."""
        return tuple(self.of.net.corners[number] for number in numbers)


# As for `sewn`: a pressing stays while fabrics change, if their values do.
@lru_cache(maxsize=64)
def pressed_pieces(
    outlines: tuple[Outline, ...], labels: tuple[str, ...], values: tuple[Value, ...], *, in_the_ditch: bool = False
) -> PressedPieces:
    """Sew two or more pieces and press their seams; as `steps.sewn` and `pressed`."""
    of = sewn(outlines, labels, labels, True)
    met, found = pressed(of, values, in_the_ditch=in_the_ditch)
    return PressedPieces(of, met, found, pressed_steps(of, met, found.ways))


def fanned(met: Allowances, ways: Sequence[Press]) -> tuple[Press, ...]:
    """Press seams that are sewn by hand: where they cross, allowances are free to the seam line and are fanned round."""
    crossing = {met.legs[leg].seam for rays in met.points.values() for leg, _ in rays}
    return tuple("fanned" if seam in crossing else way for seam, way in enumerate(ways))


def ways_to_press(
    outlines: tuple[Outline, ...], labels: tuple[str, ...], values: tuple[Value, ...], *, in_the_ditch: bool = False
) -> tuple[PressedPieces, ...]:
    """Give the ways in which a block can be pressed beside its neighbors; none has more clashes than another.

    The best as such; the same with every seam that is free pressed the other way; and, where seams are pressed open
    that could nest with a neighbor's, those two with no seam open. In what is quilted in the ditch none is open.

    Examples
    --------
    >>> from seamlore.draft.catalogue import find
    >>> four = find("four patch")
    >>> labels = tuple(each.place for each in four.patches)
    >>> found = ways_to_press(tuple(each.outline for each in four.patches), labels, ("dark", "light", "light", "dark"))
    >>> [each.pressed.ways for each in found]
    [('first', 'second', 'first'), ('second', 'first', 'second')]
    """
    best = pressed_pieces(outlines, labels, values, in_the_ditch=in_the_ditch)
    found = [best, _flipped(best)]
    if "open" in best.pressed.ways:
        closed = pressed_pieces(outlines, labels, values, in_the_ditch=True)
        if len(closed.pressed.clashes) <= len(best.pressed.clashes):
            found += [closed, _flipped(closed)]
    by_ways: dict[tuple[Press, ...], PressedPieces] = {}
    for each in found:
        by_ways.setdefault(each.pressed.ways, each)
    return tuple(by_ways.values())


def _flipped(best: PressedPieces) -> PressedPieces:
    """Press the other way every seam that is free to be, whatever lies on it: what nests still does."""
    met, ways = best.met, best.pressed.ways
    clashing = set(best.pressed.clashes)
    together = list(range(len(ways)))

    def root(seam: int) -> int:
        while together[seam] != seam:
            together[seam] = together[together[seam]]
            seam = together[seam]
        return seam

    for crossing in met.crossings:
        seams = [met.legs[leg].seam for leg in (crossing.one, crossing.other)]
        if crossing.at not in clashing and "open" not in [ways[seam] for seam in seams]:
            one, other = map(root, seams)
            together[max(one, other)] = min(one, other)
    fixed = {root(seam) for seam, (first, second) in enumerate(met.crowd) if first != second}
    # What does not reach the edge can stay: no neighbor meets it.
    net = best.of.net
    edge = {at for number in net.edge(net.everything) for at in net.stretches[number][:2]}
    free = {root(leg.seam) for leg in met.legs if {leg.corners[0], leg.corners[-1]} & edge} - fixed
    turned = tuple(_turned(way, True) if root(seam) in free else way for seam, way in enumerate(ways))
    return PressedPieces(best.of, met, replace(best.pressed, ways=turned), pressed_steps(best.of, met, turned))


def pressed_steps(of: Sewn, met: Allowances, ways: Sequence[Press]) -> tuple[Step, ...]:
    """Give the steps of sewn pieces with the way in which each seam is pressed.

    Parameters
    ----------
    of : Sewn
    met : Allowances
        Of the same pieces.
    ways : sequence of str
        Of each seam, as `Allowances.seams` lists them.
    """
    numbers = {seam: number for number, seam in enumerate(met.seams)}
    parts = {part.pieces: part for part in every_part(of.whole)}
    at_clash: dict[tuple[int, ...], list[int]] = defaultdict(list)
    for crossing in clashing(met, ways):
        at_clash[met.seams[met.legs[crossing.over].seam][0]].append(crossing.at)
    found = []
    unlike: dict[Pieces, bool] = {}
    for step in of.steps:
        first = parts[step.pieces]
        order = of.take.orders(frozenset(step.pieces))[0]
        stars = {frozenset(part.pieces): unlike.get(frozenset(part.pieces), False) for part in first.parts}
        laid: list[tuple[tuple[Press, ...], bool]] = []
        for copy in step.copies:
            # A part that is the same when it is turned is laid so that it is pressed as the first is.
            read = []
            for there in of.take.orders(frozenset(copy)):
                names = dict(zip(there, order, strict=True))
                here: dict[int, Press] = {}
                for number, number_there, swapped in same_seams(of, parts[copy], first, names):
                    here[number_there] = _turned(ways[numbers[copy, number]], swapped)
                if here:
                    begun = len(step.seams) > len(here)
                    presses = tuple(
                        here.get(each, here[max(here)] if begun else "") for each in range(len(step.seams))
                    )
                    same = all(
                        stars.get(frozenset(names[piece] for piece in part.pieces))
                        == unlike.get(frozenset(part.pieces), False)
                        for part in parts[copy].parts
                    )
                    read.append((presses, same))
            best = read[0] if not laid else min(read, key=lambda each: (each[0] != laid[0][0], not each[1]))
            laid.append(best)
            unlike[frozenset(copy)] = best[0] != laid[0][0] or not best[1]
        every = tuple(each for each, _ in laid)
        seams = tuple(replace(seam, press=press) for seam, press in zip(step.seams, every[0], strict=True))
        clashes = tuple(of.net.corners[at] for at in dict.fromkeys(at_clash[step.pieces]))
        joined = tuple(replace(part, unlike=stars[frozenset(part.pieces)]) for part in step.parts)
        differs = tuple(unlike[frozenset(copy)] for copy in step.copies)
        found.append(replace(step, parts=joined, seams=seams, presses=every, unlike=differs, clashes=clashes))
    return tuple(found)


def clashing(met: Allowances, ways: Sequence[Press]) -> list[Crossing]:
    """The crossings that do not nest when seams are pressed so."""
    found = []
    for crossing in met.crossings:
        one, other = met.legs[crossing.one], met.legs[crossing.other]
        both = ways[one.seam], ways[other.seam]
        if "fanned" in both or "" in both:
            continue
        if "open" in both:
            clash = len(met.points.get(crossing.at, ())) < MANY
        else:
            right, beside = ((ways[leg.seam] == "second") == leg.right_is_second for leg in (one, other))
            clash = (right == beside) != crossing.turned
        if clash:
            found.append(crossing)
    return found


def _turned(way: Press, swapped: bool) -> Press:
    other: dict[Press, Press] = {"first": "second", "second": "first"}
    return other.get(way, way) if swapped else way
