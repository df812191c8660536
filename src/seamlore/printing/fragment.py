"""A picture as a fragment of a page, at its own size."""

from __future__ import annotations

from collections.abc import Iterable
from contextvars import ContextVar

from seamlore.drawing.hatching import cell
from seamlore.drawing.picture import Picture
from seamlore.drawing.shapes import MM_PER_PT, Area, Group, Hatch, Image, Line, Ring, Shape, Swatch, Text
from seamlore.drawing.svg import number
from seamlore.printing.words import literal, words

# Whether what is being written is printed without color.
without_color: ContextVar[bool] = ContextVar("without_color", default=False)
_WEIGHTS = {"regular": 400, "semibold": 600, "bold": 700}
_ANCHORS = {"start": "0", "middle": "0.5", "end": "1"}


def to_typst(given: Picture) -> str:
    """Write a picture as one expression of the document engine.

    Parameters
    ----------
    given : Picture
        Its image files must lie beside the document under their names (`file_name`).

    Returns
    -------
    str
        Code for a block of exactly the picture's size.

    Examples
    --------
    >>> from seamlore.drawing.picture import picture
    >>> from seamlore.drawing.shapes import box
    >>> print(to_typst(picture(2, 1, [Area((box(0, 0, 2, 1),), "#34466b")], title="Dot", description="One box.")))
    drawn(2mm, 1mm, {
    put(curve(fill: rgb("#34466bff"), fill-rule: "even-odd", m((0mm,0mm)),l((2mm,0mm)),l((2mm,1mm)),l((0mm,1mm)),z))
    })
    >>> print(to_typst(picture(2, 1, [], title="Empty", description="Nothing.")))
    drawn(2mm, 1mm, {
    })
    """
    body = "".join(f"{line}\n" for line in _lines(given.shapes, 1.0))
    return f"drawn({_mm(given.width_mm)}, {_mm(given.height_mm)}, {{\n{body}}})"


def file_name(name: str, media: str) -> str:
    """Name an image file so that it can lie in any folder: letters and figures only, the rest told by number.

    Examples
    --------
    >>> file_name("quilt 1.jpg", "image/jpeg"), file_name("../a", "image/png")
    ('quilt-20-1-2e-jpg.jpg', '-2e--2e--2f-a.png')
    """
    safe = "".join(sign if sign.isascii() and sign.isalnum() else f"-{ord(sign):x}-" for sign in name)
    return safe + {"image/jpeg": ".jpg", "image/png": ".png"}[media]


def _lines(shapes: Iterable[Shape], opacity: float) -> list[str]:
    found: list[str] = []
    for shape in shapes:
        if isinstance(shape, Area):
            found.append(_area(shape, opacity))
        elif isinstance(shape, Line):
            steps = ",".join(_steps(each) for each in shape.runs)
            pen = _pen(shape.stroke, shape.stroke_mm, shape.dash_mm, opacity, shape.cap)
            found.append(f"put(curve(stroke: {pen}, {steps}))")
        elif isinstance(shape, Text):
            found += _text(shape, opacity)
        elif isinstance(shape, Image):
            file = literal(file_name(shape.file.name, shape.file.media))
            size = f'width: {_mm(shape.width)}, height: {_mm(shape.height)}, fit: "stretch"'
            found.append(f"put(dx: {_mm(shape.x)}, dy: {_mm(shape.y)}, image({file}, {size}))")
        else:
            found += _group(shape, opacity)
    return found


def _area(shape: Area, opacity: float) -> str:
    keys = []
    if isinstance(shape.fill, Swatch):
        w, h = _mm(shape.fill.width_mm), _mm(shape.fill.height_mm)
        file = literal(file_name(shape.fill.file.name, shape.fill.file.media))
        keys.append(
            f'fill: tiling(size: ({w}, {h}), relative: "parent", image({file}, width: {w}, height: {h}, fit: "stretch"))'
        )
    elif isinstance(shape.fill, Hatch):
        side = _mm(shape.fill.apart_mm)
        body = "\n".join(_lines(cell(shape.fill), opacity))
        keys.append(f'fill: tiling(size: ({side}, {side}), relative: "parent", {{\n{body}\n}})')
    elif shape.fill:
        keys.append(f"fill: {_color(shape.fill, opacity)}")
    if shape.fill:
        keys.append('fill-rule: "even-odd"')
    if shape.stroke:
        keys.append(f"stroke: {_pen(shape.stroke, shape.stroke_mm, shape.dash_mm, opacity, 'round')}")
    steps = ",".join(_steps(each) + ",z" for each in shape.rings if each)
    return f"put(curve({', '.join(keys)}, {steps}))"


def _text(shape: Text, opacity: float) -> list[str]:
    style = [f"size: {shape.size_pt:g}pt", f"weight: {_WEIGHTS[shape.weight]}"]
    style += ['style: "italic"'] if shape.italic else []
    # A turned line stands off its own baseline, so its middle is found along the turn.
    at = f"{_mm(shape.x)}, {_mm(shape.y)}, {_ANCHORS[shape.anchor]}, {shape.turn_deg:g}deg"
    said = words(shape.words)
    if shape.drop_mm:
        said = f"move(dy: {_mm(shape.drop_mm)}, {said})"
    found = []
    if shape.halo:
        width = _mm(shape.size_pt * MM_PER_PT * 0.28)
        halo = f'(paint: {_color(shape.halo, opacity)}, thickness: {width}, join: "round")'
        found.append(f"held({at}, text({', '.join(style)}, stroke: {halo}, {said}))")
    found.append(f"held({at}, text({', '.join(style)}, fill: {_color(shape.fill, opacity)}, {said}))")
    return found


def _group(shape: Group, opacity: float) -> list[str]:
    inner = _lines(shape.shapes, opacity * shape.opacity)
    if not inner:
        return []
    body = "{\n" + "\n".join(inner) + "\n}"
    if shape.clip:
        x, y, width, height = shape.clip
        # Inside the clipping box the group's own 0, 0 lies at -x, -y.
        body = f"put(dx: {_mm(-x)}, dy: {_mm(-y)}, box(width: 0pt, height: 0pt, {body}))"
        body = f"put(dx: {_mm(x)}, dy: {_mm(y)}, box(width: {_mm(width)}, height: {_mm(height)}, clip: true, {body}))"
    if shape.turn_deg:
        zero = f"box(width: 0pt, height: 0pt, {body})"
        body = f"rotate({shape.turn_deg:g}deg, origin: top + left, {zero})"
    return [f"put(dx: {_mm(shape.dx)}, dy: {_mm(shape.dy)}, box(width: 0pt, height: 0pt, {body}))"]


def _steps(ring: Ring) -> str:
    steps = [f"m({_point(*ring[0])})"]
    for node in ring[1:]:
        if len(node) == 2:
            steps.append(f"l({_point(*node)})")
        else:
            steps.append(f"c({_point(*node[:2])},{_point(*node[2:4])},{_point(*node[4:])})")
    return ",".join(steps)


def _point(x: float, y: float) -> str:
    return f"({_mm(x)},{_mm(y)})"


def _pen(color: str, width_mm: float, dash_mm: tuple[float, ...], opacity: float, cap: str) -> str:
    keys = [f"paint: {_color(color, opacity)}", f"thickness: {_mm(width_mm)}"]
    keys += ['join: "round"'] if cap == "round" else []
    keys += ['cap: "round"'] if cap == "round" and not dash_mm else []
    keys += [f"dash: ({','.join(_mm(each) for each in dash_mm)},)"] if dash_mm else []
    return f"({', '.join(keys)})"


def _color(color: str, opacity: float) -> str:
    if without_color.get():
        color = gray(color)
    return f'rgb("{color}{round(opacity * 255):02x}")'


def gray(color: str) -> str:
    """Give the gray that is as light as a color.

    Examples
    --------
    >>> gray("#ffffff"), gray("#33456a")
    ('#ffffff', '#444444')
    """
    red, green, blue = (int(color[at : at + 2], 16) for at in (1, 3, 5))
    # The weights of ITU-R BT.601.
    return "#" + f"{round(0.299 * red + 0.587 * green + 0.114 * blue):02x}" * 3


def _mm(value: float) -> str:
    return f"{number(value)}mm"
