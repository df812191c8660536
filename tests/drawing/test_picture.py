"""The picture model."""

import pytest

from seamlore.drawing.picture import picture
from seamlore.drawing.shapes import (
    Area,
    Group,
    Image,
    ImageFile,
    Line,
    Text,
    box,
    moved,
    ring,
    walk,
)
from seamlore.errors import ShapeError


def test_pictures_drawn_alike_are_equal_values():
    first, second = (picture(5, 5, [Area((box(0, 0, 1, 1),), "#112233")], title="t", description="d") for _ in "ab")
    assert first == second
    assert hash(first) == hash(second)


def test_a_color_that_is_none_is_refused():
    with pytest.raises(ShapeError, match='"red" is not a color'):
        picture(1, 1, [Area((box(0, 0, 1, 1),), "red")], title="t", description="d")


def test_a_color_inside_a_group_is_looked_at_too():
    hidden = Group((Text(0, 0, "x", fill="#ABCDEF"),))
    with pytest.raises(ShapeError, match="#ABCDEF"):
        picture(1, 1, [hidden], title="t", description="d")


def test_a_corner_that_is_not_a_number_is_refused():
    broken = Line((ring([(0, 0), (float("nan"), 1)]),), "#000000")
    with pytest.raises(ShapeError, match="not finite"):
        picture(1, 1, [broken], title="t", description="d")


def test_a_picture_without_a_description_is_refused():
    with pytest.raises(ShapeError, match="says what it shows"):
        picture(1, 1, [], title="t", description=" ")


def test_each_image_file_is_listed_once():
    file = ImageFile("a.jpg", "image/jpeg", b"\xff\xd8")
    twice = [Image(file, 0, 0, 1, 1), moved([Image(file, 0, 0, 1, 1)], 2, 0)]
    drawn = picture(5, 5, twice, title="t", description="d")
    assert drawn.images == (file,)
    assert sum(isinstance(shape, Image) for shape in walk(drawn.shapes)) == 2
