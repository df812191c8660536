"""Change how the next quilt is to be made."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import replace
from functools import partial
from typing import Any

import msgspec

from seamlore.errors import PlanError, SeamloreError
from seamlore.fabric.shop import checked_shrinkage
from seamlore.fabric.stash_text import read_stash
from seamlore.hours import checked_pace
from seamlore.lengths import Length, Unit, checked_seam, length
from seamlore.limits import percent, whole_number
from seamlore.making.buying import checked_margin, checked_spare, checked_width
from seamlore.making.finish.backing import checked_repeat
from seamlore.making.finish.binding import checked_strip
from seamlore.making.finish.costs import checked_price
from seamlore.making.finish.edges import KINDS as EDGES
from seamlore.making.finish.edges import checked_shows
from seamlore.making.finish.filling import KINDS
from seamlore.making.finish.holding import KINDS as HOLDINGS
from seamlore.making.finish.holding import checked_gap
from seamlore.making.methods import CHOICES, WAYS
from seamlore.steps.cutting.wanted import checked_layers, checked_share
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
    "foundation": checked_margin,
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
    given |= {
        "extra": slips.read("extra", typed.get("extra", now.extra), _extra, now.extra),
        "layers": slips.read("layers", typed.get("layers", now.layers), _layers, now.layers),
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
    wanted = msgspec.structs.replace(now, **given)
    if wanted.stash != now.stash:
        kept = slips.read("stash", wanted.stash, partial(_cut_so, job=job, wanted=wanted), now.stash)
        wanted = msgspec.structs.replace(wanted, stash=kept)
    return wanted, slips


def _cut_so(text: str, job: Job, wanted: Making) -> str:
    """Check that the draft can be cut from what is at hand, printed as is said; a plan that fails without it says why itself."""

    def fails(stash: str) -> SeamloreError | None:
        making = msgspec.structs.replace(wanted, stash=stash)
        try:
            _ = Job(replace(job.inputs, making=making), memo=job.memo).cuts
        except SeamloreError as fault:
            return fault
        return None

    fault = fails(text)
    if fault is not None and fails("") is None:
        raise fault
    return text


def _stash(text: str, unit: Unit) -> str:
    """Check what is at hand, and keep it as it was written."""
    read_stash(text, unit=unit)
    return text


def _extra(text: str) -> str:
    """Check how much more fabric a simple plan may take, and keep it as it was written."""
    if text.strip():
        share = percent(text)
        if share is None:
            raise PlanError(f'"{text}" of extra fabric', "it is a number of percent", "write it as 5%")
        checked_share(float(share))
    return text.strip()


def _layers(text: str) -> str:
    """Check how many layers are cut at once, and keep it as it was written."""
    if text.strip():
        number = whole_number(text.strip()) if text.strip().isdigit() else None
        if number is None:
            raise PlanError(f'"{text}" layers', "it is a whole number", "write it as 4")
        checked_layers(number)
    return text.strip()


def _shrinkage(text: str) -> str:
    """Check a shrinkage, and keep it as it was written."""
    if text:
        share = percent(text)
        if share is None:
            raise PlanError(f'a shrinkage of "{text}"', "it is a number of percent", "write it as 3%")
        checked_shrinkage(share)
    return text
