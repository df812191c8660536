"""Figures of every quilt on the shelf, worked out one after the other."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from seamlore.errors import SeamloreError
from seamlore.shelf import cloths as kept
from seamlore.shelf.cards import Query
from seamlore.shelf.collection import Collection
from seamlore.shelf.shelf import Shelf
from seamlore.steps.photograph import make_small
from seamlore.steps.shelf.cards import facts_from, renew, work_out
from seamlore.steps.shelf.cloths import VERSION
from seamlore.steps.study.job import Job
from seamlore.steps.study.kept import read_study
from seamlore.steps.study.memo import Memo
from seamlore.steps.study.sections import Photographs


@dataclass(frozen=True, slots=True)
class Worked:
    """How many were worked out, and why some could not be."""

    count: int
    faults: tuple[str, ...]


def work_out_all(shelf: Shelf, *, tell: Callable[[str], None] = lambda line: None) -> Worked:
    """Read what was not read yet, and put the figures on the cards.

    Parameters
    ----------
    shelf : Shelf
    tell : callable
        Told which quilt is worked on.
    """
    renew(shelf)
    described = {study for study, _ in kept.described(shelf, VERSION)}
    left = [
        each
        for each in Collection(shelf).search(Query(), most=1_000_000)[1]
        # A quilt without a photograph has no cloths to describe.
        if not each.worked or (each.entry.number not in described and facts_from(each.facts).front)
    ]
    count, faults = 0, []
    for at, each in enumerate(left, start=1):
        tell(f"{each.entry.name} ({at} of {len(left)})")
        try:
            work_out_one(shelf, each.entry.number)
        except SeamloreError as fault:
            faults.append(f"{each.entry.name}: {fault}")
        else:
            count += 1
    return Worked(count, tuple(faults))


def work_out_one(shelf: Shelf, number: int) -> None:
    """Read a quilt's photograph if it has one, and put its figures on its card.

    Raises
    ------
    SeamloreError
        When a section or the photograph cannot be read.
    """
    standing = shelf.standing(number)
    kept = read_study(standing, shelf.read_photograph)
    # Of its own: what was decoded for one quilt is let go before the next.
    job = Job(kept.inputs, memo=Memo())
    work_out(shelf, standing, job)
    photographs = kept.section(Photographs)
    if photographs.front is not None and kept.inputs.photo is not None:
        make_small(shelf, photographs.front.reference, job)
