"""The tape's words as measurements."""

from __future__ import annotations

from collections.abc import Callable

from seamlore.lengths import Length, length
from seamlore.steps.study.sections import Tape
from seamlore.study.measured import AXES, SIDES, Measurement, What, middle_of, taken


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
