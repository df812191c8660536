"""A test quilt seen straight from above, and the reading that a truth deserves."""

from __future__ import annotations

from collections.abc import Callable

import pytest

from judging.rendering.quilts import make_quilt
from judging.truth import Photo, Truth
from seamlore.photo.reading import Confidence, Reading

PLAIN = {
    "tilt_deg": 0.0,
    "swing_deg": 0.0,
    "roll_deg": 0.0,
    "lens": 0.0,
    "drape": 0.0,
    "clutter": 0,
    "long_side_px": 500,
}


@pytest.fixture(scope="session")
def plain_quilt() -> tuple[Photo, Truth]:
    """A straight quilt of 4 by 5 blocks seen straight from above, two of its blocks turned."""
    return make_quilt(
        41, kind="straight", design="Birds in the Air", rows=4, columns=5, sashing=(0.0, 0.0), outer_sashing=False,
        block=(10.0, 10.0), borders=(), cut=(0.0, 0.0, 0.0, 0.0), alternate=False, turning="none", turned=2, mirrored=0,
        recolored=0, repieced=0, scrappiness="one fabric", uneven=0.0, **PLAIN,
    )  # fmt: skip


@pytest.fixture(scope="session")
def plain_truth(plain_quilt: tuple[Photo, Truth]) -> Truth:
    """The truth of the plain quilt."""
    return plain_quilt[1]


@pytest.fixture(scope="session")
def perfect() -> Callable[..., Reading]:
    """Make the reading that a truth deserves, corners given or found."""

    def reading_of(truth: Truth, **changes: object) -> Reading:
        assert truth.corners is not None
        assert truth.size is not None
        assert truth.setting is not None
        fields = {
            "photo_size": truth.photo_size, "corners": truth.corners, "corners_from": "given", "unit": "in",
            "size": truth.size, "setting": truth.setting, "rows": truth.rows, "columns": truth.columns,
            "block_size": truth.block_size, "sashing": truth.sashing, "edge": truth.edge,
            "row_spans": truth.row_spans, "column_spans": truth.column_spans, "block": truth.block,
            "blocks": truth.blocks, "fabrics": truth.fabrics, "confidence": Confidence(grid=0.95, block=0.9),
        }  # fmt: skip
        return Reading(**(fields | changes))  # type: ignore[arg-type]

    return reading_of
