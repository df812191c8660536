"""Which kinds of blocks a quilt has, and which stands where: told by the seams that the network sees in each block.

A block in which no seam stands is plain. The others are gathered by where their seams run, turned and mirrored copies
together; each kind is drawn through what all its blocks show together, and each block is held against that drawing.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace

import cv2
import numpy as np
from numpy.typing import NDArray

from seamlore.photo.block.agreement import Drawing, Drawn, Seen, agreement, alike, aside, lay, price
from seamlore.photo.block.gathering import gathered, lying_alike, unlike
from seamlore.photo.block.lines import WHOLE, draw_patches, inner
from seamlore.photo.block.seams import Sight, moved
from seamlore.photo.block.straight import completed, cut_through, inward
from seamlore.photo.block.units import on_units
from seamlore.photo.stack import undo

Floats = NDArray[np.float32]
Ints = NDArray[np.intp]

_CLOSER = 0.74  # the same, where blocks so gathered agree with no drawing
_LOOSE, _GAIN = 0.75, 0.05  # agreement, prices taken off, under which they do not, and what closer kinds must bring
_EVEN = 0.07  # of worth, that a drawing on even divisions may lack of one that is the same but for a little
_OFF = 0.03  # of agreement, that a drawing costs for each pixel by which most of its blocks lie aside from it
_FEW = 0.12  # length of seams seen, in sides of the block, below which it is plain without a further look
_OWN, _OWN_MOST, _OWN_BY = (
    0.07,
    0.25,
    8,
)  # by how much better its own drawing must agree for a block to leave two, and so many
_AGREES = 0.85  # agreement, from which a block is of its kind whatever it shows by itself
_RIVALS, _CLEARLY = 6, 0.1  # drawings of such blocks that are tried, and by how much one must agree better with some
_SOME = 3  # blocks that make a kind of their own
_SAME = 0.05  # of agreement, that a kind may lose by being taken for another
_LEAST, _GAP = 0.0, 8  # log-odds of a ridge and pixels it may miss, as free drawings are tried
_CUT_LEAST, _CUT_TOTAL = 0.0, 8.0  # log-odds of a cut in the mean and summed, from which it is made
_ALONE, _TOGETHER = 0.5, 0.35  # probability at which a seam is believed, in one block and in what many show together
_DIVISIONS = (1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 12, 16)
_NEAR, _PART = 0.035, 0.14  # how near a corner must come: in parts of the side, and of a division
_LOOKED_OVER = 120  # blocks, up to which each may be drawn alone; of more, those that fit no kind are not read
_BETTER, _SEEN_OTHERWISE = (
    0.02,
    0.15,
)  # of agreement, by which a move must be better than the one before, and than one told by cloth
_ASKED = 8  # blocks of a kind by which its drawing is chosen


@dataclass(frozen=True, eq=False)
class SeenKind:
    """Blocks pieced alike.

    Attributes
    ----------
    drawing : tuple of rings
        Outlines of the patches in 0..1 of the block.
    members : ndarray of int, shape (blocks,)
        Which blocks, by their index in the sight.
    moves : ndarray of int, shape (blocks,)
        What lays each like the drawing.
    agreement : ndarray, shape (blocks, 3)
        How well each agrees with the drawing, 0..1: in all, how much of what is drawn is seen, how much of what is seen
        is drawn.
    by_cloth : bool
        Whether it was their cloth that told how they lie.
    """

    drawing: Drawing
    members: Ints
    moves: Ints
    agreement: NDArray[np.float64]
    by_cloth: bool = False

    def part(self, which: NDArray[np.bool_]) -> SeenKind:
        """Some of the blocks."""
        return replace(self, members=self.members[which], moves=self.moves[which], agreement=self.agreement[which])

    @property
    def plain(self) -> bool:
        """Whether it is one piece of cloth."""
        return len(self.drawing) == 1


def kinds_of(sight: Sight, lies: Ints | None = None) -> tuple[SeenKind, ...]:
    """Sort the blocks of a quilt by how they are pieced.

    Parameters
    ----------
    sight : Sight
    lies : ndarray of int, shape (blocks,), optional
        The move that lays each block like most by its cloth; -1 where that does not tell. Of very many small blocks it
        tells how they lie better than their seams do.

    Returns
    -------
    tuple of SeenKind
        The commonest first; every block is in one.

    Examples
    --------
    >>> maps = np.full((3, 6, 64, 64), -4, np.float32)
    >>> maps[:2, [0, 2], :, 31:33] = 4
    >>> sight = Sight(maps, np.zeros((3, 4, 2)), np.array([[0, 0], [0, 1], [0, 2]]))
    >>> [(len(kind.drawing), kind.members.tolist()) for kind in kinds_of(sight)]
    [(2, [0, 1]), (1, [2])]
    """
    maps = np.stack([inner(each) for each in sight.maps]) if len(sight.maps) else sight.maps
    seen = [Seen.of(each) for each in maps]
    alone: dict[int, Drawing] = {}

    def own(index: int) -> Drawing:
        if index not in alone:
            alone[index] = _best(_tried(maps[index], _ALONE), [seen[index]], [0])[0]
        return alone[index]

    few = len(seen) <= _LOOKED_OVER
    plain = [
        k
        for k, each in enumerate(seen)
        if each.seams < _FEW or (each.seams < 4 * _FEW and (not few or len(own(k)) == 1))
    ]
    pieced = np.setdiff1d(np.arange(len(seen)), plain)
    kinds: list[SeenKind] = []
    told = None if few or lies is None else lying_alike(maps, pieced, lies)
    first = [] if told is None else [told]
    left = pieced if told is None else np.setdiff1d(pieced, told[0])
    for members, moves in first + gathered(maps, left, [seen[k].seams for k in left]):
        if few or len(members) > 2:
            by_cloth = told is not None and members is told[0]
            drawn = _drawn_kind(maps, seen, members, moves, own, few=few, by_cloth=by_cloth)
            if few and len(members) > 2 and _worth(drawn) < _LOOSE:
                closer = [
                    kind
                    for some, lie in gathered(maps, np.array(members), [seen[k].seams for k in members], _CLOSER)
                    for kind in _drawn_kind(maps, seen, some, lie, own, few=few)
                ]
                drawn = closer if _worth(closer) > _worth(drawn) + _GAIN else drawn
            kinds += drawn
        else:
            kinds.append(_as_kind((WHOLE,), members, moves, seen))
    kinds = _joined(kinds, seen)
    nothing = [k for kind in kinds if kind.plain for k in kind.members.tolist()]
    kinds = [kind for kind in kinds if not kind.plain]
    still = np.array(sorted({*plain, *nothing}), dtype=np.intp)
    if len(still):
        calm = np.array([max(0.0, 1 - seen[k].seams) for k in still])
        kinds.append(SeenKind((WHOLE,), still, np.zeros(len(still), np.intp), np.stack([calm] * 3, axis=-1)))
    return tuple(sorted(kinds, key=lambda kind: (-len(kind.members), int(kind.members[0]))))


def _worth(kinds: Sequence[SeenKind]) -> float:
    """How well blocks agree with their kinds in the mean, prices taken off."""
    told = np.concatenate([kind.agreement[:, 0] - price(kind.drawing) for kind in kinds])
    return float(told.mean())


def _tried(maps: Floats, belief: float) -> list[Drawing]:
    free = draw_patches(maps, least=_LEAST, gap=_GAP, belief=belief)
    drawn = [free, completed(free, maps)]
    drawn += [cut_through(maps, least=_CUT_LEAST, total=_CUT_TOTAL, ridges=ridges) for ridges in (True, False)]
    even = on_units(maps)
    drawn += [*even, *(completed(each, maps) for each in even if inward(each))]
    return [on_divisions(each) for each in dict.fromkeys(drawn)]


def on_divisions(drawing: Drawing) -> Drawing:
    """Put a drawing's corners on the fewest even divisions of the side that all of them come near; as it is if none.

    Examples
    --------
    >>> on_divisions((((0.0, 0.0), (1.0, 0.0), (1.0, 0.32), (0.0, 0.34)), ((0.0, 0.34), (1.0, 0.32), (1.0, 1.0), (0.0, 1.0))))[0]
    ((0.0, 0.0), (1.0, 0.0), (1.0, 0.3333333333333333), (0.0, 0.3333333333333333))
    """
    corners = np.array([corner for ring in drawing for corner in ring])
    for count in _DIVISIONS:
        if np.abs(corners * count - np.rint(corners * count)).max() < min(_NEAR * count, _PART):
            rings = [[(round(x * count) / count, round(y * count) / count) for x, y in ring] for ring in drawing]
            kept = [tuple(dict.fromkeys(ring)) for ring in rings]
            return tuple(kept) if all(len(ring) > 2 for ring in kept) else drawing
    return drawing


def divided(drawing: Drawing) -> bool:
    """Whether all corners lie on even divisions of the side.

    Examples
    --------
    >>> divided((((0.0, 0.0), (1.0, 0.0), (0.0, 1.0)), ((1.0, 0.0), (1.0, 1.0), (0.0, 1.0))))
    True
    >>> divided((((0.0, 0.0), (1.0, 0.0), (0.0, 0.96)), ((1.0, 0.0), (1.0, 1.0), (0.0, 1.0), (0.0, 0.96))))
    False
    """
    corners = np.array([corner for ring in drawing for corner in ring])
    return any(np.abs(corners * count - np.rint(corners * count)).max() < 1e-6 for count in _DIVISIONS)


def _best(drawings: Sequence[Drawing], seen: Sequence[Seen], moves: Sequence[int]) -> tuple[Drawing, float]:
    """The drawing that agrees best with some blocks, each lying by the move that takes it to the drawing."""
    found: list[tuple[float, Drawing]] = []
    for drawing in dict.fromkeys(each for each in drawings if len(each) > 1):
        lying = {move: Drawn.of(lay(drawing, undo(move))) for move in set(moves)}
        by = [aside(one, lying[move]) if len(seen) > 1 else (0, 0) for one, move in zip(seen, moves, strict=True)]
        told = [agreement(one, lying[move], far) for one, move, far in zip(seen, moves, by, strict=True)]
        off = np.abs(np.mean([_as_drawn(far, move) for far, move in zip(by, moves, strict=True)], axis=0)).sum()
        worth = float(np.mean([each[0] for each in told])) - price(drawing) - _OFF * float(off)
        if worth > 0 and np.mean([each[1] for each in told]) > 0.4:
            found.append((worth, drawing))
    if not found:
        return (WHOLE,), 0.0
    found.sort(key=lambda each: -each[0])
    worth, best = found[0]
    # Of drawings that are the same but for a little, the one on even divisions is what her pattern had.
    for less, drawing in found:
        if less >= worth - _EVEN and divided(drawing) and alike(drawing, best):
            return drawing, less
    return best, worth


def _as_drawn(by: tuple[int, int], move: int) -> tuple[int, int]:
    """A way in a block, across and down, as it runs once the block is laid like the drawing."""
    across, down = (-by[0], by[1]) if move >= 4 else by
    for _ in range(move % 4):
        across, down = -down, across
    return across, down


def _soft(maps: Floats) -> Floats:
    """A block's maps as they go into what many show together: a seam may lie a little aside, and few deny it less."""
    wide = np.clip(maps, -2, 4)
    slant = np.eye(5, dtype=np.uint8)
    block = np.ones((3, 3), np.uint8)
    kernels = (block, np.ones((5, 1), np.uint8), np.ones((1, 5), np.uint8), slant, slant[:, ::-1].copy(), block)
    for number, kernel in enumerate(kernels):
        wide[number] = cv2.dilate(wide[number], kernel)
    return np.asarray(wide, np.float32)


def _drawn_kind(
    maps: Floats,
    seen: Sequence[Seen],
    members: list[int],
    moves: list[int],
    own: Callable[[int], Drawing],
    *,
    few: bool,
    by_cloth: bool = False,
) -> list[SeenKind]:
    """Draw one gathered group; blocks that agree much better with a drawing of their own come out of it."""
    some = [int(each) for each in np.unique(np.linspace(0, len(members) - 1, _ASKED).astype(int))]
    drawings = [lay(own(members[k]), moves[k]) for k in some[: 4 if few else 1]]
    if len(members) > 1:
        together = np.mean([_soft(moved(maps[k], move)) for k, move in zip(members, moves, strict=True)], axis=0)
        drawings += _tried(together, _TOGETHER)
    drawing, _ = _best(drawings, [seen[members[k]] for k in some], [moves[k] for k in some])
    if len(drawing) == 1:
        return [_as_kind(drawing, members, moves, seen)]
    kind = _settled(drawing, members, moves, seen, loose=len(members) > 1, by_cloth=by_cloth)
    if few and len(members) > 2 and not by_cloth:
        rival = _rival(kind, members, moves, seen, own)
        if rival is not None and unlike(maps, members, moves, rival):
            rest = np.setdiff1d(np.arange(len(members)), rival[0])
            parts = [(rival[0], rival[1]), (rest, np.array(moves)[rest])]
            return [
                each
                for which, lie in parts
                for each in _drawn_kind(maps, seen, [members[k] for k in which], lie.tolist(), own, few=few)
            ]
    out, stay = [], np.ones(len(members), bool)
    leaves = np.interp(len(members), [2, _OWN_BY], [_OWN, _OWN_MOST])  # what many show is not soon a mistake
    for at, k in enumerate(kind.members.tolist()):
        if not few or len(members) == 1 or kind.agreement[at, 0] > _AGREES:
            continue
        alone = own(k)
        worth = agreement(seen[k], Drawn.of(alone))[0] - price(alone)
        if worth > kind.agreement[at, 0] - price(drawing) + leaves:
            stay[at] = False
            out.append(_as_kind(alone, [k], [0], seen))
    if stay.any():
        out.append(kind.part(stay))
    return out


def _rival(
    kind: SeenKind, members: list[int], moves: list[int], seen: Sequence[Seen], own: Callable[[int], Drawing]
) -> tuple[Ints, Ints] | None:
    """Of blocks gathered as one kind, those that agree better with what one of them shows by itself, and how they lie.

    None where they are too few, or all of them.
    """
    weak = np.flatnonzero(kind.agreement[:, 0] <= _AGREES)
    if len(weak) < _SOME:
        return None
    now = kind.agreement[weak, 0] - price(kind.drawing)
    best: tuple[float, Ints, Ints] | None = None
    for at in weak[np.unique(np.linspace(0, len(weak) - 1, _RIVALS).astype(int))]:
        drawing = lay(own(members[at]), moves[at])
        if len(drawing) == 1:
            continue
        tried = _settled(drawing, [members[k] for k in weak], [moves[k] for k in weak], seen, loose=True)
        gain = tried.agreement[:, 0] - price(drawing) - now
        better = gain > _CLEARLY
        if _SOME <= better.sum() < len(members) and (best is None or gain[better].sum() > best[0]):
            best = float(gain[better].sum()), weak[better], tried.moves[better]
    return None if best is None else best[1:]


def _as_kind(drawing: Drawing, members: Sequence[int], moves: Sequence[int], seen: Sequence[Seen]) -> SeenKind:
    lying = {move: Drawn.of(lay(drawing, undo(move))) for move in set(moves)}
    told = np.array([agreement(seen[k], lying[move]) for k, move in zip(members, moves, strict=True)]).reshape(-1, 3)
    return SeenKind(drawing, np.array(members, np.intp), np.array(moves, np.intp), told)


def _settled(
    drawing: Drawing,
    members: Sequence[int],
    moves: Sequence[int],
    seen: Sequence[Seen],
    *,
    loose: bool = False,
    by_cloth: bool = False,
) -> SeenKind:
    """Lay each block like the drawing by the move that agrees best; as it was gathered where none is clearly better.

    Where `loose`, a block's seams may all lie aside by a little.
    """
    lying = [Drawn.of(lay(drawing, undo(move))) for move in range(8)]
    told, best = [], []
    for k, before in zip(members, moves, strict=True):
        each = [agreement(seen[k], one, aside(seen[k], one) if loose else (0, 0)) for one in lying]
        top = max(range(8), key=lambda move: each[move][0])
        move = top if each[top][0] > each[before][0] + (_SEEN_OTHERWISE if by_cloth else _BETTER) else before
        told.append(each[move])
        best.append(move)
    lying_so = np.array(best, np.intp)
    return SeenKind(drawing, np.array(members, np.intp), lying_so, np.array(told).reshape(-1, 3), by_cloth)


def _joined(kinds: list[SeenKind], seen: Sequence[Seen]) -> list[SeenKind]:
    """Take a smaller kind for a larger one where its blocks agree with that nearly as well."""
    order = sorted(kinds, key=lambda kind: -len(kind.members))
    kept: list[SeenKind] = []
    for kind in order:
        for at, larger in enumerate(kept):
            if kind.plain or larger.plain:
                continue
            tried = _settled(larger.drawing, kind.members.tolist(), [0] * len(kind.members), seen)
            lost = kind.agreement[:, 0].mean() - tried.agreement[:, 0].mean()
            if lost < _SAME + price(larger.drawing) - price(kind.drawing) and tried.agreement[:, 0].mean() > 0.6:
                kept[at] = replace(
                    larger,
                    members=np.concatenate([larger.members, tried.members]),
                    moves=np.concatenate([larger.moves, tried.moves]),
                    agreement=np.concatenate([larger.agreement, tried.agreement]),
                )
                break
        else:
            kept.append(kind)
    return kept
