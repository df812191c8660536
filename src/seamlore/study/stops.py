"""Where a fabric stops and another begins: told only where blocks shuffled at random would hardly ever do so."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

import numpy as np
from numpy.typing import ArrayLike, NDArray

Ints = NDArray[np.int64]
Floats = NDArray[np.float64]
# Fewer blocks of one fabric can stand on one side by chance alone.
LEAST = 5
# So many shuffles; the least that can be told is one in ten thousand. Fixed, so that the same quilt says the same.
SHUFFLES = 9_999
_AT_ONCE = 500
_SEED = 20261130
# Beyond the line a fabric may still have so large a part of its blocks: a patch misread, or a repair.
_STRAYS = 0.06
# What takes its place has at least so large a part of its own blocks there.
_BEGINS = 0.8


@dataclass(frozen=True, slots=True)
class Stop:
    """A fabric that stops.

    Parameters
    ----------
    fabric : int
    along : {"rows", "columns"}
        What is counted to where it stops.
    at : int
        It stands in those before this one, counted from 0, or, where not `before`, in this one and those after it.
    before : bool
    inside, of_inside, strays : int
        In how many blocks it stands on its side, of how many there, and in how many beyond.
    substitute : int or None
        The fabric that begins where it stops.
    p : float
        In which part of all shuffles any fabric stopped as sharply.
    """

    fabric: int
    along: Literal["rows", "columns"]
    at: int
    before: bool
    inside: int
    of_inside: int
    strays: int
    substitute: int | None
    p: float


def find_stop(rows: ArrayLike, columns: ArrayLike, fabrics: ArrayLike, *, shuffles: int = SHUFFLES) -> Stop | None:
    """Find the fabric that stops most sharply at a line between rows or columns, if any does.

    Parameters
    ----------
    rows, columns : array_like of int, shape (n,)
        Where each block lies.
    fabrics : array_like of int, shape (n,)
        Which fabric it has in one place; one for each block, as patches of one block are cut together and tell once.
    shuffles : int
        So many times the fabrics are dealt out anew over the blocks.

    Returns
    -------
    Stop or None
        Whatever its p; who tells it asks for less than 1 in 100.

    Notes
    -----
    How sharply a fabric stops is the likelihood ratio (G) of its blocks and all others before and after a line; the
    largest over all fabrics and lines is compared with the largest of each shuffle, so that looking in many places is
    paid for (Westfall and Young's maximum, from memory). p counts the quilt itself among the shuffles.

    Examples
    --------
    >>> rows, columns = np.divmod(np.arange(48), 6)
    >>> found = find_stop(rows, columns, np.where(rows < 5, 0, 1))
    >>> found.along, found.at, found.inside, found.substitute, found.p < 0.01
    ('rows', 5, 30, 1, True)
    >>> find_stop([0, 1], [0, 0], [0, 1]) is None
    True
    """
    at = np.stack([np.asarray(rows, dtype=np.int64), np.asarray(columns, dtype=np.int64)])
    names, label = np.unique(np.asarray(fabrics, dtype=np.int64), return_inverse=True)
    often = np.flatnonzero(np.bincount(label, minlength=len(names)) >= LEAST)
    lines = [(axis, line) for axis in (0, 1) for line in np.unique(at[axis])[1:]]
    if not len(often) or not lines:
        return None
    before = np.array([at[axis] < line for axis, line in lines], dtype=np.float64)
    # A line that leaves too little on a side tells nothing.
    wide = (before.sum(axis=1) >= LEAST) & ((1 - before).sum(axis=1) >= LEAST)
    if not wide.any():
        return None
    before, lines = before[wide], [each for each, keep in zip(lines, wide, strict=True) if keep]
    held = (label[:, None] == often[None]).astype(np.float64)
    sharp = _sharpness(before[None], held)[0]
    line, which = np.unravel_index(int(np.argmax(sharp)), sharp.shape)
    p = _chance(before, held, float(sharp.max()), shuffles)
    return _stop(at, label, lines[int(line)], int(often[which]), names, p)


def _sharpness(before: Floats, held: Floats) -> Floats:
    """G of each fabric at each line; shape (shuffles, lines, fabrics)."""
    n = held.shape[0]
    left = before.sum(axis=2)[..., None]
    all_of = held.sum(axis=0)
    inside = before @ held
    found = np.zeros_like(inside)
    for count, row, column in (
        (inside, left, all_of),
        (all_of - inside, n - left, all_of),
        (left - inside, left, n - all_of),
        (n - left - all_of + inside, n - left, n - all_of),
    ):
        expected = row * column / n
        with np.errstate(divide="ignore", invalid="ignore"):
            found += np.where(count > 0, count * np.log(count / expected), 0.0)
    return 2 * found


def _chance(before: Floats, held: Floats, seen: float, shuffles: int) -> float:
    draw = np.random.default_rng(_SEED)
    as_sharp, done = 0, 0
    while done < shuffles:
        size = min(_AT_ONCE, shuffles - done)
        dealt = np.stack([before[:, draw.permutation(before.shape[1])] for _ in range(size)])
        as_sharp += int((_sharpness(dealt, held).max(axis=(1, 2)) >= seen - 1e-9).sum())
        done += size
        # Beyond this it is far from 1 in 100, whatever the rest says.
        if as_sharp > 50 and as_sharp > 0.05 * done:
            break
    return (1 + as_sharp) / (1 + done)


def _stop(at: Ints, label: Ints, line: tuple[int, int], fabric: int, names: Ints, p: float) -> Stop | None:
    axis, where = line
    first = at[axis] < where
    mine = label == fabric
    before = bool((mine & first).sum() >= (mine & ~first).sum())
    side = first if before else ~first
    inside, strays = int((mine & side).sum()), int((mine & ~side).sum())
    if strays > _STRAYS * (inside + strays):
        return None
    beyond = np.bincount(label[~side], minlength=len(names))
    everywhere = np.bincount(label, minlength=len(names))
    begins = [
        each for each in np.argsort(-beyond, kind="stable")
        if each != fabric and beyond[each] >= LEAST and beyond[each] >= _BEGINS * everywhere[each]
    ]  # fmt: skip
    substitute = int(names[begins[0]]) if begins else None
    along: Literal["rows", "columns"] = "rows" if axis == 0 else "columns"
    return Stop(int(names[fabric]), along, int(where), before, inside, int(side.sum()), strays, substitute, p)
