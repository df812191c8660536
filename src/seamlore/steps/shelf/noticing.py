"""Worth noticing: what in a quilt departs from custom, from an even grid, or from the rest of the shelf, with its figure."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import replace
from statistics import quantiles

import msgspec
import numpy as np
from numpy.typing import NDArray

from seamlore.draft.kinds import AS_DRAWN
from seamlore.draft.where import said_all
from seamlore.errors import SeamloreError
from seamlore.lengths import Unit
from seamlore.photo.reading import Reading
from seamlore.pictures.charts.bars import columns_picture
from seamlore.pictures.charts.noticed import proportion_picture
from seamlore.steps.shelf import noticed_pictures as drawn_of
from seamlore.steps.shelf.figures import Figures
from seamlore.steps.shelf.measures import FIGURES, bars, length_words, place_words, ratio
from seamlore.steps.shelf.notice import Notice, Room, sentence
from seamlore.steps.shelf.noticed_fabrics import fabrics_noticed, stops_noticed
from seamlore.steps.study.job import Job
from seamlore.steps.study.sections import Noticed

# Among fewer others nothing stands out.
LEAST_OTHERS = 5
# Sashing takes a quarter to a third of the block: common practice, no source. Told where it lies well outside.
_USUAL, _CUSTOM = (1 / 4, 1 / 3), (0.2, 0.4)
# A row that drifts less over the whole quilt is as straight as old quilts are: common practice, no source.
_DRIFT_IN = 0.5
# The room of a picture of the whole quilt, in millimeters; bars over a scale are as high as four tenths of it.
ROOM_MM = (90.0, 100.0)


def noticed(
    job: Job,
    figures: Figures,
    others: Sequence[Figures],
    *,
    pictures: bool = True,
    room_mm: Room = ROOM_MM,
) -> tuple[Notice, ...]:
    """Give what is worth noticing, as she wants it told: hers last, those that she dropped too, marked so.

    Parameters
    ----------
    job : Job
    figures : Figures
        Of this quilt.
    others : sequence of Figures
        Of the rest of the shelf.
    pictures : bool
        Whether each gets its picture.
    room_mm : (float, float)
        The width and height that a picture may take.

    Examples
    --------
    >>> from seamlore.steps.study.inputs import Inputs
    >>> alone = Figures(rests_on="", block=(8.0, 8.0), sashing=(4.0, 4.0))
    >>> [each.says for each in noticed(Job(Inputs()), alone, [])]
    ['The sashing is 1 to 2 of the block: wider than custom, which is a quarter to a third.']
    """
    told: Noticed = job.inputs.noticed
    found = []
    for each in _found(job, figures, others, room_mm if pictures else None):
        said = told.said.get(each.key, "").strip()
        dropped = each.key in told.dropped
        found.append(replace(each, says=said or each.says, edited=bool(said), dropped=dropped, worked_out=each.says))
    own = (Notice(f"own {at}", words, "hers", own=True) for at, words in enumerate(told.own))
    return (*found, *own)


def _found(job: Job, figures: Figures, others: Sequence[Figures], room: Room | None) -> Iterator[Notice]:
    yield from _proportion(figures, room)
    reading = job.reading if job.inputs.photo is not None else None
    if reading is not None:
        yield from _turns(job, reading, room)
        yield from _drifts(job, reading, room)
        yield from fabrics_noticed(job, figures, reading, room)
        yield from stops_noticed(job, reading, room)
    yield from _held(job, figures, room)
    yield from _beside(figures, others, room)


def _held(job: Job, figures: Figures, room: Room | None) -> Iterator[Notice]:
    """How it is held, in one remark: the widest place that nothing holds, what its filling allows, what is missing."""
    if not figures.held:
        return
    says = " ".join(sentence(each) for each in figures.held)
    drawn = drawn_of.held(job, room, says) if room and job.inputs.photo is not None else None
    yield Notice("held", says, "what its filling allows", "the widest place that nothing holds", drawn)


def _proportion(figures: Figures, room: Room | None) -> Iterator[Notice]:
    part = ratio(figures)
    if part is None or _CUSTOM[0] <= part <= _CUSTOM[1]:
        return
    how = "narrower" if part < _CUSTOM[0] else "wider"
    says = (
        f"The sashing is 1 to {round(1 / part, 1):g} of the block: {how} than custom, which is a quarter to a third."
    )
    title = "Sashing to block"
    drawn = proportion_picture(part, _USUAL, min(room[0], 70.0), title=title, description=says) if room else None
    yield Notice("proportion", says, "custom of the trade", "one block and the sashing beside it", drawn)


def _turns(job: Job, reading: Reading, room: Room | None) -> Iterator[Notice]:
    # In a draft that was changed by hand she has said herself how blocks lie.
    if own := job.inputs.choice.draft:
        cells = {(row, column): job.quilt.cells[row][column] for row, column in job.quilt.spots}
        of = [at for at, cell in cells.items() if cell.read]
        odd = [at for at in of if cells[at].lies != AS_DRAWN]
    else:
        blocks = [each for each in reading.blocks or () if each.kind is not None]
        of = [(each.row, each.column) for each in blocks]
        odd = [(each.row, each.column) for each in blocks if each.turn or each.mirrored]
    # Where a third lies otherwise it is the pattern, not a slip.
    if not odd or 3 * len(odd) > len(of):
        return
    places = said_all(odd[:6]) + (f"; and {len(odd) - 6} more" if len(odd) > 6 else "")
    says = f"{len(odd)} of {len(of)} blocks lie{'s' * (len(odd) == 1)} turned or mirrored: {places}."
    drawn = drawn_of.turned(job, reading, room) if room and not own else None
    yield Notice("turns", says, "the rest of this quilt", places, drawn)


def _drifts(job: Job, reading: Reading, room: Room | None) -> Iterator[Notice]:
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
    drawn = drawn_of.drift(job, reading, along, number, x, y, says, room) if room else None
    yield Notice(f"drift of {along} {number + 1}", says, "an even grid", f"{along} {number + 1}, end to end", drawn)


def _beside(figures: Figures, others: Sequence[Figures], room: Room | None) -> Iterator[Notice]:
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
        if room:
            drawn = columns_picture(
                bars([*values, float(own)], figure.step, float(own), figure.show),
                room[0],
                0.4 * room[0],
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
