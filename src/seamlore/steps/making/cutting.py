"""What is cut from each fabric, in words and diagrams."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Literal

from seamlore.lengths import Length, show, show_size
from seamlore.making.cutting import Cut
from seamlore.making.shelves import Column
from seamlore.making.strips import FabricNeed
from seamlore.making.upright import LIES
from seamlore.pictures.cutting import Strip, StripPiece
from seamlore.sheets.pattern import CutFabric, ToCut
from seamlore.steps.words import few


def cut_fabric(need: FabricNeed, key: str) -> CutFabric:
    """Gather all that is cut from one fabric: its list and its diagrams."""
    lines = tuple(
        ToCut(
            few(cut.labels),
            show_size(*cut.size) if cut.size[0] != cut.size[1] else f"{show(cut.size[0])} square",
            cut.count,
            what_then(cut),
            need.how(cut),
            finished_words(cut),
        )
        for cut in need.cuts
    )
    return CutFabric(need.fabric, key, lines, tuple(_diagrams(need)))


def what_then(cut: Cut) -> str:
    """What is done with each cut piece before it is sewn."""
    if cut.batch:
        return f"for {cut.batch}"
    if "diagonal" in cut.how:
        return cut.how.split(" in, ", 1)[-1].split(" cm, ", 1)[-1]
    if cut.shape == "template" and cut.yields > 1:
        along = f"{cut.lies} the print; " if cut.lies else ""
        return along + cut.how.partition("; ")[2]
    if cut.lies == "leaning":
        return "its print leaning"
    said = [LIES[cut.lies]] if cut.lies else []
    said += ["no side on the straight grain"] if cut.bias else []
    return f"print upright, {', '.join(said)}" if said else ""


def finished_words(cut: Cut) -> str:
    """Say how large a patch finishes, so that each of its sides is said once."""
    one, two = cut.finished
    shape = cut.shaped.shape
    if shape == "quarter-square triangle":
        return f"{show(one)} along the long side"
    if shape == "half-square triangle":
        return f"{show(one)} along the short sides"
    if shape == "half-rectangle triangle":
        return f"{show(two, bare=True)} and {show(one)} along the short sides"
    return f"{show(one)} square" if shape != "template" and one == two else show_size(one, two)


def _diagrams(need: FabricNeed) -> Iterable[Strip]:
    """One drawn strip for each way in which strips across the fabric are filled."""
    for strips in need.strips:
        if strips.way == "across":
            for lay in strips.lays:
                pieces = (
                    (_strip_piece(need.cuts[column.kind], column, strips.depth),) * column.number
                    for column in lay.columns
                )
                yield Strip(strips.depth, tuple(piece for each in pieces for piece in each), lay.times)


def _strip_piece(cut: Cut, column: Column, depth: Length) -> StripPiece:
    along, deep = Length(column.along, depth.unit), Length(column.depth, depth.unit)
    slants = cut.nest.slants(cut.yields) if cut.nest else ()
    return StripPiece(
        along,
        few(cut.labels),
        corner_to_corner(cut, upright=column.along < column.depth),
        None if deep == depth else deep,
        column.stacked,
        tuple((float(upper), float(lower)) for upper, lower in slants),
    )


def corner_to_corner(cut: Cut, *, upright: bool) -> Literal["", "/", "\\", "x"]:
    """How a piece is cut on the diagonal as it lies in its strip."""
    if cut.shape == "quarter-square triangle":
        return "x"
    if cut.shape == "half-square triangle":
        return cut.shaped.diagonal or "/"
    # The words say it for the long side across; a rectangle that stands on end has been turned by a quarter.
    if not upright or not cut.shaped.diagonal:
        return cut.shaped.diagonal
    return "\\" if cut.shaped.diagonal == "/" else "/"
