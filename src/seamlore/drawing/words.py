"""Words in which fractions are set as fractions."""

from __future__ import annotations

import re

# A date such as 11/25 or a choice such as and/or is no fraction: only the marks of a tape, thirds and fifths are.
_FRACTION = re.compile(r"(?<![\d/.])(?:(?P<whole>\d+)[ \u00a0])?(?P<part>\d{1,2}/(?:2|3|4|5|8|16|32|64))(?![\d/])")


def runs(words: str) -> tuple[tuple[str, bool], ...]:
    """Divide words into stretches of plain text and fractions.

    Parameters
    ----------
    words : str
        Any text; a whole number before a fraction is joined to it by a space that does not break.

    Returns
    -------
    tuple of (str, bool)
        Each stretch and whether it is a fraction.

    Examples
    --------
    >>> runs("cut 3 1/2 in")
    (('cut 3\\xa0', False), ('1/2', True), (' in', False))
    >>> runs("either/or"), runs("")
    ((('either/or', False),), ())
    """
    found: list[tuple[str, bool]] = []
    at = 0
    for match in _FRACTION.finditer(words):
        before = words[at : match.start()] + (f"{match['whole']}\u00a0" if match["whole"] else "")
        if before:
            found.append((before, False))
        found.append((match["part"], True))
        at = match.end()
    if at < len(words):
        found.append((words[at:], False))
    return tuple(found)
