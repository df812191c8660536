"""Every piece of cloth that a quilt's top is sewn from: its finished outline, how many, of which fabric.

Equal pieces are counted together. A piece and its mirror image are two, since cloth has a right side; a piece
turned by a quarter is the same.
"""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Iterable
from dataclasses import dataclass, replace

from seamlore.draft.block import Corner, Patch, patch
from seamlore.draft.exact.roots import Exact
from seamlore.draft.groups import Group, canonical, grained, groups
from seamlore.draft.quilt import Quilt
from seamlore.draft.setting.arranged import arrange
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
        What it is called in lists, such as "A1" or "border 1, sides"; "A1r" is A1 turned over.
    kind, place : str
        Of a patch: the name of its kind and its letter; empty for what belongs to no block.
    """

    role: Role
    fabric: str
    outline: tuple[Corner, ...]
    count: int
    label: str
    kind: str = ""
    place: str = ""

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
        Patches by kind in the reading order of their block, then setting, then borders from the inside outward.
        Nothing of a block that was not read.

    Examples
    --------
    >>> from seamlore.draft.repeated import repeated
    >>> from seamlore.draft.text.notation import read_block
    >>> from seamlore.lengths import length
    >>> four = read_block("block Four Patch\\nA dark\\nB light\\n\\nA B\\nB A")
    >>> [(p.label, p.count, p.box) for p in pieces(repeated("q", four, length("8in"), length("8in"), 2, 3))]
    [('A1', 12, (Fraction(4, 1), Fraction(4, 1))), ('B1', 12, (Fraction(4, 1), Fraction(4, 1)))]
    """
    patches = [piece for group in groups(quilt) for piece in _patch_pieces(quilt, group)]
    return (*_together(patches), *_bit_pieces(arrange(quilt).bits))


def standing(quilt: Quilt) -> tuple[Piece, ...]:
    """List every piece of a quilt's top as it stands there: outlines are not turned, and those that stand alike are one.

    Parameters
    ----------
    quilt : Quilt
        As drafted.

    Returns
    -------
    tuple of Piece
        In no order that matters. Patches of blocks on point stand as in their block, which leans; those with a side on
        the quilt's edge stand as in the quilt.

    Examples
    --------
    >>> from seamlore.draft.repeated import repeated
    >>> from seamlore.draft.text.notation import read_block
    >>> from seamlore.lengths import length
    >>> half = read_block("block Half\\nA dark\\nB light\\n\\nA/B")
    >>> [(p.label, p.count, [tuple(map(int, at)) for at in p.outline])
    ...  for p in standing(repeated("q", half, length("8in"), length("8in"), 2, 3))]
    [('A1', 6, [(0, 0), (8, 0), (0, 8)]), ('B1', 6, [(8, 0), (8, 8), (0, 8)])]
    """
    found: list[Piece] = []
    for group in groups(quilt):
        named = {
            (part.place, canonical(ring)): label
            for part, ring, label in zip(group.parts, group.as_cut, group.labels, strict=True)
        }
        alike: dict[tuple[SpotKind, tuple[tuple[str, str], ...]], list[Spot]] = defaultdict(list)
        for spot in group.spots:
            alike[spot_kind(spot), spot.own].append(spot)
        for (_, own), spots in alike.items():
            other = dict(own)
            for part in parts(spots[0]):
                ring = grained(part.outline, spots[0].left)
                label = named[part.place, canonical(ring)]
                # Laid on the grain it was turned against its block by an eighth, and its block leans by one.
                ring = tuple((-y, x) for x, y in ring) if ring is not part.outline else ring
                fabric = other.get(part.place) or quilt.fabric_of(quilt.key(group.kind, part.place))
                found.append(Piece(group.role, fabric, _from_0(ring), len(spots), label, group.kind.name, part.place))
    found += [Piece(bit.role, bit.fabric, _from_0(bit.outline), 1, bit.label) for bit in arrange(quilt).bits]
    return tuple(_together(found))


def _from_0(ring: Ring) -> Ring:
    left, top = min(x for x, _ in ring), min(y for _, y in ring)
    return patch([(x - left, y - top) for x, y in ring], "A").outline


def _patch_pieces(quilt: Quilt, group: Group) -> Iterable[Piece]:
    """The pieces of one group: those in the fabrics of the kind first, then those of blocks with fabrics of their own."""
    own = Counter(spot.own for spot in group.spots)
    for fabrics, count in sorted(own.items(), key=lambda each: bool(each[0])):
        other = dict(fabrics)
        for part, ring, label in zip(group.parts, group.as_cut, group.labels, strict=True):
            fabric = other.get(part.place) or quilt.fabric_of(quilt.key(group.kind, part.place))
            yield Piece(group.role, fabric, canonical(ring), count, label, group.kind.name, part.place)


def _together(found: Iterable[Piece]) -> Iterable[Piece]:
    """Count equal pieces together, in the order in which they first come."""
    counts: dict[Piece, int] = defaultdict(int)
    for piece in found:
        counts[replace(piece, count=1)] += piece.count
    return [replace(piece, count=count) for piece, count in counts.items()]


def _bit_pieces(bits: Iterable[Bit]) -> list[Piece]:
    counts: dict[tuple[Role, str, str, tuple[Corner, ...]], int] = defaultdict(int)
    shapes: dict[Ring, tuple[Corner, ...]] = {}
    for bit in bits:
        if bit.outline not in shapes:
            shapes[bit.outline] = canonical(bit.outline)
        counts[bit.role, bit.fabric, bit.label, shapes[bit.outline]] += 1
    return [Piece(role, fabric, ring, count, label) for (role, fabric, label, ring), count in counts.items()]
