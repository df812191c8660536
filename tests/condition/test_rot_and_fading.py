"""Rot is of a fabric; fading is graded as ISO 105-A02 says, and only beside a white card."""

from __future__ import annotations

import numpy as np
import pytest

from seamlore.condition.fading import GRAY_SCALE, faded, grade_of
from seamlore.condition.rot import HandTest, hand_tests, not_placed, suspects, to_test
from seamlore.condition.survey import Laid
from seamlore.errors import PhotoError

from .test_survey import grid, square


def test_a_weak_thread_makes_every_patch_of_its_fabric_suspect_and_a_sound_one_none():
    ground = grid(2, 3, fabrics=3)
    points = np.array([[1.0, 1.0], [5.0, 1.0], [99.0, 1.0]])
    tests = hand_tests(ground, points, ["weak", "sound", "weak"], ["brown sprig", "", "black twill"])
    assert [each.fabric for each in tests] == [0, 1, -1]
    (found,) = suspects(ground, tests)
    assert (found.called, found.patches) == ("brown sprig", int((ground.fabric == 0).sum()))
    assert found.why == "weak when tried at row 1, column 1"
    assert not_placed(tests) == ("black twill",)
    # A sound thread elsewhere takes nothing back.
    assert suspects(ground, [*tests, HandTest("sound", 0, ground.where[3])])[0].patches == found.patches


def test_only_what_is_torn_already_is_proposed_for_a_test():
    ground = grid(2, 3, fabrics=3)
    assert to_test(ground, [], ()) == ()
    torn = [
        Laid("tear", 2, square(0.5, 0.5, 1)),
        Laid("stain", 4, square(4.5, 0.5, 1)),
        Laid("hole", 3, square(8.5, 8.5, 1)),
    ]
    found = to_test(ground, torn, ())
    assert {each.called for each in found} == {"fabric 0", "fabric 2"}
    # Found weak, it is not tried again; sound in one place, it is tried in another that is torn, and last.
    weak = [HandTest("weak", 0, ground.where[0])]
    assert [each.called for each in to_test(ground, torn, weak)] == ["fabric 2"]
    both = [*torn, Laid("tear", 1, square(12.5, 12.5, 1))]
    sound = [HandTest("sound", 2, ground.where[int(np.flatnonzero(ground.fabric == 2)[0])])]
    assert "one place only" in to_test(ground, both, sound)[-1].why


def test_of_several_torn_patches_that_where_rot_comes_sooner_is_proposed():
    """Rot goes with the place too: water, the top edge, folds."""
    ground = grid(3, 3, fabrics=1)
    spots = [ground.outlines[index].mean(axis=0) for index in (0, 17, 30)]
    top, middle, low = (square(x - 0.5, y - 0.5, 1) for x, y in spots)
    assert spots[0][1] < spots[1][1] < spots[2][1]
    torn = [Laid("tear", 2, middle), Laid("tear", 2, low)]
    assert to_test(ground, torn, ())[0].at == ground.where[17]
    assert to_test(ground, [*torn, Laid("stain", 2, low)], ())[0].why.endswith("; a stain tells of water")
    folded = to_test(ground, torn, (), folds=[(1, float(spots[2][1]))])
    assert (folded[0].at, "on a fold" in folded[0].why) == (ground.where[30], True)
    assert "top edge" in to_test(ground, [*torn, Laid("tear", 2, top)], ())[0].why


@pytest.mark.parametrize(("grade", "difference", "tolerance"), GRAY_SCALE)
def test_each_step_of_the_gray_scale_is_its_own_grade_within_its_tolerance(grade, difference, tolerance):
    """ISO 105-A02 (EN 20105-A02:1994, clause 2.4), nine values and tolerances."""
    for given in (difference, difference + tolerance, max(difference - tolerance, 0)):
        assert grade_of(given) == grade


@pytest.mark.parametrize(
    ("limit", "below", "above"),
    [(0.4, "5", "4-5"), (1.25, "4-5", "4"), (2.1, "4", "3-4"), (2.95, "3-4", "3"), (4.1, "3", "2-3"), (5.8, "2-3", "2"),
     (8.2, "2", "1-2"), (11.6, "1-2", "1")],
)  # fmt: skip
def test_grades_part_where_iso_105_a05_parts_them(limit, below, above):
    """ISO 105-A05: limits from memory; each is the middle between neighboring values of A02."""
    assert (grade_of(limit - 1e-6), grade_of(limit + 1e-6)) == (below, above)


def test_a_grade_is_given_beside_a_white_card_alone():
    assert faded([0.4, 0.1, 0.1], [0.6, 0.4, 0.4]).grade == ""
    assert faded([0.4, 0.1, 0.1], [0.4, 0.1, 0.1], [0.9, 0.9, 0.9]).grade == "5"
    # The same cloths under a yellow lamp, the card in it too, fade as much.
    plain = faded([0.4, 0.2, 0.2], [0.5, 0.3, 0.3], [1.0, 1.0, 1.0])
    light = np.array([0.8, 0.7, 0.5])

    def lit(code):
        linear = np.where(
            np.array(code) <= 0.04045, np.array(code) / 12.92, ((np.array(code) + 0.055) / 1.055) ** 2.4
        )
        linear = linear * light
        return np.where(linear <= 0.0031308, 12.92 * linear, 1.055 * linear ** (1 / 2.4) - 0.055)

    assert faded(lit([0.4, 0.2, 0.2]), lit([0.5, 0.3, 0.3]), lit([1, 1, 1])).difference == pytest.approx(
        plain.difference
    )
    for card in ([0.2, 0.2, 0.2], [0.9, 0.9, 0.4]):
        with pytest.raises(PhotoError, match="the white card"):
            faded([0.4, 0.1, 0.1], [0.6, 0.4, 0.4], card)
