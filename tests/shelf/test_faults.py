"""What disks, other programs and careless hands do to a shelf: each is said in a sentence, and nothing that was acknowledged is lost."""

from __future__ import annotations

import contextlib
import os
import shutil
import sqlite3
import subprocess
import sys
import threading

import pytest

from seamlore.shelf import database as database_module
from seamlore.shelf.change import MissingPhotographError, ShelfError, StaleChangeError
from seamlore.shelf.shelf import Shelf

from .states import PHOTOGRAPH, edit, snapshot, work

needs_limits = pytest.mark.skipif(os.name == "nt", reason="needs limits on the size of a file")


@pytest.fixture(autouse=True)
def impatient(monkeypatch):
    """Others are not waited for."""
    monkeypatch.setattr(database_module, "_PATIENCE_S", 0.05)


@pytest.fixture
def folder(tmp_path):
    return tmp_path / "shelf"


# Faults while the shelf is open: the edit is refused in words, and goes through when they are over


@contextlib.contextmanager
def another_writes(shelf):
    with contextlib.closing(sqlite3.connect(shelf.folder / "shelf.sqlite", isolation_level=None)) as other:
        other.execute("BEGIN IMMEDIATE")
        yield


@contextlib.contextmanager
def another_reads(shelf):
    """Nothing is refused before COMMIT."""
    with contextlib.closing(sqlite3.connect(shelf.folder / "shelf.sqlite", isolation_level=None)) as other:
        other.execute("BEGIN")
        other.execute("SELECT name FROM studies").fetchone()
        yield


@contextlib.contextmanager
def another_alone(shelf):
    with contextlib.closing(sqlite3.connect(shelf.folder / "shelf.sqlite", isolation_level=None)) as other:
        other.execute("BEGIN EXCLUSIVE")
        yield


@contextlib.contextmanager
def full_database(shelf):
    with shelf._database.reading() as connection:
        (pages,) = connection.execute("PRAGMA page_count").fetchone()
        connection.execute(f"PRAGMA max_page_count = {pages}")
    yield
    with shelf._database.reading() as connection:
        connection.execute("PRAGMA max_page_count = 1000000")


@contextlib.contextmanager
def small_files(limit):
    import resource  # not there on Windows

    before = resource.getrlimit(resource.RLIMIT_FSIZE)
    resource.setrlimit(resource.RLIMIT_FSIZE, (limit, before[1]))
    try:
        yield
    finally:
        resource.setrlimit(resource.RLIMIT_FSIZE, before)


@contextlib.contextmanager
def no_longer_files(shelf):
    with small_files((shelf.folder / "shelf.sqlite").stat().st_size):
        yield


@contextlib.contextmanager
def no_file_at_all(shelf):
    with small_files(600):
        yield


@contextlib.contextmanager
def read_only(shelf):
    with shelf._database.reading() as connection:
        connection.execute("PRAGMA query_only = ON")
    yield
    with shelf._database.reading() as connection:
        connection.execute("PRAGMA query_only = OFF")


@contextlib.contextmanager
def moved_away(shelf):
    path = shelf.folder / "shelf.sqlite"
    path.rename(path.with_name("elsewhere"))
    yield
    path.with_name("elsewhere").rename(path)


@contextlib.contextmanager
def journal_in_the_way(shelf):
    path = shelf.folder / "shelf.sqlite-journal"
    path.mkdir()
    yield
    path.rmdir()


@contextlib.contextmanager
def full_disk(shelf):
    """A disk of its own that is really full, where one may be mounted."""
    filler = shelf.folder / "filler"
    with contextlib.suppress(OSError), filler.open("wb", buffering=0) as stream:
        for size in (4096, 256, 1):
            with contextlib.suppress(OSError):
                while stream.write(b"x" * size):
                    pass
    yield
    filler.unlink()


BUSY, FULL, READ_ONLY, REFUSED = (
    "another program is using its file",
    "no room left on the disk",
    "read-only or was moved",
    "the disk would not read or write",
)
WHILE_OPEN = {
    "another program writes": (another_writes, BUSY),
    "another program reads": (another_reads, BUSY),
    "another program has it alone": (another_alone, BUSY),
    "the database is full": (full_database, FULL),
    "files may not grow": (no_longer_files, REFUSED),
    "the journal has no room": (no_file_at_all, REFUSED),
    "it is read-only": (read_only, READ_ONLY),
    "it was moved away": (moved_away, READ_ONLY),
    "the journal cannot be made": (journal_in_the_way, REFUSED),
}
EDITS = {
    "an edit": lambda shelf, study: edit(shelf, study, "1" * 50_000, "tape"),
    "an edit of two sections": lambda shelf, study: edit(shelf, study, "1" * 30_000, "tape", "label"),
    "a new study": lambda shelf, study: shelf.create("1" * 100),
    "an undo": lambda shelf, study: shelf.undo(study),
}


@pytest.mark.parametrize("what", EDITS)
@pytest.mark.parametrize("fault", WHILE_OPEN)
@needs_limits
def test_an_edit_that_is_refused_is_said_and_not_kept_and_the_next_goes_through(fault, what, folder):
    cause, sentence = WHILE_OPEN[fault]
    if fault in ("the database is full", "files may not grow") and what in ("a new study", "an undo"):
        pytest.skip("so little still goes into the pages that are there")
    with Shelf(folder) as shelf:
        study = work(shelf)
        edit(shelf, study, "0" * 9_000, "draft")
        before = snapshot(shelf)
        for _ in range(2):
            with cause(shelf), pytest.raises(ShelfError, match=sentence):
                EDITS[what](shelf, study)
            assert snapshot(shelf) == before
        EDITS[what](shelf, study)
        after = snapshot(shelf)
        assert after != before
    with Shelf(folder) as shelf:
        assert snapshot(shelf) == after


def test_a_look_while_another_program_has_the_shelf_alone_is_refused_in_words(folder):
    with Shelf(folder) as shelf:
        study = work(shelf)
        with another_alone(shelf), pytest.raises(ShelfError, match=BUSY):
            shelf.studies()
        assert shelf.standing(study).entry.name == "Second name"


def test_what_cannot_even_be_taken_back_is_taken_back_when_the_file_is_opened_anew(folder):
    with Shelf(folder) as shelf:
        study = work(shelf)
        before = snapshot(shelf)
        connection = shelf._database._open

        class Broken:
            in_transaction = True

            def execute(self, statement, *given):
                if statement in ("COMMIT", "ROLLBACK"):
                    fault = sqlite3.OperationalError("disk I/O error")
                    fault.sqlite_errorcode = sqlite3.SQLITE_IOERR
                    raise fault
                return connection.execute(statement, *given)

            def close(self):
                connection.close()

        shelf._database._open = Broken()
        with pytest.raises(ShelfError, match=REFUSED):
            edit(shelf, study, "1", "tape")
        assert snapshot(shelf) == before
        edit(shelf, study, "2", "tape")
        assert shelf.read(study, "tape").value == "2"


@needs_limits
@pytest.mark.parametrize("what", ["photograph", "backup", "restore"])
def test_a_file_that_finds_no_room_is_said_and_nothing_is_left_of_it(what, folder):
    tasks = {
        "photograph": lambda shelf: shelf.add_photograph(PHOTOGRAPH, "png"),
        "backup": lambda shelf: shelf.backup(),
        "restore": lambda shelf: shelf.restore("newest"),
    }
    with Shelf(folder) as shelf:
        study = work(shelf)
        edit(shelf, study, "0" * 9_000, "draft")
        before, files = snapshot(shelf), {path.name for path in folder.rglob("*")}
        with small_files(20_000), pytest.raises(ShelfError, match=f"{FULL}|{REFUSED}"):
            tasks[what](shelf)
        assert snapshot(shelf) == before
        assert {path.name for path in folder.rglob("*")} == files
        edit(shelf, study, "2", "tape")
        tasks[what](shelf)


@pytest.mark.skipif(not sys.platform.startswith("linux"), reason="mounts a disk of its own")
def test_on_a_disk_that_is_really_full_or_read_only_it_is_said_and_the_edit_goes_through_when_there_is_room(tmp_path):
    place = tmp_path / "disk"
    place.mkdir()
    mounted = subprocess.run(
        ["mount", "-t", "tmpfs", "-o", "size=600k", "tmpfs", str(place)], capture_output=True, check=False
    )
    if mounted.returncode:
        pytest.skip("no disk may be mounted here")
    try:
        with Shelf(place / "shelf") as shelf:
            study = work(shelf)
            before = snapshot(shelf)
            with full_disk(shelf):
                for task in (EDITS["an edit"], lambda shelf, _: shelf.add_photograph(PHOTOGRAPH, "png")):
                    with pytest.raises(ShelfError, match=FULL):
                        task(shelf, study)
                with pytest.raises(ShelfError, match=f"{FULL}|{REFUSED}"):
                    shelf.backup()
                assert snapshot(shelf) == before
            EDITS["an edit"](shelf, study)
            after = snapshot(shelf)
        with Shelf(place / "shelf") as shelf:
            assert snapshot(shelf) == after
        subprocess.run(["mount", "-o", "remount,ro", str(place)], check=True)
        with pytest.raises(ShelfError, match="read-only"):
            Shelf(place / "shelf")
    finally:
        subprocess.run(["umount", str(place)], check=True)


# What is found when the shelf is opened: refused with the newest backup by name, left as it is, and put back


def over(path, start, data):
    with path.open("r+b") as stream:
        stream.seek(start)
        stream.write(data)


def a_middle_page(path):
    # SQLite's pages here have 4096 bytes.
    over(path, 4096 * 2, b"\x00" * 4096)


def dropped(path):
    with contextlib.closing(sqlite3.connect(path)) as connection, connection:
        connection.execute("PRAGMA foreign_keys = OFF")
        for table in ("changes", "sections", "studies"):
            connection.execute(f"DROP TABLE {table}")
        connection.execute("PRAGMA user_version = 0")


def begun_anew(path):
    with contextlib.closing(sqlite3.connect(path)) as connection, connection:
        connection.execute("DELETE FROM studies")


def gone_with_its_journal_left(path):
    """The journal would put other pages into whatever database is laid beside it."""
    journal = path.with_name(path.name + "-journal")
    with contextlib.closing(sqlite3.connect(path, isolation_level=None)) as connection:
        connection.execute("UPDATE changes SET says = 'of another time'")
        connection.execute("PRAGMA cache_size = 2")
        connection.execute("BEGIN")
        connection.execute("UPDATE changes SET says = hex(randomblob(2000))")
        held = journal.read_bytes()
        connection.execute("ROLLBACK")
    path.unlink()
    journal.write_bytes(held)


FOUND = {
    "a page overwritten": (a_middle_page, "it is damaged"),
    "every page overwritten": (lambda path: over(path, 100, b"\xff" * (path.stat().st_size - 100)), "it is damaged"),
    "its head overwritten": (lambda path: over(path, 0, b"\x00" * 100), "it is damaged"),
    "cut to half": (lambda path: os.truncate(path, path.stat().st_size // 2), "it is damaged"),
    "cut to a page and a bit": (lambda path: os.truncate(path, 5000), "it is damaged"),
    "emptied": (lambda path: os.truncate(path, 0), "it is empty"),
    "gone": (lambda path: path.unlink(), "it is not there"),
    "gone with its journal left": (gone_with_its_journal_left, "it is not there"),
    "another kind of file": (lambda path: path.write_bytes(b"these are words, not a database" * 99), "it is damaged"),
    "its tables gone": (dropped, "there is nothing in it"),
    "its studies gone": (begun_anew, "its studies are gone"),
}


@pytest.mark.parametrize("fault", FOUND)
def test_a_shelf_that_is_not_as_it_was_is_refused_with_the_newest_backup_named_and_comes_back_whole(fault, folder):
    spoil, how = FOUND[fault]
    with Shelf(folder) as shelf:
        study = work(shelf)
        before = snapshot(shelf)
        newest = shelf.backup()
    path = folder / "shelf.sqlite"
    spoil(path)
    spoiled = {each.name: each.read_bytes() for each in folder.iterdir() if each.is_file()}
    for _ in range(2):
        with pytest.raises(ShelfError, match=how) as refusal:
            Shelf(folder)
        assert newest.says in str(refusal.value)
        assert "seamlore shelf restore" in str(refusal.value)
        assert {each.name: each.read_bytes() for each in folder.iterdir() if each.is_file()} == spoiled
    with Shelf(folder, restore="newest") as shelf:
        assert snapshot(shelf) == before
        edit(shelf, study, "1", "tape")
    # What was there is kept beside it: someone may know how to mend it.
    if path.name in spoiled:
        assert [each.read_bytes() for each in (folder / "backups").glob("aside-*.sqlite")] == [spoiled[path.name]]
    with Shelf(folder) as shelf:
        assert shelf.read(study, "tape").value == "1"


@pytest.mark.parametrize("fault", ["emptied", "gone", "a page overwritten"])
def test_without_a_backup_what_is_lost_is_refused_all_the_same_and_never_replaced(fault, folder):
    with Shelf(folder) as shelf:
        work(shelf)
    shutil.rmtree(folder / "backups")
    FOUND[fault][0](folder / "shelf.sqlite")
    spoiled = {each: each.read_bytes() for each in folder.rglob("*") if each.is_file()}
    with pytest.raises(ShelfError, match="no backup in the folder"):
        Shelf(folder)
    with pytest.raises(ShelfError, match="not in the row of backups"):
        Shelf(folder, restore="newest")
    assert {each: each.read_bytes() for each in folder.rglob("*") if each.is_file()} == spoiled


def test_a_damaged_backup_is_not_put_back_and_an_older_one_is(folder):
    with Shelf(folder) as shelf:
        work(shelf)
        before = snapshot(shelf)
        older, newest = shelf.backup(), shelf.backup()
    a_middle_page(newest.path)
    a_middle_page(folder / "shelf.sqlite")
    spoiled = (folder / "shelf.sqlite").read_bytes()
    with pytest.raises(ShelfError, match="damaged itself"):
        Shelf(folder, restore="newest")
    assert (folder / "shelf.sqlite").read_bytes() == spoiled
    with Shelf(folder, restore=older.name) as shelf:
        assert snapshot(shelf) == before


def test_a_shelf_of_a_later_version_is_refused_and_left_as_it_is(folder):
    with Shelf(folder) as shelf:
        work(shelf)
    path = folder / "shelf.sqlite"
    with contextlib.closing(sqlite3.connect(path)) as connection:
        connection.execute("PRAGMA user_version = 99")
    before = path.read_bytes()
    with pytest.raises(ShelfError, match="use the newer Seamlore"):
        Shelf(folder)
    assert path.read_bytes() == before


# Photographs


PICTURES = {
    "gone": (lambda path: path.unlink(), "no longer in the folder"),
    "emptied": (lambda path: path.write_bytes(b""), "damaged or was changed"),
    "cut": (lambda path: os.truncate(path, 1000), "damaged or was changed"),
    "one byte changed": (lambda path: over(path, 5000, b"?"), "damaged or was changed"),
    "another file": (lambda path: path.write_bytes(b"another picture"), "damaged or was changed"),
}


@pytest.mark.parametrize("fault", PICTURES)
def test_a_photograph_that_is_not_what_it_was_is_missed_and_comes_back_when_it_is_added_again(fault, folder):
    spoil, how = PICTURES[fault]
    with Shelf(folder) as shelf:
        study = work(shelf)
        reference = shelf.add_photograph(PHOTOGRAPH, "png")
        spoil(shelf.photograph(reference))
        with pytest.raises(MissingPhotographError, match=how):
            shelf.read_photograph(reference)
        edit(shelf, study, "1", "tape")
        assert shelf.add_photograph(PHOTOGRAPH, "png") == reference
        assert shelf.read_photograph(reference) == PHOTOGRAPH


# Several at once


def test_a_second_program_is_refused_and_the_first_loses_nothing(folder):
    with Shelf(folder) as shelf:
        study = work(shelf)
        code = (
            f"from pathlib import Path; from seamlore.shelf.shelf import Shelf; Shelf(Path({str(folder)!r}), **GIVEN)"
        )
        for given in ("{}", "{'restore': 'newest'}"):
            done = subprocess.run(
                [sys.executable, "-c", code.replace("GIVEN", given)], capture_output=True, text=True, check=False
            )
            assert "another Seamlore has it open" in done.stderr
            edit(shelf, study, given.replace("'", ""), "tape")
        before = snapshot(shelf)
    with Shelf(folder) as shelf:
        assert snapshot(shelf) == before


def together(count, task):
    """Do a task in several threads at once and give what each came to."""
    found, gate = [None] * count, threading.Barrier(count)

    def one(number):
        gate.wait()
        try:
            found[number] = task(number)
        except Exception as fault:
            found[number] = fault

    threads = [threading.Thread(target=one, args=(number,)) for number in range(count)]
    for each in threads:
        each.start()
    for each in threads:
        each.join()
    return found


def test_of_eight_edits_made_on_the_same_state_one_is_kept_and_the_rest_are_told(folder):
    from seamlore.shelf.change import Change

    with Shelf(folder) as shelf:
        study = shelf.create("Star")
        found = together(8, lambda number: shelf.apply(study, Change("tape", 0, str(number), "edited")))
        kept = [number for number, came in enumerate(found) if came == 1]
        assert len(kept) == 1
        assert sum(isinstance(came, StaleChangeError) for came in found) == 7
        assert shelf.read(study, "tape").value == str(kept[0])


def test_the_same_photograph_sent_twelve_times_at_once_is_kept_once_and_fails_never(folder):
    with Shelf(folder) as shelf:
        found = together(12, lambda _: shelf.add_photograph(PHOTOGRAPH, "png"))
        assert len(set(found)) == 1
        assert shelf.read_photograph(found[0]) == PHOTOGRAPH
        assert [path.name for path in (folder / "photographs").iterdir()] == [found[0]]


def test_edits_go_on_while_backups_are_made_and_each_backup_is_a_state_that_there_was(folder, monkeypatch):
    monkeypatch.setattr(database_module, "_PAGES_AT_ONCE", 20)
    with Shelf(folder) as shelf:
        study = shelf.create("Star")
        edit(shelf, study, "0" * 400_000, "draft")
        end = threading.Event()

        def writer(number):
            if number:
                try:
                    return [shelf.backup() for _ in range(3)]
                finally:
                    end.set()
            count = 0
            while not end.is_set():
                edit(shelf, study, str(count), "tape", "label")
                count += 1
            return count

        count, backups = together(2, writer)
        assert count > 3
    for backup in backups:
        with contextlib.closing(sqlite3.connect(backup.path)) as connection:
            tape, label = (
                connection.execute("SELECT value FROM sections WHERE name = ?", (name,)).fetchone() or (None,)
                for name in ("tape", "label")
            )
            assert tape == label
            assert connection.execute("PRAGMA integrity_check").fetchone() == ("ok",)


def opened_or_put_back(place):
    try:
        return Shelf(place)
    except ShelfError as fault:
        if "the newest backup is of" not in str(fault):
            raise
        return Shelf(place, restore="newest")


def test_a_folder_copied_while_it_is_written_is_whole_or_refused_with_a_backup_that_is(folder, tmp_path):
    with Shelf(folder) as shelf:
        study = work(shelf)
        for number in range(40):
            edit(shelf, study, str(number) * 3_000, "draft")
        shelf.backup()
        sure, end = snapshot(shelf), threading.Event()

        def copied(path, target):
            # The journal comes and goes.
            with contextlib.suppress(FileNotFoundError):
                shutil.copy(path, target)

        def one(number):
            if number:
                try:
                    for copy in range(4):
                        shutil.copytree(folder, tmp_path / f"copy {copy}", copy_function=copied)
                finally:
                    end.set()
                return
            while not end.is_set():
                edit(shelf, study, "9" * 20_000, "tape", "label")

        assert together(2, one) == [None, None]
    for copy in range(4):
        place = tmp_path / f"copy {copy}"
        with opened_or_put_back(place) as opened:
            told = sure["Second name"]["history"]
            assert snapshot(opened)["Second name"]["history"][: len(told)] == told


def test_a_copy_of_pages_from_before_and_after_a_change_is_never_taken_for_the_shelf(folder, tmp_path):
    with Shelf(folder) as shelf:
        study = work(shelf)
        for number in range(30):
            edit(shelf, study, f'"{number}"' + "x" * 300, "tape", "label", says="edited" + "." * 200)
        shelf.backup()
        pages, states = [], []
        for number in range(2):
            edit(shelf, study, f'"then {number}"' + "y" * 300, "tape", "label", says="later" + "." * 200)
            data = (folder / "shelf.sqlite").read_bytes()
            pages.append([data[start : start + 4096] for start in range(0, len(data), 4096)])
            states.append(snapshot(shelf))
    before, after = pages
    torn = 0
    # As a copy goes: the head of the file as it was, the rest as it is now, and the other way round.
    for cut in range(1, len(before)):
        for number, mixed in enumerate((before[:cut] + after[cut:], after[:cut] + before[cut:])):
            place = tmp_path / f"{cut} {number}"
            shutil.copytree(folder, place)
            (place / "shelf.sqlite").write_bytes(b"".join(mixed))
            with opened_or_put_back(place) as opened:
                torn += opened.restored is not None
                assert snapshot(opened) in states or opened.restored is not None
            shutil.rmtree(place)
    assert torn > 3
