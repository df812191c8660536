"""The label for the back of a quilt: what is known, what is not; printed on cloth at its true size."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from typing import Literal

from seamlore.drawing.metrics import broken, width_em
from seamlore.drawing.picture import Picture, picture
from seamlore.drawing.shapes import MM_PER_INCH, MM_PER_PT, Area, Line, Shape, Text, box, mm
from seamlore.errors import PageError
from seamlore.lengths import inches, show, show_size
from seamlore.pictures.palette import FAINT, INK
from seamlore.printing.content import Document, Paper, Plate, Steps
from seamlore.printing.pages import plate_room
from seamlore.sheets.content import NAMELESS, LabelContent

# Turned under on each side when the label is sewn on; nothing is printed there.
TURN_UNDER = inches("1/4")
_INSET_MM = 5.0
# Below this, print on cloth closes up.
_LEAST_PT = 7.5


Weight = Literal["regular", "semibold"]


@dataclass(frozen=True, slots=True)
class _Line:
    words: str
    size_pt: float
    weight: Weight = "regular"
    italic: bool = False
    before_pt: float = 0.0


def label(content: LabelContent, paper: Paper = "letter", *, mirrored: bool = False) -> Document:
    """Lay out a label on a page to be printed on cloth, with how to use it.

    Parameters
    ----------
    content : LabelContent
    paper : {"letter", "a4"}
    mirrored : bool
        For transfer paper, from which it comes out the right way round.

    Returns
    -------
    Document

    Raises
    ------
    PageError
        When the words do not go on a label of that size, or the label not on the page.
    """
    drawn = label_picture(content)
    name = content.name.strip() or NAMELESS
    onto = (
        "Print at 100 % on transfer paper, mirrored as it stands here, and check both test squares; press it onto washed "
        "cotton as its maker says, never onto the quilt itself."
        if mirrored
        else "Print at 100 % on cloth made for your printer, and check both test squares."
    )
    use = (
        onto,
        "Rinse or set it as its maker says. Press a damp white cloth on it: if color comes off, do not use it.",
        "Cut on the outer line, turn under on the dashed line and sew it to the backing only, at the lower right.",
        "On an old quilt use a fine needle and no iron, glue or fusible web, and do not write on the quilt itself.",
    )
    room = plate_room(paper)
    if drawn.width_mm > room[0] or drawn.height_mm > room[1]:
        raise PageError(
            f"a label of {show_size(content.width, content.height)}",
            f"with what is turned under it must go on {room[0]:.0f} by {room[1]:.0f} mm of {paper} paper",
            "make it smaller",
        )
    plate = Plate(f"Label: {name}", drawn, (Steps(tuple(use)),), mirrored=mirrored)
    return Document(f"{name}: label", (plate,), content.printed, subject="A label to sew on the back of a quilt")


def label_picture(content: LabelContent) -> Picture:
    """Draw a label at its true size, with what is turned under.

    Parameters
    ----------
    content : LabelContent

    Raises
    ------
    PageError
        When the words do not go on a label of that size.
    """
    width, height, turn = mm(content.width), mm(content.height), mm(TURN_UNDER)
    margin = 0.5
    room_x, room_y = width - 2 * _INSET_MM - 4, height - 2 * _INSET_MM - 3
    lines = _fitted(content, room_x, room_y)
    shapes: list[Shape] = [
        Area((box(margin, margin, width + 2 * turn, height + 2 * turn),), None, FAINT, 0.2),
        Area((box(margin + turn, margin + turn, width, height),), None, FAINT, 0.2, (1.5, 1.5)),
    ]
    left, top = margin + turn + _INSET_MM / 2, margin + turn + _INSET_MM / 2
    shapes += _frame(left, top, width - _INSET_MM, height - _INSET_MM)
    tall = sum(_advance(each) for each in lines)
    y = margin + turn + (height - tall) / 2
    for each in lines:
        y += _advance(each)
        shapes.append(
            Text(
                margin + turn + width / 2,
                y - 0.28 * each.size_pt * MM_PER_PT,
                each.words,
                each.size_pt,
                "middle",
                weight=each.weight,
                italic=each.italic,
                fill=INK,
            )
        )
    said = "; ".join(each.words for each in lines)
    return picture(
        width + 2 * turn + 2 * margin,
        height + 2 * turn + 2 * margin,
        shapes,
        title=f"Label: {content.name}",
        description=f"A label {show_size(content.width, content.height)} finished. It says: {said}.",
    )


def _frame(left: float, top: float, width: float, height: float) -> list[Shape]:
    """Two fine lines whose corners cross, as binding strips do."""
    over = 1.6
    right, bottom = left + width, top + height
    return [
        Line(
            (
                ((left - over, top), (right + over, top)),
                ((left - over, bottom), (right + over, bottom)),
                ((left, top - over), (left, bottom + over)),
                ((right, top - over), (right, bottom + over)),
            ),
            INK,
            0.25,
        ),
        Area((box(left + 1.1, top + 1.1, width - 2.2, height - 2.2),), None, INK, 0.12),
    ]


def _advance(line: _Line) -> float:
    return (1.28 * line.size_pt + line.before_pt) * MM_PER_PT


def _fitted(content: LabelContent, width: float, height: float) -> list[_Line]:
    """Set the words as large as goes on the label, from twice the least size down."""
    for step in range(21):
        factor = 2 - 0.05 * step
        lines = _lines(content, width, factor)
        if sum(_advance(each) for each in lines) <= height and all(_wide(each) <= width for each in lines):
            return lines
    lines = _lines(content, width, 1.0)
    tall = sum(_advance(each) for each in lines) + 2 * _INSET_MM + 3
    wide = max(_wide(each) for each in lines) + 2 * _INSET_MM + 4
    raise PageError(
        f"a label of {show_size(content.width, content.height)}",
        f"its words need about {_about(wide)} by {_about(tall)}",
        "make it larger, or say less on it",
    )


def _about(side_mm: float) -> str:
    return show(inches(Fraction(side_mm / MM_PER_INCH)), mark=inches("1/4"), direction="up")


def _wide(line: _Line) -> float:
    return width_em(line.words, line.weight) * line.size_pt * MM_PER_PT


def _lines(content: LabelContent, width: float, factor: float) -> list[_Line]:
    found: list[_Line] = []

    def put(words: str, size: float, weight: Weight = "regular", italic: bool = False, before: float = 0.0) -> None:
        for index, line in enumerate(broken(words, width / (size * MM_PER_PT), weight)):
            found.append(_Line(line, size, weight, italic, before if index == 0 else 0.0))

    base = _LEAST_PT * factor
    put(content.name, base * 1.6, "semibold")
    put(content.maker[:1].upper() + content.maker[1:], base, before=base * 0.35)
    for index, each in enumerate(content.known):
        put(each, base, before=base * 0.5 if index == 0 else 0.0)
    for index, each in enumerate(content.repaired):
        put(each, base, before=base * 0.5 if index == 0 else 0.0)
    if content.unknown:
        put(f"Not known: {', '.join(content.unknown)}", base, italic=True, before=base * 0.5)
    return found
