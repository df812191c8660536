"""What can hurt is said in one place, with where it is known from and who knows more."""

from __future__ import annotations

import pytest

from seamlore.hazards import HAZARDS
from seamlore.sheets.cautions import caution
from seamlore.sources import TAG_WORDS


@pytest.mark.parametrize("hazard", HAZARDS, ids=lambda hazard: hazard.name)
def test_every_hazard_says_what_to_do_and_where_that_is_known_from(hazard):
    assert hazard.sources
    assert all(source.text and source.tag in TAG_WORDS for source in hazard.sources)
    note = caution(hazard)
    assert (note.head, note.tone, len(note.body)) == (hazard.name, "caution", len(hazard.says))
    for (what, words), paragraph in zip(hazard.says, note.body, strict=True):
        text = (
            paragraph.words
            if isinstance(paragraph.words, str)
            else "".join(getattr(each, "text", each) for each in paragraph.words)
        )
        assert text == (f"{what} {words}" if what else words)
