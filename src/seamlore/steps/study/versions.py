"""Sections as text: each carries its version; what an older version wrote is brought up when it is read."""

from __future__ import annotations

from collections.abc import Callable
from typing import Annotated, Any, TypeVar

import msgspec

from seamlore.errors import NotationError
from seamlore.steps.study.sections import SECTIONS

S = TypeVar("S", bound=msgspec.Struct)
Upgrade = Callable[[dict[str, Any]], dict[str, Any]]


def _photographs_2(one: dict[str, Any]) -> dict[str, Any]:
    """A study had one photograph, of its front."""
    return {"photographs": [{**one, "shows": "front", "taken": None}]}


def _photographs_3(before: dict[str, Any]) -> dict[str, Any]:
    """No photograph but the front was laid on the quilt."""
    return before


def _photographs_4(before: dict[str, Any]) -> dict[str, Any]:
    """No photograph showed a fabric at hand."""
    return before


def _corrections_2(before: dict[str, Any]) -> dict[str, Any]:
    """Corrections did not say which photograph they were made on; there was one."""
    return {**before, "of": ""}


def _tape_2(before: dict[str, Any]) -> dict[str, Any]:
    """A tape had one width, one length and one border; those that came to them were not measured."""
    return before


def _making_2(before: dict[str, Any]) -> dict[str, Any]:
    """What was not asked yet is as usual."""
    return before


def _making_3(before: dict[str, Any]) -> dict[str, Any]:
    """Nothing was at hand, and fabric was not washed first."""
    return before


def _making_4(before: dict[str, Any]) -> dict[str, Any]:
    """Nothing was cut for foundations; simple plans took 5 % more, and four layers were cut at once."""
    return before


def _condition_2(before: dict[str, Any]) -> dict[str, Any]:
    """A part was there or not; that it is not known could not be said."""
    return before


def _decision_2(before: dict[str, Any]) -> dict[str, Any]:
    """No fabric at hand, no patches and no new border were asked for."""
    return before


def _decision_3(before: dict[str, Any]) -> dict[str, Any]:
    """Cut blocks were set in again as they are."""
    return before


def _sewing_2(before: dict[str, Any]) -> dict[str, Any]:
    """It was not asked where the lines of quilting run; off the seams was meant."""
    return before


# What brings each section from one version to the next, the first from 1 to 2. Never changed once it was handed out;
# a section that changes gets one more.
UPGRADES: dict[str, tuple[Upgrade, ...]] = {
    "photographs": (_photographs_2, _photographs_3, _photographs_4),
    "corrections": (_corrections_2,),
    "tape": (_tape_2,),
    "making": (_making_2, _making_3, _making_4),
    "condition": (_condition_2,),
    "decision": (_decision_2, _decision_3),
    "sewing": (_sewing_2,),
}


class _Versioned(msgspec.Struct):
    # What was written before sections carried their version is of the first.
    version: Annotated[int, msgspec.Meta(ge=1)] = 1


def name_of(kind: type[msgspec.Struct]) -> str:
    """Give the name that a kind of section is kept under."""
    return next(name for name, each in SECTIONS.items() if each is kind)


def version_of(name: str) -> int:
    """Give the version in which a section is written now."""
    return len(UPGRADES.get(name, ())) + 1


def decode(kind: type[S], text: str | None) -> S | None:
    """Read a section from its JSON text, whatever version wrote it; None stays None.

    Raises
    ------
    NotationError
        When the text is not that section, or a later version wrote it.

    Examples
    --------
    >>> from seamlore.steps.study.sections import Photographs, Tape
    >>> decode(Tape, '{"width": "74 in"}').read("width")
    Length('74 in')
    >>> decode(Photographs, '{"reference": "ab.jpg"}').front.shows
    'front'
    >>> decode(Tape, None) is None
    True
    """
    if text is None:
        return None
    name = name_of(kind)
    now = version_of(name)
    try:
        version = msgspec.json.decode(text, type=_Versioned).version
        if version == now:
            return msgspec.json.decode(text, type=kind)
        if version > now:
            raise NotationError(
                f'the section "{name}" of this study',
                f"a later Seamlore wrote it (version {version}; this one knows up to {now}), and it was left as it is",
                "use the newer Seamlore",
            )
        value = msgspec.json.decode(text, type=dict[str, Any])
        value.pop("version", None)
        for upgrade in UPGRADES[name][version - 1 :]:
            value = upgrade(value)
        return msgspec.convert(value, kind)
    except (msgspec.DecodeError, LookupError, TypeError) as fault:
        raise NotationError(
            f'the section "{name}" of this study', f"it cannot be read: {fault}", "put a backup of the shelf back"
        ) from None


def encode(section: msgspec.Struct) -> str:
    """Write a section as JSON text, its version first.

    Examples
    --------
    >>> from seamlore.steps.study.sections import Evidence
    >>> encode(Evidence(text="..."))
    '{"version":1,"text":"..."}'
    """
    version = version_of(name_of(type(section)))
    return msgspec.json.encode({"version": version, **msgspec.structs.asdict(section)}).decode()


def schema(name: str) -> dict[str, Any]:
    """Describe a section as it is written now, as JSON Schema."""
    found = msgspec.json.schema(SECTIONS[name])
    described: dict[str, Any] = found["$defs"][SECTIONS[name].__name__]
    described["properties"] = {"version": {"const": version_of(name)}, **described["properties"]}
    return found
