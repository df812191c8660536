"""Cloths without color."""

import itertools

import pytest

from seamlore.drawing.shapes import Hatch
from seamlore.pictures.palette import CLOTHS
from seamlore.pictures.plain import lightness, plain_cloths


def test_every_cloth_of_the_house_stays_apart_from_the_rest_and_as_light_or_dark():
    plain = plain_cloths(CLOTHS)
    assert len(set(plain.values())) == len(CLOTHS)
    dark = [lightness(plain[name]) for name in ("indigo", "madder", "walnut", "bottle green", "plum")]
    medium = [lightness(plain[name]) for name in ("rose", "ochre", "slate", "sage", "fawn")]
    light = [lightness(plain[name]) for name in ("muslin", "straw", "shirting", "blush", "celadon")]
    assert max(dark) < min(medium) - 0.2
    assert max(medium) < min(light) - 0.2


@pytest.mark.parametrize("count", [1, 7, 8, 20])
def test_more_cloths_than_hatchings_are_hatched_closer(count):
    given = {number: f"#{number:02x}0000" for number in range(count)}
    plain = plain_cloths(given)
    assert len(set(plain.values())) == count
    assert isinstance(plain[0], str)
    assert all(isinstance(each, Hatch) for each in itertools.islice(plain.values(), 1, None))


def test_what_is_of_one_cloth_stays_of_one():
    assert len(set(plain_cloths({"A": "#ffffff", "B": "#ffffff", "C": "#000000"}).values())) == 2
