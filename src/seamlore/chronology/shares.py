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

# What each share is of, in words; of 100 quilts, or of 100 cloths.
SAID = {
    "setting": "setting a long time after the blocks",
    "border": "border a long time after the setting",
    "quilting": "quilted a long time after the top",
    "ties": "tied a long time after the top",
    "backing": "backing a long time before the quilting",
    "filling": "filling a long time before the quilting",
    "edge finish": "edge a long time after the quilting",
    "label": "label a long time after the edge",
    "thread": "thread a long time before or after",
    "against": "against the order: parts of two quilts married",
    "scrap bag": "of the cloths: out of a scrap bag",
    "old cloth": "of the cloths: old when it was used",
    "reproduction": "of old-looking cloths: printed again since 1976",
}


def share_of(shares: Shares, word: str) -> float:
    """Give one share by its word.

    Examples
    --------
    >>> share_of(Shares(), "quilting"), share_of(Shares(), "old cloth")
    (0.06, 0.025)
    """
    return shares.long_gap[word] if word in shares.long_gap else float(getattr(shares, word.replace(" ", "_")))


def in_hundred(share: float) -> str:
    """Give a share as so many of 100.

    Examples
    --------
    >>> in_hundred(0.06), in_hundred(0.025)
    ('6', '2.5')
    """
    return f"{round(100 * share, 4):g}"


def shares_in_words(shares: Shares) -> tuple[str, ...]:
    """Say what is taken for usual, a line for the making and one for the cloth.

    Examples
    --------
    >>> print(shares_in_words(Shares())[0][:75])
    parts follow one another within few years, but of 100: 4 setting a long tim
    >>> print(shares_in_words(Shares(pull=False))[0])
    nothing pulls the parts together: the usual order is only "no later than"
    """
    told = {word: f"{in_hundred(share_of(shares, word))} {SAID[word]}" for word in SAID}
    cloth = [told.pop(word).replace("of the cloths: ", "") for word in ("scrap bag", "old cloth")]
    again = told.pop("reproduction").replace("of old-looking cloths: ", "")
    made = f"parts follow one another within few years, but of 100: {', '.join(told.values())}"
    if not shares.pull:
        made = 'nothing pulls the parts together: the usual order is only "no later than"'
    return made, f"of 100 cloths: {', '.join(cloth)}; of 100 of an old look {again}"


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
