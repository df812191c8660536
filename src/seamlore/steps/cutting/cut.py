"""Cut: a list of pieces -> both plans for each fabric, the stash used first."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import Any

from seamlore.errors import PlanError
from seamlore.fabric.stash import Stash
from seamlore.files import read_text
from seamlore.lengths import Length, Unit
from seamlore.packing.plan import Layout, Place, places_in
from seamlore.steps.cutting.from_stash import Used
from seamlore.steps.cutting.laying import FabricCut, lay_fabric
from seamlore.steps.cutting.prints import as_printed
from seamlore.steps.cutting.wanted import Piece, Wishes


def cut(text: str, width: Length, wishes: Wishes | None = None, *, source: str = "") -> list[FabricCut]:
    """Lay out the pieces of a list on fabrics of this usable width, fabric by fabric.

    Parameters
    ----------
    text : str
        The list, comma-separated (docs/cutting.md); bare numbers are in the unit of `width`.
    width : Length
        Usable width of every fabric, where the stash does not say otherwise.
    wishes : Wishes, optional
        The frugal plan is followed when not given.
    source : str
        Name of the file, for messages.

    Returns
    -------
    list of FabricCut
        In the order in which the fabrics are first named.

    Raises
    ------
    PlanError
        When a row cannot be read, or its piece cannot be cut, naming row and value.

    Examples
    --------
    >>> from seamlore.lengths import inches
    >>> head = "fabric,piece,width,height,count,may_turn"
    >>> [red] = cut(f"{head}\\nred,square,5,5,16,no", inches(42))
    >>> str(red.length), str(red.least_length), red.buy
    ('10 in', '10 in', '3/8 yd')
    >>> cut(head, inches(42))
    Traceback (most recent call last):
        ...
    seamlore.errors.PlanError: a list without pieces: it names at least one; write a row for each kind of piece
    """
    if width.inches <= 0:
        raise PlanError(f"a fabric {width} wide", "a width is more than 0", "give the usable width, such as 42in")
    wishes = wishes or Wishes(which="frugal")
    from seamlore.steps.cutting.listed import read_pieces  # a plan of a quilt reads no list

    listed = read_pieces(text, width.unit, source=source)
    return [
        lay_fabric(fabric, as_printed(fabric, pieces, wishes.stash), width, wishes)
        for fabric, pieces in listed.items()
    ]


def stash_from(path: Path | None, unit: Unit) -> Stash:
    """Read the stash from a file; an empty one when none is named."""
    if path is None:
        return Stash()
    from seamlore.fabric.stash_text import read_stash  # as above

    return read_stash(read_text(path, "a stash"), unit=unit, source=path.name)


def not_used(fabrics: Sequence[FabricCut], stash: Stash) -> list[str]:
    """Say which fabrics of the stash nothing is cut from, because no piece asks for a fabric of that name."""
    named = {each.name.casefold() for each in fabrics}
    return [f'Nothing asks for "{each}" of the stash.' for each in stash.fabrics if each.casefold() not in named]


def as_record(fabrics: Sequence[FabricCut]) -> dict[str, Any]:
    """Give the plans as `seamlore cut --json` prints them."""
    return {"unit": str(fabrics[0].width.unit), "fabrics": [fabric_record(each) for each in fabrics]}


def fabric_record(each: FabricCut) -> dict[str, Any]:
    """Give how one fabric is cut as plain data; lengths are numbers in its unit."""
    part, layout = each.part, each.layout
    price = each.price
    found: dict[str, Any] = {
        "fabric": each.name,
        "width": each.width.number,
        "length": each.length.number,
        "least_length": each.least_length.number,
        "places": [_place(each.pieces, place, part) for place in layout.places()] if layout else [],
        "plan": each.wishes.which,
        "buy": each.buy,
        "plans": {
            "simple": _plan(each, each.plans.simple),
            "frugal": _plan(each, each.plans.frugal),
            "fitting": _plan(each, each.plans.fitting),
        }
        if each.plans
        else None,
        "from_stash": [_used(each, used) for used in each.used],
    }
    return found if price is None else found | {"price": float(price)}


def _plan(each: FabricCut, layout: Layout) -> dict[str, Any]:
    return {
        "length": (each.part * layout.length).number,
        "settings": layout.settings,
        "cuts": layout.strokes(1),
        "layered_cuts": layout.strokes(each.wishes.layers),
        "layers": each.wishes.layers,
        "buy_length": each.bought(layout).number,
    }


def _place(pieces: Sequence[Piece], place: Place, part: Length, x: int = 0, y: int = 0) -> dict[str, Any]:
    return {
        "piece": pieces[place.kind].name,
        "x": (part * (place.x + x)).number,
        "y": (part * (place.y + y)).number,
        "width": (part * place.width).number,
        "height": (part * place.height).number,
        "turned": place.turned,
    }


def _used(each: FabricCut, used: Used) -> dict[str, Any]:
    places: list[Mapping[str, Any]] = []
    y = used.y
    for strip in used.strips:
        places += [_place(each.pieces, place, each.part, used.x) for place in places_in(strip, y)]
        y += strip.height
    holding = used.holding
    unit = each.part.unit
    return {
        "form": holding.form,
        "times": used.times,
        "width": holding.width.shown_in(unit).number,
        "length": holding.length.shown_in(unit).number,
        "places": places,
    }
