"""Change what a decision rests on, and write down what was decided."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from fractions import Fraction
from typing import Any

import msgspec

from seamlore.errors import MeasureError
from seamlore.lengths import length, pair
from seamlore.limits import FABRIC_NAME, STORY, checked_text, whole_number
from seamlore.saving.at_hand import PRINTS, AtHand, nearest
from seamlore.saving.options import WAYS
from seamlore.saving.projects import PROJECTS, Project, checked
from seamlore.saving.stages import STAGES
from seamlore.steps.decide.cloth import read_patches
from seamlore.steps.edit.condition import day
from seamlore.steps.edit.typed import Slips, count, with_unit
from seamlore.steps.study.condition import Decision, FabricAtHand, OwnThing
from seamlore.steps.study.job import Job

MOST_THINGS = 40
_MOST_LOOSE = 400
_MOST_SIZES = 6
_MOST_AT_HAND = 200


def redecided(job: Job, typed: Mapping[str, str]) -> tuple[Decision, Slips]:
    """Change what a decision rests on; what can be read is kept and the rest said by its field.

    Parameters
    ----------
    job : Job
    typed : mapping of str to str
        Fields of `Decision`; "stage-corner" and the like for stages.

    Examples
    --------
    >>> from seamlore.steps.study.inputs import Inputs
    >>> made, slips = redecided(Job(Inputs()), {"wished": "50 x 60", "allowance": "thin", "way": "keep", "price": "12.50"})
    >>> made.wished, made.way, made.price, list(slips)
    ('50 x 60 in', 'keep', '12.50', ['allowance'])
    """
    slips, now = Slips(), job.inputs.decision
    given: dict[str, Any] = {}
    readers: dict[str, Callable[[str], str]] = {
        "allowance": _length(job), "least": _length(job), "most": _length(job), "new_sashing": _length(job), "new_border": _length(job), "patches": _patches(job), "strip_cut": _length(job), "strips_sewn": _length(job), "strips": _strips,
        "wished": _pair(job), "box": _pair(job), "folds_across": _list(job), "folds_down": _list(job),
        "loose": _lines(job), "price": _price, "decided_on": day,
    }  # fmt: skip
    for name, read in readers.items():
        if name in typed:
            given[name] = slips.read(name, typed[name], read, getattr(now, name))
    for name in ("asked", "ruled_out", "words", "decided_by"):
        if name in typed:
            given[name] = checked_text(typed[name], f'the text in "{name.replace("_", " ")}"', STORY)
    prints = {name.removeprefix("print-"): word for name, word in typed.items() if name.startswith("print-")}
    if prints:
        given["prints"] = {name: word for name, word in {**now.prints, **prints}.items() if word in PRINTS}
    if "outer_asked" in typed:
        given["outer"] = typed.get("outer") == "yes"
    if typed.get("way", "?") in ("", *WAYS):
        given["way"] = typed["way"]
    if typed.get("cut_blocks", "?") in ("", "completed", "left out"):
        given["cut_blocks"] = typed["cut_blocks"]
    stages = {key: text for each in STAGES if (text := typed.get(f"stage-{(key := each.key)}", "?")) != "?"}
    if stages:
        given["stages"] = {key: text for key, text in {**now.stages, **stages}.items() if text.strip()}
    return msgspec.structs.replace(now, **given), slips


def _length(job: Job) -> Callable[[str], str]:
    def read(text: str) -> str:
        written = with_unit(text, job.unit)
        if written and length(written).inches < 0:
            raise MeasureError(text, "a length is 0 or more", "measure again")
        return written

    return read


def _pair(job: Job) -> Callable[[str], str]:
    def read(text: str) -> str:
        if not text:
            return ""
        sides = pair(text, unit=job.unit)
        if any(each.inches <= 0 for each in sides):
            raise MeasureError(text, "both sides are above 0", "measure again")
        plain = text.strip()
        return plain if plain[-1].isalpha() or plain[-1] in "\"'" else f"{plain} {job.unit.value}"

    return read


def _list(job: Job) -> Callable[[str], str]:
    def read(text: str) -> str:
        return "; ".join(_length(job)(each.strip()) for each in text.split(";") if each.strip())

    return read


def _lines(job: Job) -> Callable[[str], str]:
    def read(text: str) -> str:
        lines = [line.strip() for line in text.splitlines() if line.strip()]
        if len(lines) > _MOST_LOOSE:
            raise MeasureError(
                f"{len(lines)} loose blocks", f"at most {_MOST_LOOSE} are taken", "measure those that differ"
            )
        return "\n".join(_pair(job)(line) for line in lines)

    return read


def _patches(job: Job) -> Callable[[str], str]:
    def read(text: str) -> str:
        read_patches(text, job.unit)
        lines = [line.strip() for line in text.splitlines() if line.strip()]
        if len(lines) > _MOST_SIZES:
            raise MeasureError(
                f"{len(lines)} sizes of patches", f"at most {_MOST_SIZES} are laid out", "take the largest"
            )
        return "\n".join(lines)

    return read


def _strips(text: str) -> str:
    count(text, "strips", most=99)
    return text


def _price(text: str) -> str:
    try:
        if text and not 0 <= Fraction(text) < 10**6:
            raise ValueError
    except (ValueError, ZeroDivisionError):
        raise MeasureError(f'the price "{text[:20]}"', "it is a number, of a yard", "write it as 12.50") from None
    return text


def with_thing(job: Job, typed: Mapping[str, str]) -> tuple[Decision, str]:
    """Add a thing of hers.

    Raises
    ------
    SeamloreError
        When it has no name or size, or there are too many.
    """
    now = job.inputs.decision
    if len(now.things) >= MOST_THINGS:
        raise MeasureError(f"more than {MOST_THINGS} things", "nobody makes so many", "take one away first")
    width, height = (with_unit(typed.get(side, ""), job.unit) for side in ("width", "height"))
    if not width or not height:
        raise MeasureError("a thing without a size", "it has a width and a height", "enter both, finished")
    faces = whole_number(typed.get("faces", "1") or "1") or 0
    names = [*(each.name for each in PROJECTS), *(each.name for each in now.things)]
    made = checked(Project(typed.get("name", "").strip(), length(width), length(height), faces, hers=True), names)
    thing = OwnThing(name=made.name, width=width, height=height, faces=faces)
    return msgspec.structs.replace(now, things=(*now.things, thing)), f"added {made.name}"


def with_fabric(job: Job, typed: Mapping[str, str], seen: str = "") -> tuple[Decision, str]:
    """Add a fabric at hand, or say anew what one of that name is.

    Parameters
    ----------
    job : Job
    typed : mapping of str to str
        "name", "print", and "color" where no photograph of it was tapped.
    seen : str
        Its color "#rrggbb" where it was tapped on a photograph.

    Raises
    ------
    SeamloreError
        When it has no name or no color, its print is none of the list, or there are too many.
    """
    now = job.inputs.decision
    name = " ".join(typed.get("name", "").split())
    if not name:
        raise MeasureError("a fabric without a name", "it needs one", "call it as in your stash")
    checked_text(name, "the fabric's name", FABRIC_NAME)
    color, print_ = seen or typed.get("color", "").lower(), typed.get("print", "")
    if print_ and print_ not in PRINTS:
        raise MeasureError(f'the print "{print_[:20]}"', f"it is {', '.join(PRINTS)}", "choose one of them")
    nearest(color, print_, [AtHand(name, color)])
    others = tuple(each for each in now.at_hand if each.name.casefold() != name.casefold())
    if len(others) >= _MOST_AT_HAND:
        raise MeasureError(
            f"more than {_MOST_AT_HAND} fabrics at hand", "nobody compares so many", "take one away first"
        )
    made = FabricAtHand(name=name, color=color, print=print_)
    return msgspec.structs.replace(now, at_hand=(*others, made)), f"added a fabric at hand: {name}"


def without_fabric(job: Job, name: str) -> tuple[Decision, str]:
    """Take a fabric at hand away."""
    now = job.inputs.decision
    rest = tuple(each for each in now.at_hand if each.name != name)
    return msgspec.structs.replace(now, at_hand=rest), f"took away a fabric at hand: {name[:80]}"


def without_thing(job: Job, name: str) -> tuple[Decision, str]:
    """Take a thing of hers away."""
    now = job.inputs.decision
    return msgspec.structs.replace(
        now, things=tuple(t for t in now.things if t.name != name)
    ), f"took away {name[:80]}"
