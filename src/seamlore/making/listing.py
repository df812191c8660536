"""The plan as JSON: the object that `seamlore make --json` prints. Lengths are numbers in its `unit`."""

from __future__ import annotations

from dataclasses import asdict
from typing import Any

import msgspec

from seamlore.draft.exact.roots import above
from seamlore.lengths import Length
from seamlore.making.cutting import Cut
from seamlore.making.finish.backing import Backing
from seamlore.making.plan import Plan
from seamlore.making.records import (
    BackingLine,
    ColumnLine,
    CutLine,
    EdgeLine,
    FabricLine,
    FillingLine,
    HoldingLine,
    LayLine,
    MethodsLine,
    Pair,
    PlanRecord,
    StripLine,
    UnitsLine,
)
from seamlore.making.shelves import Shelf


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

    def back_line(back: Backing) -> BackingLine:
        return BackingLine(
            size=pair(back.size),
            panels=back.panels,
            seams=back.seams,
            panel_length=n(back.panel_length),
            length=n(back.length),
            buy=back.buy,
            fabric_width=n(back.fabric_width),
            seam_allowance=n(back.seam),
            extra=n(back.extra),
            side=n(back.side),
            matching=n(back.matching),
            leftover=pair(back.leftover),
            said=str(back),
            others=tuple(back_line(each) for each in back.others),
        )

    back, fill, edge, held = plan.backing, plan.filling, plan.edge_finish, plan.holding
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
                plain_length=n(need.plain),
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
        backing=back_line(back),
        filling=FillingLine(kind="none")
        if fill is None
        else FillingLine(
            kind=fill.kind,
            size=pair(fill.size),
            allowance=n(fill.allowance),
            package=fill.package,
            package_size=pair(fill.package_size) if fill.package_size else None,
        ),
        edge_finish=EdgeLine(kind="none", measures=pair(plan.measures))
        if edge is None
        else EdgeLine(
            kind=edge.kind,
            measures=pair(edge.measures),
            wider=n(edge.wider),
            shows=n(edge.shows),
            cut_width=n(edge.cut_width),
            strips=edge.strips,
            square=n(edge.binding.square) if edge.binding else 0.0,
            run=n(edge.binding.run) if edge.binding else 0.0,
            length=n(edge.length),
            buy=edge.buy,
        ),
        holding=HoldingLine(
            kind=held.kind,
            gap=n(held.gap),
            from_label=held.from_label,
            across=held.across,
            down=held.down,
            apart=pair(held.apart),
            count=held.count,
            run=n(held.run),
            thread=pair(held.thread),
        ),
        cut_count=plan.cut_count,
        piecing=plan.piecing,
        notes=plan.notes,
        known={
            "cutting": "computed",
            "fabrics": "computed, smaller pieces from the ends of strips; the spare is custom of the trade",
            "backing": "computed; its extra and seam are custom of the trade",
            "filling": "computed; its allowance is custom of the trade",
            "edge_finish": "computed; its width and hand room are custom of the trade",
            "holding": "computed; the greatest distance as the label says, or the usual without one",
            "costs": "computed from the prices that were given",
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
