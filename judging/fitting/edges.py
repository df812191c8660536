"""Fit how sure it is that an edge found is the quilt's: ``python -m judging.fitting.edges``.

Quilts of the tuning set are photographed, every other one cropped so that one or two of its edges lie beyond the
picture, and their edges are found by the ground alone and by the network alone. An edge is right when its line passes
within 1.2 % of the quilt's width of the true one. Prints, beside what is kept in `seamlore.photo.edges.confidence`: the
weights of the evidence; the two bounds below which an edge is taken for a seam; how often all four corners are right by
the product of their chances; how often an edge is right by how well the network sees it; and how often an edge at the
picture's rim ends there. The first fit took 300 quilts for the ground and 233 for the network; its crops were not kept,
so these are others, made anew by the seed that stands here.
"""

from __future__ import annotations

import sys
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from judging.fitting.cases import arguments, gathered, quilt
from judging.fitting.logistic import Flags, Floats, calibration_error, chances, fit, held_back, shares, side_by_side
from judging.truth import Photo
from seamlore.photo.cielab import lab_of
from seamlore.photo.edges import confidence, corners
from seamlore.photo.edges.by_ground import coarse_scene, looked
from seamlore.photo.edges.by_sight import edges_by_sight
from seamlore.photo.edges.network import see_edges
from seamlore.photo.frame import Frame

NAMES = (
    "constant", "how clear", "clear in what part", "inside and outside alike", "quilt and ground alike",
    "likelier quilt inside", "how deep the ground", "grounds alike",
)  # fmt: skip
SEED = 20_251_126
RIDGE = 0.001
NEAR = 0.012
NEAR_CORNERS = 0.01


@dataclass(frozen=True, eq=False)
class Case:
    """One photograph: by the ground, the evidence of each edge and whether it is right; the same by sight.

    `seen` is nan where the network sees no edge and where all four make no quilt; `ends_at_rim` says of those edges whether
    the quilt ends there. `corners_right` says of both ways whether all four are within 1 % of the quilt's width.
    """

    evidence: Floats
    right: Flags
    seen: Floats
    seen_right: Flags
    ends_at_rim: Flags
    corners_right: tuple[bool, bool]


def cropped(photo: Photo, true: Floats, rng: np.random.Generator) -> tuple[Photo, Floats]:
    """Cut a photograph so that one or two edges of the quilt lie beyond it; give it and the corners, moved with it."""
    height, width = photo.shape[:2]
    low, high = np.zeros(2), np.array([width, height], dtype=np.float64)
    size = np.array([np.ptp(true[:, 0]), np.ptp(true[:, 1])])
    for side in rng.choice(4, int(rng.integers(1, 3)), replace=False):
        axis = 1 - side % 2
        inward = float(rng.uniform(0.02, 0.12)) * size[axis]
        if side in (0, 3):
            low[axis] = true[:, axis].min() + inward
        else:
            high[axis] = true[:, axis].max() - inward
    x0, y0 = np.maximum(low, 0).astype(int)
    x1, y1 = np.minimum(high, [width, height]).astype(int)
    return np.ascontiguousarray(photo[y0:y1, x0:x1]), true - [x0, y0]


def off(found: Floats, true: Floats) -> Floats:
    """Give how far each edge found lies from the line of the true one at its ends, in parts of the quilt's width.

    Examples
    --------
    >>> square = np.array([[0, 0], [10, 0], [10, 10], [0, 10.0]])
    >>> off(square + [0, 1], square).tolist()
    [0.1, 0.0, 0.1, 0.0]
    """
    ends = np.roll(true, -1, axis=0)
    along = ends - true
    normal = np.stack([-along[:, 1], along[:, 0]], axis=1) / np.linalg.norm(along, axis=1, keepdims=True)
    width = (np.linalg.norm(along[0]) + np.linalg.norm(along[2])) / 2
    both = [np.abs(((each - true) * normal).sum(axis=1)) for each in (found, np.roll(found, -1, axis=0))]
    return np.asarray(np.maximum(*both) / width)


def case(number: int, long_side_px: int = 1000) -> Case:
    """Look at one photograph in both ways."""
    photo, truth = quilt(number, long_side_px=long_side_px)
    true = np.array(truth.corners)
    if number % 2:
        photo, true = cropped(photo, true, np.random.default_rng([SEED, number]))
    width = float(np.linalg.norm(true[1] - true[0]) + np.linalg.norm(true[2] - true[3])) / 2
    fine = lab_of(photo)

    def all_right(frame: Frame) -> bool:
        away = np.linalg.norm(np.array(frame.corners) - true, axis=1)
        return bool(away.max() <= NEAR_CORNERS * width)

    frame, _, evidence = looked(coarse_scene(fine), fine, np.zeros(4, dtype=bool))
    right = off(np.array(frame.corners), true) <= NEAR
    sight = edges_by_sight(see_edges(photo), fine)
    if sight is None:
        none = np.zeros(4, dtype=bool)
        return Case(evidence, right, np.full(4, np.nan), none, none, (all_right(frame), False))
    by_sight, seen, at_rim = sight
    ends = off(np.array(by_sight.corners), true) <= NEAR
    return Case(
        evidence,
        right,
        np.where(at_rim, np.nan, seen),
        ends & ~at_rim,
        ends & at_rim,
        (all_right(frame), all_right(by_sight)),
    )


def main(words: Sequence[str] | None = None) -> int:
    """Fit and print."""
    given = arguments("judging.fitting.edges", __doc__, 300, words)
    cases = gathered(case, given.count, given.workers)
    table, right = np.concatenate([c.evidence for c in cases]), np.concatenate([c.right for c in cases])
    of = np.repeat(np.arange(len(cases)), 4)
    print(f"By the ground: {len(table)} edges of {len(cases)} photographs, {int(right.sum())} right")
    fitted = fit(table, right, RIDGE)
    for name, said in (
        ("as kept", chances(confidence._WEIGHTS, table)),
        ("fitted, on quilts held back", held_back(table, right, of, RIDGE)),
    ):
        doubted = said < 0.5
        print(
            f"{name}: {doubted[~right].mean():.0%} of false edges under a half, {doubted[right].mean():.0%} of true "
            f"ones; calibration error {calibration_error(said, right):.3f}"
        )
    print("\n" + side_by_side(NAMES, confidence._WEIGHTS, fitted))
    print("\nTaken for a seam when less likely than, and alike by more than: false edges caught, true ones lost")
    said = chances(confidence._WEIGHTS, table)
    for least in (0.1, confidence._NO_EDGE, 0.3):
        for alike in (0.48, confidence._SAME_CLOTH, 0.68):
            taken = (said < least) & ((table[:, 3] > alike) | (table[:, 5] < 0.01))
            print(f"{least:6.2f} {alike:6.2f}  {taken[~right].mean():6.1%} {taken[right].mean():6.1%}")
    product = said.reshape(-1, 4).prod(axis=1)
    all_right = np.array([c.corners_right[0] for c in cases])
    print("\nAll four corners right, by the product of the edges' chances (kept: 0.15 at 0, 0.35 at 0.1, 0.7 at 0.4, "
          "0.85 at 0.6, 0.95 at 1)\n" + shares(product, all_right, (0, 0.05, 0.25, 0.5, 0.8, 1.01)))  # fmt: skip
    seen, seen_right = np.concatenate([c.seen for c in cases]), np.concatenate([c.seen_right for c in cases])
    there = ~np.isnan(seen)
    print(f"\nBy sight: {int(there.sum())} edges seen, right by how well each is (kept: {confidence._SEEN})")
    print(shares(seen[there], seen_right[there], (0.2, 0.45, 0.75, 0.85, 0.9, 0.945, 1.01)))
    sure = there & (seen >= corners._SURE)
    print(
        f"at {corners._SURE} or better {np.mean(seen_right[sure]) if sure.any() else np.nan:.3f} are right, of those seen "
        f"less well {np.mean(seen_right[there & ~sure]) if (there & ~sure).any() else np.nan:.3f}"
    )
    at_rim = np.concatenate([c.ends_at_rim for c in cases])
    unseen = ~there
    print(
        f"of {int(unseen.sum())} edges not seen {at_rim.sum() / max(unseen.sum(), 1):.2f} end at the picture's rim (kept: {confidence._ENDS_AT_RIM})"
    )
    return 0


if __name__ == "__main__":
    sys.exit(main())
