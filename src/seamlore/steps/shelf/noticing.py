"""Worth noticing: what in a quilt departs from custom, from an even grid, or from the rest of the shelf, with its figure."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from statistics import quantiles

import msgspec
import numpy as np
from numpy.typing import NDArray

from seamlore.drawing.picture import Picture
from seamlore.drawing.shapes import ImageFile
from seamlore.errors import SeamloreError
from seamlore.lengths import Unit
from seamlore.photo.reading import BlockAt, Reading
from seamlore.pictures.charts.bars import columns_picture
from seamlore.pictures.charts.noticed import cells_picture, drift_picture
from seamlore.pictures.found import found_picture
from seamlore.steps.fabrics.facts import called, maybe_one
from seamlore.steps.shelf.figures import Figures
from seamlore.steps.shelf.measures import FIGURES, bars, length_words, place_words, ratio
from seamlore.steps.study.job import Job
from seamlore.steps.study.sections import Noticed
from seamlore.study.stops import Stop, find_stop

# Among fewer others nothing stands out.
LEAST_OTHERS = 5
# Told only where shuffled patches would do so in fewer.
SURE = 0.01
# Sashing takes a quarter to a third of the block: common practice, no source. Told where it lies well outside.
_CUSTOM = (0.2, 0.4)
# A row that drifts less over the whole quilt is as straight as old quilts are: common practice, no source.
_DRIFT_IN = 0.5
_WIDE_MM, _HIGH_MM, _PHOTO_MM = 80.0, 38.0, (90.0, 100.0)


@dataclass(frozen=True, slots=True)
class Notice:
    """One thing worth noticing.

    Parameters
    ----------
    key : str
        What it is called as long as it is about the same thing.
    says : str
        With its figure.
    compared : str
        What it is compared with.
    where : str
        What to point at.
    picture : Picture, optional
    own : bool
        Hers, not worked out.
    edited : bool
        In her words.
    dropped : bool
        Not to be told.
    worked_out : str
        What it says where nobody changed it.
    """

    key: str
    says: str
    compared: str
    where: str = ""
    picture: Picture | None = None
    own: bool = False
    edited: bool = False
    dropped: bool = False
    worked_out: str = ""


def noticed(job: Job, figures: Figures, others: Sequence[Figures], *, pictures: bool = True) -> tuple[Notice, ...]:
    """Give what is worth noticing, as she wants it told: hers last, those that she dropped too, marked so.

    Parameters
    ----------
    job : Job
    figures : Figures
        Of this quilt.
    others : sequence of Figures
        Of the rest of the shelf.
    pictures : bool
        Whether each gets its picture, where it has one.

    Examples
    --------
    >>> from seamlore.steps.study.inputs import Inputs
    >>> alone = Figures(rests_on="", block=(8.0, 8.0), sashing=(4.0, 4.0))
    >>> [each.says for each in noticed(Job(Inputs()), alone, [])]
    ['The sashing is 1 to 2 of the block: wider than custom, which is a quarter to a third.']
    """
    told: Noticed = job.inputs.noticed
    found = []
    for each in _found(job, figures, others, pictures=pictures):
        said = told.said.get(each.key, "").strip()
        dropped = each.key in told.dropped
        found.append(replace(each, says=said or each.says, edited=bool(said), dropped=dropped, worked_out=each.says))
    own = (Notice(f"own {at}", words, "hers", own=True) for at, words in enumerate(told.own))
    return (*found, *own)


def _found(job: Job, figures: Figures, others: Sequence[Figures], *, pictures: bool) -> Iterator[Notice]:
    yield from _proportion(figures)
    reading = job.reading if job.inputs.photo is not None else None
    if reading is not None:
        yield from _turns(job, reading, pictures=pictures)
        yield from _drifts(job, reading, pictures=pictures)
        yield from _fabrics(figures, reading)
        yield from _stops(job, reading, pictures=pictures)
    yield from (
        Notice(f"held {at}", _sentence(each), "what its filling allows") for at, each in enumerate(figures.held)
    )
    yield from _beside(figures, others, pictures=pictures)


def _sentence(words: str) -> str:
    return f"{words[:1].upper()}{words[1:].rstrip('.')}."


def _proportion(figures: Figures) -> Iterator[Notice]:
    part = ratio(figures)
    if part is None or _CUSTOM[0] <= part <= _CUSTOM[1]:
        return
    how = "narrower" if part < _CUSTOM[0] else "wider"
    says = (
        f"The sashing is 1 to {round(1 / part, 1):g} of the block: {how} than custom, which is a quarter to a third."
    )
    yield Notice("proportion", says, "custom of the trade", "one block and the sashing beside it")


def _place(block: BlockAt) -> str:
    return f"row {block.row + 1}, column {block.column + 1}"


def _turns(job: Job, reading: Reading, *, pictures: bool) -> Iterator[Notice]:
    blocks = [each for each in reading.blocks or () if each.kind is not None]
    odd = [each for each in blocks if each.turn or each.mirrored]
    # Where a third lies otherwise it is the pattern, not a slip.
    if not odd or 3 * len(odd) > len(blocks):
        return
    places = "; ".join(_place(each) for each in odd[:6]) + (f"; and {len(odd) - 6} more" if len(odd) > 6 else "")
    says = f"{len(odd)} of {len(blocks)} blocks lie{'s' * (len(odd) == 1)} turned or mirrored: {places}."
    drawn = found_picture(reading, _photo(job), *_PHOTO_MM, title="Blocks that lie turned") if pictures else None
    yield Notice("turns", says, "the rest of this quilt", places, drawn)


def _photo(job: Job) -> ImageFile:
    from seamlore.photo.encoding import smaller, to_jpeg  # opens pictures: slow to import

    made = job.memo.get(("small flat", job.look_key), lambda: to_jpeg(smaller(job.flat.pixels, 900), quality=82))
    return ImageFile("as-found-small.jpg", "image/jpeg", made)


def _drifts(job: Job, reading: Reading, *, pictures: bool) -> Iterator[Notice]:
    if reading.unit == "width" or not reading.blocks or not reading.row_spans or not reading.column_spans:
        return
    spans = {"row": reading.row_spans, "column": reading.column_spans}
    if reading.setting != "straight":
        return
    unit = Unit(reading.unit)
    inch = 1.0 if unit is Unit.INCH else 1 / 2.54
    best: tuple[float, str, int, NDArray[np.float64], NDArray[np.float64]] | None = None
    for along, across in (("row", "column"), ("column", "row")):
        for number in range(len(spans[along])):
            line = [each for each in reading.blocks if getattr(each, along) == number]
            if len(line) < 4:
                continue
            x = np.array([sum(spans[across][getattr(each, across)]) / 2 for each in line])
            y = np.array([each.shift[1 if along == "row" else 0] for each in line])
            slope, gap = np.polyfit(x, y, 1)
            rise = float(slope) * float(x.max() - x.min())
            spread = float(np.std(y - (slope * x + gap)))
            # What is no more than the blocks' own unrest is no drift.
            if (
                abs(rise) * inch >= _DRIFT_IN
                and abs(rise) > 2 * spread
                and (best is None or abs(rise) > abs(best[0]))
            ):
                best = (rise, along, number, x, y)
    if best is None:
        return
    rise, along, number, x, y = best
    ends = ("lower at its right end than at its left", "higher at its right end than at its left")
    if along == "column":
        ends = ("further right at its foot than at its head", "further left at its foot than at its head")
    by = length_words(abs(rise) * inch, job.unit.value)
    over = length_words(float(x.max() - x.min()) * inch, job.unit.value)
    says = f"{along.capitalize()} {number + 1} drifts: it lies {by} {ends[0] if rise > 0 else ends[1]}, over {over}."
    drawn = _drift_drawn(job, reading, along, number, x, y, says) if pictures else None
    yield Notice(f"drift of {along} {number + 1}", says, "an even grid", f"{along} {number + 1}, end to end", drawn)


def _drift_drawn(
    job: Job, reading: Reading, along: str, number: int, x: NDArray[np.float64], y: NDArray[np.float64], says: str
) -> Picture:
    spans = reading.row_spans if along == "row" else reading.column_spans
    assert spans is not None
    middle = sum(spans[number]) / 2
    even = np.full_like(x, middle)
    lies, straight = np.stack([x, even + y], axis=1), np.stack([x, np.full_like(x, middle + y[0])], axis=1)
    if along == "column":
        lies, straight = lies[:, ::-1], straight[:, ::-1]
    points = [(float(a), float(b)) for a, b in lies]
    ends = ((float(straight[0][0]), float(straight[0][1])), (float(straight[-1][0]), float(straight[-1][1])))
    return drift_picture(_photo(job), reading.size, points, ends, *_PHOTO_MM, description=says)


def _fabrics(figures: Figures, reading: Reading) -> Iterator[Notice]:
    fabrics = sorted(reading.fabrics or (), key=lambda each: -len(each.patches))
    if len(fabrics) < 3:
        return
    first, second = (len(each.patches) for each in fabrics[:2])
    blocks = len({(row, column) for row, column, _ in fabrics[0].patches})
    if first >= 1.5 * second:
        says = (
            f"One {fabrics[0].value} fabric comes back more than any other: {first} patches in {blocks} blocks, "
            f"{first / second:.1f} times as often as the next."
        )
        yield Notice("commonest fabric", says, "the other fabrics of this quilt", _called(reading)[fabrics[0].id])
    once = sum(len(each.patches) == 1 for each in fabrics)
    if once > len(fabrics) / 2:
        says = f"{once} of {len(fabrics)} fabrics told apart stand in one patch only."
        yield Notice("fabrics once", says, "the other fabrics of this quilt")


def _called(reading: Reading) -> dict[str, str]:
    """What each fabric is called within a sentence, by its id."""
    fabrics = reading.fabrics or ()
    named = zip(fabrics, called(fabrics), strict=True)
    return {each.id: name if each.name else name[:1].lower() + name[1:] for each, name in named}


def _by_block(reading: Reading) -> Iterator[tuple[str, dict[tuple[int, int], int]]]:
    """For each place of each kind, the fabric that most of its patches have, block by block; numbers as in the reading.

    Fabrics that may be one in other light count as the first of them: a shadow is no substitute.
    """
    if not reading.fabrics or not reading.blocks or not reading.kinds:
        return
    kind_at = {(each.row, each.column): each.kind for each in reading.blocks}
    votes: dict[str, dict[tuple[int, int], dict[int, int]]] = {}
    for number, fabric in zip(maybe_one(reading.fabrics), reading.fabrics, strict=True):
        for row, column, patch in fabric.patches:
            kind = kind_at.get((row, column))
            if kind is None or patch >= len(reading.kinds[kind].patches):
                continue
            name = reading.kinds[kind].patches[patch].place
            place = name if len(reading.kinds) == 1 else f"{name} of kind {kind + 1}"
            at = votes.setdefault(place, {}).setdefault((row, column), {})
            at[number] = at.get(number, 0) + 1
    for place, blocks in sorted(votes.items()):
        yield place, {at: max(sorted(each), key=lambda n: each[n]) for at, each in blocks.items()}


def _stop_in(job: Job, place: str, held: dict[tuple[int, int], int]) -> Stop | None:
    def work() -> tuple[Stop | None]:
        at = np.array(list(held), dtype=np.int64).reshape(-1, 2)
        return (find_stop(at[:, 0], at[:, 1], np.array(list(held.values()), dtype=np.int64)),)

    return job.memo.get(("stop", job.look_key, place), work)[0]


def _place_words(place: str) -> str:
    """Say a place of a kind as she can find the kind: the commonest is the first.

    Examples
    --------
    >>> _place_words("A"), _place_words("A of kind 1"), _place_words("B of kind 3")
    ('A', 'A of the commonest kind of block', 'B of the kind of block that comes 3rd in number')
    """
    letter, _, number = place.partition(" of kind ")
    if not number:
        return letter
    ending = {"2": "nd", "3": "rd"}.get(number, "th")
    which = "commonest kind of block" if number == "1" else f"kind of block that comes {number}{ending} in number"
    return f"{letter} of the {which}"


def _stops(job: Job, reading: Reading, *, pictures: bool) -> Iterator[Notice]:
    for place, held in _by_block(reading):
        found = _stop_in(job, place, held)
        if found is None or found.p >= SURE:
            continue
        assert reading.fabrics is not None
        names = _called(reading)
        fabric = reading.fabrics[found.fabric]
        one = found.along[:-1]
        # Rows and columns are counted from 1 where they are said.
        side = f"as far as {one} {found.at}" if found.before else f"from {one} {found.at + 1} on"
        says = (
            f"In place {_place_words(place)} the {fabric.value} {names[fabric.id]} stands {side}, in {found.inside} of "
            f"{found.of_inside} blocks, and in {found.strays or 'none'} beyond."
        )
        fills = {spot: fabric.srgb for spot, number in held.items() if number == found.fabric}
        if found.substitute is not None:
            other = reading.fabrics[found.substitute]
            count = sum(number == found.substitute for number in held.values())
            says += f" There {names[other.id]} takes its place, in {count} blocks."
            fills |= {spot: other.srgb for spot, number in held.items() if number == found.substitute}
        says += " Blocks shuffled at random do so in fewer than 1 in 100."
        drawn = None
        if pictures and reading.rows and reading.columns:
            drawn = cells_picture(
                (reading.rows, reading.columns), fills, _WIDE_MM, line=(found.along, found.at),
                title="Where a fabric stops", description=says,
            )  # fmt: skip
        yield Notice(f"stop in {place}", says, "the same blocks shuffled", f"the line at {one} {found.at + 1}", drawn)


def _beside(figures: Figures, others: Sequence[Figures], *, pictures: bool) -> Iterator[Notice]:
    """What lies outside the middle eight tenths of the rest of the shelf."""
    for figure in FIGURES:
        own = figure.value(figures)
        values = [value for each in others if (value := figure.value(each)) is not None]
        if own is None or len(values) < LEAST_OTHERS:
            continue
        tenths = quantiles(values, n=10, method="inclusive")
        if tenths[0] <= own <= tenths[-1]:
            continue
        says = f"{figure.title}: {place_words(figure, values, float(own))[4:]}"
        drawn = None
        if pictures:
            drawn = columns_picture(
                bars([*values, float(own)], figure.step, float(own), figure.show),
                _WIDE_MM,
                _HIGH_MM,
                title=figure.title,
            )
        yield Notice(f"beside the shelf: {figure.key}", says, f"{len(values)} other quilts of this shelf", "", drawn)


def kept(notices: Iterable[Notice]) -> tuple[Notice, ...]:
    """Give those that are to be told."""
    return tuple(each for each in notices if not each.dropped)


def changed(before: Noticed, key: str, *, says: str | None = None, drop: bool | None = None) -> Noticed:
    """Give what she made of the things worth noticing after one of them was edited, dropped or taken back.

    Parameters
    ----------
    before : Noticed
    key : str
        Of `Notice`; "own N" for the Nth of hers, "own" for a new one.
    says : str, optional
        Her words; empty gives back what was worked out, and takes away one of hers.
    drop : bool, optional

    Raises
    ------
    SeamloreError
        When there is no such one of hers, or there are too many.

    Examples
    --------
    >>> one = changed(Noticed(), "own", says="The knots are on the front.")
    >>> changed(one, "own 0", says="").own, changed(one, "turns", drop=True).dropped
    ((), ('turns',))
    """
    fresh = msgspec.structs.replace
    words = None if says is None else " ".join(says.split())
    if key == "own":
        if len(before.own) >= 60:
            raise SeamloreError(f"{len(before.own) + 1} of your own", "at most 60 are kept", "take one away first")
        return fresh(before, own=(*before.own, words)) if words else before
    if key.startswith("own "):
        at = int(key[4:]) if key[4:].isascii() and key[4:].isdigit() and len(key) < 9 else len(before.own)
        if at >= len(before.own):
            raise SeamloreError("that sentence", "it is not there any more", "load the page again")
        rest = list(before.own)
        rest[at : at + 1] = [words] if words and not drop else []
        return fresh(before, own=tuple(rest))
    said, dropped = dict(before.said), [each for each in before.dropped if each != key]
    if words is not None:
        said.pop(key, None)
        said |= {key: words} if words else {}
    return fresh(
        before,
        said=said,
        dropped=(*dropped, key) if drop or (drop is None and key in before.dropped) else tuple(dropped),
    )
