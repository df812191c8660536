"""Units of a block, each kind shown with the rest dimmed."""

from numpy.testing import assert_allclose

from seamlore.draft.catalogue import find
from seamlore.draft.units import units
from seamlore.drawing.shapes import Area, Group, walk
from seamlore.pictures.units import units_picture
from seamlore.plane.outline import area, as_outline


def test_each_kind_of_unit_is_shown_once_and_its_area_is_not_dimmed():
    block = find("jacob's ladder")
    drawn = units_picture(block, units(block), 120)
    shown = [group for group in drawn.shapes if isinstance(group, Group) and group.name]
    assert [group.name for group in shown] == ["four patch", "half-square triangle"]
    # Five ninths of the block are four patches, four ninths half-square triangles (counted by hand).
    for group, ninths in zip(shown, (5, 4), strict=True):
        shadows = [each for each in walk(group.shapes) if isinstance(each, Group) and each.opacity < 1]
        dimmed = {id(each) for shadow in shadows for each in walk(shadow.shapes)}
        clear = [
            each for each in walk(group.shapes) if isinstance(each, Area) and each.fill and id(each) not in dimmed
        ]
        painted = sum(area(as_outline(ring)) for each in clear for ring in each.rings)
        assert_allclose(painted, ninths / 9 * 40 * 40)
