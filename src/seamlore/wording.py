"""US words of the trade and their British ones: one table, behind one switch, for pages, sheets and command line.

Everything is written in US English. What a reader sees passes through `reworded` at the last moment, so that no sentence
stands here twice. A user's own words, and what stands between quotation marks to be typed, are never changed.
"""

from __future__ import annotations

import re
from collections.abc import Collection, Iterable, Iterator
from contextlib import contextmanager
from contextvars import ContextVar
from functools import cache, lru_cache
from typing import Literal, get_args

Wording = Literal["us", "british"]
WORDINGS: tuple[Wording, ...] = get_args(Wording)

# A stem and its British one; endings of the language may follow. Spellings: from memory, those of any British dictionary
# with -ize kept; words of the trade: common practice, no source.
_STEMS = {
    "center": "centre",
    "centimeter": "centimetre",
    "color": "colour",
    "crib": "cot",
    "favor": "favour",
    "fiber": "fibre",
    "gray": "grey",
    "meter": "metre",
    "millimeter": "millimetre",
    "miter": "mitre",
    "mold": "mould",
    "neighbor": "neighbour",
}
_ENDINGS = ("", "s", "ed", "ing", "ings", "ly", "y", "fast")
# Words whose ending changes with them, and words of the trade.
_WORDS = {
    "batting": "wadding",
    "centered": "centred",
    "centering": "centring",
    "muslin": "calico",
    "mitered": "mitred",
    "mitering": "mitring",
    "seam ripper": "seam unpicker",
    "take a seam out": "unpick a seam",
    "take out a seam": "unpick a seam",
    "takes out a seam": "unpicks a seam",
    "takes out the nearest seam": "unpicks the nearest seam",
    "took out a seam": "unpicked a seam",
}
_MONTHS = "January|February|March|April|May|June|July|August|September|October|November|December"
_DAY = rf"\b({_MONTHS}) (\d{{1,2}}), (\d{{4}})\b"
# Of these, most runs use none: they are compiled when they are. What stands in quotation marks is to be typed, or was.
_QUOTED = r'"[^"\n]{1,200}"|“[^”\n]{1,200}”'
# Of a page: what is never a sentence, then tags; in these the attributes that are read out or shown.
_MARKUP = r"(?is)(<!--.*?-->|<(?:textarea|script|style)\b.*?</(?:textarea|script|style)>|<[^>]*>)"
_SAID = r'((?:aria-label|title|placeholder|alt|data-says)=")([^"]*)(")'

# The wording that a command was asked for; a table in the browser has its own.
spoken: ContextVar[Wording] = ContextVar("spoken", default="us")
_kept: ContextVar[frozenset[str]] = ContextVar("kept", default=frozenset())


@cache
def table() -> dict[str, str]:
    """Give every US word that is known, in small letters, with its British one.

    Examples
    --------
    >>> table()["colors"], table()["batting"], table()["centered"]
    ('colours', 'wadding', 'centred')
    """
    regular = {stem + ending: other + ending for stem, other in _STEMS.items() for ending in _ENDINGS}
    return regular | _WORDS


@cache
def _any_word() -> re.Pattern[str]:
    longest = sorted(table(), key=len, reverse=True)
    # Not a part of an option, a file's name, a color's code or an assignment.
    return re.compile(rf"(?<!--)(?<![\w#/.=])(?:{'|'.join(map(re.escape, longest))})(?![\w=]|\.\w)", re.I)


def reworded(text: str, wording: Wording | None = None, keep: Collection[str] = ()) -> str:
    """Give a text in the wording asked for.

    Parameters
    ----------
    text : str
        In US English.
    wording : {"us", "british"}, optional
        That of the command when not given.
    keep : collection of str
        A user's own words, left as they are wherever they stand.

    Examples
    --------
    >>> reworded("Gray batting, centered; --color A=gray", "british")
    'Grey wadding, centred; --color A=gray'
    >>> reworded("gray scraps: a color of its own", "british", keep=["gray scraps"])
    'gray scraps: a colour of its own'
    >>> reworded("batting", "us")
    'batting'
    """
    if (spoken.get() if wording is None else wording) == "us":
        return text
    kept = _keeping(frozenset(keep) | _kept.get())
    parts = []
    at = 0
    for found in kept.finditer(text):
        parts += [_british(text[at : found.start()]), found[0]]
        at = found.end()
    return "".join([*parts, _british(text[at:])])


@lru_cache(maxsize=64)
def _keeping(words: frozenset[str]) -> re.Pattern[str]:
    """What is left alone: the words kept that have a word of the table in them, and what is quoted."""
    own = sorted((word for word in words if _any_word().search(word)), key=len, reverse=True)
    return re.compile("|".join([_QUOTED, *(rf"(?<!\w){re.escape(word)}(?!\w)" for word in own)]))


def _british(text: str) -> str:
    worded = _any_word().sub(lambda found: _in_case_of(found[0], table()[found[0].lower()]), text)
    return re.sub(_DAY, r"\2 \1 \3", worded)


def _in_case_of(said: str, word: str) -> str:
    if said.isupper():
        return word.upper()
    return word[0].upper() + word[1:] if said[0].isupper() else word


def reworded_page(page: str, wording: Wording, keep: Collection[str] = ()) -> str:
    """Give a page in the wording asked for: its text, and what its attributes say; code and fields are left alone.

    Examples
    --------
    >>> reworded_page('<p class="color" title="The color">Color</p><textarea>color</textarea>', "british")
    '<p class="color" title="The colour">Colour</p><textarea>color</textarea>'
    """
    if wording == "us":
        return page
    import html  # only for pages in other words

    kept = frozenset(html.escape(word) for word in keep) | frozenset(keep)
    parts = re.split(_MARKUP, page)
    for index, part in enumerate(parts):
        if index % 2 == 0:
            parts[index] = reworded(part, wording, kept) if part.strip() else part
        elif "=" in part and part[1:2].isalpha() and not part.lower().startswith(("<textarea", "<script", "<style")):
            parts[index] = re.sub(_SAID, lambda found: found[1] + reworded(found[2], wording, kept) + found[3], part)
    return "".join(parts).replace('<html lang="en-US">', '<html lang="en-GB">', 1)


@contextmanager
def speaking(wording: Wording | None = None, *, keep: Iterable[str] = ()) -> Iterator[None]:
    """Let `reworded` give this wording, the same when none is given, and leave these words, for a while."""
    before = spoken.set(wording or spoken.get()), _kept.set(_kept.get() | frozenset(keep))
    try:
        yield
    finally:
        spoken.reset(before[0])
        _kept.reset(before[1])


def keep_words(words: Iterable[str]) -> None:
    """Leave a user's own words as they are from now on, in this command."""
    _kept.set(_kept.get() | frozenset(words))


def american(word: str) -> str:
    """Take a British spelling for the American one, as in the name of an option.

    Examples
    --------
    >>> american("mitred"), american("colour"), american("border")
    ('mitered', 'color', 'border')
    """
    return _american().get(word, word)


@cache
def _american() -> dict[str, str]:
    return {other: word for word, other in table().items()}
