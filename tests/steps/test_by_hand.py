"""What sewing by hand or over papers changes in a plan and in its booklet."""

import datetime

import numpy as np
import pytest

from seamlore.draft.catalogue import find
from seamlore.draft.repeated import repeated
from seamlore.lengths import inches
from seamlore.making.plan import plan
from seamlore.pictures.templates import template_picture
from seamlore.sheets.template_pages import template_plates
from seamlore.steps.booklet import booklet_content
from seamlore.steps.making.work import in_all, tasks


def plates(piecing):
    made = plan(repeated("q", find("spool"), inches(6), inches(6), 2, 3), piecing=piecing)
    content = booklet_content(made, printed=datetime.date(2026, 11, 30), method=piecing)
    return content, list(template_plates(content.templates, made.seam, "letter", content.piecing))


@pytest.mark.parametrize(
    ("piecing", "said"), [("hand", "The line is the seam"), ("papers", "Papers at finished size")]
)
def test_templates_for_hand_sewing_are_of_finished_size(piecing, said):
    content, pages = plates(piecing)
    words = " ".join(str(each) for each in pages[0].words)
    assert said in words
    assert "outer line" not in words
    # A spool's side finishes 6 in long and 2 in deep, and so it is drawn; with its seam it would be 6 1/2 in.
    drawn = template_picture(content.templates[0].outline_in, inches(0), "A1")
    assert drawn.width_mm - 1 == pytest.approx(float(np.ptp(content.templates[0].outline_in[:, 0])) * 25.4)
    assert "without seam allowance" in drawn.description


def test_as_many_papers_are_told_as_there_are_pieces():
    content, _ = plates("papers")
    counts = [int(line.split()[0]) for each in content.templates for line in each.lines if line.endswith(" papers")]
    made = plan(repeated("q", find("spool"), inches(6), inches(6), 2, 3))
    assert sum(counts) == sum(cut.needed for cut in made.cutting)


def test_sewing_by_hand_takes_longer():
    quilt = repeated("q", find("spool"), inches(6), inches(6), 2, 3)
    by_machine, by_hand = (in_all(tasks(plan(quilt, piecing=each))) for each in ("machine", "hand"))
    assert by_hand.least > by_machine.least
