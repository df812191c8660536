import numpy as np
from numpy.testing import assert_allclose
from skimage.registration import phase_cross_correlation

from seamlore.photo.block.drape import follow_drape
from seamlore.photo.stack import cloth, restack, undo

SIDE, ROWS, COLUMNS = 60, 6, 7
# Quilts drawn by the tests, so that their truth is exact: custom, no source.


def quilt(rng: np.random.Generator, sag: float, *, turned: bool = False) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """An L in every block, in fabrics of its own, on cloth that sags: the picture, even corners, true corners.

    With `turned` every second block lies a quarter turn clockwise.
    """
    height, width = ROWS * SIDE, COLUMNS * SIDE
    y, x = np.mgrid[0:height, 0:width].astype(np.float64)
    moved_x = x - sag * np.sin(2 * np.pi * y / height)
    moved_y = y - sag * np.cos(2 * np.pi * x / width)
    u, v = moved_x / SIDE % 1, moved_y / SIDE % 1
    row = np.clip(moved_y // SIDE, 0, ROWS - 1).astype(int)
    column = np.clip(moved_x // SIDE, 0, COLUMNS - 1).astype(int)
    if turned:
        odd = (row + column) % 2 == 1
        u, v = np.where(odd, v, u), np.where(odd, 1 - u, v)
    drawn = ((u > 0.2) & (u < 0.4) & (v > 0.2) & (v < 0.8)) | ((v > 0.6) & (v < 0.8) & (u > 0.2) & (u < 0.8))
    light, dark = rng.uniform(170, 230, (ROWS, COLUMNS, 3)), rng.uniform(20, 90, (ROWS, COLUMNS, 3))
    pixels = np.where(drawn[..., None], dark[row, column], light[row, column]) + rng.normal(0, 6, (height, width, 3))
    places = np.argwhere(np.ones((ROWS, COLUMNS), dtype=bool))
    square = np.array([[0, 0], [1, 0], [1, 1], [0, 1.0]]) * SIDE - 0.5
    even = square + places[:, None, ::-1] * SIDE
    true = even + np.stack(
        [sag * np.sin(2 * np.pi * even[..., 1] / height), sag * np.cos(2 * np.pi * even[..., 0] / width)], axis=-1
    )
    return np.clip(pixels, 0, 255).astype(np.uint8), even, true


def test_blocks_of_a_sagging_quilt_are_laid_on_each_other() -> None:
    pixels, even, true = quilt(np.random.default_rng(1), sag=5.0)
    places = np.argwhere(np.ones((ROWS, COLUMNS), dtype=bool))
    source = cloth(pixels, even.reshape(ROWS, COLUMNS, 4, 2), SIDE)
    found = follow_drape(source, places, even, np.zeros(len(places), dtype=np.intp), np.ones(len(places)))

    def scatter(corners: np.ndarray) -> float:
        off = (corners - true).mean(axis=1)
        return float(np.sqrt(((off - off.mean(axis=0)) ** 2).mean()))

    assert scatter(even) > 3
    assert scatter(found) < 0.9


def test_blocks_that_follow_the_drape_agree_by_phase_correlation_too() -> None:
    pixels, even, _ = quilt(np.random.default_rng(2), sag=4.0)
    places = np.argwhere(np.ones((ROWS, COLUMNS), dtype=bool))
    source = cloth(pixels, even.reshape(ROWS, COLUMNS, 4, 2), SIDE)
    found = follow_drape(source, places, even, np.zeros(len(places), dtype=np.intp), np.ones(len(places)))

    def apart(corners: np.ndarray) -> np.ndarray:
        # Checked against scikit-image: its own measure of the shift between two pictures.
        light = restack(source, places, corners, SIDE).lab[..., 0]
        light = (light - light.mean(axis=(1, 2), keepdims=True)) / light.std(axis=(1, 2), keepdims=True)
        middle = len(light) // 2
        return np.abs([phase_cross_correlation(light[middle], each, upsample_factor=4)[0] for each in light])

    # It errs by half a block now and then; so the part that agrees to a pixel is compared.
    assert (apart(found) < 1).mean() > 2 * (apart(even) < 1).mean()


def test_turned_blocks_are_compared_as_they_are_laid() -> None:
    pixels, even, true = quilt(np.random.default_rng(3), sag=4.0, turned=True)
    places = np.argwhere(np.ones((ROWS, COLUMNS), dtype=bool))
    source = cloth(pixels, even.reshape(ROWS, COLUMNS, 4, 2), SIDE)
    moves = np.where(places.sum(axis=1) % 2, undo(1), 0).astype(np.intp)
    found = follow_drape(source, places, even, moves, np.ones(len(places)))
    off = (found - true).mean(axis=1)
    assert np.sqrt(((off - off.mean(axis=0)) ** 2).mean()) < 1.2


def test_plain_blocks_go_with_their_neighbors() -> None:
    rng = np.random.default_rng(4)
    pixels, even, true = quilt(rng, sag=4.0)
    places = np.argwhere(np.ones((ROWS, COLUMNS), dtype=bool))
    plain = places.sum(axis=1) % 2 == 1
    for row, column in places[plain]:
        pixels[row * SIDE : (row + 1) * SIDE, column * SIDE : (column + 1) * SIDE] = 200
    source = cloth(pixels, even.reshape(ROWS, COLUMNS, 4, 2), SIDE)
    found = follow_drape(source, places, even, np.zeros(len(places), dtype=np.intp), (~plain).astype(float))
    off = (found - true).mean(axis=1)[plain]
    before = (even - true).mean(axis=1)[plain]
    assert off.std(axis=0).max() < 0.6 * before.std(axis=0).max()


def test_two_blocks_are_left_where_the_grid_has_them() -> None:
    corners = np.array([[[0, 0], [9, 0], [9, 9], [0, 9]], [[9, 0], [18, 0], [18, 9], [9, 9]]], dtype=float)
    source = cloth(np.zeros((9, 18, 3), np.uint8), corners[None], 9)
    places = np.array([[0, 0], [0, 1]])
    assert_allclose(follow_drape(source, places, corners, np.zeros(2, dtype=np.intp), np.ones(2)), corners)
