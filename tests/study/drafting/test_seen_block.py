"""The block seen on a photograph, drawn exactly."""

from fractions import Fraction

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from seamlore.draft.text.notation import read_block
from seamlore.errors import ShapeError
from seamlore.photo.reading import BlockAt, Reading, SeenBlock, SeenFabric, SeenPatch
from seamlore.study.seen_block import exact_block

SHOO_FLY = read_block("block Shoo Fly\nA light\nB dark\n\nA/B A A\\B\nA B A\nA\\B A A/B")


def seen(block, shake=0.0, seed=0):
    """A drawn block as a photograph would give it: each corner a little off."""
    rng = np.random.default_rng(seed)
    return SeenBlock(
        divisions=block.divisions,
        patches=tuple(
            SeenPatch(
                outline=tuple(
                    (x + rng.uniform(-shake, shake), y + rng.uniform(-shake, shake)) for x, y in each.points
                ),
                place=each.place,
                value=block.places[each.place].value,
            )
            for each in block.patches
        ),
    )


@settings(max_examples=25, deadline=None)
@given(st.integers(0, 10**6))
def test_a_block_seen_a_little_crooked_is_drawn_exactly(seed):
    drawn = exact_block(seen(SHOO_FLY, 0.05, seed))
    assert {each.outline for each in drawn.patches} == {each.outline for each in SHOO_FLY.patches}
    assert drawn.places == SHOO_FLY.places


def test_corners_may_lie_half_way_between_divisions():
    hourglass = read_block(
        "block Hourglass\nA dark\nB light\ndivisions 1\n\npatch A 0,0 1,0 0.5,0.5\n"
        "patch B 1,0 1,1 0.5,0.5\npatch A 1,1 0,1 0.5,0.5\npatch B 0,1 0,0 0.5,0.5"
    )
    assert exact_block(seen(hourglass, 0.02)).patches == hourglass.patches


def test_a_block_with_a_gap_is_refused_with_its_place():
    whole = seen(SHOO_FLY)
    short = SeenBlock(divisions=3, patches=whole.patches[1:])
    with pytest.raises(ShapeError, match=r"the block on the photograph.*name the block or draw it by hand"):
        exact_block(short)


def test_a_corner_on_no_line_is_refused():
    patch = SeenPatch(outline=((0, 0), (0.73, 0), (0.73, 1), (0, 1)), place="A", value="dark")
    rest = SeenPatch(outline=((0.73, 0), (1, 0), (1, 1), (0.73, 1)), place="B", value="light")
    with pytest.raises(ShapeError, match=r"a corner at 0\.730 of the side"):
        exact_block(SeenBlock(divisions=1, patches=(patch, rest)))


def test_a_place_of_many_fabrics_is_scrappy():
    block = seen(SHOO_FLY)
    dark = [index for index, each in enumerate(block.patches) if each.place == "B"]
    fabrics = tuple(
        SeenFabric(id=f"f{column}", srgb="#203060", value="dark", patches=((0, column, dark[0]),))
        for column in range(3)
    )
    reading = Reading(
        photo_size=(9, 9),
        corners=((0, 0), (9, 0), (9, 9), (0, 9)),
        corners_from="given",
        unit="in",
        size=(20, 20),
        setting="straight",
        blocks=tuple(BlockAt(row=0, column=column, kind=0) for column in range(3)),
        fabrics=fabrics,
    )
    places = exact_block(block, reading=reading).places
    assert places["B"].scrappy
    assert not places["A"].scrappy
    # Fabrics of blocks of another kind say nothing of this one.
    assert not exact_block(block, reading=reading, kind=1).places["B"].scrappy


def told(*outlines, divisions=24):
    patches = tuple(
        SeenPatch(outline=each, place=place, value="dark") for each, place in zip(outlines, "ABCDEFG", strict=False)
    )
    return SeenBlock(divisions=divisions, patches=patches)


@pytest.mark.parametrize("across", [0.3, 0.47, 0.81])
def test_a_seam_that_ends_on_a_slanted_one_ends_on_its_very_line(across):
    there = (across, 0.2 + 0.6 * across)
    drawn = exact_block(
        told(
            ((0, 0), (across, 0), there, (0, 0.2)),
            ((across, 0), (1, 0), (1, 0.8), there),
            ((0, 0.2), (1, 0.8), (1, 1), (0, 1)),
        )
    )
    assert sum(each.area for each in drawn.patches) == 1
    # Exactly on the line from 5 to 19 of 24 divisions: computed here, no source.
    ends = {corner for each in drawn.patches for corner in each.outline if 0 < corner[0] < 1 and corner[1]}
    assert [y - Fraction(5, 24) - Fraction(14, 24) * x for x, y in ends] == [0]


@pytest.mark.parametrize("first", range(5))
def test_seams_that_end_on_each_other_in_a_ring_are_drawn(first):
    # Each of four strips round the middle ends on the next; the corners lie beside the divisions. Whichever comes first.
    a, b, c, d = (0.31, 0.33), (0.68, 0.31), (0.7, 0.67), (0.33, 0.69)
    outlines = [
        (a, b, c, d),
        ((0, 0), (1, 0), (1, 0.29), b, a),
        ((1, 0.29), (1, 1), (0.72, 1), c, b),
        ((0.72, 1), (0, 1), (0, 0.71), d, c),
        ((0, 0.71), (0, 0), a, d),
    ]
    drawn = exact_block(told(*outlines[first:], *outlines[:first]))
    assert len(drawn.patches) == 5
    assert sum(each.area for each in drawn.patches) == 1
    corners = {(float(x), float(y)) for each in drawn.patches for x, y in each.outline}
    assert all(min(np.hypot(x - u, y - v) for u, v in corners) < 1 / 48 for x, y in (a, b, c, d))


def test_corners_that_are_one_on_the_divisions_are_drawn_as_one():
    drawn = exact_block(
        told(((0, 0), (1, 0), (0.995, 0.004), (0, 0.997)), ((1, 0), (1, 1), (0, 1), (0, 0.997), (0.995, 0.004)))
    )
    assert sorted(each.area for each in drawn.patches) == [Fraction(1, 2), Fraction(1, 2)]


def _meet(one, other):
    """Where two lines meet: each through two points."""
    (a, b), (c, d) = one, other
    matrix = np.array([[b[0] - a[0], c[0] - d[0]], [b[1] - a[1], c[1] - d[1]]])
    along, _ = np.linalg.solve(matrix, np.subtract(c, a))
    return tuple(np.add(a, along * np.subtract(b, a)).tolist())


@pytest.mark.parametrize("lean", [1, 2, -2])
def test_slanted_seams_that_end_on_each_other_in_a_ring_are_drawn_through_all_their_ends(lean):
    # Four seams, each from a side of the block to the next one's line.
    starts = [(0, 7 / 24), (18 / 24, 0), (1, 17 / 24), (6 / 24, 1)]
    runs = [(24, lean), (-lean, 24), (-24, -lean), (lean, -24)]
    lines = [
        (start, tuple(np.add(start, np.array(run) / 24).tolist())) for start, run in zip(starts, runs, strict=True)
    ]
    ends = [_meet(lines[k], lines[(k + 1) % 4]) for k in range(4)]
    corners = [(1, 0), (1, 1), (0, 1), (0, 0)]
    # The seam that ends on another one makes no corner there.
    rings = [(corners[(k + 3) % 4], starts[(k + 1) % 4], ends[k], starts[k]) for k in range(4)]
    drawn = exact_block(told(tuple(ends), *rings))
    assert sum(each.area for each in drawn.patches) == 1
    # Three corners of the ring lie exactly where they were seen to, from the start of their own seam to the next line.
    at = {corner for each in drawn.patches for corner in each.outline if 0 < corner[0] < 1 and 0 < corner[1] < 1}
    off = [min(np.hypot(*np.subtract(end, [float(x) for x in one])) for one in at) for end in ends]
    assert (len(at), max(off) < 1 / 40) == (4, True)
