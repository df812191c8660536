import cv2
import numpy as np
import pytest
from numpy.testing import assert_allclose

from seamlore.draft.block import Block
from seamlore.draft.text.notation import read_block
from seamlore.errors import MeasureError
from seamlore.photo.block.patches import BlockReading, read_blocks
from seamlore.plane.cover import check_cover

# The quilts are drawn here from exact blocks with printed fabrics, so their truth is exact: custom, no source.
SIDE = 80
UNIT = np.array([[0, 0], [1, 0], [1, 1], [0, 1]], dtype=np.float64)
SHOO_FLY = read_block("block Shoo Fly\nA light\nB dark\n\nA/B A A\\B\nA B A\nB\\A A B/A")
BIRDS = read_block("block One Bird\nA light\nB dark\n\nA A A\nA B/A A\nA A B")
GEESE = read_block(
    "block Two Geese\nA light\nB dark\ndivisions 2\n\npatch B 0,1 1,0 2,1\npatch A 0,0 1,0 0,1\npatch A 1,0 2,0 2,1\n"
    "patch B 0,2 1,1 2,2\npatch A 0,1 1,1 0,2\npatch A 1,1 2,1 2,2"
)
FLAT_GEESE = read_block(
    "block Four Geese\nA light\nB dark\ndivisions 4\n\n"
    + "\n".join(
        f"patch B 0,{y + 1} 2,{y} 4,{y + 1}\npatch A 0,{y} 2,{y} 0,{y + 1}\npatch A 2,{y} 4,{y} 4,{y + 1}"
        for y in range(4)
    )
)


def printed(rng: np.random.Generator, value: str) -> np.ndarray:
    """A cotton of one hue with dots of another lightness."""
    low, high = {"light": (170, 235), "medium": (110, 160), "dark": (20, 90)}[value]
    y, x = np.mgrid[:SIDE, :SIDE] + rng.integers(0, 9, (2, 1, 1))
    period = rng.integers(4, 9)
    dots = np.hypot(x % period - period / 2, y % period - period / 2) < period / 4
    return np.clip(
        rng.uniform(low, high, 3) + dots[..., None] * rng.uniform(-30, 30) + rng.normal(0, 4, (SIDE, SIDE, 1)), 0, 255
    )


def quilt(
    block: Block, rows: int, columns: int, seed: int = 1, lies: dict[tuple[int, int], tuple[int, bool]] | None = None
) -> tuple[np.ndarray, np.ndarray]:
    """A scrappy quilt of one block, and the corners of its blocks a little off."""
    rng = np.random.default_rng(seed)
    pixels = np.zeros((rows * SIDE, columns * SIDE, 3))
    for row in range(rows):
        for column in range(columns):
            turn, mirrored = (lies or {}).get((row, column), (0, False))
            cloths = {letter: printed(rng, place.value) for letter, place in block.places.items()}
            part = pixels[row * SIDE : (row + 1) * SIDE, column * SIDE : (column + 1) * SIDE]
            for patch in block.moved(turn, mirrored=mirrored).patches:
                mask = np.zeros((SIDE, SIDE), np.uint8)
                cv2.fillPoly(mask, [np.rint((patch.points * SIDE - 0.5) * 16).astype(np.int32)], 1, shift=4)
                part[mask > 0] = cloths[patch.place][mask > 0]
    row_at, column_at = np.indices((rows, columns))
    cells = (np.stack([column_at, row_at], axis=-1)[:, :, None] + UNIT) * SIDE - 0.5
    cells = cells + rng.normal(0, 0.6, (rows, columns, 1, 2))
    return cv2.GaussianBlur(pixels, (0, 0), 0.7).astype(np.uint8), cells


def seams(block: Block) -> set[tuple[tuple[float, float], ...]]:
    """Outlines as sets of corners."""
    return {
        tuple(sorted((round(float(x), 4), round(float(y), 4)) for x, y in patch.outline)) for patch in block.patches
    }


def found_outlines(reading: BlockReading) -> set[tuple[tuple[float, float], ...]]:
    assert reading.block is not None
    return {tuple(sorted((round(x, 4), round(y, 4)) for x, y in patch.outline)) for patch in reading.block.patches}


@pytest.mark.parametrize("block", [SHOO_FLY, GEESE, FLAT_GEESE], ids=lambda block: block.name)
def test_every_visible_patch_of_a_scrappy_quilt_is_read_exactly(block: Block) -> None:
    pixels, cells = quilt(block, 4, 5)
    reading = read_blocks(pixels, cells, px_per_unit=10)
    # Neighbors of one fabric show no seam, so whole patches between light and dark are what can be asked for.
    dark = {
        outline
        for outline, patch in zip(
            [tuple(sorted((round(float(x), 4), round(float(y), 4)) for x, y in p.outline)) for p in block.patches],
            block.patches,
            strict=True,
        )
        if patch.place == "B"
    }
    assert dark <= found_outlines(reading)
    assert reading.block is not None
    assert reading.block.divisions == block.divisions
    assert reading.confidence > 0.8


def test_the_patches_found_cover_the_block_without_gap_or_overlap() -> None:
    pixels, cells = quilt(SHOO_FLY, 3, 4)
    reading = read_blocks(pixels, cells, px_per_unit=10)
    assert reading.block is not None
    # Outside check: the cover test of the plane room, made for drafts.
    outlines = [np.array(patch.outline) for patch in reading.block.patches]
    check_cover(UNIT, outlines, [str(number) for number in range(len(outlines))])


def test_light_and_dark_places_are_told() -> None:
    pixels, cells = quilt(SHOO_FLY, 4, 4)
    block = read_blocks(pixels, cells, px_per_unit=10).block
    assert block is not None
    center = next(
        patch for patch in block.patches if min(x for x, _ in patch.outline) > 0.3 and len(patch.outline) == 4
    )
    assert center.value == "dark"
    assert {patch.place for patch in block.patches if patch.value == "dark"} == {center.place}


def test_turned_and_mirrored_blocks_are_reported_as_they_lie() -> None:
    lies = {(0, 1): (90, False), (2, 3): (180, False), (3, 0): (0, True)}
    pixels, cells = quilt(BIRDS, 4, 5, lies=lies)
    reading = read_blocks(pixels, cells, px_per_unit=10)
    found = {(each.row, each.column): (each.turn, each.mirrored) for each in reading.blocks}
    # The block is its own mirror image about a diagonal, so mirrored it looks turned: the smallest turn is told.
    assert found[0, 1] == (90, False)
    assert found[2, 3] == (180, False)
    assert found[3, 0] == (90, False)
    assert sum(lie != (0, False) for lie in found.values()) == 3


def test_a_block_pieced_otherwise_differs() -> None:
    pixels, cells = quilt(SHOO_FLY, 4, 5)
    other, _ = quilt(FLAT_GEESE, 1, 1, seed=9)
    pixels[SIDE : 2 * SIDE, 2 * SIDE : 3 * SIDE] = other
    reading = read_blocks(pixels, cells, px_per_unit=10)
    assert [(each.row, each.column) for each in reading.blocks if each.differs or each.kind != 0] == [(1, 2)]


def test_plain_blocks_among_pieced_ones_do_not_hide_the_piecing() -> None:
    pixels, cells = quilt(SHOO_FLY, 5, 5)
    plain = printed(np.random.default_rng(3), "medium")
    for row in range(5):
        for column in range(1 - row % 2, 5, 2):
            pixels[row * SIDE : (row + 1) * SIDE, column * SIDE : (column + 1) * SIDE] = plain
    reading = read_blocks(pixels, cells, px_per_unit=10)
    plain, pieced = (
        next(n for n, k in enumerate(reading.kinds) if (len(k.patches) == 1) is want) for want in (True, False)
    )
    assert reading.kinds[pieced].divisions == 3
    told = {
        each.kind: {(at.row + at.column) % 2 for at in reading.blocks if at.kind == each.kind}
        for each in reading.blocks
    }
    assert told[plain] == {1}
    assert told[pieced] == {0}
    assert reading.kinds[plain].count == 12
    # Every patch of every block is of one fabric, and is addressed by the block that it lies in.
    cut = [at for fabric in reading.fabrics for at in fabric.patches]
    there = {
        (at.row, at.column, patch) for at in reading.blocks for patch in range(len(reading.kinds[at.kind].patches))
    }
    assert len(cut) == len(set(cut))
    assert set(cut) == there


def test_given_patches_are_taken_as_they_are() -> None:
    pixels, cells = quilt(SHOO_FLY, 3, 3)
    halves = (((0.0, 0.0), (0.5, 0.0), (0.5, 1.0), (0.0, 1.0)), ((0.5, 0.0), (1.0, 0.0), (1.0, 1.0), (0.5, 1.0)))
    reading = read_blocks(pixels, cells, px_per_unit=10, patches=halves)
    assert reading.block is not None
    assert tuple(patch.outline for patch in reading.block.patches) == halves
    assert reading.block.divisions == 2
    assert_allclose(reading.confidence, 1.0)


def test_given_divisions_bind_the_outlines() -> None:
    pixels, cells = quilt(SHOO_FLY, 3, 3)
    reading = read_blocks(pixels, cells, px_per_unit=10, divisions=3)
    assert reading.block is not None
    corners = np.array([corner for patch in reading.block.patches for corner in patch.outline])
    assert_allclose(corners * 12, np.rint(corners * 12), atol=1e-9)
    assert reading.block.divisions == 3


def test_blocks_are_set_by_their_own_seams() -> None:
    pixels, cells = quilt(SHOO_FLY, 4, 5)
    rows, columns = np.indices((4, 5))
    drawn = (np.stack([columns, rows], axis=-1)[:, :, None] + UNIT) * SIDE - 0.5
    off = (read_blocks(pixels, cells, px_per_unit=10).cells - drawn).mean(axis=2)
    # All alike may stand off by the half pixel that the drawing rounds seams by, but not one against the other.
    assert (cells - drawn).mean(axis=2).std(axis=(0, 1)).min() > 0.4
    assert off.std(axis=(0, 1)).max() < 0.1
    assert np.abs(off.mean(axis=(0, 1))).max() < 0.5


def test_a_missing_block_is_left_out() -> None:
    pixels, cells = quilt(SHOO_FLY, 3, 3)
    cells[1, 1] = np.nan
    reading = read_blocks(pixels, cells, px_per_unit=10)
    assert len(reading.blocks) == 8
    assert all((row, column) != (1, 1) for fabric in reading.fabrics for row, column, _ in fabric.patches)


def test_a_single_block_is_read_and_the_reading_says_how_little_it_rests_on() -> None:
    pixels, cells = quilt(SHOO_FLY, 1, 1)
    reading = read_blocks(pixels, cells, px_per_unit=10)
    assert reading.block is not None
    assert reading.block.divisions == 3
    assert any("bold print" in warning for warning in reading.warnings)


def test_the_same_picture_is_read_the_same_twice() -> None:
    pixels, cells = quilt(SHOO_FLY, 3, 3)
    one, two = (read_blocks(pixels, cells, px_per_unit=10) for _ in range(2))
    assert one.block == two.block
    assert one.blocks == two.blocks
    assert one.fabrics == two.fabrics


def test_a_grid_without_blocks_is_refused() -> None:
    with pytest.raises(MeasureError, match="0 blocks"):
        read_blocks(np.zeros((40, 40, 3), np.uint8), np.full((2, 2, 4, 2), np.nan), px_per_unit=10)


def test_on_a_doubtful_grid_no_block_is_drawn_and_she_is_told_what_to_do() -> None:
    pixels, cells = quilt(SHOO_FLY, 3, 3)
    reading = read_blocks(pixels, cells, px_per_unit=10, grid_confidence=0.6)
    assert reading.block is None
    assert reading.kinds == ()
    assert reading.fabrics == ()
    assert [each.kind for each in reading.blocks] == [None] * 9
    assert any("count the rows and columns" in warning for warning in reading.warnings)
    # What she says herself is not in doubt.
    assert read_blocks(pixels, cells, px_per_unit=10, grid_confidence=0.6, divisions=3).kinds


def test_four_blocks_turned_round_the_middle_may_be_one_and_are_drawn_once_they_are_counted() -> None:
    block = read_block("block Stair\nA light\nB dark\n\nA A/B\nA B")
    round_the_middle = {(0, 0): (0, False), (0, 1): (90, False), (1, 1): (180, False), (1, 0): (270, False)}
    pixels, cells = quilt(block, 2, 2, lies=round_the_middle)
    doubted = read_blocks(pixels, cells, px_per_unit=10, grid_confidence=0.95)
    assert doubted.kinds == ()
    assert any("or one block?" in warning for warning in doubted.warnings)
    assert read_blocks(pixels, cells, px_per_unit=10).kinds
    # Four that lie alike are four.
    pixels, cells = quilt(block, 2, 2)
    assert read_blocks(pixels, cells, px_per_unit=10, grid_confidence=0.95).kinds


SHOWN = 9  # patches of a Shoo Fly whose light cloth is all one print: seams within it are not seen


def by_turns(plain: bool) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """Three whole rows of four with three blocks between them, of other cloth or like them; laid straight here."""
    pixels, cells = quilt(SHOO_FLY, 5, 4)
    if plain:
        rng = np.random.default_rng(5)
        for row in (1, 3):
            pixels[row * SIDE : (row + 1) * SIDE] = np.tile(printed(rng, "dark"), (1, 4, 1))
    return pixels, cells[::2], cells[1::2, :-1]


def test_plain_blocks_between_the_whole_rows_on_point_are_a_kind_with_their_own_cloth() -> None:
    pixels, cells, between = by_turns(plain=True)
    reading = read_blocks(pixels, cells, px_per_unit=10, between=between)
    assert [(len(kind.patches), kind.count) for kind in reading.kinds] == [(SHOWN, 12), (1, 6)]
    assert [(each.row, each.column) for each in reading.blocks] == [(r, c) for r in range(3) for c in range(4)]
    assert {each.kind for each in reading.blocks} == {0}
    assert reading.between is not None
    assert [(each.row, each.column, each.kind) for each in reading.between] == [
        (r, c, 1) for r in range(2) for c in range(3)
    ]
    whole = [at for fabric in reading.fabrics for at in fabric.patches]
    aside = [at for fabric in reading.fabrics for at in fabric.between]
    assert sorted(whole) == [(r, c, p) for r in range(3) for c in range(4) for p in range(SHOWN)]
    assert sorted(aside) == [(r, c, 0) for r in range(2) for c in range(3)]
    # Rows between have no part in how straight the whole rows lie.
    assert reading.cells.shape == (3, 4, 4, 2)
    assert reading.alignment.shift.shape == (3, 4, 2)


def test_blocks_between_that_are_pieced_like_the_whole_rows_are_of_their_kind() -> None:
    pixels, cells, between = by_turns(plain=False)
    reading = read_blocks(pixels, cells, px_per_unit=10, between=between)
    assert [(len(kind.patches), kind.count) for kind in reading.kinds] == [(SHOWN, 18)]
    assert {each.kind for each in reading.between or ()} == {0}
    assert sum(len(each.between) for each in reading.fabrics) == 6 * SHOWN


def test_when_she_says_how_whole_rows_are_pieced_those_between_are_still_looked_at() -> None:
    pixels, cells, between = by_turns(plain=True)
    reading = read_blocks(pixels, cells, px_per_unit=10, between=between, divisions=3)
    assert [(len(kind.patches), kind.count) for kind in reading.kinds] == [(SHOWN, 12), (1, 6)]


def test_without_rows_between_there_is_no_word_of_them() -> None:
    pixels, cells = quilt(SHOO_FLY, 2, 3)
    assert read_blocks(pixels, cells, px_per_unit=10).between is None
