"""Draw seams in a block: between points of its grid, or with a free hand."""

from __future__ import annotations

import re
from collections import defaultdict
from collections.abc import Sequence
from fractions import Fraction

from seamlore.draft.block import Block, Corner
from seamlore.draft.cells import with_block
from seamlore.draft.edit import draw_seam
from seamlore.draft.exact.roots import Exact, absolute, total
from seamlore.draft.freehand import carried, snapped
from seamlore.draft.quilt import Quilt
from seamlore.errors import ShapeError
from seamlore.steps.draft.open_kind import open_kind
from seamlore.steps.edit.keep import renamed

_PART = re.compile(r"\d{1,6}(/[1-9]\d{0,5}|\.\d{1,6})?")


def read_point(text: str) -> Corner:
    """Read a point of a block, in parts of its side from its top left.

    Raises
    ------
    ShapeError
        When it is not one.

    Examples
    --------
    >>> [str(part) for part in read_point("1/3,0.5")]
    ['1/3', '1/2']
    >>> read_point("2,0")
    Traceback (most recent call last):
        ...
    seamlore.errors.ShapeError: a point at 2, 0: it lies outside the block; draw the seam inside it
    """
    parts = text.split(",")
    if len(parts) != 2 or not all(_PART.fullmatch(part.strip()) for part in parts):
        raise ShapeError(
            f'a point "{text[:30]}"',
            "a seam runs between two points of the block, such as 1/3,0 and 1/3,1",
            "draw it again",
        )
    x, y = (Fraction(part.strip()) for part in parts)
    if max(x, y) > 1:
        raise ShapeError(f"a point at {x}, {y}", "it lies outside the block", "draw the seam inside it")
    return x, y


def read_seam(text: str) -> tuple[Corner, Corner]:
    """Read the two ends of a seam, such as "1/3,0 1/3,1".

    Raises
    ------
    ShapeError
        When there are not two points.

    Examples
    --------
    >>> read_seam("0,0 1,1") == ((0, 0), (1, 1))
    True
    >>> read_seam("")
    Traceback (most recent call last):
        ...
    seamlore.errors.ShapeError: the seam "": it has two ends; write them as 1/3,0 1/3,1
    """
    ends = text.split()
    if len(ends) != 2:
        raise ShapeError(f'the seam "{text[:40]}"', "it has two ends", "write them as 1/3,0 1/3,1")
    return read_point(ends[0]), read_point(ends[1])


def sewn(given: Block, start: Corner, end: Corner, *, free: bool = False) -> Block:
    """Draw a seam; whichever way it was drawn, the smaller part is the one that takes another place.

    Parameters
    ----------
    given : Block
    start, end : (Fraction, Fraction)
        In parts of the block's side.
    free : bool
        Drawn by a free hand: the ends are put on what they come near to, and one that ends in the midst of a patch is
        carried on to its side.

    Raises
    ------
    ShapeError
        When the ends are one point, or the seam divides no patch, or leaves a sliver.

    Examples
    --------
    >>> from seamlore.draft.text.notation import read_block
    >>> plain = read_block("block Plain\\nA light\\n\\nA")
    >>> nearly = Fraction(26, 100), Fraction(1, 100)
    >>> sorted(float(each.area) for each in sewn(plain, nearly, (Fraction(1, 4), Fraction(1, 2)), free=True).patches)
    [0.25, 0.75]
    >>> sewn(plain, nearly, nearly)
    Traceback (most recent call last):
        ...
    seamlore.errors.ShapeError: block Plain: a seam from a point to itself: a seam has two ends; ...
    """
    if free:
        start, end = carried(given, snapped(given, start), snapped(given, end))
    return min(
        (draw_seam(given, *ends) for ends in ((start, end), (end, start))), key=lambda new: _shifted(given, new)
    )


def reseamed(given: Block | Quilt, seams: Sequence[str]) -> Block | Quilt:
    """Draw seams, written as `read_seam` takes them, in a block or in the commonest block of a quilt.

    A block that is no longer the one that its name was given to takes the catalogue's name for what it is now, or is
    called a variation of what it comes near.

    Examples
    --------
    >>> from seamlore.draft.catalogue import find
    >>> reseamed(find("nine patch"), ["0,0 1/3,1/3"]).name
    'Nine Patch variation'
    >>> reseamed(find("nine patch"), []).name
    'Nine Patch'
    """
    if isinstance(given, Quilt):
        kind = open_kind(given)
        block = reseamed(kind.block, seams)
        assert isinstance(block, Block)
        return with_block(given, kind.name, block) if seams else given
    for text in seams:
        given = sewn(given, *read_seam(text))
    return renamed(given) if seams else given


def _shifted(old: Block, new: Block) -> Exact:
    """How much of a block has gone from one place to another, in parts of its area."""
    areas: dict[str, Exact] = defaultdict(Fraction)
    for sign, block in ((1, new), (-1, old)):
        for each in block.patches:
            areas[each.place] += sign * each.area
    return total(absolute(area) for area in areas.values())
