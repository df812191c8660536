"""Changing an evidence file an entry at a time, leaving the rest of its text as it was written."""

from __future__ import annotations

import json
import re
from collections.abc import Mapping
from typing import Literal

from seamlore.chronology.evidence_file import Dossier, read_dossier
from seamlore.chronology.shares import SAID, Shares, in_hundred, share_of
from seamlore.errors import DateError

Kind = Literal["evidence", "order", "gaps"]
_HEADER = re.compile(r"\s*\[")
_SHARES = re.compile(r"\s*\[\s*shares\s*\]")
_OF_HUNDRED = re.compile(r"[0-9]{1,3}(?:[.,][0-9]{1,4})?")
# What a new evidence file says before any evidence: the usual order holds until someone strikes it out.
OPENING = "usual_order = true\n"


def with_entry(text: str, kind: Kind, fields: Mapping[str, str | float | int], *, this_year: int) -> str:
    """Add one entry at the end of an evidence file.

    Parameters
    ----------
    text : str
        The file; an empty one is begun with the usual order.
    kind : {"evidence", "order", "gaps"}
    fields : mapping
        The entry's words; empty strings are left out.
    this_year : int
        For checking the result.

    Returns
    -------
    str

    Raises
    ------
    DateError, UnknownNameError
        When the file with the entry could not be read.

    Examples
    --------
    >>> print(with_entry("", "evidence", {"part": "backing", "clue": "printed sack", "says": ""}, this_year=2026))
    usual_order = true
    <BLANKLINE>
    [[evidence]]
    part = "backing"
    clue = "printed sack"
    <BLANKLINE>
    """
    lines = [f"[[{kind}]]"]
    for word, value in fields.items():
        if value == "":
            continue
        # A JSON string is a TOML basic string too.
        lines.append(f"{word} = {json.dumps(value, ensure_ascii=False)}")
    begun = text.rstrip() if text.strip() else OPENING.rstrip()
    made = begun + "\n\n" + "\n".join(lines) + "\n"
    read_dossier(made, this_year=this_year)
    return made


def without_entry(text: str, kind: Kind, index: int) -> str:
    """Take one entry out of an evidence file.

    Raises
    ------
    DateError
        When there is no such entry.

    Examples
    --------
    >>> text = '[[order]]\\nearlier = "a"\\nlater = "b"\\n\\n[[order]]\\nearlier = "b"\\nlater = "c"\\n'
    >>> print(without_entry(text, "order", 0))
    [[order]]
    earlier = "b"
    later = "c"
    <BLANKLINE>
    """
    lines = text.splitlines()
    starts = [at for at, line in enumerate(lines) if re.match(rf"\s*\[\[\s*{kind}\s*\]\]", line)]
    if not 0 <= index < len(starts):
        raise DateError(f"{kind} {index + 1}", f"there are {len(starts)}", "look at the page again")
    start = starts[index]
    end = next((at for at in range(start + 1, len(lines)) if _HEADER.match(lines[at])), len(lines))
    return "\n".join(lines[:start] + lines[end:]).strip() + "\n"


def with_shares(text: str, given: Mapping[str, str], *, pull: bool, this_year: int) -> str:
    """Change what an evidence file takes for usual; what is as usual is left out of it.

    Parameters
    ----------
    text : str
    given : mapping
        How many of 100, by the share's word; a blank one is the usual one.
    pull : bool
        Whether the parts follow one another within few years.
    this_year : int
        For checking the result.

    Raises
    ------
    DateError, UnknownNameError
        Naming the share and what was given for it.

    Examples
    --------
    >>> print(with_shares("usual_order = true\\n", {"quilting": "30", "label": "40"}, pull=False, this_year=2026))
    usual_order = true
    <BLANKLINE>
    [shares]
    pull = false
    quilting = 0.3
    <BLANKLINE>
    """
    usual = Shares()
    told = [] if pull else ["pull = false"]
    for word, said in SAID.items():
        value = given.get(word, "").strip()
        common = share_of(usual, word)
        if value and (not _OF_HUNDRED.fullmatch(value) or float(value.replace(",", ".")) > 100):
            remedy = f"{in_hundred(common)} is the usual one"
            raise DateError(f'"{value[:20]}"', "so many of 100 is a number from 0 to 100", remedy, where=said)
        share = round(float(value.replace(",", ".")) / 100, 6) if value else common
        if share != common:
            told.append(f"{word.replace(' ', '_')} = {share:g}")
    lines = text.splitlines()
    start = next((at for at, line in enumerate(lines) if _SHARES.match(line)), len(lines))
    end = next((at for at in range(start + 1, len(lines)) if _HEADER.match(lines[at])), len(lines))
    rest = "\n".join(lines[:start] + lines[end:]).rstrip()
    made = rest + ("\n\n[shares]\n" + "\n".join(told) if told else "") + "\n"
    read_dossier(made, this_year=this_year)
    return made


def checked(text: str, *, this_year: int) -> Dossier | None:
    """Read an evidence file; None when it holds no evidence and no order yet."""
    if not text.strip():
        return None
    dossier = read_dossier(text, this_year=this_year)
    return dossier if dossier.parts else None
