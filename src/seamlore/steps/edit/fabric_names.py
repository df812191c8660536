"""What the draft's fabrics are called."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace

import msgspec

from seamlore.draft.catalogue import find
from seamlore.draft.cells import with_fabrics
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
    >>> from seamlore.draft.repeated import repeated
    >>> from seamlore.lengths import inches
    >>> named_parts(repeated("q", find("shoo fly"), inches(9), inches(9), 7, 8))
    (('A', 'Place A, light'), ('B', 'Place B, dark'))
    """
    alone = len(quilt.kinds) == 1
    parts = [
        (
            quilt.key(kind, letter),
            f"{'' if alone else f'{kind.block.name} ({kind.name}), '}{'Pp'[not alone]}lace {letter}, "
            f"{place.value}{', scrappy' * place.scrappy}",
        )
        for kind in quilt.kinds
        for letter, place in sorted(kind.block.places.items())
    ]
    if quilt.sashing:
        parts.append(("sashing", "Sashing"))
        if quilt.sashing.cornerstones:
            parts.append(("cornerstone", "Cornerstones"))
    if isinstance(quilt.setting, Strips):
        parts.append(("strip", "Strips"))
    if isinstance(quilt.setting, OnPoint):
        parts.append(("setting triangle", "Setting triangles"))
    for number in range(1, len(quilt.borders) + 1):
        parts.append((f"border {number}", "Border" if len(quilt.borders) == 1 else f"Border {number}"))
    return tuple(parts)


def name_given(quilt: Quilt, key: str) -> str:
    """Give the name that was given to a fabric; nothing where it is only called after its place.

    Examples
    --------
    >>> from seamlore.draft.repeated import repeated
    >>> from seamlore.lengths import inches
    >>> made = repeated("q", find("shoo fly"), inches(9), inches(9), 7, 8, fabrics={"A": "muslin"})
    >>> name_given(made, "A"), name_given(made, "B")
    ('muslin', '')
    """
    for kind in quilt.kinds:
        for letter in kind.block.places:
            if quilt.key(kind, letter) == key:
                return kind.fabrics.get(letter, "")
    for number, border in enumerate(quilt.borders, start=1):
        if key == f"border {number}" and border.top.fabric not in ("border", key):
            return border.top.fabric
    return quilt.fabrics.get(key, "")


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
    held = [key for key, _ in named_parts(quilt)]
    # A letter alone was said of every kind that has it.
    names = {
        key: name for key in held if (name := now.fabrics.get(key.rpartition(" ")[2] if key in quilt.places else ""))
    }
    names |= {key: name for key, name in now.fabrics.items() if len(key) > 1 or key in held}
    for key in held:
        text = slips.read(key, said[key], _checked, None) if key in said else None
        if text:
            names[key] = text
        elif text is not None:
            names.pop(key, None)
    draft = now.draft
    if draft is not None:
        renamed = with_fabrics(_unnamed(quilt, held), {key: name for key, name in names.items() if key in held})
        if renamed != quilt:
            draft = write_quilt(renamed, find_block=find)
    return Edited(msgspec.structs.replace(now, fabrics=names, draft=draft), "named the fabrics", slips)


def _unnamed(quilt: Quilt, held: Sequence[str]) -> Quilt:
    """The draft without the names of some of its fabrics; a border keeps its own."""
    kinds = tuple(
        replace(
            kind,
            fabrics={letter: name for letter, name in kind.fabrics.items() if quilt.key(kind, letter) not in held},
        )
        for kind in quilt.kinds
    )
    return replace(quilt, kinds=kinds, fabrics={key: name for key, name in quilt.fabrics.items() if key not in held})


def _checked(text: str) -> str | None:
    if "#" in text or len(text) > FABRIC_NAME:
        limit = f"a fabric's name is at most {FABRIC_NAME} letters, without #"
        raise ShapeError(f'"{text[:40]}"', limit, "write it otherwise")
    return text
