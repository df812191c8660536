"""Recoloring by place, fabric and value."""

import numpy as np
import pytest
from numpy.testing import assert_allclose

from seamlore.color.lab import srgb_to_lab
from seamlore.draft.border import Pieced, border
from seamlore.draft.layout import lay
from seamlore.draft.recolor import VALUE_GRAYS, by_fabric, by_place, by_value, exchanged, with_values
from seamlore.draft.repeated import repeated
from seamlore.draft.text.notation import read_block
from seamlore.errors import UnknownNameError
from seamlore.lengths import inches
from seamlore.placing.placement import place_fabrics
from seamlore.placing.slots import Cloth

FOUR = read_block("block Four\nA dark scrappy\nB light\n\nA B\nB A")
OTHER = read_block("block Other\nC medium\nB light\n\nC/B")
QUILT = repeated(
    "q", FOUR, inches(6), inches(6), 2, 2, every_other=OTHER, fabrics={"B": "muslin", "C": "rose"},
    borders=(border(inches(3), "indigo", "squares", pieced=Pieced("Ot", inches(3)), corner="Ot"), border(inches(2), "indigo")),
)  # fmt: skip


def test_every_piece_has_the_color_of_its_place():
    laid = lay(QUILT)
    colors = by_place(laid, {"Fo A": "#aa0000", "border 2": "#0000aa"})
    assert {(piece.key, color) for piece, color in zip(laid, colors, strict=True)} == {
        ("Fo A", "#aa0000"), ("Fo B", "#ffffff"), ("Ot B", "#ffffff"), ("Ot C", "#ffffff"), ("border 2", "#0000aa"),
    }  # fmt: skip


def test_scrappy_patches_have_the_colors_of_the_fabrics_placed_in_them():
    laid = lay(QUILT)
    placed = place_fabrics(QUILT, [Cloth("p", "dark"), Cloth("q", "dark")])
    swatches = {"p": "#111111", "q": "#222222", "muslin": "#eeeeee", "rose": "#cc8888", "indigo": "#223355"}
    colors = by_fabric(laid, swatches, placed.fabrics)
    for piece, color, name in zip(laid, colors, placed.fabrics, strict=True):
        assert color == swatches[name or piece.fabric]


def test_a_fabric_without_a_swatch_is_refused():
    with pytest.raises(UnknownNameError, match='the fabric "indigo"'):
        by_fabric(lay(QUILT), {"muslin": "#eeeeee"})


def test_by_value_shows_three_grays_and_white_for_what_nobody_said():
    laid = lay(QUILT)
    assert set(by_value(laid, QUILT)) == set(VALUE_GRAYS.values())
    assert VALUE_GRAYS[None] not in by_value(laid, QUILT, {"indigo": "dark"})


def test_the_grays_of_values_are_as_light_as_they_say():
    # CIELAB (ISO/CIE 11664-4) through the color room.
    for value, lightness in (("light", 90.0), ("medium", 62.0), ("dark", 32.0)):
        gray = VALUE_GRAYS[value]
        rgb = np.array([int(gray[at : at + 2], 16) for at in (1, 3, 5)])
        assert_allclose(srgb_to_lab(rgb)[0], lightness, atol=0.6)


def test_values_change_in_every_block_of_the_quilt():
    changed = with_values(QUILT, {"Ot C": "dark"})
    assert changed.kind("Ot").block.places["C"].value == "dark"
    assert changed.places["Fo A"] == QUILT.places["Fo A"]


def test_light_and_dark_exchanged_twice_is_the_quilt_again():
    assert exchanged(QUILT) != QUILT
    assert exchanged(exchanged(QUILT)) == QUILT


def test_a_place_that_is_not_there_is_refused():
    with pytest.raises(UnknownNameError, match="place Z"):
        with_values(QUILT, {"Z": "dark"})
