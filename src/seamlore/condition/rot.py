"""Rot belongs to a fabric: one gentle hand test, carried to every patch of it; and where else to look.

A weak result makes every patch of that fabric suspect, since rot goes first with a cloth and its dye. A sound one counts
only where it was tested, since rot goes then with the place: light along folds, the top edge, a leak (trade.md C2: iron
mordants, shattered silk, tendering; how results are carried: our own rule).
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from seamlore.condition.ground import Ground
from seamlore.condition.kinds import HAND_RESULTS, kind_named
from seamlore.condition.survey import Laid
from seamlore.draft.where import Where, said

Floats = NDArray[np.float64]
TESTED = "hand test"
NAMELESS = "a cloth"
_WEAK = ("weak", "powder")
_MOST_PLACES = 8
# Of its height: what lies so near its top edge hung in the light. Our own judgement.
_TOP = 0.08


@dataclass(frozen=True, slots=True)
class HandTest:
    """One hand test and what it was made on.

    Parameters
    ----------
    result : {"sound", "weak", "powder"}
    fabric : int
        The number of the fabric; -1 where none was read at that place.
    at : Where or None
        The patch, where one was read.
    of : str
        What she calls the fabric.
    """

    result: str
    fabric: int
    at: Where | None
    of: str = ""


@dataclass(frozen=True, slots=True)
class Suspect:
    """A fabric of which every patch is suspect, and the reason; `patches` of it were read, in `blocks`."""

    fabric: int
    called: str
    why: str
    patches: int
    blocks: int


@dataclass(frozen=True, slots=True)
class ToTest:
    """Where to look next: a patch that is already torn, and why there."""

    called: str
    at: Where
    why: str

    @property
    def words(self) -> str:
        """In a sentence without its stop."""
        return f"{self.called}, {said(self.at.row, self.at.column)}: {self.why}"


def patch_at(ground: Ground, points: Floats) -> list[int]:
    """Find the patch under each point of the quilt, -1 where none was read.

    Parameters
    ----------
    ground : Ground
    points : ndarray, shape (n, 2)
        In the quilt's unit.
    """
    import shapely  # slow to import: only where patches are looked up

    found = [-1] * len(points)
    if len(ground.where) and len(points):
        spots = shapely.points(points)
        for point, patch in shapely.STRtree(ground.patch_shapes).query(spots, predicate="intersects").T.tolist():
            found[point] = patch
    return found


def hand_tests(ground: Ground, points: Floats, results: Sequence[str], called: Sequence[str]) -> tuple[HandTest, ...]:
    """Say of each hand test which fabric it was made on."""
    return tuple(
        HandTest(result, int(ground.fabric[patch]), ground.where[patch], name)
        if patch >= 0
        else HandTest(result, -1, None, name)
        for patch, result, name in zip(patch_at(ground, points), results, called, strict=True)
    )


def suspects(ground: Ground, tests: Sequence[HandTest]) -> tuple[Suspect, ...]:
    """Give the fabrics that a test found weak: each of their patches is suspect.

    Examples
    --------
    >>> ground = Ground((2, 1), ((0, 0), (0, 1)), np.zeros((2, 4, 2)), (Where("block", 0, 0, 0), Where("block", 0, 1, 0)),
    ...     (np.zeros((3, 2)),) * 2, np.array([0, 0]), ("brown sprig",))
    >>> suspects(ground, [HandTest("sound", 0, ground.where[0]), HandTest("weak", 0, ground.where[1])])
    (Suspect(fabric=0, called='brown sprig', why='weak when tried at row 1, column 2', patches=2, blocks=2),)
    >>> suspects(ground, [HandTest("sound", 0, ground.where[0])])
    ()
    """
    found = []
    for fabric in sorted({each.fabric for each in tests if each.result in _WEAK and each.fabric >= 0}):
        worst = max(
            (each for each in tests if each.fabric == fabric and each.result in _WEAK),
            key=lambda each: _WEAK.index(each.result),
        )
        here = np.flatnonzero(ground.fabric == fabric)
        blocks = {(ground.where[patch].row, ground.where[patch].column) for patch in here}
        place = f" at {said(worst.at.row, worst.at.column)}" if worst.at else ""
        called = worst.of or ground.fabrics[fabric]
        found.append(Suspect(fabric, called, f"{worst.result} when tried{place}", len(here), len(blocks)))
    return tuple(found)


def not_placed(tests: Sequence[HandTest]) -> tuple[str, ...]:
    """Name the weak cloths of which it was not read where their patches are."""
    found = [each.of or NAMELESS for each in tests if each.result in _WEAK and each.fabric < 0]
    return tuple(dict.fromkeys(found))


def to_test(
    ground: Ground, notes: Sequence[Laid], tests: Sequence[HandTest], folds: Sequence[tuple[int, float]] = ()
) -> tuple[ToTest, ...]:
    """Propose where to look next: only at patches that are already torn, holed or rubbed, one thread that is loose.

    Fabrics that were not tried come first, those with most patches before the rest; then a fabric that was sound once,
    at another place, since a sound thread speaks for its own place alone. Of several torn patches of a fabric the one
    where rot comes sooner is proposed: under a stain or mold, which tell of water; at the top edge and along last year's
    folds, where light fell. Of a fabric found weak nothing more has to be tried.

    Parameters
    ----------
    ground : Ground
    notes : sequence of Laid
    tests : sequence of HandTest
    folds : sequence of (axis, place)
        Last year's folds, 0 for those counted from the left and 1 from the top, in the quilt's unit.
    """
    import shapely  # as above

    broken = [
        each for each in notes if not each.behind and kind_named(each.kind).does == "cloth" and len(each.outline) > 2
    ]
    if not broken or not len(ground.where):
        return ()
    shapes = shapely.buffer([shapely.Polygon(each.outline) for each in broken], 0)
    which, patch = shapely.STRtree(ground.patch_shapes).query(shapes, predicate="intersects")
    torn: dict[int, list[tuple[int, str]]] = defaultdict(list)
    for note, index in zip(which.tolist(), patch.tolist(), strict=True):
        if (fabric := int(ground.fabric[index])) >= 0:
            torn[fabric].append((index, broken[note].kind))
    wet = [each for each in notes if each.kind in ("stain", "mold") and len(each.outline) > 2]
    stained = shapely.union_all(shapely.buffer([shapely.Polygon(each.outline) for each in wet], 0)) if wet else None
    if stained is not None:
        shapely.prepare(stained)
    weak = {each.fabric for each in tests if each.result in _WEAK}
    tried = {each.fabric: each.at for each in tests if each.result == "sound"}
    counts = np.bincount(ground.fabric[ground.fabric >= 0], minlength=len(ground.fabrics))
    found: list[tuple[tuple[bool, int], ToTest]] = []
    for fabric, places in torn.items():
        if fabric in weak:
            continue
        done = tried.get(fabric)
        fresh = [
            (_exposed(ground, each[0], stained, folds), each) for each in places if ground.where[each[0]] != done
        ]
        if not fresh:
            continue
        (_, place), (at, kind) = min(
            fresh, key=lambda each: (each[0][0], ground.outlines[each[1][0]][:, 1].mean(), each[1][0])
        )
        number = int(counts[fabric])
        many = f"{number} patch{'es' * (number != 1)} of it"
        why = (
            f"sound in one place only, and torn here too ({kind})"
            if done
            else f"not tried yet; {many}; torn here ({kind})"
        )
        said_of = ToTest(ground.fabrics[fabric], ground.where[at], f"{why}{place}")
        found.append(((fabric in tried, -number), said_of))
    return tuple(each for _, each in sorted(found, key=lambda each: (each[0], each[1].at))[:_MOST_PLACES])


def _exposed(ground: Ground, patch: int, stained: Any, folds: Sequence[tuple[int, float]]) -> tuple[int, str]:
    """Rank a patch by where rot comes sooner, 0 the soonest, and say so."""
    outline = ground.outlines[patch]
    if stained is not None and stained.intersects(ground.patch_shapes[patch]):
        return 0, "; a stain tells of water"
    low, high = outline.min(axis=0), outline.max(axis=0)
    if low[1] <= _TOP * ground.size[1]:
        return 1, "; at the top edge, where light falls on what hangs"
    if any(low[axis] <= at <= high[axis] for axis, at in folds):
        return 1, "; on a fold, where light and strain come together"
    return 2, ""


def result_words(result: str) -> str:
    """Say what a result means.

    Examples
    --------
    >>> result_words("weak")
    'the thread breaks at a light pull'
    """
    return HAND_RESULTS.get(result, result)
