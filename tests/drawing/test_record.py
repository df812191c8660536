"""The written record of a picture."""

from seamlore.drawing.picture import picture
from seamlore.drawing.record import record
from seamlore.drawing.shapes import Area, Image, ImageFile, Line, Text, box, moved


def _drawn(*shapes):
    return record(picture(10, 10, shapes, title="t", description="d"))


def test_each_call_is_one_line_and_groups_are_indented():
    lines = _drawn(
        Area((box(0, 0, 1, 1),), "#112233", "#000000", 0.4, (1, 2)),
        moved([Line((((0, 0), (1, 1)),), "#000000")], 2, 3, name="inner"),
        Text(1, 2, "9 1/2 in", 8, "end", weight="bold"),
    ).splitlines()[3:]
    assert lines == [
        "area fill #112233 stroke #000000 0.4mm dash 1 2 | 0,0 1,0 1,1 0,1",
        "group inner moved 2,3",
        "  line stroke #000000 0.2mm | 0,0 1,1",
        "text 1,2 end 8pt #000000 bold | 9 1/2 in",
    ]


def test_another_photograph_under_the_same_name_is_told_apart():
    first, second = (_drawn(Image(ImageFile("a", "image/png", data), 0, 0, 1, 1)) for data in (b"1", b"2"))
    assert first != second
