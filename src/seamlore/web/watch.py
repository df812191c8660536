"""A folder that is watched: each photograph that arrives in it begins a study."""

from __future__ import annotations

import threading
from pathlib import Path

from seamlore.errors import SeamloreError
from seamlore.shelf.shelf import Shelf
from seamlore.web.desk import Desk

_SUFFIXES = {".jpg", ".jpeg", ".png", ".tif", ".tiff", ".webp", ".heic", ".heif"}
_EVERY_S = 2.0


class Watch:
    """Watch a folder until stopped; what was in it before is left alone.

    Parameters
    ----------
    folder : Path
    shelf : Shelf
    every_s : float
        Seconds between looks.
    """

    def __init__(self, folder: Path, shelf: Shelf, *, every_s: float = _EVERY_S) -> None:
        self._folder, self._desk, self._every_s = folder, Desk(shelf), every_s
        self._known = dict.fromkeys(self._photographs(), -1)
        self._sizes: dict[Path, int] = {}
        self._end = threading.Event()
        self.refused: dict[str, str] = {}
        self._thread = threading.Thread(target=self._run, daemon=True, name="watching")
        self._thread.start()

    def stop(self) -> None:
        """Stop watching."""
        self._end.set()
        self._thread.join(5)

    def _photographs(self) -> list[Path]:
        try:
            return [each for each in self._folder.iterdir() if each.suffix.lower() in _SUFFIXES and each.is_file()]
        except OSError:
            # A card or cable was pulled out; what arrives when it is back is new all the same.
            return []

    def _run(self) -> None:
        while not self._end.wait(self._every_s):
            for path in sorted(self._photographs()):
                if path not in self._known and self._has_arrived(path):
                    self._known[path] = 1
                    self._begin(path)

    def _has_arrived(self, path: Path) -> bool:
        """Whether a file has stopped growing since the last look."""
        try:
            size = path.stat().st_size
        except OSError:
            return False
        before, self._sizes[path] = self._sizes.get(path), size
        return size > 0 and before == size

    def _begin(self, path: Path) -> None:
        from seamlore.web.pages.studies import begin_study  # the pages: slow to import

        try:
            begin_study(self._desk, path.read_bytes(), path.name)
        except (SeamloreError, OSError) as fault:
            # Said on the shelf's page would be better still; the file itself is untouched where it lies.
            self.refused[path.name] = str(fault)
