"""Which fabric goes into which scrappy patch: solved, not shuffled, with what is proved about it."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Literal

from seamlore.draft.block import VALUES, Value
from seamlore.draft.layout import Laid, lay
from seamlore.draft.quilt import Quilt
from seamlore.draft.touching import neighboring_blocks, touching_pairs
from seamlore.errors import PlanError
from seamlore.lengths import SEAM_ALLOWANCE, Length, checked_seam
from seamlore.placing.answer import Answer, place
from seamlore.placing.slots import Cloth, Slot, as_problem, scrappy_slots
from seamlore.placing.words import impossible


@dataclass(frozen=True, slots=True)
class Placement:
    """Fabrics placed in the scrappy patches of a quilt.

    Parameters
    ----------
    fabrics : tuple of (str or None)
        What each piece is cut from, in the order of `layout.lay`; None for what is not scrappy.
    touching : int
        Pairs of patches that share an edge and a fabric without having to: not those counted in `together`.
    together : int
        Pairs of patches that share an edge and a fabric since they are one place of one block, and each place was to be
        of one fabric.
    shared : int
        Over all pairs of neighboring blocks, how many fabrics the two share.
    bound : int
        No placement with these amounts, and no fabric more often in a block, shares less: proved.
    pairs : int
        How many pairs of neighboring blocks there are.
    most : mapping of str to int
        For each value, how often a fabric comes in one block at most.
    excess : int
        How often a fabric comes in a block more often than that, counted over all.
    used : mapping of str to int
        How many patches are cut from each fabric.
    """

    fabrics: tuple[str | None, ...]
    touching: int
    together: int
    shared: int
    bound: int
    pairs: int
    most: Mapping[Value, int]
    excess: int
    used: Mapping[str, int]

    def __str__(self) -> str:
        clean = (
            "no two patches that touch are alike"
            if not self.touching
            else f"{self.touching} touching pairs are alike"
        )
        proved = (
            "which is proved to be as few as can be"
            if self.shared == self.bound
            else f"proved: not under {self.bound}"
        )
        asked = f", but for {self.together} pairs within one place, of one fabric as was asked" * (self.together > 0)
        return f"{clean}{asked}; {self.pairs} pairs of neighboring blocks share {self.shared} fabrics, {proved}"


def place_fabrics(
    quilt: Quilt,
    cloths: Sequence[Cloth],
    *,
    each: Literal["patch", "place"] = "patch",
    most: int | None = None,
    allowance: Length | None = None,
) -> Placement:
    """Assign fabrics to the scrappy patches of a quilt.

    No two patches that share an edge take the same fabric, of one place or of two, unless each place of a block was to
    be of one fabric; a fabric comes as seldom as possible twice in one block; neighboring blocks share as few fabrics as possible; values stay
    right; no fabric runs out.

    Parameters
    ----------
    quilt : Quilt
        Some of its places are scrappy.
    cloths : sequence of Cloth
        The fabrics.
    each : {"patch", "place"}
        Whether each patch has a fabric of its own, or each place of each block.
    most : int, optional
        How often a fabric may come in one block at worst; as often as it must when not given.
    allowance : Length, optional
        Seam allowance, for amounts given as an area; the custom of the quilt's unit when not given.

    Returns
    -------
    Placement
        The same for the same quilt and fabrics.

    Raises
    ------
    PlacementError
        When it is proved that there is no placement.
    PlanError
        When no place is scrappy, or there is no fabric of a value.

    Examples
    --------
    >>> from seamlore.draft.repeated import repeated
    >>> from seamlore.draft.text.notation import read_block
    >>> from seamlore.lengths import inches
    >>> block = read_block("block Two\\nA dark scrappy\\nB light\\n\\nA B\\nB A")
    >>> quilt = repeated("q", block, inches(4), inches(4), 2, 2)
    >>> print(place_fabrics(quilt, [Cloth(name, "dark", 2) for name in "pqrs"]))
    no two patches that touch are alike; 4 pairs of neighboring blocks share 0 fabrics, which is proved to be as few
    as can be
    >>> place_fabrics(quilt, [Cloth(name, "dark", 2) for name in "pqr"])
    Traceback (most recent call last):
        ...
    seamlore.placing.words.PlacementError: 7 dark patches: the 3 dark fabrics p, q and r give 6; ...
    """
    laid = lay(quilt)
    seam = SEAM_ALLOWANCE[quilt.unit] if allowance is None else checked_seam(allowance)
    slots = scrappy_slots(quilt, laid, each, seam.inches_float)
    if not slots:
        raise PlanError(
            "a quilt without scrappy places", "only scrappy places take many fabrics", "write: A dark scrappy"
        )
    if len({cloth.name for cloth in cloths}) < len(cloths):
        raise PlanError("two fabrics of one name", "fabrics are told apart by name", "rename one")
    near = touching_pairs(laid)
    blocks = {spot: number for number, spot in enumerate(quilt.spots)}
    pairs = neighboring_blocks(quilt)
    by_value = {value: [slot for slot in slots if slot.value == value] for value in VALUES}
    placed: list[tuple[list[Slot], list[Cloth], Answer]] = []
    for value, mine in by_value.items():
        if mine:
            fitting = [cloth for cloth in cloths if cloth.value == value]
            if not fitting:
                raise PlanError(
                    f"no {value} fabric", f"{len(mine)} {value} patches need one", f"add a {value} fabric"
                )
            problem = as_problem(laid, mine, fitting, near, blocks, pairs)
            answer = place(problem, highest=most)
            if answer.reason or answer.placed is None:
                raise impossible(laid, mine, fitting, answer, value)
            placed.append((mine, fitting, answer))
    return _gather(laid, placed, near, len(pairs))


def _gather(
    laid: Sequence[Laid],
    placed: Sequence[tuple[list[Slot], list[Cloth], Answer]],
    near: Sequence[tuple[int, int]],
    pairs: int,
) -> Placement:
    fabrics: list[str | None] = [None] * len(laid)
    used: dict[str, int] = {}
    most: dict[Value, int] = {}
    slot_of: dict[int, Slot] = {}
    touching = shared = bound = excess = 0
    for slots, cloths, answer in placed:
        found = answer.placed
        assert found is not None
        for slot, number in zip(slots, found.fabric.tolist(), strict=True):
            for member in slot.members:
                fabrics[member] = cloths[number].name
                slot_of[member] = slot
            used[cloths[number].name] = used.get(cloths[number].name, 0) + len(slot.members)
        touching, excess = touching + found.touching, excess + found.excess
        shared, bound = shared + found.shared, bound + answer.bound
        most[cloths[0].value] = answer.most
    together = sum(one in slot_of and slot_of[one] is slot_of.get(two) for one, two in near)
    used = dict(sorted(used.items()))
    return Placement(tuple(fabrics), touching, together, shared, bound, pairs, most, excess, used)


def shares(placement: Placement, quilt: Quilt) -> int:
    """Count again, from the placement alone, how many fabrics neighboring blocks share."""
    inside: dict[tuple[int, int], set[str]] = defaultdict(set)
    for piece, fabric in zip(lay(quilt), placement.fabrics, strict=True):
        if fabric is not None:
            inside[piece.row, piece.column].add(fabric)
    spots = quilt.spots
    return sum(len(inside[spots[one]] & inside[spots[two]]) for one, two in neighboring_blocks(quilt))


def alike_and_touching(placement: Placement, quilt: Quilt) -> int:
    """Count again, from the placement alone, all pairs of scrappy patches that share an edge and a fabric."""
    return sum(
        placement.fabrics[one] is not None and placement.fabrics[one] == placement.fabrics[two]
        for one, two in touching_pairs(lay(quilt))
    )
