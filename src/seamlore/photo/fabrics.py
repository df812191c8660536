"""One swatch for each patch of each block, gathered into fabrics by colour and print."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise

import cv2
import numpy as np
from numpy.typing import NDArray

from seamlore.photo.reading import Ring
from seamlore.photo.stack import blurred
from seamlore.photo.triangles import by_pixel

Floats = NDArray[np.float64]
Ints = NDArray[np.intp]

_LIGHT = 3.0  # CIELAB difference that uneven light makes within one fabric
_APART = 4.0  # in units of a swatch's own uncertainty, from which two swatches are of two fabrics
_RANGE = 1.5, 0.6  # of that, for the least and the most fabrics that there may be
_COLOUR_WEIGHTS = np.array([0.6, 1.4, 1.4])  # light and wear change lightness more than hue
_PRINT_WEIGHT, _FAINT = 8.0, 1.0  # of the logarithm of its strength, in lightness
_SCRAPPY = 0.12  # by which the lightness of fabrics may well differ, as a logarithm
_LEAST_FOR_LIGHT = 40  # swatches from which the fall of light can be told
_MOST_AT_ONCE = 1200
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
    print_ : ndarray, shape (swatches, 2)
        How strong its print is at a fine scale and in all, in lightness.
    error : ndarray, shape (swatches,)
        Standard uncertainty of each of its colour coordinates.
    """

    where: Ints
    lab: Floats
    print_: Floats
    error: Floats


def take_swatches(lab: NDArray[np.float32], shown: NDArray[np.float32], picture: Ints, noise: Floats) -> Swatches:
    """Measure every patch of every block, leaving out what lies near a seam or beyond the quilt's edge.

    Parameters
    ----------
    lab : ndarray of float32, shape (blocks, size, size, 3)
        The stack, all blocks laid alike.
    shown : ndarray of float32, shape (blocks, size, size)
    picture : ndarray of int, shape (size, size)
        The patch of each pixel.
    noise : ndarray, shape (blocks,)
        Variance of a mean, times its pixels.
    """
    blocks = len(lab)
    patches = int(picture.max()) + 1
    inner = _inside(picture, patches)
    label = np.where(inner >= 0, inner, patches).ravel()
    order = np.argsort(label, kind="stable")
    bounds = np.searchsorted(label[order], np.arange(patches + 1))
    sums = np.zeros((patches, blocks, 6))
    # A few blocks at a time, for what is made of them is large.
    for start in range(0, blocks, _AT_ONCE):
        few = slice(start, start + _AT_ONCE)
        rows = by_pixel(_measures(lab[few], shown[few]))
        for number, (first, end) in enumerate(pairwise(bounds)):
            sums[number, few] = rows[order[first:end]].sum(axis=0, dtype=np.float64).reshape(-1, 6)
    patch, block = np.nonzero(sums[..., 5] >= 4)
    taken = sums[patch, block]
    counts = taken[:, 5]
    mean = taken[:, :5] / counts[:, None]
    # How lightness scatters inside the patch: what lies beyond its seams has no part in that.
    mean[:, 4] = np.sqrt(np.maximum(mean[:, 4] - mean[:, 0] ** 2, 0))
    error = np.sqrt(noise[block] / counts / 3 + (_LIGHT**2) / 3)
    return Swatches(np.stack([block, patch], axis=-1), mean[:, :3], mean[:, 3:], error)


def _measures(lab: NDArray[np.float32], shown: NDArray[np.float32]) -> NDArray[np.float32]:
    """What is summed over a patch: CIELAB, fine print, squared lightness and 1; nothing where the block is not shown."""
    light = np.ascontiguousarray(lab[..., 0])
    fine = np.abs(blurred(light, _FINE[0]) - blurred(light, _FINE[1]))
    found = np.empty((*light.shape, 6), dtype=np.float32)
    found[..., :3], found[..., 3], found[..., 4], found[..., 5] = lab, fine, light * light, 1
    found *= shown[..., None]
    return found


def _inside(picture: Ints, patches: int) -> Ints:
    """The patch of each pixel that lies clear of every seam, or -1; a thin patch keeps its middle."""
    inner = np.full(picture.shape, -1, dtype=np.intp)
    for number in range(patches):
        mask = np.pad((picture == number).astype(np.uint8), 1)
        far = cv2.distanceTransform(mask, cv2.DIST_L2, 3)[1:-1, 1:-1]
        inner[far > min(2.5, 0.6 * float(far.max()))] = number
    return inner


def even_light(swatches: Swatches, places: Ints) -> Floats:
    """How far each swatch is from what it would be in even light, in CIELAB, shape (swatches, 3).

    Light falls off smoothly over a quilt, and fabrics do not: what all patches do together from one side of the quilt
    to the other is the light's. Light multiplies: by the definition of CIELAB (CIE 15) the same factor then multiplies
    L* + 16, a* and b*, so that a pale fabric changes more than a dark one.

    Parameters
    ----------
    swatches : Swatches
    places : ndarray of int, shape (blocks, 2)
        Row and column of each block.
    """
    at = places[swatches.where[:, 0]].astype(np.float64)
    at = 2 * (at - at.min(axis=0)) / np.maximum(np.ptp(at, axis=0), 1) - 1
    x, y = at[:, 1], at[:, 0]
    slopes = np.stack([x, y, x * x, x * y, y * y], axis=-1)
    patch = swatches.where[:, 1]
    counts = np.maximum(np.bincount(patch), 1)
    if len(x) < _LEAST_FOR_LIGHT or np.ptp(swatches.where[:, 0]) < 8:
        return np.zeros_like(swatches.lab)

    def centred(values: Floats) -> Floats:
        means: Floats = np.bincount(patch, weights=values) / counts
        return values - means[patch]

    own = np.stack([centred(column) for column in slopes.T], axis=-1)
    light = centred(np.log(np.maximum(swatches.lab[:, 0], 0) + 16))
    weights = np.ones(len(x))
    for _ in range(5):
        pull = own.T @ (own * weights[:, None])
        fit = np.linalg.solve(pull + 0.02 * len(x) * np.eye(5), own.T @ (light * weights))
        weights = 1 / (1 + ((light - own @ fit) / _SCRAPPY) ** 2)
    factor = np.exp(slopes @ fit - float((slopes @ fit).mean()))
    raised = swatches.lab + np.array([16.0, 0, 0])
    off: Floats = raised * (1 - 1 / factor)[:, None]
    return off


def gather_fabrics(swatches: Swatches, light: Floats | None = None, *, apart: float = _APART) -> Ints:
    """Gather swatches into fabrics, the commonest first.

    Parameters
    ----------
    swatches : Swatches
    light : ndarray, shape (swatches, 3), optional
        How far each is from what it would be in even light.
    apart : float
        In units of a swatch's own uncertainty, from where on two swatches are of two fabrics.

    Returns
    -------
    ndarray of int, shape (swatches,)
        Number of the fabric of each swatch.

    Examples
    --------
    >>> two = Swatches(np.array([[0, 0], [1, 0]]), np.array([[80, 0, 0], [20, 0, 0.0]]), np.zeros((2, 2)), np.ones(2))
    >>> gather_fabrics(two).tolist()
    [0, 1]
    >>> gather_fabrics(Swatches(np.zeros((0, 2), int), np.zeros((0, 3)), np.zeros((0, 2)), np.zeros(0))).tolist()
    []
    """
    if not len(swatches.lab):
        return np.zeros(0, dtype=np.intp)
    lab = swatches.lab if light is None else swatches.lab - light
    # A strong print varies more from patch to patch than a faint one.
    prints = _PRINT_WEIGHT * np.log(_FAINT + swatches.print_)
    points = np.concatenate([lab * _COLOUR_WEIGHTS, prints], axis=1)
    points /= np.maximum(swatches.error, 2.0)[:, None]
    lumps = _lumps(points)
    sizes: Floats = np.bincount(lumps).astype(np.float64)
    totals: Floats = np.stack([np.bincount(lumps, weights=column) for column in points.T], axis=-1).astype(np.float64)
    label = _average_linkage(totals / sizes[:, None], sizes, apart)[lumps]
    numbers, counts = np.unique(label, return_counts=True)
    rank = np.empty(int(numbers.max()) + 1, dtype=np.intp)
    rank[numbers[np.argsort(-counts, kind="stable")]] = np.arange(len(numbers))
    return rank[label]


def fabric_range(swatches: Swatches, light: Floats | None = None) -> tuple[int, int]:
    """The least and the most fabrics that there may well be, by gathering more and less freely.

    Examples
    --------
    >>> two = Swatches(np.array([[0, 0], [1, 0]]), np.array([[80, 0, 0], [20, 0, 0.0]]), np.zeros((2, 2)), np.ones(2))
    >>> fabric_range(two)
    (2, 2)
    >>> fabric_range(Swatches(np.zeros((0, 2), int), np.zeros((0, 3)), np.zeros((0, 2)), np.zeros(0)))
    (0, 0)
    """
    if not len(swatches.lab):
        return 0, 0
    loose, tight = (int(gather_fabrics(swatches, light, apart=_APART * factor).max()) + 1 for factor in _RANGE)
    return loose, tight


def _lumps(points: Floats) -> Ints:
    """Swatches so alike that they are surely one fabric, to keep the gathering quick."""
    fine = 0.0 if len(points) <= _MOST_AT_ONCE else 0.4
    while True:
        if fine == 0.0:
            return np.arange(len(points))
        boxes = np.floor(points / fine).astype(np.int64)
        boxes -= boxes.min(axis=0)
        # One number for each box is quicker to sort than its five.
        number = np.ravel_multi_index(tuple(boxes.T), tuple(boxes.max(axis=0) + 1))
        label: Ints = np.unique(number, return_inverse=True)[1]
        if label.max() < _MOST_AT_ONCE:
            return label
        fine *= 1.3


def _average_linkage(points: Floats, sizes: Floats, limit: float) -> Ints:
    """Join the two nearest groups (by the mean distance of their members) until none are nearer than the limit."""
    squared = sum(np.square(np.subtract.outer(column, column)) for column in points.T)
    apart = np.sqrt(squared).astype(np.float32)
    np.fill_diagonal(apart, np.inf)
    label = np.arange(len(points))
    sizes = sizes.copy()
    nearest, at = apart.argmin(axis=1), apart.min(axis=1)
    while True:
        one = int(at.argmin())
        if not at[one] < limit:
            return label
        two = int(nearest[one])
        row = (sizes[one] * apart[one] + sizes[two] * apart[two]) / (sizes[one] + sizes[two])
        row[one] = row[two] = np.inf
        apart[one], apart[:, one] = row, row
        apart[two], apart[:, two] = np.inf, np.inf
        sizes[one] += sizes[two]
        label[label == two] = one
        at[two] = np.inf
        stale = np.flatnonzero((nearest == one) | (nearest == two))
        nearest[one], at[one] = row.argmin(), row.min()
        closer = row < at
        nearest[closer], at[closer] = one, row[closer]
        for each in stale:
            if np.isfinite(at[each]) and each != one:
                nearest[each], at[each] = apart[each].argmin(), apart[each].min()


def srgb_of(lab: Floats) -> str:
    """The colour as six hexadecimal digits with a leading #, in sRGB.

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
    at = np.array(patch, dtype=np.float32)
    if mirrored:
        at[:, 0] = 1 - at[:, 0]
    for _ in range(turn // 90 % 4):
        at = np.stack([1 - at[:, 1], at[:, 0]], axis=-1)
    unit = np.array([[0, 0], [1, 0], [1, 1], [0, 1]], dtype=np.float32)
    matrix = cv2.getPerspectiveTransform(unit, cells[row, column].astype(np.float32))
    corners = cv2.perspectiveTransform(at[None], matrix)[0]
    height, width = pixels.shape[:2]
    left, top = np.maximum(np.floor(corners.min(axis=0)).astype(int), 0)
    right, bottom = np.minimum(np.ceil(corners.max(axis=0)).astype(int) + 1, [width, height])
    if right <= left or bottom <= top:
        return np.zeros((0, 0, 4), dtype=np.uint8)
    inside = np.zeros((bottom - top, right - left), dtype=np.uint8)
    cv2.fillPoly(inside, [np.rint((corners - [left, top]) * 16).astype(np.int32)], 255, shift=4)
    return np.dstack([pixels[top:bottom, left:right], inside])
