"""What lists of studies and of backups say, names at their limits, thumbnails; small rules, each by itself."""

from __future__ import annotations

import datetime
import sqlite3

import pytest

from seamlore.shelf.backups import backups_in, make_backup
from seamlore.shelf.cards import Card, Query
from seamlore.shelf.change import Change, ShelfError
from seamlore.shelf.collection import Arrival, Collection
from seamlore.shelf.faults import in_words, is_refusal, primary_code
from seamlore.shelf.shelf import Shelf

from .states import PHOTOGRAPH, edit

MOMENT = datetime.datetime(2026, 11, 30, 12, tzinfo=datetime.UTC)


@pytest.fixture
def shelf(tmp_path):
    with Shelf(tmp_path / "shelf") as opened:
        yield opened


@pytest.fixture
def collection(shelf):
    return Collection(shelf)


def test_what_is_listed_of_a_study_is_its_own(collection):
    first, second = collection.shelf.create("Basket"), collection.shelf.create("Star")
    collection.renew(
        lambda standing, before, worked: (
            Card(accession=f"A{standing.entry.number}", years=(1880, 1900), facts='{"x": 1}'),
            standing.moves if standing.entry.number == first else -1,
        ),
        version=1,
    )
    one, two = collection.listed([first, second])
    assert (one.entry.name, one.identity, one.accession, one.years) == (
        "Basket", collection.identity(first), "A1", (1880, 1900),
    )  # fmt: skip
    assert (one.facts, one.worked, two.facts, two.worked) == ('{"x": 1}', True, '{"x": 1}', False)
    assert one.identity != two.identity
    assert collection.listed([second, 99, first])[0].entry.number == second
    assert len(collection.listed([second, 99, first])) == 2


def test_a_card_is_made_of_what_the_last_one_said_and_when_that_was_worked_out(collection):
    study = collection.shelf.create("Basket")
    told = []

    def described(standing, before, worked):
        told.append((before, worked))
        return Card(facts='{"a": 2}'), standing.moves

    collection.renew_one(study, described, version=1)
    edit(collection.shelf, study, '"1"', "tape")
    collection.renew_one(study, described, version=1)
    assert told == [(None, -1), ('{"a": 2}', 0)]


def test_how_far_cards_are_made_goes_to_the_whole_and_never_beyond(collection, monkeypatch):
    monkeypatch.setattr("seamlore.shelf.collection._AT_ONCE", 2)
    for name in "abcde":
        collection.shelf.create(name)
    told = []
    collection.renew(lambda standing, before, worked: (Card(), worked), version=1, progress=told.append)
    assert told == pytest.approx([2 / 5, 4 / 5, 1.0])


def test_filters_count_what_stands_on_the_shelf_in_the_order_of_words(collection):
    for name in ("one", "two", "three"):
        collection.shelf.create(name)
    marks = {"one": ("wool", "cotton"), "two": ("wool",), "three": ("wool", "silk")}
    collection.renew(
        lambda standing, before, worked: (Card(marks={"cloth": marks[standing.entry.name]}), worked), version=1
    )
    assert collection.values(["cloth", "none"]) == {"cloth": (("cotton", 1), ("silk", 1), ("wool", 3)), "none": ()}
    assert collection.shared(["cloth"]) == (("cloth", "wool", (1, 2, 3)),)
    collection.set_aside(3)
    assert collection.is_aside(3)
    assert not collection.is_aside(1)
    assert collection.values(["cloth"]) == {"cloth": (("cotton", 1), ("wool", 2))}
    assert collection.shared(["cloth"]) == (("cloth", "wool", (1, 2)),)


def test_a_study_that_is_not_there_is_neither_aside_nor_anyone(collection):
    for ask in (collection.is_aside, collection.identity, collection.set_aside, collection.delete):
        with pytest.raises(ShelfError, match=r"study number 7: there is none on this shelf"):
            ask(7)


def test_how_many_stand_on_the_shelf_and_how_many_came_after_one(collection):
    assert collection.shelf.counted() == (0, 0, 0)
    for name in "abc":
        collection.shelf.create(name)
    assert collection.shelf.counted() == (3, 3, 3)
    assert collection.shelf.counted(1) == (3, 3, 2)
    collection.set_aside(3)
    assert collection.shelf.counted(1) == (2, 2, 1)


def test_a_study_taken_out_leaves_no_word_by_which_it_is_found(collection):
    study = collection.shelf.create("Basket")
    collection.renew(lambda standing, before, worked: (Card("indigo", {"cloth": ("wool",)}), worked), version=1)
    collection.set_aside(study)
    collection.delete(study)
    assert collection.shelf.create("Star") > 0
    assert collection.search(Query("indigo")) == (0, ())
    assert collection.search(Query("basket")) == (0, ())
    assert collection.values(["cloth"]) == {"cloth": ()}


def test_going_back_changes_what_differs_and_nothing_else(collection):
    shelf = collection.shelf
    study = shelf.create("First", [Change("tape", 0, '"a"', "measured"), Change("label", 0, '"b"', "written")])
    edit(shelf, study, '"c"', "tape")
    edit(shelf, study, '"new"', "draft")
    shelf.rename(study, "Second")
    kept = shelf.read(study, "label").revision
    assert collection.sections_at(study, 2) == ("First", {"label": '"b"', "tape": '"c"'})
    collection.restore(study, 1, where="keep")
    assert shelf.entry(study).name == "First"
    assert {name: each.value for name, each in shelf.read_all(study).items()} == {
        "tape": '"a"', "label": '"b"', "draft": None,
    }  # fmt: skip
    assert shelf.read(study, "label").revision == kept
    done = shelf.history(study)[-1]
    assert (done.says, done.where) == ("went back to how it was after step 1", "keep")
    assert sorted(done.sections) == ["draft", "name", "tape"]
    collection.restore(study, 0)
    assert shelf.history(study)[-1].says == "went back to how it was at first"
    before = len(shelf.history(study))
    collection.restore(study, 0)
    assert len(shelf.history(study)) == before
    with pytest.raises(ShelfError, match=r"step 99: this study has steps 0 to 6"):
        collection.sections_at(study, 99)


def test_only_photographs_that_arrive_now_are_taken_out_again_when_the_rest_is_refused(collection, monkeypatch):
    there = collection.shelf.add_photograph(PHOTOGRAPH, "png")
    with Shelf(collection.shelf.folder.parent / "other") as other:
        fresh = other.add_photograph(b"fresh", "jpg")
    arrival = Arrival("a" * 32, "Star", {"tape": '"1"'}, {there: PHOTOGRAPH, fresh: b"fresh"})
    monkeypatch.setattr(collection.shelf, "create", lambda *given, **said: 1 / 0)
    with pytest.raises(ZeroDivisionError):
        collection.arrive(arrival)
    assert collection.shelf.photograph(there).is_file()
    assert not (collection.shelf.folder / "photographs" / fresh).exists()


def test_a_thumbnail_is_kept_beside_the_photographs_and_goes_with_its_own(collection):
    shelf = collection.shelf
    reference = shelf.add_photograph(PHOTOGRAPH, "png")
    assert not shelf.thumbnail(reference).exists()
    shelf.keep_thumbnail(reference, b"small")
    path = shelf.thumbnail(reference)
    assert (path.read_bytes(), path.parent.name, path.suffix) == (b"small", "thumbnails", ".jpg")
    assert path.parent.stat().st_mode & 0o077 == 0
    study = shelf.create("Star", [Change("photographs", 0, f'"{reference}"', "added")])
    collection.set_aside(study)
    collection.delete(study)
    assert not path.exists()
    assert not (shelf.folder / "photographs" / reference).exists()
    with shelf.database.reading() as database:
        assert database.execute("SELECT count(*) FROM unwanted").fetchone() == (0,)


@pytest.mark.parametrize(("letters", "taken"), [(0, False), (1, True), (120, True), (121, False)])
def test_a_name_has_1_to_120_letters(shelf, letters, taken):
    study = shelf.create("Star")
    if taken:
        shelf.rename(study, "x" * letters)
        assert shelf.entry(study).name == "x" * letters
    else:
        with pytest.raises(ShelfError, match="a name has 1 to 120 letters"):
            shelf.rename(study, "x" * letters)


def test_a_file_that_is_no_backup_stands_in_no_row_of_them(tmp_path):
    for name in ("shelf-2026-13-45-999999.sqlite", "shelf-2026-11-30-120000.sqlite.part", "notes.txt"):
        (tmp_path / name).write_bytes(b"")
    (tmp_path / "shelf-2026-11-30-120000.sqlite").write_bytes(b"")
    assert [each.name for each in backups_in(tmp_path)] == ["shelf-2026-11-30-120000.sqlite"]


def test_an_old_backup_that_the_disk_does_not_let_go_stays_and_the_new_one_is_made(shelf, monkeypatch):
    folder = shelf.folder / "backups"
    for minute in range(5):
        make_backup(shelf.database, folder, now=MOMENT + datetime.timedelta(minutes=minute))
    stuck = backups_in(folder)[-1]
    unlink = type(stuck.path).unlink

    def refused(path, missing_ok=False):
        if path.suffix == ".sqlite":
            raise PermissionError(13, "in use")
        unlink(path, missing_ok=missing_ok)

    monkeypatch.setattr(type(stuck.path), "unlink", refused)
    made = make_backup(shelf.database, folder, now=MOMENT + datetime.timedelta(minutes=9))
    assert made.path.is_file()
    assert stuck.path.is_file()


def test_a_study_of_a_high_number_is_listed_and_one_beyond_counting_is_none(collection):
    study = collection.shelf.create("Star")
    with collection.shelf.database.writing() as database:
        database.execute("UPDATE studies SET id = 500 WHERE id = ?", (study,))
    assert [each.entry.name for each in collection.listed([500])] == ["Star"]
    assert collection.shelf.entry(500).name == "Star"
    for number in (2**63, 2**63 + 5, 10**30):
        assert collection.listed([number]) == ()
        with pytest.raises(ShelfError, match="there is none on this shelf"):
            collection.shelf.entry(number)


def test_how_a_study_stands_says_what_would_be_undone_and_redone_and_what_was_done_last(shelf):
    study = shelf.create("Star")
    assert (shelf.standing(study).undo, shelf.standing(study).redo) == (None, None)
    edit(shelf, study, '"1"', "tape", says="measured")
    shelf.rename(study, "Ohio Star")
    standing = shelf.standing(study)
    assert (standing.undo.says, standing.undo.where, standing.redo) == ('named it "Ohio Star"', "", None)
    assert standing.moved == "change"
    shelf.undo(study)
    standing = shelf.standing(study)
    assert (standing.undo.says, standing.redo.says, standing.moved) == ("measured", 'named it "Ohio Star"', "undo")
    shelf.redo(study)
    assert shelf.standing(study).moved == "redo"


def test_what_the_disk_does_not_take_of_a_thumbnail_or_let_go_of_a_part_is_no_fault(shelf, monkeypatch):
    reference = shelf.add_photograph(PHOTOGRAPH, "png")

    def refused(*given):
        raise OSError(28, "No space left on device")

    monkeypatch.setattr("seamlore.shelf.photographs.write_whole", refused)
    shelf.keep_thumbnail(reference, b"small")
    assert not shelf.thumbnail(reference).exists()
    folder = shelf.folder / "backups"
    make_backup(shelf.database, folder, now=MOMENT)
    (folder / "stuck.part").mkdir()
    assert make_backup(shelf.database, folder, now=MOMENT + datetime.timedelta(minutes=1)).path.is_file()


def test_a_refusal_without_a_known_reason_is_said_as_well():
    said = str(in_words(OSError(12345, "odd"), "the photograph"))
    assert said.startswith("the photograph: the disk would not read or write, and nothing was kept of this; see that")
    assert str(in_words(OSError("odd"))) == said.replace("the photograph", "the shelf")
    assert str(in_words(sqlite3.OperationalError("odd"), "the photograph")) == said
    assert (primary_code(sqlite3.Error("odd")), is_refusal(sqlite3.Error("odd"))) == (0, False)
