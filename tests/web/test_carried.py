"""The demo from the first note to the recorded decision: every number on Assess and Decide reckoned again without the code that said it."""

from judging.carrying.quilt import NOTES, Quilt, note_down
from judging.carrying.replayed import replay

KINDS = ("hole", "tear", "open seam", "tendered cloth", "hand test", "inscription")


def test_every_number_of_the_pages_is_reckoned_again(client, desk, demo):
    """Its blocks are cut at the left and right, and are left out when it is set anew."""
    quilt = Quilt(
        name="demo",
        photograph=b"",
        notes=[each for each in NOTES if each[0] in KINDS],
        decided={"cut_blocks": "left out"},
    )
    pages = replay(note_down(client, desk, demo, quilt))
    assert pages.missed == []
    assert pages.not_reckoned() == []
    assert pages.numbers > 900
