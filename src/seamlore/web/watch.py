"""A folder that is watched: each photograph that arrives in it begins a study; what cannot be taken is said."""

from __future__ import annotations

import threading
from pathlib import Path

from seamlore.errors import SeamloreError
from seamlore.web.desk import Desk

_SUFFIXES = {".jpg", ".jpeg", ".png", ".tif", ".tiff", ".webp", ".heic", ".heif"}
# What cameras write beside or instead of a picture: a photograph to her, so it is not passed over in silence.
_RAW = {".dng", ".cr2", ".cr3", ".nef", ".arw", ".orf", ".rw2", ".raf"}
_EVERY_S = 2.0
Stamp = tuple[int, int]


class Watch:
    """Watch a folder until stopped; what was in it before is left alone.

    A file that was refused is tried again when it changes, and no longer spoken of when it is gone.

    Parameters
    ----------
    folder : Path
    desk : Desk
        Begins the studies, and shows on its first page what was refused.
    every_s : float
        Seconds between looks.
    """

    def __init__(self, folder: Path, desk: Desk, *, every_s: float = _EVERY_S) -> None:
        self._folder, self._desk, self._every_s = folder, desk, every_s
        desk.watched = folder
        self._known: dict[Path, Stamp] = self._photographs()
        self._growing: dict[Path, Stamp] = {}
        self._end = threading.Event()
        self._thread = threading.Thread(target=self._run, daemon=True, name="watching")
        self._thread.start()

    def stop(self) -> None:
        """Stop watching."""
        self._end.set()
        self._thread.join(5)

    def _photographs(self) -> dict[Path, Stamp]:
        """What lies in the folder, each with its size and the time of its last change."""
        found = {}
        try:
            for path in self._folder.iterdir():
                if path.suffix.lower() in _SUFFIXES | _RAW and path.is_file():
                    status = path.stat()
                    found[path] = (status.st_size, status.st_mtime_ns)
        except OSError:
            # A card or cable was pulled out; what arrives when it is back is new all the same.
            return {}
        return found

    def _run(self) -> None:
        while not self._end.wait(self._every_s):
            here = self._photographs()
            for path, stamp in sorted(here.items()):
                again = path.name in self._desk.refused and self._known.get(path) != stamp
                if (path not in self._known or again) and self._has_arrived(path, stamp):
                    self._known[path] = stamp
                    self._begin(path)
            if here or self._folder.is_dir():
                for name in set(self._desk.refused) - {path.name for path in here}:
                    del self._desk.refused[name]

    def _has_arrived(self, path: Path, stamp: Stamp) -> bool:
        """Whether a file has stopped growing since the last look."""
        before, self._growing[path] = self._growing.get(path), stamp
        return stamp[0] > 0 and before == stamp

    def _begin(self, path: Path) -> None:
        from seamlore.web.pages.studies import begin_study  # the pages: slow to import

        refused = self._desk.refused
        refused.pop(path.name, None)
        if path.suffix.lower() in _RAW:
            refused[path.name] = (
                f"{path.name} is a raw file of a camera, which is not read here; save it as a JPEG or TIFF picture"
            )
            return
        try:
            begin_study(self._desk, path.read_bytes(), path.name)
        except SeamloreError as fault:
            # The file itself is untouched where it lies.
            refused[path.name] = str(fault)
        except OSError as fault:
            why = (fault.strerror or "it cannot be read").lower()
            refused[path.name] = f"{path.name} could not be opened: {why}; copy it into the folder once more"
