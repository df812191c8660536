"""Which fabric goes into which scrappy patch: solved, not shuffled, with what is proved about it."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from itertools import combinations
from typing import Literal

import numpy as np

from seamlore.draft.block import VALUES, Value
from seamlore.draft.layout import Laid, lay
from seamlore.draft.placement_near import neighbouring_blocks, touching_pairs
from seamlore.draft.quilt import Quilt
from seamlore.errors import PlanError
from seamlore.lengths import SEAM_ALLOWANCE, Length
from seamlore.plane.outline import area, grow
from seamlore.solving.placing import Problem, Whole
from seamlore.solving.placing_answer import Answer, place
from seamlore.solving.placing_why import Reason


@dataclass(frozen=True, slots=True)
class Cloth:
    """One fabric to place.

    Parameters
    ----------
    name : str
        What it is called.
    value : {"light", "medium", "dark"}
        Which places it may go to.
    patches : int, optional
        How many patches it gives; any number when not given.
    area_in2 : float, optional
        How many square inches can be used of it, seam allowances included and waste left out; any when not given.
    """

    name: str
    value: Value
    patches: int | None = None
    area_in2: float | None = None


@dataclass(frozen=True, slots=True)
class Placement:
    """Fabrics placed in the scrappy patches of a quilt.

    Parameters
    ----------
    fabrics : tuple of (str or None)
        What each piece is cut from, in the order of `layout.lay`; None for what is not scrappy.
    touching : int
        Pairs of patches that share an edge and a fabric without being one place.
    shared : int
        Over all pairs of neighbouring blocks, how many fabrics the two share.
    bound : int
        No placement with these amounts, and no fabric more often in a block, shares less: proved.
    pairs : int
        How many pairs of neighbouring blocks there are.
    most : mapping of str to int
        For each value, how often a fabric comes in one block at most.
    excess : int
        How often a fabric comes in a block more often than that, counted over all.
    used : mapping of str to int
        How many patches are cut from each fabric.
    """

    fabrics: tuple[str | None, ...]
    touching: int
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
        return f"{clean}; {self.pairs} pairs of neighbouring blocks share {self.shared} fabrics, {proved}"


class PlacementError(PlanError):
    """Fabrics that cannot be placed, with the smallest set of patches and fabrics found that shows why.

    Parameters
    ----------
    patches : tuple of int
        Positions in `layout.lay`.
    fabrics : tuple of str
        All the fabrics that these patches may take.
    """

    patches: tuple[int, ...] = ()
    fabrics: tuple[str, ...] = ()


def place_fabrics(
    quilt: Quilt,
    cloths: Sequence[Cloth],
    *,
    each: Literal["patch", "place"] = "patch",
    most: int | None = None,
    allowance: Length | None = None,
) -> Placement:
    """Assign fabrics to the scrappy patches of a quilt.

    No two patches that share an edge take the same fabric unless they are one place of one block; a fabric comes
    as seldom as possible twice in one block; neighbouring blocks share as few fabrics as possible; values stay
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
    >>> from seamlore.draft.notation import read_block
    >>> from seamlore.lengths import inches
    >>> block = read_block("block Two\\nA dark scrappy\\nB light\\n\\nA B\\nB A")
    >>> quilt = Quilt("q", block, inches(4), inches(4), 2, 2)
    >>> print(place_fabrics(quilt, [Cloth(name, "dark", 2) for name in "pqrs"]))
    no two patches that touch are alike; 4 pairs of neighbouring blocks share 0 fabrics, which is proved to be as few
    as can be
    >>> place_fabrics(quilt, [Cloth(name, "dark", 2) for name in "pqr"])
    Traceback (most recent call last):
        ...
    seamlore.draft.placement.PlacementError: 7 dark patches: the 3 dark fabrics p, q and r give 6; ...
    """
    laid = lay(quilt)
    units = _units(quilt, laid, each, (allowance or SEAM_ALLOWANCE[quilt.unit]).inches_float)
    if not units:
        raise PlanError(
            "a quilt without scrappy places", "only scrappy places take many fabrics", "write: A dark scrappy"
        )
    if len({cloth.name for cloth in cloths}) < len(cloths):
        raise PlanError("two fabrics of one name", "fabrics are told apart by name", "rename one")
    near = touching_pairs(laid)
    blocks = {spot: number for number, spot in enumerate(quilt.spots)}
    pairs = neighbouring_blocks(quilt)
    by_value = {value: [unit for unit in units if unit.value == value] for value in VALUES}
    placed: list[tuple[list[_Unit], list[Cloth], Answer]] = []
    for value, mine in by_value.items():
        if mine:
            fitting = [cloth for cloth in cloths if cloth.value == value]
            if not fitting:
                raise PlanError(
                    f"no {value} fabric", f"{len(mine)} {value} patches need one", f"add a {value} fabric"
                )
            problem = _problem(quilt, laid, mine, fitting, near, blocks, pairs)
            answer = place(problem, highest=most)
            if answer.reason or answer.placed is None:
                raise _impossible(quilt, laid, mine, fitting, answer, value)
            placed.append((mine, fitting, answer))
    return _gather(laid, placed, len(pairs))


@dataclass(frozen=True, slots=True)
class _Unit:
    """What takes one fabric: one patch, or a place of a block."""

    members: tuple[int, ...]
    value: Value
    size: float
    spot: tuple[int, int]


def _units(quilt: Quilt, laid: Sequence[Laid], each: str, allowance: float) -> list[_Unit]:
    places, gathered = quilt.places, defaultdict(list)
    for index, piece in enumerate(laid):
        if piece.key in places and places[piece.key].scrappy:
            alone = each == "patch" or piece.row < 0
            gathered[piece.row, piece.column, piece.key, index if alone else -1].append(index)
    sizes: dict[bytes, float] = {}

    def size(index: int) -> float:
        shape = np.round(laid[index].outline - laid[index].outline[0], 6)
        key = shape.tobytes()
        if key not in sizes:
            # Rounded, so that equal patches are equal wherever they lie.
            sizes[key] = round(area(grow(shape, allowance)), 6)
        return sizes[key]

    return [
        _Unit(tuple(members), places[key].value, sum(map(size, members)), (row, column))
        for (row, column, key, _), members in gathered.items()
    ]


def _problem(
    quilt: Quilt,
    laid: Sequence[Laid],
    units: Sequence[_Unit],
    cloths: Sequence[Cloth],
    near: Sequence[tuple[int, int]],
    blocks: Mapping[tuple[int, int], int],
    pairs: Sequence[tuple[int, int]],
) -> Problem:
    unit_of = {member: number for number, unit in enumerate(units) for member in unit.members}
    touching = set()
    barred = np.zeros((len(units), len(cloths)), bool)
    names = {cloth.name: number for number, cloth in enumerate(cloths)}
    for one, two in near:
        if one in unit_of and two in unit_of:
            if unit_of[one] != unit_of[two] and not _one_place(laid[one], laid[two]):
                touching.add((min(unit_of[one], unit_of[two]), max(unit_of[one], unit_of[two])))
        else:
            # What is not scrappy keeps its fabric; a patch beside it takes another.
            for mine, other in ((one, two), (two, one)):
                if mine in unit_of and laid[other].fabric in names and other not in unit_of:
                    barred[unit_of[mine], names[laid[other].fabric]] = True
    extra = len(blocks)
    block = np.array([blocks.get(unit.spot, extra + number) for number, unit in enumerate(units)])
    counts = np.bincount(block)
    return Problem(
        np.array([unit.size for unit in units]),
        np.array([len(unit.members) for unit in units]),
        block,
        _pairs(sorted(touching)),
        _pairs(pairs),
        np.array([np.inf if cloth.area_in2 is None else float(cloth.area_in2) for cloth in cloths]),
        np.array([np.inf if cloth.patches is None else float(cloth.patches) for cloth in cloths]),
        -(-int(counts.max()) // len(cloths)),
        barred if barred.any() else np.zeros((0, 0), bool),
    )


def _pairs(given: Sequence[tuple[int, int]]) -> Whole:
    return np.array(given, np.int64).reshape(-1, 2)


def _one_place(one: Laid, two: Laid) -> bool:
    return one.row >= 0 and (one.row, one.column, one.key) == (two.row, two.column, two.key)


def _gather(laid: Sequence[Laid], placed: Sequence[tuple[list[_Unit], list[Cloth], Answer]], pairs: int) -> Placement:
    fabrics: list[str | None] = [None] * len(laid)
    used: dict[str, int] = {}
    most: dict[Value, int] = {}
    touching = shared = bound = excess = 0
    for units, cloths, answer in placed:
        found = answer.placed
        assert found is not None
        for unit, number in zip(units, found.fabric.tolist(), strict=True):
            for member in unit.members:
                fabrics[member] = cloths[number].name
            used[cloths[number].name] = used.get(cloths[number].name, 0) + len(unit.members)
        touching, excess = touching + found.touching, excess + found.excess
        shared, bound = shared + found.shared, bound + answer.bound
        most[cloths[0].value] = answer.most
    return Placement(tuple(fabrics), touching, shared, bound, pairs, most, excess, dict(sorted(used.items())))


def _impossible(
    quilt: Quilt, laid: Sequence[Laid], units: Sequence[_Unit], cloths: Sequence[Cloth], answer: Answer, value: Value
) -> PlanError:
    reason = answer.reason
    if reason is None:
        return PlanError(
            f"{len(units)} {value} places",
            f"no way was found to cut them all from the {len(cloths)} {value} fabrics, though none was ruled out",
            "allow a little more fabric",
        )
    members = [member for number in reason.patches.tolist() for member in units[number].members]
    names = [cloths[number].name for number in reason.fabrics.tolist()]
    given = f"{len(members)} {value} patch{'es' * (len(members) != 1)}{_where(laid, members)}"
    fault = PlacementError(given, *_said(units, cloths, reason, answer.most, value))
    fault.patches, fault.fabrics = tuple(members), tuple(names)
    return fault


def _said(
    units: Sequence[_Unit], cloths: Sequence[Cloth], reason: Reason, most: int, value: Value
) -> tuple[str, str]:
    fabrics = [cloths[number] for number in reason.fabrics.tolist()]
    which = f"the {len(fabrics)} {value} fabric{'s' * (len(fabrics) != 1)} {listed([each.name for each in fabrics])}"
    more = [cloths[number].name for number in reason.limited.tolist()]
    remedy = (
        f"find more of {listed(more, 'or')}, or another {value} fabric" if more else f"add another {value} fabric"
    )
    if not fabrics:
        return "every fabric of their value already lies beside them", remedy
    if reason.kind == "touching":
        return f"they touch so that {which} are too few for them", remedy
    blocks = len({units[number].spot for number in reason.patches.tolist()})
    if all(each.patches is not None for each in fabrics):
        give = sum(min(each.patches or 0, blocks * most) for each in fabrics)
        if give < sum(len(units[number].members) for number in reason.patches.tolist()):
            return f"{which} give {give}", remedy
    need = sum(units[number].size for number in reason.patches.tolist())
    if all(each.area_in2 is not None for each in fabrics) and need > sum(each.area_in2 or 0.0 for each in fabrics):
        there = sum(each.area_in2 or 0.0 for each in fabrics)
        return f"they take {need:.0f} square inches with seams, {which} give {there:.0f}", remedy
    return f"{which} cannot be shared out among them, each at most {most} times in a block", remedy


def _where(laid: Sequence[Laid], members: Sequence[int]) -> str:
    """Where a few patches lie; many are not listed."""
    spots = sorted({(laid[member].row, laid[member].column) for member in members if laid[member].row >= 0})
    if not 0 < len(spots) <= 3:
        return ""
    return " in " + listed([f"row {row + 1} column {column + 1}" for row, column in spots])


def listed(names: Sequence[str], word: str = "and") -> str:
    """List names as one reads them, the first twelve of many.

    Examples
    --------
    >>> listed(["p", "q", "r"]), listed(["p"]), listed([])
    ('p, q and r', 'p', '')
    """
    if len(names) > 12:
        return ", ".join(names[:12]) + f" {word} {len(names) - 12} more"
    return f" {word} ".join([", ".join(names[:-1]), names[-1]]) if len(names) > 1 else "".join(names)


def shares(placement: Placement, quilt: Quilt) -> int:
    """Count again, from the placement alone, how many fabrics neighbouring blocks share."""
    inside: dict[tuple[int, int], set[str]] = defaultdict(set)
    for piece, fabric in zip(lay(quilt), placement.fabrics, strict=True):
        if fabric is not None:
            inside[piece.row, piece.column].add(fabric)
    spots = quilt.spots
    return sum(len(inside[spots[one]] & inside[spots[two]]) for one, two in neighbouring_blocks(quilt))


def alike_and_touching(placement: Placement, quilt: Quilt) -> int:
    """Count again, from the placement alone, pairs of patches that share an edge and a fabric wrongly."""
    laid = lay(quilt)
    return sum(
        placement.fabrics[one] is not None
        and placement.fabrics[one] == placement.fabrics[two]
        and not _one_place(laid[one], laid[two])
        for one, two in touching_pairs(laid)
    )


def twice_in_a_block(placement: Placement, quilt: Quilt) -> int:
    """Count the pairs of patches within one block that share a fabric."""
    inside: dict[tuple[int, int], list[str]] = defaultdict(list)
    for piece, fabric in zip(lay(quilt), placement.fabrics, strict=True):
        if fabric is not None and piece.row >= 0:
            inside[piece.row, piece.column].append(fabric)
    return sum(one == two for fabrics in inside.values() for one, two in combinations(fabrics, 2))
