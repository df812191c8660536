"""Areas, shares and verdicts, against sums done without the geometry library and against scikit-image's pixels."""

from __future__ import annotations

import numpy as np
import pytest

from seamlore.condition.ground import Ground
from seamlore.condition.survey import Laid, survey
from seamlore.draft.where import Where


def grid(rows, columns, side=8.0, fabrics=3):
    """Blocks of four patches, edge to edge; patch by patch the fabrics take turns."""
    at, corners, where, outlines, fabric = [], [], [], [], []
    for row in range(rows):
        for column in range(columns):
            x, y, half = column * side, row * side, side / 2
            at.append((row, column))
            corners.append([[x, y], [x + side, y], [x + side, y + side], [x, y + side]])
            for patch in range(4):
                px, py = x + half * (patch % 2), y + half * (patch // 2)
                where.append(Where("block", row, column, patch))
                outlines.append(np.array([[px, py], [px + half, py], [px + half, py + half], [px, py + half]]))
                fabric.append((row + column + patch) % fabrics)
    names = tuple(f"fabric {number}" for number in range(fabrics))
    return Ground(
        (columns * side, rows * side), tuple(at), np.array(corners), tuple(where), outlines, np.array(fabric), names
    )


def star(rng, size, corners=24):
    middle, turns = rng.uniform(0, 1, 2) * size, np.sort(rng.uniform(0, 2 * np.pi, corners))
    away = rng.uniform(1, 9) * rng.uniform(0.4, 1, corners)
    return middle + np.column_stack([away * np.cos(turns), away * np.sin(turns)])


def square(x, y, side):
    return np.array([[x, y], [x + side, y], [x + side, y + side], [x, y + side]], dtype=float)


def shoelace(outline):
    x, y = outline.T
    return abs(np.dot(x, np.roll(y, -1)) - np.dot(y, np.roll(x, -1))) / 2


def test_the_area_of_a_note_inside_the_quilt_is_that_of_its_outline():
    rng = np.random.default_rng(3)
    ground = grid(12, 10)
    outlines = [star(rng, (30, 30)) + 20 for _ in range(50)]
    found = survey(ground, [Laid("stain", 2, each) for each in outlines])
    np.testing.assert_allclose(found.areas, [shoelace(each) for each in outlines], rtol=1e-9)


def test_overlapping_notes_count_once_and_what_lies_off_the_quilt_not_at_all():
    """Against pixels: scikit-image draws the same outlines 20 pixels to the inch."""
    from skimage.draw import polygon2mask

    rng = np.random.default_rng(5)
    ground = grid(5, 6)
    notes = [Laid(("tear", "hole", "stain")[n % 3], 1 + n % 4, star(rng, ground.size)) for n in range(30)]
    found = survey(ground, notes)
    fine = 20
    width, height = (int(side * fine) for side in ground.size)
    drawn = [polygon2mask((height, width), each.outline[:, ::-1] * fine - 0.5) for each in notes]
    together = np.any(drawn, axis=0)
    shares = {each.of: each for each in found.parts}
    assert shares["the front"].affected == pytest.approx(together.sum() / fine**2, rel=2e-3)
    assert shares["blocks"].affected == pytest.approx(shares["the front"].affected, rel=1e-9)
    for kind, spots, area in found.by_kind:
        mask = np.any([one for one, note in zip(drawn, notes, strict=True) if note.kind == kind], axis=0)
        assert (spots, area) == (10, pytest.approx(mask.sum() / fine**2, rel=4e-3))
    half = int(4 * fine)
    tiles = together.reshape(height // half, half, width // half, half).sum(axis=(1, 3)) / fine**2
    by_fabric = np.zeros(3)
    for at, fabric in zip(ground.where, ground.fabric, strict=True):
        by_fabric[fabric] += tiles[2 * at.row + at.patch // 2, 2 * at.column + at.patch % 2]
    for each in found.fabrics:
        assert each.affected == pytest.approx(by_fabric[int(each.of[-1])], rel=6e-3)
        assert each.whole == pytest.approx(16 * each.pieces)


def test_a_block_is_lost_from_a_tenth_gone_and_doubtful_where_the_cloth_may_give_way():
    ground = grid(1, 6)
    notes = [
        Laid("hole", 4, square(1, 1, np.sqrt(6.4) + 1e-6)),
        Laid("hole", 4, square(9, 1, np.sqrt(6.4) - 1e-6)),
        Laid("tear", 2, square(17, 1, 2)),
        Laid("tear", 3, square(25, 1, 2)),
        Laid("stain", 3, square(33, 1, 5)),
        Laid("mold", 1, square(41, 1, 1)),
    ]
    found = survey(ground, notes)
    assert [each.verdict for each in found.blocks] == ["lost", "doubtful", "sound", "doubtful", "sound", "doubtful"]
    assert found.blocks[3].reasons == ("tear, serious",)


def test_a_note_on_the_back_is_measured_there_and_condemns_no_block():
    ground = grid(2, 2)
    found = survey(ground, [Laid("hole", 4, square(1, 1, 6), behind=True)])
    assert {each.verdict for each in found.blocks} == {"sound"}
    assert {each.of: each.affected for each in found.parts} == {"the front": 0, "blocks": 0, "backing": 36}
    assert found.on_block == ("row 1, column 1",)
    assert [each.of for each in survey(ground, [], without=["backing"]).parts] == ["the front", "blocks"]


def test_a_line_drawn_a_little_over_a_seam_does_not_touch_the_neighbor():
    ground = grid(1, 2)
    found = survey(ground, [Laid("tear", 4, square(1, 1, 7.005))])
    assert [each.verdict for each in found.blocks] == ["lost", "sound"]
    assert found.on_block == ("row 1, column 1",)


def test_a_suspect_fabric_makes_each_of_its_blocks_doubtful_and_her_word_goes_before():
    ground = grid(1, 3, fabrics=9)
    suspect = {0: "weak when tried at row 1, column 1"}
    found = survey(ground, [], suspect=suspect, hers={(0, 0): ("sound", "tried every patch"), (0, 2): ("lost", "")})
    assert [each.verdict for each in found.blocks] == ["sound", "sound", "lost"]
    assert found.blocks[0].reasons == ("tried every patch", "fabric 0: weak when tried at row 1, column 1")
    assert [each.hers for each in found.blocks] == [True, False, True]
    assert [each.verdict for each in survey(ground, [], suspect=suspect).blocks] == ["doubtful", "sound", "sound"]


def test_between_the_blocks_lies_the_setting():
    wide = grid(1, 1)
    ground = Ground((12, 12), wide.block_at, wide.blocks + 2, (), ())
    found = {each.of: each for each in survey(ground, [Laid("stain", 1, square(0, 0, 4))]).parts}
    assert found["setting and borders"].whole == pytest.approx(144 - 64)
    assert found["setting and borders"].affected == pytest.approx(16 - 4)


def test_a_quilt_of_900_blocks_with_500_notes_is_reckoned():
    rng = np.random.default_rng(11)
    ground = grid(30, 30, fabrics=40)
    kinds = ("tear", "hole", "stain", "fading", "abrasion", "mold")
    notes = [Laid(kinds[n % 6], 1 + n % 4, star(rng, ground.size)) for n in range(500)]
    found = survey(ground, notes, suspect={3: "weak"})
    assert len(found.blocks) == 900
    assert sum(each.affected for each in found.fabrics) == pytest.approx(found.parts[1].affected, rel=1e-6)


def test_a_note_that_is_no_damage_has_no_area():
    found = survey(grid(1, 1), [Laid("inscription", 0, square(1, 1, 4)), Laid("tie", 0, np.array([[2.0, 2]]))])
    assert found.areas.tolist() == [0, 0]
    assert (found.by_kind, found.count("sound")) == ((), 1)


def test_blocks_on_point_are_called_in_reading_order_though_rows_between_come_after_the_whole_ones():
    corners = np.array(
        [[[x, y], [x + 8, y], [x + 8, y + 8], [x, y + 8]] for x, y in ((0, 0), (0, 16), (0, 8))], dtype=float
    )
    ground = Ground((8.0, 24.0), ((0, 0), (2, 0), (1, 0)), corners)
    tear = Laid("tear", 3, np.array([[1.0, 1], [3, 1], [3, 23], [1, 23]]))
    assert survey(ground, [tear]).on_block == ("row 1, column 1; row 2, column 1; row 3, column 1",)
