"""The blocks of a quilt sorted into kinds, each kind laid alike, and how sure each block's reading is.

Two witnesses are heard. What all blocks show together, by where their cloth changes, draws one block very finely where a
quilt is one block repeated, and nonsense where it is not. What a trained network sees of seams in each block tells which
blocks are pieced alike, and whether the first witness can be believed.
"""

from __future__ import annotations

from collections.abc import Container
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from seamlore.photo.block.agreement import INWARD, Drawn, Seen, agreement, cost, lay
from seamlore.photo.block.confidence import (
    FLOOR,
    FLOOR_OF_MANY,
    HARDLY,
    LEAST_OF_MANY,
    PLAIN_FLOOR,
    KindSigns,
    confidence,
    kind_confidence,
    plain_confidence,
)
from seamlore.photo.block.kinds import SeenKind, kinds_of
from seamlore.photo.block.known import is_known
from seamlore.photo.block.laying import Laid, lay_as_drawn, patch_looks, patch_means, patch_ranges
from seamlore.photo.block.lines import WHOLE, inner
from seamlore.photo.block.seams import Sight, see_seams
from seamlore.photo.block.straight import inward
from seamlore.photo.stack import Cloth, undo

Floats = NDArray[np.float64]
Ints = NDArray[np.intp]

_TOLD, _SHOWN = (
    0.85,
    0.5,
)  # of the seams seen that the common drawing must hold, and of what it draws that must be seen
_AS_GOOD = 0.06  # of agreement, a price for each patch taken off, within which it is as good as the blocks' own kinds
_COMMON = 0.6  # confidence that the common drawing must have by itself
_CLEAR = 0.87, 0.95  # of what it draws that is seen, and its own confidence, from which it is believed in any case
_FAIR = 0.68, 0.985  # and of both, and its own confidence
_LOOKED_OVER = 120  # blocks, up to which each is looked over by itself
_BENT = 0.6  # corners pointing into patches, a patch, from which they are many
_PARTED = 6.0  # CIELAB, by which cloth differs on the two sides of a seam
_SEVERAL, _RUNS_ON = 3, 0.2  # blocks, of which in most no more than this part of what is drawn parts cloth: quilting
_PLAIN_FLOOR = 0.6  # of confidence, from which a block whose seams are not believed is taken for plain
_DOUBTED_PLAIN = 0.7  # of confidence, under which one that is doubted is not plain even so
_AMONG = 0.75  # plain blocks in such places, among which one that is doubted is plain
_AS_MANY = 4  # blocks in like places, as which the whole quilt counts
_BETTER = 0.2  # by which a kind of its own must agree better for a block to leave the common drawing


@dataclass(frozen=True, eq=False)
class Group:
    """Blocks of one kind.

    Attributes
    ----------
    laid : Laid
        These blocks alone, laid alike.
    sure : ndarray, shape (blocks,)
        How sure it is, for each block, that its seams are drawn right, 0..1.
    believed : ndarray of bool, shape (blocks,)
        Whether that is enough for it to be drawn.
    signs : tuple of KindSigns
        What speaks for that; empty where she said how they are pieced, or where all blocks together show it.
    """

    laid: Laid
    sure: Floats
    believed: NDArray[np.bool_]
    signs: tuple[KindSigns, ...] = ()

    @property
    def seams(self) -> list[float]:
        """How long the seams are that are seen in each block, in its sides; 0 where there are no signs."""
        return [each.seams for each in self.signs] or [0.0] * len(self.sure)


def sorted_blocks(pixels: NDArray[np.uint8], cells: Floats, source: Cloth, common: Laid) -> tuple[list[Group], float]:
    """Sort the blocks of a quilt.

    Parameters
    ----------
    pixels : ndarray of uint8, shape (height, width, 3)
        The flattened quilt, sRGB.
    cells : ndarray, shape (rows, columns, 4, 2)
        Corners of the blocks in its pixels; NaN where there is none. On point every second row lies between the others.
    source : Cloth
        The same quilt, as blocks are laid from it.
    common : Laid
        Blocks as one block repeated, laid by where their cloth changes: all, or those of every second row, by their
        places in `cells`.

    Returns
    -------
    groups : list of Group
        The commonest first; every block is in one.
    sides : float
        How clearly seams are seen along the sides of the blocks, 0..1.
    """
    sight = see_seams(pixels, cells)
    groups = with_plain_ones(gathered_blocks(sight, source, common), sight, source)
    groups.sort(key=lambda group: (-len(group.laid.moves), group.laid.stack.places[0].tolist()))
    return groups, sight.sides


def blocks_as_said(pixels: NDArray[np.uint8], cells: Floats, source: Cloth, common: Laid) -> list[Group]:
    """Sort the blocks of a quilt when she said how most are pieced; parameters as in `sorted_blocks`.

    Of the blocks by which that was laid, those that differ are in no group; those of other rows are looked at.
    """
    known = 1.0 if common.signs is None else confidence(common.signs)
    like = ~common.differs | common.differs.all()
    if len(common.moves) == int(np.isfinite(cells).all(axis=(2, 3)).sum()):
        return [_all_believed(common.part(like), known)]
    sight = see_seams(pixels, cells)
    return with_plain_ones(gathered_blocks(sight, source, common, like, known), sight, source)


def gathered_blocks(
    sight: Sight, source: Cloth, common: Laid, said: NDArray[np.bool_] | None = None, known: float = 1.0
) -> list[Group]:
    """Sort the blocks by what is seen in each.

    Parameters
    ----------
    sight : Sight
        All blocks.
    source : Cloth
        The quilt, as blocks are laid from it.
    common : Laid
        As in `sorted_blocks`.
    said : ndarray of bool, shape (blocks,), optional
        When she said how they are pieced: which of the blocks laid are so; the others are left alone.
    known : float, optional
        How sure that is.

    Returns
    -------
    list of Group
    """
    row = {(int(row), int(column)): k for k, (row, column) in enumerate(sight.places)}
    index = np.array([row[int(r), int(c)] for r, c in common.stack.places], dtype=np.intp)
    lies = np.full(len(sight.maps), -1, dtype=np.intp)
    lies[index] = np.where(common.differs, -1, common.moves)
    kinds = kinds_of(sight, lies)
    seen = [Seen.of(inner(each)) for each in sight.maps]
    own = np.zeros(len(seen))
    for kind in kinds:
        own[kind.members] = kind.agreement[:, 0] - cost(len(kind.drawing))
    groups: list[Group] = []
    left = np.ones(len(seen), dtype=bool)
    like = _of_common(common, [seen[k] for k in index], own[index]) if said is None else said
    if said is not None:
        left[index] = False
    elif like.any():
        assert common.signs is not None
        known = confidence(common.signs)
    if like.any():
        left[index[like]] = False
        part = common.part(like)
        others, moves = _others_like(common, seen, own, np.setdiff1d(np.arange(len(seen)), index))
        left[others] = False
        if len(others):
            places, corners = sight.places[others], sight.corners[others]
            laid = lay_as_drawn(source, places, corners, common.outlines, moves, common.stack.size)
            part = part.joined(laid)
        groups.append(_all_believed(part, known))
    even: list[SeenKind] = []
    quilted = np.zeros(len(seen), dtype=bool)
    for kind in kinds:
        stays = left[kind.members]
        if not stays.any():
            continue
        kept = kind.part(stays)
        group = None if kind.plain else _as_group(kept, sight, seen, source, common.stack.size, quilted)
        if group is not None and not _only_quilted(group):
            groups.append(group)
            continue
        even.append(kept)
        quilted[kept.members] = not kind.plain
    if even:
        members = np.sort(np.concatenate([kind.members for kind in even]))
        plain = SeenKind((WHOLE,), members, np.zeros(len(members), np.intp), np.zeros((len(members), 3)))
        groups.append(_as_group(plain, sight, seen, source, common.stack.size, quilted))
    return groups


def _others_like(common: Laid, seen: list[Seen], own: Floats, which: Ints) -> tuple[Ints, Ints]:
    """Of blocks that the common drawing was not learnt from, those that it fits as well, and what lays each like it."""
    lying = [Drawn.of(lay(common.outlines, undo(move))) for move in range(8)]
    found, moves = [], []
    for k in which:
        told = np.array([agreement(seen[k], each) for each in lying])
        best = int(told[:, 0].argmax())
        if told[best, 0] - cost(len(common.outlines)) >= own[k] - _AS_GOOD and told[best, 1] >= _SHOWN:
            found.append(int(k))
            moves.append(best)
    return np.array(found, dtype=np.intp), np.array(moves, dtype=np.intp)


def _of_common(common: Laid, seen: list[Seen], own: Floats) -> NDArray[np.bool_]:
    """Which blocks are read by the common drawing, shape (blocks,)."""
    lying = {int(move): Drawn.of(lay(common.outlines, undo(int(move)))) for move in np.unique(common.moves)}
    told = np.array([agreement(one, lying[int(move)]) for one, move in zip(seen, common.moves, strict=True)])
    like = ~common.differs
    whole = like & common.stack.whole
    nothing = np.zeros(len(seen), dtype=bool)
    if common.signs is None or len(common.outlines) == 1 or not whole.any() or confidence(common.signs) < _COMMON:
        return nothing
    agrees, shown, held = told[whole].mean(axis=0)
    worse = own[whole].mean() - (agrees - cost(len(common.outlines)))
    # The network also sees seams between patches of one fabric; that it sees more than cloth tells is no objection.
    itself = confidence(common.signs)
    clear = (shown >= _CLEAR[0] and itself >= _CLEAR[1]) or (min(shown, held) >= _FAIR[0] and itself >= _FAIR[1])
    # What so many blocks show together is seen better than in any of them, each a few pixels large.
    clear = clear or (len(seen) > _LOOKED_OVER and itself >= _CLEAR[1])
    # Corners point into patches where cloths that look alike have run together. A drawing that has many is held by its
    # price, unless it is seen very well and holds most of what is seen.
    bent = inward(common.outlines)
    told_all = shown >= _CLEAR[0] and held >= _TOLD
    if not told_all and bent > _BENT * len(common.outlines) and worse + INWARD * bent > _AS_GOOD:
        return nothing
    if worse > _AS_GOOD and (held < _TOLD or shown < _SHOWN) and not clear:
        return nothing
    leaves = common.stack.whole & (own - told[:, 0] > _BETTER) & ((told[:, 1] < _SHOWN) | (not clear))
    stays: NDArray[np.bool_] = like & ~leaves
    return stays


def _as_group(
    kind: SeenKind, sight: Sight, seen: list[Seen], source: Cloth, size: int, quilted: NDArray[np.bool_]
) -> Group:
    places, corners = sight.places[kind.members], sight.corners[kind.members]
    laid = lay_as_drawn(source, places, corners, kind.drawing, kind.moves, size, settled=kind.by_cloth)
    seams = [0.0 if quilted[k] else seen[k].seams for k in kind.members]
    signs = _signs(laid, kind.agreement, seams, len(seen))
    sure = np.array([kind_confidence(each) for each in signs])
    if kind.plain:
        return Group(laid, sure, sure >= PLAIN_FLOOR, signs)
    # What very many blocks show together is seen better than in any of them, each a few pixels large.
    many = len(seen) > _LOOKED_OVER and float(np.median(sure)) >= FLOOR_OF_MANY
    return Group(laid, sure, sure >= (LEAST_OF_MANY if many else FLOOR), signs)


def _only_quilted(group: Group) -> bool:
    """Whether what was seen are lines of quilting: of several blocks, in most no cloth changes along them."""
    if len(group.laid.moves) < _SEVERAL:
        return False
    stack, picture = group.laid.stack, group.laid.picture
    # Where a bold print runs on, its mean changes from patch to patch, and what is darkest and lightest in it does not.
    mean, dark, light = (
        parted(each, picture) for each in (patch_means(stack, picture), *patch_ranges(stack, picture))
    )
    return float(np.median(np.minimum(mean, np.maximum(dark, light)))) < _RUNS_ON


def _all_believed(laid: Laid, sure: float) -> Group:
    return Group(laid, np.full(len(laid.moves), sure), np.ones(len(laid.moves), bool))


def with_plain_ones(groups: list[Group], sight: Sight, source: Cloth) -> list[Group]:
    """Take blocks whose seams are not believed for plain, where most blocks in such places are."""
    plain = next((group for group in groups if len(group.laid.outlines) == 1 and group.believed.any()), None)
    if plain is None:
        return groups
    seen = {(int(row), int(column)) for row, column in plain.laid.stack.places[plain.believed]}
    kept: list[Group] = []
    among = [plain_there(seen, sight.places, int(row), int(column)) for row, column in plain.laid.stack.places]
    stands = plain.believed | ((plain.sure >= _DOUBTED_PLAIN) & (np.array(among) >= _AMONG))
    found, sure, believed = [plain.laid.stack.places], [plain.sure], [stands]
    for group in groups:
        if group is plain:
            continue
        told = np.array(
            [
                plain_confidence(plain_there(seen, sight.places, int(row), int(column)), float(doubt), length)
                for (row, column), doubt, length in zip(group.laid.stack.places, group.sure, group.seams, strict=True)
            ]
        )
        # A seam that recurs in other blocks is believed against its neighbors; one seen once, or not quite believed, must be
        # the likelier.
        once = len(group.laid.moves) == 1
        taken = (told >= _PLAIN_FLOOR) & ((group.sure < HARDLY) | ((once | ~group.believed) & (told > group.sure)))
        found.append(group.laid.stack.places[taken])
        sure.append(told[taken])
        believed.append(taken[taken])
        if not taken.all():
            signs = tuple(each for each, out in zip(group.signs, taken, strict=False) if not out)
            kept.append(Group(group.laid.part(~taken), group.sure[~taken], group.believed[~taken], signs))
    places = np.concatenate(found)
    order = np.lexsort(places.T[::-1])
    places = places[order]
    row = {(int(row), int(column)): k for k, (row, column) in enumerate(sight.places)}
    corners = sight.corners[[row[int(r), int(c)] for r, c in places]]
    moves, size = np.zeros(len(places), np.intp), plain.laid.stack.size
    laid = lay_as_drawn(source, places, corners, plain.laid.outlines, moves, size)
    return [*kept, Group(laid, np.concatenate(sure)[order], np.concatenate(believed)[order])]


def plain_there(plain: Container[tuple[int, int]], places: Ints, row: int, column: int) -> float:
    """The share of plain blocks among those in every second row and column from one on, itself left out.

    Few such blocks tell little: the share in the whole quilt counts as much as `_AS_MANY` of them.

    Examples
    --------
    >>> places = np.argwhere(np.ones((5, 5)))
    >>> by_turns = {(row, column) for row, column in places.tolist() if (row + column) % 2}
    >>> plain_there(by_turns, places, 0, 1) > 0.7 > 0.3 > plain_there(by_turns, places, 0, 0)
    True
    """
    told = np.array([tuple(at) in plain for at in places.tolist()])
    same = ((places - [row, column]) % 2 == 0).all(axis=1) & (places != [row, column]).any(axis=1)
    return float((told[same].sum() + _AS_MANY * told.mean()) / (same.sum() + _AS_MANY))


def _signs(laid: Laid, told: Floats, seams: list[float], count: int) -> tuple[KindSigns, ...]:
    mean = float(told[:, 0].mean())
    known = is_known(laid.outlines)
    parts = parted(patch_looks(laid.stack, laid.picture), laid.picture)
    return tuple(
        KindSigns(
            patches=len(laid.outlines),
            blocks=len(told),
            share=len(told) / count,
            agrees=float(one[0]),
            shown=float(one[1]),
            held=float(one[2]),
            together=mean,
            seams=float(length),
            parted=float(part),
            known=known,
        )
        for one, length, part in zip(told, seams, parts, strict=True)
    )


def parted(colors: Floats, picture: Ints) -> Floats:
    """Of the seams of a drawing, the share along which the cloth differs on the two sides, in each block.

    Parameters
    ----------
    colors : ndarray, shape (patches, blocks, 3 or 6)
        CIELAB of each patch in each block, or its looks (`laying.patch_looks`).
    picture : ndarray of int, shape (size, size)
        The patch of each pixel.

    Returns
    -------
    ndarray, shape (blocks,)
        0 where there is no seam.

    Examples
    --------
    >>> halves = np.array([[0, 1], [0, 1]])
    >>> parted(np.array([[[30.0, 0, 0], [60, 0, 0]], [[90, 0, 0], [61, 0, 0]]]), halves).tolist()
    [1.0, 0.0]
    """
    pairs = np.concatenate(
        [
            np.stack([one.ravel(), two.ravel()], axis=-1)
            for one, two in ((picture[:, 1:], picture[:, :-1]), (picture[1:], picture[:-1]))
        ]
    )
    pairs, length = np.unique(np.sort(pairs[pairs[:, 0] != pairs[:, 1]], axis=1), axis=0, return_counts=True)
    apart = np.linalg.norm(colors[pairs[:, 0]] - colors[pairs[:, 1]], axis=-1) > _PARTED
    share: Floats = (apart * length[:, None]).sum(axis=0) / max(float(length.sum()), 1.0)
    return share
