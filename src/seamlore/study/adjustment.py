"""Do the sums come out, and if not, why not: explanations weighed against all measurements at once."""

from __future__ import annotations

from dataclasses import dataclass
from math import exp, sqrt

from seamlore.errors import MeasureError
from seamlore.lengths import Length, in_unit, show
from seamlore.study.accounts import borders_of, exact, gone, matters, told
from seamlore.study.causes import Causes, Kind, explanations, log_odds, of_kind, true_count
from seamlore.study.fit import Fit, fits
from seamlore.study.measured import AXES, SIDES, Axis, Side, What
from seamlore.study.measurements import Measurements
from seamlore.study.sums import Sum, sums
from seamlore.study.unknowns import models


@dataclass(frozen=True, slots=True)
class Explanation:
    """One account of the measurements.

    Parameters
    ----------
    causes : tuple of Cause
        What is wrong; empty when nothing is.
    weight : float
        Share of belief among the explanations weighed, 0 to 1. It rests on judged odds: order and rough size
        mean something, digits do not.
    likely : str
        The weight in words.
    text : str
        One or more sentences with numbers.
    block, sashing : tuple of Length
        [width, height] as the maker had them, if this holds; 0 when there is none.
    border : tuple of (side, Length)
        How wide the border is at each side that has one.
    columns, rows : int or None
        How many blocks.
    cut : tuple of (side, Length)
        What is gone from each side.
    outer_sashing : bool
        Whether sashing runs round the outside.
    misfit : float
        Chi-square that remains.
    fit : Fit
        All the numbers.
    """

    causes: Causes
    weight: float
    likely: str
    text: str
    block: tuple[Length, Length]
    sashing: tuple[Length, Length]
    border: tuple[tuple[Side, Length], ...]
    columns: int | None
    rows: int | None
    cut: tuple[tuple[Side, Length], ...]
    outer_sashing: bool
    misfit: float
    fit: Fit

    def __str__(self) -> str:
        return f"{self.likely}: {self.text}"


@dataclass(frozen=True, slots=True)
class Adjustment:
    """The measurements and every account of them, likeliest first.

    Parameters
    ----------
    measured : Measurements
        What was put in.
    sums : tuple of Sum
        One for each direction in which there is something to add up.
    explanations : tuple of Explanation
        Ranked; those below one in a thousand are left out.
    """

    measured: Measurements
    sums: tuple[Sum, ...]
    explanations: tuple[Explanation, ...]

    @property
    def comes_out(self) -> bool:
        """Whether the likeliest account is that nothing is wrong; it is weighed only where every sum closes."""
        return not self.explanations[0].causes

    @property
    def fits(self) -> bool:
        """Whether the likeliest account leaves no more than measuring explains."""
        return fits_well(self.measured, self.explanations[0].misfit)

    @property
    def verdict(self) -> str:
        """The sums come out, or by how much they do not; and a warning when no account fits well."""
        return self._sums_verdict + (
            "" if self.fits else " No explanation known here fits well: measure the figures that disagree once more."
        )

    @property
    def _sums_verdict(self) -> str:
        if not self.sums:
            return _nothing_to_add(self.measured)
        listed = "; ".join(str(each) for each in self.sums) + "."
        off = any(each.difference for each in self.sums)
        if self.comes_out:
            return f"The sums come out{' as closely as a tape can tell' * off}: {listed}"
        if not all(each.closes for each in self.sums):
            return f"The sums do not come out: {listed}"
        if off:
            return f"The sums come out only if the tape erred as far as it may: {listed}"
        return f"The sums come out, but something else that was measured speaks against them: {listed}"


def fits_well(measured: Measurements, misfit: float) -> bool:
    """Whether chi-square is within about three standard deviations of what the measurements' number lets expect."""
    count = len(measured.lengths)
    return misfit <= count + 3 * sqrt(2 * count)


def _nothing_to_add(m: Measurements) -> str:
    """What is missing, and what size of block a count and a width alone come to."""
    said = []
    for axis, way in zip(AXES, ("wide", "high"), strict=True):
        whole, count = m.said(What.OVERALL, axis), m.count(axis)
        edges = sum((each.value for side in SIDES[axis] if (each := m.border(side))), in_unit(0, m.unit))
        if whole is None or count is None or m.has_sashing() or m.on_point or (whole.value - edges).inches <= 0:
            continue
        borders = " between the borders" if edges else ""
        said.append(
            f"{count} block{'s' * (count != 1)} in {show(whole.value - edges)}{borders} are {show((whole.value - edges) / count)} {way}"
        )
    missing = "There is nothing to add up yet: the sums need a count, a block and the size of the whole quilt."
    return f"{missing} {'; '.join(said)}." if said else missing


def adjust(measured: Measurements) -> Adjustment:
    """Weigh every explanation of a quilt's measurements.

    Parameters
    ----------
    measured : Measurements
        Lengths with their tolerances, and counts.

    Returns
    -------
    Adjustment

    Raises
    ------
    MeasureError
        When no block was measured and nothing else gives its size.

    Examples
    --------
    >>> from seamlore.lengths import inches
    >>> from seamlore.study.measured import taken
    >>> from seamlore.study.measurements import measurements
    >>> said = [taken(What.OVERALL, inches(74), "across"), taken(What.BLOCK, inches(8)), taken(What.SASHING, inches(3))]
    >>> print(adjust(measurements(said, columns=7)).verdict)
    The sums come out: 7 blocks of 8 in and 6 sashings of 3 in make 74 in; the quilt is 74 in wide.
    >>> adjust(measurements(said[:1]))
    Traceback (most recent call last):
        ...
    seamlore.errors.MeasureError: no block: the sums begin with a block; ...
    """
    if all(measured.said(What.BLOCK, axis) is None for axis in AXES) and all(
        measured.count(axis) is None for axis in AXES
    ):
        raise MeasureError("no block", "the sums begin with a block", "measure one block from seam to seam")
    weighed = []
    added = sums(measured)
    # Where a sum is further off than a tape can be, something is wrong: nobody is told otherwise.
    closes = all(each.closes for each in added)
    accounts = tuple(causes for causes in explanations(measured) if causes or closes)
    for causes, made in zip(accounts, fits(models(measured, accounts), measured.unit), strict=True):
        # A cause that turns out to do nothing is the explanation without it, told at more length.
        if not causes or all(matters(measured, causes, cause, made) for cause in causes):
            weighed.append((log_odds(measured, causes) + made.log_evidence, causes, made))
    weighed.sort(key=lambda each: -each[0])
    top = weighed[0][0]
    shares = [exp(score - top) for score, _, _ in weighed]
    whole = sum(shares)
    kept = [
        _explanation(measured, causes, made, share / whole, share / shares[0])
        for share, (_, causes, made) in zip(shares, weighed, strict=True)
        if share / whole > 1e-3
    ]
    return Adjustment(measured, added, tuple(kept))


def in_words(weight: float, against_top: float) -> str:
    """Say a weight in words that promise no more than it holds.

    Examples
    --------
    >>> in_words(0.97, 1.0), in_words(0.5, 1.0), in_words(0.4, 0.8), in_words(0.05, 0.1), in_words(0.01, 0.01)
    ('almost surely', 'likeliest', 'about as likely', 'less likely', 'unlikely')
    """
    if weight >= 0.95:
        return "almost surely"
    if against_top >= 0.999:
        return "likeliest"
    if against_top >= 0.4:
        return "about as likely"
    return "less likely" if against_top >= 0.05 else "unlikely"


def _explanation(m: Measurements, causes: Causes, made: Fit, weight: float, against_top: float) -> Explanation:
    unit = m.unit
    zero = in_unit(0, unit)

    def size(what: What, axis: Axis) -> Length:
        if what is What.SASHING and not m.has_sashing(axis):
            return zero
        value = made.best.get(m.size_name(what, axis))
        return zero if value is None else exact(value, unit)

    cut = tuple(each for axis in AXES for each in gone(m, causes, axis, made))
    return Explanation(
        causes,
        weight,
        in_words(weight if fits_well(m, made.misfit) else min(weight, 0.9), against_top),
        told(m, causes, made),
        (size(What.BLOCK, "across"), size(What.BLOCK, "down")),
        (size(What.SASHING, "across"), size(What.SASHING, "down")),
        borders_of(m, causes, made),
        true_count(m, causes, "across"),
        true_count(m, causes, "down"),
        cut,
        m.outer_sashing or of_kind(causes, Kind.OUTER_SASHING),
        made.misfit,
        made,
    )
