"""A quilt on point with plain blocks between, from its photograph to the draft and its cloths."""

from __future__ import annotations

import io

import pytest
from PIL import Image

from judging.rendering.quilts import make_quilt
from seamlore.draft.where import in_block
from seamlore.steps.fabrics.facts import fabric_facts
from seamlore.steps.fabrics.swatches import fabric_map, swatches
from seamlore.steps.study.inputs import Inputs
from seamlore.steps.study.job import Job
from seamlore.steps.study.sections import Corrections
from seamlore.steps.study.tape import Tape


@pytest.fixture(scope="module")
def job():
    photo, truth = make_quilt(
        101,
        kind="on point",
        design="Pinwheel",
        rows=4,
        columns=3,
        between="plain",
        cut=(0.0,) * 4,
        borders=(4.0,),
        long_side_px=900,
        tilt_deg=0.0,
        clutter=0,
        repieced=0,
        recolored=0,
    )
    file = io.BytesIO()
    Image.fromarray(photo).save(file, "PNG")
    return Job(
        Inputs(
            photo=file.getvalue(),
            corrections=Corrections(corners=tuple(map(tuple, truth.corners))),
            tape=Tape(width="60 in"),
        )
    )


def test_pieced_and_plain_blocks_are_two_kinds_of_the_draft_each_in_its_rows(job):
    assert (job.reading.setting, job.reading.rows, job.reading.columns) == ("on point", 4, 3)
    rows = [[cell.kind for cell in row] for row in job.quilt.cells]
    assert [len(row) for row in rows] == [3, 2, 3, 2, 3, 2, 3]
    pieced, plain = rows[0][0], rows[1][0]
    assert rows == [[pieced] * 3 if number % 2 == 0 else [plain] * 2 for number in range(7)]
    assert len(job.quilt.kind(plain).block.patches) == 1
    assert len(job.quilt.kind(pieced).block.patches) == 8


def test_every_block_between_takes_its_cloth_from_the_photograph(job):
    _, single = job.cloths
    colors = {at: single[at] for row in (1, 3, 5) for column in (0, 1) if (at := in_block(row, column, 0))}
    seen = {spot: fabric.srgb for fabric in job.reading.fabrics for spot in fabric.between}
    assert colors == {in_block(2 * row + 1, column, 0): color for (row, column, _), color in seen.items()}


def test_fabrics_light_up_by_the_outline_of_their_own_kind_and_have_a_swatch(job):
    facts = fabric_facts(job.reading.fabrics)
    lit = fabric_map(job, facts)
    named = [spot for fabric in lit["fabrics"] for spot in fabric["patches"]]
    assert len(named) == len(set(named)) == 12 * 8 + 6
    assert set(named) == set(lit["patches"])
    assert {spot.rsplit(",", 1)[0] for spot in named} == set(lit["blocks"])
    # A plain block is its patch; of a pinwheel each patch is an eighth.
    for spot, ring in lit["patches"].items():
        part = area(ring) / area(lit["blocks"][spot.rsplit(",", 1)[0]])
        assert part == pytest.approx(1 if spot.startswith("b") else 1 / 8, abs=0.02)
    assert len(swatches(job)) == len(facts)
    assert sum(each.patches for each in facts) == len(named)


def area(ring):
    return abs(sum(x0 * y1 - x1 * y0 for (x0, y0), (x1, y1) in zip(ring, ring[1:] + ring[:1], strict=True))) / 2
