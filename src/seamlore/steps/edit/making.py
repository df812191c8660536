"""Change how the next quilt is to be made."""

from __future__ import annotations

from collections.abc import Mapping
from functools import partial
from typing import Any

import msgspec

from seamlore.steps.edit.typed import Slips, with_unit
from seamlore.steps.study.job import Job
from seamlore.steps.study.sections import Making

_LENGTHS = ("fabric_width", "backing_width", "seam_allowance", "binding_width")


def remade(job: Job, typed: Mapping[str, str]) -> tuple[Making, Slips]:
    """Change how it is made; what can be read is kept and the rest said by its field.

    Parameters
    ----------
    job : Job
    typed : mapping of str to str
        Lengths, empty ones follow custom, a bare number is in the unit of the study; "binding" and "paper".

    Examples
    --------
    >>> from seamlore.steps.study.inputs import Inputs
    >>> made, slips = remade(Job(Inputs()), {"fabric_width": "44", "seam_allowance": "thin", "binding": "bias"})
    >>> made.fabric_width, made.binding, made.paper, list(slips)
    ('44 in', 'bias', 'letter', ['seam_allowance'])
    """
    slips, now = Slips(), job.inputs.making
    in_unit = partial(with_unit, unit=job.unit)
    given: dict[str, Any] = {
        name: slips.read(name, typed.get(name, ""), in_unit, getattr(now, name)) for name in _LENGTHS
    }
    edge, paper = typed.get("binding"), typed.get("paper")
    given |= {"binding": edge} if edge in ("straight", "bias", "none") else {}
    given |= {"paper": paper} if paper in ("letter", "a4") else {}
    return msgspec.structs.replace(now, **given), slips
