"""Change how the next quilt is to be made."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from functools import partial
from typing import Any

import msgspec

from seamlore.errors import PlanError
from seamlore.fabric.shop import checked_shrinkage
from seamlore.fabric.stash_text import read_stash
from seamlore.hours import checked_pace
from seamlore.lengths import Length, Unit, checked_seam, length
from seamlore.limits import percent
from seamlore.making.buying import checked_spare, checked_width
from seamlore.making.finish.backing import checked_repeat
from seamlore.making.finish.binding import checked_strip
from seamlore.making.finish.costs import checked_price
from seamlore.making.finish.edges import KINDS as EDGES
from seamlore.making.finish.edges import checked_shows
from seamlore.making.finish.filling import KINDS
from seamlore.making.finish.holding import KINDS as HOLDINGS
from seamlore.making.finish.holding import checked_gap
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
    "edge_shows": checked_shows,
    "backing_repeat": checked_repeat,
    "gap": checked_gap,
}


# What is kept as it was typed, once it can be read.
_WORDS: dict[str, Callable[[str], object]] = {
    "pace": checked_pace,
    "price": checked_price,
    "batting_price": checked_price,
}


def _kept(text: str, check: Callable[[str], object]) -> str:
    check(text)
    return text.strip()


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
    for name, check_text in _WORDS.items():
        given[name] = slips.read(
            name, typed.get(name, getattr(now, name)), partial(_kept, check=check_text), getattr(now, name)
        )
    given |= {"binding": edge} if edge in EDGES else {}
    given |= {"held_by": typed["held_by"]} if typed.get("held_by") in HOLDINGS else {}
    # A box that is not ticked sends nothing; its hidden twin says that the form had it.
    given |= {"off_middle": "off_middle" in typed} if "off_middle_asked" in typed else {}
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
