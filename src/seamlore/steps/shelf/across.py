"""What the collection shows: tables and pictures of all quilts, and where one of them stands among the others."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from statistics import median, quantiles

from seamlore.drawing.picture import Picture
from seamlore.pictures.charts.bars import Bar, YearSpan, columns_picture, rows_picture, years_picture
from seamlore.shelf.cards import Query
from seamlore.shelf.collection import Collection
from seamlore.shelf.shelf import Shelf
from seamlore.steps.shelf.cards import facts_from, renew, settings_of
from seamlore.steps.shelf.figures import Figures
from seamlore.steps.shelf.find import Shown
from seamlore.steps.shelf.measures import FIGURES, FigureOf, bars, place_words

_WIDE_MM, _HIGH_MM, _YEARS_MM = 72.0, 34.0, 150.0
# More names or spans fill no page.
_MOST_NAMES = 15
_MOST_SPANS = 40
_MOST_LISTED = 40


@dataclass(frozen=True, slots=True)
class Measure:
    """One figure over the whole shelf.

    Parameters
    ----------
    title : str
    quilts : tuple of (int, str, str)
        Number, name and figure of each quilt of which it is known, the least first; of many the first and the last.
    more : int
        How many in the middle are not among them.
    table : tuple of (str, str)
        Least, middle half, middle, most, in words.
    picture : Picture
    stands : str
        Where the quilt in hand stands; empty where there is none or its figure is not known.
    known : str
        How the figure is known.
    """

    title: str
    quilts: tuple[tuple[int, str, str], ...]
    more: int
    table: tuple[tuple[str, str], ...]
    picture: Picture
    stands: str
    known: str


@dataclass(frozen=True, slots=True)
class Counted:
    """What quilts have or are, how many of each; the filter by which those of a row are found, where there is one."""

    title: str
    rows: tuple[tuple[str, int], ...]
    picture: Picture
    known: str
    filter: str = ""


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
    counted = [_counted(*each, quilts, here) for each in COUNTED]
    return Across(
        count,
        len(worked),
        tuple(each for each in measures if each),
        tuple(each for each in counted if each),
        _years(dated, here) if dated else None,
        max(0, len(dated) - _MOST_SPANS),
        here,
    )


def _measure(figure: FigureOf, quilts: Sequence[Shown], here: Shown | None) -> Measure | None:
    known = [
        (each, float(value)) for each in quilts if each.facts.figures and (value := figure.value(each.facts.figures)) is not None
    ]  # fmt: skip
    if not known:
        return None
    values = [value for _, value in known]
    own = next((value for each, value in known if here and each.number == here.number), None)
    in_order = sorted(known, key=lambda row: (row[1], row[0].name.casefold()))
    more = max(0, len(in_order) - _MOST_LISTED)
    ends = in_order[: _MOST_LISTED // 2] + in_order[-_MOST_LISTED // 2 :] if more else in_order
    return Measure(
        figure.title,
        tuple((each.number, each.name, figure.show(value)) for each, value in ends),
        more,
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


def rest_of(shelf: Shelf, study: int) -> tuple[Figures, ...]:
    """Give the figures of all other quilts on the shelf, of which these are known."""
    renew(shelf)
    listed = Collection(shelf).search(Query(), most=1_000_000)[1]
    found = (facts_from(each.facts).figures for each in listed if each.entry.number != study)
    return tuple(each for each in found if each is not None)


def _blocks(each: Shown) -> Sequence[str]:
    return each.facts.figures.blocks if each.facts.figures else ()


def _setting(each: Shown) -> Sequence[str]:
    return settings_of(each.facts.figures)


def _cut(each: Shown) -> Sequence[str]:
    cut = each.facts.figures.cut if each.facts.figures else None
    return () if cut is None else ("cut down",) if cut else ("whole",)


# What it is called, how it is known, what a quilt has of it, and the filter of the shelf that finds those.
COUNTED: tuple[tuple[str, str, Callable[[Shown], Sequence[str]], str], ...] = (
    ("Blocks", "drafted", _blocks, "block"),
    ("Settings", "drafted", _setting, "setting"),
    ("Fabrics by name", "as the owner calls them", lambda each: each.facts.fabrics, "fabric"),
    ("Cut down or whole", "from the sums", _cut, ""),
    ("Condition", "as assessed", lambda each: (each.facts.condition,) * bool(each.facts.condition), "condition"),
    ("Decisions", "the owner's", lambda each: (each.facts.decision,) * bool(each.facts.decision), "decision"),
)


def _counted(
    title: str,
    known: str,
    say: Callable[[Shown], Sequence[str]],
    by: str,
    quilts: Sequence[Shown],
    here: Shown | None,
) -> Counted | None:
    found = Counter(name for each in quilts for name in say(each))
    if not found:
        return None
    mine = set(say(here)) if here else set()
    rows = sorted(found.items(), key=lambda row: (-row[1], row[0]))[:_MOST_NAMES]
    drawn = rows_picture([Bar(name, count, name in mine) for name, count in rows], _WIDE_MM, title=title)
    return Counted(title, tuple(rows), drawn, known, by)


def _years(dated: Sequence[Shown], here: Shown | None) -> Picture:
    spans = []
    for each in dated[:_MOST_SPANS]:
        assert each.listed.years is not None
        middles = [year.median for year in (each.facts.figures.years if each.facts.figures else ()) if year.known]
        marked = here is not None and each.number == here.number
        spans.append(YearSpan(each.name, *each.listed.years, round(median(middles)) if middles else None, marked))
    return years_picture(spans, _YEARS_MM, title="When they were made")
