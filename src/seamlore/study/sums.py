"""The sums as a quilter does them on paper: what the figures make, what the tape says, and whether that closes."""

from __future__ import annotations

from dataclasses import dataclass

from seamlore.lengths import Length, Unit, in_unit, on_mark, root2, show
from seamlore.study.measured import AXES, SIDES, Axis, Known, What
from seamlore.study.measurements import Measurements
from seamlore.study.unknowns import UNEVEN_IN

# A difference larger than this many standard uncertainties is no accident of the tape: about 3 in 1,000 are, where
# errors are Gaussian.
_FAR = 3.0


@dataclass(frozen=True, slots=True)
class Sum:
    """One sum as a quilter would do it on paper, with the figures as said.

    Parameters
    ----------
    along : {"across", "down"}
        Width or length of the quilt.
    blocks : int
        How many blocks.
    block, sashing : Length
        As said; 0 when there is none.
    gaps : int
        How many sashings.
    borders : tuple of Length
        At the two sides, 0 where there is none.
    total, measured : Length
        What the figures make; what the tape says.
    sigma_in : float
        Standard uncertainty of the difference, in inches, as far as the figures were read with care.
    on_point : bool
        Whether the blocks stand on their points, so that their diagonals add up.
    """

    along: Axis
    blocks: int
    block: Length
    gaps: int
    sashing: Length
    borders: tuple[Length, Length]
    total: Length
    measured: Length
    sigma_in: float
    on_point: bool = False

    @property
    def short(self) -> Length:
        """How much the quilt is shorter than the figures make; less than 0 when it is longer."""
        return self.total - self.measured

    @property
    def closes(self) -> bool:
        """Whether the difference is no more than the tape's give or take explains."""
        return abs(self.short.inches_float) <= _FAR * self.sigma_in

    @property
    def difference(self) -> str:
        """Say the difference: "3 1/2 in short", "19 in over"; empty where a tape shows none."""
        off = abs(self.short)
        if show(off) == show(off * 0):
            return ""
        return f"{show(off)} {'short' if self.short.inches > 0 else 'over'}"

    def __str__(self) -> str:
        parts = [_several(self.blocks, "block", self.block)]
        if self.gaps:
            parts.append(_several(self.gaps, "sashing", self.sashing))
        near, far = self.borders
        if near == far and near:
            parts.append(_several(2, "border", near))
        else:
            parts += [_several(1, "border", each) for each in (near, far) if each]
        way = "wide" if self.along == "across" else "long"
        listed = parts[0] if len(parts) == 1 else ", ".join(parts[:-1]) + " and " + parts[-1]
        point = ", on point," if self.on_point else ""
        said = f"{listed}{point} make {show(self.total)}; the quilt is {show(self.measured)} {way}"
        return f"{said}, {self.difference}" if self.difference else said


def _several(count: int, what: str, size: Length) -> str:
    return f"{count} {what}{'s' * (count != 1)} of {show(size)}"


def sums(measured: Measurements) -> tuple[Sum, ...]:
    """Add up the figures as said, in each direction where there are enough of them.

    Examples
    --------
    >>> from seamlore.lengths import inches
    >>> from seamlore.study.measured import taken
    >>> from seamlore.study.measurements import measurements
    >>> said = [taken(What.OVERALL, inches(50), "across"), taken(What.BLOCK, inches(6)), taken(What.BORDER, inches(4))]
    >>> print(*sums(measurements(said, columns=7)))
    7 blocks of 6 in and 2 borders of 4 in make 50 in; the quilt is 50 in wide
    """
    found = []
    for axis in AXES:
        whole, block, count = measured.said(What.OVERALL, axis), measured.said(What.BLOCK, axis), measured.count(axis)
        if whole is None or block is None or count is None:
            continue
        zero = in_unit(0, measured.unit)
        strip = measured.said(What.SASHING, axis) if measured.has_sashing(axis) else None
        if strip is None and measured.has_sashing(axis):
            strip = measured.said(What.SASHING, "down" if axis == "across" else "across")
        gaps = count - 1 + 2 * measured.outer_sashing if strip else 0
        edges = [measured.border(side) for side in SIDES[axis]]
        near, far = (_as_said(each.value, each.known) if each else zero for each in edges)
        sashing = _as_said(strip.value, strip.known) if strip else zero
        one = _as_said(block.value, block.known)
        inside = one * count + sashing * gaps
        total = (root2(inside) if measured.on_point else inside) + near + far
        slant = 2**0.5 if measured.on_point else 1.0
        # One border's width holds at both sides when it was measured once.
        border = sum(each.sigma_in for each in edges if each)
        variance = whole.sigma_in**2 + border**2 + count * UNEVEN_IN**2 + (slant * count * block.sigma_in) ** 2
        variance += (slant * gaps * strip.sigma_in) ** 2 if strip else 0.0
        made = Sum(axis, count, one, gaps, sashing, (near, far), total, whole.value, variance**0.5, measured.on_point)
        found.append(made)
    return tuple(found)


def _as_said(value: Length, known: Known) -> Length:
    """What the photograph says, on a tape's mark, so that the sum can be followed as it is written."""
    if known is not Known.PHOTO:
        return value
    mark = in_unit(1, Unit.INCH) / 8 if value.unit is Unit.INCH else in_unit(1, Unit.CM) / 10
    return on_mark(value, "nearest", mark)
