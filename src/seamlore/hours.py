"""How long each kind of work takes, as a range, and how that is known. Every room that counts hours asks here.

What few people have timed is a wide range. Estimates run low: of two kinds of work that a maker first estimated and
then timed, one took 1.6 times as long (trade facts E4).
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from fractions import Fraction
from typing import Literal

from seamlore.errors import PlanError

Work = Literal[
    "seam by machine",
    "inch by machine",
    "turn of a set-in seam by machine",
    "inch by hand",
    "piece over paper",
    "cut",
    "square inch of backing",
    "square inch basted",
    "square inch quilted by machine",
    "tie",
    "inch bound",
    "inch folded over",
    "inch faced",
    "inch turned",
    "inch of knife edge",
    "inch of seam opened",
    "inch of quilting taken out",
    "tie taken out",
]
_NO_SOURCE = "common practice, no source"
_LOG = "a maker's log of hand-sewn binding: 16 in in 10 minutes at first, 300 in in 5 hours in all"
_WHOLE = "a maker's log of a quilt of 80 x 75 in, pieced and quilted by machine, 2009"
SLOWEST, QUICKEST = Fraction(10), Fraction(1, 10)


@dataclass(frozen=True, slots=True)
class Pace:
    """How long one of a kind of work takes.

    Parameters
    ----------
    least, most : float
        Minutes, for a quick hand and for an unhurried one.
    known : str
        How that is known.
    """

    least: float
    most: float
    known: str


PACES: dict[Work, Pace] = {
    # Take up, match, sew off the one before, cut apart, press.
    "seam by machine": Pace(0.3, 1.0, _NO_SOURCE),
    "inch by machine": Pace(0.02, 0.06, _NO_SOURCE),
    "turn of a set-in seam by machine": Pace(2.0, 5.0, _NO_SOURCE),
    "inch by hand": Pace(10 / 16, 1.0, _LOG),
    "piece over paper": Pace(1.0, 2.5, _NO_SOURCE),
    "cut": Pace(0.15, 0.4, _NO_SOURCE),
    # A log of a quilt of 6,000 square inches and 310 in round: 2 h for the back, 2.5 for basting, 8 to 10 for quilting by
    # machine, 3 to 4 for binding (trade facts E4).
    "square inch of backing": Pace(0.013, 0.02, _WHOLE),
    "square inch basted": Pace(0.017, 0.025, _WHOLE),
    "square inch quilted by machine": Pace(0.08, 0.1, _WHOLE),
    "tie": Pace(1.5, 3.0, _NO_SOURCE),
    "inch bound": Pace(0.58, 1.04, f"{_WHOLE}; {_LOG}"),
    "inch folded over": Pace(0.4, 0.8, _NO_SOURCE),
    "inch faced": Pace(0.6, 1.0, _NO_SOURCE),
    "inch turned": Pace(0.1, 0.2, _NO_SOURCE),
    "inch of knife edge": Pace(0.4, 0.7, _NO_SOURCE),
    # Stitch by stitch, as old cloth asks; never ripped along.
    "inch of seam opened": Pace(0.1, 0.35, _NO_SOURCE),
    "inch of quilting taken out": Pace(0.1, 0.4, _NO_SOURCE),
    "tie taken out": Pace(0.5, 1.5, _NO_SOURCE),
}


@dataclass(frozen=True, slots=True)
class Hours:
    """A range of hours, and how its paces are known.

    Examples
    --------
    >>> Hours(1.0, 2.0, ("a log",)) + Hours(0.5, 1.0, ("a log", "common practice"))
    Hours(least=1.5, most=3.0, known=('a log', 'common practice'))
    >>> str(Hours(3.2, 7.9)), str(Hours(0.2, 0.6)), str(Hours(0.0, 0.1))
    ('3 to 8 hours', 'about an hour', 'under an hour')
    """

    least: float = 0.0
    most: float = 0.0
    known: tuple[str, ...] = ()

    def __add__(self, other: Hours) -> Hours:
        return Hours(self.least + other.least, self.most + other.most, tuple(dict.fromkeys(self.known + other.known)))

    def at(self, pace: Fraction) -> Hours:
        """Give the range for one who takes so many times as long.

        Examples
        --------
        >>> Hours(1.0, 2.0).at(Fraction(3, 2)).most
        3.0
        """
        return Hours(self.least * float(pace), self.most * float(pace), self.known)

    def __str__(self) -> str:
        # Down and up, so that the range stays as wide as what is known of it.
        low, high = int(self.least), -int(-self.most // 1)
        if high < 1 or self.most < 0.5:
            return "under an hour"
        if low == 0:
            return "about an hour" if high == 1 else f"up to {high} hours"
        return f"{low} to {high} hours" if high > low else f"about {high} hour{'s' * (high != 1)}"


def hours(work: Work, amount: float) -> Hours:
    """Say how long an amount of work takes.

    Parameters
    ----------
    work : str
        One of `PACES`.
    amount : float
        How many seams, inches, turns or pieces.

    Examples
    --------
    >>> hours("inch by hand", 300)
    Hours(least=3.125, most=5.0, known=("a maker's log of hand-sewn binding: 16 in in 10 minutes at first, 300 in in 5 hours in all",))
    >>> hours("seam by machine", 0).most
    0.0
    """
    pace = PACES[work]
    return Hours(pace.least * amount / 60, pace.most * amount / 60, (pace.known,))


def checked_pace(text: str) -> Fraction:
    """Read her own pace beside these; 1 where none was given.

    Raises
    ------
    PlanError
        When it is none.

    Examples
    --------
    >>> checked_pace("1.5"), checked_pace("")
    (Fraction(3, 2), Fraction(1, 1))
    >>> checked_pace("brisk")
    Traceback (most recent call last):
        ...
    seamlore.errors.PlanError: a pace of "brisk": it is a number from 0.1 to 10; 1 is the pace of the hours shown, ...
    """
    written = text.strip().replace(",", ".")
    if not written:
        return Fraction(1)
    if not re.fullmatch(r"[0-9]{1,2}(\.[0-9]{1,2})?", written) or not QUICKEST <= Fraction(written) <= SLOWEST:
        raise PlanError(
            f'a pace of "{text[:40]}"',
            "it is a number from 0.1 to 10",
            "1 is the pace of the hours shown, 2 is twice as long",
        )
    return Fraction(written)
