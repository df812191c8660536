"""What a user has written, and what is the program's own though it stands in a draft of theirs."""

from dataclasses import replace

from seamlore.draft.catalogue import all_blocks
from seamlore.draft.repeated import repeated
from seamlore.draft.text.quilt_file import write_quilt
from seamlore.lengths import inches
from seamlore.steps.study.inputs import Inputs
from seamlore.steps.study.job import Job
from seamlore.steps.study.own_words import own_words
from seamlore.steps.study.sections import Choice
from seamlore.wording import reworded


def test_notes_of_a_block_drawn_by_its_user_stay_and_those_of_the_catalogue_do_not():
    block = next(each for each in all_blocks() if any(reworded(note, "british") != note for note in each.notes))
    theirs = replace(block, name="Gray Ladies", notes=(*block.notes, "Gray in the center."))
    quilt = repeated("Mine", theirs, inches(9), inches(9), 1, 1)
    job = Job(Inputs(choice=Choice(draft=write_quilt(quilt))))
    own = own_words(job)
    assert "Gray in the center." in own
    assert not set(block.notes) & own
