"""The drawings that fit a kind of block best over the photograph, to be chosen from with one tap."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from seamlore.color.lab import srgb_to_lab
from seamlore.draft.block import Block
from seamlore.draft.catalogue import all_blocks, find
from seamlore.draft.cells import with_block
from seamlore.draft.exact.lookup import move_spots, patches_at, sides
from seamlore.draft.quilt import Quilt
from seamlore.steps.draft.open_kind import open_kind
from seamlore.steps.study.job import Job

Floats = NDArray[np.float64]
Turn = Literal[0, 90, 180, 270]

# So many are shown.
MOST = 6
# A block is looked at in so many places across and down, and at most so many blocks of a kind.
_ACROSS = 24
_BLOCKS = 8
# A print reaches over about three places across and down: so many count for one (own judgment).
_TOGETHER = 9
TURNS: tuple[Turn, ...] = (0, 90, 180, 270)
_MOTIONS: tuple[tuple[Turn, bool], ...] = (
    (0, False), (90, False), (180, False), (270, False), (0, True), (90, True), (180, True), (270, True),
)  # fmt: skip


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
    drawn = _labels(here.block)
    found = [(_cost(seen, drawn), Likely(here.block, 0, False, True, shown[0]), drawn)]
    for block, ways in _catalogue():
        costs = [(_cost(seen, labels), number) for number, labels in ways]
        cost, number = min(costs)
        labels = dict(ways)[number]
        turn, mirrored = _MOTIONS[number]
        if not _same(labels, drawn):
            found.append(
                (cost, Likely(block.moved(turn, mirrored=mirrored), turn, mirrored, False, shown[0]), labels)
            )
    found.sort(key=lambda each: each[0])
    kept: list[tuple[Likely, NDArray[np.int_]]] = []
    for _, each, labels in found:
        if len(kept) < MOST and not any(_same(labels, other) for _, other in kept):
            kept.append((each, labels))
    return tuple(each for each, _ in kept)


def settled(quilt: Quilt, kind: str, name: str, turn: Turn, *, mirrored: bool) -> Quilt:
    """Put a block of the catalogue, as it lies, into the place of one kind, in all of its cells."""
    here = open_kind(quilt, kind)
    block = find(name)
    return with_block(quilt, here.name, block.moved(turn, mirrored=mirrored) if turn or mirrored else block)


def _spots() -> Floats:
    ticks = (np.arange(_ACROSS) + 0.5) / _ACROSS
    return np.stack(np.meshgrid(ticks, ticks), axis=-1).reshape(-1, 2)


def _seen(job: Job, quilt: Quilt, name: str) -> tuple[list[str], Floats]:
    """The blocks of a kind that the photograph shows whole, and their colors in CIELAB, shape (places, blocks x 3)."""
    shown: list[str] = []
    colors: list[Floats] = []
    if job.inputs.photo is None:
        return shown, np.zeros((_ACROSS**2, 0))
    from seamlore.steps.study.seen_spots import corners_seen, pixels_at  # opens pictures: slow to import

    look = job.look
    height, width = look.flat.pixels.shape[:2]
    for row, column in quilt.spots:
        cell = quilt.cells[row][column]
        if cell.kind != name or len(shown) == _BLOCKS or (corners := corners_seen(look, quilt, row, column)) is None:
            continue
        x, y = pixels_at(look, _spots(), cell, corners)
        if ((x >= 0) & (y >= 0) & (x < width) & (y < height)).all():
            shown.append(f"{row},{column}")
            colors.append(srgb_to_lab(look.flat.pixels[y, x] / 255))
    return shown, np.concatenate(colors, axis=1) if colors else np.zeros((_ACROSS**2, 0))


def _labels(block: Block) -> NDArray[np.int_]:
    """Which patch lies at each place."""
    labels = np.full(_ACROSS**2, -1)
    # A little aside, so that no place lies on a seam.
    for patch, spot in patches_at(sides(block), _spots() + np.array([1e-4, 2.3e-4])):
        labels[spot] = patch
    return labels


@cache
def _catalogue() -> tuple[tuple[Block, tuple[tuple[int, NDArray[np.int_]], ...]], ...]:
    """Every block of the catalogue, and what lies where in each way of lying that differs."""
    moved = [np.rint(move_spots(_spots(), turn, mirrored) * _ACROSS - 0.5).astype(int) for turn, mirrored in _MOTIONS]
    found = []
    for block in all_blocks():
        labels = _labels(block)
        ways: list[tuple[int, NDArray[np.int_]]] = []
        for number, (x, y) in enumerate(each.T for each in moved):
            lying = np.empty_like(labels)
            lying[y * _ACROSS + x] = labels
            if not any(_same(lying, other) for _, other in ways):
                ways.append((number, lying))
        found.append((block, tuple(ways)))
    return tuple(found)


def _same(one: NDArray[np.int_], two: NDArray[np.int_]) -> bool:
    """Whether two drawings part a block alike, whatever their patches are numbered."""
    both = len(np.unique(one * 4096 + two))
    return both == len(np.unique(one)) == len(np.unique(two))


def _cost(seen: Floats, labels: NDArray[np.int_]) -> float:
    order = np.argsort(labels, kind="stable")
    firsts = np.flatnonzero(np.diff(labels[order], prepend=-2))
    counts = np.diff([*firsts, len(labels)])[:, None]
    sums = np.add.reduceat(seen[order], firsts, axis=0)
    left = (seen**2).sum() - (sums**2 / counts).sum()
    places = len(labels) / _TOGETHER
    # Each block has fabrics of its own: as many colors as patches in each.
    blocks = seen.shape[1] / 3
    return float(blocks * (3 * places * np.log(max(left / seen.size, 1e-6)) + 3 * len(firsts) * np.log(places)))


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
