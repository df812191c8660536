"""The shelf as a collection: found, set aside, deleted, duplicated, made as it was; what arrives is whole or not there."""

from __future__ import annotations

import sqlite3

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from seamlore.shelf.cards import Card, Query
from seamlore.shelf.change import Change, ShelfError
from seamlore.shelf.collection import Arrival, Collection, SameStudyError
from seamlore.shelf.photographs import reference_of
from seamlore.shelf.shelf import Shelf

from .states import edit, snapshot, work


@pytest.fixture
def shelf(tmp_path):
    with Shelf(tmp_path / "shelf") as opened:
        yield opened


@pytest.fixture
def collection(shelf):
    return Collection(shelf)


def carded(collection, **cards):
    """Put studies of these names on the shelf, each with its card."""
    for name in cards:
        collection.shelf.create(name)
    collection.renew(lambda standing, before, worked: (cards[standing.entry.name], standing.moves), version=1)


def names(collection, *given, **named):
    return [each.entry.name for each in collection.search(Query(*given, **named))[1]]


def test_search_finds_beginnings_of_words_in_names_and_cards_whatever_their_case_and_accents(collection):
    carded(collection, Basket=Card(words="élan of Indigo"), Star=Card(words="indigo stripe"))
    assert names(collection, "BASK") == ["Basket"]
    assert names(collection, "indi elan") == ["Basket"]
    assert sorted(names(collection, "ind")) == ["Basket", "Star"]
    assert names(collection, "ndigo") == []


@pytest.mark.parametrize("typed", ['"', "*", "a OR b NOT", "name:x", "^", "(", "-- ' ;", "NEAR(a b)", "\x00", "𝔘"])
def test_what_is_typed_is_words_and_never_the_language_of_the_engine(collection, typed):
    carded(collection, Basket=Card(words="plain"))
    assert names(collection, typed) == []


def test_filters_and_years_and_words_hold_all_together(collection):
    carded(
        collection,
        one=Card(words="w", marks={"block": ("Shoo Fly", "Bow Tie")}, years=(1880, 1900)),
        two=Card(words="w", marks={"block": ("Bow Tie",)}, years=(1920, 1930)),
        three=Card(marks={"block": ("Bow Tie",)}),
    )
    assert names(collection, "w", {"block": "bow tie"}, (1925, None)) == ["two"]
    assert names(collection, "", {"block": "Shoo Fly"}) == ["one"]
    assert sorted(names(collection, years=(1900, 1920))) == ["one", "two"]
    assert collection.values(["block"])["block"] == (("Bow Tie", 3), ("Shoo Fly", 1))


def test_each_order_puts_those_without_a_figure_last_and_pages_do_not_overlap(collection):
    carded(
        collection,
        b=Card(accession="2", years=(1900, 1910), area=10.0),
        a=Card(accession="", years=(1850, 1860), area=30.0),
        c=Card(accession="1", area=None),
    )
    assert names(collection, order="name") == ["a", "b", "c"]
    assert names(collection, order="accession") == ["c", "b", "a"]
    assert names(collection, order="year") == ["a", "b", "c"]
    assert names(collection, order="size") == ["a", "b", "c"]
    pages = [collection.search(Query(order="name"), start=at, most=1)[1][0].entry.name for at in range(3)]
    assert pages == ["a", "b", "c"]


def test_a_card_is_made_anew_only_when_its_study_or_the_way_of_making_changed(collection):
    made = []

    def describe(standing, before, worked):
        made.append((standing.entry.name, before))
        return Card(facts='"kept"'), 7

    first = collection.shelf.create("first")
    collection.shelf.create("second")
    assert collection.renew(describe, version=1) == 2
    assert collection.renew(describe, version=1) == 0
    edit(collection.shelf, first, '"1"', "tape")
    made.clear()
    assert collection.renew(describe, version=1) == 1
    assert made == [("first", '"kept"')]
    assert collection.renew(describe, version=2) == 2
    assert [each.worked for each in collection.listed([first])] == [False]


def test_what_two_studies_share_is_noticed_and_one_set_aside_is_no_twin(collection):
    carded(
        collection,
        one=Card(marks={"accession": ("12",)}),
        two=Card(marks={"accession": ("12",)}),
        three=Card(marks={"accession": ("13",)}),
    )
    assert collection.shared(["accession"]) == (("accession", "12", (1, 2)),)
    collection.set_aside(2)
    assert collection.shared(["accession"]) == ()
    assert collection.values(["accession"])["accession"] == (("12", 1), ("13", 1))


def test_a_duplicate_has_the_sections_and_none_of_the_fate(collection):
    shelf, study = collection.shelf, work(collection.shelf)
    copy = collection.duplicate(study)
    assert {n: s.value for n, s in shelf.read_all(copy).items()} == {
        n: s.value for n, s in shelf.read_all(study).items()
    }
    assert collection.identity(copy) != collection.identity(study)
    edit(shelf, copy, '"changed"', "tape")
    assert shelf.read(study, "tape").value == '"3"'


def test_set_aside_is_out_of_every_list_and_comes_back_whole(collection):
    study = work(collection.shelf)
    before = snapshot(collection.shelf)
    collection.set_aside(study)
    assert collection.shelf.studies() == ()
    assert names(collection) == []
    assert names(collection, aside=True) == ["Second name"]
    collection.take_back(study)
    assert snapshot(collection.shelf) == before


def photographed(shelf, name, *pictures):
    """A study with photographs, as `steps` keeps them in its section."""
    references = [shelf.add_photograph(each, "jpg") for each in pictures]
    study = shelf.create(name, [Change("photographs", 0, str(references).replace("'", '"'), "added")])
    return study, references


def test_deleted_for_good_takes_the_photographs_that_no_other_study_ever_had(collection):
    shelf = collection.shelf
    mine, (own, both) = photographed(shelf, "mine", b"own picture", b"shared picture")
    other, _ = photographed(shelf, "other", b"shared picture")
    edit(shelf, other, "[]", "photographs")
    shelf.keep_thumbnail(own, b"small")
    with pytest.raises(ShelfError, match="set it aside first"):
        collection.delete(mine)
    collection.set_aside(mine)
    collection.delete(mine)
    assert [each.name for each in shelf.studies()] == ["other"]
    assert not (shelf.folder / "photographs" / own).exists()
    assert not shelf.thumbnail(own).exists()
    # The other may still undo its way back to it.
    assert shelf.read_photograph(both) == b"shared picture"


def test_a_shelf_whose_last_study_was_deleted_opens_and_one_that_lost_it_does_not(tmp_path):
    for deleted in (True, False):
        folder = tmp_path / str(deleted)
        with Shelf(folder) as shelf:
            study = work(shelf)
            if deleted:
                Collection(shelf).set_aside(study)
                Collection(shelf).delete(study)
        if deleted:
            with Shelf(folder) as shelf:
                assert shelf.studies() == ()
        else:
            with sqlite3.connect(folder / "shelf.sqlite") as other:
                other.execute("DELETE FROM studies")
            with pytest.raises(ShelfError, match="studies are gone"):
                Shelf(folder)


def test_photographs_of_a_deleted_study_that_the_disk_would_not_let_go_go_at_the_next_opening(tmp_path, monkeypatch):
    from seamlore.shelf import photographs

    with Shelf(tmp_path / "shelf") as shelf:
        study, (reference,) = photographed(shelf, "mine", b"picture")
        Collection(shelf).set_aside(study)
        with monkeypatch.context() as patched:
            patched.setattr(photographs, "remove", _refuse)
            with pytest.raises(ShelfError):
                Collection(shelf).delete(study)
        assert shelf.studies() == ()
        assert (shelf.folder / "photographs" / reference).exists()
    with Shelf(tmp_path / "shelf") as shelf:
        assert not (shelf.folder / "photographs" / reference).exists()


def _refuse(*_):
    raise PermissionError(13, "Permission denied")


@settings(max_examples=20, deadline=None)
@given(st.lists(st.sampled_from(["a", "b", "undo", "rename"]), min_size=1, max_size=12), st.data())
def test_any_step_of_any_history_is_given_as_it_was_and_made_so_again(tmp_path_factory, moves, data):
    with Shelf(tmp_path_factory.mktemp("shelf")) as shelf:
        collection, study = Collection(shelf), shelf.create("first")
        states = {0: ("first", {})}
        for index, move in enumerate(moves):
            if move == "undo":
                shelf.undo(study)
            elif move == "rename":
                shelf.rename(study, f"name {index}")
            else:
                edit(shelf, study, f'"{index}"', move)
            standing = [done.number for done in shelf.history(study) if done.stands]
            at = max(standing, default=0)
            kept = {n: s.value for n, s in shelf.read_all(study).items() if s.value is not None}
            states[at] = (shelf.entry(study).name, kept)
        last = max((done.number for done in shelf.history(study)), default=0)
        number = data.draw(st.integers(0, last))
        assert collection.sections_at(study, number) == states[number]
        collection.restore(study, number)
        kept = {n: s.value for n, s in shelf.read_all(study).items() if s.value is not None}
        assert (shelf.entry(study).name, kept) == states[number]
    # All is of one moment: it opens again.
    with Shelf(shelf.folder):
        pass


def test_going_back_is_one_step_that_is_undone_like_any_other(collection):
    shelf, study = collection.shelf, work(collection.shelf)
    before = {n: s.value for n, s in shelf.read_all(study).items()}
    collection.restore(study, 1, where="keep")
    assert shelf.entry(study).name == "First name"
    done = shelf.undo(study)
    assert done.says == "went back to how it was after step 1"
    assert done.where == "keep"
    assert {n: s.value for n, s in shelf.read_all(study).items()} == before
    assert shelf.entry(study).name == "Second name"
    with pytest.raises(ShelfError, match="steps 0 to"):
        collection.restore(study, 99)


ARRIVAL = Arrival("ab" * 16, "Come by post", {"tape": '{"version":2}'}, {reference_of(b"picture", "jpg"): b"picture"})


def test_what_arrives_is_there_once_and_the_same_again_changes_nothing(collection):
    assert collection.arrive(ARRIVAL) == (1, True)
    assert collection.identity(1) == "ab" * 16
    before = snapshot(collection.shelf)
    assert collection.arrive(ARRIVAL) == (1, False)
    assert snapshot(collection.shelf) == before


def test_two_studies_of_one_identity_are_refused_and_come_side_by_side_when_that_is_wanted(collection):
    collection.arrive(ARRIVAL)
    edit(collection.shelf, 1, '{"version":2,"width":"70 in"}', "tape")
    before = snapshot(collection.shelf)
    with pytest.raises(SameStudyError, match="has changed since") as caught:
        collection.arrive(ARRIVAL)
    assert caught.value.number == 1
    assert snapshot(collection.shelf) == before
    assert collection.arrive(ARRIVAL, as_copy=True) == (2, True)
    assert collection.identity(2) != collection.identity(1)


@pytest.mark.parametrize("when", ["second photograph", "study"])
def test_a_disk_that_fills_up_in_the_middle_leaves_the_shelf_as_it_was(collection, monkeypatch, when):
    shelf = collection.shelf
    work(shelf)
    before = snapshot(shelf), sorted(path.name for path in shelf.folder.rglob("*"))
    arrival = Arrival("cd" * 16, "Large", {"tape": "{}"}, {reference_of(d, "jpg"): d for d in (b"one", b"two")})
    full = ShelfError("the shelf", "there is no room left on the disk", "make room there")
    if when == "study":
        monkeypatch.setattr(Shelf, "create", lambda *given, **named: (_ for _ in ()).throw(full))
    else:
        real, kept = Shelf.add_photograph, []

        def add(self, data, suffix):
            if kept:
                raise full
            kept.append(data)
            return real(self, data, suffix)

        monkeypatch.setattr(Shelf, "add_photograph", add)
    with pytest.raises(ShelfError, match="no room left"):
        collection.arrive(arrival)
    monkeypatch.undo()
    assert (snapshot(shelf), sorted(path.name for path in shelf.folder.rglob("*"))) == before


def test_a_shelf_of_an_older_version_is_backed_up_before_it_is_brought_up(tmp_path):
    import shutil
    from pathlib import Path

    old = Path(__file__).parent.parent / "data" / "shelf_of_version_1"
    shutil.copytree(old, tmp_path / "shelf")
    with Shelf(tmp_path / "shelf") as shelf:
        (kept,) = shelf.backups()
        with sqlite3.connect(kept.path) as backup:
            assert backup.execute("PRAGMA user_version").fetchone() == (1,)
        assert len({Collection(shelf).identity(each.number) for each in shelf.studies()}) == 2
