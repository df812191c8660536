"""Changing an evidence file an entry at a time, leaving the rest of its text as it was written."""

from __future__ import annotations

import json
import re
from collections.abc import Mapping
from typing import Literal

from seamlore.chronology.evidence_file import Dossier, read_dossier
from seamlore.errors import DateError

Kind = Literal["evidence", "order", "gaps"]
_HEADER = re.compile(r"\s*\[")
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


def checked(text: str, *, this_year: int) -> Dossier | None:
    """Read an evidence file; None when it holds no evidence and no order yet."""
    if not text.strip():
        return None
    dossier = read_dossier(text, this_year=this_year)
    return dossier if dossier.parts else None
