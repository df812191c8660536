"""Evidence on one part, and the likelihood that it gives to each year."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from seamlore.chronology.spans import Span, say_span, write_span
from seamlore.errors import DateError

# How far "about" reaches to either side, unless a file says otherwise; common practice, no source.
ABOUT_YEARS = 5
Dates = Literal["told", "cloth", "making", "inscription"]


@dataclass(frozen=True, slots=True)
class Fashion:
    """When a feature was made: a trapezium of years.

    It rises from its first year to the start of its usual years, stays level, and falls to its last year.

    Parameters
    ----------
    earliest, latest : int or None
        The first and last year in which it is known at all; None when not known.
    usual_from, usual_to : int or None
        The years in which it was common; None when it is as likely from the first year, or up to the last.
    """

    earliest: int | None
    usual_from: int | None
    usual_to: int | None
    latest: int | None

    def __str__(self) -> str:
        outer = write_span(self.earliest, self.latest)
        if self.usual_from is None and self.usual_to is None:
            return outer
        return f"{outer}, usual {write_span(self.usual_from, self.usual_to)}"


@dataclass(frozen=True, slots=True)
class Evidence:
    """One reason to date one part.

    Parameters
    ----------
    part : str
        The part that it was seen on.
    says : str
        What was seen or told, in the words of whoever saw it.
    when : Span or Fashion
        The years that it points to.
    trust : float
        From 0 (says nothing) to 1 (cannot be wrong).
    about_years : int
        How far "about" widens a span to either side.
    where : str
        Its place in a file, for messages.
    source : str
        How the years are known.
    clue : str
        Key in the table of clues; empty for what was told or seen otherwise.
    dates : {"told", "cloth", "making", "inscription"}
        What it dates; "told" is a statement about the making.
    fact, eye : float
        Of a clue: how far its years are trusted, and how surely it was recognized; `trust` is their product.
    family : str
        What it hangs together with: pieces of one family count once.
    fabric : str
        The fabric that was tapped in the reading, if any.
    patches, of : int, optional
        In how many patches that fabric stands, and of how many.
    """

    part: str
    says: str
    when: Span | Fashion
    trust: float
    about_years: int = ABOUT_YEARS
    where: str = ""
    source: str = ""
    clue: str = ""
    dates: Dates = "told"
    fact: float = 1.0
    eye: float = 1.0
    family: str = ""
    fabric: str = ""
    patches: int | None = None
    of: int | None = None

    def __post_init__(self) -> None:
        if not 0 <= self.trust <= 1:
            raise DateError(
                f"trust {self.trust:g}", "trust is from 0 to 1", "0.9 is well-founded, 0.5 a guess", where=self.where
            )


def shape(evidence: Evidence, years: NDArray[np.int64]) -> NDArray[np.float64]:
    """Give the probability of each year if the evidence is right: what `trust` multiplies.

    Parameters
    ----------
    evidence : Evidence
        A span is level over its years; a fashion is a trapezium.
    years : ndarray of int, shape (n,)
        The horizon, one year apart.

    Returns
    -------
    ndarray, shape (n,)
        Adds up to 1 over the years of the horizon.

    Raises
    ------
    DateError
        When none of its years lies in the horizon.

    Examples
    --------
    >>> shape(Evidence("top", "story", Span(1901, 1902), 1.0), np.arange(1900, 1904)).tolist()
    [0.0, 0.5, 0.5, 0.0]
    >>> shape(Evidence("top", "print", Fashion(1900, 1902, 1902, 1902), 1.0), np.arange(1900, 1904)).round(3).tolist()
    [0.167, 0.333, 0.5, 0.0]
    """
    when = evidence.when
    weights = _trapezium(when, years) if isinstance(when, Fashion) else level(when, years, evidence.about_years)
    total = weights.sum()
    if total <= 0:
        raise DateError(
            f'"{evidence.says}" ({describe(when)})',
            f"the horizon runs from {years[0]} to {years[-1]}",
            "widen the horizon or correct the date",
            where=evidence.where,
        )
    return np.asarray(weights / total)


def describe(when: Span | Fashion) -> str:
    """Say the years of a span or fashion in words, with the usual years behind.

    Examples
    --------
    >>> describe(Span(1924, None)), describe(Fashion(1868, 1875, 1900, None))
    ('1924 or later', '1868 or later, usually 1875 to 1900')
    """
    if isinstance(when, Fashion):
        outer = say_span(when.earliest, when.latest)
        if when.usual_from is None and when.usual_to is None:
            return outer
        return f"{outer}, usually {say_span(when.usual_from, when.usual_to)}"
    if when.years:
        return " or ".join(str(year) for year in when.years)
    return say_span(when.first, when.last, about=when.about)


def likelihood(evidence: Evidence, years: NDArray[np.int64]) -> NDArray[np.float64]:
    """Give what one piece of evidence multiplies each year by: trust x shape + (1 - trust) x level.

    Examples
    --------
    >>> likelihood(Evidence("top", "story", Span(1901, 1902), 0.5), np.arange(1900, 1904)).tolist()
    [0.125, 0.375, 0.375, 0.125]
    """
    return np.asarray(evidence.trust * shape(evidence, years) + (1 - evidence.trust) / len(years))


def level(span: Span, years: NDArray[np.int64], about_years: int) -> NDArray[np.float64]:
    """Give 1 for the years that a span names, 0 for the others; "about" reaches to both sides.

    Examples
    --------
    >>> level(Span(1901, 1901, about=True), np.arange(1899, 1905), 1).tolist()
    [0.0, 1.0, 1.0, 1.0, 0.0, 0.0]
    """
    reach = about_years if span.about else 0
    if span.years and not reach:
        return np.isin(years, span.years).astype(np.float64)
    low = years[0] if span.first is None else span.first - reach
    high = years[-1] if span.last is None else span.last + reach
    return ((years >= low) & (years <= high)).astype(np.float64)


def _trapezium(when: Fashion, years: NDArray[np.int64]) -> NDArray[np.float64]:
    earliest = int(years[0]) if when.earliest is None else when.earliest
    latest = int(years[-1]) if when.latest is None else when.latest
    low = earliest if when.usual_from is None else when.usual_from
    high = latest if when.usual_to is None else when.usual_to
    # The year before the first and the year after the last are the first ones with nothing.
    rise = (years - earliest + 1) / max(low - earliest + 1, 1)
    fall = (latest - years + 1) / max(latest - high + 1, 1)
    weights = np.clip(np.minimum(rise, fall), 0, 1)
    return np.where((years >= earliest) & (years <= latest), weights, 0.0)
