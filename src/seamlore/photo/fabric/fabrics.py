"""One swatch for each patch of each block, gathered into fabrics by color and print."""

from __future__ import annotations

from dataclasses import dataclass

import cv2
import numpy as np
from numpy.typing import NDArray

from seamlore.photo.fabric.linkage import average_linkage, lumps
from seamlore.photo.perspective import as_it_lies, block_to_quilt
from seamlore.photo.reading import Ring
from seamlore.photo.stack import blurred, masks
from seamlore.photo.triangles import by_pixel

Floats = NDArray[np.float64]
Ints = NDArray[np.intp]

# How much two cuts of one fabric usually differ: in CIELAB, and in the logarithms of a swatch's print. Median over the
# tuning quilts with even seeds, light evened out (fitted anew by `python -m judging.fitting.fabrics`).
_SPREAD = np.array([1.4, 1.0, 1.0])
_PRINT_SPREAD = np.array([0.12, 0.16, 0.19, 0.21])
_FAINT = np.array([0.3, 0.5, 0.5, 0.5])  # below which a print is not seen, in CIELAB
_PRINT_WEIGHT = 0.61  # of one measure of the print against one of color; fitted as `_APART` is
_USUAL_PIXELS, _MOST_PIXELS = 150, 1000  # of a swatch whose print is told as surely as that; and as surely as any
_MOST_VARIANCE = 25.0  # by which quarters of a swatch may make it unsure; what differs more is two fabrics
_ALIKE = 6  # swatches that are asked together how much their fabric differs from cut to cut
_APART = 2.0  # from which two swatches are of two fabrics, 1 being how much two cuts of one fabric differ
_MOST_AT_ONCE = 800
_AT_ONCE = 32  # blocks measured together
_FINE = 0.7, 1.5  # pixels of the stack, between which a print is fine


@dataclass(frozen=True, eq=False)
class Swatches:
    """What was measured of every patch of every block.

    Attributes
    ----------
    where : ndarray of int, shape (swatches, 2)
        Block (index in the stack) and patch.
    lab : ndarray, shape (swatches, 3)
        Mean CIELAB of the inside of the patch.
    print_ : ndarray, shape (swatches, 4)
        How strong its print is at a fine scale in lightness, and in all in each of L*, a* and b*.
    error : ndarray, shape (swatches, 3)
        Standard uncertainty of its color, by how its quarters differ: the same print cut elsewhere shows another part.
    pixels : ndarray, shape (swatches,)
        How many pixels of the stack it was measured on.
    """

    where: Ints
    lab: Floats
    print_: Floats
    error: Floats
    pixels: Floats

    def some(self, which: Ints) -> Swatches:
        """Some of the swatches."""
        return Swatches(self.where[which], self.lab[which], self.print_[which], self.error[which], self.pixels[which])


def take_swatches(lab: NDArray[np.float32], shown: NDArray[np.float32], picture: Ints) -> Swatches:
    """Measure every patch of every block, leaving out what lies near a seam or beyond the quilt's edge.

    Parameters
    ----------
    lab : ndarray of float32, shape (blocks, size, size, 3)
        The stack, all blocks laid alike.
    shown : ndarray of float32, shape (blocks, size, size)
    picture : ndarray of int, shape (size, size)
        The patch of each pixel.
    """
    blocks = len(lab)
    patches = int(picture.max()) + 1
    quarter = _quarters(_inside(picture, patches), patches)
    mine = masks(quarter, 4 * patches).reshape(4 * patches, -1)
    sums = np.empty((4 * patches, blocks, 8))
    # A few blocks at a time, for what is made of them is large.
    for start in range(0, blocks, _AT_ONCE):
        few = slice(start, start + _AT_ONCE)
        sums[:, few] = _sums(lab[few], shown[few], mine)
    by_quarter = sums.reshape(patches, 4, blocks, 8)
    patch, block = np.nonzero(by_quarter[..., 7].sum(axis=1) >= 4)
    quarters = by_quarter[patch, :, block]
    counts = quarters[..., 7].sum(axis=1)
    mean = quarters[..., :7].sum(axis=1) / counts[:, None]
    # How it scatters inside the patch: what lies beyond its seams has no part in that.
    scatter = np.sqrt(np.maximum(mean[:, 3:6] - mean[:, :3] ** 2, 0))
    print_ = np.concatenate([mean[:, 6:], scatter], axis=1)
    return Swatches(np.stack([block, patch], axis=-1), mean[:, :3], print_, _error(quarters, mean[:, :3]), counts)


def _sums(lab: NDArray[np.float32], shown: NDArray[np.float32], mine: NDArray[np.float32]) -> Floats:
    """Sum over quarters, shape (quarters, blocks, 8), of CIELAB, its squares, fine print and 1.

    `mine`, shape (quarters, pixels), is 1 where a pixel is a quarter's. What is not shown counts for nothing.
    """
    blocks = len(lab)
    light = np.ascontiguousarray(lab[..., 0])
    fine = np.abs(blurred(light, _FINE[0]) - blurred(light, _FINE[1]))
    rows = by_pixel(lab)
    if shown.min() < 1:
        fine *= shown
        rows *= np.repeat(shown.reshape(blocks, -1).T, 3, axis=1)
    sums = np.empty((len(mine), blocks, 8))
    sums[..., :3] = (mine @ rows).reshape(-1, blocks, 3)
    sums[..., 3:6] = (mine @ rows**2).reshape(-1, blocks, 3)
    sums[..., 6] = mine @ fine.reshape(blocks, -1).T
    sums[..., 7] = mine @ shown.reshape(blocks, -1).T
    return sums


def _error(quarters: Floats, lab: Floats) -> Floats:
    """Standard uncertainty of the mean of four quarters, each weighing as much as it is large, shape (swatches, 3)."""
    counts = quarters[..., 7]
    means = quarters[..., :3] / np.maximum(counts, 1)[..., None]
    squares = ((means - lab[:, None]) ** 2 * counts[..., None]).sum(axis=1) / counts.sum(axis=1)[:, None]
    error: Floats = np.sqrt(squares / np.maximum((counts > 0).sum(axis=1) - 1, 1)[:, None])
    return error


def _inside(picture: Ints, patches: int) -> Ints:
    """The patch of each pixel that lies clear of every seam, or -1; a thin patch keeps its middle."""
    inner = np.full(picture.shape, -1, dtype=np.intp)
    for number in range(patches):
        mask = np.pad((picture == number).astype(np.uint8), 1)
        far = cv2.distanceTransform(mask, cv2.DIST_L2, 3)[1:-1, 1:-1]
        inner[far > min(2.5, 0.6 * float(far.max()))] = number
    return inner


def _quarters(inner: Ints, patches: int) -> Ints:
    """Cut each patch in four about its middle: 4 times the patch, and the quarter; -1 outside."""
    quarter = np.full(inner.shape, -1, dtype=np.intp)
    for number in range(patches):
        y, x = np.nonzero(inner == number)
        if len(x):
            quarter[y, x] = 4 * number + 2 * (y > y.mean()) + (x > x.mean())
    return quarter


def spots(where: Ints, picture: Ints, corners: Floats) -> Floats:
    """Where in the quilt the middle of each swatch lies.

    Parameters
    ----------
    where : ndarray of int, shape (swatches, 2)
        Block and patch.
    picture : ndarray of int, shape (size, size)
        The patch of each pixel of the stack.
    corners : ndarray, shape (blocks, 4, 2)
        Of each block, as it is stacked, in pixels of the flattened quilt.

    Returns
    -------
    ndarray, shape (swatches, 2)
        x, y in pixels of the flattened quilt.

    Examples
    --------
    >>> block = np.array([[[10, 10], [20, 10], [20, 20], [10, 20.0]]])
    >>> spots(np.array([[0, 1]]), np.array([[0, 1], [0, 1]]), block).tolist()
    [[17.5, 15.0]]
    >>> spots(np.zeros((0, 2), int), np.array([[0, 1], [0, 1]]), block).shape
    (0, 2)
    """
    size, label = len(picture), picture.ravel()
    counts = np.maximum(np.bincount(label), 1)
    down, across = (
        ((np.bincount(label, weights=line.ravel()) / counts + 0.5) / size)[where[:, 1]][:, None]
        for line in np.indices(picture.shape)
    )
    a, b, c, d = corners[where[:, 0]].transpose(1, 0, 2)
    found: Floats = (1 - down) * ((1 - across) * a + across * b) + down * ((1 - across) * d + across * c)
    return found


def gather_fabrics(swatches: Swatches, light: Floats | None = None, *, apart: float = _APART) -> Ints:
    """Gather swatches into fabrics, the commonest first.

    Two swatches are held against each other by color and print, each by how much two cuts of one fabric usually
    differ, and color also by how much these two may: a bold print cut small differs more from cut to cut.

    Parameters
    ----------
    swatches : Swatches
    light : ndarray, shape (swatches, 3), optional
        How far each is from what it would be in even light.
    apart : float
        From where on two swatches are of two fabrics, 1 being how much two cuts of one fabric differ.

    Returns
    -------
    ndarray of int, shape (swatches,)
        Number of the fabric of each swatch.

    Examples
    --------
    >>> where, lab = np.array([[0, 0], [1, 0]]), np.array([[80, 0, 0], [20, 0, 0.0]])
    >>> gather_fabrics(Swatches(where, lab, np.zeros((2, 4)), np.ones((2, 3)), np.full(2, 99.0))).tolist()
    [0, 1]
    >>> none = np.zeros((0, 3))
    >>> gather_fabrics(Swatches(np.zeros((0, 2), int), none, np.zeros((0, 4)), none, np.zeros(0))).tolist()
    []
    """
    if not len(swatches.lab):
        return np.zeros(0, dtype=np.intp)
    lab = swatches.lab if light is None else swatches.lab - light
    # A strong print varies more from patch to patch than a faint one.
    prints = np.log(_FAINT + swatches.print_) * (_PRINT_WEIGHT / _PRINT_SPREAD)
    points = np.concatenate([lab / _SPREAD, prints], axis=1)
    lump = lumps(points, _MOST_AT_ONCE)
    sizes: Floats = np.bincount(lump).astype(np.float64)
    rough = 0.5 + 0.5 * np.sqrt(_USUAL_PIXELS / np.minimum(swatches.pixels, _MOST_PIXELS))
    variance = np.minimum((swatches.error / _SPREAD) ** 2, _MOST_VARIANCE / _SPREAD**2)
    columns = np.concatenate([points, variance, rough[:, None]], axis=1).T
    means: Floats = np.stack([np.bincount(lump, weights=column) / sizes for column in columns])
    label = average_linkage(_differences(means), sizes, apart)[lump]
    counts = np.bincount(label)
    rank = np.empty(len(counts), dtype=np.intp)
    rank[np.argsort(-counts, kind="stable")] = np.arange(len(counts))
    return rank[label]


def _differences(means: Floats) -> NDArray[np.float32]:
    """How much every two swatches differ, shape (n, n), from their 7 measures, 3 variances and roughness, shape (11, n)."""
    points, variance, rough = (part.astype(np.float32) for part in (means[:7], means[7:10], means[10]))
    length = np.square(points).sum(axis=0)
    near = np.add.outer(length, length) - 2 * (points.T @ points)
    alike = min(_ALIKE, len(length))
    # One swatch's four quarters say little; those of the swatches most like it say it together.
    variance = variance[:, np.argpartition(near, alike - 1, axis=1)[:, :alike]].mean(axis=2)
    total = np.zeros_like(near)
    for column, spread in zip(points[:3], 0.5 + variance, strict=True):
        total += np.square(np.subtract.outer(column, column)) / (np.add.outer(spread, spread) / 2)
    length = np.square(points[3:]).sum(axis=0)
    prints = np.maximum(np.add.outer(length, length) - 2 * (points[3:].T @ points[3:]), 0)
    total += prints / (np.add.outer(rough, rough) / 2)
    apart: NDArray[np.float32] = np.sqrt(total / 9)
    return apart


def srgb_of(lab: Floats) -> str:
    """The color as six hexadecimal digits with a leading #, in sRGB.

    Examples
    --------
    >>> srgb_of(np.array([100.0, 0.0, 0.0]))
    '#ffffff'
    >>> srgb_of(np.array([0.0, 0.0, 0.0]))
    '#000000'
    """
    rgb = cv2.cvtColor(lab.astype(np.float32).reshape(1, 1, 3), cv2.COLOR_LAB2RGB).reshape(3)
    red, green, blue = (int(each) for each in np.rint(np.clip(rgb, 0, 1) * 255))
    return f"#{red:02x}{green:02x}{blue:02x}"


def swatch(
    pixels: NDArray[np.uint8],
    cells: Floats,
    row: int,
    column: int,
    patch: Ring,
    *,
    turn: int = 0,
    mirrored: bool = False,
) -> NDArray[np.uint8]:
    """Cut the picture of one patch out of the flattened quilt.

    Parameters
    ----------
    pixels : ndarray of uint8, shape (height, width, 3)
        The flattened quilt.
    cells : ndarray, shape (rows, columns, 4, 2)
        Corners of the blocks in pixels, clockwise from each block's top left.
    row, column : int
        Which block.
    patch : ring
        Outline of the patch, in 0..1 of the block as most have it.
    turn, mirrored
        How this block lies against that.

    Returns
    -------
    ndarray of uint8, shape (h, w, 4)
        The rectangle that holds the patch, as it lies in the quilt; the fourth channel is 255 on the patch and 0 round
        it. Empty where the photograph does not show it.

    Examples
    --------
    >>> cells = np.array([[[[0, 0], [8, 0], [8, 8], [0, 8]]]], dtype=float)
    >>> swatch(np.zeros((8, 8, 3), np.uint8), cells, 0, 0, ((0, 0), (0.5, 0), (0.5, 0.5), (0, 0.5))).shape
    (5, 5, 4)
    >>> swatch(np.zeros((8, 8, 3), np.uint8), cells - 100, 0, 0, ((0, 0), (1, 0), (1, 1))).size
    0
    """
    corners = block_to_quilt(as_it_lies(patch, turn, mirrored), cells[row, column])
    height, width = pixels.shape[:2]
    left, top = np.maximum(np.floor(corners.min(axis=0)).astype(int), 0)
    right, bottom = np.minimum(np.ceil(corners.max(axis=0)).astype(int) + 1, [width, height])
    if right <= left or bottom <= top:
        return np.zeros((0, 0, 4), dtype=np.uint8)
    inside = np.zeros((bottom - top, right - left), dtype=np.uint8)
    cv2.fillPoly(inside, [np.rint((corners - [left, top]) * 16).astype(np.int32)], 255, shift=4)
    return np.dstack([pixels[top:bottom, left:right], inside])
