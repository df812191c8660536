"""The largest circle that nothing holds, against trying every place."""

from __future__ import annotations

from itertools import combinations

import numpy as np
import pytest

from seamlore.condition.circle import farthest_first, largest_empty


def by_force(size, points):
    """The middle lies at a corner, on the rim between two points, or between three: all of these are tried."""
    width, height = size
    tried = [(0, 0), (width, 0), (0, height), (width, height)]
    for (ax, ay), (bx, by) in combinations(points, 2):
        # Equally far from both: 2 (b - a) . p = |b|^2 - |a|^2.
        nx, ny, c = 2 * (bx - ax), 2 * (by - ay), bx**2 + by**2 - ax**2 - ay**2
        tried += [(x, (c - nx * x) / ny) for x in (0, width) if ny]
        tried += [((c - ny * y) / nx, y) for y in (0, height) if nx]
    for one, two, three in combinations(points, 3):
        left = 2 * np.array([np.subtract(two, one), np.subtract(three, one)])
        right = np.array([np.dot(two, two) - np.dot(one, one), np.dot(three, three) - np.dot(one, one)])
        if abs(np.linalg.det(left)) > 1e-12:
            tried.append(tuple(np.linalg.solve(left, right)))
    spots = np.array(tried)
    spots = spots[((spots >= 0) & (spots <= size)).all(axis=1)]
    return np.hypot(*(spots[:, None] - points[None]).transpose(2, 0, 1)).min(axis=1).max()


def test_on_500_random_sets_of_ties_it_is_the_largest():
    rng = np.random.default_rng(20261130)
    for number in range(500):
        size = tuple(rng.uniform(5, 90, 2))
        points = rng.uniform(0, 1, (1 + number % 8, 2)) * size
        found = largest_empty(size, points)
        assert found.radius == pytest.approx(by_force(size, points), rel=1e-9), (number, size, points)
        assert np.hypot(*(points - [found.x, found.y]).T).min() == pytest.approx(found.radius, rel=1e-9)


def test_with_lines_and_a_bound_edge_no_mark_of_a_fine_grid_lies_farther_away():
    from shapely import LineString, MultiLineString, MultiPoint, box, distance, points, union_all

    rng = np.random.default_rng(7)
    for number in range(20):
        size = tuple(rng.uniform(8, 20, 2))
        ties = rng.uniform(0, 1, (number % 5, 2)) * size
        lines = [rng.uniform(0, 1, (3, 2)) * size for _ in range(1 + number % 4)]
        edge = bool(number % 2)
        found = largest_empty(size, ties, lines, edge_holds=edge)
        holds = [MultiPoint(ties), MultiLineString([LineString(each) for each in lines])]
        holds += [box(0, 0, *size).exterior] * edge
        step = 0.2
        marks = np.stack(np.meshgrid(*(np.arange(0, side, step) for side in size)), axis=-1).reshape(-1, 2)
        farthest = distance(points(marks), union_all(holds)).max()
        assert farthest <= found.radius + 1e-5 * max(size)
        # Between marks nothing lies farther away by more than half a mark's diagonal.
        assert found.radius <= farthest + step
        assert distance(points(found.x, found.y), union_all(holds)) == pytest.approx(found.radius, abs=1e-9)


def test_between_even_lines_it_is_as_wide_as_they_lie_apart():
    lines = [np.array([[0, y], [72, y]], dtype=float) for y in range(1, 80, 2)]
    assert largest_empty((72, 80), np.zeros((0, 2)), lines).across == pytest.approx(2, abs=1e-4)


def test_between_ties_in_squares_it_is_as_wide_as_their_diagonal():
    ties = np.stack(np.meshgrid(2 + 4 * np.arange(18), 2 + 4 * np.arange(20)), axis=-1).reshape(-1, 2)
    for edge in (False, True):
        assert largest_empty((72, 80), ties, edge_holds=edge).across == pytest.approx(4 * np.sqrt(2), abs=1e-4)


def test_ties_put_in_leave_nothing_wider_than_asked_for():
    size, reach = (30, 40), 4.0
    old = np.array([[3.0, 3], [20, 30]])
    new = farthest_first(size, old, (), reach, 500)
    assert largest_empty(size, np.vstack([old, new])).radius <= reach * (1 + 1 / 6)
