"""Results kept by what they rest on."""

from __future__ import annotations

import threading

import numpy as np
import pytest

from seamlore.steps.study.memo import Memo


def test_a_memo_works_a_thing_out_once_and_forgets_the_oldest():
    calls = []
    memo = Memo(most=2)
    for key in ["a", "b", "a", "c", "a", "b"]:
        memo.get(key, lambda key=key: calls.append(key))
    assert calls == ["a", "b", "c", "b"]


def test_work_that_fails_is_tried_again():
    memo = Memo()
    with pytest.raises(ZeroDivisionError):
        memo.get("x", lambda: 1 / 0)
    assert memo.get("x", lambda: 5) == 5


def test_two_who_ask_at_the_same_time_wait_for_one_piece_of_work():
    memo, worked, gate = Memo(), [], threading.Event()

    def work():
        worked.append(1)
        gate.wait(5)
        return "done"

    found = []
    threads = [threading.Thread(target=lambda: found.append(memo.get("key", work))) for _ in range(3)]
    for each in threads:
        each.start()
    gate.set()
    for each in threads:
        each.join(5)
    assert (found, worked) == (["done"] * 3, [1])


def test_pictures_count_by_their_size_wherever_they_lie_and_the_newest_is_kept_even_if_it_is_too_large():
    memo = Memo(most_bytes=1000)
    memo.get("words", lambda: "small")
    memo.get("pictures", lambda: [(np.zeros(600, np.uint8),), b"x" * 600])
    assert (memo.holds("words"), memo.holds("pictures")) == (False, True)
