"""Which spots of a quilt are made alike: whole blocks of each kind, reversed ones, those that the edge has cut.

Whoever counts, cuts, sews or prints blocks starts from these groups, so that all of them count the same.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache
from typing import Any, Literal

from seamlore.draft.block import Corner, Patch, patch
from seamlore.draft.exact.roots import SQRT2, Exact, total
from seamlore.draft.kinds import Kind, Turned, simplest
from seamlore.draft.quilt import Quilt
from seamlore.draft.setting.arranged import arrange
from seamlore.draft.setting.parts import HalfPlane, Part, Ring, Role, Spot, SpotKind, outlines, parts, spot_kind
from seamlore.once import Once

Piecing = frozenset[tuple[str, tuple[Corner, ...]]]


@dataclass(frozen=True)
class Group:
    """Spots that are sewn alike, whatever their fabrics.

    Parameters
    ----------
    kind : Kind
        Which kind of block.
    role : str
        What its patches are in the quilt: "patch", "plain block", "border", "border corner".
    part : {"whole", "half", "quarter", "part"}
        How much the edge has left of each: all, a half, a quarter, or another part.
    reversed : bool
        Whether each is the mirror image of the block as drawn, and no turn brings it back.
    spots : tuple of Spot
        Where they lie, in reading order.
    parts : tuple of Part
        The patches of the first, in inches from the corner of its spot.
    labels : tuple of str
        What each of these patches is called in lists, such as "A1".
    as_cut : tuple of outlines
        These patches as they are cut: sides along x or y lie on the straight grain.
    """

    kind: Kind
    role: Role
    part: Literal["whole", "half", "quarter", "part"]
    reversed: bool
    spots: tuple[Spot, ...]
    parts: tuple[Part, ...]
    labels: tuple[str, ...]
    as_cut: tuple[Ring, ...]

    @property
    def count(self) -> int:
        """How many there are."""
        return len(self.spots)

    @property
    def patches(self) -> tuple[Patch, ...]:
        """The patches of the first as `parts` lists them, in parts of the longer side of its spot."""
        side = max(self.spots[0].width, self.spots[0].height)
        return tuple(Patch(tuple((x / side, y / side) for x, y in each.outline), each.place) for each in self.parts)

    @property
    def size(self) -> tuple[Exact, Exact]:
        """Finished width and height of what is left of the first, in inches."""
        rings = outlines(self.spots[0])
        xs, ys = [x for ring in rings for x, _ in ring], [y for ring in rings for _, y in ring]
        return max(xs) - min(xs), max(ys) - min(ys)


@Once
def groups(quilt: Quilt) -> tuple[Group, ...]:
    """Gather the spots of a quilt that are made alike; those that were not read belong to none.

    Parameters
    ----------
    quilt : Quilt
        As drafted.

    Returns
    -------
    tuple of Group
        By the order of the kinds; whole ones before cut ones, as drawn before reversed.

    Examples
    --------
    >>> from seamlore.draft.repeated import repeated
    >>> from seamlore.draft.setting.setting import OnPoint
    >>> from seamlore.draft.text.notation import read_block
    >>> from seamlore.lengths import inches
    >>> plain = read_block("block Plain\\nA light\\n\\nA")
    >>> halves = repeated("q", plain, inches(8), inches(8), 4, 4, setting=OnPoint("half blocks"))
    >>> [(group.part, group.count) for group in groups(halves)]
    [('whole', 25), ('half', 12), ('quarter', 4)]
    """
    by_kind: dict[SpotKind, Piecing] = {}
    gathered: dict[tuple[str, Role, Piecing], list[Spot]] = defaultdict(list)
    for spot in arrange(quilt).spots:
        if spot.kind is None:
            continue
        alike = spot_kind(spot)
        if alike not in by_kind:
            by_kind[alike] = _piecing(parts(spot))
        gathered[spot.kind.name, spot.role, by_kind[alike]].append(spot)
    made = [_group(spots) for spots in gathered.values()]
    rank = {kind.name: index for index, kind in enumerate(quilt.kinds)}
    ordered = sorted(made, key=lambda each: (rank[each.kind.name], _PARTS.index(each.part), each.reversed))
    labels = _labels(quilt, ordered)
    return tuple(
        Group(
            each.kind,
            each.role,
            each.part,
            each.reversed,
            each.spots,
            each.parts,
            tuple(
                labels[each.kind.name, part.place, canonical(ring)]
                for part, ring in zip(each.parts, each.as_cut, strict=True)
            ),
            each.as_cut,
        )
        for each in ordered
    )


@Once
def as_sewn(quilt: Quilt) -> Mapping[tuple[int, int], Turned]:
    """Tell how blocks lie in the quilt beside how they are drawn where they are sewn, which is the first of its group.

    Parameters
    ----------
    quilt : Quilt
        As drafted.

    Returns
    -------
    mapping of (row, column) to Turned
        Of every whole block that was read and is pieced; mirrored is one of a group of reversed blocks, which are drawn
        reversed. What the edge has cut can lie in one way only and is not in it.

    Examples
    --------
    >>> from seamlore.draft.cells import with_cells
    >>> from seamlore.draft.kinds import Cell
    >>> from seamlore.draft.repeated import repeated
    >>> from seamlore.draft.text.notation import read_block
    >>> from seamlore.lengths import inches
    >>> two = repeated("q", read_block("block Two\\nA dark\\nB light\\n\\nA|B"), inches(8), inches(8), 1, 2)
    >>> turned = with_cells(two, {(0, column): Cell("Tw", Turned(turn)) for column, turn in enumerate((90, 180))})
    >>> [lies.turn for lies in as_sewn(turned).values()]
    [0, 90]
    """
    found: dict[tuple[int, int], Turned] = {}
    for group in groups(quilt):
        if group.part != "whole" or len(group.parts) < 2:
            continue
        block = group.kind.block
        first = simplest(block, group.spots[0].turned)
        for spot in group.spots:
            if spot.where.part == "block":
                turn: Any = (simplest(block, spot.turned).turn - first.turn) % 360
                found[spot.where.row, spot.where.column] = Turned(turn, group.reversed)
    return found


def cut_said(quilt: Quilt) -> str:
    """Say how many of the blocks the edge has cut, and how; nothing where all are whole.

    Examples
    --------
    >>> from seamlore.draft.catalogue import find
    >>> from seamlore.draft.repeated import repeated
    >>> from seamlore.draft.setting.setting import OnPoint
    >>> from seamlore.lengths import inches
    >>> cut_said(repeated("q", find("shoo fly"), inches(8), inches(8), 4, 4, setting=OnPoint("half blocks")))
    '25 whole, 12 halves, 4 quarters'
    """
    # Most quilts have whole blocks alone; to see that, nothing has to be gathered.
    if not any(spot.keep for spot in arrange(quilt).spots):
        return ""
    counts: dict[str, int] = {}
    for group in groups(quilt):
        if group.role in ("patch", "plain block"):
            counts[group.part] = counts.get(group.part, 0) + group.count
    if not counts.keys() - {"whole"}:
        return ""
    plural = {"half": "halves", "quarter": "quarters", "part": "parts", "whole": "whole"}
    return ", ".join(f"{count} {part if count == 1 else plural[part]}" for part, count in counts.items())


def ways(found: Sequence[Group]) -> tuple[tuple[int, int], ...]:
    """Number the groups of each kind and part that are pieced otherwise: of halves those that the edge cut otherwise.

    Parameters
    ----------
    found : sequence of Group
        From `groups`.

    Returns
    -------
    tuple of (number, how many)
        For each group: 1 of 1 where no other is called as it is.

    Examples
    --------
    >>> from seamlore.draft.catalogue import find
    >>> from seamlore.draft.repeated import repeated
    >>> from seamlore.draft.setting.setting import OnPoint
    >>> from seamlore.lengths import inches
    >>> point = repeated("q", find("shoo fly"), inches(8), inches(8), 2, 2, setting=OnPoint("half blocks"))
    >>> ways(groups(point)), ways(())
    (((1, 1), (1, 1), (1, 1)), ())
    """
    called = [(group.kind.name, group.role, group.part, group.reversed) for group in found]
    return tuple((called[: index + 1].count(name), called.count(name)) for index, name in enumerate(called))


_PARTS = ("whole", "half", "quarter", "part")


def _group(spots: Sequence[Spot]) -> Group:
    # The one that lies most nearly as drawn speaks for all.
    ways = [(simplest(spot.kind.block, spot.turned), spot) for spot in spots if spot.kind]
    lies, first = min(ways, key=lambda way: (way[0].mirrored, way[0].turn, way[1].where))
    inside = parts(first)
    whole = first.width * first.height
    left = total(Patch(each.outline, each.place).area for each in inside)
    share = left / whole
    part = "whole" if not first.keep else "half" if share * 2 == 1 else "quarter" if share * 4 == 1 else "part"
    assert first.kind is not None
    ordered = (first, *(spot for spot in spots if spot is not first))
    as_cut = tuple(grained(each.outline, first.left) for each in inside)
    return Group(first.kind, first.role, part, lies.mirrored, ordered, inside, (), as_cut)  # type: ignore[arg-type]


def grained(ring: Ring, edge: Sequence[HalfPlane]) -> Ring:
    """Turn a patch so that its side on the quilt's edge, which runs on the diagonal of its block, lies on the grain.

    Cut with the rest of its block it would have its bias there, and the edge would stretch.

    Parameters
    ----------
    ring : outline
    edge : sequence of HalfPlane
        What the edge has left of its spot, counted from the same corner.

    Examples
    --------
    >>> from fractions import Fraction
    >>> grained(((Fraction(0), Fraction(0)), (Fraction(2), Fraction(0)), (Fraction(0), Fraction(2))), ())[1]
    (Fraction(2, 1), Fraction(0, 1))
    """
    for a, b, c in edge:
        along = [a * x + b * y == c for x, y in ring]
        if a and b and any(one and two for one, two in zip(along, along[1:] + along[:1], strict=True)):
            return tuple(((x + y) * SQRT2 / 2, (y - x) * SQRT2 / 2) for x, y in ring)
    return ring


def _labels(quilt: Quilt, found: Iterable[Group]) -> Mapping[tuple[str, str, tuple[Corner, ...]], str]:
    """Number the shapes that are cut for each place; the mirror image of one that has a number is that, reversed."""
    labels: dict[tuple[str, str, tuple[Corner, ...]], str] = {}
    numbers: dict[tuple[str, str], int] = defaultdict(int)
    for group in found:
        name = "" if len(quilt.kinds) == 1 else f"{group.kind.name} "
        for part, ring in zip(group.parts, group.as_cut, strict=True):
            shape = canonical(ring)
            key = group.kind.name, part.place, shape
            if key in labels:
                continue
            turned_over = labels.get((group.kind.name, part.place, canonical((-x, y) for x, y in shape)))
            if turned_over is not None:
                labels[key] = f"{turned_over}r"
            else:
                numbers[key[:2]] += 1
                labels[key] = f"{name}{part.place}{numbers[key[:2]]}"
    return labels


def _piecing(found: Sequence[Part]) -> Piecing:
    """What a spot is sewn from, the same for all that differ by a quarter turn."""
    turned: list[Piecing] = []
    rings = [(part.place, part.outline) for part in found]
    for _ in range(4):
        rings = [(place, tuple((-y, x) for x, y in ring)) for place, ring in rings]
        left = min(x for _, ring in rings for x, _ in ring)
        top = min(y for _, ring in rings for _, y in ring)
        turned.append(
            frozenset((place, patch([(x - left, y - top) for x, y in ring], "A").outline) for place, ring in rings)
        )
    return min(turned, key=sorted)


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
