"""A quilt put into the lines of a draft file: the writing half of `quilt_file`."""

from __future__ import annotations

from collections.abc import Callable
from fractions import Fraction

from seamlore.draft.block import Block
from seamlore.draft.quilt import AS_DRAWN, Border, Quilt, Turned
from seamlore.draft.setting.letters import letters_between, plain_block
from seamlore.draft.setting.setting import Offset, OnPoint, Strips
from seamlore.draft.text.notation import write_block
from seamlore.errors import NotationError, UnknownNameError
from seamlore.lengths import Length, Unit


def quilt_text(quilt: Quilt, find_block: Callable[[str], Block] | None = None) -> str:
    """Put a quilt into lines; `write_quilt` also checks that they read back to the same quilt.

    Parameters
    ----------
    quilt : Quilt
        As drafted.
    find_block : callable, optional
        Blocks that it finds by their name are not drawn.

    Returns
    -------
    str
        Ending in a line break.
    """
    blocks = _Blocks(find_block)
    lines = [f"quilt {quilt.name}", f"made of {blocks.named(quilt.block)}"]
    if quilt.second:
        lines.append(f"every other {blocks.named(quilt.second)}")
    wide, high = exact_text(quilt.block_width), exact_text(quilt.block_height)
    square = quilt.block_width == quilt.block_height and quilt.block_width.unit is quilt.block_height.unit
    lines.append(f"finished {wide}" if square else f"finished {wide} x {high}")
    lines += [f"rows {quilt.rows}", f"columns {quilt.columns}", *_setting(quilt)]
    for border in quilt.borders:
        lines += _border(border, blocks)
    lines += _turns(quilt)
    lines += [f"fabric {key} = {name}" for key, name in quilt.fabrics.items()]
    drawn = [write_block(each) for each in blocks.drawn.values()]
    return "\n".join(["\n".join(lines) + "\n", *drawn])


def exact_text(given: Length) -> str:
    """Write a length so that it reads back to exactly the same fraction.

    Examples
    --------
    >>> from seamlore.lengths import centimeters, inches
    >>> exact_text(inches("9.5")), exact_text(inches(Fraction(1, 3))), exact_text(centimeters("22.5"))
    ('9 1/2 in', '1/3 in', '22.5 cm')
    >>> exact_text(inches(0))
    '0 in'
    """
    value = given.measured_in(given.unit)
    whole, part = divmod(value, 1)
    if given.unit is Unit.CM and Fraction(f"{float(value):.4f}") == value:
        text = f"{float(value):.4f}".rstrip("0").rstrip(".")
    else:
        text = " ".join(str(piece) for piece in (whole, part) if piece) or "0"
    return f"{text} {given.unit}"


class _Blocks:
    """The blocks that a file must draw, and what each is called in its lines."""

    def __init__(self, find_block: Callable[[str], Block] | None) -> None:
        self.find_block = find_block
        self.drawn: dict[str, Block] = {}
        self.known: dict[str, Block] = {}

    def named(self, block: Block) -> str:
        if len(block.patches) == 1:
            place = block.patches[0].place
            if block == plain_block(place, block.places[place].value):
                return f"plain {place} {block.places[place].value}"
        base = self.known.get(block.name) or self._find(block)
        if base is None:
            base = self.drawn[block.name] = block
        self.known[block.name] = base
        letters = letters_between(base, block)
        if letters is None:
            raise NotationError(
                f"two blocks called {block.name}", "a draft file names its blocks apart", "rename one of them"
            )
        if not letters:
            return block.name
        return f"{block.name} ({', '.join(f'{old} as {new}' for old, new in letters.items())})"

    def _find(self, block: Block) -> Block | None:
        try:
            found = self.find_block(block.name) if self.find_block else None
        except UnknownNameError:
            return None
        return found if found and letters_between(found, block) is not None else None


def _setting(quilt: Quilt) -> list[str]:
    lines: list[str] = []
    match quilt.setting:
        case OnPoint(edge):
            lines.append("set on point" + ", half blocks" * (edge == "half blocks"))
        case Offset(ends):
            lines.append("set offset" + ", plain ends" * (ends == "plain"))
        case Strips(width, outer, on_point):
            lines.append(f"set strips {exact_text(width)}" + ", outside" * outer + ", on point" * on_point)
    if quilt.sashing:
        across, down = exact_text(quilt.sashing.between_columns), exact_text(quilt.sashing.between_rows)
        widths = across if across == down else f"{across} by {down}"
        said = ", outside" * quilt.sashing.outer + ", cornerstones" * quilt.sashing.cornerstones
        lines.append(f"sashing {widths}{said}")
    if quilt.cut:
        sides = {side: getattr(quilt.cut, side) for side in ("left", "top", "right", "bottom")}
        lines.append("cut " + ", ".join(f"{side} {exact_text(given)}" for side, given in sides.items()))
    return lines


def _border(border: Border, blocks: _Blocks) -> list[str]:
    lines = [f"border {exact_text(border.width)}, {border.corners}, {border.fabric}"]
    if border.pieced:
        mirrored = "mirrored " * border.pieced.mirrored
        lines.append(f"repeat {mirrored}{exact_text(border.pieced.length)} of {blocks.named(border.pieced.unit)}")
        if border.pieced.corner:
            lines.append(f"corner {blocks.named(border.pieced.corner)}")
    return lines


def _turns(quilt: Quilt) -> list[str]:
    if not quilt.turned:
        return []
    rows: dict[int, list[str]] = {}
    for spot in quilt.spots:
        rows.setdefault(spot[0], []).append(_turn(quilt.turned.get(spot, AS_DRAWN)))
    return ["turn " + " ".join(word.ljust(4) for word in row).rstrip() for row in rows.values()]


def _turn(turned: Turned) -> str:
    return "m" * turned.mirrored + str(turned.turn)
