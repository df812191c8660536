"""Edges, and what lies between top and back."""

from __future__ import annotations

from math import cos, sin

from seamlore.drawing.shapes import Area, Line, Ring, Shape, box, circle
from seamlore.pictures.clues.ground import (
    CLOTH,
    WIDTH_MM,
    regular,
    spots,
)
from seamlore.pictures.palette import FAINT, INK, MADDER, PAPER, QUIET


def edge_of(kind: str) -> list[Shape]:
    """The lower edge of a quilt."""
    quilt, edge = "#c9b79b", "#33456a"
    shapes: list[Shape] = [Area((box(0, 0, WIDTH_MM, 6.5),), fill=quilt)]
    if kind in ("tape", "straight", "double", "satin", "bias"):
        height = {"tape": 2.0, "straight": 1.3, "double": 2.6, "satin": 3.2, "bias": 1.9}[kind]
        shapes.append(Area((box(0, 6.0, WIDTH_MM, height),), fill=edge))
        runs: dict[str, list[Ring]] = {
            "tape": [((0, 6.6), (14, 6.6)), ((0, 7.4), (14, 7.4))],
            "double": [((0, 7.3), (14, 7.3))],
            "satin": [((0, 6.4), (14, 6.4))],
            "straight": [((x, 6.0), (x, 7.3)) for x in range(1, 14)],
            "bias": [((x, 6.0), (x + 1.9, 7.9)) for x in range(-1, 14)],
        }
        shapes.append(Line(tuple(runs[kind]), PAPER, 0.2))
    elif kind == "fringe":
        shapes += [Line((((x * 0.7, 6.5), (x * 0.7 + 0.1, 9.4)),), INK, 0.25) for x in range(1, 20)]
    elif kind == "knife":
        shapes.append(Line((((0, 6.3), (14, 6.3)),), INK, 0.3, (0.8, 0.6)))
    elif kind == "scallop":
        shapes += [
            Area((circle(x, 6.4, 1.75),), fill=quilt, stroke=edge, stroke_mm=0.5) for x in (1.75, 5.25, 8.75, 12.25)
        ]
        shapes.append(Area((box(0, 0, WIDTH_MM, 6.2),), fill=quilt))
    elif kind == "fold-front":
        shapes += [
            Area((box(0, 5.0, WIDTH_MM, 2.2),), fill="#8593a0"),
            Line((((0, 5.1), (14, 5.1)),), INK, 0.25, (0.6, 0.5)),
        ]
    elif kind == "fold-back":
        shapes += [Area((box(0, 6.0, WIDTH_MM, 1.0),), fill="#a38f6e"), Line((((0, 6.2), (14, 6.2)),), INK, 0.25)]
    elif kind == "points":
        shapes += [Area((((x, 6.5), (x + 2.0, 6.5), (x + 1.0, 8.9)),), fill=edge) for x in (0, 2, 4, 6, 8, 10, 12)]
    elif kind == "rickrack":
        shapes.append(
            Line((tuple((0.7 * index, 7.2 + (0.7 if index % 2 else -0.7)) for index in range(21)),), MADDER, 0.8)
        )
    elif kind == "lace":
        shapes += [
            Area((circle(x, 7.2, 1.3),), fill=PAPER, stroke=INK, stroke_mm=0.2)
            for x in (1.2, 3.6, 6.0, 8.4, 10.8, 13.2)
        ]
    elif kind == "corners":
        shapes = [Area((((0, 0), (14, 0), (14, 6), (11, 6), (11, 10), (3, 10), (3, 6), (0, 6)),), fill=quilt)]
    elif kind == "sleeve":
        shapes.append(Area((box(1.0, 1.0, 12.0, 2.6),), fill=CLOTH, stroke=INK, stroke_mm=0.25))
    elif kind == "turned":
        shapes += [
            Line((((0, 6.2), (14, 6.2)),), INK, 0.45),
            Line((((5.0, 5.4), (9.0, 5.4)),), INK, 0.25, (0.5, 0.4)),
        ]
    elif kind == "cord":
        shapes.append(Area((box(0, 6.0, WIDTH_MM, 1.2),), fill=MADDER))
    elif kind == "worn":
        shapes += [
            Area((box(0, 6.0, WIDTH_MM, 1.4),), fill=edge),
            Area((regular(5, 6.7, 1.3, 7), regular(10.5, 6.9, 0.9, 6)), fill=PAPER),
        ]
    elif kind == "hooks":
        shapes += [
            Area((box(0, 5.5, WIDTH_MM, 2.6),), fill="#574338"),
            *[Area((circle(x, y, 0.25),), fill=PAPER) for x in range(1, 14) for y in (6.2, 7.4)],
        ]
    elif kind == "zipper":
        shapes += [
            Area((box(0, 3.2, WIDTH_MM, 3.6),), fill=CLOTH),
            Line(tuple(((x * 0.8, 4.4), (x * 0.8, 5.6)) for x in range(1, 17)), INK, 0.4),
        ]
    elif kind == "coil":
        shapes += [
            Area((box(0, 3.2, WIDTH_MM, 3.6),), fill=CLOTH),
            Line((tuple((0.3 * index, 5.0 + 0.7 * sin(index)) for index in range(46)),), INK, 0.3),
        ]
    return shapes


def filling(kind: str) -> list[Shape]:
    """Top, filling and back, cut through."""
    high = 6.0 if kind == "thick" else 3.2
    top, bottom = 5.0 - high / 2, 5.0 + high / 2
    color = {"wool": "#e3d5b8", "blanket": "#b39c80"}.get(kind, PAPER)
    shapes: list[Shape] = [Area((box(0, top, WIDTH_MM, high),), fill=color)]
    shapes += [Line((((0, top), (14, top)), ((0, bottom), (14, bottom))), INK, 0.5)]
    if kind in ("cotton", "seeds"):
        shapes += [Line((((x, y), (x + 1.2, y + 0.3)),), FAINT, 0.2) for x, y in spots(1.9) if top < y < bottom - 0.3]
    if kind == "seeds":
        shapes += [
            Area((circle(x, y, 0.25),), fill=INK) for x, y in ((3.0, 4.6), (6.5, 5.6), (10.0, 4.4), (12.0, 5.8))
        ]
    elif kind in ("poly", "thick"):
        shapes += [
            Line((tuple((x + 0.8 * cos(t), 5 + (high / 3) * sin(t)) for t in range(8)),), FAINT, 0.2)
            for x in (1.5, 4.0, 6.5, 9.0, 11.5)
        ]
        shapes += [Line((((x, top), (x + 0.3, top - 0.9)),), FAINT, 0.2) for x in (2, 5, 8, 11)]
    elif kind == "wool":
        shapes += [
            Line((tuple((x + 0.3 * t * cos(t), 5 + 0.25 * t * sin(t)) for t in range(6)),), QUIET, 0.2)
            for x in (2, 5, 8, 11)
        ]
    elif kind == "needled":
        shapes += [Line((((x * 0.7, top + 0.3), (x * 0.7, bottom - 0.3)),), FAINT, 0.2) for x in range(1, 20)]
    elif kind == "blanket":
        shapes.append(Area((box(0, 4.3, WIDTH_MM, 1.2),), fill="#8f443b"))
    return shapes
