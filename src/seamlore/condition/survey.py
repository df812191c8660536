"""How much of what is affected: areas of notes, shares of fabrics and parts, and which blocks are sound.

All areas are those of the outlines on the flattened quilt, in the square of its unit.
"""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass
from typing import Any, Literal

import numpy as np
from numpy.typing import NDArray

from seamlore.condition.ground import Ground
from seamlore.condition.kinds import kind_named, severity_words
from seamlore.draft.where import said

Floats = NDArray[np.float64]
Verdict = Literal["sound", "doubtful", "lost"]
Block = tuple[int, int]
# Our own, and shown on the page: a block is lost when cloth is gone over a tenth of it.
LOST_SHARE = 0.1
# What touches a block by less than this part of it is drawn over its seam, not on it.
_BRUSHES = 0.002
# Of a shape, as shapely numbers types.
_POLYGON = 3


@dataclass(frozen=True, slots=True, eq=False)
class Laid:
    """A note as it lies on the quilt.

    Parameters
    ----------
    kind : str
    severity : int
    outline : ndarray, shape (n, 2)
        In the quilt's unit, from the top left of its front.
    behind : bool
        Whether it was seen on the back.
    number : int
        Its place in the list of notes.
    """

    kind: str
    severity: int
    outline: Floats
    behind: bool = False
    number: int = -1


@dataclass(frozen=True, slots=True)
class BlockState:
    """One block: sound, doubtful or lost, with the reasons; `hers` where she said so herself."""

    at: Block
    verdict: Verdict
    reasons: tuple[str, ...] = ()
    hers: bool = False
    cut: bool = False

    @property
    def called(self) -> str:
        """Its row and column as a person counts them."""
        return said(*self.at)


@dataclass(frozen=True, slots=True)
class Share:
    """How much of a part or a fabric is affected.

    Parameters
    ----------
    of : str
    whole, affected : float
        Areas, in the square of the quilt's unit.
    pieces, touched : int
        How many patches or blocks it has, and how many of them a note lies on.
    """

    of: str
    whole: float
    affected: float
    pieces: int = 0
    touched: int = 0

    @property
    def part(self) -> float:
        """Affected, 0 to 1."""
        return self.affected / self.whole if self.whole else 0.0


@dataclass(frozen=True, slots=True, eq=False)
class Survey:
    """The state of a quilt as its notes tell it.

    Parameters
    ----------
    areas : ndarray, shape (notes,)
        Of each note, what lies off the quilt left out.
    parts, fabrics : tuple of Share
        Of those with an area, the parts in their order, the fabrics most affected first.
    by_kind : tuple of (kind, spots, area)
        Each kind of damage, the largest area first; an area that two notes share counts once.
    blocks : tuple of BlockState
        In reading order.
    on_block : tuple of str
        For each note, which blocks it lies on, as a person counts them; "" for none.
    """

    areas: Floats
    parts: tuple[Share, ...]
    fabrics: tuple[Share, ...]
    by_kind: tuple[tuple[str, int, float], ...]
    blocks: tuple[BlockState, ...]
    on_block: tuple[str, ...]

    def count(self, verdict: Verdict) -> int:
        """How many blocks are so."""
        return sum(each.verdict == verdict for each in self.blocks)


def survey(
    ground: Ground,
    notes: Sequence[Laid],
    *,
    suspect: Mapping[int, str] | None = None,
    hers: Mapping[Block, tuple[Verdict, str]] | None = None,
    without: Collection[str] = (),
) -> Survey:
    """Reckon areas, shares and verdicts.

    Parameters
    ----------
    ground : Ground
    notes : sequence of Laid
        Damage alone is reckoned; what holds, what was tried and words are left out by the caller or have no area.
    suspect : mapping of int to str, optional
        Fabrics that a hand test found weak, by number, and why.
    hers : mapping of (row, column) to (verdict, words), optional
        What she says of a block herself; it goes before what is reckoned.
    without : collection of str, optional
        Parts that are not there.

    Examples
    --------
    >>> corners = np.array([[[0, 0], [8, 0], [8, 8], [0, 8]], [[8, 0], [16, 0], [16, 8], [8, 8]]], dtype=float)
    >>> ground = Ground((16, 8), ((0, 0), (0, 1)), corners)
    >>> hole = Laid("hole", 4, np.array([[1, 1], [4, 1], [4, 4], [1, 4]], dtype=float))
    >>> found = survey(ground, [hole])
    >>> float(found.areas[0]), [each.verdict for each in found.blocks], found.blocks[0].reasons
    (9.0, ['lost', 'sound'], ('hole, gone',))
    >>> survey(Ground((16, 8)), []).blocks
    ()
    """
    import shapely  # slow to import: only where areas are wanted

    damage = [each for each in notes if kind_named(each.kind).damage]
    shapes = np.asarray(shapely.intersection(_polygons(damage, shapely), ground.whole_shape), dtype=object)
    front = np.array([not each.behind for each in damage], dtype=bool)
    places = {id(each): index for index, each in enumerate(notes)}
    at = [places[id(each)] for each in damage]
    areas = np.zeros(len(notes))
    areas[at] = shapely.area(shapes)
    cut = _Cut(ground, shapes, shapely)
    states, on_block = _blocks(ground, damage, cut, dict(suspect or {}), dict(hers or {}), shapely)
    said_on = [""] * len(notes)
    for index, words in zip(at, on_block, strict=True):
        said_on[index] = words
    covered = cut.together(front)
    return Survey(
        areas,
        _parts(ground, shapes, front, np.asarray(shapely.area(covered)), without, shapely),
        _fabrics(ground, covered, shapely),
        _kinds(damage, shapes, shapely),
        states,
        tuple(said_on),
    )


class _Cut:
    """Notes cut along the blocks, once: all that is reckoned by block or by patch is reckoned on these small pieces."""

    def __init__(self, ground: Ground, shapes: NDArray[Any], shapely: Any) -> None:
        self._shapely, self._count = shapely, len(ground.block_at)
        blocks = ground.block_shapes
        self.block, self.note = shapely.STRtree(shapes).query(blocks, predicate="intersects")
        self.pieces = shapely.intersection(blocks[self.block], shapes[self.note])
        self.areas = np.asarray(shapely.area(self.pieces), dtype=np.float64)

    def together(self, notes: NDArray[np.bool_]) -> NDArray[Any]:
        """What some of the notes cover of each block, where they overlap once."""
        chosen = np.flatnonzero(notes[self.note]) if len(notes) else np.zeros(0, dtype=np.intp)
        chosen = chosen[np.argsort(self.block[chosen], kind="stable")]
        parts, of = self._shapely.get_parts(self.pieces[chosen], return_index=True)
        # Along a seam a note may only touch a block: lines and points, which have no area.
        solid = self._shapely.get_type_id(parts) == _POLYGON
        empty = np.full(self._count, self._shapely.MultiPolygon(), dtype=object)
        if not solid.any():
            return empty
        made = self._shapely.multipolygons(parts[solid], indices=self.block[chosen][of[solid]], out=empty)
        return np.asarray(self._shapely.buffer(made, 0), dtype=object)


def _polygons(notes: Sequence[Laid], shapely: Any) -> NDArray[Any]:
    if not notes:
        return np.zeros(0, dtype=object)
    counts = [len(each.outline) for each in notes]
    points = np.concatenate([each.outline for each in notes])
    made = shapely.polygons(shapely.linearrings(points, indices=np.repeat(np.arange(len(counts)), counts)))
    # A bowed edge may fold a thin outline over; what it encloses stays.
    folded = ~shapely.is_valid(made)
    made[folded] = shapely.buffer(made[folded], 0)
    return np.asarray(made, dtype=object)


def _kinds(notes: Sequence[Laid], shapes: NDArray[Any], shapely: Any) -> tuple[tuple[str, int, float], ...]:
    found = []
    for kind in sorted({each.kind for each in notes}):
        of_kind = np.array([each.kind == kind for each in notes])
        sides = [of_kind & np.array([each.behind == behind for each in notes]) for behind in (False, True)]
        area = sum(_area(shapes[side], shapely) for side in sides)
        found.append((kind, int(of_kind.sum()), area))
    return tuple(sorted(found, key=lambda each: (-each[2], each[0])))


def _area(shapes: NDArray[Any], shapely: Any) -> float:
    """What outlines cover together, where they overlap once."""
    return float(shapely.area(shapely.disjoint_subset_union_all(shapes)))


def _parts(
    ground: Ground,
    shapes: NDArray[Any],
    front: NDArray[np.bool_],
    covered: Floats,
    without: Collection[str],
    shapely: Any,
) -> tuple[Share, ...]:
    whole = float(shapely.area(ground.whole_shape))
    before = _area(shapes[front], shapely)
    found = [Share("the front", whole, before)]
    if len(ground.block_at):
        area, on_blocks = float(shapely.area(ground.block_shapes).sum()), float(covered.sum())
        found.append(Share("blocks", area, on_blocks, len(covered), int((covered > 0).sum())))
        rest = whole - area
        if rest > 1e-3 * whole:
            found.append(Share("setting and borders", rest, max(before - on_blocks, 0.0)))
    if "backing" not in without:
        found.append(Share("backing", whole, _area(shapes[~front], shapely)))
    return tuple(found)


def _fabrics(ground: Ground, covered: NDArray[Any], shapely: Any) -> tuple[Share, ...]:
    if not len(ground.where):
        return ()
    patches, of = ground.patch_shapes, ground.block_of
    area = np.zeros(len(patches))
    touched = ~shapely.is_empty(covered)[of]
    area[touched] = shapely.area(shapely.intersection(patches[touched], covered[of[touched]]))
    number = np.where(ground.fabric < 0, len(ground.fabrics), ground.fabric)
    rows = len(ground.fabrics) + 1
    whole, affected = (np.bincount(number, each, minlength=rows) for each in (shapely.area(patches), area))
    pieces, spots = (np.bincount(number[each], minlength=rows) for each in (slice(None), area > 0))
    names = (*ground.fabrics, "fabric not read")
    found = [
        Share(names[at], float(whole[at]), float(affected[at]), int(pieces[at]), int(spots[at]))
        for at in range(rows)
        if pieces[at]
    ]
    return tuple(sorted(found, key=lambda each: -each.affected))


def _blocks(
    ground: Ground,
    notes: Sequence[Laid],
    cut: _Cut,
    suspect: Mapping[int, str],
    hers: Mapping[Block, tuple[Verdict, str]],
    shapely: Any,
) -> tuple[tuple[BlockState, ...], list[str]]:
    count = len(ground.block_at)
    if not count:
        return (), [""] * len(notes)
    area = np.asarray(shapely.area(ground.block_shapes))
    reasons: list[dict[str, None]] = [{} for _ in range(count)]
    doubtful = np.zeros(count, dtype=bool)
    on: list[list[int]] = [[] for _ in notes]
    whole = np.bincount(cut.note, cut.areas, minlength=len(notes))
    clear = (cut.areas > _BRUSHES * area[cut.block]) | (cut.areas > 0.5 * whole[cut.note])
    for block, index in zip(cut.block[clear].tolist(), cut.note[clear].tolist(), strict=True):
        each = notes[index]
        on[index].append(block)
        if not each.behind and _counts(each):
            doubtful[block] = True
            words = f"{each.kind}, {severity_words(each.severity)}" if each.severity else each.kind
            reasons[block].setdefault(words)
    gone = np.array(
        [not n.behind and n.severity == 4 and kind_named(n.kind).does != "look" for n in notes], dtype=bool
    )
    lost = np.asarray(shapely.area(cut.together(gone))) >= LOST_SHARE * area
    for patch in np.flatnonzero(np.isin(ground.fabric, list(suspect))).tolist():
        block, fabric = int(ground.block_of[patch]), int(ground.fabric[patch])
        if block >= 0:
            doubtful[block] = True
            reasons[block].setdefault(f"{ground.fabrics[fabric]}: {suspect[fabric]}")
    states = []
    for index in sorted(range(count), key=lambda each: ground.block_at[each]):
        at = ground.block_at[index]
        verdict: Verdict = "lost" if lost[index] else "doubtful" if doubtful[index] else "sound"
        why, own = tuple(reasons[index]), at in hers
        if own:
            verdict, words = hers[at]
            why = (words or "as she judged it", *why)
        states.append(BlockState(at, verdict, why, own, at in ground.cut))
    return tuple(states), [_list(ground, each) for each in on]


def _counts(note: Laid) -> bool:
    """Whether a note makes the block that it lies on doubtful: what takes strength, from serious on, and what may go on."""
    does = kind_named(note.kind).does
    if note.kind == "tendered cloth" or does == "alive":
        return True
    return note.severity >= 3 if does == "cloth" else note.severity == 4


def _list(ground: Ground, blocks: Sequence[int]) -> str:
    called = [said(*at) for at in sorted(ground.block_at[each] for each in blocks)]
    return "; ".join(called[:4]) + (f" and {len(called) - 4} more" if len(called) > 4 else "")
