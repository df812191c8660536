"""Batches in words: what is sewn in a chain, what is cut from strip sets, and how long the sewing takes."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from seamlore.lengths import show
from seamlore.sewing.batches import Batch
from seamlore.sewing.seams import sewing_hours, together
from seamlore.sewing.steps import Method
from seamlore.sewing.top import Top
from seamlore.steps.words import listed

# Batches that are told; the rest are sewn block by block.
_MOST = 8


def batch_words(gathered: Sequence[Batch], names: Sequence[str]) -> Iterable[str]:
    """Say what is sewn in one go.

    Parameters
    ----------
    gathered : sequence of Batch
        From `sewing.batches.batches`.
    names : sequence of str
        What each kind of spot is called.

    Examples
    --------
    >>> from seamlore.draft.catalogue import find
    >>> from seamlore.draft.repeated import repeated
    >>> from seamlore.lengths import inches
    >>> from seamlore.sewing.batches import batches
    >>> from seamlore.sewing.top import sewn_top
    >>> four = sewn_top(repeated("q", find("four patch"), inches(4), inches(4), 4, 3))
    >>> for line in batch_words(batches(four, inches("1/4"), inches(40)), ["The block"]):
    ...     print(line)
    Row 1: 24 in all, one after the other without cutting the thread. Or from 2 strip sets of B1 and A1, cut 2 1/2 in wide: sew the strips side by side along their length, and cut 24 segments of 2 1/2 in, 15 from each.
    """
    several = len({number for batch in gathered for number, _ in batch.steps if number >= 0}) > 1
    chained = [batch for batch in gathered if batch.chained and batch.steps[0][0] >= 0 and batch.stage == 1]
    told: dict[tuple[int, str, str], list[str]] = {}
    for batch in sorted(chained, key=lambda each: -each.count)[:_MOST]:
        # Steps that join the same pieces are counted together, though they may be pressed otherwise.
        together = f" {listed(_units(batch, names, several=several))}" if len(batch.steps) > 1 else ""
        key = batch.count, _strips(batch), together
        told.setdefault(key, []).extend(_units(batch, names, several=several))
    for (count, strips, together), units in told.items():
        said = listed(units)
        many = "in all, sewn alike" if together else "in all" if len(units) == 1 else "of each"
        yield f"{said[0].upper()}{said[1:]}: {count} {many}, one after the other without cutting the thread.{strips}"


def _units(batch: Batch, names: Sequence[str], *, several: bool) -> list[str]:
    """What the steps of a batch are called, those of one block together."""
    units: dict[int, list[str]] = {}
    for number, step in batch.steps:
        units.setdefault(number, []).append("" if step.made == "whole" else step.name)
    return [
        names[number] if not all(each) else f"{listed(each)} of {names[number]}" if several else listed(each)
        for number, each in units.items()
    ]


def _strips(batch: Batch) -> str:
    found = batch.strip_set
    if found is None:
        return ""
    labels, widths = zip(*((label, show(width)) for label, width in found.strips), strict=True)
    wide = widths[0] if len(set(widths)) == 1 else listed(list(widths))
    sets = f"{found.count} strip set{'s' * (found.count != 1)}"
    return (
        f" Or from {sets} of {listed(list(labels))}, cut {wide} wide: sew the strips side by side along their length, and "
        f"cut {batch.count} segments of {show(found.segment)}, {found.from_each} from each."
    )


def hours_words(gathered: Sequence[Batch], top: Top, method: Method = "machine") -> str:
    """Say how long the sewing of the top takes, and how that is known.

    Examples
    --------
    >>> from seamlore.draft.catalogue import find
    >>> from seamlore.draft.repeated import repeated
    >>> from seamlore.lengths import inches
    >>> from seamlore.sewing.batches import batches
    >>> from seamlore.sewing.top import sewn_top
    >>> nine = sewn_top(repeated("q", find("nine patch"), inches(9), inches(9), 7, 8))
    >>> hours_words(batches(nine, inches("1/4"), inches(40)), nine)
    '3 to 12 hours by machine, pressing included, from cut pieces to the top (common practice, no source)'
    """
    pieces = sum(len(made.group.parts) * made.count for made in top.blocks)
    found = sewing_hours(together(batch.seams for batch in gathered), pieces, method)
    how = {"machine": "by machine, pressing included", "hand": "by hand", "papers": "over papers"}[method]
    return f"{found} {how}, from cut pieces to the top ({'; '.join(found.known)})"
