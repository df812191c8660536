"""The plan as JSON: the object that `seamlore make --json` prints. Lengths are numbers in its `unit`."""

from __future__ import annotations

from dataclasses import asdict
from typing import Any, Literal

import msgspec

from seamlore.draft.exact.roots import above
from seamlore.lengths import Length
from seamlore.making.cutting import Cut
from seamlore.making.plan import Plan
from seamlore.making.shelves import Shelf

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
    """

    fabric: str
    width: float
    length: float
    least_length: float
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


class FillingLine(msgspec.Struct, frozen=True, kw_only=True):
    """The filling: what it is, size, how much larger than the top in all, the smallest package of batting."""

    kind: Literal["batting", "blanket", "older quilt", "none"]
    size: Pair | None = None
    allowance: float = 0.0
    package: str = ""
    package_size: Pair | None = None


class EdgeLine(msgspec.Struct, frozen=True, kw_only=True):
    """The edge finish: kind, cut width of strips, how many, the run that they must make."""

    kind: Literal["straight", "bias", "none"]
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
    notes: tuple[str, ...]
    known: dict[str, str]
    version: int = 2


def record(plan: Plan) -> PlanRecord:
    """Put a plan into the object that is printed.

    Examples
    --------
    >>> from seamlore.draft.repeated import repeated
    >>> from seamlore.draft.text.notation import read_block
    >>> from seamlore.lengths import inches
    >>> from seamlore.making.plan import plan
    >>> four = read_block("block Four Patch\\nA dark\\nB light\\n\\nA B\\nB A")
    >>> made = record(plan(repeated("q", four, inches(8), inches(8), 1, 1)))
    >>> made.cutting[0].cut, made.finished
    ((4.5, 4.5), (8.0, 8.0))
    """
    unit = plan.quilt.unit

    def n(length: Length) -> float:
        return float(length.measured_in(unit))

    def pair(lengths: tuple[Length, Length]) -> Pair:
        return n(lengths[0]), n(lengths[1])

    def lay(cuts: tuple[Cut, ...], shelf: Shelf) -> LayLine:
        return LayLine(
            times=shelf.times,
            columns=tuple(
                ColumnLine(
                    labels=cuts[each.kind].labels,
                    along=n(Length(each.along, unit)),
                    depth=n(Length(each.depth, unit)),
                    stacked=each.stacked,
                    number=each.number,
                )
                for each in shelf.columns
            ),
        )

    back, fill, edge = plan.backing, plan.filling, plan.edge_finish
    return PlanRecord(
        name=plan.quilt.name,
        unit=unit.value,
        finished=pair(plan.finished),
        seam_allowance=n(plan.seam),
        cutting=tuple(
            CutLine(
                fabric=cut.fabric,
                shape=cut.shape,
                cut=pair(cut.size),
                yields=cut.yields,
                count=cut.count,
                needed=cut.needed,
                finished=pair(cut.finished),
                labels=cut.labels,
                how=cut.how,
            )
            for cut in plan.cutting
        ),
        methods=MethodsLine(**asdict(plan.methods)),
        units=tuple(
            UnitsLine(
                unit=batch.unit.kind,
                count=batch.count,
                fabrics=batch.unit.fabrics,
                finished=pair((Length(above(batch.unit.size[0]), unit), Length(above(batch.unit.size[1]), unit))),
                said=batch.name,
                how=batch.how,
            )
            for batch in plan.batches
        ),
        fabrics=tuple(
            FabricLine(
                fabric=need.fabric,
                width=n(need.width),
                length=n(need.length),
                least_length=n(need.least_length),
                buy=need.buy,
                spare=n(need.spare),
                buy_with_spare=need.buy_with_spare,
                strips=tuple(
                    StripLine(
                        depth=n(run.depth),
                        across=run.across,
                        count=run.count,
                        way=run.way,
                        length=n(run.length),
                        labels=tuple(label for cut in run.cuts for label in cut.labels),
                        lays=tuple(lay(need.cuts, each) for each in run.lays if each.columns),
                    )
                    for run in need.strips
                ),
            )
            for need in plan.fabrics
        ),
        backing=BackingLine(
            size=pair(back.size),
            panels=back.panels,
            seams=back.seams,
            panel_length=n(back.panel_length),
            length=n(back.length),
            buy=back.buy,
            fabric_width=n(back.fabric_width),
            seam_allowance=n(back.seam),
            extra=n(back.extra),
        ),
        filling=FillingLine(kind="none")
        if fill is None
        else FillingLine(
            kind=fill.kind,
            size=pair(fill.size),
            allowance=n(fill.allowance),
            package=fill.package,
            package_size=pair(fill.package_size) if fill.package_size else None,
        ),
        edge_finish=EdgeLine(kind="none")
        if edge is None
        else EdgeLine(
            kind=edge.kind,
            cut_width=n(edge.cut_width),
            strips=edge.strips,
            square=n(edge.square),
            run=n(edge.run),
            length=n(edge.length),
            buy=edge.buy,
        ),
        notes=plan.notes,
        known={
            "cutting": "computed",
            "fabrics": "computed, smaller pieces from the ends of strips; the spare is custom of the trade",
            "backing": "computed; its extra and seam are custom of the trade",
            "filling": "computed; its allowance is custom of the trade",
            "edge_finish": "computed; its width and joining allowance are custom of the trade",
        },
    )


def schema() -> dict[str, Any]:
    """Make the JSON Schema of a plan.

    Examples
    --------
    >>> schema()["$ref"]
    '#/$defs/PlanRecord'
    """
    return msgspec.json.schema(PlanRecord)
