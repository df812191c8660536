"""How many seams new sashing, borders and setting triangles take."""

from collections import Counter

from seamlore.draft.catalogue import find
from seamlore.draft.repeated import repeated
from seamlore.draft.setting.setting import OnPoint
from seamlore.lengths import inches
from seamlore.saving.resetting import opened
from seamlore.steps.decide.ways import sewn_in


def test_a_side_triangle_is_sewn_by_both_legs_and_a_corner_by_its_long_side():
    """2 x 2 blocks of 8 in on point, one between them, sashing of 1 in: 4 side triangles with legs of 9 in, 4 corners of 8 in."""
    old = repeated("q", find("shoo fly"), inches(8), inches(8), 2, 2, setting=OnPoint())
    found = opened(old, inches(0), inches(0), inches("1/4"), inches(42), sashing=inches(1))
    made = Counter()
    for need in found.fabrics:
        for cut in need.cuts:
            count, long_in = sewn_in(cut)
            made[cut.shape, round(long_in, 3)] += count
    assert {key: count for key, count in made.items() if "triangle" in key[0]} == {
        ("quarter-square triangle", 9.0): 8,
        ("half-square triangle", 8.0): 4,
    }
