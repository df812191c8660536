"""What the pages share: the open shelf, what was worked out already, and one study at a time as a job."""

from __future__ import annotations

import gc
import threading
from collections.abc import Hashable
from dataclasses import dataclass
from pathlib import Path
from typing import TypeVar, cast

import msgspec

from seamlore.errors import SeamloreError
from seamlore.lengths import Unit
from seamlore.shelf.change import Change, Section
from seamlore.shelf.shelf import Entry, Shelf
from seamlore.steps.study.inputs import Inputs
from seamlore.steps.study.job import Job, Progress
from seamlore.steps.study.memo import Memo
from seamlore.steps.study.sections import SECTIONS, About, Photograph, decode, encode

S = TypeVar("S", bound=msgspec.Struct)


@dataclass(frozen=True, slots=True, eq=False)
class OpenStudy:
    """One study as a page sees it.

    Parameters
    ----------
    entry : Entry
        Its number and name on the shelf.
    sections : dict of str to Struct
        What the user put in; a section that is not there yet is an empty one, but for the photograph.
    revisions : dict of str to int
        The revision of each section, which a form sends back so that two windows do not overwrite each other.
    job : Job
        What follows from it.
    can_undo, can_redo : str or None
        What would be undone or redone.
    """

    entry: Entry
    sections: dict[str, msgspec.Struct]
    revisions: dict[str, int]
    job: Job
    can_undo: str | None
    can_redo: str | None

    def section(self, kind: type[S]) -> S:
        """Give one section by its type; an empty one when the user has put nothing in."""
        found = next((each for each in self.sections.values() if isinstance(each, kind)), None)
        return found if found is not None else kind()

    @property
    def photograph(self) -> Photograph | None:
        """The photograph's section, or None before there is one."""
        found = self.sections.get("photograph")
        return found if isinstance(found, Photograph) else None


class StoppedError(Exception):
    """The user stopped a piece of work."""


@dataclass(slots=True, eq=False)
class Work:
    """A reading that may take a while.

    Parameters
    ----------
    stage : str
        What is being done now.
    part : float
        How far it is, 0 to 1.
    done : bool
        Whether it is over.
    fault : str
        Why it could not be done; empty when it could.
    wanted : bool
        False once the user has stopped it; the work ends at its next stage.
    """

    stage: str = "Opening the photograph"
    part: float = 0.0
    done: bool = False
    fault: str = ""
    wanted: bool = True

    def told(self, stage: str, part: float) -> None:
        """Note how far the work is; ends it when it is no longer wanted."""
        if not self.wanted:
            raise StoppedError
        self.stage, self.part = stage, part


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
        self._works: dict[Hashable, Work] = {}
        self._again: dict[int, Work] = {}
        self._lock = threading.Lock()

    def study(self, number: int, *, progress: Progress | None = None) -> OpenStudy:
        """Take a study from the shelf.

        Raises
        ------
        ShelfError
            When there is no such study.
        """
        entry = self.shelf.entry(number)
        kept = self.shelf.read_all(number)
        sections = {name: found for name, kind in SECTIONS.items() if (found := decode(kind, _value(kept.get(name))))}
        revisions = {name: kept[name].revision if name in kept else 0 for name in SECTIONS}
        history = self.shelf.history(number)
        done = [each.says for each in history if each.stands]
        undone = [each.says for each in history if not each.stands]
        return OpenStudy(
            entry,
            sections,
            revisions,
            self.job(self._inputs(entry, sections), progress=progress),
            done[-1] if done else None,
            undone[0] if undone else None,
        )

    def job(self, inputs: Inputs, *, progress: Progress | None = None) -> Job:
        """Give the job on some inputs; it shares what was worked out already."""
        return Job(inputs, memo=self.memo, progress=progress)

    def _inputs(self, entry: Entry, sections: dict[str, msgspec.Struct]) -> Inputs:
        photograph = sections.get("photograph")
        data = None
        if isinstance(photograph, Photograph):
            path = self.shelf.photograph(photograph.reference)
            # Kept in memory once: the same photograph is asked for by every page.
            data = self.memo.get(("file", photograph.reference), path.read_bytes)
        about = cast(About, sections.get("about", About()))
        named = msgspec.structs.replace(about, name=entry.name)
        given = {name: section for name, section in sections.items() if name not in ("photograph", "about")}
        photo_name = photograph.name if isinstance(photograph, Photograph) else ""
        shown = Unit(about.unit)
        return Inputs(photo=data, photo_name=photo_name, about=named, shown=shown, **given)  # type: ignore[arg-type]

    def reading(self, study: OpenStudy) -> Work:
        """Give the work of reading a study's photograph; begun in the background if it was not yet.

        The first tenth of a second is waited for, so that what is quick needs no second page.
        """
        key = study.job.look_key
        if self.memo.holds(key):
            return Work(done=True, part=1.0)
        with self._lock:
            work = self._works.get(key)
            if work is None or (work.done and not work.fault):
                work = self._works[key] = Work()
                job = self.job(study.job.inputs, progress=work.told)
                thread = threading.Thread(target=_read, args=(job, work), daemon=True, name="reading")
                thread.start()
            else:
                thread = None
        if thread is not None:
            thread.join(0.1)
        return work

    def stop_reading(self, study: OpenStudy) -> None:
        """Stop the work of reading a study's photograph, and let it be begun again."""
        with self._lock:
            work = self._works.pop(study.job.look_key, None)
        if work is not None:
            work.wanted = False

    def read_again(self, study: OpenStudy) -> None:
        """Forget a reading that could not be done, so that it is begun anew; one that is under way goes on."""
        with self._lock:
            work = self._works.get(study.job.look_key)
            if work is not None and work.fault:
                del self._works[study.job.look_key]

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

    def changes(self, number: int, made: list[tuple[msgspec.Struct, int, str]]) -> None:
        """Keep new values of several sections, each with its base and what was done: all of them or none."""
        self.shelf.apply_all(
            number,
            [
                Change(
                    next(name for name, kind in SECTIONS.items() if isinstance(section, kind)),
                    base,
                    encode(section),
                    says,
                )
                for section, base, says in made
            ],
        )

    def change(self, number: int, section: msgspec.Struct, base: int, says: str) -> int:
        """Keep a new value of a section; refused when the section has changed since `base`."""
        name = next(name for name, kind in SECTIONS.items() if isinstance(section, kind))
        return self.shelf.apply(number, Change(name, base, encode(section), says))


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


def _value(section: Section | None) -> str | None:
    return section.value if section else None
