"""Numbers as a block file writes them: 2, 1.5, 3/2, 1-1/2 or 1+sqrt2/2."""

from __future__ import annotations

import re
from fractions import Fraction
from functools import lru_cache

from seamlore.draft.exact.roots import SQRT2, Exact

_DECIMAL = re.compile(r"[0-9]{1,6}(\.[0-9]{1,12})?")
_FRACTION = re.compile(r"(?:([0-9]{1,6})-)?([0-9]{1,12})/([0-9]{1,12})")
# A number with a root: the root alone, after a plain number, or before one.
_WITH_ROOT = re.compile(r"(?:(.+)([+-]))?([0-9]{0,6})sqrt2(?:/([0-9]{1,6}))?(?:([+-])(.+))?")


# A block has few numbers, each many times over.
@lru_cache(maxsize=4096)
def read_number(word: str) -> Exact | None:
    """Read a number; None when it is none."""
    if _DECIMAL.fullmatch(word):
        return Fraction(word)
    if found := _FRACTION.fullmatch(word):
        return int(found[1] or 0) + Fraction(int(found[2]), int(found[3])) if int(found[3]) else None
    parts = _WITH_ROOT.fullmatch(word)
    if not parts or (parts[1] and parts[6]) or not int(parts[3] or 1) or not int(parts[4] or 1):
        return None
    before, sign, many, under, then, after = parts.groups()
    root = SQRT2 * Fraction(int(many or 1), int(under or 1))
    # What stands beside the root is plain: two roots in one number are a slip.
    beside = read_number(before or after or "0")
    if not isinstance(beside, Fraction):
        return None
    if before:
        return beside + root if sign == "+" else beside - root
    return root - beside if then == "-" else root + beside
