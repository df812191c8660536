"""Every piece of cloth that a quilt's top is sewn from: its finished outline, how many, of which fabric.

Equal pieces are counted together. A piece and its mirror image are two, since cloth has a right side; a piece
turned by a quarter is the same.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass
from fractions import Fraction
from typing import Literal

from seamlore.draft.block import Corner, Patch, patch
from seamlore.draft.quilt import Quilt
from seamlore.lengths import Length

Role = Literal[
    "patch", "plain block", "sashing", "cornerstone", "border", "border corner", "side triangle", "corner triangle"
]


@dataclass(frozen=True, slots=True)
class Piece:
    """One kind of piece to cut.

    Parameters
    ----------
    role : str
        What it is in the quilt.
    fabric : str
        What its fabric is called.
    outline : tuple of (Fraction, Fraction)
        Finished corners in inches, clockwise, with its box beginning at 0, 0; sides that lie along x or y
        lie on the straight grain.
    count : int
        How many.
    label : str
        What it is called in lists, such as "A1" or "border 1, sides".
    """

    role: Role
    fabric: str
    outline: tuple[Corner, ...]
    count: int
    label: str

    @property
    def box(self) -> tuple[Fraction, Fraction]:
        """Finished width and height of its box in inches."""
        return max(x for x, _ in self.outline), max(y for _, y in self.outline)

    @property
    def area(self) -> Fraction:
        """Finished area in square inches."""
        return Patch(self.outline, "A").area


def pieces(quilt: Quilt) -> tuple[Piece, ...]:
    """List every piece of a quilt's top, equal ones counted together.

    Parameters
    ----------
    quilt : Quilt
        As drafted.

    Returns
    -------
    tuple of Piece
        Patches of the block in its reading order, then setting, then borders from the inside outward.

    Examples
    --------
    >>> from seamlore.draft.notation import read_block
    >>> from seamlore.lengths import length
    >>> four = read_block("block Four Patch\\nA dark\\nB light\\n\\nA B\\nB A")
    >>> [(p.label, p.count, p.box) for p in pieces(Quilt("q", four, length("8in"), length("8in"), 2, 3))]
    [('A1', 12, (Fraction(4, 1), Fraction(4, 1))), ('B1', 12, (Fraction(4, 1), Fraction(4, 1)))]
    """
    return (*_block_pieces(quilt), *_sashing_pieces(quilt), *_border_pieces(quilt))


def _block_pieces(quilt: Quilt) -> list[Piece]:
    counts: dict[tuple[str, tuple[Corner, ...]], int] = defaultdict(int)
    mirrored = sum(turned.mirrored for turned in quilt.turned.values())
    plain = quilt.rows * quilt.columns - mirrored
    # The whole block is mirrored or not; a turn by a quarter leaves its pieces what they are.
    for count, block in ((plain, quilt.block), (mirrored, quilt.block.moved(mirrored=True))):
        for each in block.patches if count else ():
            sized = [(x * quilt.block_width.inches, y * quilt.block_height.inches) for x, y in each.outline]
            counts[each.place, canonical(sized)] += count
    numbers: dict[str, int] = defaultdict(int)
    found = []
    for (place, outline), count in counts.items():
        numbers[place] += 1
        found.append(Piece("patch", quilt.fabric_of(place), outline, count, f"{place}{numbers[place]}"))
    return found


def _sashing_pieces(quilt: Quilt) -> list[Piece]:
    sashing = quilt.sashing
    if sashing is None:
        return []
    across, down = sashing.between_columns, sashing.between_rows
    outer = 1 if sashing.outer else -1
    standing, lying = quilt.columns + outer, quilt.rows + outer
    fabric = quilt.fabric_of("sashing")
    found = []
    if across and standing > 0:
        found.append(_strip("sashing", fabric, across, quilt.block_height, standing * quilt.rows, "sashing, upright"))
    if down and lying > 0:
        if sashing.cornerstones:
            found.append(_strip("sashing", fabric, quilt.block_width, down, lying * quilt.columns, "sashing, across"))
            if across and standing > 0:
                corner = quilt.fabric_of("cornerstone")
                found.append(_strip("cornerstone", corner, across, down, standing * lying, "cornerstone"))
        else:
            found.append(_strip("sashing", fabric, quilt.field_size[0], down, lying, "sashing, full rows"))
    return found


def _border_pieces(quilt: Quilt) -> list[Piece]:
    width, height = quilt.field_size
    found = []
    for number, border in enumerate(quilt.borders, start=1):
        name = f"border {number}" if len(quilt.borders) > 1 else "border"
        band = border.width
        if border.corners == "mitred":
            for long, label in ((width, "top and bottom"), (height, "sides")):
                full = long.inches + 2 * band.inches
                deep = band.inches
                corners: list[tuple[Fraction | int, Fraction | int]] = [
                    (0, 0),
                    (full, 0),
                    (full - deep, deep),
                    (deep, deep),
                ]
                found.append(Piece("border", border.fabric, canonical(corners), 2, f"{name}, {label}, mitred"))
        else:
            found.append(_strip("border", border.fabric, band, height, 2, f"{name}, sides"))
            long = width if border.corners == "squares" else width + band * 2
            found.append(_strip("border", border.fabric, long, band, 2, f"{name}, top and bottom"))
            if border.corners == "squares":
                corner = quilt.fabric_of("cornerstone")
                found.append(_strip("border corner", corner, band, band, 4, f"{name}, corners"))
        width, height = width + band * 2, height + band * 2
    return found


def _strip(role: Role, fabric: str, width: Length, height: Length, count: int, label: str) -> Piece:
    w, h = width.inches, height.inches
    return Piece(role, fabric, canonical([(0, 0), (w, 0), (w, h), (0, h)]), count, label)


def canonical(corners: Iterable[tuple[Fraction | int, Fraction | int]]) -> tuple[Corner, ...]:
    """Turn an outline by quarters so that equal pieces have equal outlines, its box beginning at 0, 0.

    Examples
    --------
    >>> canonical([(0, 0), (4, 0), (4, 2), (0, 2)]) == canonical([(0, 0), (2, 0), (2, 4), (0, 4)])
    True
    """
    ring = patch(corners, "A").outline
    turns = []
    for _ in range(4):
        ring = tuple((-y, x) for x, y in ring)
        left, top = min(x for x, _ in ring), min(y for _, y in ring)
        turns.append(patch([(x - left, y - top) for x, y in ring], "A").outline)
    # A long piece lies along the strip that it is cut from.
    return min(turns, key=lambda each: (-max(x for x, _ in each), each))
