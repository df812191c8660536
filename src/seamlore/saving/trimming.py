"""Loose blocks as they measure: the common size to trim to, the points it costs, or a frame of its own for each."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction

from seamlore.errors import MeasureError
from seamlore.lengths import Length, inches

MARK = inches("1/8")


@dataclass(frozen=True, slots=True)
class Trimmed:
    """A size to trim loose blocks to.

    Parameters
    ----------
    to : Length
        Raw edge to raw edge.
    finished : Length
        What a block then finishes at.
    too_small : tuple of int
        Blocks, by number, that do not reach that size: they are framed, or left out.
    points_cut : tuple of int
        Blocks that lose their points: their design is larger than what the seams leave.
    most_lost : Length
        How much of a point is lost at most.
    """

    to: Length
    finished: Length
    too_small: tuple[int, ...]
    points_cut: tuple[int, ...]
    most_lost: Length


def common_size(sides: Sequence[tuple[Length, Length]], allowance: Length, seam: Length) -> Trimmed:
    """Find the common size that spares most blocks.

    Parameters
    ----------
    sides : sequence of (width, height)
        Of each loose block, raw edge to raw edge.
    allowance : Length
        The seam allowance that they were pieced with, from the points to the raw edge.
    seam : Length
        The seam that they are sewn with now.

    Returns
    -------
    Trimmed
        On an eighth of an inch: the fewest blocks that are too small or lose their points; then the least of a point that
        is lost, all blocks together that reach it; then the largest.

    Raises
    ------
    MeasureError
        When there is no block, or none is wider than two seams.

    Examples
    --------
    >>> from seamlore.lengths import length
    >>> blocks = [(length("8 1/2 in"),) * 2, (length("8 1/4 in"),) * 2, (length("8 5/8 in"), length("8 1/2 in"))]
    >>> found = common_size(blocks, inches("1/4"), inches("1/4"))
    >>> str(found.to), found.too_small, found.points_cut
    ('8 1/2 in', (1,), (2,))
    >>> common_size([], inches("1/4"), inches("1/4"))
    Traceback (most recent call last):
        ...
    seamlore.errors.MeasureError: no loose block: ...
    """
    if not sides:
        raise MeasureError("no loose block", "a common size needs at least one", "measure their sides")
    if max(min(each, key=_size).inches for each in sides) <= 2 * seam.inches:
        raise MeasureError("loose blocks", f"none is wider than two seams of {seam}", "sew a narrower seam")
    unit = sides[0][0].unit
    reach = [min(side.inches for side in each) for each in sides]
    step = MARK.inches
    # Smaller than the smallest only costs more; larger than the largest no block reaches.
    first, last = int(min(reach) // step), int(max(reach) // step)
    tried = [Length(step * count, unit) for count in range(max(first, int(2 * seam.inches // step) + 1), last + 1)]
    return min(
        (trimmed_to(size, sides, allowance, seam) for size in tried),
        key=lambda each: (
            len(each.too_small) + len(each.points_cut),
            sum(
                _lost(side, each.to, allowance, seam)
                for number, block in enumerate(sides)
                if number not in each.too_small
                for side in block
            ),
            -each.to.inches,
        ),
    )


def trimmed_to(size: Length, sides: Sequence[tuple[Length, Length]], allowance: Length, seam: Length) -> Trimmed:
    """Say what one size costs."""
    small = tuple(number for number, each in enumerate(sides) if min(side.inches for side in each) < size.inches)
    lost = {
        number: max(_lost(side, size, allowance, seam) for side in each)
        for number, each in enumerate(sides)
        if number not in small
    }
    cut = tuple(number for number, much in lost.items() if much > 0)
    most = max(lost.values(), default=Fraction(0))
    return Trimmed(size, size - seam * 2, small, cut, Length(most, size.unit))


def _lost(side: Length, size: Length, allowance: Length, seam: Length) -> Fraction:
    """How much of a point goes at each end of a side: what the design reaches beyond the new seams."""
    return max((side.inches - 2 * allowance.inches - size.inches + 2 * seam.inches) / 2, Fraction(0))


def _size(given: Length) -> Fraction:
    return given.inches


@dataclass(frozen=True, slots=True)
class Framed:
    """The strips of a block's own frame: cut width for its left and right, then for its top and bottom."""

    sides: Length
    ends: Length


def frame(block: tuple[Length, Length], to: Length, allowance: Length, seam: Length) -> Framed:
    """Give a block a frame so that it finishes like the rest, its points whole.

    Parameters
    ----------
    block : (width, height)
        Raw edge to raw edge.
    to : Length
        The raw size that all blocks are to have.
    allowance : Length
        The block's own: its frame is sewn on with that, so that no point is lost.
    seam : Length
        The seam that framed blocks are joined with.

    Examples
    --------
    >>> from seamlore.lengths import length
    >>> found = frame((inches(8), length("8 1/4 in")), inches(10), inches("1/4"), inches("1/4"))
    >>> str(found.sides), str(found.ends)
    ('1 1/2 in', '1 3/8 in')
    """
    wide, high = ((to.inches - side.inches) / 2 + 2 * allowance.inches for side in block)
    return Framed(*(Length(each, to.unit) for each in (wide, high)))


def own_seam(cut: Length, sewn: Length, pieces: int) -> Length:
    """What a seam of hers takes up: a test block of strips sewn side by side, measured raw edge to raw edge.

    Parameters
    ----------
    cut : Length
        Width of each strip.
    sewn : Length
        Width of all of them sewn and pressed.
    pieces : int
        How many strips.

    Returns
    -------
    Length
        Half of what each seam takes: the seam allowance that it really has, fold and all.

    Raises
    ------
    MeasureError
        When they are wider sewn than apart, or are fewer than two.

    Examples
    --------
    >>> from seamlore.lengths import length
    >>> str(own_seam(length("1 1/2 in"), length("3 1/2 in"), 3))
    '1/4 in'
    """
    taken = cut * pieces - sewn
    if pieces < 2 or taken.inches <= 0:
        raise MeasureError(
            f"{pieces} strips of {cut} that sewn are {sewn}",
            "sewn they are narrower than side by side",
            "measure again, pressed flat",
        )
    return taken / (2 * (pieces - 1))
