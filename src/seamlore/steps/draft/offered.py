"""Drawings that are offered for blocks that were not read, those that fit best, and what is done with the one chosen."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace
from functools import cache, lru_cache
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from seamlore.color.lab import srgb_to_lab
from seamlore.draft.block import Block, Patch
from seamlore.draft.cells import with_cells
from seamlore.draft.kinds import Cell, Kind, plain_block, sign_for
from seamlore.draft.quilt import Quilt
from seamlore.errors import SeamloreError, ShapeError
from seamlore.steps.draft.partings import (
    ACROSS,
    MOTIONS,
    Turn,
    catalogue_ways,
    cost_of,
    labels_of,
    same_parting,
    spots,
)
from seamlore.steps.draft.put_together import colored, from_units
from seamlore.steps.draft.unread import At, UnreadGroup, group_at, open_draft
from seamlore.steps.study.job import Job
from seamlore.study.seen_block import exact_block

if TYPE_CHECKING:
    # Opens pictures: slow to import.
    from seamlore.photo.block.agreement import Drawn

Floats = NDArray[np.float64]

# So many drawings are shown, and at most so many blocks looked at.
MOST = 6
_BLOCKS = 8
# What full agreement with the seams seen is worth in the measure of how cloth is parted, and what a patch more costs;
# chosen on the labeled photographs of real quilts (`python -m judging.scoring.offered`).
_SEAMS, _PATCH = 1000.0, 0.006
CATALOGUE, PLAIN, UNITS = "of the catalogue", "one piece of cloth", "put together from units"


@dataclass(frozen=True, slots=True)
class Offer:
    """One drawing that may be it, as it lies over the first block of its group.

    Parameters
    ----------
    key : str
        By which it is asked for.
    block : Block
    why : str
        Where it comes from, in words.
    """

    key: str
    block: Block
    why: str


def offers(job: Job, group: UnreadGroup) -> tuple[Offer, ...]:
    """Give the drawings that are likeliest for a group: what the reader saw, then what parts its cloth best; at most six."""
    key = ("offers", job.read_key, tuple(group.cells.items()))
    return job.memo.get(key, lambda: tuple(_offers(job, group)))


def _offers(job: Job, group: UnreadGroup) -> Iterator[Offer]:
    quilt = open_draft(job)
    assert quilt is not None
    colors = _colors(job, quilt, group)
    candidates = [
        *_from_catalogue(),
        *((Offer(key, made, UNITS), labels_of(made)) for key, made in from_units(colors)),
        (Offer("plain", plain_block(), PLAIN), np.zeros(ACROSS**2, np.int_)),
    ]
    agrees = _agrees(group, [offer for offer, _ in candidates])
    blocks = colors.shape[1] / 3
    by_cloth = np.array([cost_of(colors, labels) / blocks for _, labels in candidates])
    by_seams = np.array(
        [seams - _PATCH * len(offer.block.patches) for (offer, _), seams in zip(candidates, agrees, strict=True)]
    )
    # Where prints are bold the seams tell more, where cloth is plain its color does: each has its turn.
    orders = (np.argsort(by_cloth - _SEAMS * by_seams, kind="stable"), np.argsort(by_cloth, kind="stable"))
    ranked = [candidates[k] for pair in zip(*orders, strict=True) for k in dict.fromkeys(pair)]
    seen = _drawn_as_seen(group, colors)
    kept: list[NDArray[np.int_]] = []
    names: set[str] = set()
    for offer, labels in [*([(seen, labels_of(seen.block))] if seen else []), *ranked]:
        # The same block turned otherwise is no other answer, but for one of two patches.
        again = offer.block.name in names and len(offer.block.patches) > 2
        # One piece of cloth is always among them: a picture or a bold print is told from piecing by her alone.
        room = MOST - (offer.key != "plain" and plain_block().name not in names)
        if len(kept) < room and not again and not any(same_parting(labels, other) for other in kept):
            kept.append(labels)
            names.add(offer.block.name)
            yield offer


def _agrees(group: UnreadGroup, given: Sequence[Offer]) -> list[float]:
    """How well drawings agree with the seams that are seen in a group; nothing is said where none were looked for."""
    if group.seen is None:
        return [0.0] * len(given)
    return group.seen.agrees([_drawn(each.block.patches) for each in given])


@lru_cache(maxsize=4096)
def _drawn(patches: tuple[Patch, ...]) -> Drawn:
    """A drawing as it is held against the seams that are seen; those of the catalogue are held against every block."""
    from seamlore.photo.block.agreement import Drawn  # opens pictures: slow to import

    return Drawn.of(tuple(tuple((float(x), float(y)) for x, y in each.outline) for each in patches))


def _colors(job: Job, quilt: Quilt, group: UnreadGroup) -> Floats:
    """The colors of some blocks of a group, each laid like the first, in CIELAB, shape (places, blocks x 3)."""
    from seamlore.steps.study.seen_spots import corners_seen, pixels_at  # opens pictures: slow to import

    look = job.look
    height, width = look.flat.pixels.shape[:2]
    found: list[Floats] = []
    for at, lies in list(group.cells.items())[:_BLOCKS]:
        corners = corners_seen(look, quilt, *at)
        assert corners is not None
        x, y = pixels_at(look, spots(), Cell("", lies), corners)
        seen = look.flat.pixels[np.clip(y, 0, height - 1), np.clip(x, 0, width - 1)]
        found.append(srgb_to_lab(seen / 255))
    return np.concatenate(found, axis=1)


def _drawn_as_seen(group: UnreadGroup, colors: Floats) -> Offer | None:
    """The drawing that the seams seen would make; None where none is seen, or it cannot be drawn exactly."""
    from seamlore.photo.reading import SeenBlock, SeenPatch  # as above

    if group.seen is None or len(group.seen.outlines) == 1:
        return None
    patches = tuple(SeenPatch(outline=ring, place="A", value="light") for ring in group.seen.outlines)
    try:
        exact = exact_block(SeenBlock(divisions=group.seen.divisions, patches=patches))
    except SeamloreError:
        return None
    return Offer("seen", colored(exact.name, exact.divisions, exact.patches, colors), "where seams seem to run")


def _from_catalogue() -> Iterator[tuple[Offer, NDArray[np.int_]]]:
    """Every block of the catalogue in each way of lying that differs."""
    for number, (entry, ways) in enumerate(catalogue_ways()):
        for motion, labels in ways:
            turn, mirrored = MOTIONS[motion]
            key = f"{turn} {'m' if mirrored else '-'} {entry.name}"
            yield Offer(key, _lying(number, turn, mirrored), CATALOGUE), labels


@cache
def _lying(number: int, turn: Turn, mirrored: bool) -> Block:
    return catalogue_ways()[number][0].moved(turn, mirrored=mirrored)


def shown_as(
    job: Job, at: At, key: str, *, alone: bool, called: Callable[[Block], Block] = lambda block: block
) -> Quilt:
    """Put a drawing that was offered into a block that was not read, and into all like it unless it is meant alone.

    Parameters
    ----------
    job : Job
    at : (int, int)
        Row and column of the block.
    key : str
        Of the drawing.
    alone : bool
    called : callable, optional
        Gives a drawing that is not of the catalogue its name.

    Raises
    ------
    ShapeError
        When the block there is read, or no such drawing was offered.
    """
    group = group_at(job, at)
    offer = next((each for each in offers(job, group) if each.key == key), None)
    if offer is None:
        raise ShapeError(f'the drawing "{key[:40]}"', "it is not one of those offered", "reload the page")
    quilt = open_draft(job)
    assert quilt is not None
    # What was put together here has no name yet; a block of the catalogue keeps its own.
    given = offer.block if offer.why in (CATALOGUE, PLAIN) else called(offer.block)
    same = next((kind for kind in quilt.kinds if kind.block == given), None)
    if same is None:
        names = {kind.block.name for kind in quilt.kinds}
        numbered = (f"{given.name}{f' {number}' * (number > 1)}" for number in range(1, 1000))
        free = next(name for name in numbered if name not in names)
        given = replace(given, name=free)
    kind = same or Kind(sign_for(given, {each.name for each in quilt.kinds}), given)
    cells = {at: group.cells[at]} if alone else group.cells
    return with_cells(quilt, {where: Cell(kind.name, lies) for where, lies in cells.items()}, [] if same else [kind])


def shown_by_hand(job: Job) -> frozenset[At]:
    """Tell which blocks of the draft were not read and are as their owner showed them.

    Raises
    ------
    SeamloreError
        When there is no draft.
    """
    quilt = job.quilt
    if job.inputs.photo is None:
        return frozenset()
    from seamlore.steps.study.seen_spots import spot_seen  # as above

    told = job.reading.everywhere
    return frozenset(
        at
        for at in quilt.spots
        if quilt.cells[at[0]][at[1]].read
        and (spot := spot_seen(job.reading, quilt, *at)) is not None
        and spot in told
        and told[spot].kind is None
    )


def shown_words(job: Job) -> str:
    """Say how many blocks were not read and are as their owner showed them; nothing where none are."""
    count = len(shown_by_hand(job))
    if not count:
        return ""
    whole = len(job.quilt.spots)
    if count == 1:
        return f"One of {whole} blocks was not read from the photograph: it is drawn as you showed it."
    return f"{count} of {whole} blocks were not read from the photograph: they are drawn as you showed them."
