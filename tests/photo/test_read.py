from collections.abc import Hashable
from dataclasses import replace
from functools import cache
from pathlib import Path

import msgspec
import numpy as np
import pytest
from numpy.testing import assert_allclose

from seamlore.errors import PhotoError
from seamlore.lengths import centimeters, inches
from seamlore.photo.block.lines import WHOLE as SQUARE
from seamlore.photo.block.patches import read_blocks
from seamlore.photo.opening import Photo, open_photo
from seamlore.photo.read import Look, look
from seamlore.photo.reading import Reading

# The picture is drawn here, so its truth is exact: custom, no source.
LEFT, TOP, SIDE, GAP = 60, 50, 60, 16
ROWS, COLUMNS = 4, 5
WIDTH, HEIGHT = COLUMNS * (SIDE + GAP) + GAP, ROWS * (SIDE + GAP) + GAP
CORNERS = [
    (LEFT - 0.5, TOP - 0.5),
    (LEFT + WIDTH - 0.5, TOP - 0.5),
    (LEFT + WIDTH - 0.5, TOP + HEIGHT - 0.5),
    (LEFT - 0.5, TOP + HEIGHT - 0.5),
]
PHOTOS = Path(__file__).resolve().parents[3] / "shared" / "photos"


@cache
def photo() -> Photo:
    """Nine patches with sashing all round on a floor; one block inch is ten pixels."""
    rng = np.random.default_rng(5)
    picture = np.full((HEIGHT + 2 * TOP, WIDTH + 2 * LEFT, 3), (90.0, 80, 70))
    picture[TOP : TOP + HEIGHT, LEFT : LEFT + WIDTH] = (170, 60, 60)
    third = SIDE // 3
    for row in range(ROWS):
        for column in range(COLUMNS):
            light, dark = rng.uniform(190, 240, 3), rng.uniform(20, 90, 3)
            for i in range(9):
                y = TOP + GAP + row * (SIDE + GAP) + i // 3 * third
                x = LEFT + GAP + column * (SIDE + GAP) + i % 3 * third
                picture[y : y + third, x : x + third] = light if i % 2 else dark
    noisy = picture + rng.normal(0, 6, (*picture.shape[:2], 1))
    return Photo(np.clip(noisy, 0, 255).astype(np.uint8))


@cache
def read() -> Look:
    return look(photo(), size=(inches(WIDTH / 10), inches(HEIGHT / 10)), corners=CORNERS)


def test_a_quilt_is_measured_in_the_unit_of_its_size() -> None:
    reading = read().reading
    assert (reading.unit, reading.setting, reading.rows, reading.columns) == ("in", "straight", ROWS, COLUMNS)
    assert_allclose(reading.block_size or (), (6.0, 6.0), atol=0.12)
    assert_allclose(reading.sashing or (), (1.6, 1.6), atol=0.12)
    assert reading.edge is not None
    assert_allclose((reading.edge.left, reading.edge.bottom), (1.6, 1.6), atol=0.15)


def test_what_is_read_lies_within_three_of_its_uncertainties() -> None:
    reading = read().reading
    assert reading.uncertainty is not None
    assert reading.block_size is not None
    miss = np.abs(np.subtract(reading.block_size, 6.0)) / reading.uncertainty.block_size
    assert_allclose(np.maximum(miss, 3.0), (3.0, 3.0))


def test_cells_in_inches_begin_after_the_outer_sashing() -> None:
    assert_allclose(read().cells_quilt[0, 0, 0], (1.6, 1.6), atol=0.2)


def test_the_record_survives_a_round_trip_through_json() -> None:
    reading = read().reading
    assert msgspec.json.decode(msgspec.json.encode(reading), type=Reading) == reading


def test_without_a_size_lengths_are_parts_of_the_width() -> None:
    reading = look(photo(), corners=CORNERS, rows=ROWS, columns=COLUMNS).reading
    assert reading.unit == "width"
    assert_allclose(reading.size[0], 1.0)
    assert_allclose((reading.block_size or (0,))[0], SIDE / WIDTH, rtol=0.03)
    assert reading.warnings == ()


def test_centimeters_stay_centimeters() -> None:
    reading = look(photo(), size=(centimeters(100), centimeters(81)), corners=CORNERS, setting="none").reading
    assert reading.unit == "cm"
    assert_allclose(reading.size, (100, 81))
    assert reading.block_size is None


def test_a_size_taped_anew_changes_the_unit_and_looks_for_nothing_again() -> None:
    done: dict[Hashable, object] = {}
    worked: list[Hashable] = []

    def keep(key, work):
        if key not in done:
            worked.append(key)
            done[key] = work()
        return done[key]

    size = inches(WIDTH / 10), inches(HEIGHT / 10)
    first = look(photo(), size=size, corners=CORNERS, keep=keep)
    before = len(worked)
    narrower = look(photo(), size=(size[0] - inches("1/16"), size[1]), corners=CORNERS, keep=keep)
    assert len(worked) == before
    assert first.reading.block_size is not None
    assert narrower.reading.block_size is not None
    share = np.divide(narrower.reading.block_size, first.reading.block_size)
    assert_allclose(share, (1 - 1 / 16 / (WIDTH / 10), 1.0), rtol=1e-9)
    afresh = look(photo(), size=(size[0] - inches("1/16"), size[1]), corners=CORNERS)
    assert narrower.reading == afresh.reading


def test_a_line_outside_the_quilt_is_refused() -> None:
    with pytest.raises(PhotoError, match=r"a row line at 1\.5"):
        look(photo(), corners=CORNERS, row_lines=[1.5])


def test_crossing_corners_are_refused() -> None:
    with pytest.raises(PhotoError):
        look(photo(), corners=[CORNERS[0], CORNERS[2], CORNERS[1], CORNERS[3]])


@pytest.mark.photos
@pytest.mark.skipif(not PHOTOS.is_dir(), reason="the real photographs are not beside the checkout")
def test_a_real_quilt_of_plain_squares_is_counted() -> None:
    # Counted by hand: 4 rows of 5 squares.
    corners = [(20.0, 17.1), (1582.9, 40.0), (1586.3, 1309.4), (9.3, 1313.8)]
    reading = look(open_photo(PHOTOS / "pastel_squares.jpg"), corners=corners).reading
    assert (reading.setting, reading.rows, reading.columns) == ("straight", 4, 5)


def test_lines_that_she_places_stay_where_she_puts_them_and_the_others_follow_the_blocks() -> None:
    # Somewhat off the seams on purpose: her line stands, whatever the blocks say.
    found = read()
    height, width = found.flat.pixels.shape[:2]
    row = (found.grid.row_spans[1][0] + 4) / height
    column = (found.grid.column_spans[1][0] + 4) / width
    size = inches(WIDTH / 10), inches(HEIGHT / 10)
    by_row = look(photo(), size=size, corners=CORNERS, row_lines=[row])
    assert min(abs(line - row * height) for span in by_row.grid.row_spans for line in span) < 1e-6
    assert_allclose(by_row.grid.column_spans, found.grid.column_spans, atol=0.6)
    by_column = look(photo(), size=size, corners=CORNERS, column_lines=[column])
    assert min(abs(line - column * width) for span in by_column.grid.column_spans for line in span) < 1e-6
    assert_allclose(by_column.grid.row_spans, found.grid.row_spans, atol=0.6)


@pytest.mark.parametrize("believed", [True, False])
def test_blocks_that_look_like_four_each_are_read_again_as_four_if_these_are_believed(monkeypatch, believed):
    def blocks(pixels, cells, **given):
        coarse = len(cells) == ROWS
        found = read_blocks(pixels, cells, **given | {"patches": (SQUARE,) if believed and not coarse else None})
        return replace(found, of_quarters=coarse)

    monkeypatch.setattr("seamlore.photo.read.read_blocks", blocks)
    again = look(photo(), corners=CORNERS)
    times = 2 if believed else 1
    assert (again.reading.rows, again.reading.columns) == (times * ROWS, times * COLUMNS)
    assert again.reading.confidence.grid <= read().reading.confidence.grid
    # What she has counted is left alone.
    counted = look(photo(), corners=CORNERS, rows=ROWS).reading
    assert (counted.rows, counted.columns) == (ROWS, COLUMNS)
