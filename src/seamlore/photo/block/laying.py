"""All blocks of a quilt laid alike and on each other, and the piecing that they show together."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import cv2
import numpy as np
from numpy.typing import NDArray

from seamlore.photo.block.confidence import Signs
from seamlore.photo.block.drape import NARROW, WIDE, follow_drape
from seamlore.photo.block.likeness import lay_alike, likeness_to_most, most_unmoved, own_symmetry, then
from seamlore.photo.block.oddities import lie_of_blocks, plain_blocks, same_when_moved
from seamlore.photo.block.outlines import painted, rings, simple_patches
from seamlore.photo.block.piecing import USUAL_STRAY, Piecing, read_piecing
from seamlore.photo.block.places import gather_places
from seamlore.photo.block.registering import set_by_seams
from seamlore.photo.block.squaring import squared
from seamlore.photo.reading import Ring
from seamlore.photo.stack import (
    Cloth,
    Stack,
    masks,
    move_corners,
    move_square,
    restack,
    shrunk,
    stack_blocks,
    turned,
    undo,
)
from seamlore.photo.triangles import Cells, by_pixel, print_noise, stepped_share, without_rim

Floats = NDArray[np.float64]
Ints = NDArray[np.intp]

_ENOUGH = (40, 120)  # blocks to learn the piecing from, at first and in the end; more would only take time
_STRAY_BOUNDS = 0.004, 0.015  # of the block
_BLUR_PX = 0.5  # of the photograph, over which a seam is smeared
_SMALL_SIDES = 48, 32  # of the small stack by which turns and shifts are told, for few and for many blocks
_UNCUT, _FEW = 0.985, 6  # share of a block that is shown, and how many such blocks suffice
_MANY = 150
_SIZES = 96, 64  # side of the square that blocks are stacked at in the end, for few and for many blocks
_SIZE_AT_FIRST = 48  # until they lie alike: what is coarse is found sooner so, and prints lead astray less often
_USUAL, _DIFFERS = 0.5, 0.42  # of the likeness that most blocks have to the mean block
ENOUGH = _ENOUGH[-1]
SINGLE = 2  # blocks up to which each is read through its own symmetry


@dataclass(frozen=True, eq=False)
class Laid:
    """All blocks laid alike, and what was read from them.

    Attributes
    ----------
    stack : Stack
        The blocks, each moved to lie like most and set by its seams.
    moves : ndarray of int, shape (blocks,)
        How each was moved.
    noise : ndarray, shape (blocks,)
        How restless the fabrics of each are.
    outlines : tuple of rings
        Of the patches, in 0..1 of the block.
    picture : ndarray of int, shape (size, size)
        The patch of each pixel.
    divisions : int
        Into how many equal parts the side of the block is divided.
    signs : Signs or None
        What speaks for the piecing; None when it was given.
    differs, plain : ndarray of bool, shape (blocks,)
        Which blocks are not like most, and which of those are one piece of cloth.
    as_found : ndarray, shape (blocks, 4, 2)
        Their corners as they lie in the quilt, in pixels of the flattened quilt.
    """

    stack: Stack
    moves: Ints
    noise: Floats
    outlines: tuple[Ring, ...]
    picture: Ints
    divisions: int
    signs: Signs | None
    differs: NDArray[np.bool_]
    plain: NDArray[np.bool_]
    as_found: Floats

    def part(self, which: Ints | NDArray[np.bool_]) -> Laid:
        """Some of the blocks."""
        return replace(
            self,
            stack=self.stack.part(which),
            moves=self.moves[which],
            noise=self.noise[which],
            differs=self.differs[which],
            plain=self.plain[which],
            as_found=self.as_found[which],
        )

    def joined(self, other: Laid) -> Laid:
        """These blocks, then others that were laid like the same drawing."""
        return replace(
            self,
            stack=self.stack.joined(other.stack),
            moves=np.concatenate([self.moves, other.moves]),
            noise=np.concatenate([self.noise, other.noise]),
            differs=np.concatenate([self.differs, other.differs]),
            plain=np.concatenate([self.plain, other.plain]),
            as_found=np.concatenate([self.as_found, other.as_found]),
        )


def stack_size(cells: Floats) -> int:
    """Side of the square that blocks are stacked at in the end, in pixels; `cells` as in `lay_blocks`."""
    return _SIZES[int(np.isfinite(cells).all(axis=(2, 3)).sum()) > _MANY]


def lay_blocks(source: Cloth, cells: Floats, divisions: int | None, patches: Sequence[Ring] | None) -> Laid:
    """Turn all blocks to lie alike, set each by its seams and read their piecing, each helping the others.

    Parameters
    ----------
    source : Cloth
        The quilt that they are cut from.
    cells : ndarray, shape (rows, columns, 4, 2)
        Corners of the blocks as the block grid has them, in pixels of the flattened quilt; NaN where there is none.
    divisions : int or None
        Into how many equal parts the side of the block is divided, when she says so.
    patches : sequence of rings or None
        Outlines of the block's patches in 0..1 of the block, when she says so.

    Returns
    -------
    Laid
    """
    cloth = source.reduced(cells, _SIZE_AT_FIRST)
    stack = stack_blocks(cloth, cells, _SIZE_AT_FIRST)
    size, side = stack_size(cells), _SMALL_SIDES[len(stack) > _MANY]
    stack, moves, plain, usual = _together(stack, cloth, side)
    # As restless a fabric at any size: what a pixel strays by, all pixels of the block share.
    restless = print_noise(by_pixel(stack.lab), stack.size) / stack.size**2
    blur = _BLUR_PX / _side_px(stack.corners)
    stray = USUAL_STRAY
    near: tuple[Cells, ...] = ()
    for enough in _ENOUGH:
        last = enough == _ENOUGH[-1]
        if last and stack.size != size:
            cloth = source
            stack = restack(cloth, stack.places, stack.corners, size)
        noise = restless * stack.size**2
        laid = turned(stack, moves)
        learn = some_of(_learnt_from(laid, usual), enough)
        picture, outlines, count, piecing = _pieced(
            laid.part(learn), noise[learn], stray + blur, divisions, patches, near
        )
        near = piecing.near if piecing is not None else ()
        stack, stray = _set(stack, cloth, laid, picture, moves, side, rounds=1 + last)
        small, shown = shrunk(stack.lab, side), (shrunk(stack.shown, side) > 0.99).astype(np.float32)
        places = gather_places(patch_means(laid.part(learn), picture), noise[learn], areas(picture), stack.size)
        little = cv2.resize(picture.astype(np.uint16), (side, side), interpolation=cv2.INTER_NEAREST)
        lie = lie_of_blocks(small, shown, little.astype(np.intp), places, restless * side**2, moves, usual)
        moves = np.where(plain, 0, lie.moves)
        if patches is None and not last:
            moves[~plain] = most_unmoved(moves[~plain])
    differs = plain | ((likeness_to_most(stack.lab, moves, usual) < _DIFFERS) & stack.whole)
    signs = Signs.of(piecing, len(learn), _side_px(stack.corners), stray)
    return Laid(turned(stack, moves), moves, noise, outlines, picture, count, signs, differs, plain, stack.corners)


def lay_as_drawn(
    source: Cloth,
    places: Ints,
    corners: Floats,
    outlines: tuple[Ring, ...],
    moves: Ints,
    size: int,
    *,
    settled: bool = False,
) -> Laid:
    """Lay blocks alike whose drawing and lie are known.

    Parameters
    ----------
    source : Cloth
        The quilt that they are cut from.
    places : ndarray of int, shape (blocks, 2)
        Row and column of each.
    corners : ndarray, shape (blocks, 4, 2)
        Of each as it lies, in pixels of the flattened quilt.
    outlines : tuple of rings
        Of the patches, in 0..1 of the block.
    moves : ndarray of int, shape (blocks,)
        What lays each like the drawing by its seams; of turns that its seams do not tell, its colors choose.
    size : int
        Side of the stack.
    settled : bool, optional
        Whether their colors have chosen before.

    Returns
    -------
    Laid
    """
    stack = restack(source, places, corners, size)
    picture = painted(outlines, size)
    noise = print_noise(by_pixel(stack.lab), size)
    count = len(stack)
    if len(outlines) > 1 and count > SINGLE and not settled:
        side = _SMALL_SIDES[count > _MANY]
        laid, learn = turned(stack, moves), some_of(np.arange(count), _ENOUGH[0])
        slots = gather_places(patch_means(laid.part(learn), picture), noise[learn], areas(picture), size)
        small, shown = shrunk(stack.lab, side), (shrunk(stack.shown, side) > 0.99).astype(np.float32)
        little = cv2.resize(picture.astype(np.uint16), (side, side), interpolation=cv2.INTER_NEAREST)
        lie = lie_of_blocks(
            small, shown, little.astype(np.intp), slots, noise * (side / size) ** 2, moves, np.ones(count, bool)
        )
        still = same_seams(picture)
        moves = np.where(still[_between(moves, lie.moves)], lie.moves, moves)
        moves = _least(moves, np.flatnonzero(still & same_when_moved(slots[picture])))
    return Laid(
        turned(stack, moves),
        moves,
        noise,
        outlines,
        picture,
        _divisions_of(outlines),
        None,
        np.zeros(count, bool),
        np.full(count, len(outlines) == 1),
        corners,
    )


def same_seams(picture: Ints) -> NDArray[np.bool_]:
    """Which moves leave the seams of a drawing where they are, whatever cloth lies between them, shape (8,).

    Examples
    --------
    >>> same_seams(np.array([[0, 1], [0, 1]]).repeat(8, 0).repeat(8, 1)).tolist()
    [True, False, True, False, True, False, True, False]
    """
    seams = np.zeros(picture.shape, np.float32)
    seams[:, 1:] += picture[:, 1:] != picture[:, :-1]
    seams[1:] += picture[1:] != picture[:-1]
    seams = np.minimum(seams, 1)
    near = cv2.dilate(seams, np.ones((7, 7), np.uint8))
    lost = [float((move_square(seams[None], move)[0] * (near == 0)).sum()) for move in range(8)]
    found: NDArray[np.bool_] = np.array(lost) <= 0.08 * max(float(seams.sum()), 1.0)
    return found


def _least(moves: Ints, same: Ints) -> Ints:
    """Of the moves after which a block looks the same, the one that leaves the least turn to be told, unmirrored first."""
    alike = {move: [then(move, int(other)) for other in same] for move in range(8)}
    return np.array([min(alike[int(move)], key=undo) for move in moves], dtype=np.intp)


def _between(moves: Ints, others: Ints) -> Ints:
    """The move that takes what lies by one move to what lies by another."""
    return np.array([then(undo(int(a)), int(b)) for a, b in zip(moves, others, strict=True)], dtype=np.intp)


def _together(stack: Stack, source: Cloth, side: int) -> tuple[Stack, Ints, NDArray[np.bool_], NDArray[np.bool_]]:
    """Lay blocks on each other, however the cloth drapes: the stack, moves, which are plain, which are like most."""
    half = stack.size // 2
    rows = by_pixel(shrunk(stack.lab, half))
    stepped, uncut = stepped_share(rows, print_noise(rows, half), half), stack.share_shown >= _UNCUT
    if uncut.any():
        # The quilt's own edge across a block is no piecing.
        stepped = np.where(uncut, stepped, np.minimum(stepped, stepped[uncut].max()))
    plain = plain_blocks(stepped, stack.places)
    moves, usual = np.zeros(len(stack), dtype=np.intp), ~plain
    seen = usual.astype(np.float64)
    # Where blocks are not turned, and most are not, drape followed first keeps prints from looking like turns.
    # What is wide is as well seen smaller.
    for slide, looked_at in ((WIDE, side // 2), (NARROW, side)):
        lying = follow_drape(source, stack.places, stack.corners, moves, seen, looked_at, (slide,))
        if slide is NARROW:
            lying = squared(source, stack.places, lying, ~plain & (stack.whole | ~stack.whole.any()), stack.size)
        stack = restack(source, stack.places, lying, stack.size)
        moves[~plain], likeness = lay_alike(stack.lab[~plain])
    usual[~plain] = likeness / max(float(np.quantile(likeness, 0.8)), 1e-6) >= _USUAL
    if not (usual & (stack.whole | ~stack.whole.any())).any():
        usual[:] = True
    return stack, moves, plain, usual


def _learnt_from(laid: Stack, usual: NDArray[np.bool_]) -> Ints:
    """Blocks like most that the edge has not cut, as long as there are some."""
    for least in (_UNCUT, 0.6, 0.0):
        which = np.flatnonzero(usual & (laid.share_shown >= least))
        if len(which) >= _FEW or (least < _UNCUT and len(which)):
            return which
    return np.flatnonzero(usual)


def some_of(which: Ints, enough: int) -> Ints:
    """Some of the blocks, from all over the quilt."""
    if not len(which):
        return which
    some: Ints = which[np.unique(np.linspace(0, len(which) - 1, enough).astype(int))]
    return some


def _side_px(corners: Floats) -> float:
    return float(np.median(np.linalg.norm(corners - np.roll(corners, 1, axis=1), axis=2)))


def _set(
    stack: Stack, source: Cloth, laid: Stack, picture: Ints, moves: Ints, side: int, rounds: int
) -> tuple[Stack, float]:
    corners, stray = set_by_seams(laid, picture, side, rounds)
    back = corners.copy()
    for move in range(1, 8):
        which = moves == move
        back[which] = move_corners(corners[which], undo(move))
    return restack(source, stack.places, back, stack.size), float(np.clip(stray, *_STRAY_BOUNDS))


def _pieced(
    laid: Stack,
    noise: Floats,
    stray: float,
    divisions: int | None,
    patches: Sequence[Ring] | None,
    near: Sequence[Cells],
) -> tuple[Ints, tuple[Ring, ...], int, Piecing | None]:
    if patches is not None:
        outlines = tuple(tuple((float(x), float(y)) for x, y in ring) for ring in patches)
        return painted(outlines, laid.size), outlines, divisions or _divisions_of(outlines), None
    lab = without_rim(laid.lab)
    if len(lab) <= SINGLE:
        # Too few blocks to tell prints from seams: each stands for its own mirror images too.
        moves = [own_symmetry(each) for each in laid.lab]
        lab = np.concatenate([move_square(each[None], m) for each, own in zip(lab, moves, strict=True) for m in own])
        noise = np.repeat(noise, [len(own) for own in moves])
    piecing = read_piecing(lab, noise, stray=stray, given=divisions, among=near)
    labels = simple_patches(piecing.patch_of_triangle, *piecing.cells)
    piecing = piecing.relabeled(labels)
    outlines = tuple(rings(labels, *piecing.cells))
    return piecing.picture(laid.size), outlines, divisions or _divisions_of(outlines), piecing


def _divisions_of(outlines: Sequence[Ring]) -> int:
    """The smallest division on whose lines most corners lie, and the rest in halves of one."""
    corners = np.unique(np.round([corner for ring in outlines for corner in ring], 6), axis=0)
    corners = corners[~np.isin(corners, [0.0, 1.0]).all(axis=1)]
    for count in range(1, 25):
        halves = corners * 2 * count
        near = np.abs(halves - np.rint(halves)) < 0.04
        odd = np.rint(halves) % 2 == 1
        on = near.all(axis=1) & ~odd.any(axis=1)
        if (near.all() and on.sum() > 0.55 * len(corners)) or not len(corners):
            return count
    return 24


def areas(picture: Ints) -> Floats:
    """Area of each patch, in parts of the block."""
    found: Floats = np.bincount(picture.ravel()) / picture.size
    return found


def patch_means(stack: Stack, picture: Ints) -> Floats:
    """CIELAB of each patch in each block, shape (patches, blocks, 3)."""
    mine = masks(picture, int(picture.max()) + 1).reshape(-1, picture.size)
    sums = (mine @ by_pixel(stack.lab)).astype(np.float64)
    means: Floats = (sums / mine.sum(axis=1, dtype=np.float64)[:, None]).reshape(len(mine), -1, 3)
    return means


def patch_ranges(stack: Stack, picture: Ints) -> Floats:
    """The darkest and the lightest tenth of each patch in each block, and the same of its two colors.

    Two patches of one bold print have both alike, however much of it fell into each.

    Returns
    -------
    ndarray, shape (2, patches, blocks, 3)
        CIELAB.
    """
    lab = stack.lab.reshape(len(stack.lab), -1, 3)
    each = [
        np.quantile(lab[:, picture.ravel() == patch], (0.1, 0.9), axis=1) for patch in range(int(picture.max()) + 1)
    ]
    return np.stack(each, axis=1).astype(np.float64)


def patch_looks(stack: Stack, picture: Ints) -> Floats:
    """What the cloth of each patch looks like in each block, shape (patches, blocks, 6): CIELAB, and twice its spread.

    Cloths of one color in the mean are told apart by how much their prints stray from it.
    """
    mine = masks(picture, int(picture.max()) + 1).reshape(-1, picture.size)
    lab = by_pixel(stack.lab)
    count = mine.sum(axis=1, dtype=np.float64)[:, None]
    mean = (mine @ lab).astype(np.float64) / count
    spread = np.sqrt(np.maximum((mine @ lab**2).astype(np.float64) / count - mean**2, 0))
    looks: Floats = np.stack([mean, 2 * spread]).reshape(2, len(mine), -1, 3)
    return np.concatenate([looks[0], looks[1]], axis=-1)
