"""Cautions."""

import pytest

from seamlore.printing.content import Note, Paragraph
from seamlore.sheets.cautions import BABY, CUTTING, OLD_QUILT


def _said(note):
    words = [block.words for block in note.body if isinstance(block, Paragraph)]
    return " ".join(
        part if isinstance(part, str) else part.text
        for each in words
        for part in (each if isinstance(each, tuple) else (each,))
    )


@pytest.mark.parametrize("note", [CUTTING, OLD_QUILT, BABY])
def test_each_points_to_rules_or_to_who_knows_more(note):
    assert isinstance(note, Note)
    assert note.tone == "caution"
    assert "rules" in _said(note)


def test_babies_sleep_without_quilts_for_twelve_months():
    # American Academy of Pediatrics and US Consumer Product Safety Commission advice, as given in trade.md.
    assert "twelve months" in _said(BABY)


def test_old_cloth_is_handled_with_gloves_and_mask():
    # trade.md, hazards of old textiles: nitrile gloves, N95 for dust.
    assert "nitrile gloves" in _said(OLD_QUILT)
    assert "N95" in _said(OLD_QUILT)
