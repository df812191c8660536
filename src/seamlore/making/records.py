"""The object that `seamlore make --json` prints. Lengths are numbers in its `unit`."""

from __future__ import annotations

from typing import Literal

import msgspec

Pair = tuple[float, float]


class CutLine(msgspec.Struct, frozen=True, kw_only=True):
    """One cut: [width, height] of what is cut from the strip, patches from each, how many are cut."""

    fabric: str
    shape: str
    cut: Pair
    yields: int
    count: int
    needed: int
    finished: Pair
    labels: tuple[str, ...]
    how: str


class ColumnLine(msgspec.Struct, frozen=True, kw_only=True):
    """`number` columns side by side of `stacked` pieces each; a piece takes `along` of the strip and `depth` of its width."""

    labels: tuple[str, ...]
    along: float
    depth: float
    stacked: int
    number: int


class LayLine(msgspec.Struct, frozen=True, kw_only=True):
    """What lies in each of so many strips, from one end."""

    times: int
    columns: tuple[ColumnLine, ...]


class StripLine(msgspec.Struct, frozen=True, kw_only=True):
    """Strips of one width: how many, and how many pieces from each (0 when long pieces are cut or joined).

    `lays` says what lies in strips across the fabric, and what is cut from beside pieces that run along it.
    """

    depth: float
    across: int
    count: int
    way: str
    length: float
    labels: tuple[str, ...]
    lays: tuple[LayLine, ...]


class FabricLine(msgspec.Struct, frozen=True, kw_only=True):
    """One fabric: usable width, length that the strips take, the least that any layout could, what to ask for.

    `spare` is what may be bought beyond, for shrinking, squaring up and a slip; `buy_with_spare` what to ask for then.
    `plain_length` is what strips take of which each holds one kind.
    """

    fabric: str
    width: float
    length: float
    least_length: float
    plain_length: float
    buy: str
    spare: float
    buy_with_spare: str
    strips: tuple[StripLine, ...]


class BackingLine(msgspec.Struct, frozen=True, kw_only=True):
    """The backing: size needed, lengths of fabric side by side, which way their seams run."""

    size: Pair
    panels: int
    seams: Literal["none", "vertical", "horizontal"]
    panel_length: float
    length: float
    buy: str
    fabric_width: float
    seam_allowance: float
    extra: float
    side: float
    matching: float
    leftover: Pair
    said: str
    others: tuple[BackingLine, ...] = ()


class HoldingLine(msgspec.Struct, frozen=True, kw_only=True):
    """Ties (columns and rows) or lines of quilting, how far apart at most and in fact, and the thread for them."""

    kind: Literal["quilting", "ties"]
    gap: float
    from_label: bool
    across: int
    down: int
    apart: Pair
    count: int
    run: float
    thread: Pair


class TaskLine(msgspec.Struct, frozen=True, kw_only=True):
    """One kind of work: how much of it, its hours from least to most, and how that is known."""

    work: str
    amount: int
    unit: str
    hours: Pair
    basis: str


class CostLine(msgspec.Struct, frozen=True, kw_only=True):
    """What one thing costs, from least to most, at the prices that were given."""

    what: str
    cost: Pair
    basis: str


class FillingLine(msgspec.Struct, frozen=True, kw_only=True):
    """The filling: what it is, size, how much larger than the top in all, the smallest package of batting."""

    kind: Literal["batting", "blanket", "older quilt", "none"]
    size: Pair | None = None
    allowance: float = 0.0
    package: str = ""
    package_size: Pair | None = None


class EdgeLine(msgspec.Struct, frozen=True, kw_only=True):
    """The edge finish: kind, cut width of strips, how many, the run that they must make.

    `measures` is the quilt with its edge; `wider` how far the layer that is folded over reaches beyond the others, of which
    `shows` shows.
    """

    kind: Literal["straight", "bias", "back to front", "front to back", "facing", "pillowcase", "knife edge", "none"]
    measures: Pair
    wider: float = 0.0
    shows: float = 0.0
    cut_width: float = 0.0
    strips: int = 0
    square: float = 0.0
    run: float = 0.0
    length: float = 0.0
    buy: str = ""


class UnitsLine(msgspec.Struct, frozen=True, kw_only=True):
    """Units that are made several at a time: how many, of which fabrics, how large they finish, and how."""

    unit: str
    count: int
    fabrics: tuple[str, ...]
    finished: Pair
    said: str
    how: str


class MethodsLine(msgspec.Struct, frozen=True, kw_only=True):
    """How many units of a kind are made at a time; four patches, nine patches and rails one by one or from sets of strips."""

    half_squares: str
    quarter_squares: str
    geese: str
    strips: str


class PlanRecord(msgspec.Struct, frozen=True, kw_only=True):
    """Everything that a draft takes.

    Every size is computed; the allowances of backing, filling and binding are custom of the trade.
    """

    name: str
    unit: Literal["in", "cm"]
    finished: Pair
    seam_allowance: float
    cutting: tuple[CutLine, ...]
    methods: MethodsLine
    units: tuple[UnitsLine, ...]
    fabrics: tuple[FabricLine, ...]
    backing: BackingLine
    filling: FillingLine
    edge_finish: EdgeLine
    holding: HoldingLine
    cut_count: int
    piecing: Literal["machine", "hand", "papers"]
    hours: tuple[TaskLine, ...] = ()
    costs: tuple[CostLine, ...] = ()
    notes: tuple[str, ...]
    known: dict[str, str]
    version: int = 2
