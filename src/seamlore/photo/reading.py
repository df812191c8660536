"""What was measured in one photograph. Other rooms read this; it does not import the image library.

The record is the JSON object that `seamlore look --json` prints (docs/schema/reading.json is made from it).
Lengths are numbers in the record's `unit`; rows and columns count from 0 at the top left.
"""

from __future__ import annotations

from typing import Literal

import msgspec

Pair = tuple[float, float]
Ring = tuple[Pair, ...]


class Edge(msgspec.Struct, frozen=True, kw_only=True):
    """How far inside the quilt's edge the outermost counted blocks begin.

    Signed: positive over a border or outer sashing, negative by what the edge cuts off.
    """

    left: float
    top: float
    right: float
    bottom: float


class SeenPatch(msgspec.Struct, frozen=True, kw_only=True):
    """One patch of the block as most blocks have it: corners in 0..1 of the block, place, value."""

    outline: Ring
    place: str
    value: Literal["light", "medium", "dark"]


class SeenBlock(msgspec.Struct, frozen=True, kw_only=True):
    """The block as it stands in most blocks."""

    divisions: int
    patches: tuple[SeenPatch, ...]


class BlockAt(msgspec.Struct, frozen=True, kw_only=True):
    """One block of the quilt, set against the block as it stands in most.

    `turn` is clockwise as seen, after mirroring left to right if `mirrored`; the smallest that fits.
    `shift` is how far it lies from the even grid; `differs` says that it is pieced or colored differently.
    """

    row: int
    column: int
    turn: Literal[0, 90, 180, 270] = 0
    mirrored: bool = False
    shift: Pair = (0.0, 0.0)
    differs: bool = False


class SeenFabric(msgspec.Struct, frozen=True, kw_only=True):
    """One fabric and every patch that seems cut from it, as [row, column, index of the patch]."""

    id: str
    srgb: str
    value: Literal["light", "medium", "dark"]
    patches: tuple[tuple[int, int, int], ...]


class Confidence(msgspec.Struct, frozen=True, kw_only=True):
    """How sure the reading is of its grid and of its block, 0..1."""

    grid: float
    block: float


class Uncertainty(msgspec.Struct, frozen=True, kw_only=True):
    """Standard uncertainties (one sigma) of the lengths read, in the record's unit."""

    block_size: Pair
    sashing: Pair
    edge: float


class Reading(msgspec.Struct, frozen=True, kw_only=True, omit_defaults=False):
    """What one photograph says of a quilt.

    Attributes
    ----------
    corners
        The quilt's corners in pixels of the upright photograph, clockwise from its top left.
    unit
        "in" or "cm" when the size was given; otherwise "width": lengths are parts of the quilt's width.
    size
        Width and height of the whole quilt.
    setting
        "straight", "on point", or "none": no block grid was found, and the fields on blocks are null.
    rows, columns
        Blocks down and across, counting those that the edge cuts.
    block_size, sashing
        Finished [width, height] of one block, and the gap [between columns, between rows]; 0 when none.
    row_spans, column_spans
        Start and end of each row and column from the quilt's top left.
    """

    photo_size: tuple[int, int]
    corners: tuple[Pair, Pair, Pair, Pair]
    corners_from: Literal["given", "found"]
    unit: Literal["in", "cm", "width"]
    size: Pair
    setting: Literal["straight", "on point", "none"]
    rows: int | None = None
    columns: int | None = None
    block_size: Pair | None = None
    sashing: Pair | None = None
    edge: Edge | None = None
    row_spans: tuple[Pair, ...] | None = None
    column_spans: tuple[Pair, ...] | None = None
    uncertainty: Uncertainty | None = None
    block: SeenBlock | None = None
    blocks: tuple[BlockAt, ...] | None = None
    fabrics: tuple[SeenFabric, ...] | None = None
    confidence: Confidence = Confidence(grid=0.0, block=0.0)
    warnings: tuple[str, ...] = ()
    version: int = 1
