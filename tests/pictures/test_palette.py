"""Colors of cloth."""

from dataclasses import replace

from seamlore.draft.block import Place
from seamlore.draft.catalogue import find
from seamlore.draft.cells import with_counts, with_fabrics
from seamlore.draft.kinds import Cell
from seamlore.draft.layout import lay
from seamlore.draft.repeated import repeated
from seamlore.draft.setting.setting import OnPoint
from seamlore.drawing.shapes import ImageFile, Swatch
from seamlore.lengths import inches
from seamlore.pictures.palette import CLOTHS, GRAYS, named_cloth, place_cloths, quilt_cloths, written_on


def _lightness(color):
    return sum(weight * int(color[at : at + 2], 16) for weight, at in ((0.299, 1), (0.587, 3), (0.114, 5)))


def test_dark_places_are_darker_than_medium_and_medium_than_light():
    for colors in (
        place_cloths({"A": Place("dark"), "B": Place("medium"), "C": Place("light")}),
        {"A": GRAYS["dark"], "B": GRAYS["medium"], "C": GRAYS["light"]},
    ):
        assert _lightness(colors["A"]) + 40 < _lightness(colors["B"]) < _lightness(colors["C"]) - 40


def test_five_places_of_one_value_have_five_cloths():
    assert len(set(place_cloths({letter: Place("dark") for letter in "ABCDE"}).values())) == 5


def test_a_word_inside_another_is_no_color():
    assert named_cloth("tangerine shirred") is None


def test_what_is_given_goes_before_a_name_and_a_name_before_value(quilt):
    named = with_fabrics(quilt, {"A": "indigo prints", "B": "madder"})
    cloths = quilt_cloths(named, {"B": "#123456"})
    assert (cloths["A"], cloths["B"]) == (CLOTHS["indigo"], "#123456")


def test_cloth_may_be_given_by_the_name_of_the_fabric(quilt):
    swatch = Swatch(ImageFile("s.png", "image/png", b""), 5, 5)
    assert quilt_cloths(quilt, {"indigo": swatch})["border 1"] is swatch


def test_every_piece_of_every_setting_has_a_cloth(quilt):
    for each in (quilt, with_counts(quilt, 3, 2, OnPoint(), sashing=None)):
        assert {laid.key for laid in lay(each)} <= set(quilt_cloths(each))


def test_words_can_be_read_on_every_cloth():
    for color in CLOTHS.values():
        ink, _ = written_on(color)
        assert abs(_lightness(ink) - _lightness(color)) > 70


def test_a_fabric_that_a_block_has_of_its_own_is_not_taken_for_another():
    # "blue" is drawn in the cloth that the dark place has already.
    quilt = repeated("q", find("four patch"), inches(9), inches(9), 1, 3)
    cells = (Cell("FP", fabrics={"B": "blue check"}), Cell("FP", fabrics={"B": "blue dot"}), Cell("FP"))
    paints = quilt_cloths(replace(quilt, cells=(cells,)))
    assert len({paints["A"], paints["blue check"], paints["blue dot"]}) == 3
    # What was said of its color is not changed.
    assert quilt_cloths(replace(quilt, cells=(cells,)), {"blue check": paints["A"]})["blue check"] == paints["A"]
