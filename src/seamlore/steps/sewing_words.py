"""The order of sewing in words."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from seamlore.draft.quilt import Quilt
from seamlore.sewing.order import SewnUnit, units
from seamlore.sheets.content import SewingStep

_WAYS = {
    "across": "one under the other",
    "up and down": "side by side",
    "on the diagonal": "along the diagonal seam",
    "at a slant": "along the slanting seam",
    "inset": "with an inset or partial seam: no straight seam runs through from edge to edge",
}


def sewing_steps(quilt: Quilt, labels: Sequence[str]) -> Iterable[SewingStep]:
    """Say how the block and then the top is sewn, stage by stage.

    Parameters
    ----------
    quilt : Quilt
    labels : sequence of str
        Of the patches of its block, as `patch_labels` gives them.

    Yields
    ------
    SewingStep

    Examples
    --------
    >>> from seamlore.draft.catalogue import find
    >>> from seamlore.lengths import inches
    >>> four = Quilt("q", find("four patch"), inches(8), inches(8), 2, 3)
    >>> [step.title for step in sewing_steps(four, ("A1", "B1", "B1", "A1"))]
    ['Pairs and units', 'The block', 'The top']
    """
    made = units(quilt.block, labels)
    blocks = len(quilt.spots)
    stages = sorted({unit.stage for unit in made})
    for stage in stages:
        here = [unit for unit in made if unit.stage == stage]
        whole = any(unit.name == "the block" for unit in here)
        title = "The block" if whole else "Pairs and units" if stage == 1 else "Larger units"
        shown = sorted({index for unit in here for index in unit.part.patches})
        yield SewingStep(title, tuple(_unit_words(unit, blocks) for unit in here), () if whole else tuple(shown))
    yield SewingStep("The top", tuple(_top_words(quilt)))


def _unit_words(unit: SewnUnit, blocks: int) -> str:
    joined = [f"{count} {name}" if count > 1 else name for name, count in unit.joins]
    listed = joined[0] if len(joined) == 1 else f"{', '.join(joined[:-1])} and {joined[-1]}"
    name = unit.name[0].upper() + unit.name[1:]
    if unit.name == "the block":
        return f"{name}: join {listed}, {_WAYS[unit.part.way]}. Make {blocks}."
    many = f"{unit.count} a block, {unit.count * blocks} in all" if unit.count > 1 else f"1 a block, {blocks} in all"
    return f"{name}: join {listed}, {_WAYS[unit.part.way]}; {many}. Press toward the darker side."


def _top_words(quilt: Quilt) -> Iterable[str]:
    turned = len(quilt.turned)
    if turned:
        yield f"{turned} block{'s lie' if turned > 1 else ' lies'} turned in this quilt; lay the blocks out as the picture shows first."
    if quilt.sashing and any(quilt.gaps):
        if quilt.sashing.cornerstones:
            yield "Sew each row of blocks with vertical sashing between, and each row of horizontal sashing with its cornerstones; then join the rows."
        else:
            yield "Sew each row of blocks with vertical sashing between, then join the rows with horizontal sashing."
    elif len(quilt.spots) > 1:
        yield "Join the blocks into rows, pressing each row the other way from the last, then join the rows."
    for number, border in enumerate(quilt.borders, start=1):
        name = "the border" if len(quilt.borders) == 1 else f"border {number}"
        if border.corners == "mitered":
            yield f"Sew {name} to all four sides and miter its corners."
        elif border.corners == "squares":
            yield f"Sew {name} to the sides; sew corner squares to its other strips and join those at top and bottom."
        else:
            yield f"Measure the top through its middle; sew {name} to the sides, then to top and bottom."
