"""Widths of words."""

from pathlib import Path

import pytest
from numpy.testing import assert_allclose
from PIL import ImageFont

from seamlore.drawing.metrics import broken, width_em

FONTS = Path(__file__).parents[2] / "src" / "seamlore" / "printing" / "fonts"


@pytest.mark.parametrize("words", ["Churn Dash, 74 by 88 in", "Blöcke für Zoë", "made about 1890; maker unknown"])
@pytest.mark.parametrize(
    ("weight", "file", "tolerance"),
    [
        # Regular is a table of the font's own widths; the others are scaled by their mean.
        ("regular", "SourceSans3_400Regular.ttf", 1e-3),
        ("semibold", "SourceSans3_600SemiBold.ttf", 0.02),
        ("bold", "SourceSans3_700Bold.ttf", 0.03),
    ],
)
def test_widths_are_those_of_the_font_that_is_printed_with(words, weight, file, tolerance):
    # Checked against Pillow, which reads the font file.
    font = ImageFont.truetype(str(FONTS / file), 1000, layout_engine=ImageFont.Layout.BASIC)
    assert_allclose(width_em(words, weight), sum(font.getlength(letter) for letter in words) / 1000, rtol=tolerance)


def test_no_line_is_wider_than_asked_and_no_word_is_lost():
    words = "This quilt was pieced in a farmhouse kitchen, it is said, in the winter of the deep snow."
    lines = broken(words, 12)
    assert max(width_em(line) for line in lines) <= 12
    assert " ".join(lines) == words


def test_a_word_wider_than_the_line_stands_alone():
    assert broken("an extraordinarily long word", 3) == ["an", "extraordinarily", "long", "word"]
