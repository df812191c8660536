"""Templates on pages."""

import numpy as np
import pytest
from numpy.testing import assert_allclose

from seamlore.errors import PageError
from seamlore.lengths import inches
from seamlore.printing.content import Document
from seamlore.printing.pages import plate_room, to_pdf
from seamlore.sheets.content import PatchTemplate
from seamlore.sheets.template_pages import template_plates

QUARTER = inches("1/4")


def _square(side, label="A"):
    return PatchTemplate(label, np.array([[0.0, 0], [side, 0], [side, side], [0, side]]), ("cut 4",))


def test_a_3_in_square_is_cut_89_mm_wide_on_the_rendered_page(study, rendered):
    # Finished 3 in plus 1/4 in on each side is 3 1/2 in (trade.md A1), at 300 dots an inch 1050 dots.
    plates = template_plates([_square(3)], QUARTER, "letter")
    (page,) = rendered(to_pdf(Document("t", plates, study.printed), "letter"), "letter", whole=True)
    middle = page[round(page.shape[0] * 0.2)]
    upright = np.flatnonzero(middle < 160)
    assert_allclose((upright.max() - upright.min()) / 300, 3.5, atol=0.02)


def test_small_templates_share_a_page_and_all_are_there():
    plates = template_plates([_square(1.5, f"A{n}") for n in range(6)], QUARTER, "a4")
    assert len(plates) == 1
    for n in range(6):
        assert f"patch A{n} " in plates[0].picture.description


@pytest.mark.parametrize("paper", ["letter", "a4"])
def test_no_page_of_templates_is_larger_than_its_room(paper):
    width, height = plate_room(paper)
    sides = [1, 2, 3, 4, 5, 6, 2.5, 3.25, 1.125] * 4
    plates = template_plates([_square(side, f"P{n}") for n, side in enumerate(sides)], QUARTER, paper)
    assert len(plates) > 3
    for plate in plates:
        assert plate.picture.width_mm <= width + 1e-6
        assert plate.picture.height_mm <= height + 1e-6


def test_a_template_larger_than_the_page_is_tiled():
    plates = template_plates([_square(9)], QUARTER, "letter")
    assert len(plates) == 4
    assert "row 2 of 2, page 1 of 2" in plates[2].picture.title


def test_a_template_of_many_pages_is_refused():
    with pytest.raises(PageError, match="at true scale at most 64 pages"):
        template_plates([_square(90)], QUARTER, "letter")


def test_without_templates_there_is_no_page():
    assert template_plates([], QUARTER, "a4") == ()
