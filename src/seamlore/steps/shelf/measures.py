"""The figures that quilts are set beside each other by, and how each is said."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from fractions import Fraction
from math import floor

from seamlore.lengths import Unit, inches, show, show_size
from seamlore.pictures.charts.bars import Bar
from seamlore.steps.shelf.figures import Figures

# More bars than these cannot be told apart.
_MOST_BARS = 30
# With fewer, a place among the others says nothing.
LEAST = 3


def length_words(value_in: float, unit: str) -> str:
    """Say a length that a card keeps, as a tape shows it.

    Examples
    --------
    >>> length_words(7.5, "in"), length_words(10.0, "cm")
    ('7 1/2 in', '25.4 cm')
    """
    return show(inches(Fraction(value_in).limit_denominator(640)).shown_in(Unit(unit)))


def size_words(size_in: tuple[float, float], unit: str) -> str:
    """Say a width and a height that a card keeps."""
    width, height = (inches(Fraction(side).limit_denominator(640)).shown_in(Unit(unit)) for side in size_in)
    return show_size(width, height)


def ratio(figures: Figures) -> float | None:
    """Give how wide the sashing is for each of the block's width; None where there is none of either."""
    if not figures.sashing or not figures.block or not figures.sashing[0]:
        return None
    return figures.sashing[0] / figures.block[0]


@dataclass(frozen=True, slots=True)
class FigureOf:
    """A figure that quilts are set beside each other by.

    `step` is what one bar stands for, `low` and `high` say which way a quilt differs, `show` a value in words.
    """

    key: str
    title: str
    known: str
    value: Callable[[Figures], float | None]
    step: float
    low: str
    high: str
    show: Callable[[float], str]
    scale: str = ""


def _length(value: float) -> str:
    return show(inches(Fraction(value).limit_denominator(16)))


def _percent(value: float) -> str:
    return f"{100 * value:.0f} %"


def _to_one(value: float) -> str:
    return f"1 to {1 / value:.1f}" if value else "none"


FIGURES: tuple[FigureOf, ...] = (
    FigureOf(
        "sashing to block", "Sashing to block", "as drafted", ratio, 0.05, "narrower", "wider", _to_one, "of the block"
    ),
    FigureOf(
        "block size", "Size of the block", "finished, as drafted", lambda f: f.block[0] if f.block else None, 1.0,
        "smaller", "larger", _length, "in",
    ),
    FigureOf(
        "fabrics", "Fabrics told apart", "measured on the photograph", lambda f: f.fabrics, 10.0, "fewer", "more",
        lambda v: f"{v:.0f}", "fabrics",
    ),
    FigureOf(
        "commonest fabric", "The commonest fabric's part of all patches", "measured on the photograph",
        lambda f: f.commonest, 0.05, "smaller", "larger", _percent, "of all patches",
    ),
    FigureOf(
        "contrast", "Contrast of light and dark", "L* of light fabrics over dark ones, on the photograph",
        lambda f: f.contrast, 5.0, "lower", "higher", lambda v: f"{v:.0f}", "L*",
    ),
    FigureOf(
        "drift", "Drift of the blocks from an even grid", "root mean square, measured on the photograph",
        lambda f: f.drift, 0.125, "smaller", "larger", _length, "in",
    ),
    FigureOf(
        "turned", "Blocks that lie turned", "measured on the photograph", lambda f: f.turned, 0.05, "fewer", "more",
        _percent, "of the blocks",
    ),
)  # fmt: skip


def bars(values: Sequence[float], step: float, own: float | None, say: Callable[[float], str]) -> tuple[Bar, ...]:
    """Count values in steps of a scale, coarser where there would be too many.

    Examples
    --------
    >>> [(bar.name, bar.count, bar.marked) for bar in bars([1, 1.5, 3], 1, 3, lambda v: f"{v:g}")]
    [('1', 2, False), ('2', 0, False), ('3', 1, True)]
    """
    while (max(values) - min(values)) / step > _MOST_BARS:
        step *= 2
    # A value that lies on a mark belongs above it, whatever its last binary digit.
    place = [floor(value / step + 1e-9) for value in values]
    counts, mine = Counter(place), None if own is None else floor(own / step + 1e-9)
    return tuple(Bar(say(at * step), counts[at], at == mine) for at in range(min(place), max(place) + 1))


def place_words(figure: FigureOf, others: Sequence[float], own: float | None) -> str:
    """Say where a quilt stands among the others.

    Examples
    --------
    >>> size = next(each for each in FIGURES if each.key == "block size")
    >>> place_words(size, [6, 8, 9, 12], 12)
    'Its 12 in is larger than in 3 of the 4 others, and the same in 1.'
    >>> place_words(size, [6, 8], 12)
    ''
    """
    if own is None or len(others) < LEAST:
        return ""
    less, same = sum(each < own - 1e-9 for each in others), sum(abs(each - own) <= 1e-9 for each in others)
    more = len(others) - less - same
    how, count = (figure.high, less) if less >= more else (figure.low, more)
    also = f", and the same in {same}" if same else ""
    return f"Its {figure.show(own)} is {how} than in {count} of the {len(others)} others{also}."
