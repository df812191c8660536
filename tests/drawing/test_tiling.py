"""Tiles at true scale."""

import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st
from numpy.testing import assert_allclose
from shapely.affinity import rotate, translate

from seamlore.drawing.metrics import width_em
from seamlore.drawing.picture import picture
from seamlore.drawing.shapes import Area, Group, Line, Text, box, walk
from seamlore.drawing.tiling import OVERLAP_MM, tiles
from seamlore.errors import PageError


def _sheet(width, height):
    return picture(width, height, [Area((box(0, 0, width, height),), "#34466b")], title="Sheet", description="d")


# How long one case takes says nothing on a busy machine.
@settings(deadline=None)
@given(st.floats(20, 2000), st.floats(20, 2000), st.floats(60, 400), st.floats(60, 400))
def test_tiles_together_cover_the_picture_and_none_is_larger_than_the_page(width, height, page_w, page_h):
    found = tiles(_sheet(width, height), page_w, page_h, most=10_000)
    assert all(t.picture.width_mm <= page_w + 1e-6 and t.picture.height_mm <= page_h + 1e-6 for t in found)
    rights = {t.column: t.left_mm + t.picture.width_mm for t in found}
    lefts = {t.column: t.left_mm for t in found}
    for column in range(1, max(rights) + 1):
        assert_allclose(rights[column - 1] - lefts[column], OVERLAP_MM, atol=1e-6)
    assert_allclose(max(rights.values()), width, atol=1e-6)
    assert_allclose(max(t.top_mm + t.picture.height_mm for t in found), height, atol=1e-6)


def test_each_tile_shows_the_whole_moved_and_clipped():
    for tile in tiles(_sheet(500, 300), 180, 250):
        outer, inner = [shape for shape in walk(tile.picture.shapes) if isinstance(shape, Group)]
        assert outer.clip == (0, 0, tile.picture.width_mm, tile.picture.height_mm)
        assert (inner.dx, inner.dy, inner.turn_deg) == (-tile.left_mm, -tile.top_mm, 0)
        assert inner.shapes == _sheet(500, 300).shapes


def test_matching_lines_of_neighbors_lie_on_each_other():
    left, right = tiles(_sheet(300, 100), 160, 160)
    assert_allclose(left.left_mm + left.picture.width_mm - OVERLAP_MM / 2, right.left_mm + OVERLAP_MM / 2)


def test_too_many_pages_are_refused_with_the_sizes():
    with pytest.raises(PageError, match=r"2000 by 2000 mm, on 121 pages: at true scale at most 9"):
        tiles(_sheet(2000, 2000), 200, 200)


def test_a_page_smaller_than_the_overlap_is_refused():
    with pytest.raises(PageError, match="choose a larger page"):
        tiles(_sheet(200, 200), 8, 200)


def _marks(tile):
    """Crosses of a tile and its dashed lines, in millimeters of the whole picture."""
    crosses, dashed = set(), set()
    for shape in tile.picture.shapes:
        if isinstance(shape, Line):
            runs = [[(x + tile.left_mm, y + tile.top_mm) for x, y in run] for run in shape.runs]
            if shape.dash_mm:
                dashed |= {tuple((round(x, 6), round(y, 6)) for x, y in run) for run in runs}
            else:
                (left, right), (top, bottom) = runs
                assert_allclose([right[0] - left[0], bottom[1] - top[1]], 5)
                assert_allclose([(left[0] + right[0]) / 2, left[1]], [top[0], (top[1] + bottom[1]) / 2])
                crosses.add((round(top[0], 6), round(left[1], 6)))
    return crosses, dashed


def test_every_cross_on_a_shared_edge_stands_on_both_neighbors():
    found = {(tile.row, tile.column): tile for tile in tiles(_sheet(460, 310), 160, 160)}
    assert sorted(found) == [(row, column) for row in range(2) for column in range(3)]
    for (row, column), tile in found.items():
        assert (tile.left_mm, tile.top_mm) == (150.0 * column, 150.0 * row)
        mine, lines = _marks(tile)
        right, below = found.get((row, column + 1)), found.get((row + 1, column))
        # The lines run in the middle of what two tiles share, 5 mm from the edge of each.
        ends_x, ends_y = tile.left_mm + tile.picture.width_mm, tile.top_mm + tile.picture.height_mm
        upright = {x for (x, _), (end, _) in lines if x == end}
        lying = {y for (_, y), (_, end) in lines if y == end}
        assert upright == {x for x, there in ((tile.left_mm + 5, column > 0), (ends_x - 5, column < 2)) if there}
        assert lying == {y for y, there in ((tile.top_mm + 5, row > 0), (ends_y - 5, row < 1)) if there}
        for line in lines:
            (x0, y0), (x1, y1) = line
            assert (y0, y1) == (tile.top_mm, ends_y) if x0 == x1 else (x0, x1) == (tile.left_mm, ends_x)
        for neighbor, on in (
            (right, lambda at, e=ends_x: at[0] == e - 5),
            (below, lambda at, e=ends_y: at[1] == e - 5),
        ):
            if neighbor is not None:
                shared = {at for at in mine if on(at)}
                assert len(shared) == 2
                assert shared <= _marks(neighbor)[0]
    # Two to each seam, two overlaps from the corners.
    assert {at for at in _marks(found[0, 0])[0] if at[0] == 155} == {(155.0, 20.0), (155.0, 140.0)}


def test_a_narrow_strip_has_its_cross_in_its_middle():
    left, right = tiles(_sheet(300, 30), 160, 160)
    assert {y for _, y in _marks(left)[0]} == {15.0}
    assert _marks(left)[0] == _marks(right)[0] == {(150.0, 15.0)}


def test_tiles_are_numbered_by_rows():
    names = [tile.picture.title for tile in tiles(_sheet(400, 300), 160, 160)]
    assert names == [f"Sheet, part {number} of 6" for number in range(1, 7)]
    for tile in tiles(_sheet(400, 300), 160, 160):
        *letters, label = [shape for shape in tile.picture.shapes if isinstance(shape, Text)]
        assert label.words == tile.picture.title
        assert all(len(each.words) == 1 for each in letters)
        assert 5 < label.x < 40
        assert 5 < label.y < 20


@pytest.mark.parametrize(("width", "height"), [(160, 160), (160, 20), (20, 160)])
def test_what_just_fits_is_one_tile_without_marks(width, height):
    (only,) = tiles(_sheet(width, height), 160, 160)
    assert only.picture == _sheet(width, height)
    assert (only.row, only.column, only.left_mm, only.top_mm) == (0, 0, 0.0, 0.0)


def test_as_many_tiles_as_are_allowed_are_printed():
    assert [len(tiles(_sheet(*size), 160, 160)) for size in ((160.01, 20), (20, 160.01), (160, 310.01))] == [2, 2, 3]
    # 160 mm pages that share 10 mm: two hold 310 mm and no more.
    assert len(tiles(_sheet(310, 310), 160, 160, most=4)) == 4
    with pytest.raises(PageError, match="on 6 pages"):
        tiles(_sheet(310.01, 310), 160, 160, most=4)
    with pytest.raises(PageError, match="repeat 10 mm"):
        tiles(_sheet(310, 310), 10, 160)
    assert [tile.left_mm for tile in tiles(_sheet(300, 100), 160, 160, overlap_mm=20)] == [0.0, 140.0]
    assert [tile.left_mm for tile in tiles(_sheet(280, 100), 160, 160, overlap_mm=20)] == [0.0, 130.0]


@pytest.mark.parametrize("width", [160.01, 190, 311, 440])
def test_no_tile_is_a_sliver(width):
    sizes = {round(tile.picture.width_mm, 6) for tile in tiles(_sheet(width, 100), 160, 160)}
    assert len(sizes) == 1


def test_where_nothing_is_drawn_no_page_is_printed_and_none_is_counted():
    whole = tiles(_sheet(460, 310), 160, 160)
    found = tiles(_sheet(460, 310), 160, 160, drawn_in=lambda box: box[:2] != (300.0, 150.0))
    assert [(tile.row, tile.column) for tile in whole][:-1] == [(tile.row, tile.column) for tile in found]
    assert found[0].picture.title == "Sheet, part 1 of 5"
    # Nor is a line drawn where no neighbor would be glued.
    assert {x for (x, _), (end, _) in _marks(found[-1])[1] if x == end} == {155.0}


def test_each_seam_has_a_letter_of_its_own_on_both_sides():
    seen = {}
    for tile in tiles(_sheet(460, 310), 160, 160):
        for shape in tile.picture.shapes:
            if isinstance(shape, Text) and len(shape.words) == 1:
                spot = round(shape.x + tile.left_mm, 6), round(shape.y + tile.top_mm, 6)
                seen.setdefault(shape.words, []).append(spot)
    # Three columns and two rows: four seams upright, three lying.
    assert len(seen) == 7
    assert all(len(spots) == 2 and spots[0] == spots[1] for spots in seen.values())


def test_the_name_of_a_tile_stands_clear_of_what_is_drawn():
    # Lines from edge to edge where the name would stand first, and one upright through all of it.
    lines = Line((((0.0, 9.0), (300.0, 9.0)), ((0.0, 14.0), (300.0, 14.0)), ((40.0, 0.0), (40.0, 100.0))), "#000000")
    turned = Group((lines,), dx=1.0, turn_deg=15.0)
    for tile in tiles(picture(300, 100, [turned], title="Crossed", description="Crossed."), 160, 160):
        (name,) = (each for each in walk(tile.picture.shapes) if isinstance(each, Text) and "part" in each.words)
        long = width_em(name.words) * name.size_pt * 25.4 / 72
        words = shapely.box(name.x, name.y - 2, name.x + long, name.y)
        drawn = rotate(shapely.MultiLineString(lines.runs), 15.0, origin=(0, 0))
        assert words.distance(translate(drawn, 1.0 - tile.left_mm, -tile.top_mm)) > 0.5
        crosses = [each for each in walk(tile.picture.shapes) if isinstance(each, Line) and len(each.runs) == 2]
        assert len(crosses) == 2
        assert all(words.distance(shapely.MultiLineString(each.runs)) > 0.5 for each in crosses)


def test_crosses_and_letters_of_a_seam_keep_clear_of_words():
    """A number may stand on a seam; what the sheets are glued by stands beside it, at the same place on both."""
    seam = 150.0
    words = [Text(seam, y, "14", 11, "middle", True) for y in (20.0, 27.0, 45.0, 78.0)]
    wide = picture(300, 100, [Group(tuple(words), dx=0.0)], title="Strip", description="A strip.")
    bare = picture(300, 100, [], title="Strip", description="A strip.")

    def marks(given):
        for tile in tiles(given, 160, 160):
            letter = next(each for each in tile.picture.shapes if isinstance(each, Text) and each.words == "a")
            crosses = [
                each.runs[0][0] for each in tile.picture.shapes if isinstance(each, Line) and len(each.runs) == 2
            ]
            yield letter.y, *(y for _, y in crosses)

    assert set(marks(bare)) == {(26.0, 20.0, 80.0)}
    (moved,) = set(marks(wide))
    assert len(moved) == 3
    assert all(abs(y - each.y) > 4 for y in moved for each in words)
