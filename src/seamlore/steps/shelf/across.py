"""What the collection shows: tables and pictures of all quilts, and where one of them stands among the others."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from fractions import Fraction
from math import floor
from statistics import median, quantiles

from seamlore.drawing.picture import Picture
from seamlore.lengths import inches, show
from seamlore.pictures.bars import Bar, YearSpan, columns_picture, rows_picture, years_picture
from seamlore.shelf.cards import Query
from seamlore.shelf.collection import Collection
from seamlore.shelf.shelf import Shelf
from seamlore.steps.shelf.cards import facts_from, renew
from seamlore.steps.shelf.compare import ratio
from seamlore.steps.shelf.figures import Figures
from seamlore.steps.shelf.find import Shown

_WIDE_MM, _HIGH_MM, _YEARS_MM = 72.0, 34.0, 150.0
# More bars than these cannot be told apart; more names or spans fill no page.
_MOST_BARS = 30
_MOST_NAMES = 15
_MOST_SPANS = 40
# With fewer, a place among the others says nothing.
LEAST = 3


@dataclass(frozen=True, slots=True)
class Measure:
    """One figure over the whole shelf.

    Parameters
    ----------
    title : str
    values : tuple of (str, float)
        Each quilt of which it is known, and its figure.
    table : tuple of (str, str)
        Least, middle half, middle, most, in words.
    picture : Picture
    stands : str
        Where the quilt in hand stands; empty where there is none or its figure is not known.
    known : str
        How the figure is known.
    """

    title: str
    values: tuple[tuple[str, float], ...]
    table: tuple[tuple[str, str], ...]
    picture: Picture
    stands: str
    known: str


@dataclass(frozen=True, slots=True)
class Counted:
    """What quilts have or are, how many of each."""

    title: str
    rows: tuple[tuple[str, int], ...]
    picture: Picture
    known: str


@dataclass(frozen=True, slots=True)
class Across:
    """The whole shelf: how many quilts, of how many the figures are known, and what these show."""

    count: int
    worked: int
    measures: tuple[Measure, ...]
    counted: tuple[Counted, ...]
    years: Picture | None
    years_more: int
    quilt: Shown | None

    @property
    def says(self) -> str:
        """How much it rests on."""
        if not self.worked:
            return "No quilt on the shelf has been worked out yet."
        quilts = f"{self.worked} quilt{'s' * (self.worked != 1)}"
        return f"What {quilts} show" + ("s" if self.worked == 1 else "")


def across(shelf: Shelf, study: int | None = None) -> Across:
    """Look across the shelf.

    Parameters
    ----------
    shelf : Shelf
    study : int, optional
        The quilt in hand, to be marked.
    """
    renew(shelf)
    count, listed = Collection(shelf).search(Query(order="year"), most=1_000_000)
    quilts = [Shown(each, facts_from(each.facts)) for each in listed]
    worked = [each for each in quilts if each.facts.figures is not None]
    here = next((each for each in quilts if each.number == study), None)
    dated = [each for each in quilts if each.listed.years]
    measures = [_measure(each, worked, here) for each in FIGURES]
    counted = [_counted(title, known, say, quilts, here) for title, known, say in COUNTED]
    return Across(
        count,
        len(worked),
        tuple(each for each in measures if each),
        tuple(each for each in counted if each),
        _years(dated, here) if dated else None,
        max(0, len(dated) - _MOST_SPANS),
        here,
    )


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


def _measure(figure: FigureOf, quilts: Sequence[Shown], here: Shown | None) -> Measure | None:
    known = [
        (each, float(value)) for each in quilts if each.facts.figures and (value := figure.value(each.facts.figures)) is not None
    ]  # fmt: skip
    if not known:
        return None
    values = [value for _, value in known]
    own = next((value for each, value in known if here and each.number == here.number), None)
    return Measure(
        figure.title,
        tuple((each.name, value) for each, value in known),
        _table(values, figure.show),
        columns_picture(bars(values, figure.step, own, figure.show), _WIDE_MM, _HIGH_MM, title=figure.title),
        place_words(figure, [value for each, value in known if not (here and each.number == here.number)], own),
        figure.known,
    )


def _table(values: Sequence[float], say: Callable[[float], str]) -> tuple[tuple[str, str], ...]:
    if len(values) == 1:
        return (("one quilt", say(values[0])),)
    low, _, high = quantiles(values, n=4, method="inclusive")
    return (
        ("least", say(min(values))),
        ("middle half", f"{say(low)} to {say(high)}"),
        ("middle", say(median(values))),
        ("most", say(max(values))),
        ("quilts", str(len(values))),
    )


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


def _blocks(each: Shown) -> Sequence[str]:
    return each.facts.figures.blocks if each.facts.figures else ()


def _setting(each: Shown) -> Sequence[str]:
    figures = each.facts.figures
    return (figures.setting,) if figures and figures.setting else ()


def _cut(each: Shown) -> Sequence[str]:
    cut = each.facts.figures.cut if each.facts.figures else None
    return () if cut is None else ("cut down",) if cut else ("whole",)


COUNTED: tuple[tuple[str, str, Callable[[Shown], Sequence[str]]], ...] = (
    ("Blocks", "drafted", _blocks),
    ("Settings", "drafted", _setting),
    ("Fabrics by name", "as the owner calls them", lambda each: each.facts.fabrics),
    ("Cut down or whole", "from the sums", _cut),
    ("Condition", "as assessed", lambda each: (each.facts.condition,) * bool(each.facts.condition)),
    ("Decisions", "the owner's", lambda each: (each.facts.decision,) * bool(each.facts.decision)),
)


def _counted(
    title: str, known: str, say: Callable[[Shown], Sequence[str]], quilts: Sequence[Shown], here: Shown | None
) -> Counted | None:
    found = Counter(name for each in quilts for name in say(each))
    if not found:
        return None
    mine = set(say(here)) if here else set()
    rows = sorted(found.items(), key=lambda row: (-row[1], row[0]))[:_MOST_NAMES]
    drawn = rows_picture([Bar(name, count, name in mine) for name, count in rows], _WIDE_MM, title=title)
    return Counted(title, tuple(rows), drawn, known)


def _years(dated: Sequence[Shown], here: Shown | None) -> Picture:
    spans = []
    for each in dated[:_MOST_SPANS]:
        assert each.listed.years is not None
        middles = [year.median for year in (each.facts.figures.years if each.facts.figures else ()) if year.known]
        marked = here is not None and each.number == here.number
        spans.append(YearSpan(each.name, *each.listed.years, round(median(middles)) if middles else None, marked))
    return years_picture(spans, _YEARS_MM, title="When they were made")
