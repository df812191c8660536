"""Every piece of cloth that a quilt's top is sewn from: its finished outline, how many, of which fabric.

Equal pieces are counted together. A piece and its mirror image are two, since cloth has a right side; a piece
turned by a quarter is the same.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass
from functools import lru_cache

from seamlore.draft.block import Corner, Patch, patch
from seamlore.draft.layout import arrange
from seamlore.draft.quilt import Quilt
from seamlore.draft.roots import Exact
from seamlore.draft.setting.parts import Bit, Ring, Role, Spot, SpotKind, parts, spot_kind


@dataclass(frozen=True, slots=True)
class Piece:
    """One kind of piece to cut.

    Parameters
    ----------
    role : str
        What it is in the quilt.
    fabric : str
        What its fabric is called.
    outline : tuple of (Exact, Exact)
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
    def box(self) -> tuple[Exact, Exact]:
        """Finished width and height of its box in inches."""
        return max(x for x, _ in self.outline), max(y for _, y in self.outline)

    @property
    def area(self) -> Exact:
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
        Patches in the reading order of their block, then setting, then borders from the inside outward.

    Examples
    --------
    >>> from seamlore.draft.text.notation import read_block
    >>> from seamlore.lengths import length
    >>> four = read_block("block Four Patch\\nA dark\\nB light\\n\\nA B\\nB A")
    >>> [(p.label, p.count, p.box) for p in pieces(Quilt("q", four, length("8in"), length("8in"), 2, 3))]
    [('A1', 12, (Fraction(4, 1), Fraction(4, 1))), ('B1', 12, (Fraction(4, 1), Fraction(4, 1)))]
    """
    arranged = arrange(quilt)
    bits = [*arranged.setting, *(bit for border in arranged.borders for bit in border)]
    return (*_patch_pieces(quilt, arranged.spots), *_bit_pieces(bits))


def _patch_pieces(quilt: Quilt, spots: Iterable[Spot]) -> list[Piece]:
    kinds: dict[tuple[Role, SpotKind], list[Spot]] = defaultdict(list)
    for spot in spots:
        kinds[spot.role, spot_kind(spot)].append(spot)
    # The main block comes first, whole before cut, as drawn before turned, so that its patches are numbered first.
    order = [id(each) for each in quilt.blocks]
    counts: dict[tuple[Role, str, tuple[Corner, ...]], int] = defaultdict(int)
    for (role, _), same in sorted(kinds.items(), key=lambda item: _rank(item[0][1], order)):
        for part in parts(same[0]):
            counts[role, part.place, canonical(part.outline)] += len(same)
    numbers: dict[str, int] = defaultdict(int)
    found = []
    for (role, place, outline), count in counts.items():
        numbers[place] += 1
        found.append(Piece(role, quilt.fabric_of(place), outline, count, f"{place}{numbers[place]}"))
    return found


def _rank(kind: SpotKind, order: list[int]) -> tuple[int, bool, bool, int]:
    block, turned, _, _, keep = kind
    return order.index(block), bool(keep), turned.mirrored, turned.turn


def _bit_pieces(bits: Iterable[Bit]) -> list[Piece]:
    counts: dict[tuple[Role, str, str, tuple[Corner, ...]], int] = defaultdict(int)
    shapes: dict[Ring, tuple[Corner, ...]] = {}
    for bit in bits:
        if bit.outline not in shapes:
            shapes[bit.outline] = canonical(bit.outline)
        counts[bit.role, bit.fabric, bit.label, shapes[bit.outline]] += 1
    return [Piece(role, fabric, ring, count, label) for (role, fabric, label, ring), count in counts.items()]


def canonical(corners: Iterable[tuple[Exact | int, Exact | int]]) -> tuple[Corner, ...]:
    """Turn an outline by quarters so that equal pieces have equal outlines, its box beginning at 0, 0.

    Examples
    --------
    >>> canonical([(0, 0), (4, 0), (4, 2), (0, 2)]) == canonical([(0, 0), (2, 0), (2, 4), (0, 4)])
    True
    """
    return _canonical(tuple(corners))


# The same few shapes are met in every block of a quilt, and again in every list of its pieces.
@lru_cache(maxsize=4096)
def _canonical(corners: tuple[tuple[Exact | int, Exact | int], ...]) -> tuple[Corner, ...]:
    ring = patch(corners, "A").outline
    turns = []
    for _ in range(4):
        ring = tuple((-y, x) for x, y in ring)
        left, top = min(x for x, _ in ring), min(y for _, y in ring)
        turns.append(patch([(x - left, y - top) for x, y in ring], "A").outline)
    # A long piece lies along the strip that it is cut from.
    return min(turns, key=lambda each: (-max(x for x, _ in each), each))
