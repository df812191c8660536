"""Scrappy placement in whole quilts: rules kept, counts honest, and the reason when it cannot be."""

from collections import Counter, defaultdict
from itertools import combinations

import numpy as np
import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st

from seamlore.draft.border import border
from seamlore.draft.catalogue import find
from seamlore.draft.cells import with_counts
from seamlore.draft.layout import lay
from seamlore.draft.quilt import Sashing
from seamlore.draft.repeated import repeated
from seamlore.draft.setting.setting import Offset, OnPoint, Strips
from seamlore.draft.text.notation import read_block
from seamlore.draft.touching import neighboring_blocks, touching_pairs
from seamlore.errors import PlanError
from seamlore.lengths import inches
from seamlore.placing.placement import (
    alike_and_touching,
    place_fabrics,
    shares,
)
from seamlore.placing.slots import Cloth
from seamlore.placing.words import PlacementError

NINE = read_block("block Nine Patch\nA dark scrappy\nB light scrappy\n\nA B A\nB A B\nA B A")
BARS = read_block("block Bars\nA dark scrappy\nB dark scrappy\n\nA|B")
KITE = read_block("block Kite\ndivisions 4\nA dark scrappy\nB light\n\npatch A 1,0 4,1 3,4 0,3\npatch B 0,0 1,0 0,3\n"
                  "patch B 1,0 4,0 4,1\npatch B 4,1 4,4 3,4\npatch B 3,4 0,4 0,3")  # fmt: skip


def quilt(block=NINE, rows=4, columns=5, **more):
    return repeated("q", block, inches(6), inches(6), rows, columns, **more)


def cloths(value, count, patches=None, area=None):
    return [Cloth(f"{value} {number}", value, patches, area) for number in range(count)]


SETTINGS = {
    "straight": quilt(),
    "sashing": quilt(sashing=Sashing(inches(1), inches(2), cornerstones=True), borders=(border(inches(2)),)),
    "on point": quilt(setting=OnPoint()),
    "half blocks": quilt(setting=OnPoint("half blocks")),
    "offset": quilt(setting=Offset()),
    "strips on point": quilt(setting=Strips(inches(3), on_point=True)),
    "slanting": quilt(KITE, setting=OnPoint()),
}


@pytest.mark.parametrize("each", SETTINGS.values(), ids=SETTINGS.keys())
def test_touching_pieces_are_those_that_a_geometry_library_finds(each):
    # Oracle: GEOS through shapely; pieces that meet along a line longer than a thousandth of an inch.
    laid = lay(each)
    shapes = [shapely.Polygon(piece.outline) for piece in laid]
    tree = shapely.STRtree([shape.buffer(1e-6) for shape in shapes])
    near = [(one, two) for one, two in tree.query([shape.buffer(1e-6) for shape in shapes]).T.tolist() if one < two]
    found = {
        (one, two)
        for one, two in near
        # Two shapes grown by a millionth overlap in a ribbon along the edge that they share.
        if shapes[one].buffer(1e-6).intersection(shapes[two].buffer(1e-6)).length > 1e-2
    }
    assert set(touching_pairs(laid)) == found


def test_neighboring_blocks_are_counted_across_sashing_and_not_across_corners():
    assert len(neighboring_blocks(SETTINGS["straight"])) == 4 * 4 + 3 * 5
    assert len(neighboring_blocks(SETTINGS["sashing"])) == 4 * 4 + 3 * 5
    # On point every block between touches the four round it.
    assert len(neighboring_blocks(SETTINGS["on point"])) == 4 * 3 * 4
    # Offset: 4 + 5 + 4 + 5 side by side (the cut ones too), and twice 5 between each two rows.
    assert len(neighboring_blocks(SETTINGS["offset"])) == 18 + 3 * 10


def check(placed, of, given):
    amounts = {cloth.name: cloth for cloth in given}
    laid = lay(of)
    used = Counter(name for name in placed.fabrics if name is not None)
    assert placed.used == dict(used)
    for piece, name in zip(laid, placed.fabrics, strict=True):
        scrappy = piece.key in of.places and of.places[piece.key].scrappy
        assert (name is not None) == scrappy
        assert not scrappy or amounts[name].value == of.places[piece.key].value
    assert all(count <= (amounts[name].patches or count) for name, count in used.items())
    assert (shares(placed, of), alike_and_touching(placed, of)) == (placed.shared, placed.touching + placed.together)


@given(st.sampled_from(list(SETTINGS)), st.integers(5, 9), st.integers(4, 9), st.integers(0, 3))
@settings(max_examples=15, deadline=None)
def test_values_stay_right_and_no_fabric_runs_out(name, darks, lights, spare):
    of = SETTINGS[name]
    need = Counter(of.places[piece.key].value for piece in lay(of) if piece.key in of.places)
    given = [
        *cloths("dark", darks, -(-need["dark"] // darks) + spare),
        *cloths("light", lights, -(-need["light"] // lights) + spare),
    ]
    placed = place_fabrics(of, given)
    check(placed, of, given)
    assert placed.bound <= placed.shared


def test_with_enough_fabrics_nothing_touches_and_neighbors_share_nothing():
    of = quilt()
    given = cloths("dark", 10, 10) + cloths("light", 8, 10)
    placed = place_fabrics(of, given)
    check(placed, of, given)
    assert (placed.touching, placed.shared, placed.bound, placed.excess) == (0, 0, 0, 0)
    assert twice_in_a_block(placed, of) == 0


def twice_in_a_block(placement, quilt):
    """Count the pairs of patches within one block that share a fabric."""
    inside = defaultdict(list)
    for piece, fabric in zip(lay(quilt), placement.fabrics, strict=True):
        if fabric is not None and piece.row >= 0:
            inside[piece.row, piece.column].append(fabric)
    return sum(one == two for fabrics in inside.values() for one, two in combinations(fabrics, 2))


def test_the_same_quilt_and_fabrics_give_the_same_placement():
    given = cloths("dark", 7, 15) + cloths("light", 6, 14)
    assert place_fabrics(quilt(), given) == place_fabrics(quilt(), given)


def test_a_fabric_for_each_place_goes_to_all_its_patches():
    of = quilt()
    placed = place_fabrics(of, cloths("dark", 2) + cloths("light", 2), each="place")
    inside = {}
    for piece, name in zip(lay(of), placed.fabrics, strict=True):
        inside.setdefault((piece.row, piece.column, piece.key), set()).add(name)
    assert all(len(names) == 1 for names in inside.values())
    assert (placed.shared, placed.touching) == (0, 0)


def test_a_fabric_comes_twice_in_a_block_only_when_there_are_too_few():
    placed = place_fabrics(quilt(), cloths("dark", 3) + cloths("light", 4))
    assert placed.most == {"light": 1, "dark": 2}
    assert (placed.excess, placed.touching) == (0, 0)


def test_patches_of_one_place_may_touch_in_one_fabric_only_when_each_place_is_to_be_of_one_fabric():
    pair = quilt(read_block("block Pair\nA dark scrappy\n\nA|A"), 1, 1)
    with pytest.raises(
        PlacementError, match="2 dark patches in row 1 column 1: they touch so that the one dark fabric"
    ):
        place_fabrics(pair, cloths("dark", 1))
    placed = place_fabrics(pair, cloths("dark", 1), each="place")
    assert (placed.touching, placed.together) == (0, 1)
    assert "but for 1 pairs within one place" in str(placed)


POSTAGE = read_block("block Stamps\nA dark scrappy\n\n" + "\n".join(["A A A A A A A A"] * 8))


@pytest.mark.parametrize(("count", "each"), [(2, 288), (3, 192), (8, 72), (20, 29)])
def test_of_1104_pairs_of_one_scrappy_place_none_is_alike(count, each):
    # 24 by 24 squares: 2 x 24 x 23 pairs, counted here from where the squares lie alone.
    of = quilt(POSTAGE, 3, 3)
    placed = place_fabrics(of, cloths("dark", count, each))
    at = {
        tuple(np.round(piece.outline.min(axis=0) / 0.75).astype(int).tolist()): name
        for piece, name in zip(lay(of), placed.fabrics, strict=True)
    }
    pairs = [(at[x, y], at[there]) for x, y in at for there in ((x + 1, y), (x, y + 1)) if there in at]
    assert len(pairs) == 1104
    assert placed.touching == sum(one == two for one, two in pairs) == 0


def test_300_of_one_fabric_where_288_can_stand_apart_are_refused_with_the_count():
    of = quilt(POSTAGE, 3, 3)
    with pytest.raises(
        PlacementError, match=r"576 dark patches: at most 288 of them can be of one fabric .* give 564"
    ):
        place_fabrics(of, [Cloth("red", "dark", 300), Cloth("blue", "dark", 276)])
    assert place_fabrics(of, [Cloth("red", "dark", 300), Cloth("blue", "dark", 288)]).touching == 0


def can_be(rows, columns, amounts):
    """Outside oracle: whether squares in rows and columns can be filled from amounts, neighbors apart; by trying all."""

    def fill(at, left, so_far):
        if at == rows * columns:
            return True
        for fabric, amount in enumerate(left):
            above, before = at >= columns and so_far[at - columns], at % columns and so_far[at - 1]
            if amount and fabric + 1 not in (above, before):
                rest = (*left[:fabric], amount - 1, *left[fabric + 1 :])
                if fill(at + 1, rest, (*so_far, fabric + 1)):
                    return True
        return False

    return fill(0, tuple(amounts), ())


@given(st.sampled_from([(2, 3), (3, 3), (3, 4), (4, 4)]), st.lists(st.integers(1, 9), min_size=1, max_size=4))
@settings(max_examples=60, deadline=None)
def test_squares_of_one_place_are_placed_just_when_trying_all_ways_finds_one(shape, amounts):
    # One block of one place, wider than high or not: two blocks side by side give what is not square.
    rows, columns = shape
    block = read_block("block All\nA dark scrappy\n\n" + "\n".join([" ".join("A" * columns)] * rows))
    given = [Cloth(f"f{number}", "dark", amount) for number, amount in enumerate(amounts)]
    try:
        placed = place_fabrics(quilt(block, 1, 1), given)
    except PlanError:
        assert not can_be(rows, columns, amounts)
    else:
        assert (placed.touching == 0) == can_be(rows, columns, amounts)


def test_a_scrappy_patch_differs_from_a_plain_one_beside_it():
    block = read_block("block Half\nA dark scrappy\nB dark\n\nA/B")
    of = quilt(block, 1, 1, fabrics={"B": "dark 0"})
    assert place_fabrics(of, cloths("dark", 2)).fabrics[0] == "dark 1"


def test_amounts_given_as_an_area_count_the_seams():
    # Each 2 in square takes 2 1/2 in of cloth: 6 1/4 square inches; 80 lights from 4 fabrics are 20 each: 125.
    of = quilt()
    enough = cloths("dark", 5) + cloths("light", 4, area=125.0)
    check(place_fabrics(of, enough), of, enough)
    with pytest.raises(
        PlacementError, match=r"they take 500 square inches with seams, the 4 light fabrics .* give 499"
    ):
        place_fabrics(of, cloths("dark", 5) + cloths("light", 4, area=124.8))


def test_too_few_patches_are_refused_with_the_fewest_that_show_it():
    with pytest.raises(
        PlacementError, match=r"^98 dark patches: the 6 dark fabrics .* give 97; find more of any of them"
    ) as fault:
        place_fabrics(quilt(), [*cloths("dark", 5, 16), Cloth("odd", "dark", 17), *cloths("light", 9)])
    assert len(fault.value.patches) == 98
    assert len(fault.value.fabrics) == 6


def test_what_a_block_may_hold_is_told_when_it_is_the_reason():
    given = [Cloth(f"dark {number}", "dark", 300 if number < 3 else 1) for number in range(9)] + cloths("light", 9)
    # Four blocks: three fabrics four times each and the six odd ones make 18, and four blocks hold 20.
    with pytest.raises(PlacementError, match=r"^19 dark patches: .* give 18, each at most once in a block"):
        place_fabrics(quilt(), given, most=1)


def test_patches_that_touch_all_round_are_refused_with_the_patches():
    ring = read_block("block Ring\nA dark scrappy\nB dark scrappy\nC dark scrappy\n\nA1 B\nA1 C")
    with pytest.raises(
        PlacementError,
        match=r"3 dark patches in row 1 column 1: they touch so that the 2 dark fabrics .* are not enough",
    ):
        place_fabrics(quilt(ring, 1, 1), cloths("dark", 2))


def test_a_quilt_without_scrappy_places_is_refused():
    with pytest.raises(PlanError, match="without scrappy places"):
        place_fabrics(quilt(find("Shoo Fly")), cloths("dark", 2))


def test_a_value_without_fabric_is_refused():
    with pytest.raises(PlanError, match="no light fabric: 80 light patches need one"):
        place_fabrics(quilt(), cloths("dark", 5))


def test_two_fabrics_of_one_name_are_refused():
    with pytest.raises(PlanError, match="two fabrics of one name"):
        place_fabrics(quilt(), [Cloth("a", "dark"), Cloth("a", "light")])


def test_a_thousand_patches_with_nothing_to_spare_are_placed_and_proved():
    # Amounts drawn from a fixed seed: 20 fabrics of each value, unequal, all of it needed.
    random = np.random.default_rng(4)
    of = with_counts(quilt(), 10, 11)
    given = []
    for value, need in (("dark", 550), ("light", 440)):
        share = np.full(20, need // 20)
        for _ in range(150):
            one, two = random.integers(20, size=2)
            share[one], share[two] = (share[one] - 1, share[two] + 1) if share[one] > 1 else (share[one], share[two])
        share[0] += need - share.sum()
        given += [Cloth(f"{value} {number}", value, int(count)) for number, count in enumerate(share)]
    placed = place_fabrics(of, given)
    check(placed, of, given)
    assert (placed.touching, placed.excess) == (0, 0)
    assert placed.shared - placed.bound <= 0.05 * placed.shared
