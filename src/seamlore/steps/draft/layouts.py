"""How many blocks half-square triangles make on a grid, and which of them a block is."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from typing import Any, Literal

from seamlore.draft.arrangements import arrangements
from seamlore.draft.block import Block
from seamlore.draft.units import BlockUnit


@dataclass(frozen=True, slots=True)
class Layouts:
    """How many different blocks can be laid from half-square triangles on a grid.

    Parameters
    ----------
    size : int
        Squares on a side.
    plain : bool
        Whether some squares may be plain, light or dark.
    all : int
        Every way of laying them.
    turned, mirrored, exchanged : int
        How many are left when those that differ only by a turn count as one; by a turn or as mirror images; by
        these or by an exchange of light and dark.
    """

    size: int
    plain: bool
    all: int
    turned: int
    mirrored: int
    exchanged: int

    def __str__(self) -> str:
        squares = f"Half-square triangles{' and plain squares' * self.plain} on {self.size} by {self.size}"
        return (
            f"{squares} can be laid in {self.all:,} ways; {self.turned:,} when turned ones count as one, "
            f"{self.mirrored:,} when mirrored ones do too, {self.exchanged:,} with light and dark exchanged as well"
        )


def layouts(size: int, *, plain: bool = False) -> Layouts:
    """Count the blocks that half-square triangles can be laid into.

    Parameters
    ----------
    size : int
        Squares on a side, 1 to 16.
    plain : bool
        Whether some squares may be plain.

    Raises
    ------
    ShapeError
        When the grid is empty or larger than 16 by 16.

    Examples
    --------
    >>> found = layouts(2)
    >>> found.all, found.turned, found.exchanged
    (256, 70, 27)
    >>> layouts(0)
    Traceback (most recent call last):
        ...
    seamlore.errors.ShapeError: a grid of 0 by 0: from 1 by 1 to 16 by 16; give the squares on one side
    """
    unit: Literal["half-square triangle and plain", "half-square triangle"] = (
        "half-square triangle and plain" if plain else "half-square triangle"
    )
    return Layouts(
        size,
        plain,
        arrangements(size, unit, turned=False),
        arrangements(size, unit),
        arrangements(size, unit, mirrored=True),
        arrangements(size, unit, mirrored=True, exchanged=True),
    )


def layouts_of(block: Block, found: tuple[BlockUnit, ...]) -> Layouts | None:
    """Count the layouts of a block that is a grid of half-square triangles and perhaps plain squares; else None.

    Examples
    --------
    >>> from seamlore.draft.catalogue import find
    >>> from seamlore.draft.units import units
    >>> pinwheel = find("pinwheel")
    >>> layouts_of(pinwheel, units(pinwheel)).size, layouts_of(find("ohio star"), units(find("ohio star")))
    (2, None)
    """
    if not found or any(unit.kind != "half-square triangle" for unit in found):
        return None
    side = found[0].box[2] - found[0].box[0]
    plain = [patch.bounds for index, patch in enumerate(block.patches) if not any(index in u.patches for u in found)]
    boxes = [unit.box for unit in found] + plain
    square = all(right - left == side == bottom - top for left, top, right, bottom in boxes)
    # Two fabrics in all: with a third, more could be told apart than is counted here.
    if not square or len(block.places) != 2 or Fraction(1) / side not in range(1, 17):
        return None
    return layouts(round(1 / side), plain=bool(plain))


def layouts_record(found: Layouts) -> dict[str, Any]:
    """Give the counts of layouts as plain data for JSON."""
    return {
        "size": found.size,
        "plain": found.plain,
        "all": found.all,
        "turned": found.turned,
        "mirrored": found.mirrored,
        "exchanged": found.exchanged,
    }
