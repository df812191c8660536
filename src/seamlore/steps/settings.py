"""What is set for a whole shelf: a small file beside its studies, that can be read by eye."""

from __future__ import annotations

import json
from pathlib import Path

from seamlore.errors import SeamloreError
from seamlore.files import Written, read_text, write
from seamlore.wording import WORDINGS, Wording

_NAME = "settings.json"


def wording_of(folder: Path) -> Wording:
    """Give the wording that is set for a shelf: US where nothing else is.

    Examples
    --------
    >>> wording_of(Path("no such folder"))
    'us'
    """
    said = _settings(folder).get("words")
    return next((each for each in WORDINGS if each == said), "us")


def set_wording(folder: Path, said: str) -> Wording:
    """Set the wording of a shelf; whatever else is set stays.

    Raises
    ------
    SeamloreError
        When there is no such wording, or it cannot be written down.
    """
    wording = next((each for each in WORDINGS if each == said), None)
    if wording is None:
        raise SeamloreError(f'words called "{said[:40]}"', f"they are {' or '.join(WORDINGS)}", "choose one of these")
    settings = json.dumps(_settings(folder) | {"words": wording}, indent=1) + "\n"
    write([Written(folder / _NAME, settings, "what is set for this shelf")])
    return wording


def _settings(folder: Path) -> dict[str, object]:
    try:
        found = json.loads(read_text(folder / _NAME, "what is set for a shelf"))
    except (SeamloreError, ValueError, RecursionError):
        # Nothing was set yet, or the file was spoilt by hand: everything is as usual then, and setting it mends the file.
        return {}
    return found if isinstance(found, dict) else {}
