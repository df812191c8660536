"""Every block of the catalogue: sewn in the simulator, pressed at its best, and told in a booklet from cutting to finish."""

from __future__ import annotations

from dataclasses import replace

import pytest

from judging.making.booklets import DAY, of_block, untold
from seamlore.draft.catalogue import all_blocks
from seamlore.making.plan import plan
from seamlore.sewing.pressing import pressed_pieces
from seamlore.sewing.top import sewn_top
from seamlore.steps.booklet import booklet_content

from .simulator import near, sew
from .test_steps import crossings

FOOT = 12.0


def content_of(quilt):
    return booklet_content(plan(quilt), printed=DAY)


@pytest.mark.parametrize("given", all_blocks(), ids=lambda given: given.name)
def test_order_pressing_and_booklet_of_every_catalogue_block(given):
    quilt = of_block(given.name)
    (made,) = sewn_top(quilt).blocks
    if made.steps:
        assert_sewn_edge_to_edge(given, made)
        assert_pressed_at_its_best(given, made)
    assert untold(content_of(quilt)) == []


def assert_sewn_edge_to_edge(given, made):
    ring = sew([part.outline for part in made.group.parts], made.group.labels, made.steps)
    assert len(ring) == 4
    assert all(any(near(at, corner) for at in ring) for corner in ((0, 0), (FOOT, 0), (FOOT, FOOT), (0, FOOT)))
    # Seams turn only where they must.
    turns = sum(
        (len(seam.path) - 2 + (seam.manner == "mitered")) * step.count
        for step in made.steps
        for seam in step.seams
        if seam.manner in ("set in", "mitered")
    )
    assert turns == crossings(given)


def assert_pressed_at_its_best(given, made):
    places = given.places
    best = pressed_pieces(
        tuple(part.outline for part in made.group.parts),
        made.group.labels,
        tuple(places[part.place].value for part in made.group.parts),
    )
    assert best.pressed.value == best.pressed.bound
    # What lies beside its neighbors otherwise has no more seams that do not nest.
    assert len(made.pressed.clashes) == len(best.pressed.clashes)
    # What the steps mark is what was counted.
    assert sum(len(step.clashes) for step in best.steps) <= len(best.pressed.clashes)
    assert any(step.clashes for step in best.steps) == bool(best.pressed.clashes)
    for (first, second), way in zip(best.met.crowd, best.pressed.ways, strict=True):
        assert way == "open" or first == second or (way == "first") == (first < second)


@pytest.fixture(scope="module")
def shoo():
    return content_of(of_block("Shoo Fly"))


def test_a_step_left_out_and_a_piece_never_sewn_are_found(shoo):
    (block,) = shoo.blocks
    fewer = replace(shoo, blocks=(replace(block, steps=block.steps[1:]),))
    assert any("do not balance" in each for each in untold(fewer))
    assert "A1 is cut and never sewn" in untold(fewer)
    mute = replace(shoo, blocks=(replace(block, steps=(replace(block.steps[0], words=()), *block.steps[1:])),))
    assert "The block, unit 1: not told" in untold(mute)
    assert untold(replace(shoo, layout=())) == ["nothing is told of layout"]
