"""What is to be placed: the scrappy patches of a quilt, gathered into what takes one fabric, and the fabrics for them."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from seamlore.draft.block import Value
from seamlore.draft.layout import Laid
from seamlore.draft.quilt import Quilt
from seamlore.placing.problem import Problem, Whole
from seamlore.plane.outline import area, grow


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
class Slot:
    """What takes one fabric: one patch, or a place of a block."""

    members: tuple[int, ...]
    value: Value
    size: float
    spot: tuple[int, int]


def scrappy_slots(quilt: Quilt, laid: Sequence[Laid], each: str, allowance: float) -> list[Slot]:
    """Gather the scrappy patches of a quilt into what takes one fabric.

    Parameters
    ----------
    quilt : Quilt
        As drafted.
    laid : sequence of Laid
        From `layout.lay`.
    each : {"patch", "place"}
        Whether each patch stands by itself, or all of one place of one block go together.
    allowance : float
        Width of the seam allowance in inches.

    Returns
    -------
    list of Slot

    Examples
    --------
    >>> from seamlore.draft.layout import lay
    >>> from seamlore.draft.repeated import repeated
    >>> from seamlore.draft.text.notation import read_block
    >>> from seamlore.lengths import inches
    >>> block = read_block("block Two\\nA dark scrappy\\nB light\\n\\nA B\\nB A")
    >>> quilt = repeated("q", block, inches(4), inches(4), 1, 1)
    >>> [slot.size for slot in scrappy_slots(quilt, lay(quilt), "patch", 0.25)]
    [6.25, 6.25]
    >>> [slot.members for slot in scrappy_slots(quilt, lay(quilt), "place", 0.25)]
    [(0, 3)]
    >>> scrappy_slots(quilt, [], "patch", 0.25)
    []
    """
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
        Slot(tuple(members), places[key].value, sum(map(size, members)), (row, column))
        for (row, column, key, _), members in gathered.items()
    ]


def as_problem(
    laid: Sequence[Laid],
    slots: Sequence[Slot],
    cloths: Sequence[Cloth],
    near: Sequence[tuple[int, int]],
    blocks: Mapping[tuple[int, int], int],
    pairs: Sequence[tuple[int, int]],
) -> Problem:
    """Pose the placing of slots of one value as a problem for the solver.

    Parameters
    ----------
    laid : sequence of Laid
        From `layout.lay`.
    slots, cloths : sequence
        Of one value.
    near : sequence of (int, int)
        `placement_near.touching_pairs` of what is laid.
    blocks : mapping of (row, column) to int
        The number of each block; a piece that lies in none stands for a block of its own.
    pairs : sequence of (int, int)
        `placement_near.neighboring_blocks`.
    """
    slot_of = {member: number for number, slot in enumerate(slots) for member in slot.members}
    touching = set()
    barred = np.zeros((len(slots), len(cloths)), bool)
    names = {cloth.name: number for number, cloth in enumerate(cloths)}
    for one, two in near:
        if one in slot_of and two in slot_of:
            if slot_of[one] != slot_of[two]:
                touching.add((min(slot_of[one], slot_of[two]), max(slot_of[one], slot_of[two])))
        else:
            # What is not scrappy keeps its fabric; a patch beside it takes another.
            for mine, other in ((one, two), (two, one)):
                if mine in slot_of and laid[other].fabric in names and other not in slot_of:
                    barred[slot_of[mine], names[laid[other].fabric]] = True
    extra = len(blocks)
    block = np.array([blocks.get(slot.spot, extra + number) for number, slot in enumerate(slots)])
    counts = np.bincount(block)
    return Problem(
        np.array([slot.size for slot in slots]),
        np.array([len(slot.members) for slot in slots]),
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
