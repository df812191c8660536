"""The checker itself: it must see what is wrong."""

from __future__ import annotations

from typing import Any

import pytest

from tests.packing.replay import cut_apart, faults

ROWS = [{"fabric": "A", "piece": "p", "width": "2", "height": "1", "count": "2", "may_turn": "no"}]


def place(x: float, y: float, width: float = 2, height: float = 1, turned: bool = False) -> dict[str, Any]:
    """One piece where it lies."""
    return {"piece": "p", "x": x, "y": y, "width": width, "height": height, "turned": turned}


def record(*places: dict[str, Any], length: float = 2, least: float = 1) -> dict[str, Any]:
    """An answer for one fabric."""
    return {"fabrics": [{"fabric": "A", "width": 4, "length": length, "least_length": least, "places": list(places)}]}


def test_a_right_answer_has_no_faults() -> None:
    assert faults(record(place(0, 0), place(2, 0)), ROWS) == []


@pytest.mark.parametrize(
    ("wrong", "said"),
    [
        (record(place(0, 0), place(1, 0)), "edge to edge"),
        (record(place(0, 0), place(3, 0)), "edge to edge"),
        (record(place(0, 0)), "too few"),
        (record(place(0, 0), place(2, 0), place(0, 1)), "too many"),
        (record(place(0, 0), place(2, 0, 1, 2, turned=True)), "is cut"),
        (record(place(0, 0), place(2, 0, 1.5)), "is cut"),
        (record(place(0, 0), place(2, 0), least=3), "bound"),
    ],
)
def test_a_wrong_answer_is_seen(wrong: dict[str, Any], said: str) -> None:
    assert any(said in fault for fault in faults(wrong, ROWS))


def test_a_pinwheel_cannot_be_cut_edge_to_edge() -> None:
    # Four pieces around a square: no straight line from edge to edge misses them all.
    pinwheel = [place(0, 0, 2, 1), place(2, 0, 1, 2), place(1, 2, 2, 1), place(0, 1, 1, 2)]
    assert not cut_apart(pinwheel, 3, 3)
