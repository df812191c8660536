"""What the pages share: the open shelf, what was worked out already, and one study at a time as a job."""

from __future__ import annotations

import gc
import threading
from collections.abc import Hashable, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import TypeVar

import msgspec

from seamlore.errors import SeamloreError
from seamlore.shelf.change import Entry, Standing
from seamlore.shelf.shelf import Shelf
from seamlore.steps.study.inputs import Inputs
from seamlore.steps.study.job import Job, Progress
from seamlore.steps.study.kept import OF_THE_PHOTOGRAPH, Kept, changes_for, read_study
from seamlore.steps.study.memo import Memo
from seamlore.steps.study.sections import About, Photograph, Photographs
from seamlore.steps.study.versions import decode, name_of
from seamlore.web.backing_up import BackingUp
from seamlore.web.carding import Carding
from seamlore.web.waiting import Files
from seamlore.web.work import StoppedError, Work

S = TypeVar("S", bound=msgspec.Struct)


@dataclass(frozen=True, slots=True, eq=False)
class OpenStudy:
    """One study as a page sees it.

    Parameters
    ----------
    kept : Kept
        What the user put in, and the revision of each section, which a form sends back so that two windows do not
        overwrite each other.
    standing : Standing
        What would be undone or redone.
    job : Job
        What follows from it.
    """

    kept: Kept
    standing: Standing
    job: Job

    @property
    def entry(self) -> Entry:
        """Its number and name on the shelf."""
        return self.kept.entry

    @property
    def revisions(self) -> dict[str, int]:
        """The revision of each section."""
        return self.kept.revisions

    def section(self, kind: type[S]) -> S:
        """Give one section by its type; an empty one when the user has put nothing in."""
        return self.kept.section(kind)

    @property
    def front(self) -> Photograph | None:
        """The photograph that is read, though it may be missing; None before there is one."""
        return self.section(Photographs).front

    @property
    def photograph(self) -> Photograph | None:
        """The photograph that is read; None before there is one, and when it is missing."""
        return None if self.kept.missing else self.front

    @property
    def can_undo(self) -> str | None:
        """What would be undone."""
        return self.standing.undo.says if self.standing.undo else None

    @property
    def can_redo(self) -> str | None:
        """What would be redone."""
        return self.standing.redo.says if self.standing.redo else None

    def last_said(self, step: str) -> str:
        """Say on the page where it was what the last undo took back, or the last redo made again; else nothing."""
        undone = self.standing.moved == "undo"
        last = self.standing.redo if undone else self.standing.undo
        if last is None or self.standing.moved not in ("undo", "redo") or last.where not in ("", step):
            return ""
        return f"Taken back: {last.says}." if undone else f"Made again: {last.says}."


class Desk:
    """The open shelf and what was worked out from it.

    Parameters
    ----------
    shelf : Shelf

    Attributes
    ----------
    watched : Path or None
        The folder in which photographs arrive by themselves, if one is watched.
    refused : dict of str to str
        What arrived there and could not be taken: why, by the file's name.
    """

    def __init__(self, shelf: Shelf) -> None:
        self.shelf = shelf
        self.watched: Path | None = None
        self.refused: dict[str, str] = {}
        self.memo = Memo()
        self.backing_up = BackingUp(shelf)
        self.carding = Carding(self)
        self.files = Files()
        self._works: dict[Hashable, Work] = {}
        self._again: dict[int, Work] = {}
        self._reading: list[threading.Thread] = []
        self._lock = threading.Lock()

    def study(self, number: int, *, progress: Progress | None = None) -> OpenStudy:
        """Take a study from the shelf.

        Raises
        ------
        ShelfError
            When there is no such study.
        """
        standing = self.shelf.standing(number)
        kept = read_study(standing, self._photograph)
        return OpenStudy(kept, standing, self.job(kept.inputs, progress=progress))

    def job(self, inputs: Inputs, *, progress: Progress | None = None) -> Job:
        """Give the job on some inputs; it shares what was worked out already."""
        return Job(inputs, memo=self.memo, progress=progress)

    def _photograph(self, reference: str) -> bytes:
        # Kept in memory once: the same photograph is asked for by every page.
        return self.memo.get(("file", reference), lambda: self.shelf.read_photograph(reference))

    def reading(self, study: OpenStudy) -> Work:
        """Give the work of reading a study's photograph; begun in the background if it was not yet.

        The first tenth of a second is waited for, so that what is quick needs no second page.
        """
        key = study.job.read_key
        if self.memo.holds(key):
            return Work(done=True, part=1.0)
        with self._lock:
            work = self._works.get(key)
            if work is None or (work.done and not work.fault):
                work = self._works[key] = Work()
                job = self.job(study.job.inputs, progress=work.told)
                thread = threading.Thread(target=_read, args=(job, work), daemon=True, name="reading")
                thread.start()
                self._reading = [each for each in self._reading if each.is_alive()] + [thread]
            else:
                thread = None
        if thread is not None:
            thread.join(0.1)
        return work

    def stop_reading(self, study: OpenStudy) -> None:
        """Stop the work of reading a study's photograph, and let it be begun again."""
        with self._lock:
            work = self._works.pop(study.job.read_key, None)
        if work is not None:
            work.wanted = False

    def read_again(self, study: OpenStudy) -> None:
        """Forget a reading that could not be done, so that it is begun anew; one that is under way goes on."""
        with self._lock:
            work = self._works.get(study.job.read_key)
            if work is not None and work.fault:
                del self._works[study.job.read_key]

    def read_now(self, number: int, inputs: Inputs) -> None:
        """Read a study's photograph with other inputs while the caller waits; `again` says how far that is.

        Raises
        ------
        SeamloreError
            When it cannot be read so, or was stopped.
        """
        work = self._again[number] = Work(stage="reading again")
        try:
            self.job(inputs, progress=work.told).look  # noqa: B018 - kept by the memo, which is all that is wanted
        except StoppedError:
            raise SeamloreError(
                "The reading was stopped", "what you changed was not kept", "change it again if you still want it"
            ) from None
        finally:
            work.done = True

    def again(self, number: int) -> Work | None:
        """Give the work of reading a study again, while somebody waits for it."""
        work = self._again.get(number)
        return None if work is None or work.done else work

    def changes(self, number: int, made: Sequence[tuple[msgspec.Struct, int, str]], *, where: str = "") -> None:
        """Keep new values of several sections, each with its base and what was done: all or none, as one step of undo.

        Parameters
        ----------
        where : str
            The step on whose page it was done; the sections' own when not given.

        Raises
        ------
        StaleChangeError
            When a section has changed since its base.
        ShelfError
            When it cannot be kept.
        """
        if not made:
            return
        front = None
        if any(name_of(type(section)) in OF_THE_PHOTOGRAPH for section, *_ in made):
            photographs = decode(Photographs, self.shelf.read(number, "photographs").value)
            front = photographs.front if photographs else None
        self.shelf.apply_all(number, changes_for(made, front, where))
        self.backing_up.after_change()
        self.carding.later(number)

    def change(self, number: int, section: msgspec.Struct, base: int, says: str, *, where: str = "") -> None:
        """Keep a new value of a section; as `changes`."""
        self.changes(number, [(section, base, says)], where=where)

    def begin(self, name: str, photograph: Photograph | None, says: str) -> int:
        """Begin a study, with a photograph or without, and give its number."""
        section = Photographs(photographs=(photograph,)) if photograph else About(name=name)
        first = changes_for([(section, 0, says)], None)
        number = self.shelf.create(name, first)
        self.backing_up.after_change()
        return number

    def close(self) -> None:
        """Stop what is being read, wait until nothing works any more, and make the last backup.

        A thread that is still in a library when the program ends takes the program down with a message of its own.
        """
        with self._lock:
            for work in (*self._works.values(), *self._again.values()):
                work.wanted = False
            reading = list(self._reading)
        for thread in reading:
            thread.join()
        self.files.close()
        self.carding.close()
        self.backing_up.close()


def _read(job: Job, work: Work) -> None:
    try:
        job.look  # noqa: B018 - kept by the memo, which is all that is wanted
    except StoppedError:
        work.fault = "The reading was stopped."
    except SeamloreError as fault:
        work.fault = str(fault)
    except Exception as fault:
        # Whoever waits for the page must be told; the page that asks again shows the whole mistake.
        work.fault = f"Seamlore has made a mistake in reading this photograph ({type(fault).__name__}: {fault})."
    finally:
        # What was loaded for this stays: answers to what she corrects are not held up by looking through it for garbage.
        gc.collect()
        gc.freeze()
        work.done = True
