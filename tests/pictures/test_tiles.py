"""Drawings side by side with their words."""

from numpy.testing import assert_allclose

from seamlore.drawing.shapes import Area, Group, Text, box, walk
from seamlore.pictures.lettering import words_width
from seamlore.pictures.tiles import Tile, tiles, wrap


def square(side, *words):
    return Tile((Area((box(0, 0, side, side),), "#34466b"),), side, side, words or ("square",))


def sheet(*drawn, width=100):
    return tiles(drawn, width, title="Squares", description="Squares.")


def test_drawings_of_one_row_stand_on_one_line():
    big, small = (group for group in sheet(square(30, "big"), square(10, "small")).shapes if group.name)
    assert_allclose(big.dy + 30, small.dy + 10)


def test_nothing_stands_outside_the_sheet():
    drawn = sheet(*[square(22, "a heading of several words", "and a line under it")] * 7)
    for group in drawn.shapes:
        assert isinstance(group, Group)
        for each in walk(group.shapes):
            if isinstance(each, Text):
                assert group.dx + each.x + words_width(each.words, each.size_pt) <= drawn.width_mm
                assert group.dy + each.y <= drawn.height_mm
            elif isinstance(each, Area):
                assert group.dx + 22 <= drawn.width_mm


def test_few_small_drawings_take_less_than_the_room_there_is():
    assert sheet(square(20), square(20), width=180).width_mm < 80


def test_no_word_is_lost_when_a_line_is_wrapped():
    text = "by area: light 39%, dark 20%, value not said 41%"
    lines = wrap(text, 30, 8.5)
    assert " ".join(lines) == text
    assert len(lines) > 1
    assert all(words_width(line, 8.5) <= 30 for line in lines)
