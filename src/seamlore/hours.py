"""How long each kind of work takes, as a range, and how that is known. Every room that counts hours asks here.

What few people have timed is a wide range. Estimates run low: of two kinds of work that a maker first estimated and
then timed, one took 1.6 times as long (trade facts E4).
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

Work = Literal[
    "seam by machine",
    "inch by machine",
    "turn of a set-in seam by machine",
    "inch by hand",
    "piece over paper",
]
_NO_SOURCE = "common practice, no source"
_LOG = "a maker's log of hand-sewn binding: 16 in in 10 minutes at first, 300 in in 5 hours in all"


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
