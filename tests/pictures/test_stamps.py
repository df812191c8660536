"""A quilt drawn block by block shows what it shows drawn color by color."""

import re
from collections import Counter

import pytest

from seamlore.draft.border import border
from seamlore.draft.catalogue import find
from seamlore.draft.kinds import NOT_READ, Cell, Kind, Turned
from seamlore.draft.quilt import Quilt, Sashing
from seamlore.draft.repeated import repeated
from seamlore.draft.setting.setting import Cut, OnPoint
from seamlore.draft.where import in_block
from seamlore.drawing.shapes import Area, Group
from seamlore.drawing.svg import to_svg
from seamlore.lengths import inches
from seamlore.pictures.quilts import quilt_picture

BIRDS, STAR = Kind("B", find("birds in the air")), Kind("S", find("ohio star"))
KINDS = (BIRDS, STAR)
NINE = inches(9)
QUILTS = {
    "straight": Quilt(
        "q", KINDS,
        ((Cell("B", Turned(90)), NOT_READ, Cell("S", fabrics={"A": "madder"})), (Cell("S"), Cell("B", Turned(0, True)), Cell("B"))),
        NINE, NINE, Sashing(inches(2), inches(1), cornerstones=True),
        (border(inches(3), left=inches(1)),),
    ),
    "on point": Quilt(
        "q", KINDS, ((Cell("B"), Cell("S", Turned(180))), (NOT_READ,), (Cell("B", Turned(270)), Cell("S"))), NINE, NINE,
        setting=OnPoint(),
    ),
    "cut, oblong": repeated(
        "q", BIRDS.block, NINE, inches(6), 3, 3,
        cut=Cut(inches(2), inches(1), inches(3), inches(2)),
    ),
}  # fmt: skip


def seen(shapes, dx=0.0, dy=0.0):
    """Every painted outline: its cloth, and its corners on the page to a thousandth of a millimeter."""
    for shape in shapes:
        if isinstance(shape, Group):
            yield from seen(shape.shapes, dx + shape.dx, dy + shape.dy)
        elif isinstance(shape, Area) and shape.fill:
            for ring in shape.rings:
                corners = [(round(x + dx, 3) + 0.0, round(y + dy, 3) + 0.0) for x, y in ring]
                first = corners.index(min(corners))
                yield shape.fill, tuple(corners[first:] + corners[:first])


@pytest.mark.parametrize("quilt", QUILTS.values(), ids=QUILTS)
def test_the_same_patches_have_the_same_cloths(quilt):
    single = {in_block(0, 0, 1): "#123456"}
    flat, stamped = (
        Counter(seen(quilt_picture(quilt, 100, 100, patch_cloths=single, by_block=each).shapes))
        for each in (False, True)
    )
    assert stamped == flat
    assert any(cloth == "#123456" for cloth, _ in stamped)


def test_blocks_that_are_alike_are_written_once():
    quilt = repeated("q", STAR.block, NINE, NINE, 9, 9)
    text = to_svg(quilt_picture(quilt, 100, 100, by_block=True), ids="q")
    assert text.count("<use ") == 81
    assert text.count('<g id="q-') == 1
    assert len(text) < len(to_svg(quilt_picture(quilt, 100, 100), ids="q")) / 4


def test_a_drawing_goes_by_one_name_whatever_stands_beside_it():
    both = repeated("q", BIRDS.block, NINE, NINE, 9, 9, every_other=STAR.block)
    one = repeated("q", STAR.block, NINE, NINE, 9, 9)
    cloths = {"A": "#eeeeee", "B": "#222222", "OS A": "#eeeeee", "OS B": "#222222"}
    drawn = [
        dict(
            re.findall(
                r'<g id="(q-[^"]+)">(.*?)</g>', to_svg(quilt_picture(each, 90, 90, cloths, by_block=True), ids="q")
            )
        )
        for each in (both, one)
    ]
    assert [len(each) for each in drawn] == [2, 1]
    assert drawn[1].items() <= drawn[0].items()
