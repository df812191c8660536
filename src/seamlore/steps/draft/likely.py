"""The drawings that fit a kind of block best over the photograph, to be chosen from with one tap."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from seamlore.color.lab import srgb_to_lab
from seamlore.draft.block import Block
from seamlore.draft.catalogue import find
from seamlore.draft.cells import with_block
from seamlore.draft.quilt import Quilt
from seamlore.steps.draft.open_kind import open_kind
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
from seamlore.steps.study.job import Job

Floats = NDArray[np.float64]

# So many are shown.
MOST = 6
# At most so many blocks of a kind are looked at.
BLOCKS = 8
TURNS: tuple[Turn, ...] = (0, 90, 180, 270)


@dataclass(frozen=True, slots=True)
class Likely:
    """One drawing that fits: a block of the catalogue as it lies, or the block as it is drawn now.

    Parameters
    ----------
    block : Block
        As it lies.
    turn, mirrored : int and bool
        How the catalogue's drawing was moved.
    now : bool
        Whether the draft has it so.
    at : str
        A block of the photograph to show it over: row and column from 0, as "0,2".
    """

    block: Block
    turn: Turn
    mirrored: bool
    now: bool
    at: str


def likely(job: Job, kind: str = "") -> tuple[Likely, ...]:
    """Give the drawings that part the cloth of a kind's blocks best, the likeliest first.

    A drawing fits where each of its patches is of one color on the photograph, and the fewer patches it takes for that
    the better (the Bayesian information criterion, with one color for each patch).

    Parameters
    ----------
    job : Job
    kind : str
        Name of the kind; the commonest when not given.

    Returns
    -------
    tuple of Likely
        At most six; none where the photograph shows no block of the kind, or no two drawings tell it otherwise.
    """
    quilt = job.quilt
    here = open_kind(quilt, kind)
    shown, seen = _seen(job, quilt, here.name)
    if not shown:
        return ()
    drawn = labels_of(here.block)
    found = [(cost_of(seen, drawn), Likely(here.block, 0, False, True, shown[0]), drawn)]
    for block, ways in catalogue_ways():
        costs = [(cost_of(seen, labels), number) for number, labels in ways]
        cost, number = min(costs)
        labels = dict(ways)[number]
        turn, mirrored = MOTIONS[number]
        if not same_parting(labels, drawn):
            found.append(
                (cost, Likely(block.moved(turn, mirrored=mirrored), turn, mirrored, False, shown[0]), labels)
            )
    found.sort(key=lambda each: each[0])
    kept: list[tuple[Likely, NDArray[np.int_]]] = []
    for _, each, labels in found:
        if len(kept) < MOST and not any(same_parting(labels, other) for _, other in kept):
            kept.append((each, labels))
    return tuple(each for each, _ in kept)


def settled(quilt: Quilt, kind: str, name: str, turn: Turn, *, mirrored: bool) -> Quilt:
    """Put a block of the catalogue, as it lies, into the place of one kind, in all of its cells."""
    here = open_kind(quilt, kind)
    block = find(name)
    return with_block(quilt, here.name, block.moved(turn, mirrored=mirrored) if turn or mirrored else block)


def _seen(job: Job, quilt: Quilt, name: str) -> tuple[list[str], Floats]:
    """The blocks of a kind that the photograph shows whole, and their colors in CIELAB, shape (places, blocks x 3)."""
    shown: list[str] = []
    colors: list[Floats] = []
    if job.inputs.photo is None:
        return shown, np.zeros((ACROSS**2, 0))
    from seamlore.steps.study.seen_spots import corners_seen, pixels_at  # opens pictures: slow to import

    look = job.look
    height, width = look.flat.pixels.shape[:2]
    for row, column in quilt.spots:
        cell = quilt.cells[row][column]
        if cell.kind != name or len(shown) == BLOCKS or (corners := corners_seen(look, quilt, row, column)) is None:
            continue
        x, y = pixels_at(look, spots(), cell, corners)
        if ((x >= 0) & (y >= 0) & (x < width) & (y < height)).all():
            shown.append(f"{row},{column}")
            colors.append(srgb_to_lab(look.flat.pixels[y, x] / 255))
    return shown, np.concatenate(colors, axis=1) if colors else np.zeros((ACROSS**2, 0))


def seams_path(block: Block) -> str:
    """Write the seams of a block as the data of one SVG path in a square of 100.

    Examples
    --------
    >>> seams_path(find("four patch")).count("Z")
    4
    """
    return "".join(
        "M" + " ".join(f"{100 * x:.1f} {100 * y:.1f}" for x, y in _points(each.points)) + "Z"
        for each in block.patches
    )


def _points(given: Sequence[Sequence[float]] | Floats) -> list[tuple[float, float]]:
    return [(float(x), float(y)) for x, y in given]
