"""How large a quilt is for a bed, and how a draft comes nearest to it."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from fractions import Fraction
from types import MappingProxyType

from seamlore.draft.border import Border, widths_said
from seamlore.draft.cells import with_counts, with_lies
from seamlore.draft.quilt import Quilt
from seamlore.draft.setting.setting import field_size
from seamlore.errors import LengthError, SeamloreError, UnknownNameError, nearest
from seamlore.lengths import Length, inches, on_mark, root2, show, show_size
from seamlore.limits import PAGE_ROWS

# Mattress sizes in inches, width and length. Trade sizes as mattressfirm.com and shopbedmart.com list them; makers vary
# by half an inch. Crib: 16 CFR 1219 and sizes.com/home/cribs.htm, the mattress of a full-size crib.
MATTRESSES: Mapping[str, tuple[Length, Length]] = MappingProxyType(
    {
        "crib": (inches(28), inches(52)),
        "twin": (inches(39), inches(75)),
        "twin XL": (inches(39), inches(80)),
        "full": (inches(54), inches(75)),
        "queen": (inches(60), inches(80)),
        "king": (inches(76), inches(80)),
        "California king": (inches(72), inches(84)),
    }
)
_OFFERED = 5


def mattress(name: str) -> tuple[Length, Length]:
    """Give the width and length of a mattress by its trade name.

    Examples
    --------
    >>> mattress("Queen")
    (Length('60 in'), Length('80 in'))
    >>> mattress("quen")
    Traceback (most recent call last):
        ...
    seamlore.errors.UnknownNameError: a bed called "quen": not a size known here; did you mean "queen"?
    """
    found = {known.casefold(): size for known, size in MATTRESSES.items()}.get(name.strip().casefold())
    if found is None:
        raise UnknownNameError(f'a bed called "{name}"', "not a size known here", nearest(name, MATTRESSES))
    return found


def cover_size(
    bed: tuple[Length, Length], drop: Length, *, pillow_tuck: Length | None = None, foot: Length | None = None
) -> tuple[Length, Length]:
    """Give the size of a quilt that covers a bed and hangs down at both sides and the foot.

    Parameters
    ----------
    bed : tuple of Length
        Width and length of the mattress.
    drop : Length
        How far the quilt hangs down at each side.
    pillow_tuck : Length, optional
        How much is added to tuck under and over the pillows; nothing when not given.
    foot : Length, optional
        How far it hangs down at the foot; as at the sides when not given.

    Returns
    -------
    tuple of Length
        Width and length, finished.

    Examples
    --------
    >>> from seamlore.lengths import show_size
    >>> show_size(*cover_size(mattress("queen"), inches(13)))
    '86 x 93 in'
    >>> show_size(*cover_size(mattress("twin"), inches(0)))
    '39 x 75 in'
    """
    lengths = (drop, foot or drop, pillow_tuck or drop * 0)
    if any(each.inches < 0 for each in lengths):
        raise LengthError("a drop of less than 0", "a quilt hangs down by 0 or more", "give how far it hangs")
    return bed[0] + drop * 2, bed[1] + lengths[1] + lengths[2]


def corner_drop(drop: Length) -> Length:
    """Give how far a square corner hangs down at the foot of the bed: the diagonal of the drop.

    Examples
    --------
    >>> show(corner_drop(inches(12)))
    '17 in'
    >>> show(corner_drop(inches(0)))
    '0 in'
    """
    return root2(drop)


@dataclass(frozen=True, slots=True)
class BedFit:
    """A draft brought near to a size.

    Parameters
    ----------
    quilt : Quilt
        With other counts of blocks, and an outer border of another width.
    over : tuple of Length
        How much its width and length are more than was asked; less than 0 when they are less.
    """

    quilt: Quilt
    over: tuple[Length, Length]

    def __str__(self) -> str:
        size = show_size(*self.quilt.finished_size)
        tail = f", outer border {widths_said(self.quilt.borders[-1])}" if self.quilt.borders else ""
        return f"{self.quilt.rows} rows of {self.quilt.columns}{tail}: {size} ({_over(self.over)})"


def _over(over: tuple[Length, Length]) -> str:
    words = []
    for name, length in zip(("width", "length"), over, strict=True):
        if show(abs(length), bare=True) == "0":
            words.append(f"{name} as asked")
        else:
            words.append(f"{name} {show(abs(length))} {'over' if length.inches > 0 else 'under'}")
    return ", ".join(words)


def fit_to(
    quilt: Quilt, size: tuple[Length, Length], *, narrowest: Length | None = None, widest: Length | None = None
) -> tuple[BedFit, ...]:
    """Bring a draft near to a size by the counts of its blocks and the width of its outermost border.

    Parameters
    ----------
    quilt : Quilt
        Its blocks, sashing, setting and inner borders stay as they are. Blocks that lie turned are set straight
        again, since another count of rows has no place for some; where kinds take turns they go on doing so.
    size : tuple of Length
        Finished width and length wanted.
    narrowest, widest : Length, optional
        Of the outermost border, when the quilt has one that is not pieced; from a quarter of the block to a
        whole block when not given (common practice, no source).

    Returns
    -------
    tuple of BedFit
        At most five, the nearest first.

    Raises
    ------
    LengthError
        When nothing comes near it: even one block is larger, or a pieced border never comes out even.

    Examples
    --------
    >>> from seamlore.draft.repeated import repeated
    >>> from seamlore.draft.text.notation import read_block
    >>> from seamlore.draft.border import border
    >>> half = read_block("block Half\\nA dark\\nB light\\n\\nA/B")
    >>> quilt = repeated("q", half, inches(9), inches(9), 2, 2, borders=(border(inches(3)),))
    >>> print(fit_to(quilt, (inches(86), inches(93)))[0])
    9 rows of 8, outer border 6 1/2 in: 85 x 94 in (width 1 in under, length 1 in over)
    >>> fit_to(quilt, (inches(4), inches(4)))
    Traceback (most recent call last):
        ...
    seamlore.errors.LengthError: 4 x 4 in: one block alone is 9 x 9 in, and none of these counts fits; ...
    """
    low = narrowest or quilt.block_width / 4
    high = widest or quilt.block_width
    last = quilt.borders[-1] if quilt.borders else None
    inside = quilt.borders if last and _fixed(last) else quilt.borders[:-1]
    top, right, bottom, left = (
        sum((each.sides[index].width.inches for each in inside), Fraction(0)) for index in range(4)
    )
    inner = (left + right, top + bottom)
    if last is None or _fixed(last):
        low = high = size[0] * 0
    ranked = []
    for rows, columns, field in _fields(quilt, size):
        room = [
            (whole.inches - side.inches - within) / 2 for whole, side, within in zip(size, field, inner, strict=True)
        ]
        middle = on_mark(Length((room[0] + room[1]) / 2, size[0].unit), "nearest", Length(Fraction(1, 4)))
        border = max(min(middle, high), low)
        ranked.append((max(abs(border.inches - each) for each in room), rows, columns, border))
    found: list[BedFit] = []
    for _, rows, columns, border in sorted(ranked, key=lambda each: each[:3]):
        made = _made(quilt, rows, columns, border)
        if made:
            width, height = made.finished_size
            found.append(BedFit(made, (width - size[0], height - size[1])))
        if len(found) == _OFFERED:
            break
    if not found:
        raise LengthError(
            show_size(*size),
            f"one block alone is {show_size(quilt.block_width, quilt.block_height)}, and none of these counts fits",
            "ask for more, use a smaller block, or leave a pieced border out",
        )
    return tuple(found)


def _fields(quilt: Quilt, size: tuple[Length, Length]) -> Iterator[tuple[int, int, tuple[Length, Length]]]:
    """Counts of rows and columns whose field is not much larger than what was asked."""
    for rows in range(1, PAGE_ROWS + 1):
        for columns in range(1, PAGE_ROWS + 1):
            field = field_size(quilt.setting, replace(quilt.measure, rows=rows, columns=columns))
            if field[0] > size[0] + quilt.block_width / 2:
                break
            if field[1] > size[1] + quilt.block_height / 2:
                return
            yield rows, columns, field


def _made(quilt: Quilt, rows: int, columns: int, border: Length) -> Quilt | None:
    """The quilt with these counts; None when it cannot be sewn so (a pieced border that does not come out even)."""
    try:
        return _bordered(with_counts(with_lies(quilt, {}), rows, columns, cut=None), border)
    except SeamloreError:
        return None


def _fixed(border: Border) -> bool:
    """Whether a border keeps its widths: a pieced one does, and one whose sides are not alike."""
    return not border.even or border.top.pieced is not None


def _bordered(quilt: Quilt, width: Length) -> Quilt:
    if not quilt.borders or _fixed(quilt.borders[-1]):
        return quilt
    last = quilt.borders[-1]
    wide = last.with_sides(replace(side, width=width) for side in last.sides)
    return replace(quilt, borders=(*quilt.borders[:-1], wide))
