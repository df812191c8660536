"""A quilt put into the lines of a draft file: the writing half of `quilt_file`."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import replace
from fractions import Fraction

from seamlore.draft.block import Block
from seamlore.draft.border import Border
from seamlore.draft.kinds import AS_DRAWN, Kind, Turned, plain_block, sign_for
from seamlore.draft.quilt import Quilt
from seamlore.draft.setting.setting import Offset, OnPoint, Strips
from seamlore.draft.text.notation import write_block
from seamlore.draft.text.quilt_picture import write_picture
from seamlore.draft.where import SIDES, said
from seamlore.errors import UnknownNameError
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
    short = _short(quilt)
    lines = [f"quilt {quilt.name}"]
    lines += [f"made of {blocks.named(kind)}" for kind in quilt.kinds if short]
    wide, high = exact_text(quilt.block_width), exact_text(quilt.block_height)
    square = quilt.block_width == quilt.block_height and quilt.block_width.unit is quilt.block_height.unit
    lines.append(f"finished {wide}" if square else f"finished {wide} x {high}")
    lines += [f"rows {quilt.rows}", f"columns {quilt.columns}"] if short else []
    lines += _setting(quilt)
    for border in quilt.borders:
        lines += _border(border)
    if short:
        lines += _turns(quilt)
    else:
        lines += [f"row {row}" for row in write_picture(quilt.cells)]
        lines += [f"kind {kind.name} {blocks.named(kind)}" for kind in quilt.kinds]
    for kind in quilt.kinds:
        lines += [f"fabric {quilt.key(kind, letter)} = {name}" for letter, name in sorted(kind.fabrics.items())]
    lines += [f"fabric {key} = {name}" for key, name in quilt.fabrics.items()]
    lines += _own(quilt)
    return "\n".join(["\n".join(lines) + "\n", *blocks.texts])


def _short(quilt: Quilt) -> bool:
    """Whether it can be said in a line what the quilt is made of: one block, read everywhere, called as it would be."""
    return (
        len(quilt.kinds) == 1
        and not quilt.not_read
        and not any(border.kinds for border in quilt.borders)
        and quilt.kinds[0].name == sign_for(quilt.kinds[0].block)
    )


def _own(quilt: Quilt) -> Iterator[str]:
    for row, column in quilt.spots:
        own = quilt.cells[row][column].fabrics
        if own:
            yield f"at {said(row, column)}: {', '.join(f'{letter} = {name}' for letter, name in sorted(own.items()))}"


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
        self.known: dict[str, Block] = {}
        self.texts: list[str] = []

    def named(self, kind: Kind) -> str:
        block = kind.block
        if kind.plain:
            ((letter, place),) = block.places.items()
            plain = plain_block(letter, place.value)
            if block == replace(plain, places={letter: place}):
                return f"plain {f'{letter} ' * (letter != 'A')}{place.value}{' scrappy' * place.scrappy}"
        base = self.known.get(block.name)
        if base is None:
            base = self.known[block.name] = block
            if self._find(block.name) != block:
                self.texts.append(write_block(block))
        elif base != block:
            # Another drawing of the same name is drawn for its kind alone.
            first, rest = write_block(block).split("\n", 1)
            self.texts.append(f"{first} [{kind.name}]\n{rest}")
        return block.name

    def _find(self, name: str) -> Block | None:
        try:
            return self.find_block(name) if self.find_block else None
        except UnknownNameError:
            return None


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


def _border(border: Border) -> Iterator[str]:
    yield f"border {exact_text(border.top.width)}, {border.corners}, {border.top.fabric}"
    for name, side in zip(SIDES, border.sides, strict=True):
        if (side.width, side.width.unit, side.fabric) != (border.top.width, border.top.width.unit, border.top.fabric):
            fabric = f", {side.fabric}" if side.fabric != border.top.fabric else ""
            yield f"{name} {exact_text(side.width)}{fabric}"
    for pieced in dict.fromkeys(side.pieced for side in border.sides if side.pieced):
        names = [name for name in SIDES if border.side(name).pieced == pieced]
        which = f"{', '.join(names)}: " * (len(names) < len(SIDES))
        yield f"repeat {which}{'mirrored ' * pieced.mirrored}{exact_text(pieced.length)} of {pieced.kind}"
    if border.corner:
        yield f"corner {border.corner}"


def _turns(quilt: Quilt) -> list[str]:
    if not quilt.turned:
        return []
    rows: dict[int, list[str]] = {}
    for spot in quilt.spots:
        rows.setdefault(spot[0], []).append(_turn(quilt.turned.get(spot, AS_DRAWN)))
    return ["turn " + " ".join(word.ljust(4) for word in row).rstrip() for row in rows.values()]


def _turn(turned: Turned) -> str:
    return "m" * turned.mirrored + str(turned.turn)
