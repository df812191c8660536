"""What a cutting list, a backing and a binding say and allow: which way a diagonal runs, whose seam is taken."""

import pytest

from seamlore.draft.pieces import pieces
from seamlore.draft.quilt import Sashing
from seamlore.draft.repeated import repeated
from seamlore.draft.text.notation import read_block
from seamlore.lengths import inches
from seamlore.making.cutting import cutting_list
from seamlore.making.finish.backing import backing
from seamlore.making.finish.binding import straight_binding
from seamlore.making.listing import record
from seamlore.making.plan import plan

QUARTER = inches("1/4")


@pytest.mark.parametrize(
    ("halves", "rest", "way"),
    [
        # Geometry: the right angle at the lower left of a rectangle that lies leaves a seam that falls to the right.
        (["0,0 2,1 0,1", "0,0 2,0 2,1"], "0,1 2,1 2,2 0,2", "from upper left to lower right"),
        (["0,0 2,0 0,1", "2,0 2,1 0,1"], "0,1 2,1 2,2 0,2", "from lower left to upper right"),
        # One that stands is laid down by a quarter turn: what falls to the right then rises.
        (["0,0 1,2 0,2", "0,0 1,0 1,2"], "1,0 2,0 2,2 1,2", "from lower left to upper right"),
    ],
)
def test_half_rectangles_are_cut_along_the_diagonal_that_their_seam_runs(halves, rest, way):
    drawn = "\n".join(f"patch {letter} {ring}" for letter, ring in zip("AAB", [*halves, rest], strict=True))
    block = read_block(f"block Halves\nA light\nB dark\ndivisions 2\n\n{drawn}")
    found = cutting_list(pieces(repeated("q", block, inches(8), inches(8), 1, 1)), QUARTER)
    said = [cut.how for cut in found if cut.shape == "half-rectangle triangle"]
    assert said
    assert all(f"long side across, right side up, once on the diagonal {way}" in each for each in said)


def test_a_fabric_of_blocks_and_sashing_stands_with_the_blocks():
    block = read_block("block Two\nA light\nB dark\n\nA B\nB A")
    worn = {"A": "madder", "B": "butternut", "sashing": "madder"}
    quilt = repeated("q", block, inches(6), inches(6), 2, 2, Sashing(inches(2), inches(2)), fabrics=worn)
    assert list(dict.fromkeys(cut.fabric for cut in cutting_list(pieces(quilt), QUARTER))) == ["madder", "butternut"]


def test_one_strip_is_no_strips():
    one = repeated("q", read_block("block Nine\nA light\nB dark\n\nB A B\nA B A\nB A B"), inches(9), inches(9), 1, 2)
    said = {str(strips).split(" across")[0] for need in plan(one).fabrics for strips in need.strips}
    assert said == {"cut 1 strip 3 1/2 in wide"}
    two = repeated("q", one.kinds[0].block, inches(9), inches(9), 2, 2)
    light = next(need for need in plan(two).fabrics if need.fabric == "Fabric A")
    assert [str(each) for each in light.strips] == ["cut 2 strips 3 1/2 in wide across the fabric, 12 from each"]


def test_a_backing_takes_the_seam_that_it_is_given():
    # By hand: 2 panels of 42 in less a seam of 2 x 2 in are 80 in, which is just enough; less 2 x 2 1/8 in they are not.
    assert backing(inches(72), inches(92), inches(42), seam=inches(2)).panels == 2
    assert backing(inches(72), inches(92), inches(42), seam=inches("17/8")).panels == 3
    assert str(backing(inches(30), inches(40), inches(42))).startswith("one piece of 48 in: 1 3/8 yd")


def test_a_binding_may_be_an_inch_wide():
    # A single binding of 1 in is common (common practice, no source): four seam allowances of 1/4 in.
    assert straight_binding(inches(40), inches(40), inches(42), cut_width=inches(1)).cut_width == inches(1)


def test_the_record_says_how_the_edge_is_bound():
    quilt = repeated("q", read_block("block Four\nA light\nB dark\n\nA B\nB A"), inches(8), inches(8), 2, 2)
    made = record(plan(quilt)).edge_finish
    assert (made.kind, made.cut_width) == ("straight", 2.5)
