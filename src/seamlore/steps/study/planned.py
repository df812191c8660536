"""What a draft takes, as she wants it made."""

from __future__ import annotations

from seamlore.draft.quilt import Quilt
from seamlore.fabric.stash_text import read_stash
from seamlore.hours import checked_pace
from seamlore.lengths import Unit, length
from seamlore.making.finish.costs import checked_price
from seamlore.making.methods import Methods
from seamlore.making.plan import Plan, plan
from seamlore.steps.study.inputs import Inputs

_LENGTHS = (
    "fabric_width",
    "backing_width",
    "seam_allowance",
    "binding_width",
    "spare",
    "edge_shows",
    "backing_repeat",
    "gap",
    "foundation",
)


def plan_of(quilt: Quilt, inputs: Inputs) -> Plan:
    """Plan a draft as the inputs want it made; what they leave empty is as usual.

    Examples
    --------
    >>> from seamlore.draft.catalogue import find
    >>> from seamlore.draft.repeated import repeated
    >>> from seamlore.lengths import inches
    >>> from seamlore.steps.study.sections import Making
    >>> wanted = Inputs(making=Making(binding="bias"))
    >>> print(plan_of(repeated("q", find("pinwheel"), inches(8), inches(8), 3, 3), wanted).edge_finish)
    binding: bias strips 2 1/2 in wide from a square of 18 in: 1/2 yd
    """
    making = inputs.making
    given = {name: length(text) if (text := getattr(making, name).strip()) else None for name in _LENGTHS}
    return plan(
        quilt,
        binding=making.binding,
        filled_with=making.filling,
        methods=Methods(making.half_squares, making.quarter_squares, making.geese, making.strips),
        choose_by=making.choose_by,
        off_middle=making.off_middle,
        held_by=making.held_by,
        piecing=inputs.sewing.method,
        pace=checked_pace(making.pace),
        price=checked_price(making.price),
        batting_price=checked_price(making.batting_price),
        prints=read_stash(making.stash, unit=Unit(inputs.about.unit)).prints,
        **given,
    )
