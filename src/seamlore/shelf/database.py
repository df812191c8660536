"""The shelf's one database: opened with care, checked, brought up to date, and written all or nothing."""

from __future__ import annotations

import sqlite3
import threading
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager, suppress
from pathlib import Path

from seamlore.shelf.change import ShelfError
from seamlore.shelf.checked import must_check, note_closed
from seamlore.shelf.faults import in_words, is_damage, is_refusal
from seamlore.shelf.files import begin_file

# So long another program that reads or copies the file is waited for.
_PATIENCE_S = 3.0
_PAGES_AT_ONCE = 1000
_BREATH_S = 0.002
_STEPS = Path(__file__).with_name("sql")
# A rollback journal and the strictest synchronization: what was said to be kept is there after a power cut.
_PRAGMAS = ("journal_mode = DELETE", "synchronous = EXTRA", "foreign_keys = ON", "trusted_schema = OFF")


class DamagedError(Exception):
    """The database is damaged, or emptied of what was in it; `how` says in what way."""

    def __init__(self, how: str) -> None:
        self.how = how
        super().__init__(how)


class Database:
    """An open database; threads may share it.

    Parameters
    ----------
    path : Path
    may_begin : bool
        Whether one may be made where there is none.
    before_upgrade : callable, optional
        Called with one that an earlier version wrote, before it is brought up to date; when it raises, it is left as it is.

    Raises
    ------
    DamagedError
        When it is damaged, or is not there and may not be made.
    ShelfError
        When it cannot be used for another reason, or a later version wrote it.
    """

    def __init__(
        self, path: Path, *, may_begin: bool, before_upgrade: Callable[[Database], object] | None = None
    ) -> None:
        self.path = path
        self._one_at_a_time = threading.RLock()
        # Taken before the other, by whoever copies the whole or takes it away.
        self._one_copy = threading.RLock()
        self._open: sqlite3.Connection | None = None
        self._closed = False
        self._checked: float | None = None
        # None until it is open for good.
        self._sound: bool | None = None
        begun = path.is_file() and path.stat().st_size > 0
        if not begun and not may_begin:
            raise DamagedError("it is empty" if path.exists() else "it is not there")
        try:
            begin_file(path)
        except OSError as fault:
            raise in_words(fault, f"{path.name} in {path.parent}") from None
        try:
            try:
                if must_check(path):
                    self._check()
                    self._checked = time.time()
                self._bring_up_to_date(may_begin=may_begin, before=before_upgrade)
            except BaseException:
                self.close()
                raise
        except sqlite3.Error as fault:
            if is_damage(fault):
                raise DamagedError("it is damaged") from None
            raise in_words(fault, f"{path.name} in {path.parent}") from None
        self._sound = True

    @property
    def _connection(self) -> sqlite3.Connection:
        if self._closed:
            raise ShelfError(
                "the shelf", "it was closed, or a backup was put in its place just now", "load the page again"
            )
        if self._open is None:
            made = sqlite3.connect(self.path, isolation_level=None, check_same_thread=False, timeout=_PATIENCE_S)
            try:
                for line in _PRAGMAS:
                    made.execute(f"PRAGMA {line}")
            except BaseException:
                made.close()
                raise
            self._open = made
        return self._open

    def _check(self) -> None:
        (found,) = self._connection.execute("PRAGMA integrity_check(1)").fetchone()
        if found != "ok":
            raise DamagedError("it is damaged")

    def _bring_up_to_date(self, *, may_begin: bool, before: Callable[[Database], object] | None) -> None:
        steps = sorted(_STEPS.glob("*.sql"))
        (version,) = self._connection.execute("PRAGMA user_version").fetchone()
        if version > len(steps):
            raise ShelfError(
                f"a shelf of version {version}", f"this Seamlore knows up to {len(steps)}", "use the newer Seamlore"
            )
        if version == 0 and not may_begin:
            raise DamagedError("there is nothing in it")
        if before is not None and 0 < version < len(steps):
            before(self)
        for number, step in enumerate(steps[version:], start=version + 1):
            script = step.read_text(encoding="utf-8")
            try:
                self._connection.executescript(
                    f"BEGIN EXCLUSIVE;\n{script}\nPRAGMA user_version = {number};\nCOMMIT;"
                )
            except BaseException:
                self._take_back()
                raise

    @property
    def is_sound(self) -> bool:
        """Whether no damage was met with."""
        return bool(self._sound)

    def close(self, *, noted: bool = True) -> None:
        """Close it for good, and note that it is as it was closed; again does nothing."""
        with self.alone():
            self._closed = True
            if self._open is not None:
                self._open.close()
                if self._sound is not None and (noted or not self._sound):
                    note_closed(self.path, sound=self._sound, checked=self._checked)
            self._open = None

    @contextmanager
    def alone(self) -> Iterator[None]:
        """Keep every other thread away for as long as it takes."""
        with self._one_copy, self._one_at_a_time:
            yield

    @contextmanager
    def writing(self) -> Iterator[sqlite3.Connection]:
        """Write all of what is done inside, or nothing of it.

        Raises
        ------
        ShelfError
            When the database or the disk refuses; the next one may go through.
        """
        with self._one_at_a_time:
            try:
                self._connection.execute("BEGIN IMMEDIATE")
                yield self._connection
                # Refused as often as anything before it: another program may be reading, the disk may be full.
                self._connection.execute("COMMIT")
            except BaseException as fault:
                self._take_back()
                if isinstance(fault, sqlite3.Error):
                    self._refuse(fault)
                raise

    def _take_back(self) -> None:
        if self._open is None:
            return
        try:
            if self._open.in_transaction:
                self._open.execute("ROLLBACK")
        except sqlite3.Error:
            # What cannot be taken back here is taken back by the journal when the file is opened anew.
            with suppress(sqlite3.Error):
                self._open.close()
            self._open = None

    @contextmanager
    def reading(self) -> Iterator[sqlite3.Connection]:
        """Read several things as they stand at one moment.

        Raises
        ------
        ShelfError
            When the database or the disk refuses.
        """
        with self._one_at_a_time:
            try:
                yield self._connection
            except sqlite3.Error as fault:
                self._refuse(fault)
                raise

    def _refuse(self, fault: sqlite3.Error) -> None:
        if is_damage(fault):
            self._sound = False
        if is_refusal(fault):
            raise in_words(fault) from None

    def copy_to(self, path: Path) -> None:
        """Copy it whole by the database's own online backup; edits wait for a few pages at a time, not for all.

        Raises
        ------
        ShelfError
            When the database or the disk refuses; what is there of the copy is then to be thrown away.
        """
        try:
            begin_file(path)
            target = sqlite3.connect(path)
            try:
                with self.alone():
                    self._connection.backup(target, pages=_PAGES_AT_ONCE, progress=self._let_others)
                (found,) = target.execute("PRAGMA integrity_check(1)").fetchone()
            finally:
                target.close()
        except (sqlite3.Error, OSError) as fault:
            raise in_words(fault, "the backup") from None
        if found != "ok":
            raise ShelfError("the backup", "it did not come out whole, and was not kept", "make it once more")

    def _let_others(self, *_: int) -> None:
        # Edits over the same connection are taken into the copy as it goes on (sqlite.org, Online Backup API).
        self._one_at_a_time.release()
        # Taken again at once, it would be ours again before anybody who waits is awake.
        time.sleep(_BREATH_S)
        self._one_at_a_time.acquire()
