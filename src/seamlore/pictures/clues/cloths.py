"""Cloth: plain, printed, faded, woven; its width and its selvage; words on it."""

from __future__ import annotations

from math import cos, sin

from seamlore.drawing.shapes import Area, Line, Shape, Text, box, circle
from seamlore.pictures.clues.ground import (
    CLOTH,
    HEIGHT_MM,
    WIDTH_MM,
    cloth,
    leaf,
    mixed,
    regular,
    spots,
    star,
)
from seamlore.pictures.palette import INK, MADDER, PAPER, QUIET


def solid(color: str) -> list[Shape]:
    """Plain cloth."""
    return cloth(color)


def gone(before: str, after: str) -> list[Shape]:
    """A color as it was in the seam, and as it is where light and water came."""
    return [*cloth(after), Area((box(0, 0, 3.4, HEIGHT_MM),), fill=before)]


def figures(ground: str, figure: str, motif: str) -> list[Shape]:
    """Printed cloth: a ground, and figures of a kind."""
    shapes = cloth(ground)
    if motif == "dots":
        shapes += [Area((circle(x, y, 0.45),), fill=figure) for x, y in spots(2.2)]
    elif motif == "sprigs":
        for x, y in spots(3.0):
            shapes.append(Area((leaf(x, y, 1.3, 0.7, -0.6), leaf(x, y, 1.3, 0.7, -2.4)), fill=figure))
            shapes.append(Area((circle(x, y, 0.4),), fill=figure))
    elif motif == "stripes":
        shapes += [Area((box(x, 0, 1.1, HEIGHT_MM),), fill=figure) for x in (0.8, 3.6, 6.4, 9.2, 12.0)]
    elif motif == "checks":
        shapes += [Area((box(x, 0, 1.4, HEIGHT_MM),), fill=figure) for x in (1.0, 4.0, 7.0, 10.0)]
        shapes += [Area((box(0, y, WIDTH_MM, 1.4),), fill=figure) for y in (1.0, 4.0, 7.0)]
    elif motif == "flowers":
        for x, y, radius in ((4.2, 4.8, 2.6), (10.4, 6.2, 2.2), (9.6, 1.6, 1.2)):
            shapes += [
                Area((regular(x, y, radius, 8),), fill=figure),
                Area((circle(x, y, radius * 0.35),), fill=ground),
            ]
            shapes.append(Area((leaf(x + radius * 0.8, y, 2.4, 1.2, 0.7),), fill="#5d7354"))
    elif motif == "shade":
        shapes += [Area((box(x, 0, 1.4, HEIGHT_MM),), fill=mixed(ground, figure, x / 13)) for x in range(14)]
    elif motif == "objects":
        for x, y in spots(4.2, 2.0):
            shapes += [
                Line((((x - 0.9, y + 0.8), (x + 0.9, y - 0.8)),), figure, 0.4),
                Area((circle(x, y, 0.6),), fill=figure),
            ]
    elif motif == "stars":
        shapes += [Area((star(x, y, 1.0),), fill=figure) for x, y in spots(3.2, 1.6)]
    elif motif == "patches":
        for index, (x, y) in enumerate((x, y) for x in range(0, 14, 2) for y in range(0, 10, 2)):
            shapes.append(Area((box(x, y, 2, 2),), fill=(ground, figure, "#bd8278", "#efe7d7")[(index * 7 + x) % 4]))
    elif motif == "cracks":
        shapes += [Line((((1.0, 9.5), (4.0, 6.0), (6.5, 7.0), (9.0, 2.5), (13.0, 0.8)),), figure, 0.35)]
        shapes += [Line((((4.0, 6.0), (5.0, 2.0)), ((9.0, 2.5), (11.5, 6.0), (10.5, 9.0))), figure, 0.35)]
    elif motif == "holes":
        shapes += [Area((regular(x, y, 0.9, 7),), fill=figure) for x, y in spots(3.6, 1.8)]
    elif motif == "plate":
        shapes += [Line((((2.0, 9.0), (4.0, 4.0), (3.0, 2.0)), ((4.0, 4.0), (6.0, 2.6))), figure, 0.3)]
        shapes += [Area((leaf(3.0 + index, 2.0 + index * 0.5, 1.6, 0.5, index),), fill=figure) for index in range(5)]
        shapes += [
            Line(
                (((8.0, 9.0), (8.6, 6.0), (12.4, 6.0), (13.0, 9.0)), ((9.4, 6.0), (10.5, 3.4), (11.6, 6.0))),
                figure,
                0.3,
            )
        ]
    return shapes


def weave(kind: str, color: str) -> list[Shape]:
    """A weave, by how it looks."""
    shapes = cloth(color)
    if kind == "plain":
        shapes += [Line((((0, y), (WIDTH_MM, y)),), INK, 0.12) for y in (1, 2.5, 4, 5.5, 7, 8.5)]
        shapes += [Line((((x, 0), (x, HEIGHT_MM)),), INK, 0.12) for x in range(1, 14, 2)]
    elif kind == "shine":
        shapes += [Area((((2.0, 10.0), (6.0, 0.0), (8.0, 0.0), (4.0, 10.0)),), fill=PAPER)]
        shapes += [Area((((9.0, 10.0), (13.0, 0.0), (13.8, 0.0), (9.8, 10.0)),), fill=PAPER)]
    elif kind == "ribs":
        shapes += [Line((((x, 0), (x, HEIGHT_MM)),), INK, 0.35) for x in (1, 3, 5, 7, 9, 11, 13)]
    elif kind == "loops":
        for y in (2.0, 4.0, 6.0, 8.0):
            shapes += [
                Line((tuple((x + 0.7 * sin(index), y + 0.7 * cos(index)) for index in range(6)),), INK, 0.15)
                for x in (2, 4, 6, 8, 10, 12)
            ]
    elif kind == "pucker":
        for x in (2, 5, 8, 11):
            shapes.append(
                Line((tuple((x + (0.5 if row % 2 else -0.5), float(row)) for row in range(11)),), QUIET, 0.25)
            )
    elif kind == "pile":
        shapes += [Line((((x, y), (x + 0.4, y - 0.8)),), QUIET, 0.2) for x, y in spots(1.5)]
    return shapes


def ruler(inches: str) -> list[Shape]:
    """A width from selvage to selvage."""
    shapes: list[Shape] = [Area((box(1.0, 0.8, 12.0, 5.0),), fill=CLOTH, stroke=QUIET, stroke_mm=0.2)]
    shapes.append(Line((((1.0, 7.2), (13.0, 7.2)), ((1.0, 6.6), (1.0, 7.8)), ((13.0, 6.6), (13.0, 7.8))), INK, 0.3))
    return [*shapes, Text(7.0, 4.4, inches.replace("_", " "), 8.0, "middle", fill=INK)]


def words_on(*words: str) -> list[Shape]:
    """Words on cloth or a label."""
    told = " ".join(words)
    size = 8.0 if len(told) < 7 else 6.0 if len(told) < 10 else 4.6
    return [
        Area((box(0.6, 1.6, 12.8, 6.8),), fill=PAPER, stroke=QUIET, stroke_mm=0.25),
        Text(7.0, 5.0 + size * 0.12, told, size, "middle", fill=INK),
    ]


def selvage(kind: str) -> list[Shape]:
    """A selvage with what stands on it."""
    shapes = [*cloth("#c29a58"), Area((box(0, 6.2, WIDTH_MM, 3.8),), fill=PAPER)]
    if kind == "dots":
        colors = (MADDER, "#33456a", "#97a083", "#c29a58", INK)
        return shapes + [
            Area((circle(2.6 + 2.2 * index, 8.0, 0.8),), fill=color) for index, color in enumerate(colors)
        ]
    if kind == "threads":
        return [*shapes, Line(tuple(((0, y), (14, y)) for y in (7.2, 8.0, 8.8)), "#33456a", 0.35)]
    return [*shapes, Text(7.0, 8.7, kind.replace("_", " "), 5.0, "middle", fill=INK)]


def flag(stars: str) -> list[Shape]:
    """A flag with so many stars."""
    shapes: list[Shape] = [Area((box(0, 0, WIDTH_MM, HEIGHT_MM),), fill=PAPER)]
    shapes += [Area((box(0, index * 10 / 13 * 2, WIDTH_MM, 10 / 13),), fill="#a8232b") for index in range(7)]
    shapes.append(Area((box(0, 0, 7.4, 70 / 13),), fill="#33456a"))
    return [*shapes, Text(3.7, 3.8, stars, 8.0, "middle", fill=PAPER)]
