"""Exact lengths: what one is, how it is read, rounded and printed.

Nothing else in the project knows how many centimeters an inch has, or which words are units.
"""

from seamlore.lengths.exact import (
    CM_PER_INCH,
    EIGHTH,
    FINEST_MARK,
    INCHES_PER_YARD,
    MILLIMETER,
    RULER_MARK,
    SEAM_ALLOWANCE,
    Direction,
    Length,
    Unit,
    centimeters,
    checked_seam,
    in_unit,
    inches,
    on_mark,
    root2,
    show,
    show_seam,
    show_size,
)
from seamlore.lengths.reading import is_pair, length, pair, size, with_unit

__all__ = [
    "CM_PER_INCH",
    "EIGHTH",
    "FINEST_MARK",
    "INCHES_PER_YARD",
    "MILLIMETER",
    "RULER_MARK",
    "SEAM_ALLOWANCE",
    "Direction",
    "Length",
    "Unit",
    "centimeters",
    "checked_seam",
    "in_unit",
    "inches",
    "is_pair",
    "length",
    "on_mark",
    "pair",
    "root2",
    "show",
    "show_seam",
    "show_size",
    "size",
    "with_unit",
]
