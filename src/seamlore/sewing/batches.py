"""Like work gathered: steps sewn one after the other in a chain, and strip sets."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from fractions import Fraction
from math import ceil

from seamlore.draft.exact.roots import above
from seamlore.lengths import Length, inches, on_mark
from seamlore.sewing.seams import Seams, counted
from seamlore.sewing.steps import Outline, Step
from seamlore.sewing.top import Made, Top

# What squaring the end of a strip set takes: with it 8 segments of 1 1/4 in come from 12 in, and 10 to 12 of 3 1/2 in from the
# width of the fabric, as printed (trade facts A4, 22 and 24).
SQUARED_OFF = inches(1)
_QUANTUM = 1e-5


@dataclass(frozen=True, slots=True)
class StripSet:
    """A strip set from which a unit is cut, instead of sewing it piece by piece.

    Parameters
    ----------
    strips : tuple of (str, Length)
        The label and the cut width of each strip, in order.
    segment : Length
        How wide segments are cut.
    from_each : int
        How many segments one gives, as long as the fabric is wide.
    count : int
        How many are sewn.
    """

    strips: tuple[tuple[str, Length], ...]
    segment: Length
    from_each: int
    count: int


@dataclass(frozen=True, slots=True)
class Batch:
    """One step, wherever it comes in the quilt: sewn in one go.

    Parameters
    ----------
    steps : tuple of (int, Step)
        In which kinds of spots it comes (places in `Top.blocks`), and the step there.
    count : int
        How many in all.
    stage : int
        The latest at which it comes.
    seams : Seams
        All of them.
    strip_set : StripSet or None
        Where it may be cut from a strip set.
    """

    steps: tuple[tuple[int, Step], ...]
    count: int
    stage: int
    seams: Seams
    strip_set: StripSet | None = None

    @property
    def chained(self) -> bool:
        """Whether it is sewn one after the other without cutting the thread: straight seams, more than one."""
        step = self.steps[0][1]
        return step.manner == "straight" and self.count > 1


def batches(top: Top, allowance: Length, fabric_width: Length) -> tuple[Batch, ...]:
    """Gather the steps of all blocks that are alike, in the order of sewing; then those of the top.

    Parameters
    ----------
    top : Top
    allowance : Length
    fabric_width : Length
        Usable.

    Examples
    --------
    >>> from seamlore.draft.catalogue import find
    >>> from seamlore.draft.repeated import repeated
    >>> from seamlore.sewing.top import sewn_top
    >>> four = sewn_top(repeated("q", find("four patch"), inches(4), inches(4), 2, 3))
    >>> for each in batches(four, inches("1/4"), inches(40)):
    ...     print(each.steps[0][1].name, each.count, each.chained, each.strip_set and (each.strip_set.from_each, each.strip_set.count))
    row 1 12 True (15, 1)
    the block 6 True None
    row 1 2 True None
    the top 1 False None
    """
    found: dict[object, list[tuple[int, Step]]] = defaultdict(list)
    for number, made in enumerate(top.blocks):
        for step in made.steps:
            found[_key(made, step)].append((number, step))
    gathered = [_batch(top, alike, allowance, fabric_width) for alike in found.values()]
    gathered.sort(key=lambda batch: batch.stage)
    return (*gathered, *(_counted(((-1, step),), step.count, step.stage, [step.count]) for step in top.steps))


def _key(made: Made, step: Step) -> object:
    """The same for steps that join the same pieces in the same way, whatever block they are for."""
    group = made.group
    read = []
    for turn in range(4):
        rings = []
        for piece in step.pieces:
            ring = [(float(x), float(y)) for x, y in group.parts[piece].outline]
            for _ in range(turn):
                ring = [(-y, x) for x, y in ring]
            rings.append((group.labels[piece], ring))
        left = min(x for _, ring in rings for x, _ in ring)
        top = min(y for _, ring in rings for _, y in ring)
        read.append(
            sorted(
                (label, tuple(sorted((round((x - left) / _QUANTUM), round((y - top) / _QUANTUM)) for x, y in ring)))
                for label, ring in rings
            )
        )
    return tuple(min(read))


def _batch(top: Top, alike: Sequence[tuple[int, Step]], allowance: Length, fabric_width: Length) -> Batch:
    counts = [step.count * top.blocks[number].count for number, step in alike]
    number, step = alike[0]
    made = top.blocks[number]
    strip_set = None
    places = made.group.kind.block.places
    if not any(places[made.group.parts[piece].place].scrappy for piece in step.pieces):
        strip_set = _strip_set(step, sum(counts), allowance, fabric_width)
    return _counted(tuple(alike), sum(counts), max(step.stage for _, step in alike), counts, strip_set)


def _counted(
    alike: tuple[tuple[int, Step], ...],
    count: int,
    stage: int,
    counts: Iterable[int],
    strip_set: StripSet | None = None,
) -> Batch:
    seams = counted(zip((step for _, step in alike), counts, strict=True))
    return Batch(alike, count, stage, seams, strip_set)


def _strip_set(step: Step, count: int, allowance: Length, fabric_width: Length) -> StripSet | None:
    """The strip set of a unit of rectangles side by side, each as long as the others."""
    if step.manner != "straight" or step.way not in ("across", "up and down") or count < 2:
        return None
    boxes = [_box(part.outline) for part in step.parts if len(part.pieces) == 1]
    if len(boxes) < len(step.parts) or any(box is None for box in boxes):
        return None
    sizes = [box for box in boxes if box is not None]
    along = 0 if step.way == "across" else 1
    if len({size[along] for size in sizes}) > 1:
        return None
    twice = allowance * 2
    # As wide as the pieces of the cutting list: on the ruler's next mark.
    segment = on_mark(Length(sizes[0][along], allowance.unit) + twice, "up")
    from_each = int((fabric_width - SQUARED_OFF).inches // segment.inches)
    if from_each < 1:
        return None
    strips = tuple(
        (part.name, on_mark(Length(size[1 - along], allowance.unit) + twice, "up"))
        for part, size in zip(step.parts, sizes, strict=True)
    )
    return StripSet(strips, segment, from_each, ceil(Fraction(count, from_each)))


def _box(outline: Outline) -> tuple[Fraction, Fraction] | None:
    """Width and height of a rectangle square to the block; None for anything else."""
    xs, ys = {x for x, _ in outline}, {y for _, y in outline}
    if len(outline) != 4 or len(xs) != 2 or len(ys) != 2:
        return None
    return above(max(xs) - min(xs)), above(max(ys) - min(ys))
