"""What the tape says: kept as it was written, and read as measurements."""

from __future__ import annotations

from collections.abc import Callable
from typing import Literal

import msgspec

from seamlore.errors import MeasureError
from seamlore.lengths import Length, length
from seamlore.limits import TAPE_ROWS
from seamlore.study.measured import AXES, SIDES, Measurement, What, middle_of, taken


class Span(msgspec.Struct, frozen=True, kw_only=True):
    """One more tape measurement: over several blocks and sashings, or an outermost block at a side.

    `along` is "both" for a span along a row of blocks that stand on their points.
    """

    what: Literal["span", "outer block"] = "span"
    along: Literal["across", "down", "both"] = "across"
    value: str
    blocks: int = 0
    sashings: int = 0
    side: Literal["left", "right", "top", "bottom", ""] = ""


# The fields of the tape that a width or a length of the whole quilt is written in.
OVERALL: dict[str, tuple[str, str, str]] = {
    "across": ("width", "width_top", "width_bottom"),
    "down": ("height", "height_left", "height_right"),
}


class Tape(msgspec.Struct, frozen=True, kw_only=True):
    """What the tape says, as it was written; empty where nothing was measured.

    Width and length are those across and down the middle, and near both edges where they were measured there too.
    `block` and `sashing` hold for both ways; `..._down` says otherwise for the length of the quilt. `border` holds for
    all four sides but those that have a width of their own.
    """

    width: str = ""
    width_top: str = ""
    width_bottom: str = ""
    height: str = ""
    height_left: str = ""
    height_right: str = ""
    block: str = ""
    block_down: str = ""
    sashing: str = ""
    sashing_down: str = ""
    border: str = ""
    border_left: str = ""
    border_right: str = ""
    border_top: str = ""
    border_bottom: str = ""
    rows: int | None = None
    columns: int | None = None
    tolerance: str = ""
    outer_sashing: bool = False
    more: tuple[Span, ...] = ()

    def read(self, field: str) -> Length | None:
        """Read one of the lengths, or None where nothing was measured.

        Raises
        ------
        LengthError
            When it is not a length.
        """
        text = str(getattr(self, field))
        return length(text) if text.strip() else None

    def readings(self, along: Literal["across", "down"]) -> tuple[Length, ...]:
        """Every width, or every length, of the whole quilt: up to three, that in the middle first."""
        return tuple(value for name in OVERALL[along] if (value := self.read(name)))

    def overall(self, along: Literal["across", "down"]) -> Length | None:
        """The width, or the length, of the whole quilt: the mean of those measured.

        Examples
        --------
        >>> Tape(width="70 in", width_top="71 in", width_bottom="70 1/2 in").overall("across")
        Length('70 1/2 in')
        """
        read = self.readings(along)
        return sum(read[1:], read[0]) / len(read) if read else None


def check_counts(tape: Tape) -> None:
    """Refuse counts that no quilt has.

    Raises
    ------
    MeasureError
    """
    for what, count in (("rows", tape.rows), ("columns", tape.columns)):
        if count is not None and not 1 <= count <= TAPE_ROWS:
            raise MeasureError(f"{count} {what}", f"a quilt has 1 to {TAPE_ROWS}", "count them again", where=what)


def tape_lines(tape: Tape, shown: Callable[[Length], Length]) -> list[Measurement]:
    """The tape's words as measurements; a size without its own figure for the length holds both ways."""

    def read(field_name: str) -> Length | None:
        value = tape.read(field_name)
        return shown(value) if value else value

    tolerance = read("tolerance")
    lines: list[Measurement] = []
    for axis in AXES:
        if readings := [shown(each) for each in tape.readings(axis)]:
            lines.append(middle_of(What.OVERALL, readings, axis, tolerance=tolerance))
    for what, both, down in ((What.BLOCK, "block", "block_down"), (What.SASHING, "sashing", "sashing_down")):
        value, other = read(both), read(down)
        if value:
            lines.append(taken(what, value, "across" if other else "both", tolerance=tolerance))
        if other:
            lines.append(taken(what, other, "down", tolerance=tolerance))
    if value := read("border"):
        lines.append(taken(What.BORDER, value, "both", tolerance=tolerance))
    for axis in AXES:
        for side in SIDES[axis]:
            if (value := read(f"border_{side}")) is not None:
                lines.append(taken(What.BORDER, value, axis, tolerance=tolerance, side=side))
    for each in tape.more:
        what = What.SPAN if each.what == "span" else What.OUTER
        lines.append(
            taken(
                what,
                shown(length(each.value)),
                each.along,
                blocks=each.blocks,
                sashings=each.sashings,
                side=each.side,
            )
        )
    return lines
