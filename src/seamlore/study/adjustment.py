"""Do the sums come out, and if not, why not: explanations weighed against all measurements at once."""

from __future__ import annotations

from dataclasses import dataclass
from math import exp, sqrt

from seamlore.errors import MeasureError
from seamlore.lengths import Length, in_unit, root2, show
from seamlore.study.accounts import about, exact, gone, matters, told
from seamlore.study.causes import (
    Causes,
    Kind,
    explanations,
    log_odds,
    models,
    of_kind,
    true_count,
)
from seamlore.study.fit import Fit, fits
from seamlore.study.measured import AXES, Axis, What
from seamlore.study.measurements import Measurements


@dataclass(frozen=True, slots=True)
class Sum:
    """One sum as a quilter would do it on paper, with the figures as said.

    Parameters
    ----------
    along : {"across", "down"}
        Width or length of the quilt.
    blocks : int
        How many blocks.
    block, sashing, border : Length
        As said; 0 when there is none.
    gaps : int
        How many sashings.
    total, measured : Length
        What the figures make; what the tape says.
    on_point : bool
        Whether the blocks stand on their points, so that their diagonals add up.
    """

    along: Axis
    blocks: int
    block: Length
    gaps: int
    sashing: Length
    border: Length
    total: Length
    measured: Length
    on_point: bool = False

    @property
    def short(self) -> Length:
        """How much the quilt is shorter than the figures make; less than 0 when it is longer."""
        return self.total - self.measured

    def __str__(self) -> str:
        parts = [_several(self.blocks, "block", self.block)]
        if self.gaps:
            parts.append(_several(self.gaps, "sashing", self.sashing))
        if self.border:
            parts.append(_several(2, "border", self.border))
        way = "wide" if self.along == "across" else "long"
        listed = parts[0] if len(parts) == 1 else ", ".join(parts[:-1]) + " and " + parts[-1]
        said = f"{listed}{', on point,' if self.on_point else ''} make {show(self.total)}; the quilt is {show(self.measured)} {way}"
        if not self.short:
            return said
        return f"{said}, {show(abs(self.short))} {'short' if self.short.inches > 0 else 'too much'}"


def _several(count: int, what: str, size: Length) -> str:
    return f"{count} {what}{'s' * (count != 1)} of {show(size)}"


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
    block, sashing, border : tuple of Length
        [width, height] as the maker had them, if this holds; 0 when there is none.
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
    border: tuple[Length, Length]
    columns: int | None
    rows: int | None
    cut: tuple[tuple[str, Length], ...]
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
        """Whether the likeliest account is that nothing is wrong."""
        return not self.explanations[0].causes

    @property
    def fits(self) -> bool:
        """Whether the likeliest account leaves no more than measuring explains: chi-square within about 3 sigma."""
        count = len(self.measured.lengths)
        return self.explanations[0].misfit <= count + 3 * sqrt(2 * count)

    @property
    def verdict(self) -> str:
        """The sums come out, or what stands against them; and a warning when no account fits well."""
        return self._sums_verdict + (
            "" if self.fits else " No explanation known here fits well: measure the figures that disagree once more."
        )

    @property
    def _sums_verdict(self) -> str:
        if not self.sums:
            return "There is nothing to add up yet: the sums need a count, a block and the size of the whole quilt."
        if self.comes_out:
            exactly = all(show(each.short) == show(each.short * 0) for each in self.sums)
            how = "" if exactly else " as closely as a tape can tell"
            return f"The sums come out{how}: " + "; ".join(str(each) for each in self.sums) + "."
        return "The sums do not come out: " + "; ".join(str(each) for each in self.sums) + "."


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
    accounts = tuple(explanations(measured))
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
    return Adjustment(measured, sums(measured), tuple(kept))


def sums(measured: Measurements) -> tuple[Sum, ...]:
    """Add up the figures as said, in each direction where there are enough of them."""
    found = []
    for axis in AXES:
        whole, block, count = measured.said(What.OVERALL, axis), measured.said(What.BLOCK, axis), measured.count(axis)
        if whole is None or block is None or count is None:
            continue
        zero = in_unit(0, measured.unit)
        strip, edge = measured.said(What.SASHING, axis), measured.said(What.BORDER, axis)
        sashing, border = (strip.value if strip else zero), (edge.value if edge else zero)
        gaps = count - 1 + 2 * measured.outer_sashing if strip else 0
        inside = block.value * count + sashing * gaps
        total = (root2(inside) if measured.on_point else inside) + border * 2
        found.append(Sum(axis, count, block.value, gaps, sashing, border, total, whole.value, measured.on_point))
    return tuple(found)


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

    def wide(axis: Axis) -> Length:
        value = made.best.get(f"border {axis}", made.best.get("border"))
        return zero if value is None else about(value, unit)

    cut = tuple(each for axis in AXES for each in gone(m, causes, axis, made))
    return Explanation(
        causes,
        weight,
        in_words(weight, against_top),
        told(m, causes, made),
        (size(What.BLOCK, "across"), size(What.BLOCK, "down")),
        (size(What.SASHING, "across"), size(What.SASHING, "down")),
        (wide("across"), wide("down")),
        true_count(m, causes, "across"),
        true_count(m, causes, "down"),
        cut,
        m.outer_sashing or of_kind(causes, Kind.OUTER_SASHING),
        made.misfit,
        made,
    )
