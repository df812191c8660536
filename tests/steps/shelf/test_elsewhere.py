"""One cloth looked for in the other quilts: which come first, what a dated one lends, and what it never does."""

from __future__ import annotations

import numpy as np
import pytest

from seamlore.errors import SeamloreError
from seamlore.photo.cloth.cutting import Cloth
from seamlore.photo.cloth.described import Cut
from seamlore.photo.cloth.kept import to_file
from seamlore.photo.cloth.looks import MAY_BE_ONE, likeness, looks_of
from seamlore.photo.cloth.matching import Figures
from seamlore.photo.cloth.same import known_by, packed, prints
from seamlore.shelf import cloths as kept
from seamlore.shelf.change import Change
from seamlore.shelf.collection import Collection
from seamlore.shelf.shelf import Shelf
from seamlore.steps.shelf.cards import VERSION as CARDS
from seamlore.steps.shelf.cards import describe
from seamlore.steps.shelf.cloths import VERSION, cloth_picture
from seamlore.steps.shelf.elsewhere import elsewhere, with_lent
from seamlore.steps.shelf.figures import Figures as Worked
from seamlore.steps.shelf.figures import Years, rests_on
from seamlore.steps.shelf.find import twice
from seamlore.steps.study.sections import Evidence, Keeping
from seamlore.steps.study.versions import encode
from tests.photo.cloth.cloths import cut, other_light, sheet

ROSES, STARS, TWIGS = (sheet(seed, step=13 + 2.5 * seed, size=4 + 0.7 * seed) for seed in (2, 5, 8))
PLAIN = np.full((200, 200, 3), 140, np.uint8)


def hold(shelf: Shelf, study: int, *sheets: np.ndarray, at: tuple[int, int] = (60, 60), lit: bool = False) -> None:
    """Put cloths on the shelf as a reading of a photograph would; pictures have twice the scale."""
    cloths, known = [], []
    for each in sheets:
        patches = [cut(each, *at), cut(each, at[0] + 60, at[1], 90)]
        patches = [other_light(patch) for patch in patches] if lit else patches
        known.append(known_by(Figures(tuple(patches)), 12.0, len(known)))
        fine = [Cut(*(np.repeat(np.repeat(part, 2, axis=0), 2, axis=1) for part in (patch.pixels, patch.mask))) for patch in patches]  # fmt: skip
        cloths.append(Cloth(tuple(fine), 12.0))
    kept.put(shelf, study, kept.Cloths(VERSION, "photo", packed(known)), to_file(cloths, "photo"))


def dated(shelf: Shelf, study: int, first: int, last: int) -> None:
    """Put years on a study's card, as if its evidence had given them."""
    sections = shelf.standing(study).sections
    years = Years(part="blocks", median=(first + last) // 2, first=first, last=last, edtf="", sentence="", known=True)
    worked = Worked(rests_on=rests_on(sections), years=(years,))
    Collection(shelf).renew_one(study, lambda now, before, at: describe(now, before, at, worked), version=CARDS)


@pytest.fixture
def shelf(tmp_path):
    with Shelf(tmp_path / "shelf") as opened:
        for name in ("In hand", "Same roses", "Other prints", "Plain one"):
            opened.create(name)
        hold(opened, 1, ROSES, PLAIN)
        hold(opened, 2, TWIGS, ROSES, at=(100, 120), lit=True)
        hold(opened, 3, STARS, TWIGS, at=(80, 90))
        hold(opened, 4, PLAIN)
        yield opened


def test_the_quilt_with_the_same_cloth_comes_first_with_the_place_of_the_cloth(shelf):
    found = elsewhere(shelf, 1, 0)
    assert (found.cloths, found.quilts) == (5, 3)
    first = found.stands[0]
    assert (first.quilt.name, first.fabric, first.looked_at) == ("Same roses", 1, True)
    assert first.chance > 0.5
    assert "the same cloth" in first.says
    assert found.says == "This cloth may stand in 1 other quilt"
    assert len({each.quilt.number for each in found.stands}) == len(found.stands)


def test_of_a_plain_cloth_it_is_said_that_it_is_not_enough(shelf):
    found = elsewhere(shelf, 1, 1)
    assert "color alone" in found.why_not
    assert [each.chance for each in found.stands] == [None] * len(found.stands)
    assert found.stands[0].quilt.name == "Plain one"
    assert "not enough to tell" in found.stands[0].says
    assert "cannot be told" in found.says


def test_a_dated_quilt_lends_its_years_widened_and_less_trusted_only_when_asked(shelf):
    dated(shelf, 2, 1890, 1900)
    (first, *_) = elsewhere(shelf, 1, 0).stands
    assert first.lent.when == "1880/1910"
    assert first.lent.trust == pytest.approx(0.8 * first.chance, abs=0.01)
    assert shelf.read(1, "evidence").value is None
    text = with_lent(shelf, "", first, this_year=2026)
    assert 'when = "1880/1910"' in text
    assert "blocks were made 1890 to 1900" in text
    with pytest.raises(SeamloreError, match="in the evidence already"):
        with_lent(shelf, text, first, this_year=2026)
    shelf.apply(2, Change("keeping", 0, encode(Keeping(names="none living")), "said"))
    assert f'shares a cloth with \\"Same roses\\" ({first.quilt.listed.identity[:8]})' in with_lent(
        shelf, "", first, this_year=2026
    )


def test_a_quilt_whose_name_may_be_of_a_living_person_is_not_named_in_evidence_that_may_leave(shelf):
    shelf.rename(2, "Ida Roe's star")
    dated(shelf, 2, 1890, 1900)
    (first, *_) = elsewhere(shelf, 1, 0).stands
    assert "Ida" not in with_lent(shelf, "", first, this_year=2026)
    shelf.apply(2, Change("keeping", 0, encode(Keeping(accession="2019.4")), "numbered"))
    assert "shares a cloth with number 2019.4 (" in with_lent(shelf, "", first, this_year=2026)


def test_a_fabric_that_was_gathered_of_two_prints_is_looked_for_as_either(shelf):
    patches = [
        cut(each, *at) for each, at in ((STARS, (60, 60)), (ROSES, (60, 60)), (STARS, (120, 60)), (ROSES, (120, 60)))
    ]
    found = prints(patches)
    assert found == [[0, 2], [1, 3]]
    known = [known_by(Figures(tuple(patches[place] for place in places)), 12.0, 0) for places in found]
    kept.put(shelf, 4, kept.Cloths(VERSION, "none", packed(known)), b"")
    both = elsewhere(shelf, 4, 0)
    assert len(both.mine) == 2
    assert {each.quilt.number: each.fabric for each in both.stands if each.chance and each.chance > 0.3} == {
        2: 1,
        3: 0,
        1: 0,
    }
    back = next(each for each in elsewhere(shelf, 1, 0).stands if each.quilt.number == 4)
    assert (back.fabric, back.row) == (0, 1)


def test_years_that_were_lent_are_not_lent_back_even_by_way_of_a_third(shelf):
    dated(shelf, 2, 1890, 1900)
    text = with_lent(shelf, "", elsewhere(shelf, 1, 0).stands[0], this_year=2026)
    shelf.apply(1, Change("evidence", 0, encode(Evidence(text=text)), "took it"))
    dated(shelf, 1, 1885, 1905)
    back = next(each for each in elsewhere(shelf, 2, 1).stands if each.quilt.number == 1)
    assert back.lent.when == ""
    assert "rest on this quilt's own" in back.lent.refused
    with pytest.raises(SeamloreError, match="says nothing here"):
        with_lent(shelf, "", back, this_year=2026)
    hold(shelf, 3, ROSES, at=(90, 70))
    lent = next(each for each in elsewhere(shelf, 3, 0).stands if each.quilt.number == 1)
    shelf.apply(
        3, Change("evidence", 0, encode(Evidence(text=with_lent(shelf, "", lent, this_year=2026))), "took it")
    )
    dated(shelf, 3, 1880, 1910)
    third = next(each for each in elsewhere(shelf, 2, 1).stands if each.quilt.number == 3)
    assert "rest on this quilt's own" in third.lent.refused


def test_an_undated_quilt_and_an_unlikely_cloth_lend_nothing(shelf):
    dated(shelf, 3, 1930, 1940)
    stands = elsewhere(shelf, 1, 0).stands
    assert all(each.lent is None for each in stands if each.quilt.number in (2, 3))


def test_a_quilt_that_was_set_aside_or_described_by_another_version_is_not_looked_into(shelf):
    Collection(shelf).set_aside(2)
    assert [each.quilt.number for each in elsewhere(shelf, 1, 0).stands if (each.chance or 0) > 0.3] == []
    Collection(shelf).take_back(2)
    held = kept.of_study(shelf, 2)
    kept.put(shelf, 2, kept.Cloths(VERSION + 1, held.rests_on, held.described), kept.pictures(shelf, 2))
    assert elsewhere(shelf, 1, 0).quilts == 2


def test_pictures_that_are_lost_or_of_another_photograph_are_not_held_against_the_cloth(shelf):
    path = shelf.folder / "photographs" / kept.SWATCHES
    file = path / f"{Collection(shelf).identity(2)}.zip"
    file.write_bytes(b"not a zip")
    first = elsewhere(shelf, 1, 0).stands[0]
    assert first.quilt.number == 2
    assert not first.looked_at
    assert cloth_picture(shelf, 2, 1) is None
    file.unlink()
    assert elsewhere(shelf, 1, 0).stands[0].quilt.number == 2
    held = kept.of_study(shelf, 3)
    kept.put(shelf, 3, kept.Cloths(VERSION, "newer", held.described), kept.pictures(shelf, 3))
    assert cloth_picture(shelf, 3, 0) is None


def test_cloths_go_with_a_study_that_is_deleted_for_good(shelf):
    file = shelf.folder / "photographs" / kept.SWATCHES / f"{Collection(shelf).identity(2)}.zip"
    assert file.is_file()
    Collection(shelf).set_aside(2)
    Collection(shelf).delete(2)
    assert not file.exists()
    assert kept.of_study(shelf, 2) is None


def test_a_study_without_described_cloths_has_no_answer_and_one_beyond_the_last_is_refused(shelf):
    number = shelf.create("Never read")
    assert elsewhere(shelf, number, 0) is None
    with pytest.raises(SeamloreError, match="there are 2 in this quilt"):
        elsewhere(shelf, 1, 2)
    with pytest.raises(SeamloreError, match="there are 2 in this quilt"):
        elsewhere(shelf, 1, -1)


def test_alone_on_the_shelf_it_is_said_so(tmp_path):
    with Shelf(tmp_path / "one") as alone:
        alone.create("Only")
        hold(alone, 1, ROSES)
        found = elsewhere(alone, 1, 0)
    assert found.stands == ()
    assert "No other quilt" in found.says


def test_quilts_that_look_alike_on_two_photographs_are_noticed_once_and_not_when_set_aside(shelf):
    rng = np.random.default_rng(6)
    quilt, other = (rng.integers(0, 255, (12, 12, 3), np.uint8).repeat(40, axis=0).repeat(40, axis=1) for _ in "ab")
    dimmer = np.rint(quilt[3:-2, 2:-3] * [0.9, 0.8, 0.7]).astype(np.uint8)
    seen = [looks_of(each) for each in (quilt, other, dimmer[::-1, ::-1])]
    near = likeness(seen[0], seen)
    assert near[2] >= MAY_BE_ONE > near[1]
    held = kept.of_study(shelf, 3)
    kept.put(shelf, 3, kept.Cloths(VERSION, held.rests_on, held.described, seen[2]), b"", [1])
    kept.put(shelf, 1, kept.Cloths(VERSION, held.rests_on, held.described, seen[0]), b"", [3, 1, 99])
    assert kept.alike(shelf) == ((1, 3),)
    assert [each.says for each in twice(shelf)] == ['"In hand" and "Other prints" look alike on their photographs.']
    Collection(shelf).set_aside(3)
    assert twice(shelf) == ()
    Collection(shelf).delete(3)
    kept.put(shelf, 1, kept.Cloths(VERSION, held.rests_on, held.described, seen[0]), b"")
    assert kept.alike(shelf) == ()
