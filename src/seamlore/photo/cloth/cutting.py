"""Cloth cut out of a photograph along the seams of its patches, at one scale, the light over the quilt evened out."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import cv2
import numpy as np
from numpy.typing import NDArray

from seamlore.lengths import CM_PER_INCH
from seamlore.photo.cielab import lab_of
from seamlore.photo.cloth.described import PX_PER_CM, Cut
from seamlore.photo.fabric.fabrics import Swatches, swatch
from seamlore.photo.fabric.light import even_light
from seamlore.photo.frame import Frame
from seamlore.photo.opening import Pixels
from seamlore.photo.perspective import as_it_lies, block_to_quilt
from seamlore.photo.read import Look
from seamlore.photo.reading import Reading, Ring, SeenFabric

Floats = NDArray[np.float64]
Spot = tuple[bool, int, int, int]

# Of a cloth so many patches are cut; more say little more.
MOST_PATCHES = 5
# Looked through for the largest; a fabric may stand in hundreds.
_LOOKED_AT, _SHOWN_MOST = 60, 40
# A patch is cut a little inside its seams, which a photograph shows as a shadow.
_INSET = 0.86
# Of a large panel no more than this is taken, in centimeters.
_MOST_CM = 12.0
_LEAST_CM = 1.0
_SUPER = 4  # at most so many samples a side for one pixel
# What is kept and shown has twice the scale at which cloth is held against cloth.
FINE_PX_PER_CM = 2 * PX_PER_CM
_MOSTLY = 250


@dataclass(frozen=True, eq=False)
class Cloth:
    """One cloth of a quilt: its patches at one scale.

    Attributes
    ----------
    cuts : tuple of Cut
        At `FINE_PX_PER_CM`, the one that is shown first, then the largest; the light over the quilt evened out.
    px_per_cm : float
        How many pixels of the photograph stand in a centimeter there.
    """

    cuts: tuple[Cut, ...]
    px_per_cm: float


def cm_per_unit(reading: Reading) -> float | None:
    """How many centimeters a reading's unit has; None where no size was given, so that there is no scale."""
    return {"in": float(CM_PER_INCH), "cm": 1.0, "width": None}[reading.unit]


def cut_cloths(look: Look, pixels: Pixels, fabrics: Sequence[SeenFabric]) -> tuple[Cloth, ...]:
    """Cut every fabric of a reading out of the photograph.

    Parameters
    ----------
    look : Look
    pixels : ndarray of uint8, shape (height, width, 3)
        The upright photograph that was read.
    fabrics : sequence of SeenFabric
        Of that reading.

    Returns
    -------
    tuple of Cloth
        One for each fabric, without cuts where no patch is seen; empty where the reading has no scale.
    """
    per_unit = cm_per_unit(look.reading)
    if per_unit is None:
        return ()
    found: list[list[tuple[Cut, float]]] = []
    at: list[Floats] = []
    for fabric in fabrics:
        mine = []
        for ring in _largest(look, fabric):
            cut, scale = _cut(pixels, look.flat.frame, ring, per_unit)
            if cut is not None:
                mine.append((cut, scale))
                at.append(ring.mean(axis=0))
        found.append(mine)
    of = [number for number, mine in enumerate(found) for _ in mine]
    off = _light([cut for mine in found for cut, _ in mine], of, at)
    evened, made = 0, []
    for mine in found:
        cuts = tuple(_lit(cut, off[evened + number]) for number, (cut, _) in enumerate(mine))
        evened += len(mine)
        made.append(Cloth(cuts, float(np.median([scale for _, scale in mine])) if mine else 0.0))
    return tuple(made)


def best_shown(look: Look, fabric: SeenFabric) -> tuple[Spot, NDArray[np.uint8]] | None:
    """Give the patch of a fabric of which the photograph shows most, and its picture as `swatch` cuts it.

    Returns
    -------
    ((bool, int, int, int), ndarray of uint8, shape (h, w, 4)) or None
        None where no patch is seen whole.
    """
    rings = [[_inset(each.outline) for each in kind.patches] for kind in look.reading.kinds or ()]
    cells = [look.flat.to_flat(quads.reshape(-1, 2)).reshape(quads.shape) for quads in _quads(look)]
    lies = look.reading.everywhere
    best, most = None, 0
    # Past a few dozen patches another is no better.
    for spot in fabric.everywhere[:_SHOWN_MOST]:
        between, row, column, patch = spot
        how, quads = lies.get((between, row, column)), cells[between]
        if how is None or how.kind is None or not np.isfinite(quads[row, column]).all():
            continue
        ring = rings[how.kind][patch]
        cut = swatch(look.flat.pixels, quads, row, column, ring, turn=how.turn, mirrored=how.mirrored)
        if cut.size and (seen := int(np.count_nonzero(cut[..., 3]))) > most:
            best, most = (spot, cut), seen
    return best


def _quads(look: Look) -> tuple[Floats, Floats]:
    return look.cells_quilt, look.between_quilt


def _inset(ring: Ring) -> Ring:
    points = np.array(ring)
    middle = points.mean(axis=0)
    return tuple((float(x), float(y)) for x, y in middle + _INSET * (points - middle))


def _largest(look: Look, fabric: SeenFabric) -> list[Floats]:
    """The outlines of a fabric's patches, in the reading's unit from the quilt's top left: the one shown, then the largest."""
    lies, kinds = look.reading.everywhere, look.reading.kinds or ()
    shown = best_shown(look, fabric)
    rings: list[tuple[float, Floats]] = []
    width, height = look.reading.size
    for spot in fabric.everywhere[:_LOOKED_AT]:
        between, row, column, patch = spot
        how, cells = lies.get((between, row, column)), _quads(look)[between]
        if how is None or how.kind is None or row >= cells.shape[0] or column >= cells.shape[1]:
            continue
        if not np.isfinite(cells[row, column]).all():
            continue
        outline = as_it_lies(_inset(kinds[how.kind].patches[patch].outline), how.turn, how.mirrored)
        ring = np.asarray(block_to_quilt(outline, cells[row, column]))
        if (ring >= 0).all() and (ring <= [width, height]).all():
            first = shown is not None and spot == shown[0]
            rings.append((np.inf if first else cv2.contourArea(ring.astype(np.float32)), ring))
    rings.sort(key=lambda each: -each[0])
    return [ring for _, ring in rings[:MOST_PATCHES]]


def cut_out(pixels: Pixels, corners: Floats, size_cm: Floats, ring_cm: Floats) -> tuple[Cut, float]:
    """Cut the rectangle that holds a patch out of a photograph.

    Parameters
    ----------
    pixels : ndarray of uint8, shape (height, width, 3)
    corners : ndarray, shape (4, 2)
        Of the rectangle, in pixels, clockwise from its top left.
    size_cm : ndarray, shape (2,)
        Its width and height.
    ring_cm : ndarray, shape (n, 2)
        Outline of the patch, from the rectangle's top left.

    Returns
    -------
    (Cut, float)
        At `FINE_PX_PER_CM`, and how many pixels of the photograph a centimeter has.

    Examples
    --------
    >>> square = np.array([[0, 0], [1, 0], [1, 1], [0, 1.0]])
    >>> cut, per_cm = cut_out(np.zeros((40, 40, 3), np.uint8), square * 40 - 0.5, np.array([5.0, 5.0]), square * 5)
    >>> cut.mask.shape, per_cm
    ((80, 80), 8.0)
    """
    across, down = (max(round(float(side) * FINE_PX_PER_CM), 2) for side in size_cm)
    seen_at = np.asarray(corners, np.float32)
    scale = float(np.sqrt(cv2.contourArea(seen_at) / float(np.prod(size_cm))))
    # What is finer in the photograph is averaged, lest fine prints turn into false stripes.
    fine = int(np.clip(np.ceil(scale / FINE_PX_PER_CM), 1, _SUPER))
    wide, high = across * fine, down * fine
    to = np.array([[-0.5, -0.5], [wide - 0.5, -0.5], [wide - 0.5, high - 0.5], [-0.5, high - 0.5]], np.float32)
    seen = cv2.warpPerspective(
        pixels, cv2.getPerspectiveTransform(to, seen_at), (wide, high),
        flags=cv2.INTER_LINEAR | cv2.WARP_INVERSE_MAP, borderMode=cv2.BORDER_REPLICATE,
    )  # fmt: skip
    if fine > 1:
        seen = cv2.resize(seen, (across, down), interpolation=cv2.INTER_AREA)
    mask = np.zeros((down, across), np.uint8)
    points = np.asarray(ring_cm) * FINE_PX_PER_CM - 0.5
    cv2.fillPoly(mask, [np.rint(points * 16).astype(np.int32)], 255, shift=4)
    return Cut(np.asarray(seen, np.uint8), mask), scale


def halved(cut: Cut) -> Cut:
    """Give a cut at half its scale: `PX_PER_CM`.

    Examples
    --------
    >>> halved(Cut(np.zeros((9, 8, 3), np.uint8), np.full((9, 8), 255, np.uint8))).mask.tolist()[0]
    [255, 255, 255, 255]
    """
    height, width = (max(side // 2, 1) for side in cut.mask.shape)
    # An odd last row or column is left off, so that two pixels make one.
    pixels, mask = (
        cv2.resize(each[: 2 * height, : 2 * width], (width, height), interpolation=cv2.INTER_AREA)
        for each in (cut.pixels, cut.mask)
    )
    return Cut(np.asarray(pixels, np.uint8), np.where(mask >= _MOSTLY, 255, 0).astype(np.uint8))


def _cut(pixels: Pixels, frame: Frame, ring: Floats, per_unit: float) -> tuple[Cut | None, float]:
    low, high = ring.min(axis=0), ring.max(axis=0)
    middle = (low + high) / 2
    half = np.minimum((high - low) / 2, _MOST_CM / per_unit / 2)
    low, high = middle - half, middle + half
    corners = frame.to_photo(np.array([low, [high[0], low[1]], high, [low[0], high[1]]]))
    tall, wide = pixels.shape[:2]
    if min((high - low) * per_unit) < _LEAST_CM or (corners < -0.5).any() or (corners > [wide, tall]).any():
        return None, 0.0
    return cut_out(pixels, corners, (high - low) * per_unit, (ring - low) * per_unit)


def _light(cuts: Sequence[Cut], of: Sequence[int], at: Sequence[Floats]) -> Floats:
    """How far each cut is from what it would be in even light, in CIELAB, shape (cuts, 3)."""
    if not cuts:
        return np.zeros((0, 3))
    lab, spread = [], []
    for each in cuts:
        inside = lab_of(each.pixels)[each.mask > 0]
        inside = inside if len(inside) else np.zeros((1, 3), np.float32)
        lab.append(inside.mean(axis=0))
        spread.append(inside.std(axis=0))
    print_ = np.concatenate([np.array(spread)[:, :1], np.array(spread)], axis=1).astype(np.float64)
    where = np.stack([np.arange(len(cuts)), np.array(of, np.intp)], axis=1)
    counts = np.array([float(np.count_nonzero(each.mask)) for each in cuts])
    error = np.array(spread, np.float64) / np.sqrt(np.maximum(counts[:, None] / 30, 1))
    return even_light(Swatches(where, np.array(lab, np.float64), print_, error, counts), np.array(at))


def _lit(cut: Cut, off: Floats) -> Cut:
    """Take off what the light does there."""
    if not np.abs(off).max() > 0.05:
        return cut
    lab = lab_of(cut.pixels) - off.astype(np.float32)
    rgb = np.clip(cv2.cvtColor(lab, cv2.COLOR_LAB2RGB), 0, 1)
    return Cut(np.rint(255 * rgb).astype(np.uint8), cut.mask)
