"""Where seams run in each block, as a small trained network sees them: seams, not prints, quilting or folds.

The network looks at a window with one block and a little of what lies round it, and gives log-odds that a seam runs at
each pixel, and that one runs there across, down, rising, falling or another way. It was trained by
`judging/training/seams.py` on windows drawn by rule; no photograph took part.
"""

from __future__ import annotations

from dataclasses import dataclass

import cv2
import numpy as np
from numpy.typing import NDArray

from seamlore.photo.networks import Network
from seamlore.photo.perspective import unit_square_to
from seamlore.photo.stack import move_square, reduced_pixels

Floats = NDArray[np.float32]
Ints = NDArray[np.intp]
Cells = NDArray[np.float64]

SEAMS = Network("block/network.onnx", ("seams",), "window")
SIDE = 64  # of a block as it is looked over, in pixels
ANY, ACROSS, DOWN, RISING, FALLING, OTHER = range(6)

# For quilts of up to so many blocks: side of a block in the window and what is seen round it, in pixels, and how many windows
# are looked at together, as is quickest; what is seen is the same.
_WINDOWS = ((36, 96, 16, 1), (200, 64, 16, 2), (10**9, 32, 8, 16))
_REACH = 0.09  # of the block's side, by which each end of its sides may be off
_FAR, _ASLANT = 0.15, 0.25  # in log-odds, what a side costs that lies as far off as can be, or as much aslant
# After a quarter turn clockwise, and after mirroring left to right, which way seams run.
_QUARTER = [ANY, DOWN, ACROSS, FALLING, RISING, OTHER]
_MIRROR = [ANY, ACROSS, DOWN, FALLING, RISING, OTHER]


@dataclass(frozen=True, eq=False)
class Sight:
    """What the network sees of the seams of all blocks.

    Attributes
    ----------
    maps : ndarray of float32, shape (blocks, 6, SIDE, SIDE)
        Log-odds of a seam: any, across, down, rising, falling, another way; each block as it lies.
    corners : ndarray, shape (blocks, 4, 2)
        Of each block, set by the seams around it, in pixels of the flattened quilt.
    places : ndarray of int, shape (blocks, 2)
        Row and column of each.
    """

    maps: Floats
    corners: Cells
    places: Ints

    @property
    def sides(self) -> float:
        """How clearly seams are seen along the sides of the blocks, in the mean, 0..1."""
        if not len(self.maps):
            return 0.0
        share = 1 / (1 + np.exp(-np.clip(self.maps[:, ANY], -8, 8)))
        rims = (
            share[:, :2].max(axis=1),
            share[:, -2:].max(axis=1),
            share[..., :2].max(axis=2),
            share[..., -2:].max(axis=2),
        )
        return float(np.mean(rims))


def see_seams(pixels: NDArray[np.uint8], cells: Cells) -> Sight:
    """Look at every block of a flattened quilt.

    Parameters
    ----------
    pixels : ndarray of uint8, shape (height, width, 3)
        The flattened quilt, sRGB.
    cells : ndarray, shape (rows, columns, 4, 2)
        Corners of the blocks in pixels, clockwise; NaN where there is none.

    Returns
    -------
    Sight

    Examples
    --------
    >>> halves = np.full((96, 96, 3), 235, np.uint8)
    >>> halves[:, 48:] = (40, 40, 120)
    >>> seen = see_seams(halves, np.array([[[[0, 0], [96, 0], [96, 96], [0, 96]]]]) - 0.5)
    >>> bool(seen.maps[0, DOWN, 20:44, 31:33].mean() > 0 > seen.maps[0, ANY, 20:44, 12:20].mean())
    True
    >>> see_seams(halves, np.full((1, 1, 4, 2), np.nan)).maps.shape
    (0, 6, 64, 64)
    """
    places = np.argwhere(np.isfinite(cells).all(axis=(2, 3)))
    corners = cells[places[:, 0], places[:, 1]]
    maps = np.empty((len(places), 6, SIDE, SIDE), np.float32)
    if not len(places):
        return Sight(maps, corners, places)
    _, side, margin, together = next(each for each in _WINDOWS if len(places) <= each[0])
    small, scale = reduced_pixels(pixels, cells, side)
    laid = unit_square_to((corners + 0.5) * np.array(scale) - 0.5)
    full = side + 2 * margin
    to_unit = np.array([[1, 0, 0.5 - margin], [0, 1, 0.5 - margin], [0, 0, side]]) / side
    from_unit = np.linalg.inv(to_unit)
    refined = np.empty_like(corners)
    for start in range(0, len(places), together):
        some = slice(start, start + together)
        windows = np.stack([_window(small, each @ to_unit, full) for each in laid[some]])
        planes = np.ascontiguousarray(windows.transpose(0, 3, 1, 2), dtype=np.float32) / 127.5 - 1
        (said,) = SEAMS.run(planes)
        for index, one in enumerate(said, start=start):
            quad = _sides(one, side, margin)
            unit_to_window = unit_square_to(quad[None])[0]
            to_map = np.array([[1, 0, 0.5], [0, 1, 0.5], [0, 0, SIDE]]) / SIDE
            for number, plane in enumerate(one):
                maps[index, number] = _resampled(plane, unit_to_window @ to_map, SIDE)
            # Window -> unit of the block as the grid has it -> flattened quilt.
            there = laid[index] @ np.linalg.inv(from_unit) @ np.vstack([quad.T, np.ones(4)])
            refined[index] = ((there[:2] / there[2]).T + 0.5) / np.array(scale) - 0.5
    return Sight(maps, refined, places)


def _window(picture: NDArray[np.uint8], matrix: NDArray[np.float64], side: int) -> NDArray[np.uint8]:
    flags = cv2.INTER_LINEAR | cv2.WARP_INVERSE_MAP
    seen = cv2.warpPerspective(picture, matrix, (side, side), flags=flags, borderMode=cv2.BORDER_REPLICATE)
    return np.asarray(seen, np.uint8)


def _resampled(plane: Floats, matrix: NDArray[np.float64], side: int) -> Floats:
    flags = cv2.INTER_LINEAR | cv2.WARP_INVERSE_MAP
    seen = cv2.warpPerspective(
        np.ascontiguousarray(plane), matrix, (side, side), flags=flags, borderMode=cv2.BORDER_REPLICATE
    )
    return np.asarray(seen, np.float32)


def _sides(said: Floats, side: int, margin: int) -> Cells:
    """The corners of a block in its window, each of its sides laid where a seam is seen to run, shape (4, 2)."""
    reach = round(_REACH * side)
    offsets = np.arange(-reach, reach + 1)
    first, last = np.meshgrid(offsets, offsets, indexing="ij")
    far = _FAR * (np.abs(first) + np.abs(last)) / reach + _ASLANT * np.abs(first - last) / reach
    along = (np.arange(side) + 0.5) / side
    low, high = margin - 0.5, margin + side - 0.5
    lines = []
    for way, at in ((ACROSS, low), (DOWN, high), (ACROSS, high), (DOWN, low)):
        seen = cv2.GaussianBlur(np.clip(said[way], -3, 3), (0, 0), 0.8)
        seen = seen if way == ACROSS else seen.T
        run = at + first[..., None] * (1 - along) + last[..., None] * along
        where = np.clip(np.rint(run).astype(int), 0, len(seen) - 1)
        speaks = seen[where, np.arange(margin, margin + side)].mean(axis=-1) - far
        best = np.unravel_index(int(speaks.argmax()), speaks.shape)
        lines.append((at + offsets[best[0]], at + offsets[best[1]]))
    top, right, bottom, left = lines

    def cross(across: tuple[float, float], down: tuple[float, float]) -> tuple[float, float]:
        a, b = (across[1] - across[0]) / side, (down[1] - down[0]) / side
        x = (down[0] + b * (across[0] - low - a * low)) / (1 - a * b)
        return x, across[0] + a * (x - low)

    return np.array([cross(top, left), cross(top, right), cross(bottom, right), cross(bottom, left)])


def moved(maps: Floats, move: int) -> Floats:
    """Move the maps of one block, shape (6, side, side), by one of the moves of `stack`: mirrored first, then turned.

    Examples
    --------
    >>> maps = np.zeros((6, 4, 4), np.float32)
    >>> maps[ACROSS, 0] = 1
    >>> moved(maps, 1)[DOWN, :, 3].tolist(), float(moved(maps, 0)[ACROSS, 0, 0])
    ([1.0, 1.0, 1.0, 1.0], 1.0)
    """
    order = list(range(6))
    if move >= 4:
        order = [order[each] for each in _MIRROR]
    for _ in range(move % 4):
        order = [order[each] for each in _QUARTER]
    planes = move_square(maps[..., None], move)[..., 0]
    return np.ascontiguousarray(planes[order])
