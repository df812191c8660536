import numpy as np
import pytest
from numpy.testing import assert_allclose
from numpy.typing import NDArray

from seamlore.errors import PhotoError
from seamlore.photo.grid.grid import Grid, find_grid

Pixels = NDArray[np.uint8]

# All pictures here are drawn by the tests themselves, so their truth is exact: custom, no source.


def cloth(rng: np.random.Generator, light: bool, height: int, width: int) -> NDArray[np.float64]:
    """One printed cotton: a color and a fine print."""
    base = rng.uniform(150, 230, 3) if light else rng.uniform(20, 110, 3)
    return base + rng.normal(0, 8, (height, width, 1))


def star(rng: np.random.Generator, side: int) -> NDArray[np.float64]:
    """A block of nine: light background, dark corners' triangles, a dark middle; fabrics anew in every block."""
    y, x = np.mgrid[0:side, 0:side] / side * 3
    light, dark, middle = (cloth(rng, kind, side, side) for kind in (True, False, False))
    picture = light.copy()
    column, row = np.minimum(x.astype(int), 2), np.minimum(y.astype(int), 2)
    corner = ((column + row) % 2 == 0) & ~((column == 1) & (row == 1))
    falling = np.where((column == row), (x % 1) + (y % 1) < 1, (x % 1) > (y % 1))
    picture[corner & falling] = dark[corner & falling]
    center = (column == 1) & (row == 1)
    picture[center] = middle[center]
    return picture


def quilt(
    rows: int,
    columns: int,
    side: int = 60,
    gap: int = 0,
    border: int = 0,
    cut: tuple[int, int, int, int] = (0, 0, 0, 0),
) -> Pixels:
    rng = np.random.default_rng(rows * 100 + columns)
    height = rows * side + (rows - 1) * gap + 2 * border
    width = columns * side + (columns - 1) * gap + 2 * border
    picture = cloth(rng, False, height, width)
    inner = (slice(border, height - border), slice(border, width - border))
    picture[inner] = np.array([120.0, 60, 60]) + rng.normal(0, 8, (*picture[inner].shape[:2], 1))
    for row in range(rows):
        for column in range(columns):
            y, x = border + row * (side + gap), border + column * (side + gap)
            picture[y : y + side, x : x + side] = star(rng, side)
    left, top, right, bottom = cut
    picture = picture[top : height - bottom, left : width - right]
    return np.clip(picture, 0, 255).astype(np.uint8)


def counted(grid: Grid) -> tuple[str, int, int]:
    return grid.setting, grid.rows, grid.columns


def test_blocks_that_touch_are_counted_and_measured() -> None:
    grid = find_grid(quilt(6, 5))
    assert counted(grid) == ("straight", 6, 5)
    assert_allclose(grid.block, (60, 60), rtol=0.01)
    assert_allclose(grid.sashing, (0, 0))
    assert_allclose(grid.edge, (0, 0, 0, 0), atol=1.5)


def test_sashing_and_border_are_told_from_the_blocks() -> None:
    grid = find_grid(quilt(5, 4, gap=18, border=40))
    assert counted(grid) == ("straight", 5, 4)
    assert_allclose(grid.block, (60, 60), atol=1.0)
    assert_allclose(grid.sashing, (18, 18), atol=1.0)
    assert_allclose(grid.edge, (40, 40, 40, 40), atol=1.5)


def test_blocks_cut_by_the_edge_are_counted_and_reach_beyond_it() -> None:
    grid = find_grid(quilt(6, 6, gap=16, cut=(18, 0, 18, 0)))
    assert counted(grid) == ("straight", 6, 6)
    assert_allclose(grid.edge, (-18, 0, -18, 0), atol=1.5)
    assert grid.cells[0, 0, 0, 0] < -15


def test_cells_are_the_corners_of_blocks_clockwise_from_top_left() -> None:
    grid = find_grid(quilt(5, 4, gap=18, border=40))
    assert grid.cells.shape == (5, 4, 4, 2)
    assert_allclose(grid.cells[1, 2], [(196, 118), (256, 118), (256, 178), (196, 178)], atol=2)


def test_a_line_off_the_even_grid_is_placed_by_itself() -> None:
    even = quilt(5, 5, gap=16, border=30)
    # The third column of sashing wider by 6 px: everything to its right moves.
    extra = even[:, 30 + 2 * 76 + 60 + 5 : 30 + 2 * 76 + 60 + 11]
    picture = np.concatenate([even[:, : 30 + 2 * 76 + 60 + 8], extra, even[:, 30 + 2 * 76 + 60 + 8 :]], axis=1)
    grid = find_grid(picture)
    assert counted(grid) == ("straight", 5, 5)
    starts = [start for start, _ in grid.column_spans]
    assert_allclose(starts, [30, 106, 182, 264, 340], atol=1.5)


def on_point(rows: int, columns: int, side: int = 64, border: int = 0) -> Pixels:
    rng = np.random.default_rng(7)
    half = side / np.sqrt(2)
    height, width = (round(2 * half * count) + 2 * border for count in (rows, columns))
    y, x = np.mgrid[0:height, 0:width].astype(float) + 0.5 - border
    across, down = (x + y) / np.sqrt(2), (y - x) / np.sqrt(2)
    shift = half / np.sqrt(2)
    i, j = np.floor((across - shift) / side).astype(int), np.floor((down + shift) / side).astype(int)
    picture = np.full((height, width, 3), (200.0, 190, 160)) + rng.normal(0, 8, (height, width, 1))
    u, v = ((across - shift) / side) % 1, ((down + shift) / side) % 1
    for a, b in {(int(a), int(b)) for a, b in zip(i.ravel(), j.ravel(), strict=True)}:
        if (a + b) % 2:
            continue
        block = star(rng, side)
        here = (i == a) & (j == b)
        picture[here] = block[(v[here] * side).astype(int) % side, (u[here] * side).astype(int) % side]
    if border:
        frame = np.ones((height, width), bool)
        frame[border:-border, border:-border] = False
        picture[frame] = (40, 50, 90)
    return np.clip(picture, 0, 255).astype(np.uint8)


def test_blocks_on_point_are_counted_along_their_whole_rows() -> None:
    grid = find_grid(on_point(6, 5, border=24))
    assert counted(grid) == ("on point", 6, 5)
    assert_allclose(grid.block, (64, 64), rtol=0.015)
    assert grid.between.shape == (5, 4, 4, 2)
    top, right, bottom, left = grid.cells[0, 0]
    assert top[1] < right[1] < bottom[1]
    assert left[0] < top[0] < right[0]


def test_a_grid_that_is_hardly_seen_is_still_no_reason_to_say_none(monkeypatch: pytest.MonkeyPatch) -> None:
    # Most of the share is left to a grid that was not found: then the best one found is given, with little confidence.
    monkeypatch.setattr(
        "seamlore.photo.grid.grid.shares", lambda found, none: np.array([0.004] + [0.0] * (len(found) - 1) + [0.01])
    )
    grid = find_grid(quilt(4, 4))
    assert grid.setting != "none"
    assert grid.confidence < 0.05


def test_one_plain_cloth_has_no_grid() -> None:
    rng = np.random.default_rng(3)
    picture = np.clip(190 + rng.normal(0, 10, (500, 400, 3)), 0, 255).astype(np.uint8)
    assert find_grid(picture).setting == "none"


def test_counts_that_she_gives_are_kept() -> None:
    grid = find_grid(quilt(6, 4), rows=3, columns=2)
    assert (grid.rows, grid.columns) == (3, 2)


def test_counts_that_nothing_in_the_picture_speaks_for_are_kept_too() -> None:
    grid = find_grid(quilt(6, 4), rows=11, columns=7)
    assert (grid.rows, grid.columns) == (11, 7)
    assert grid.cells.shape == (11, 7, 4, 2)


def test_a_setting_that_she_gives_is_kept() -> None:
    assert find_grid(quilt(4, 4), setting="none").setting == "none"


def test_a_line_that_she_places_stays_where_she_puts_it() -> None:
    grid = find_grid(quilt(5, 4), column_lines=[123.0])
    assert_allclose(grid.column_spans[1][1], 123.0, atol=1e-6)
    assert_allclose(grid.column_spans[2][0], 123.0, atol=1e-6)


def test_the_same_picture_gives_the_same_grid() -> None:
    picture = quilt(4, 5, gap=10)
    one, two = find_grid(picture), find_grid(picture)
    assert_allclose(one.cells, two.cells, rtol=0, atol=0)
    assert one.confidence == two.confidence


def test_counts_beyond_any_quilt_are_refused() -> None:
    with pytest.raises(PhotoError, match="61 rows"):
        find_grid(quilt(3, 3), rows=61)


def test_a_picture_of_a_few_pixels_is_refused() -> None:
    with pytest.raises(PhotoError, match="16 px"):
        find_grid(np.zeros((8, 40, 3), np.uint8))


def test_progress_is_told_in_order() -> None:
    parts: list[float] = []
    find_grid(quilt(4, 4), progress=lambda _what, part: parts.append(part))
    assert parts == sorted(parts)
    assert len(parts) >= 3
