"""A picture written down call by call, to be read, compared and kept beside a test."""

from __future__ import annotations

from collections.abc import Iterable
from functools import lru_cache
from hashlib import sha256

from seamlore.drawing.picture import Picture
from seamlore.drawing.shapes import Area, Group, Hatch, Image, ImageFile, Line, Paint, Ring, Shape, Text


def record(given: Picture) -> str:
    """Write down what a picture draws, one call a line, places to a hundredth of a millimeter.

    Parameters
    ----------
    given : Picture

    Returns
    -------
    str
        Lines such as ``area #34466b | 0,0 2,0 2,1 0,1``; a group's shapes are indented.

    Examples
    --------
    >>> from seamlore.drawing.picture import picture
    >>> from seamlore.drawing.shapes import box
    >>> print(record(picture(2, 1, [Area((box(0, 0, 2, 1),), "#34466b")], title="Dot", description="One box.")))
    picture 2 x 1 mm
    title Dot
    description One box.
    area fill #34466b | 0,0 2,0 2,1 0,1
    >>> print(record(picture(2, 1, [], title="Empty", description="Nothing.")))
    picture 2 x 1 mm
    title Empty
    description Nothing.
    """
    head = [f"picture {_n(given.width_mm)} x {_n(given.height_mm)} mm", f"title {given.title}"]
    return "\n".join([*head, f"description {given.description}", *_lines(given.shapes, "")])


def _lines(shapes: Iterable[Shape], indent: str) -> list[str]:
    found: list[str] = []
    for shape in shapes:
        if isinstance(shape, Area):
            paint = [f"fill {_fill(shape.fill)}"] if shape.fill else []
            paint += [_pen(shape.stroke, shape.stroke_mm, shape.dash_mm)] if shape.stroke else []
            found.append(f"{indent}area {' '.join(paint)} | {_rings(shape.rings)}")
        elif isinstance(shape, Line):
            round_ends = " round" if shape.cap == "round" else ""
            pen = _pen(shape.stroke, shape.stroke_mm, shape.dash_mm)
            found.append(f"{indent}line {pen}{round_ends} | {_rings(shape.runs)}")
        elif isinstance(shape, Text):
            found.append(indent + _text(shape))
        elif isinstance(shape, Image):
            place = f"{_n(shape.x)},{_n(shape.y)} {_n(shape.width)} x {_n(shape.height)}"
            found.append(f"{indent}image {_file(shape.file)} | {place}")
        else:
            found.append(indent + _group(shape))
            found += _lines(shape.shapes, indent + "  ")
    return found


def _fill(paint: Paint) -> str:
    if isinstance(paint, str):
        return paint
    if isinstance(paint, Hatch):
        return f"{paint.marks} {paint.ink} on {paint.ground} {_n(paint.apart_mm)} apart"
    return f"{_file(paint.file)} {_n(paint.width_mm)} x {_n(paint.height_mm)}"


def _file(file: ImageFile) -> str:
    # The name alone would let a changed photograph pass as the same picture.
    return f"{file.name} {sha256(file.data).hexdigest()[:12]}"


def _text(shape: Text) -> str:
    style = [shape.anchor, f"{_n(shape.size_pt)}pt", shape.fill]
    style += ["middle"] if shape.middle else []
    style += [shape.weight] if shape.weight != "regular" else []
    style += ["italic"] if shape.italic else []
    style += [f"turned {_n(shape.turn_deg)}"] if shape.turn_deg else []
    style += [f"halo {shape.halo}"] if shape.halo else []
    return f"text {_n(shape.x)},{_n(shape.y)} {' '.join(style)} | {shape.words}"


def _group(shape: Group) -> str:
    words = ["group"] + ([shape.name] if shape.name else [])
    words += [f"moved {_n(shape.dx)},{_n(shape.dy)}"] if shape.dx or shape.dy else []
    words += [f"turned {_n(shape.turn_deg)}"] if shape.turn_deg else []
    words += [f"opacity {_n(shape.opacity)}"] if shape.opacity != 1 else []
    words += ["clip " + " ".join(_n(each) for each in shape.clip)] if shape.clip else []
    return " ".join(words)


def _pen(color: str, width_mm: float, dash_mm: tuple[float, ...]) -> str:
    dash = " dash " + " ".join(_n(each) for each in dash_mm) if dash_mm else ""
    return f"stroke {color} {_n(width_mm)}mm{dash}"


def _rings(rings: Iterable[Ring]) -> str:
    return " / ".join(" ".join(",".join(_n(value) for value in node) for node in each) for each in rings)


@lru_cache(maxsize=1 << 15)
def _n(value: float) -> str:
    text = f"{value:.2f}".rstrip("0").rstrip(".")
    return "0" if text == "-0" else text
