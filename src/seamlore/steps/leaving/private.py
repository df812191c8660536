"""What stays at home unless it is chosen: owner, price, address, the place of a photograph, names of living people."""

from __future__ import annotations

import dataclasses
import json
import re
import tomllib
import unicodedata
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from pathlib import PurePath
from typing import Any

import msgspec

from seamlore.condition.annotation import Annotation
from seamlore.condition.kinds import NOT_TOLD
from seamlore.steps.study.condition import Condition, Decision, Notes
from seamlore.steps.study.job import Job
from seamlore.steps.study.sections import (
    SECTIONS,
    About,
    Evidence,
    Keeping,
    LabelWords,
    Making,
    Noticed,
    Photograph,
    Photographs,
)
from seamlore.steps.study.versions import decode, encode, name_of

# What can be chosen to leave, and what each is called.
PRIVATE: Mapping[str, str] = {
    "owner": "the owner",
    "price": "the price",
    "address": "the address, and where it is stored",
    "camera": "the place where a photograph was taken, and the camera's data",
    "names": "names in its story, on its label and in its evidence",
}
WITHHELD = "[name withheld]"
# The words of an evidence file that are the owner's own.
_OWN = ("says", "source", "by", "told")
# A name stands apart where no letter or digit is beside it, or it begins a line, which JSON writes as backslash and n; between
# its words the names of files have strokes.
_BEFORE, _BETWEEN, _AFTER = r"(?:(?<![^\W_])|(?<=\\[nrt]))", r"(?:[\s_.-]|\\+[nrt])+", r"(?![^\W_])"
_QUOTES = r'(?:\\*"|[\u201c\u201d])'
# A line of what is at hand that says what a fabric costs (docs/cutting.md).
_PRICED = re.compile(r":\s*buy at\b", re.IGNORECASE)


@dataclass(frozen=True, slots=True)
class Leaving:
    """A study as it leaves: its name, its sections, and what was left out, in words."""

    name: str
    sections: dict[str, str]
    left_out: tuple[str, ...]


def for_leaving(name: str, sections: Mapping[str, str], chosen: Iterable[str] = ()) -> Leaving:
    """Take out of a study what does not leave.

    Parameters
    ----------
    name : str
        What the study is called.
    sections : mapping of str to str
        As the shelf keeps them; those that this version does not know do not leave, since nobody can say what is in them.
    chosen : iterable of str
        What may leave, of `PRIVATE`.

    Examples
    --------
    >>> kept = {
    ...     "keeping": encode(Keeping(price="90", accession="12", names="some living", living=("Ida Roe",))),
    ...     "about": encode(About(story="From Ida Roe.")),
    ... }
    >>> left = for_leaving("Ida Roe's star", kept)
    >>> left.name, decode(About, left.sections["about"]).story, decode(Keeping, left.sections["keeping"]).price
    ("[name withheld]'s star", 'From [name withheld].', '')
    >>> left.left_out
    ('the price', 'names of living people')
    >>> for_leaving("Star", kept, ("price", "names")).left_out
    ()
    """
    allowed = set(chosen)
    read: dict[str, Any] = {}
    for kind in (Keeping, LabelWords, About, Evidence, Photographs, Condition, Notes, Decision, Making, Noticed):
        read[name_of(kind)] = decode(kind, sections.get(name_of(kind)))
    keeping = read["keeping"] or Keeping()
    replace: Callable[..., Any] = msgspec.structs.replace
    out: list[str] = []
    made = dict(sections)
    if unknown := [each for each in sections if each not in SECTIONS and allowed < set(PRIVATE)]:
        made = {each: text for each, text in sections.items() if each not in unknown}
        out.append("what another version of Seamlore keeps")

    def put(section: str, left: msgspec.Struct, called: str) -> None:
        if left != read[section]:
            read[section], made[section] = left, encode(left)
            out.extend([called] if called and called not in out else [])

    def take(section: str, called: str, **empty: object) -> None:
        if read[section] is not None:
            put(section, replace(read[section], **empty), called)

    if "owner" not in allowed:
        take("keeping", "the owner", owner="")
        take("label", "the owner", now_with="")
    if "price" not in allowed:
        take("keeping", "the price", price="")
        take("decision", "the price", price="")
        take("making", "the price", price="", batting_price="", stash=_unpriced(read["making"]))
    if "address" not in allowed:
        take("keeping", "the address, and where it is stored", address="", kept_at="")
    if "names" not in allowed:
        if keeping.names == "not said":
            called = "the story and every name, since it was not said whether living people are named"
            take("keeping", called, acquired_from="", tags=())
            take("label", called, maker="", finished_by="", now_with="")
            take("about", called, story="", name=name)
            take("evidence", called, text=_without_says(read["evidence"].text if read["evidence"] else ""))
            take("photographs", "", photographs=_renamed(read["photographs"]))
            take("noticed", called, said={}, own=())
            take("decision", called, asked="", words="", decided_by="", ruled_out="", stages={})
            take("condition", called, examined_by="", light="", **_unworded(read["condition"]))
            take("notes", called, annotations=_without_words(read["notes"]))
        elif keeping.names == "some living":
            living = [each for each in keeping.living if each.strip()]
            for section in (
                "label",
                "about",
                "evidence",
                "choice",
                "making",
                "fabrics",
                "keeping",
                "photographs",
                "condition",
                "notes",
                "decision",
                "noticed",
            ):
                if section in made:
                    changed = _without_names(made[section], living)
                    if changed != made[section]:
                        made[section] = changed
                        out += ["names of living people"] * ("names of living people" not in out)
            name = _without_names(name, living)
            # The list of names would tell what was withheld.
            keeping_now = decode(Keeping, made["keeping"])
            made["keeping"] = encode(replace(keeping_now, names="none living", living=()))
            out += ["names of living people"] * (bool(living) and "names of living people" not in out)
    return Leaving(name, made, tuple(out))


def told(job: Job, chosen: Iterable[str] = ()) -> tuple[Job, tuple[str, ...]]:
    """Give a study as it is printed for others, what does not leave taken out of it; and what that was, in words.

    Parameters
    ----------
    job : Job
    chosen : iterable of str
        What may leave, of `PRIVATE`.

    Examples
    --------
    >>> from seamlore.steps.study.inputs import Inputs
    >>> made = Inputs(about=About(name="Star", story="From Ida Roe."))
    >>> job, left_out = told(Job(made))
    >>> job.inputs.about.name, job.inputs.about.story, len(left_out)
    ('Star', '', 1)
    >>> told(Job(made), ["names"])[0].inputs.about.story
    'From Ida Roe.'
    """
    inputs = job.inputs
    left = for_leaving(inputs.about.name, {name: encode(getattr(inputs, name)) for name in SECTIONS}, chosen)
    sections = {name: decode(kind, left.sections[name]) for name, kind in SECTIONS.items()}
    about = msgspec.structs.replace(sections["about"], name=left.name)  # type: ignore[type-var]
    fresh = dataclasses.replace(inputs, **{**sections, "about": about})  # type: ignore[arg-type]
    return (job if fresh == inputs else Job(fresh, memo=job.memo)), left.left_out


def names_left_out(job: Job) -> str:
    """Say what of names is left out of what is printed of a study; empty where nothing is.

    Examples
    --------
    >>> from seamlore.steps.study.inputs import Inputs
    >>> names_left_out(Job(Inputs(keeping=Keeping(names="none living"))))
    ''
    >>> names_left_out(Job(Inputs(about=About(story="From Ida Roe."))))
    'the story and every name, since it was not said whether living people are named'
    """
    return "; ".join(each for each in told(job)[1] if "name" in each)


def cleaner(keeping: Keeping, chosen: Iterable[str]) -> Callable[[str], str]:
    """Give what takes names out of words that were worked out or typed elsewhere.

    Examples
    --------
    >>> cleaner(Keeping(names="some living", living=("Ida Roe",)), ())("Told by Ida Roe.")
    'Told by [name withheld].'
    >>> cleaner(Keeping(), ())("Told by Ida Roe."), cleaner(Keeping(), ("names",))("Told by Ida Roe.")
    ('', 'Told by Ida Roe.')
    """
    if "names" in chosen or keeping.names == "none living":
        return lambda text: text
    if keeping.names == "some living":
        return lambda text: _without_names(text, keeping.living)
    # Nobody has said whether living people are named.
    return lambda text: ""


def without_living(text: str, keeping: Keeping, chosen: Iterable[str]) -> str:
    """Take the names of living people out of a title, a cloth's name or what was worked out.

    Examples
    --------
    >>> without_living("Ida Roe's star", Keeping(names="some living", living=("Ida Roe",)), ())
    "[name withheld]'s star"
    """
    if "names" in chosen or keeping.names != "some living":
        return text
    return _without_names(text, keeping.living)


def _unpriced(making: Making | None) -> str:
    """What is at hand without what a fabric costs."""
    lines = making.stash.splitlines(keepends=True) if making else []
    return "".join(line for line in lines if not _PRICED.search(line))


def _without_says(text: str) -> str:
    """Write the evidence anew with years, parts and clues alone; comments and own words stay at home."""
    try:
        told = tomllib.loads(text)
    except (tomllib.TOMLDecodeError, RecursionError):
        # What cannot be read cannot be looked through either.
        return ""
    lines = [f"{word} = {_plain(told[word])}" for word in ("horizon", "parts", "usual_order") if word in told]
    for kind in ("evidence", "order", "gaps"):
        for entry in told.get(kind, []):
            lines += ["", f"[[{kind}]]"]
            lines += [
                f"{word} = {_plain('left out' if word in _OWN else value)}"
                for word, value in entry.items()
                if not (word in _OWN and "clue" in entry)
            ]
    if told.get("shares"):
        lines += ["", "[shares]", *(f"{_plain(word)} = {_plain(value)}" for word, value in told["shares"].items())]
    return "\n".join(lines).strip() + "\n" if lines else ""


def _unworded(condition: Condition | None) -> dict[str, object]:
    """What she judged stays, her reasons and names do not."""
    now = condition or Condition()
    return {
        "blocks": {at: msgspec.structs.replace(said, why="") for at, said in now.blocks.items()},
        "fading": tuple(msgspec.structs.replace(each, of="") for each in now.fading),
    }


def _without_words(notes: Notes | None) -> tuple[Annotation, ...]:
    """What was drawn stays, and of which kind it is; own words and inscriptions stay at home, and that one was transcribed is said."""
    kept = ("tagging", "classifying", "assessing")
    made = []
    for each in notes.annotations if notes else ():
        written = any(body.purpose == "tagging" and body.value == "inscription" for body in each.body)
        body = tuple(
            msgspec.structs.replace(body, value=NOT_TOLD) if body.purpose == "commenting" else body
            for body in each.body
            if body.purpose in kept or (written and body.purpose == "commenting")
        )
        made.append(msgspec.structs.replace(each, body=body))
    return tuple(made)


def _plain(value: object) -> str:
    # A JSON scalar or list of strings is TOML too.
    return json.dumps(value, ensure_ascii=False, default=str)


def _renamed(photographs: Photographs | None) -> tuple[Photograph, ...]:
    """A file's name may say who or where."""
    return tuple(
        msgspec.structs.replace(each, name=f"photograph {number}{PurePath(each.name).suffix.lower()}")
        for number, each in enumerate(photographs.photographs if photographs else (), start=1)
    )


def _without_names(text: str, names: Iterable[str]) -> str:
    """Take names out, whatever the case and what stands between their words; the longest first.

    Text may be JSON, and a file of evidence within it, where quotation marks stand behind backslashes.
    """
    for name in sorted(names, key=len, reverse=True):
        words = [_any_marks(re.escape(word)) for word in unicodedata.normalize("NFC", name).split()]
        if words:
            text = unicodedata.normalize("NFC", text)
            text = re.sub(_BEFORE + _BETWEEN.join(words) + _AFTER, WITHHELD, text, flags=re.IGNORECASE)
    return text


def _any_marks(pattern: str) -> str:
    """Straight marks and curled ones are one; backslashes before a quotation mark are those of JSON."""
    kinds = {"'": "['\u2019]", "\u2019": "['\u2019]"}
    return "".join(_QUOTES if each in '"\u201c\u201d' else kinds.get(each, each) for each in pattern)
