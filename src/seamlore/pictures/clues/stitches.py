"""Threads and stitches."""

from __future__ import annotations

from math import cos, pi, sin

from seamlore.drawing.shapes import Area, Line, Shape, box, circle
from seamlore.pictures.clues.ground import (
    HEIGHT_MM,
    WIDTH_MM,
    cloth,
    regular,
)
from seamlore.pictures.palette import FAINT, HAIR, INK, MADDER, PAPER, QUIET


def thread(plies: str, color: str) -> list[Shape]:
    """A thread of so many plies."""
    count = int(plies)
    shapes: list[Shape] = []
    for index in range(count):
        run = tuple(
            (x * 0.5, 5.0 + (0.35 + 0.28 * count) * sin(x * 0.45 + 2 * pi * index / count)) for x in range(29)
        )
        shapes.append(Line((run,), color, 0.5, cap="round"))
    return shapes


def stitch(kind: str) -> list[Shape]:
    """Stitches on cloth."""
    shapes = cloth()
    y = HEIGHT_MM / 2

    def dashes(height: float, length: float, gap: float, width: float = 0.45, color: str = INK) -> Line:
        starts = [0.6 + index * (length + gap) for index in range(int(13 / (length + gap)))]
        return Line(tuple(((x, height), (x + length, height)) for x in starts), color, width, cap="round")

    if kind == "lock":
        shapes += [dashes(3.5, 1.6, 0.3), dashes(6.5, 1.6, 0.3)]
    elif kind == "chain":
        shapes += [
            Line(
                (
                    tuple(
                        (x + 0.9 + 0.9 * cos(turn), y + 0.6 * sin(turn))
                        for turn in [index * 0.7 for index in range(10)]
                    ),
                ),
                INK,
                0.3,
            )
            for x in (0.8, 2.6, 4.4, 6.2, 8.0, 9.8, 11.4)
        ]
    elif kind == "run":
        shapes += [dashes(2.5, 0.8, 0.8), dashes(5.0, 0.8, 0.8), dashes(7.5, 0.8, 0.8)]
    elif kind == "fine":
        shapes += [dashes(height, 0.4, 0.4, 0.3) for height in (1.5, 3.2, 4.9, 6.6, 8.3)]
    elif kind == "big":
        shapes += [dashes(3.2, 2.0, 1.3, 0.9, MADDER), dashes(6.8, 2.0, 1.3, 0.9, MADDER)]
    elif kind == "rows":
        shapes += [dashes(height, 1.4, 0.2, 0.3) for height in (1.4, 3.2, 5.0, 6.8, 8.6)]
    elif kind == "zigzag":
        shapes.append(
            Line((tuple((0.6 + 0.8 * index, y + (1.6 if index % 2 else -1.6)) for index in range(17)),), INK, 0.35)
        )
    elif kind == "satin":
        shapes.append(
            Line((tuple((0.6 + 0.3 * index, y + (1.4 if index % 2 else -1.4)) for index in range(44)),), MADDER, 0.3)
        )
    elif kind == "meander":
        shapes.append(
            Line((tuple((1 + 0.25 * t, 5 + 3.2 * sin(t * 0.45) + 1.2 * cos(t * 1.1)) for t in range(49)),), INK, 0.35)
        )
    elif kind == "swirls":
        for x in (2.6, 7.0, 11.4):
            shapes.append(
                Line(
                    (tuple((x + t * 0.07 * cos(t * 0.5), y + t * 0.09 * sin(t * 0.5)) for t in range(30)),), INK, 0.3
                )
            )
    elif kind == "fans":
        for x in (0.5, 7.5):
            for radius in (2.0, 4.0, 6.0):
                shapes.append(
                    Line(
                        (tuple((x + radius * cos(t * 0.2), 9.5 - radius * sin(t * 0.2)) for t in range(9)),), INK, 0.3
                    )
                )
    elif kind == "overlock":
        shapes.append(Area((box(0, 6.0, WIDTH_MM, 4.0),), fill=PAPER))
        shapes += [Line((((x, 6.2), (x + 0.6, 3.6), (x + 1.2, 6.2)),), INK, 0.3) for x in range(13)]
    elif kind == "ties":
        for x, height in ((3.0, 3.0), (10.5, 3.0), (6.8, 7.2)):
            shapes.append(
                Line(
                    (
                        ((x - 1.2, height - 1.4), (x, height), (x + 1.3, height - 1.2)),
                        ((x - 0.9, height + 1.3), (x, height), (x + 0.9, height + 1.5)),
                    ),
                    MADDER,
                    0.55,
                    cap="round",
                )
            )
    elif kind == "stuffed":
        shapes += [
            Area((circle(x, height, 1.7),), fill=PAPER, stroke=QUIET, stroke_mm=0.25)
            for x, height in ((4.0, 3.4), (7.0, 6.0), (10.0, 3.4), (4.2, 7.4), (10.2, 7.4))
        ]
    elif kind == "echo":
        for inset in (0.6, 1.7, 2.8, 3.9):
            shapes.append(
                Line(
                    (
                        (
                            (inset * 1.5, inset),
                            (14 - inset * 1.5, inset),
                            (14 - inset * 1.5, 10 - inset),
                            (inset * 1.5, 10 - inset),
                            (inset * 1.5, inset),
                        ),
                    ),
                    QUIET,
                    0.25,
                )
            )
    elif kind == "feather":
        shapes.append(
            Line(
                (tuple((0.8 + 0.8 * index, y + (0.9 if index % 4 < 2 else -0.9)) for index in range(16)),),
                MADDER,
                0.4,
            )
        )
        shapes += [
            Line((((0.8 + 1.6 * index, y), (1.6 + 1.6 * index, y + (2.0 if index % 2 else -2.0))),), MADDER, 0.35)
            for index in range(8)
        ]
    elif kind == "outline":
        shapes.append(
            Line(
                (
                    tuple((7 + 3.4 * cos(t * 0.35), 5 + 3.2 * sin(t * 0.35)) for t in range(19)),
                    ((5.5, 4.2), (5.9, 4.4)),
                    ((8.2, 4.2), (8.6, 4.4)),
                ),
                "#a8232b",
                0.45,
            )
        )
    elif kind == "cord":
        shapes += [Area((box(0, 5.6, WIDTH_MM, 2.0),), fill="#bd8278"), dashes(5.0, 1.4, 0.3, 0.3)]
    elif kind == "papers":
        shapes += [Area((regular(7, 5, 4.2, 6),), fill=PAPER, stroke=INK, stroke_mm=0.3)]
        shapes += [Line((((4.6, height), (9.4, height)),), FAINT, 0.25) for height in (3.6, 4.6, 5.6, 6.6)]
    elif kind == "strips":
        shapes += [
            Area((box(x, 0, 2.0, HEIGHT_MM),), fill=color)
            for x, color in (
                (0, "#33456a"),
                (2, "#bd8278"),
                (4, "#efe7d7"),
                (6, "#97a083"),
                (8, "#8f443b"),
                (10, "#efe7d7"),
                (12, "#33456a"),
            )
        ]
        shapes.append(Line((((0, 5), (14, 5)),), PAPER, 0.4))
    return shapes


def spool(color: str) -> list[Shape]:
    """A spool of thread."""
    return [
        Area((box(4.0, 1.0, 6.0, 1.4), box(4.0, 7.6, 6.0, 1.4)), fill=color),
        Area((box(4.8, 2.4, 4.4, 5.2),), fill=MADDER),
        Line(tuple(((4.8, y), (9.2, y)) for y in (3.2, 4.2, 5.2, 6.2)), HAIR, 0.25),
    ]
