"""What the draft's fabrics are called."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

import msgspec

from seamlore.draft.catalogue import find
from seamlore.draft.quilt import Quilt
from seamlore.draft.setting.setting import OnPoint, Strips
from seamlore.draft.text.quilt_file import write_quilt
from seamlore.errors import ShapeError
from seamlore.limits import FABRIC_NAME
from seamlore.steps.edit.draft import Edited
from seamlore.steps.edit.typed import Slips
from seamlore.steps.study.job import Job


def named_parts(quilt: Quilt) -> tuple[tuple[str, str], ...]:
    """List what can be called by a fabric's name: its key, and what it is on the page.

    Examples
    --------
    >>> from seamlore.lengths import inches
    >>> named_parts(Quilt("q", find("shoo fly"), inches(9), inches(9), 7, 8))
    (('A', 'Place A, light'), ('B', 'Place B, dark'))
    """
    parts = [
        (letter, f"Place {letter}, {place.value}{', scrappy' * place.scrappy}")
        for letter, place in quilt.places.items()
    ]
    if quilt.sashing:
        parts.append(("sashing", "Sashing"))
        if quilt.sashing.cornerstones:
            parts.append(("cornerstone", "Cornerstones"))
    if isinstance(quilt.setting, Strips):
        parts.append(("strip", "Strips"))
    if isinstance(quilt.setting, OnPoint):
        parts.append(("setting triangle", "Setting triangles"))
    return tuple(parts)


def name_fabrics(job: Job, said: Mapping[str, str]) -> Edited:
    """Call the draft's fabrics by name; a draft of the user's own carries them in its text.

    Parameters
    ----------
    job : Job
    said : mapping of str to str
        Names by key; an empty one takes the name away, a key that is missing leaves it.

    Returns
    -------
    Edited
        Its slips are by key.
    """
    now, quilt, slips = job.inputs.choice, job.quilt, Slips()
    names = dict(now.fabrics)
    held = [key for key, _ in named_parts(quilt)]
    for key in held:
        text = slips.read(key, said[key], _checked, None) if key in said else None
        if text:
            names[key] = text
        elif text is not None:
            names.pop(key, None)
    draft = now.draft
    if draft is not None:
        fabrics = {key: name for key, name in names.items() if key in held}
        if fabrics != {key: name for key, name in quilt.fabrics.items() if key in held}:
            others = {key: name for key, name in quilt.fabrics.items() if key not in held}
            draft = write_quilt(replace(quilt, fabrics={**fabrics, **others}), find_block=find)
    return Edited(msgspec.structs.replace(now, fabrics=names, draft=draft), "named the fabrics", slips)


def _checked(text: str) -> str | None:
    if "#" in text or len(text) > FABRIC_NAME:
        limit = f"a fabric's name is at most {FABRIC_NAME} letters, without #"
        raise ShapeError(f'"{text[:40]}"', limit, "write it otherwise")
    return text
