"""What the small drawings are made of."""

from __future__ import annotations

from math import cos, pi, sin

from seamlore.drawing.shapes import Area, Ring, Shape, box

WIDTH_MM, HEIGHT_MM = 14.0, 10.0
MIDDLE = (WIDTH_MM / 2, HEIGHT_MM / 2)
CLOTH = "#efe7d7"


def cloth(color: str = CLOTH) -> list[Shape]:
    """Cover the drawing with one color."""
    return [Area((box(0, 0, WIDTH_MM, HEIGHT_MM),), fill=color)]


def spots(step: float, inset: float = 1.2) -> list[tuple[float, float]]:
    """Places over the whole drawing, every other row moved by half."""
    found = []
    row, y = 0, inset
    while y < HEIGHT_MM:
        x = inset + (step / 2 if row % 2 else 0)
        while x < WIDTH_MM:
            found.append((x, y))
            x += step
        y += step * 0.8
        row += 1
    return found


def star(x: float, y: float, radius: float, points: int = 5) -> Ring:
    """A star of so many points."""
    nodes = []
    for index in range(2 * points):
        reach = radius if index % 2 == 0 else radius * 0.42
        turn = pi * index / points - pi / 2
        nodes.append((x + reach * cos(turn), y + reach * sin(turn)))
    return tuple(nodes)


def leaf(x: float, y: float, length: float, width: float, turn: float) -> Ring:
    """A pointed leaf from a place, in a direction."""
    nodes = [(0.0, 0.0), (length / 2, width / 2), (length, 0.0), (length / 2, -width / 2)]
    return tuple((x + a * cos(turn) - b * sin(turn), y + a * sin(turn) + b * cos(turn)) for a, b in nodes)


def regular(x: float, y: float, radius: float, corners: int, turn: float = 0.0) -> Ring:
    """A regular outline of so many corners."""
    angles = [turn + 2 * pi * index / corners for index in range(corners)]
    return tuple((x + radius * cos(angle), y + radius * sin(angle)) for angle in angles)


def mixed(one: str, two: str, share: float) -> str:
    """A color between two, each "#rrggbb"."""
    pairs = [(int(one[at : at + 2], 16), int(two[at : at + 2], 16)) for at in (1, 3, 5)]
    return "#" + "".join(f"{round(low + (high - low) * share):02x}" for low, high in pairs)
