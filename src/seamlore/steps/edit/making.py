"""Change how the next quilt is to be made."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from functools import partial
from typing import Any

import msgspec

from seamlore.errors import PlanError
from seamlore.fabric.shop import checked_shrinkage
from seamlore.fabric.stash_text import read_stash
from seamlore.lengths import Length, Unit, checked_seam, length
from seamlore.limits import percent
from seamlore.making.binding import checked_strip
from seamlore.making.buying import checked_spare, checked_width
from seamlore.making.filling import KINDS
from seamlore.making.methods import CHOICES, WAYS
from seamlore.steps.edit.typed import Slips, with_unit
from seamlore.steps.study.job import Job
from seamlore.steps.study.sections import Making

_LENGTHS = {
    "fabric_width": checked_width,
    "backing_width": checked_width,
    "seam_allowance": checked_seam,
    "binding_width": checked_strip,
    "spare": checked_spare,
}


def remade(job: Job, typed: Mapping[str, str]) -> tuple[Making, Slips]:
    """Change how it is made; what can be read is kept and the rest said by its field.

    Parameters
    ----------
    job : Job
    typed : mapping of str to str
        Lengths, empty ones follow custom, a bare number is in the unit of the study; "binding", "filling", "paper", and how
        units are made; a word that there is not changes nothing.

    Examples
    --------
    >>> from seamlore.steps.study.inputs import Inputs
    >>> made, slips = remade(Job(Inputs()), {"fabric_width": "44", "seam_allowance": "thin", "binding": "bias"})
    >>> made.fabric_width, made.binding, made.paper, list(slips)
    ('44 in', 'bias', 'letter', ['seam_allowance'])
    """
    slips, now = Slips(), job.inputs.making

    def read(text: str, check: Callable[[Length], Length]) -> str:
        written = with_unit(text, job.unit)
        if written:
            check(length(written))
        return written

    given: dict[str, Any] = {
        name: slips.read(name, typed.get(name, ""), partial(read, check=check), getattr(now, name))
        for name, check in _LENGTHS.items()
    }
    given |= {
        "stash": slips.read("stash", typed.get("stash", now.stash), partial(_stash, unit=job.unit), now.stash),
        "shrinkage": slips.read("shrinkage", typed.get("shrinkage", ""), _shrinkage, now.shrinkage),
    }
    cutting = typed.get("cutting")
    given |= {"cutting": cutting} if cutting in ("fitting", "simple", "frugal") else {}
    edge, paper, filling = typed.get("binding"), typed.get("paper"), typed.get("filling")
    given |= {"binding": edge} if edge in ("straight", "bias", "none") else {}
    given |= {"filling": filling} if filling in (*KINDS, "none") else {}
    given |= {"paper": paper} if paper in ("letter", "a4") else {}
    ways = {**WAYS, "choose_by": CHOICES}
    given |= {name: typed[name] for name, known in ways.items() if typed.get(name) in known}
    return msgspec.structs.replace(now, **given), slips


def _stash(text: str, unit: Unit) -> str:
    """Check what is at hand, and keep it as it was written."""
    read_stash(text, unit=unit)
    return text


def _shrinkage(text: str) -> str:
    """Check a shrinkage, and keep it as it was written."""
    if text:
        share = percent(text)
        if share is None:
            raise PlanError(f'a shrinkage of "{text}"', "it is a number of percent", "write it as 3%")
        checked_shrinkage(share)
    return text
