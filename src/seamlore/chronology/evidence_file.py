"""The file in which a quilt's evidence is written down: TOML, as in docs/dating.md."""

from __future__ import annotations

import re
import tomllib
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from typing import Any

from seamlore.chronology.clues import EYE, FACT, TRUST, Clue, find_clue
from seamlore.chronology.evidence import ABOUT_YEARS, Evidence, Fashion, describe
from seamlore.chronology.order import Before
from seamlore.chronology.parts import misspelt, usual_order
from seamlore.chronology.shares import Shares, read_shares
from seamlore.chronology.spans import Span, read_span
from seamlore.errors import DateError, nearest
from seamlore.limits import LINE, TEXT

FIRST_YEAR = 1700
_EVIDENCE_WORDS = (
    "part", "says", "when", "trust", "clue", "sure", "about", "by", "photo", "told", "source", "fabric", "patches", "of",
)  # fmt: skip
_ORDER_WORDS = ("earlier", "later", "kept")
_FILE_WORDS = ("horizon", "parts", "usual_order", "gaps", "evidence", "order", "shares")


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
    usual : bool
        Whether the parts are taken to belong together along the usual order.
    shares : Shares
        How quilts usually come together; counts only where `usual`.
    written : tuple of Before
        The order as written by hand, without the usual one.
    """

    horizon: tuple[int, int]
    evidence: tuple[Evidence, ...]
    order: tuple[Before, ...]
    parts: tuple[str, ...]
    gaps: tuple[tuple[str, str, int], ...] = ()
    cautions: tuple[str, ...] = ()
    usual: bool = False
    shares: Shares = field(default_factory=Shares)
    written: tuple[Before, ...] = ()


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
    >>> read_dossier('[[evidence]]\\npart = "top"\\nsays = "x"\\nwhen = "some 1900"', this_year=2026)
    Traceback (most recent call last):
        ...
    seamlore.errors.DateError: line 1, evidence 1: "some 1900": it is not a date that can be read; ...
    """
    name = f"{source}, " if source else ""
    if len(text) > TEXT:
        raise DateError(f"a file of {len(text)} letters", f"at most {TEXT}", "split it", where=source)
    try:
        data = tomllib.loads(text)
    except RecursionError:
        raise DateError("the file", "its brackets are nested too deep", "see docs/dating.md", where=source) from None
    except ValueError as fault:  # a number of thousands of digits is one that tomllib does not name its own
        raise DateError("the file", f"it is not TOML: {fault}", "mend that line", where=source) from None
    _known(data, _FILE_WORDS, source)
    usual = _switch(data, "usual_order", source)
    place = _places(text, name)
    cautions: list[str] = []
    evidence = tuple(
        _evidence(entry, place("evidence", index), cautions, usual=usual)
        for index, entry in enumerate(_tables(data, "evidence", source))
    )
    order = tuple(_before(entry, place("order", index)) for index, entry in enumerate(_tables(data, "order", source)))
    named = _names(data.get("parts", []), source)
    parts = _parts(named, evidence, order, usual=usual)
    written = order
    if usual:
        said = {(before.earlier, before.later) for before in order}
        order += tuple(Before(*pair) for pair in usual_order(parts) if pair not in said)
    gaps = tuple(
        _gap(entry, parts, place("gaps", index)) for index, entry in enumerate(_tables(data, "gaps", source))
    )
    shares = read_shares(data["shares"], where=source) if "shares" in data else Shares()
    horizon = _horizon(data.get("horizon"), this_year, source)
    return Dossier(horizon, evidence, order, parts, gaps, tuple(cautions), usual, shares, written)


def _switch(data: Mapping[str, Any], word: str, source: str) -> bool:
    value = data.get(word, False)
    if not isinstance(value, bool):
        raise DateError(f"{word} = {value!r}", "it is true or false", f"write {word} = true", where=source)
    return value


def _names(given: object, source: str) -> list[str]:
    if not isinstance(given, list) or not all(isinstance(each, str) and each.strip() for each in given):
        raise DateError("parts", "they are a list of names", 'write parts = ["blocks", "backing"]', where=source)
    return [each.strip() for each in given]


def _parts(
    named: list[str], evidence: tuple[Evidence, ...], order: tuple[Before, ...], *, usual: bool
) -> tuple[str, ...]:
    # With an explicit list a misspelt part is caught; without one, what has evidence counts as known.
    parts = tuple(dict.fromkeys(named or [each.part for each in evidence]))
    if usual and not named:
        for each in evidence:
            if meant := misspelt(each.part, ()):
                raise _no_such(each.part, f'did you mean "{meant}"? Else name it in a list of parts', each.where)
    for before in order:
        for part in (before.earlier, before.later):
            if part not in parts:
                if named or (meant := misspelt(part, parts)):
                    remedy = nearest(part, parts) if named else f'did you mean "{meant}"?'
                    raise _no_such(part, remedy, before.where)
                parts = (*parts, part)
    return parts


def _no_such(part: str, remedy: str, where: str) -> DateError:
    return DateError(f'a part named "{part}"', "no such part", remedy, where=where)


def _places(text: str, name: str) -> Callable[[str, int], str]:
    found: dict[str, list[int]] = {}
    for at, line in enumerate(text.splitlines(), start=1):
        if header := re.match(r"\s*\[\[\s*(\w+)\s*\]\]", line):
            found.setdefault(header[1], []).append(at)

    def place(kind: str, index: int) -> str:
        lines = found.get(kind, [])
        line = f"line {lines[index]}, " if index < len(lines) else ""
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
    if len(value) > LINE:
        raise DateError(f"{word} of {len(value)} letters", f"at most {LINE}", "say it shorter", where=where)
    return value.strip()


def _number(entry: Mapping[str, Any], word: str, otherwise: float, where: str) -> float:
    value = entry.get(word, otherwise)
    if isinstance(value, bool) or not isinstance(value, int | float):
        raise DateError(f"{word} = {value!r}", f"{word} is a number", "write it without quotation marks", where=where)
    if not -1e9 < value < 1e9:
        raise DateError(f"{word} = {value:g}", f"{word} is no such number", "correct it", where=where)
    return float(value)


def _count(entry: Mapping[str, Any], word: str, where: str) -> int | None:
    if word not in entry:
        return None
    value = entry[word]
    if isinstance(value, bool) or not isinstance(value, int) or not 1 <= value <= 100_000:
        raise DateError(f"{word} = {value!r}", f"{word} counts patches: 1 or more", "count them", where=where)
    return value


def _evidence(entry: Mapping[str, Any], where: str, cautions: list[str], *, usual: bool) -> Evidence:
    _known(entry, _EVIDENCE_WORDS, where)
    part = _text(entry, "part", where)
    about = int(_number(entry, "about", ABOUT_YEARS, where))
    if not 0 <= about <= 500:
        raise DateError(
            f"about = {about}", "it is 0 to 500 years", "give how far it reaches to either side", where=where
        )
    by = _text(entry, "by", where, needed=False) or _text(entry, "told", where, needed=False)
    family = _text(entry, "source", where, needed=False)
    if "clue" not in entry:
        says = _text(entry, "says", where)
        told_years = read_span(_text(entry, "when", where), where=where)
        if "trust" not in entry:
            raise DateError("no trust", "evidence has a trust from 0 to 1", "add a line: trust = 0.8", where=where)
        trust = _number(entry, "trust", 0, where)
        return Evidence(part, says, told_years, trust, about, where, by or "as told", family=family)
    clue = find_clue(_text(entry, "clue", where), where=where)
    if clue.says_nothing:
        cautions.append(f"{clue.feature}: {clue.mistaken_for}")
    sure = _number(entry, "sure", 1.0, where)
    if not 0 <= sure <= 1:
        raise DateError(f"sure {sure:g}", "it is from 0 to 1", "1 when it was seen without doubt", where=where)
    when: Span | Fashion = clue.when if "when" not in entry else read_span(_text(entry, "when", where), where=where)
    says = _text(entry, "says", where, needed=False) or clue.feature
    trust, fact, eye = _doubts(entry, clue, sure, where, usual=usual)
    if clue.dates == "inscription":
        if "when" not in entry:
            cautions.append(f"{clue.feature}: write the year that stands there beside it, or it says nothing")
            trust = fact = eye = 0.0
        else:
            cautions.append(
                f"{clue.feature}: it may mark a birth, a wedding or an anniversary instead of the making; "
                "see whether its ink or thread belongs to the quilt"
            )
    return Evidence(
        part, says, when, trust, about, where, clue.source, clue.key, clue.dates, fact, eye, clue.family,
        _text(entry, "fabric", where, needed=False), _count(entry, "patches", where), _count(entry, "of", where),
    )  # fmt: skip


def _doubts(
    entry: Mapping[str, Any], clue: Clue, sure: float, where: str, *, usual: bool
) -> tuple[float, float, float]:
    """How far a clue is trusted in one number, and apart: its years, and her eye."""
    if clue.says_nothing:
        return 0.0, 0.0, 0.0
    given = _number(entry, "trust", TRUST[clue.strength], where)
    if not 0 <= given <= 1:
        raise DateError(f"trust {given:g}", "trust is from 0 to 1", "0.9 is well-founded, 0.5 a guess", where=where)
    fact = given if "trust" in entry else FACT[clue.strength]
    eye = sure * EYE[clue.eye]
    return (fact * eye if usual else given * sure), fact, eye


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
    'printed sacks on the backing: 1924 or later (trust 0.95)'
    """
    return f"{evidence.says} on the {evidence.part}: {describe(evidence.when)} (trust {evidence.trust:.2g})"
