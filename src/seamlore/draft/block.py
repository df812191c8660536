"""The block: patches that cover a square exactly, each in its place.

Corners are exact fractions of the block's side, x right and y down, from 0 to 1, so that a block has no
size until a quilt gives it one. A side is straight; a curved side will be a corner with a bulge.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field, replace
from fractions import Fraction
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from seamlore.errors import ShapeError
from seamlore.plane.cover import check_cover

Corner = tuple[Fraction, Fraction]
Value = Literal["light", "medium", "dark"]
VALUES: tuple[Value, ...] = ("light", "medium", "dark")
UNIT_SQUARE = np.array([[0.0, 0.0], [1.0, 0.0], [1.0, 1.0], [0.0, 1.0]])


@dataclass(frozen=True, slots=True)
class Patch:
    """One patch: a closed outline of exact corners and the place it takes.

    Parameters
    ----------
    outline : tuple of (Fraction, Fraction)
        Corners clockwise as seen, in parts of the block's side; made canonical by `patch`.
    place : str
        Which place of the block it is cut from: "A" to "Z".
    """

    outline: tuple[Corner, ...]
    place: str

    @property
    def area(self) -> Fraction:
        """Exact area in parts of the block's area."""
        return abs(_twice_area(self.outline)) / 2

    @property
    def points(self) -> NDArray[np.float64]:
        """The corners as floats, shape (n, 2), in parts of the block's side."""
        return np.array([[float(x), float(y)] for x, y in self.outline])

    @property
    def bounds(self) -> tuple[Fraction, Fraction, Fraction, Fraction]:
        """Left, top, right, bottom."""
        xs, ys = [x for x, _ in self.outline], [y for _, y in self.outline]
        return min(xs), min(ys), max(xs), max(ys)


def patch(corners: Iterable[tuple[Fraction | int, Fraction | int]], place: str) -> Patch:
    """Make a patch of corners given in order, either way round.

    Corners on a straight side are dropped; the outline is turned clockwise and begins at its topmost,
    then leftmost corner, so that equal patches are equal values.

    Examples
    --------
    >>> patch([(0, 0), (0, 1), (1, 1), (1, 0)], "A") == patch([(1, 0), (1, 1), (0, 1), (0, 0)], "A")
    True
    >>> patch([(0, 0), (1, 1)], "A")
    Traceback (most recent call last):
        ...
    seamlore.errors.ShapeError: patch A: corners (0, 0), (1, 1): a patch encloses an area; ...
    """
    given = [(Fraction(x), Fraction(y)) for x, y in corners]
    outline = [corner for corner, nxt in zip(given, given[1:] + given[:1], strict=True) if corner != nxt]
    kept = [
        corner
        for before, corner, after in zip(outline[-1:] + outline[:-1], outline, outline[1:] + outline[:1], strict=True)
        if (corner[0] - before[0]) * (after[1] - corner[1]) != (corner[1] - before[1]) * (after[0] - corner[0])
    ]
    turned = _twice_area(kept)
    if len(kept) < 3 or turned == 0:
        listed = ", ".join(f"({x}, {y})" for x, y in given)
        raise ShapeError(
            f"corners {listed}",
            "a patch encloses an area",
            "give its corners in order",
            where=f"patch {place}",
        )
    if turned < 0:
        kept.reverse()
    start = min(range(len(kept)), key=lambda index: (kept[index][1], kept[index][0]))
    return Patch(tuple(kept[start:] + kept[:start]), place)


def _twice_area(corners: Iterable[Corner]) -> Fraction:
    ring = list(corners)
    return sum(
        (x0 * y1 - x1 * y0 for (x0, y0), (x1, y1) in zip(ring, ring[1:] + ring[:1], strict=True)),
        start=Fraction(0),
    )


@dataclass(frozen=True, slots=True)
class Place:
    """What goes into one place of the block.

    Parameters
    ----------
    value : {"light", "medium", "dark"}
        How light or dark it stands in the block.
    scrappy : bool
        Whether the place takes many fabrics rather than one.
    """

    value: Value
    scrappy: bool = False


@dataclass(frozen=True, slots=True)
class Block:
    """A block as it is pieced.

    Parameters
    ----------
    name : str
        The name that heads it.
    divisions : int
        Into how many equal parts its side is divided (a nine patch has 3).
    patches : tuple of Patch
        In reading order; together they cover the block.
    places : mapping of str to Place
        One entry for each letter that a patch takes.
    also : tuple of str
        Other names for the same drawing.
    family, notes
        What kind of block it is, and what is good to know when sewing it.
    """

    name: str
    divisions: int
    patches: tuple[Patch, ...]
    places: Mapping[str, Place]
    also: tuple[str, ...] = ()
    family: str = ""
    notes: tuple[str, ...] = field(default=())

    @property
    def names(self) -> tuple[str, ...]:
        """All the names of the block, its own first."""
        return (self.name, *self.also)

    def moved(self, turn: int = 0, *, mirrored: bool = False) -> Block:
        """Give the block mirrored left to right (if asked), then turned clockwise by `turn` degrees.

        Parameters
        ----------
        turn : {0, 90, 180, 270}
            Clockwise as seen.
        mirrored : bool
            Mirror left to right first.
        """
        patches = [
            patch([move(corner, turn, mirrored) for corner in each.outline], each.place) for each in self.patches
        ]
        return replace(self, patches=in_reading_order(patches))


def move(corner: Corner, turn: int, mirrored: bool) -> Corner:
    """Mirror a corner left to right (if asked), then turn it clockwise about the middle of the block.

    Examples
    --------
    >>> move((Fraction(0), Fraction(0)), 90, False)
    (Fraction(1, 1), Fraction(0, 1))
    >>> move((Fraction(0), Fraction(0)), 0, True)
    (Fraction(1, 1), Fraction(0, 1))
    """
    x, y = corner
    if mirrored:
        x = 1 - x
    for _ in range(turn // 90 % 4):
        x, y = 1 - y, x
    return x, y


def in_reading_order(patches: Iterable[Patch]) -> tuple[Patch, ...]:
    """Sort patches by their first corner, top to bottom and then left to right."""
    return tuple(sorted(patches, key=lambda each: (each.outline[0][1], each.outline[0][0], each.outline)))


def block(
    name: str,
    divisions: int,
    patches: Iterable[Patch],
    places: Mapping[str, Place],
    *,
    also: tuple[str, ...] = (),
    family: str = "",
    notes: tuple[str, ...] = (),
) -> Block:
    """Make a block and check that its patches cover it.

    Raises
    ------
    ShapeError
        When patches overlap, leave a gap or stand outside the block, naming the place in divisions from the
        block's top left corner; when a place is used but not described, or described but not used.

    Examples
    --------
    >>> whole = patch([(0, 0), (1, 0), (1, 1), (0, 1)], "A")
    >>> block("plain", 1, [whole], {"A": Place("light")}).divisions
    1
    >>> block("nothing", 1, [], {})
    Traceback (most recent call last):
        ...
    seamlore.errors.ShapeError: block nothing: 0 patches: a block has at least 1; ...
    """
    where = f"block {name}"
    ordered = in_reading_order(patches)
    if not ordered:
        raise ShapeError("0 patches", "a block has at least 1", "draw its patches", where=where)
    used, known = {each.place for each in ordered}, set(places)
    if used != known:
        wrong = sorted(used ^ known)[0]
        what = "is not described" if wrong in used else "is described but no patch takes it"
        raise ShapeError(
            f"place {wrong} {what}",
            "each place has one line, such as A dark",
            f"mend place {wrong}",
            where=where,
        )
    try:
        check_cover(
            UNIT_SQUARE * divisions,
            [each.points * divisions for each in ordered],
            [f"patch {index + 1} ({each.place})" for index, each in enumerate(ordered)],
        )
    except ShapeError as fault:
        raise ShapeError(
            fault.given,
            fault.limit,
            fault.remedy,
            where=f"{where}, {fault.where} divisions from its top left corner",
        ) from fault
    return Block(name, divisions, ordered, dict(sorted(places.items())), also, family, notes)
