"""How many patches can be of one fabric, against trying all choices of them."""

from itertools import combinations

import numpy as np
from hypothesis import given, settings
from hypothesis import strategies as st

from seamlore.placing.apart import most_apart


def largest(count, pairs):
    """Outside oracle: the largest choice of patches without a touching pair, by trying all from the largest down."""
    for size in range(count, -1, -1):
        for chosen in combinations(range(count), size):
            if not any(one in chosen and two in chosen for one, two in pairs):
                return size
    return 0


def as_array(pairs):
    return np.array(sorted(pairs), int).reshape(-1, 2)


@given(st.integers(1, 9).flatmap(lambda n: st.tuples(st.just(n), st.sets(st.tuples(st.integers(0, n - 1), st.integers(0, n - 1))
       .filter(lambda pair: pair[0] < pair[1])))))  # fmt: skip
@settings(max_examples=150, deadline=None)
def test_no_choice_is_larger_than_the_bound(made):
    count, pairs = made
    assert largest(count, pairs) <= most_apart(count, as_array(pairs))


@given(st.sets(st.tuples(st.integers(0, 4), st.integers(5, 9))))
@settings(max_examples=150, deadline=None)
def test_where_patches_part_into_two_sides_the_bound_is_reached(pairs):
    # Theorem of König: in such a case as many stand apart as the largest pairing leaves.
    assert most_apart(10, as_array(pairs)) == largest(10, pairs)


def test_a_checkerboard_holds_half_of_its_squares_the_larger_half_when_odd():
    for rows, columns in ((24, 24), (5, 7), (1, 9)):
        pairs = {
            (row * columns + column, row * columns + column + 1)
            for row in range(rows)
            for column in range(columns - 1)
        } | {
            (row * columns + column, (row + 1) * columns + column)
            for row in range(rows - 1)
            for column in range(columns)
        }
        assert most_apart(rows * columns, as_array(pairs)) == -(-rows * columns // 2)
