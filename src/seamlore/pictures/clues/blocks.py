"""Blocks and styles."""

from __future__ import annotations

from math import cos, pi, sin

from seamlore.drawing.shapes import Area, Line, Shape, Text, box, circle
from seamlore.pictures.clues.ground import (
    CLOTH,
    MIDDLE,
    leaf,
    regular,
    star,
)
from seamlore.pictures.palette import FAINT, INK, MADDER, PAPER, QUIET


def block(kind: str) -> list[Shape]:
    """A block, or what stands on it."""
    light, dark, red, blue = CLOTH, "#574338", "#8f443b", "#33456a"
    x, y = MIDDLE
    colors: tuple[str, ...]
    shapes: list[Shape] = [Area((box(2.0, 0.0, 10.0, 10.0),), fill=light)]
    if kind == "crazy":
        colors = (red, blue, "#5d4256", "#c29a58", "#41574c")
        outlines = (
            ((2, 0), (7, 0), (6, 4), (2, 5)),
            ((7, 0), (12, 0), (12, 4), (9, 5), (6, 4)),
            ((2, 5), (6, 4), (7, 7), (4, 10), (2, 10)),
            ((6, 4), (9, 5), (12, 10), (4, 10), (7, 7)),
            ((9, 5), (12, 4), (12, 10)),
        )
        shapes = [
            Area((outline,), fill=color, stroke="#e8c66a", stroke_mm=0.35)
            for outline, color in zip(outlines, colors, strict=True)
        ]
    elif kind == "log":
        for step in range(4):
            inset = step * 1.1
            shapes += [
                Area(
                    (box(2 + inset, inset, 10 - 2 * inset, 1.0), box(2 + inset, inset, 1.0, 10 - 2 * inset)),
                    fill=dark if step % 2 else blue,
                )
            ]
            shapes += [Area((box(2 + inset, 9 - inset, 10 - 2 * inset, 1.0),), fill="#c9b79b")]
        shapes.append(Area((box(6.2, 4.2, 1.6, 1.6),), fill="#a8232b"))
    elif kind == "rings":
        for center in ((5.2, 5.0), (8.8, 5.0)):
            shapes += [Area((circle(*center, 3.2),), stroke=color, stroke_mm=0.9) for color in ("#bd8278",)]
    elif kind in ("plate", "fan"):
        count = 12 if kind == "plate" else 4
        center = (x, y) if kind == "plate" else (2.4, 9.6)
        reach = 4.2 if kind == "plate" else 8.4
        colors = ("#bd8278", "#97a083", "#8593a0", "#c29a58")
        for index in range(count):
            low = 2 * pi * index / 12 if kind == "plate" else -pi / 2 + pi / 2 * index / 4
            high = low + (2 * pi / 12 if kind == "plate" else pi / 8)
            wedge = (
                center,
                (center[0] + reach * cos(low), center[1] + reach * sin(low)),
                (center[0] + reach * cos(high), center[1] + reach * sin(high)),
            )
            shapes.append(Area((wedge,), fill=colors[index % 4]))
        shapes.append(Area((circle(*center, reach * 0.28),), fill="#c29a58"))
    elif kind == "bonnet":
        shapes += [
            Area((((5.0, 9.4), (9.4, 9.4), (8.0, 4.6), (6.2, 4.6)),), fill="#8593a0"),
            Area((circle(7.1, 3.4, 2.2),), fill="#bd8278"),
        ]
    elif kind in ("hexagons", "garden"):
        for index in range(7):
            cx, cy = (x, y) if index == 0 else (x + 2.9 * cos(pi / 3 * index), y + 2.9 * sin(pi / 3 * index))
            fill = ("#c29a58" if index == 0 else "#bd8278") if kind == "garden" else (red, blue, dark)[index % 3]
            shapes.append(Area((regular(cx, cy, 1.62, 6, pi / 6),), fill=fill, stroke=PAPER, stroke_mm=0.2))
    elif kind == "names":
        shapes += [
            Line((((3.4, 5.2), (4.4, 4.0), (5.0, 5.6), (6.2, 4.2), (7.0, 5.4), (8.6, 4.4), (10.4, 5.0)),), INK, 0.35)
        ]
    elif kind == "rednames":
        shapes += [
            Line(
                tuple(
                    ((3.2, height), (5.2, height - 0.5), (7.4, height + 0.3), (10.4, height - 0.2))
                    for height in (2.4, 5.0, 7.6)
                ),
                "#a8232b",
                0.45,
            )
        ]
    elif kind == "wreath":
        shapes += [
            Area((leaf(x + 3 * cos(t), y + 3 * sin(t), 1.7, 0.9, t + 1.2),), fill="#41574c")
            for t in [index * pi / 5 for index in range(10)]
        ]
        shapes += [Area((circle(x + 3 * cos(t), y + 3 * sin(t), 0.7),), fill="#a8232b") for t in (0.3, 1.9, 3.4, 5.0)]
    elif kind == "medallion":
        for inset, color in ((0.0, red), (1.2, light), (2.2, blue), (3.2, light)):
            shapes.append(Area((box(2 + inset, inset, 10 - 2 * inset, 10 - 2 * inset),), fill=color))
        shapes.append(Area((star(x, y, 1.5, 8),), fill=red))
    elif kind == "cutout":
        shapes += [
            Area(
                (regular(7.6, 4.0, 2.2, 9), leaf(6.5, 6.4, 3.2, 1.4, 1.9), leaf(8.6, 6.0, 3.0, 1.4, 0.8)),
                fill="#8f443b",
            ),
            Area((circle(7.6, 4.0, 0.8),), fill="#c29a58"),
        ]
    elif kind == "redgreen":
        shapes += [
            Line((((7, 10), (7, 5)),), "#41574c", 0.6),
            Area((leaf(7, 8.0, 2.6, 1.2, -0.5), leaf(7, 8.0, 2.6, 1.2, -2.6)), fill="#41574c"),
            Area((regular(7, 3.6, 2.6, 8),), fill="#a8232b"),
            Area((circle(7, 3.6, 0.9),), fill="#c29a58"),
        ]
    elif kind == "redwhite":
        shapes += [
            Area((((a, b), (a + 2.5, b), (a, b + 2.5)),), fill="#a8232b")
            for a in (2.0, 4.5, 7.0, 9.5)
            for b in (0.0, 2.5, 5.0, 7.5)
        ]
    elif kind == "charm":
        colors = (red, blue, dark, "#c29a58", "#97a083", "#bd8278", "#8593a0", "#5d4256")
        for index, (a, b) in enumerate((a, b) for a in range(5) for b in range(5)):
            shapes.append(
                Area(
                    (((2 + 2 * a, 2 * b), (4 + 2 * a, 2 * b), (2 + 2 * a, 2 * b + 2)),),
                    fill=colors[(index * 5 + a) % 8],
                )
            )
    elif kind == "plane":
        shapes += [Area((box(3.0, 4.2, 8.0, 1.6), box(6.2, 1.4, 1.6, 7.2), box(3.0, 3.2, 1.0, 3.6)), fill=blue)]
    elif kind == "yoyo":
        for column in (4.0, 7.0, 10.0):
            for row in (2.2, 5.2, 8.2):
                shapes += [
                    Area((circle(column, row, 1.4),), fill="#bd8278"),
                    Area((circle(column, row, 0.35),), fill=PAPER),
                ]
    elif kind == "window":
        shapes += [
            Area((((7, 0.5), (11.5, 5), (7, 9.5), (2.5, 5)),), fill="#97a083"),
            Area((box(5.0, 3.0, 4.0, 4.0),), fill="#bd8278", stroke=PAPER, stroke_mm=0.5),
        ]
    elif kind == "kit":
        shapes += [
            Area((regular(7, 5, 3.4, 6),), stroke="#33456a", stroke_mm=0.3),
            Text(7, 6.1, "12", 8, "middle", fill="#33456a"),
        ]
    elif kind == "transfer":
        shapes += [
            Line(
                (tuple((7 + 3.2 * cos(t * 0.4), 5 + 3.0 * sin(t * 0.4)) for t in range(17)),),
                "#5b6fae",
                0.3,
                (0.5, 0.4),
            )
        ]
    elif kind == "crayon":
        shapes += [Line((((3, 8), (5, 2), (6, 8), (8, 2), (9, 8), (11, 2)),), MADDER, 0.9)]
    elif kind == "sampler":
        shapes += [
            Area((box(2.4, 0.4, 4.2, 4.2), box(7.4, 5.4, 4.2, 4.2)), fill="#8593a0"),
            Area((star(9.5, 2.5, 2.0, 8),), fill=red),
            Area((regular(4.5, 7.5, 2.0, 4),), fill="#97a083"),
        ]
    elif kind == "press":
        shapes += [
            Area((box(3, 0.6, 8, 8.8),), fill=PAPER, stroke=QUIET, stroke_mm=0.2),
            Area((box(4.2, 1.6, 3.0, 3.0),), fill=blue),
        ]
        shapes += [Line((((4.2, height), (9.8, height)),), FAINT, 0.25) for height in (5.6, 6.6, 7.6, 8.6)]
    elif kind == "art":
        shapes += [
            Area((((2, 10), (2, 6), (6, 3), (9, 6), (12, 4), (12, 10)),), fill="#41574c"),
            Area((circle(9.6, 2.2, 1.2),), fill="#c29a58"),
        ]
    elif kind == "whole":
        shapes += [Area((circle(7, 5, 3.6), circle(7, 5, 1.6)), stroke=QUIET, stroke_mm=0.3)]
    elif kind == "photo":
        shapes += [
            Area((box(3, 1, 8, 8),), fill="#d8cec1"),
            Area((circle(7, 4.0, 1.7),), fill=dark),
            Area((((4, 9), (5, 6.4), (9, 6.4), (10, 9)),), fill=dark),
        ]
    elif kind == "bell":
        shapes += [
            Area((((5.0, 7.4), (5.8, 2.6), (8.2, 2.6), (9.0, 7.4)),), fill=dark),
            Text(7.0, 9.8, "1776", 5, "middle", fill=INK),
        ]
    return shapes
