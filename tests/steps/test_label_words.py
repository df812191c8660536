"""What the label and the sheets say of blocks that are not read, in the singular too."""

from datetime import date

import pytest

from seamlore.draft.catalogue import find
from seamlore.draft.cells import with_cells
from seamlore.draft.kinds import NOT_READ
from seamlore.draft.repeated import repeated
from seamlore.draft.text.quilt_file import write_quilt
from seamlore.lengths import inches
from seamlore.steps.sheet_content import study_content, unknown
from seamlore.steps.study.inputs import Inputs
from seamlore.steps.study.job import Job
from seamlore.steps.study.sections import Choice
from seamlore.steps.study.tape import Tape
from seamlore.steps.tell import label_content


@pytest.mark.parametrize(("gone", "said"), [(1, "1 more block not read"), (2, "2 more blocks not read")])
def test_blocks_that_are_not_read_stand_on_the_label_in_their_number(gone, said):
    whole = repeated("q", find("shoo fly"), inches(9), inches(9), 2, 2)
    quilt = with_cells(whole, dict.fromkeys([(0, 0), (1, 1)][:gone], NOT_READ))
    job = Job(Inputs(choice=Choice(draft=write_quilt(quilt, find_block=find))))
    assert said in label_content(job, printed=date(2026, 11, 30)).known
    assert f"how {gone} of 4 blocks {'is' if gone == 1 else 'are'} pieced: not read" in list(unknown(job))


def test_a_sheet_keeps_what_the_tape_says_of_a_quilt_without_blocks():
    job = Job(Inputs(tape=Tape(width="60 in", height="45 in")))
    assert not any("nothing was measured" in each for each in unknown(job))
    facts = [(each.what, each.value, each.known) for each in study_content(job, printed=date(2026, 12, 1)).facts]
    assert facts == [("width of the quilt", "60 in", "by tape"), ("length of the quilt", "45 in", "by tape")]
