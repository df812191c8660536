"""The file in which a quilt's evidence is written down: TOML, as in docs/dating.md."""

from __future__ import annotations

import re
import tomllib
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Any

from seamlore.chronology.clues import TRUST, find_clue
from seamlore.chronology.evidence import ABOUT_YEARS, Evidence, Fashion, describe
from seamlore.chronology.order import Before
from seamlore.chronology.spans import Span, read_span
from seamlore.errors import DateError, nearest

FIRST_YEAR = 1700
# The order in which a quilt is usually made; common practice, no source.
USUAL_ORDER = (
    ("fabric", "blocks"),
    ("blocks", "setting"),
    ("setting", "quilting"),
    ("backing", "quilting"),
    ("filling", "quilting"),
    ("setting", "ties"),
    ("backing", "ties"),
    ("filling", "ties"),
    ("quilting", "edge finish"),
    ("ties", "edge finish"),
    ("edge finish", "repair"),
)
# What parts are usually called; a file may name others.
PARTS = (
    "fabric", "blocks", "setting", "sashing", "border", "top", "backing", "filling", "batting", "thread", "quilting",
    "ties", "edge finish", "binding", "finish", "label", "repair",
)  # fmt: skip
_EVIDENCE_WORDS = ("part", "says", "when", "trust", "clue", "sure", "about", "by", "photo", "told")
_ORDER_WORDS = ("earlier", "later", "kept")
_FILE_WORDS = ("horizon", "parts", "usual_order", "gaps", "evidence", "order")


@dataclass(frozen=True, slots=True)
class Dossier:
    """All that is to be weighed on one quilt.

    Parameters
    ----------
    horizon : (int, int)
        First and last year that come into question.
    evidence : tuple of Evidence
        In the order written.
    order : tuple of Before
        As written, and the usual order where it was asked for.
    parts : tuple of str
        All parts.
    gaps : tuple of (str, str, int)
        Earlier, later, years: statements to be weighed, "at least so many years between".
    cautions : tuple of str
        What misleads in the evidence given.
    """

    horizon: tuple[int, int]
    evidence: tuple[Evidence, ...]
    order: tuple[Before, ...]
    parts: tuple[str, ...]
    gaps: tuple[tuple[str, str, int], ...] = ()
    cautions: tuple[str, ...] = ()


def read_dossier(text: str, *, this_year: int, source: str = "") -> Dossier:
    """Read an evidence file.

    Parameters
    ----------
    text : str
        TOML: `horizon`, `parts`, `usual_order`, `[[evidence]]`, `[[order]]`, `[[gaps]]`.
    this_year : int
        End of the horizon when the file gives none.
    source : str
        The file's name, for messages.

    Returns
    -------
    Dossier

    Raises
    ------
    DateError, UnknownNameError
        With the line of the entry that cannot be used.

    Examples
    --------
    >>> dossier = read_dossier('[[evidence]]\\npart = "backing"\\nclue = "printed sack"', this_year=2026)
    >>> dossier.evidence[0].trust, dossier.parts
    (0.95, ('backing',))
    >>> read_dossier('[[evidence]]\\npart = "top"\\nsays = "x"\\nwhen = "around 1900"', this_year=2026)
    Traceback (most recent call last):
        ...
    seamlore.errors.DateError: line 1, evidence 1: "around 1900": it is not a date that can be read; ...
    """
    name = f"{source}, " if source else ""
    try:
        data = tomllib.loads(text)
    except tomllib.TOMLDecodeError as fault:
        raise DateError("the file", f"it is not TOML: {fault}", "mend that line", where=source) from None
    _known(data, _FILE_WORDS, source)
    place = _places(text, name)
    cautions: list[str] = []
    evidence = tuple(
        _evidence(entry, place("evidence", index), cautions)
        for index, entry in enumerate(_tables(data, "evidence", source))
    )
    order = tuple(_before(entry, place("order", index)) for index, entry in enumerate(_tables(data, "order", source)))
    named = [str(part) for part in data.get("parts", [])]
    # With an explicit list a misspelt part is caught; without one, what has evidence counts as known.
    parts = tuple(dict.fromkeys(named or [each.part for each in evidence]))
    for before in order:
        for part in (before.earlier, before.later):
            if part not in parts:
                if named or (meant := _misspelt(part, parts)):
                    remedy = nearest(part, parts) if named else f'did you mean "{meant}"?'
                    raise DateError(f'a part named "{part}"', "no such part", remedy, where=before.where)
                parts = (*parts, part)
    if data.get("usual_order"):
        said = {(before.earlier, before.later) for before in order}
        order += tuple(Before(*pair) for pair in usual_order(parts) if pair not in said)
    gaps = tuple(
        _gap(entry, parts, place("gaps", index)) for index, entry in enumerate(_tables(data, "gaps", source))
    )
    return Dossier(_horizon(data.get("horizon"), this_year, source), evidence, order, parts, gaps, tuple(cautions))


def usual_order(parts: tuple[str, ...]) -> tuple[tuple[str, str], ...]:
    """Give the usual order between the parts that there are, passing over those that there are not.

    Examples
    --------
    >>> usual_order(("blocks", "quilting"))
    (('blocks', 'quilting'),)
    >>> usual_order(("blocks",))
    ()
    """
    follow: dict[str, set[str]] = {}
    for earlier, later in USUAL_ORDER:
        follow.setdefault(earlier, set()).add(later)
    found: list[tuple[str, str]] = []
    for part in parts:
        seen: set[str] = set()
        waiting = list(follow.get(part, ()))
        while waiting:
            later = waiting.pop()
            if later in seen:
                continue
            seen.add(later)
            if later in parts:
                found.append((part, later))
            else:
                waiting += follow.get(later, ())
    # A pair that follows from others would only make rings of what can be a tree.
    needed = [pair for pair in dict.fromkeys(found) if not _follows(pair, found)]
    return tuple(sorted(needed, key=lambda pair: (parts.index(pair[0]), parts.index(pair[1]))))


def _follows(pair: tuple[str, str], pairs: list[tuple[str, str]]) -> bool:
    """Whether a pair follows from the others through parts between."""
    reached = waiting = {later for earlier, later in pairs if earlier == pair[0] and later != pair[1]}
    while waiting:
        waiting = {later for earlier, later in pairs if earlier in waiting} - reached
        reached = reached | waiting
    return pair[1] in reached


def _misspelt(part: str, known: tuple[str, ...]) -> str:
    """Give the known part that a new name is a slip for, or nothing: an order may bring in parts of its own."""
    if part in PARTS or len(part) < 4 or any(sign.isdigit() for sign in part):
        return ""
    from difflib import get_close_matches  # slow to import, and only an unknown name needs it

    near = get_close_matches(part.casefold(), [name for name in (*known, *PARTS) if name != part], n=1, cutoff=0.8)
    return near[0] if near else ""


def _places(text: str, name: str) -> Callable[[str, int], str]:
    lines = text.splitlines()

    def place(kind: str, index: int) -> str:
        found = [at for at, line in enumerate(lines, start=1) if re.match(rf"\s*\[\[\s*{kind}\s*\]\]", line)]
        line = f"line {found[index]}, " if index < len(found) else ""
        return f"{name}{line}{kind} {index + 1}"

    return place


def _tables(data: Mapping[str, Any], key: str, source: str) -> list[dict[str, Any]]:
    found = data.get(key, [])
    if not isinstance(found, list) or not all(isinstance(each, dict) for each in found):
        raise DateError(key, f"it is written as [[{key}]] tables", "see docs/dating.md", where=source)
    return found


def _known(entry: Mapping[str, Any], words: tuple[str, ...], where: str) -> None:
    for word in entry:
        if word not in words:
            raise DateError(f'"{word}"', "it is not a word known here", nearest(word, words), where=where)


def _text(entry: Mapping[str, Any], word: str, where: str, *, needed: bool = True) -> str:
    value = entry.get(word, "")
    if isinstance(value, int) and not isinstance(value, bool) and word in ("when", "kept"):
        value = str(value)
    if not isinstance(value, str) or (needed and not value.strip()):
        raise DateError(f"{word} = {value!r}", f"{word} is some words in quotation marks", "fill it in", where=where)
    return value.strip()


def _number(entry: Mapping[str, Any], word: str, otherwise: float, where: str) -> float:
    value = entry.get(word, otherwise)
    if isinstance(value, bool) or not isinstance(value, int | float):
        raise DateError(f"{word} = {value!r}", f"{word} is a number", "write it without quotation marks", where=where)
    return float(value)


def _evidence(entry: Mapping[str, Any], where: str, cautions: list[str]) -> Evidence:
    _known(entry, _EVIDENCE_WORDS, where)
    part = _text(entry, "part", where)
    about = int(_number(entry, "about", ABOUT_YEARS, where))
    if about < 0:
        raise DateError(
            f"about = {about}", "it is 0 years or more", "give how far it reaches to either side", where=where
        )
    by = _text(entry, "by", where, needed=False) or _text(entry, "told", where, needed=False)
    if "clue" not in entry:
        says = _text(entry, "says", where)
        told_years = read_span(_text(entry, "when", where), where=where)
        if "trust" not in entry:
            raise DateError("no trust", "evidence has a trust from 0 to 1", "add a line: trust = 0.8", where=where)
        return Evidence(part, says, told_years, _number(entry, "trust", 0, where), about, where, by or "as told")
    clue = find_clue(_text(entry, "clue", where), where=where)
    if clue.says_nothing:
        cautions.append(f"{clue.feature}: {clue.mistaken_for}")
    sure = _number(entry, "sure", 1.0, where)
    if not 0 <= sure <= 1:
        raise DateError(f"sure {sure:g}", "it is from 0 to 1", "1 when it was seen without doubt", where=where)
    trust = _number(entry, "trust", TRUST[clue.strength], where) * sure
    when: Span | Fashion = clue.when if "when" not in entry else read_span(_text(entry, "when", where), where=where)
    says = _text(entry, "says", where, needed=False) or clue.feature
    return Evidence(part, says, when, 0.0 if clue.says_nothing else trust, about, where, clue.source)


def _before(entry: Mapping[str, Any], where: str) -> Before:
    _known(entry, _ORDER_WORDS, where)
    earlier, later = _text(entry, "earlier", where), _text(entry, "later", where)
    if "kept" not in entry:
        return Before(earlier, later, where=where)
    text = _text(entry, "kept", where)
    found = re.fullmatch(r"(\d{1,3})(?:\s*/\s*(\d{1,3}|\.\.))?", text)
    if not found:
        raise DateError(f'kept "{text}"', "it is years, from and to", "write it as 0/20", where=where)
    least = int(found[1])
    most = None if found[2] == ".." else int(found[2] or found[1])
    if most is not None and most < least:
        raise DateError(f'kept "{text}"', "it ends before it starts", f"write it as {most}/{least}", where=where)
    return Before(earlier, later, (least, most), where)


def _gap(entry: Mapping[str, Any], parts: tuple[str, ...], where: str) -> tuple[str, str, int]:
    _known(entry, ("earlier", "later", "years"), where)
    pair = _text(entry, "earlier", where), _text(entry, "later", where)
    for part in pair:
        if part not in parts:
            raise DateError(f'a part named "{part}"', "no such part", nearest(part, parts), where=where)
    return (*pair, int(_number(entry, "years", 1, where)))


def _horizon(given: object, this_year: int, source: str) -> tuple[int, int]:
    if given is None:
        return FIRST_YEAR, this_year
    span = read_span(str(given), where=f"{source}, horizon" if source else "horizon")
    if span.first is None or span.last is None or span.last - span.first > 2000:
        raise DateError(f"horizon {given}", "it is two years", "write it as 1700/2026", where=source)
    return span.first, span.last


def in_words(evidence: Evidence) -> str:
    """Give one piece of evidence as a line: what was seen, on what, which years, how far trusted.

    Examples
    --------
    >>> from seamlore.chronology.spans import Span
    >>> in_words(Evidence("backing", "printed sacks", Span(1924, None), 0.95))
    'printed sacks on the backing: 1924/.. (trust 0.95)'
    """
    return f"{evidence.says} on the {evidence.part}: {describe(evidence.when)} (trust {evidence.trust:.2g})"
