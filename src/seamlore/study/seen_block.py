"""The block seen on a photograph, drawn exactly."""

from __future__ import annotations

from collections import defaultdict
from fractions import Fraction

from seamlore.draft.block import Block, Corner, Patch, Place, Value, block, patch
from seamlore.errors import ShapeError
from seamlore.photo.reading import Reading, SeenBlock

# So near to its place, in parts of the block's side, a corner is seen at best: on fine divisions nothing tells it from
# the line next to it.
_SEEN = 1 / 80


def exact_block(
    seen: SeenBlock, *, name: str = "Unnamed block", reading: Reading | None = None, kind: int = 0
) -> Block:
    """Draw the block seen on a photograph exactly, its corners on the grid of its divisions.

    Parameters
    ----------
    seen : SeenBlock
        As it stands in most blocks; corners in 0..1.
    name : str
        What to call it.
    reading : Reading, optional
        Tells which places are scrappy: those whose patches come from more than two fabrics.
    kind : int
        Which kind of the reading it is.

    Returns
    -------
    Block
        Places and values kept. A corner goes to a line of the divisions, or half-way between two.

    Raises
    ------
    ShapeError
        When a corner lies on neither, or the patches do not cover the block.

    Examples
    --------
    >>> from seamlore.photo.reading import SeenPatch
    >>> left = SeenPatch(outline=((0, 0), (0.51, 0), (0.49, 1), (0, 0.99)), place="A", value="dark")
    >>> right = SeenPatch(outline=((0.51, 0), (1, 0), (1, 1), (0.5, 1)), place="B", value="light")
    >>> [each.area for each in exact_block(SeenBlock(divisions=2, patches=(left, right))).patches]
    [Fraction(1, 2), Fraction(1, 2)]
    >>> exact_block(SeenBlock(divisions=2, patches=(left,)))
    Traceback (most recent call last):
        ...
    seamlore.errors.ShapeError: the block on the photograph, block Unnamed block, at (1.5, 1) divisions ...
    """
    where = "the block on the photograph"
    patches: list[Patch] = []
    try:
        for each in seen.patches:
            patches.append(patch([_on_grid(corner, seen.divisions) for corner in each.outline], each.place))
        return block(name, seen.divisions, patches, _places(seen, reading, kind))
    except ShapeError as fault:
        raise ShapeError(
            fault.given, fault.limit, "name the block or draw it by hand", where=f"{where}, {fault.where}".strip(", ")
        ) from fault


def _on_grid(corner: tuple[float, float], divisions: int) -> Corner:
    def on(value: float) -> Fraction:
        whole = round(value * divisions)
        if abs(value * divisions - whole) <= 0.2:
            return Fraction(whole, divisions)
        half = round(value * divisions * 2)
        off = abs(value * divisions * 2 - half)
        if off <= 0.4 or off <= _SEEN * divisions * 2:
            return Fraction(half, divisions * 2)
        raise ShapeError(
            f"a corner at {value:.3f} of the side",
            f"corners lie on {divisions} divisions or half-way between",
            "name the block or draw it by hand",
        )

    return on(corner[0]), on(corner[1])


def _places(seen: SeenBlock, reading: Reading | None, kind: int) -> dict[str, Place]:
    weights: dict[str, dict[Value, float]] = defaultdict(lambda: defaultdict(float))
    for each in seen.patches:
        xs, ys = [x for x, _ in each.outline], [y for _, y in each.outline]
        weights[each.place][each.value] += (max(xs) - min(xs)) * (max(ys) - min(ys))
    found: dict[str, set[str]] = defaultdict(set)
    # A fabric's patches are numbered as the kind that stands there lists them.
    here = {at for at, each in (reading.everywhere if reading else {}).items() if each.kind == kind}
    for fabric in (reading.fabrics if reading else None) or ():
        for *at, index in fabric.everywhere:
            if tuple(at) in here and 0 <= index < len(seen.patches):
                found[seen.patches[index].place].add(fabric.id)
    return {
        place: Place(max(sorted(values), key=lambda value: values[value]), scrappy=len(found[place]) > 2)
        for place, values in weights.items()
    }
