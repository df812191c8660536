"""The card of each study: what it is found by, made from its sections and from the figures that were worked out."""

from __future__ import annotations

import re
import tomllib
from collections.abc import Callable, Mapping
from typing import Any, Literal

import msgspec

from seamlore.errors import SeamloreError
from seamlore.saving.options import WAYS
from seamlore.shelf.cards import Card
from seamlore.shelf.change import Section, Standing
from seamlore.shelf.collection import Collection
from seamlore.shelf.shelf import Shelf
from seamlore.steps.shelf import cloths
from seamlore.steps.shelf.figures import Figures, figures_of, rests_on
from seamlore.steps.shelf.noticing import noticed
from seamlore.steps.study.condition import Decision
from seamlore.steps.study.job import Job
from seamlore.steps.study.sections import About, Choice, Evidence, Keeping, LabelWords, Photographs
from seamlore.steps.study.versions import decode, name_of

# Goes up when cards are made otherwise; all are then made anew when the shelf is next looked through.
VERSION = 2
# What the shelf can be filtered by, and what each is called.
FILTERS: Mapping[str, str] = {
    "block": "Block",
    "setting": "Setting",
    "fabric": "Fabric",
    "condition": "Condition",
    "decision": "Decision",
    "tag": "Tag",
}
# What tells that two studies may be of one quilt, and how that is said.
TWICE: Mapping[str, str] = {"photograph": "have the same photograph", "accession": "have the same accession number"}
LOOK_ALIKE = "look alike on their photographs"


class Facts(msgspec.Struct, frozen=True, kw_only=True):
    """What a card keeps for lists: the photograph that is read, how it was acquired, the figures if they hold."""

    front: str = ""
    unit: Literal["in", "cm"] = "in"
    story: str = ""
    acquired: str = ""
    tags: tuple[str, ...] = ()
    made_of: tuple[str, ...] = ()
    fabrics: tuple[str, ...] = ()
    condition: str = ""
    decision: str = ""
    figures: Figures | None = None


def facts_from(text: str) -> Facts:
    """Read the facts of a card; one of another version is an empty one."""
    try:
        return msgspec.json.decode(text, type=Facts)
    except msgspec.DecodeError:
        return Facts()


def describe(standing: Standing, before: str | None, worked: int, figures: Figures | None = None) -> tuple[Card, int]:
    """Make the card of a study.

    Parameters
    ----------
    standing : Standing
    before : str, optional
        What its last card said; its figures are kept as long as what they rest on stays.
    worked : int
        Passed on by the shelf; what figures rest on says more.
    figures : Figures, optional
        Worked out just now.

    Returns
    -------
    (Card, int)
        And the moves at which its figures hold: those of now, or -1.
    """
    sections = standing.sections
    wanted = rests_on(sections)
    kept = figures or (facts_from(before).figures if before else None)
    held = kept if kept is not None and kept.rests_on == wanted else None
    keeping, label = _read(sections, Keeping), _read(sections, LabelWords)
    photographs, about, choice = _read(sections, Photographs), _read(sections, About), _read(sections, Choice)
    fabrics = tuple(dict.fromkeys(name.strip() for name in choice.fabrics.values() if name.strip()))
    seen = _clues(_read(sections, Evidence).text)
    way = _read(sections, Decision).way
    condition, decision = held.condition if held else "", WAYS[way][0] if way else ""
    facts = Facts(
        front=photographs.front.reference if photographs.front else "",
        unit=about.unit,
        story=about.story,
        acquired=" ".join(part for part in (keeping.acquired_how, keeping.acquired) if part),
        tags=keeping.tags,
        made_of=keeping.made_of,
        fabrics=fabrics,
        condition=condition,
        decision=decision,
        figures=held,
    )
    blocks = held.blocks if held else ()
    marks = {
        "block": blocks or _named(choice),
        "setting": settings_of(held),
        "fabric": tuple(dict.fromkeys((*fabrics, *seen))),
        "condition": (condition,) * bool(condition),
        "decision": (decision,) * bool(decision),
        "tag": keeping.tags,
        "photograph": tuple(dict.fromkeys(each.reference for each in photographs.photographs)),
        "accession": (keeping.accession,) * bool(keeping.accession),
        "made of": keeping.made_of,
    }
    words = [
        about.story,
        *(str(getattr(label, field)) for field in label.__struct_fields__),
        *(str(getattr(keeping, field)) for field in ("accession", "acquired", "acquired_how", "acquired_from")),
        *(keeping.kept_at, keeping.owner, *keeping.tags, *fabrics, *seen, *blocks, *_named(choice)),
        *(_own_words(_read(sections, Evidence).text)),
        *(each.name for each in photographs.photographs),
        *((held.headline, held.setting) if held else ()),
        *(condition, decision),
    ]
    years = _years(held)
    size = (held.measured or held.size) if held else None
    card = Card(
        words="\n".join(word for word in words if word),
        marks=marks,
        accession=keeping.accession,
        years=years,
        area=round(size[0] * size[1], 1) if size else None,
        facts=msgspec.json.encode(facts).decode(),
    )
    return card, standing.moves if held else -1


def renew(shelf: Shelf, progress: Callable[[float], None] | None = None) -> int:
    """Bring every card of the shelf up to date, and say how many were made anew."""
    return Collection(shelf).renew(describe, version=VERSION, progress=progress)


def work_out(shelf: Shelf, standing: Standing, job: Job) -> Figures:
    """Work out a study's figures and put them on its card.

    Parameters
    ----------
    shelf : Shelf
    standing : Standing
        The study as the job has it.
    job : Job
    """
    figures = figures_of(job, rests_on(standing.sections))
    alone = noticed(job, figures, (), pictures=False)
    figures = msgspec.structs.replace(
        figures, noticed=tuple((each.key, each.worked_out) for each in alone if not each.own)
    )
    cloths.hold(shelf, standing.entry.number, job)
    Collection(shelf).renew_one(
        standing.entry.number, lambda now, before, worked: describe(now, before, worked, figures), version=VERSION
    )
    return figures


def _read(sections: Mapping[str, Section], kind: Any) -> Any:
    """Read a section; one that cannot be read, or of a later version, is an empty one here and said on its page."""
    name = name_of(kind)
    try:
        found = decode(kind, sections[name].value) if name in sections else None
    except SeamloreError:
        found = None
    return kind() if found is None else found


def _named(choice: Choice) -> tuple[str, ...]:
    """The block that was chosen by its name."""
    text = (choice.block or "").strip()
    return (text,) if text and "\n" not in text else ()


def settings_of(figures: Figures | None) -> tuple[str, ...]:
    """Say how a quilt is set, as the filter has it."""
    if figures is None or not figures.setting:
        return ()
    sashed = figures.sashing is not None and any(figures.sashing)
    return (f"{figures.setting}, with sashing" if sashed else figures.setting,)


def _years(figures: Figures | None) -> tuple[int, int] | None:
    """From the first year of any part of which something is known to the last."""
    known = [each for each in figures.years if each.known] if figures else []
    return (min(each.first for each in known), max(each.last for each in known)) if known else None


def _clues(text: str) -> tuple[str, ...]:
    """The clues that were seen."""
    try:
        told = tomllib.loads(text).get("evidence", [])
    except (tomllib.TOMLDecodeError, RecursionError):
        return ()
    found = [str(each["clue"]) for each in told if isinstance(each, dict) and each.get("clue")]
    return tuple(dict.fromkeys(found))


def _own_words(text: str) -> list[str]:
    return re.findall(r'^\s*says\s*=\s*"([^"\n]+)"', text, re.MULTILINE)
