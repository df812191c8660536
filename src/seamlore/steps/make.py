"""Work out what a quilt takes."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

import msgspec

from seamlore.draft.block import Block
from seamlore.draft.quilt import Quilt
from seamlore.errors import PlanError
from seamlore.fabric.stash import Print
from seamlore.hours import checked_pace
from seamlore.lengths import Length
from seamlore.making.finish.costs import checked_price
from seamlore.making.listing import record
from seamlore.making.methods import Choose, checked_methods
from seamlore.making.plan import Plan, plan
from seamlore.steps.cutting.cut import fabric_record
from seamlore.steps.cutting.of_plan import PlanCut
from seamlore.steps.draft.wanted import Wanted, put_together
from seamlore.steps.making.work import cost_lines, cuts_made, lines


def make(
    given: Block | Quilt,
    wanted: Wanted | None,
    *,
    fabric_width: Length | None = None,
    backing_width: Length | None = None,
    seam_allowance: Length | None = None,
    binding: str = "straight",
    binding_width: Length | None = None,
    filled_with: str = "batting",
    spare: Length | None = None,
    ways: Mapping[str, str] | None = None,
    choose_by: Choose = "as said",
    edge_shows: Length | None = None,
    backing_repeat: Length | None = None,
    off_middle: bool = False,
    held_by: str = "quilting",
    gap: Length | None = None,
    pace: str = "",
    price: str = "",
    batting_price: str = "",
    piecing: str = "machine",
    prints: Sequence[Print] = (),
    foundation: Length | None = None,
) -> Plan:
    """Plan a quilt.

    Parameters
    ----------
    given : Block or Quilt
        A block is set as `wanted` says; a quilt is taken as it is.
    wanted : Wanted, optional
        Needed for a block.
    fabric_width, backing_width, seam_allowance, binding, binding_width, filled_with, spare, choose_by, edge_shows, backing_repeat, off_middle, held_by, gap, piecing, prints, foundation
        As `making.plan.plan` takes them.
    pace, price, batting_price : str
        As they were typed; empty for the usual and for none.
    ways : mapping of str to str, optional
        How units are made, as `making.methods.checked_methods` takes it.

    Returns
    -------
    Plan

    Raises
    ------
    SeamloreError
        When the quilt cannot be made so.
    """
    if isinstance(given, Block):
        if wanted is None:
            raise PlanError(
                f"the block {given.name} alone",
                "a plan needs its size and how many",
                "add --size, --rows and --columns, or give a draft file",
            )
        given = put_together(given, wanted)
    return plan(
        given,
        fabric_width=fabric_width,
        backing_width=backing_width,
        seam_allowance=seam_allowance,
        binding=binding,
        binding_width=binding_width,
        filled_with=filled_with,
        spare=spare,
        methods=checked_methods(ways or {}),
        choose_by=choose_by,
        edge_shows=edge_shows,
        backing_repeat=backing_repeat,
        off_middle=off_middle,
        held_by=held_by,
        gap=gap,
        pace=checked_pace(pace),
        price=checked_price(price),
        batting_price=checked_price(batting_price),
        piecing=piecing,
        prints=prints,
        foundation=foundation,
    )


def as_record(made: Plan, cuts: Sequence[PlanCut] = ()) -> dict[str, Any]:
    """Give a plan as plain data for JSON, as design.md has it.

    Parameters
    ----------
    made : Plan
    cuts : sequence of PlanCut
        How its fabrics are laid out: then lengths and what to buy are those of the plan that is followed.
    """
    found = msgspec.to_builtins(
        msgspec.structs.replace(
            record(made), cut_count=cuts_made(made, cuts), hours=lines(made, cuts), costs=cost_lines(made, cuts)
        )
    )
    assert isinstance(found, dict)
    for line, each in zip(found["fabrics"], cuts, strict=False):
        # The plan stands in place of strips reckoned kind by kind.
        line.update(fabric_record(each.cut), buy_with_spare=each.buy_with_spare, notes=list(each.notes), strips=[])
    if cuts:
        found["known"]["fabrics"] = (
            "computed: a plan whose every cut runs from edge to edge; no plan is shorter than its least length"
        )
    return found
