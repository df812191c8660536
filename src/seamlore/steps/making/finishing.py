"""How a quilt is backed, filled, held and finished at its edge, in words."""

from __future__ import annotations

from collections.abc import Iterable

from seamlore.lengths import show, show_seam, show_size
from seamlore.making.finish.edges import OPENING, Edge
from seamlore.making.plan import Plan
from seamlore.sheets.pattern import ToBuy

_AS_LABELED = "keep to the widest quilting its label allows"


def finishing(made: Plan) -> Iterable[ToBuy]:
    """List what is bought or looked out beside the fabrics of the top."""
    back = made.backing
    seams = "" if back.panels == 1 else f", seams {back.seams}"
    pieces = f"{back.panels} length{'s' * (back.panels != 1)} of {show(back.panel_length)}{seams}"
    pieces += f", one cut into two sides of {show(back.side)}" if back.side else ""
    usual = f"{show(back.extra)} more than the top on every side (the usual)"
    yield ToBuy("Backing", pieces, back.buy, "", "; ".join(each for each in (usual, back.left) if each))
    if (fill := made.filling) is not None:
        if fill.kind == "batting":
            found, note = f"{fill.package} package" if fill.package else "by the length", _AS_LABELED
        else:
            found, note = "one at hand", "wash it first; it must be sound enough to be quilted through"
        yield ToBuy(fill.kind.capitalize(), show_size(*fill.size), found, "", note)
    edge = made.edge_finish
    if edge is not None and (binding := edge.binding) is not None:
        how = (
            f"{binding.strips} strips {show(binding.cut_width)} wide, joined at 45 degrees"
            if binding.kind == "straight"
            else f"bias strips {show(binding.cut_width)} wide from a square of {show(binding.square)}"
        )
        room = f"{show(binding.joining)} of it hand room for corners and for closing the ends (the usual)"
        yield ToBuy("Binding", how, edge.buy, "", f"{show(binding.run)} in all, {room}")
    elif edge is not None and edge.kind == "facing":
        yield ToBuy("Facing", f"{edge.strips} strips {show(edge.cut_width)} wide, joined end to end", edge.buy)


def finishing_steps(made: Plan, *, in_the_ditch: bool = False) -> Iterable[str]:
    """Say what is done from the backing to the label, in order; `in_the_ditch`: quilted along its seams."""
    back, fill, edge = made.backing, made.filling, made.edge_finish
    if back.panels > 1:
        sides = f"Cut the last length into two sides {show(back.side)} wide. " if back.side else ""
        matched = ", the pattern meeting" if back.matching else ""
        yield f"{sides}Sew the {back.panels} lengths of backing with {show_seam(back.seam)} seams{matched} and press them open."
    turned = edge is not None and edge.kind == "pillowcase"
    if turned and edge is not None:
        yield from _edge_steps(made, edge)
    elif fill is None:
        yield "Lay the top, centered, on the backing; baste."
    else:
        yield f"Layer backing, {fill.kind} and top, each centered on the one below; baste."
    if in_the_ditch and made.holding.kind != "ties":
        # Common practice, no source.
        yield (
            "Quilt in the ditch: along the seams, close beside them, on the side where no allowance lies. Where they lie farther "
            "apart than is said next, quilt between them too."
        )
    yield _held(made)
    if edge is not None and not turned:
        yield from _edge_steps(made, edge)
    yield "Sew a label to the back: what was made, after which quilt, by whom and when."


def _held(made: Plan) -> str:
    held, fill = made.holding, made.filling
    through = "the two layers" if fill is None else f"through top, {fill.kind} and backing"
    if held.kind == "ties":
        return (
            f"Tie {through}: {held.count} ties, {held.across} across and {held.down} down, no farther apart than {show(held.gap)}; "
            "each with a square or a surgeon's knot."
        )
    lines = f"{held.count} lines up and down, {show(held.apart[0], direction='down')} apart, would do"
    if held.from_label:
        return f"Quilt {through}, every {show(held.gap)} at most, as the label says: {lines}."
    if fill is not None and fill.kind == "batting":
        return f"Quilt as closely as the batting's label asks; without one, every {show(held.gap)} at most: {lines}."
    return f"Quilt {through}, every {show(held.gap)} at most: {lines}."


def _edge_steps(made: Plan, edge: Edge) -> Iterable[str]:
    seam, size = show_seam(made.seam), show_size(*edge.measures)
    filled = "" if made.filling is None else f" {made.filling.kind},"
    between = "" if made.filling is None else f"{made.filling.kind} and "
    match edge.kind:
        case "straight" | "bias":
            yield "Trim the layers square, join the binding strips at 45 degrees, fold, and bind the edge."
        case "back to front":
            yield (
                f"Trim top{' and ' + made.filling.kind if made.filling else ''} square, and the backing {show(edge.wider)} beyond "
                f"them on every side. Fold it to their edge and once more over the front, miter the corners, and sew it down: "
                f"{show(edge.shows)} of it shows."
            )
        case "front to back":
            yield (
                f"Trim {between}backing to {size}; the top reaches {show(edge.wider)} beyond them on every side. Fold it to their "
                "edge and once more to the back, miter the corners, and sew it down."
            )
        case "facing":
            yield (
                f"Trim the layers square, {seam} beyond the finished edge. Sew a strip of facing to each side, right sides together; "
                "turn all of it to the back, press, and sew it down."
            )
        case "pillowcase":
            yield (
                f"Lay{filled} backing right side up and top right side down on each other, all cut as large as the top; sew round with "
                f"a seam of {seam}, leaving {show(OPENING[made.seam.unit])} open at one side; trim the corners, turn, close the opening."
            )
        case "knife edge":
            trim = f"Trim the {made.filling.kind} to {size} and the backing" if made.filling else "Trim the backing"
            yield f"{trim} as large as the top; turn both edges in by {seam}, and sew them together."
    yield f"The quilt now measures about {size}, less what quilting takes up, 3 to 5 in 100."
