"""What is needed besides fabric."""

from __future__ import annotations

from collections.abc import Iterable

from seamlore.lengths import RULER_MARK, Unit, show
from seamlore.making.cutting import Cut
from seamlore.making.plan import Plan
from seamlore.sewing.steps import Method


def tools(made: Plan, method: Method = "machine") -> Iterable[str]:
    """List the tools that a plan takes; common practice, no source.

    Examples
    --------
    >>> from seamlore.draft.catalogue import find
    >>> from seamlore.draft.repeated import repeated
    >>> from seamlore.lengths import inches
    >>> from seamlore.making.plan import plan
    >>> for each in tools(plan(repeated("q", find("shoo fly"), inches(9), inches(9), 2, 2))):
    ...     print(each)
    Rotary cutter, cutting mat, and a ruler with marks of 1/8 in.
    Sewing machine, or needles for sewing by hand; cotton thread in a color that goes with most of the fabrics.
    Pins, small scissors, seam ripper.
    Iron and ironing board.
    """
    yield from tools_for(made.cutting, made.quilt.unit, method)


_SEWN_WITH: dict[Method, str] = {
    "machine": "Sewing machine, or needles for sewing by hand; cotton thread in a color that goes with most of the fabrics.",
    "hand": "Needles for sewing by hand; cotton thread in a color that goes with most of the fabrics; a pencil that washes out, "
    "for the seam lines.",
    "papers": "Needles for sewing by hand; cotton thread in a color that goes with most of the fabrics, and another for "
    "basting; stiff paper for the papers.",
}


def tools_for(cuts: Iterable[Cut], unit: Unit, method: Method = "machine") -> Iterable[str]:
    """List the tools that some cuts take."""
    yield f"Rotary cutter, cutting mat, and a ruler with marks of {show(RULER_MARK[unit])}."
    yield _SEWN_WITH[method]
    yield "Pins, small scissors, seam ripper."
    yield "Iron and ironing board."
    if any(cut.shape == "template" for cut in cuts):
        yield "Stiff paper or template plastic, glue, and a pencil that washes out, for the pieces that are cut by template."
