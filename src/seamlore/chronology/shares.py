"""How quilts usually come together: the shares that the dating starts from, each of which a file may change.

All of them are our own choice from common practice, no source; docs/dating.md shows the list, docs/accuracy how
much the answers lean on them.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from typing import Any

from seamlore.errors import DateError, nearest

# Of quilts, how many in 100 had this part made a long time after (backing, filling: before) what it is joined to.
LONG_GAP = {
    "setting": 0.04,
    "border": 0.03,
    "quilting": 0.06,
    "ties": 0.06,
    "backing": 0.02,
    "filling": 0.02,
    "edge finish": 0.05,
    "label": 0.40,
    "thread": 0.08,
}


@dataclass(frozen=True, slots=True)
class Shares:
    """What is taken for usual before anything was seen.

    Parameters
    ----------
    pull : bool
        Whether parts follow one another within few years unless something says otherwise.
    long_gap : mapping
        See `LONG_GAP`.
    against : float
        Share of ties against the order: parts of two quilts married, blocks quilted before they were set.
    scrap_bag, old_cloth : float
        Share of the fabrics that waited in a scrap bag for up to decades, and that were old when they were used.
    reproduction : float
        Share of cloth of an old look that was printed again since the 1970s.
    """

    pull: bool = True
    long_gap: Mapping[str, float] = field(default_factory=lambda: dict(LONG_GAP))
    against: float = 0.01
    scrap_bag: float = 0.18
    old_cloth: float = 0.025
    reproduction: float = 0.01


WORDS = ("pull", "against", "scrap bag", "old cloth", "reproduction", *LONG_GAP)


def read_shares(given: Any, *, where: str = "") -> Shares:
    """Read the table `[shares]` of an evidence file.

    Raises
    ------
    DateError
        Naming the word and its limit.

    Examples
    --------
    >>> read_shares({"quilting": 0.3}).long_gap["quilting"], read_shares({"pull": False}).pull
    (0.3, False)
    >>> read_shares({"quilting": 3})
    Traceback (most recent call last):
        ...
    seamlore.errors.DateError: shares: quilting = 3: a share is from 0 to 1; 0.06 is the usual one
    """
    place = f"{where}, shares" if where else "shares"
    if not isinstance(given, dict):
        raise DateError("shares", "they are written as a table [shares]", "see docs/dating.md", where=where)
    shares = Shares()
    gaps = dict(shares.long_gap)
    plain: dict[str, Any] = {}
    for word, value in given.items():
        name = word.replace("_", " ")
        if name not in WORDS:
            raise DateError(f'"{word}"', "it is not a word known here", nearest(name, WORDS), where=place)
        if name == "pull":
            if not isinstance(value, bool):
                raise DateError(f"pull = {value}", "it is true or false", "write pull = false", where=place)
            plain["pull"] = value
            continue
        usual = gaps.get(name, getattr(shares, name.replace(" ", "_"), None))
        if isinstance(value, bool) or not isinstance(value, int | float) or not 0 <= value <= 1:
            raise DateError(f"{word} = {value}", "a share is from 0 to 1", f"{usual:g} is the usual one", where=place)
        if name in gaps:
            gaps[name] = float(value)
        else:
            plain[name.replace(" ", "_")] = float(value)
    return replace(shares, long_gap=gaps, **plain)
