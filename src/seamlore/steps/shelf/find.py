"""What stands on the shelf: found by words and filters, page by page, each quilt in a few words."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from typing import get_args

from seamlore.chronology.spans import read_span
from seamlore.errors import SeamloreError, nearest
from seamlore.limits import FIND_WORDS, LINE, checked_text
from seamlore.shelf.cards import Listed, Order, Query, words_in
from seamlore.shelf.cloths import alike
from seamlore.shelf.collection import Collection
from seamlore.shelf.shelf import Shelf
from seamlore.steps.shelf.cards import FILTERS, LOOK_ALIKE, TWICE, Facts, facts_from, renew
from seamlore.steps.shelf.measures import size_words

PAGE = 60
ORDERS: Mapping[str, str] = {
    "changed": "last changed first",
    "name": "by name",
    "accession": "by accession number",
    "year": "oldest first",
    "size": "largest first",
}
assert set(ORDERS) == set(get_args(Order))


@dataclass(frozen=True, slots=True)
class Wanted:
    """What is looked for, as it was typed.

    Parameters
    ----------
    words : str
    marks : mapping of str to str
        By kind, of `cards.FILTERS`.
    years : str
        Such as "1880 to 1910" or "1930s".
    order : str
    aside : bool
    """

    words: str = ""
    marks: Mapping[str, str] = field(default_factory=dict)
    years: str = ""
    order: str = "changed"
    aside: bool = False

    @property
    def plain(self) -> bool:
        """Whether everything is wanted."""
        return not (self.words.strip() or self.years.strip() or any(self.marks.values()) or self.aside)


@dataclass(frozen=True, slots=True)
class Shown:
    """One quilt in a list."""

    listed: Listed
    facts: Facts

    @property
    def number(self) -> int:
        """Its number on the shelf."""
        return self.listed.entry.number

    @property
    def name(self) -> str:
        """What it is called."""
        return self.listed.entry.name

    @property
    def lines(self) -> tuple[str, ...]:
        """What is said of it under its picture."""
        figures, years = self.facts.figures, self.listed.years
        said = [self.listed.accession] if self.listed.accession else []
        if figures is None:
            return (*said, "not worked out yet: open it")
        if figures.blocks:
            said.append(figures.blocks[0] + (f" and {len(figures.blocks) - 1} more" * (len(figures.blocks) > 1)))
        size = figures.measured or figures.size
        said += [size_words(size, self.facts.unit)] if size else []
        said += [f"{years[0]} to {years[1]}" if years[0] != years[1] else str(years[0])] if years else []
        return tuple(said)


@dataclass(frozen=True, slots=True)
class Page:
    """A page of what was found: how many there are in all, from where this page begins, the quilts."""

    count: int
    start: int
    quilts: tuple[Shown, ...]

    @property
    def next(self) -> int | None:
        """Where the next page begins; None after the last."""
        end = self.start + len(self.quilts)
        return end if self.quilts and end < self.count else None


def find(shelf: Shelf, wanted: Wanted, *, start: int = 0, most: int = PAGE) -> Page:
    """Look for quilts on the shelf.

    Raises
    ------
    SeamloreError
        When the years cannot be read, there is no such order or filter, or more words are typed than are looked up.

    Examples
    --------
    >>> import tempfile
    >>> from pathlib import Path
    >>> with tempfile.TemporaryDirectory() as folder, Shelf(Path(folder)) as shelf:
    ...     number = shelf.create("Blue shoo fly")
    ...     [each.name for each in find(shelf, Wanted("sho")).quilts], find(shelf, Wanted("star")).count
    (['Blue shoo fly'], 0)
    >>> find(shelf, Wanted(years="long ago"))
    Traceback (most recent call last):
        ...
    seamlore.errors.SeamloreError: the years "long ago": they are a year or a span; write them as 1880 to 1910
    """
    if wanted.order not in ORDERS:
        raise SeamloreError(f'the order "{wanted.order}"', "there is no such order", nearest(wanted.order, ORDERS))
    for kind in wanted.marks:
        if kind not in FILTERS:
            raise SeamloreError(f'the filter "{kind}"', "there is no such filter", nearest(kind, FILTERS))
    typed = checked_text(wanted.words, "what is looked for", LINE)
    if (many := len(words_in(typed))) > FIND_WORDS:
        raise SeamloreError(f"{many:,} words to look for", f"at most {FIND_WORDS}", "leave some out")
    query = Query(
        typed,
        {kind: value for kind, value in wanted.marks.items() if value},
        _years(wanted.years),
        wanted.aside,
        wanted.order,  # type: ignore[arg-type]
    )
    renew(shelf)
    count, listed = Collection(shelf).search(query, start=start, most=most)
    return Page(count, start, tuple(Shown(each, facts_from(each.facts)) for each in listed))


def shown(shelf: Shelf, numbers: Sequence[int]) -> tuple[Shown, ...]:
    """Give quilts by their numbers, in the order asked for; those that are not on the shelf are left out."""
    renew(shelf)
    return tuple(Shown(each, facts_from(each.facts)) for each in Collection(shelf).listed(numbers))


def _years(text: str) -> tuple[int | None, int | None]:
    if not text.strip():
        return None, None
    try:
        span = read_span(text)
    except SeamloreError:
        raise SeamloreError(
            f'the years "{text[:40]}"', "they are a year or a span", "write them as 1880 to 1910"
        ) from None
    return span.first, span.last


def filters(shelf: Shelf) -> dict[str, tuple[tuple[str, int], ...]]:
    """Give the filters that there is something for, and how many quilts have each."""
    return {kind: found for kind, found in Collection(shelf).values(FILTERS).items() if found}


@dataclass(frozen=True, slots=True)
class Twice:
    """Studies that may be of one quilt, and why."""

    numbers: tuple[int, ...]
    names: tuple[str, ...]
    why: str

    @property
    def says(self) -> str:
        """That, in a sentence."""
        names = [f'"{name}"' for name in self.names]
        return f"{' and '.join(names)} {self.why}."


def twice(shelf: Shelf) -> tuple[Twice, ...]:
    """Notice studies that may be of one quilt."""
    collection, found = Collection(shelf), []
    for kind, value, numbers in collection.shared(TWICE):
        names = tuple(each.entry.name for each in collection.listed(numbers))
        why = TWICE[kind] + (f" {value}" if kind == "accession" else "")
        found.append(Twice(numbers, names, why))
    told = [set(each.numbers) for each in found]
    for pair in alike(shelf):
        if not any(set(pair) <= numbers for numbers in told):
            names = tuple(each.entry.name for each in collection.listed(pair))
            found.append(Twice(pair, names, LOOK_ALIKE))
    return tuple(found)
