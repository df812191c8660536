"""A print that runs one way: what falls is cut out of the diagrams by a geometry library, and held against the quilt as it stands."""

from __future__ import annotations

from collections import Counter
from dataclasses import replace
from itertools import pairwise

import pytest
from shapely import affinity
from shapely.geometry import LineString, Polygon, box
from shapely.ops import split

from seamlore.draft.catalogue import find
from seamlore.draft.kinds import Turned
from seamlore.draft.layout import lay
from seamlore.draft.repeated import repeated
from seamlore.draft.setting.setting import OnPoint
from seamlore.draft.text.notation import read_block
from seamlore.fabric.stash_text import read_stash
from seamlore.lengths import inches
from seamlore.making.methods import Methods
from seamlore.making.plan import plan
from seamlore.steps.cutting.drawn import laid_of
from seamlore.steps.cutting.of_plan import cut_plan
from seamlore.steps.cutting.wanted import Wishes

SEAM = 0.25
# A hair: strips are rounded up to marks, and outlines are floats.
HAIR = 1e-6


def from_0(polygon: Polygon) -> Polygon:
    left, top, *_ = polygon.bounds
    return affinity.translate(polygon, -left, -top)


def fallen(laid) -> list[Polygon]:
    """What falls of a diagram: every piece, cut from corner to corner or along its slants as it is drawn; the print runs up."""
    found = []
    for each in laid.pieces:
        parts = [box(each.x, each.y, each.x + each.width, each.y + each.height)]
        left, top, right, bottom = parts[0].bounds
        lines = [((left, bottom), (right, top))] if each.then in ("/", "x") else []
        lines += [((left, top), (right, bottom))] if each.then in ("\\", "x") else []
        if each.slants:
            for (u0, l0), (u1, l1) in pairwise(each.slants):
                corners = (
                    [(left, bottom - u0), (right, bottom - l0), (right, bottom - l1), (left, bottom - u1)]
                    if each.upright
                    else [(left + u0, top), (left + u1, top), (left + l1, bottom), (left + l0, bottom)]
                )
                found.append(Polygon(corners))
            continue
        for line in lines:
            parts = [piece for part in parts for piece in split(part, LineString(line)).geoms]
        found += parts
    return [from_0(each) for each in found]


def holds(cut: Polygon, patch: Polygon) -> bool:
    """Whether a patch with its seam all round lies in a cut piece as it stands; points may be trimmed."""
    left = cut.buffer(-SEAM + HAIR, join_style="mitre", mitre_limit=50)
    if left.is_empty:
        return False
    slack = [(left.bounds[2 + at] - left.bounds[at]) - (patch.bounds[2 + at] - patch.bounds[at]) for at in (0, 1)]
    ways = [
        affinity.translate(patch, left.bounds[0] + dx * slack[0], left.bounds[1] + dy * slack[1])
        for dx in (0, 0.5, 1)
        for dy in (0, 0.5, 1)
    ]
    return min(slack) > -HAIR and any(left.buffer(HAIR).covers(way) for way in ways)


def looked_at(quilt, fabric: str, **more):
    """Each different patch of a fabric as it stands in the quilt, how many there are, and how many that hold it fall."""
    stash = read_stash(f"{fabric}: one-way")
    made = plan(quilt, prints=stash.prints, **more)
    [mine] = [each for each in cut_plan(made, Wishes(stash=stash)) if each.cut.name == fabric]
    drawn = Counter()
    for laid in laid_of(mine):
        for piece in fallen(laid):
            drawn[tuple((round(x, 6), round(y, 6)) for x, y in piece.exterior.coords)] += int(laid.said.split()[1])
    wanted, shapes = Counter(), {}
    for patch in lay(quilt):
        if patch.fabric == fabric:
            ring = from_0(Polygon(patch.outline))
            key = next(
                (k for k, known in shapes.items() if known.symmetric_difference(ring).area < 1e-4), len(shapes)
            )
            shapes[key] = ring
            wanted[key] += 1
    found = [
        (shapes[key], count, sum(times for ring, times in drawn.items() if holds(Polygon(ring), shapes[key])))
        for key, count in wanted.items()
    ]
    return made, mine, found


SLANT = read_block("block Slant\nA dark\nB light\ndivisions 2\npatch A 0,0 1,0 0,2\npatch B 1,0 2,0 2,2 0,2")


@pytest.mark.parametrize(
    ("block", "fabric"),
    [("shoo fly", "Fabric A"), ("dutchman's puzzle", "Fabric A"), ("fifty-four forty or fight", "Fabric B"),
     ("lemoyne star", "Fabric A"), ("spool", "Fabric A"), ("kaleidoscope", "Fabric A")],
)  # fmt: skip
def test_every_piece_of_a_one_way_print_stands_as_in_the_quilt(block, fabric):
    _, _, found = looked_at(repeated("q", find(block), inches(12), inches(12), 1, 1), fabric)
    for patch, wanted, cut in found:
        assert cut >= wanted, (list(patch.exterior.coords), wanted, cut)


def turned(quilt, *turns):
    cells = tuple(
        tuple(replace(cell, lies=turns[(r + c) % len(turns)]) for c, cell in enumerate(row))
        for r, row in enumerate(quilt.cells)
    )
    return replace(quilt, cells=cells)


@pytest.mark.parametrize(
    "turns", [(Turned(0),), (Turned(0), Turned(90)), (Turned(180), Turned(0, True), Turned(270))]
)
def test_strips_of_slanting_pieces_lie_as_the_blocks_are_turned(turns):
    quilt = turned(repeated("q", SLANT, inches(8), inches(8), 2, 3), *turns)
    for fabric in ("Fabric A", "Fabric B"):
        for _, wanted, cut in looked_at(quilt, fabric)[2]:
            assert cut >= wanted


def test_triangles_along_the_edge_stand_with_their_long_side_on_it():
    nine = read_block("block Nine\nA dark\nB light\n\nA B A\nB A B\nA B A")
    quilt = repeated("q", nine, inches(6), inches(6), 2, 3, setting=OnPoint())
    _, mine, found = looked_at(quilt, "setting triangle")
    # Four corners, two sides along top and bottom, one at left and right: squares by the commonest of each.
    assert [(wanted, cut >= wanted) for _, wanted, cut in found] == [(each, True) for _, each, _ in found]
    assert sum(wanted for _, wanted, _ in found) == 4 + 2 * 2 + 2 * 1
    corners = [cut for cut in mine.need.cuts if cut.shape == "half-square triangle"]
    assert sorted((cut.shaped.diagonal, cut.count) for cut in corners) == [("/", 1), ("\\", 1)]
    assert any("Blocks on point" in note for note in mine.notes)
    # By hand: of the quarter squares two are wanted with the long side at the top, so two squares, two triangles over.
    [sides] = [cut for cut in mine.need.cuts if cut.shape == "quarter-square triangle"]
    assert (sides.count, sides.spare) == (2, 2)


def test_what_standing_upright_costs_is_said():
    half = read_block("block Half\nA dark\nB light\n\nA/B")
    quilt = repeated("q", half, inches(6), inches(6), 5, 6)
    made, mine, [(_, wanted, cut)] = looked_at(quilt, "Fabric A")
    # By hand: 30 triangles that all stand one way take 30 squares of 6 7/8 in, six to a strip; turned they took 15.
    assert (wanted, cut, mine.need.cuts[0].count) == (30, 30, 30)
    assert mine.cut.length == inches("55/8") * 5
    [said] = [note for note in mine.notes if "costs" in note]
    assert "30 pieces more that are left over" in said
    assert "1 yd, not the 5/8 yd" in said
    assert "Fabric B" not in {need.fabric for need in made.turning}


def test_units_with_a_one_way_print_are_made_one_at_a_time():
    quilt = repeated("q", find("shoo fly"), inches(9), inches(9), 2, 2)
    made, mine, found = looked_at(quilt, "Fabric A", methods=Methods("two"))
    assert not made.batches
    assert all(cut >= wanted for _, wanted, cut in found)
    assert any("made one at a time" in note for note in mine.notes)
    assert plan(quilt, methods=Methods("two")).batches
    assert plan(quilt, methods=Methods("two"), prints=read_stash("Fabric Z: one-way").prints).batches


def test_what_stands_aslant_or_off_the_grain_is_said():
    tilted = read_block(
        "block Tilted\nA dark\nB light\ndivisions 2\npatch A 1,0 2,1 1,2 0,1\npatch B 0,0 1,0 0,1\n"
        "patch B 1,0 2,0 2,1\npatch B 2,1 2,2 1,2\npatch B 0,1 1,2 0,2"
    )
    notes = looked_at(repeated("q", tilted, inches(12), inches(12), 1, 1), "Fabric A")[1].notes
    assert any("A1: aslant in the block" in note for note in notes)
    notes = looked_at(repeated("q", find("kaleidoscope"), inches(12), inches(12), 1, 1), "Fabric A")[1].notes
    assert any("A1: upright, no side lies on the straight grain" in note for note in notes)


def test_as_many_squares_are_cut_as_the_commoner_way_takes():
    half = read_block("block Half\nA dark\nB light\n\nA/B")
    quilt = turned(repeated("q", half, inches(6), inches(6), 2, 6), Turned(0), Turned(0), Turned(180))
    _, mine, found = looked_at(quilt, "Fabric A")
    assert sorted(wanted for _, wanted, _ in found) == [4, 8]
    assert all(cut >= wanted for _, wanted, cut in found)
    assert [(cut.count, cut.spare) for cut in mine.need.cuts] == [(8, 4)]


def test_a_strip_of_few_templates_is_drawn_within_its_bounds():
    # Spikes 2 in wide and 8 in high that lie on their side: two to a strip 4 in long and more than 8 in wide.
    spikes = read_block(
        "block Spike\nA dark\nB light\ndivisions 8\npatch A 0,8 1,0 2,8\npatch B 0,0 1,0 0,8\npatch B 1,0 8,0 8,8 2,8"
    )
    quilt = turned(repeated("q", spikes, inches(8), inches(8), 2, 4), Turned(90), Turned(270))
    _, mine, found = looked_at(quilt, "Fabric A")
    [cut] = mine.need.cuts
    assert cut.nest.run(cut.yields) < cut.nest.depth
    assert all(fall >= wanted for _, wanted, fall in found)
    for laid in laid_of(mine):
        for strip in laid.pieces:
            assert all(max(slant) <= (strip.height if strip.upright else strip.width) for slant in strip.slants)
