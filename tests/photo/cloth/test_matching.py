"""A piece of a print is found in another patch of it, whichever way that lies, and not in another print."""

from seamlore.photo.cloth.described import Cut
from seamlore.photo.cloth.matching import Figures, alike
from tests.photo.cloth.cloths import cut, other_light, sheet


def test_a_print_turned_and_in_other_light_is_found() -> None:
    cloth = sheet(4, step=22, size=7)
    fit = alike(Figures((cut(cloth, 60, 70),)), Figures((other_light(cut(cloth, 120, 110, 37.0)),)))
    assert fit is not None
    assert fit[0] > 0.8


def test_another_print_is_not_found() -> None:
    one, two = sheet(4, step=22, size=7), sheet(9, step=31, size=9)
    fit = alike(Figures((cut(one, 60, 70),)), Figures((cut(two, 120, 110, 37.0),)))
    assert fit is not None
    assert fit[0] < 0.75


def test_too_small_a_patch_says_nothing() -> None:
    cloth = sheet(4, step=22, size=7)
    little = cut(cloth, 60, 70)
    few = Cut(little.pixels[:12, :12], little.mask[:12, :12])
    assert alike(Figures((few,)), Figures((little,))) is None
    assert alike(Figures(()), Figures((little,))) is None
