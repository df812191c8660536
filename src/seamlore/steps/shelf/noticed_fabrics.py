"""Worth noticing of fabrics: what lies in one place only, and a fabric that stops where another takes its place."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from seamlore.photo.reading import Reading
from seamlore.pictures.charts.noticed import cells_picture
from seamlore.steps.fabrics.facts import called, maybe_one
from seamlore.steps.shelf import noticed_pictures as drawn_of
from seamlore.steps.shelf.figures import Figures
from seamlore.steps.shelf.notice import Notice, Room
from seamlore.steps.study.job import Job
from seamlore.study.stops import Stop, find_stop

# Told only where shuffled patches would do so in fewer.
SURE = 0.01


def fabrics_noticed(job: Job, figures: Figures, reading: Reading, room: Room | None) -> Iterator[Notice]:
    """Notice a fabric that comes back more than any other, and those that stand once."""
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
        drawn = drawn_of.lit(job, reading, fabrics[:1], room, "Where one fabric stands", says) if room else None
        where = "the patches lit in the picture"
        yield Notice("commonest fabric", says, "the other fabrics of this quilt", where, drawn)
    once = sum(len(each.patches) == 1 for each in fabrics)
    if once > len(fabrics) / 2:
        says = f"{once} of {len(fabrics)} fabrics told apart stand in one patch only."
        alone = [each for each in fabrics if len(each.patches) == 1]
        drawn = drawn_of.lit(job, reading, alone, room, "Fabrics that stand once", says) if room else None
        where = "the patches lit in the picture"
        yield Notice("fabrics once", says, "the other fabrics of this quilt", where, drawn)


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


def stops_noticed(job: Job, reading: Reading, room: Room | None) -> Iterator[Notice]:
    """Notice where a fabric stops and another takes its place."""
    places = list(_by_block(reading))
    for place, held in places:
        found = _stop_in(job, place, held)
        # Each place is looked into by itself: the more there are, the less one alone may be by chance (Bonferroni).
        if found is None or found.p * len(places) >= SURE:
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
        if room and reading.rows and reading.columns:
            drawn = cells_picture(
                (reading.rows, reading.columns), fills, min(room) - 6, line=(found.along, found.at),
                title="Where a fabric stops", description=says,
            )  # fmt: skip
        yield Notice(f"stop in {place}", says, "the same blocks shuffled", f"the line at {one} {found.at + 1}", drawn)
