"""The block: patches that cover a square exactly, each in its place.

Corners are exact parts of the block's side, x right and y down, from 0 to 1, so that a block has no
size until a quilt gives it one: fractions, or such as an eight-pointed star has, with the square root of two in them. A side is straight; a curved side will be a corner with a bulge.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from fractions import Fraction
from functools import cached_property
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from seamlore.draft.exact.outlines import Corner as Corner
from seamlore.draft.exact.outlines import fills_square, part, tidy, twice_area, whole_numbers
from seamlore.draft.exact.roots import Exact, Root2, absolute, exact
from seamlore.errors import ShapeError
from seamlore.limits import DIVISIONS

Value = Literal["light", "medium", "dark"]
VALUES: tuple[Value, ...] = ("light", "medium", "dark")
# Our own limit: 0.012 in of a 12 in block is less than the width of a pencil line.
SLIVER = Fraction(1, 1000)
UNIT_SQUARE = np.array([[0.0, 0.0], [1.0, 0.0], [1.0, 1.0], [0.0, 1.0]])


# Without slots: the bounds of a patch are asked for by every square of every grid, and kept.
@dataclass(frozen=True)
class Patch:
    """One patch: a closed outline of exact corners and the place it takes.

    Parameters
    ----------
    outline : tuple of (Exact, Exact)
        Corners clockwise as seen, in parts of the block's side; made canonical by `patch`.
    place : str
        Which place of the block it is cut from: "A" to "Z".
    """

    outline: tuple[Corner, ...]
    place: str

    @property
    def area(self) -> Exact:
        """Exact area in parts of the block's area."""
        return absolute(_twice_area(self.outline)) / 2

    @property
    def points(self) -> NDArray[np.float64]:
        """The corners as floats, shape (n, 2), in parts of the block's side."""
        return np.array([[float(x), float(y)] for x, y in self.outline])

    @cached_property
    def bounds(self) -> tuple[Exact, Exact, Exact, Exact]:
        """Left, top, right, bottom."""
        xs, ys = [x for x, _ in self.outline], [y for _, y in self.outline]
        return min(xs), min(ys), max(xs), max(ys)


def patch(corners: Iterable[tuple[Exact | int, Exact | int]], place: str) -> Patch:
    """Make a patch of corners given in order, either way round.

    Corners on a straight side are dropped; the outline is turned clockwise and begins at its topmost,
    then leftmost corner, so that equal patches are equal values.

    Parameters
    ----------
    corners : iterable of (Exact or int, Exact or int)
        In parts of the block's side.
    place : str
        "A" to "Z".

    Raises
    ------
    ShapeError
        When the corners enclose nothing.

    Examples
    --------
    >>> patch([(0, 0), (0, 1), (1, 1), (1, 0)], "A") == patch([(1, 0), (1, 1), (0, 1), (0, 0)], "A")
    True
    >>> patch([(0, 0), (1, 1)], "A")
    Traceback (most recent call last):
        ...
    seamlore.errors.ShapeError: patch A: corners (0, 0), (1, 1): a patch encloses an area; ...
    """
    given = [(exact(x), exact(y)) for x, y in corners]
    # Whole numbers are many times quicker than fractions, and a catalogue is thousands of corners.
    scale, (ring,) = whole_numbers([given])
    kept = tidy(ring)
    if not kept:
        listed = ", ".join(f"({x}, {y})" for x, y in given)
        raise ShapeError(
            f"corners {listed}",
            "a patch encloses an area",
            "give its corners in order",
            where=f"patch {place}",
        )
    return Patch(tuple((part(x, scale), part(y, scale)) for x, y in kept), place)


def _twice_area(corners: Iterable[Corner]) -> Exact:
    ring = list(corners)
    total: Exact = Fraction(0)
    for (x0, y0), (x1, y1) in zip(ring, ring[1:] + ring[:1], strict=True):
        total += x0 * y1 - x1 * y0
    return total


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
    places: Mapping[str, Place] = field(hash=False)
    also: tuple[str, ...] = ()
    family: str = ""
    notes: tuple[str, ...] = field(default=())

    @property
    def names(self) -> tuple[str, ...]:
        """All the names of the block, its own first."""
        return (self.name, *self.also)

    @property
    def on_grid(self) -> bool:
        """Whether all corners are plain fractions of the side: no square root of two in them."""
        return not any(
            isinstance(number, Root2) for each in self.patches for corner in each.outline for number in corner
        )

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
    called: Sequence[str] = (),
) -> Block:
    """Make a block and check that its patches cover it.

    Parameters
    ----------
    name, also, family, notes : str and tuples of str
        As in `Block`; each on one line, without ``#``, and another name without a comma.
    divisions : int
        From 1 to 64.
    patches : iterable of Patch
        In any order.
    places : mapping of str to Place
        One entry for each letter that a patch takes.
    called : sequence of str, optional
        What each patch is called in a message, such as "patch A of line 7"; as many as there are patches.

    Raises
    ------
    ShapeError
        When patches overlap, leave a gap, are slivers or stand outside the block, naming the place in divisions
        from the block's top left corner and the size; when a place is used but not described, or described
        but not used; when a text cannot stand in a block file.

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
    given = tuple(patches)
    if not given:
        raise ShapeError("0 patches", "a block has at least 1", "draw its patches", where=where)
    if not 1 <= divisions <= DIVISIONS:
        raise ShapeError(
            f"{divisions} divisions", f"from 1 to {DIVISIONS}", "give a whole number in that range", where=where
        )
    _check_words(where, name, also, family, notes)
    used, known = {each.place for each in given}, set(places)
    if used != known:
        wrong = sorted(used ^ known)[0]
        what = "is not described" if wrong in used else "is described but no patch takes it"
        raise ShapeError(
            f"place {wrong} {what}",
            "each place has one line, such as A dark",
            f"mend place {wrong}",
            where=where,
        )
    scale, rings = whole_numbers([each.outline for each in given])
    order = sorted(range(len(given)), key=lambda index: (rings[index][0][::-1], rings[index]))
    ordered = tuple(given[index] for index in order)
    names = [
        called[index] if called else f"patch {spot + 1} ({given[index].place})" for spot, index in enumerate(order)
    ]
    if not fills_square(scale, rings):
        _check_closely(where, divisions, ordered, names)
    # No patch of more than this area can be too narrow, since none is longer than the block's diagonal.
    small = SLIVER * 3 * scale * scale
    if any(twice_area(ring) < small for ring in rings):
        _check_slivers(where, divisions, ordered, names)
    return Block(name, divisions, ordered, dict(sorted(places.items())), also, family, notes)


def _check_words(where: str, name: str, also: tuple[str, ...], family: str, notes: tuple[str, ...]) -> None:
    for what, text in (
        ("its name", name),
        *(("another name", each) for each in also),
        ("its family", family),
        *(("a note", note) for note in notes),
    ):
        if not text and what == "its family":
            continue
        if text.splitlines() != [text] or text.strip() != text or "#" in text:
            raise ShapeError(
                f"{what}, {text!r}", "it is one line of text without #", "write it on one line", where=where
            )
        if what == "another name" and "," in text:
            raise ShapeError(f'another name, "{text}"', "a comma parts names", "write it without one", where=where)


def _check_closely(where: str, divisions: int, ordered: Sequence[Patch], names: Sequence[str]) -> None:
    """Name what is wrong with patches that do not fill the block exactly; what is within 1e-6 may pass."""
    from seamlore.plane.cover import check_cover  # brings in the geometry library, which only a fault needs

    try:
        check_cover(UNIT_SQUARE * divisions, [each.points * divisions for each in ordered], names)
    except ShapeError as fault:
        raise ShapeError(
            fault.given,
            fault.limit,
            fault.remedy,
            where=f"{where}, {fault.where} divisions from its top left corner",
        ) from fault


def _check_slivers(where: str, divisions: int, ordered: Sequence[Patch], names: Sequence[str]) -> None:
    for each, name in zip(ordered, names, strict=True):
        points = each.points
        sides = np.roll(points, -1, axis=0) - points
        normals = np.column_stack([-sides[:, 1], sides[:, 0]]) / np.hypot(sides[:, 0], sides[:, 1])[:, None]
        width = float(np.ptp(points @ normals.T, axis=0).min())
        if width < SLIVER:
            x, y = points.mean(axis=0) * divisions
            long = float(np.ptp(points, axis=0).max())
            raise ShapeError(
                f"{name} is a sliver {width * divisions:.4g} wide and {long * divisions:.4g} long",
                f"a patch is at least {float(SLIVER):g} of the block's side wide",
                "move its corners or leave it out",
                where=f"{where}, at ({x:.4g}, {y:.4g}) divisions from its top left corner",
            )
