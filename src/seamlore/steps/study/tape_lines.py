"""The tape's words as measurements."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING

from seamlore.lengths import Length, length
from seamlore.steps.study.sections import (
    Tape,
)
from seamlore.study.measured import Measurement, What, taken

if TYPE_CHECKING:
    # These open pictures and are slow to import; a job without a photograph does without them.
    pass


def tape_lines(tape: Tape, shown: Callable[[Length], Length]) -> list[Measurement]:
    """The tape's words as measurements; a size without its own figure for the length holds both ways."""

    def read(field_name: str) -> Length | None:
        value = tape.read(field_name)
        return shown(value) if value else value

    tolerance = read("tolerance")
    lines: list[Measurement] = []
    for field_name, what, along in (("width", What.OVERALL, "across"), ("height", What.OVERALL, "down")):
        if value := read(field_name):
            lines.append(taken(what, value, along, tolerance=tolerance))  # type: ignore[arg-type]
    for what, both, down in ((What.BLOCK, "block", "block_down"), (What.SASHING, "sashing", "sashing_down")):
        value, other = read(both), read(down)
        if value:
            lines.append(taken(what, value, "across" if other else "both", tolerance=tolerance))
        if other:
            lines.append(taken(what, other, "down", tolerance=tolerance))
    if value := read("border"):
        lines.append(taken(What.BORDER, value, "both", tolerance=tolerance))
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
