"""How a fabric is cut, in words: what to buy and how near to the least that is, both plans, every cut in its order."""

from __future__ import annotations

from collections.abc import Sequence

from seamlore.fabric.stash import Holding
from seamlore.lengths import Length, show, show_seam, show_size
from seamlore.packing.cuts import Cut, cuts_of, settings, strokes
from seamlore.packing.pieces import EMPTY
from seamlore.packing.plan import Layout
from seamlore.steps.cutting.from_stash import Used
from seamlore.steps.cutting.laying import FabricCut
from seamlore.steps.cutting.wanted import Piece


def headline(each: FabricCut) -> str:
    """Say what to cut off and how near to the least that is.

    Examples
    --------
    >>> from seamlore.lengths import inches
    >>> from seamlore.steps.cutting.laying import lay_fabric
    >>> headline(lay_fabric("red", [Piece("square", inches(5), inches(5), 16, False)], inches(42)))
    'red: cut 10 in of 42 in wide (buy 3/8 yd); no plan needs less; 4.8% is waste'
    """
    if each.layout is None:
        return f"{each.name}: all from the stash; nothing to buy"
    cost = f", {float(each.price):.2f}" if each.price is not None else ""
    saying = (
        f"{each.name}: cut {show(each.length, direction='up')} of {show(each.width, direction='down')} wide "
        f"(buy {each.buy}{cost}); {least_said(each)}"
    )
    return saying + f"; {each.waste:.1%} is waste"


def least_said(each: FabricCut) -> str:
    """Say what no plan can go below."""
    # Joined of strips, what is longer than the fabric is wide may take less.
    longest = max((max(piece.width, piece.height) for piece in each.pieces), default=each.width)
    whole = " that leaves long pieces whole" if longest > each.width else ""
    if each.layout is None or each.layout.length == each.layout.least_length:
        return f"no plan{whole} needs less"
    besides = " besides what comes from the stash" if each.used else ""
    return f"no plan{whole} needs less than {show(each.least_length, direction='down')}{besides}"


def both_plans(each: FabricCut) -> tuple[str, ...]:
    """Say the two plans, that which is followed first; one line where they are the same.

    Examples
    --------
    >>> from seamlore.lengths import inches
    >>> from seamlore.steps.cutting.laying import lay_fabric
    >>> both_plans(lay_fabric("red", [Piece("square", inches(5), inches(5), 16, False)], inches(42)))
    ('Least fabric and fewest settings at once: 10 in, 2 settings of the ruler, 10 cuts in 4 layers.',)
    """
    if each.plans is None:
        return ()
    simple, frugal, fitting = each.plans.simple, each.plans.frugal, each.plans.fitting
    if simple == frugal == fitting:
        return (f"Least fabric and fewest settings at once: {_plan(each, simple)}.",)
    more = simple.length / frugal.length - 1
    said = {
        "simple": f"Simple plan: {_plan(each, simple)}; {more:.1%} more fabric than the frugal one.",
        "frugal": f"Frugal plan: {_plan(each, frugal)}.",
        "fitting": f"Plan for what is bought anyway: {_plan(each, fitting)}.",
    }
    if simple == frugal:
        said["simple"] = f"Frugal plan, and no simpler one for {each.wishes.share:.0%} more: {_plan(each, simple)}."
    same = {"simple": simple, "frugal": frugal}
    which = next((name for name, layout in same.items() if layout == each.layout), each.wishes.which)
    others = [name for name in ("simple", "frugal") if name != which and not (name == "frugal" and simple == frugal)]
    return (said[which], *(said[name] for name in others))


def _plan(each: FabricCut, layout: Layout) -> str:
    layers = each.wishes.layers
    times = layout.settings
    cuts = layout.strokes(layers)
    return (
        f"{show(each.part * layout.length, direction='up')}, {times} setting{'s' * (times != 1)} of the ruler, "
        f"{cuts} cut{'s' * (cuts != 1)} in {layers} layer{'s' * (layers != 1)}"
    )


def cuts_in_words(each: FabricCut) -> list[str]:
    """Say every cut in its order, numbered as in the picture: what the stash gives, then what is bought."""
    lines: list[str] = []
    for used in each.used:
        lines.append(used_in_words(each, used))
        lines += [f"  {line}" for line in _lines(cuts_of(used.strips, used.width), each, "it")]
    if each.layout is not None:
        lines += _lines(each.layout.cuts, each, "the fabric")
    return lines


def used_in_words(each: FabricCut, used: Used) -> str:
    """Say from which thing at hand is cut."""
    what = form_said(used.holding, used.times)
    begins = ""
    if used.holding.outline:
        corner = show(each.part * used.x), show(each.part * used.y)
        box = show_size(each.part * used.width, each.part * used.height)
        begins = f", from its sound rectangle of {box} that begins {corner[0]} across and {corner[1]} along"
    cuts = cuts_of(used.strips, used.width)
    return f"From the stash, {what}{begins} ({settings(cuts)} settings, {strokes(cuts, 1) * used.times} cuts):"


def form_said(holding: Holding, times: int) -> str:
    """Say a thing at hand in words.

    Examples
    --------
    >>> from seamlore.lengths import inches
    >>> form_said(Holding("Red", "square", inches(5), inches(5), 40), 12)
    '12 squares of 5 x 5 in'
    """
    if holding.form == "length":
        return f"the length of {show(holding.length)}, {show(holding.width)} wide"
    plural = "s" * (times != 1)
    odd = "odd " if holding.outline else ""
    return f"{times} {odd}{holding.form}{plural} of {show_size(holding.width, holding.length)}"


def _lines(cuts: Sequence[Cut], each: FabricCut, what: str) -> list[str]:
    lines = []
    for cut in cuts:
        size = show(each.part * cut.size)
        if what in ("the fabric", "it") and cut.along and cut.key is None and cut.of == 1:
            strips = f"{cut.times} strip{'s' * (cut.times != 1)}"
            begin = f"{cut.number}. Cut {strips} of {size} off {what}, straight across"
        else:
            how = "cut back" if cut.along else "cross-cut"
            begin = f"{cut.number}. {how.capitalize()} {size}" + (f", {cut.times} in all" if cut.times > 1 else "")
            begin += f", from {cut.of} that lie alike" if cut.of > 1 and cut.times > 1 else ""
        lines.append(begin + _gives(cut, each.pieces))
        lines += [f"  {line}" for line in _lines(cut.inside, each, "")]
    return lines


def _gives(cut: Cut, pieces: Sequence[Piece]) -> str:
    if cut.gives == EMPTY:
        return ": put by."
    if cut.gives < 0:
        return ", and cut these further:" if cut.times > 1 else ", and cut it further:"
    piece = pieces[cut.gives]
    turned = ", turned" if cut.turned else ""
    return f': "{piece.name}", {show_size(piece.width, piece.height)}{turned}.'


def difference_said(seam: Length, margin: Length | None = None) -> str:
    """Say in one line why a cut size is larger than the finished one.

    Parameters
    ----------
    seam : Length
    margin : Length, optional
        How much wider patches of blocks are cut on every side, for foundations.
    """
    both = show(seam * 2)
    wider = (
        ""
        if margin is None
        else f" Patches of blocks are cut {show(margin)} wider still on every side, for foundations: one by one, odd shapes as "
        "rectangles; trim each seam after it is sewn."
    )
    return (
        f"Cut sizes hold the seam allowance: {show_seam(seam)} on every side, so {both} more than finished for squares and "
        f"rectangles; triangles take more for their long points.{wider}"
    )
