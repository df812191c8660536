"""A picture as SVG: at its own size, with its words, ready to be put on a page or into a file."""

from __future__ import annotations

import re
from base64 import b64encode
from collections import Counter
from collections.abc import Callable, Iterable
from functools import lru_cache
from hashlib import blake2s, sha256

from seamlore.drawing.hatching import cell
from seamlore.drawing.picture import Picture
from seamlore.drawing.record import record
from seamlore.drawing.shapes import (
    MM_PER_PT,
    Area,
    Group,
    Hatch,
    Image,
    ImageFile,
    Line,
    Ring,
    Shape,
    Swatch,
    Text,
    box,
    walk,
)
from seamlore.drawing.words import runs
from seamlore.once import Very
from seamlore.wording import reworded

FONTS = "'Source Sans 3', 'Source Sans Pro', 'Helvetica Neue', Arial, sans-serif"
_FRACTION = "style=\"font-feature-settings:'frac'\""
_WEIGHTS = {"regular": 400, "semibold": 600, "bold": 700}
# Letters that XML 1.0 has no way to hold (section 2.2, Char).
_FORBIDDEN = re.compile("[\x00-\x08\x0b\x0c\x0e-\x1f\ufffe\uffff]")


def to_svg(
    given: Picture, *, link: Callable[[ImageFile], str] | None = None, ids: str = "", in_page: bool = False
) -> str:
    """Write a picture as one SVG element.

    Parameters
    ----------
    given : Picture
    link : callable, optional
        Gives the address of an image file; without it images are written into the SVG.
    ids : str
        Begins every id, so that two pictures on one page never share one; made from what the picture holds
        when not given (then only a picture that stands twice on a page needs it).
    in_page : bool
        The picture stands in a page that allows no style inside its text: fractions get the class "fraction", which
        the page's own style sheet sets as such.

    Returns
    -------
    str
        An ``svg`` element with its width and height in millimeters, a title and a description; its words in the wording
        that is spoken.

    Examples
    --------
    >>> from seamlore.drawing.picture import picture
    >>> from seamlore.drawing.shapes import box
    >>> dot = picture(2, 1, [Area((box(0, 0, 2, 1),), "#34466b")], title="Dot & dash", description="One box.")
    >>> print(to_svg(dot, ids="a"))
    <svg xmlns="http://www.w3.org/2000/svg" width="2mm" height="1mm" viewBox="0 0 2 1" role="img" ...>
    <title id="a-title">Dot &amp; dash</title>
    <desc id="a-desc">One box.</desc>
    <path fill="#34466b" fill-rule="evenodd" d="M0 0 2 0 2 1 0 1Z"/>
    </svg>
    >>> "path" in to_svg(picture(2, 1, [], title="Empty", description="Nothing."))
    False
    """
    prefix = ids or "p" + sha256(record(given).encode()).hexdigest()[:10]
    groups = [each for each in walk(given.shapes, once=True) if isinstance(each, Group)]
    shared = Counter(id(each.shapes) for each in groups)
    writer = _Writer(prefix, link or _embedded, 'class="fraction"' if in_page else _FRACTION)
    if max(shared.values(), default=0) > 1:
        # Where some share their shapes, all that are of one make are drawn aside, so that one of them is easily changed.
        by_shapes = {id(each.shapes): each.shapes for each in groups}
        writer.shared = {
            known for known, shapes in by_shapes.items() if all(isinstance(shape, Area | Text) for shape in shapes)
        }
    writer.shapes(given.shapes)
    width, height = number(given.width_mm), number(given.height_mm)
    head = (
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{width}mm" height="{height}mm" '
        f'viewBox="0 0 {width} {height}" role="img" aria-labelledby="{prefix}-title {prefix}-desc" '
        f'font-family="{FONTS}">'
    )
    title = f'<title id="{prefix}-title">{escape(reworded(given.title))}</title>'
    desc = f'<desc id="{prefix}-desc">{escape(reworded(given.description))}</desc>'
    stamps = [f'<g id="{name}">{text}</g>' for name, text in writer.stamps.items()]
    drawn_once = ["<defs>" + "".join(stamps) + "</defs>"] if stamps else []
    return "\n".join([head, title, desc, *drawn_once, *writer.lines, "</svg>"])


def escape(text: str) -> str:
    """Make any text safe inside an element or an attribute of SVG.

    Examples
    --------
    >>> escape('<b> & "c"\\x00')
    '&lt;b&gt; &amp; &quot;c&quot;'
    """
    safe = _FORBIDDEN.sub("", text).replace("&", "&amp;").replace("<", "&lt;")
    return safe.replace(">", "&gt;").replace('"', "&quot;")


# A quilt is drawn of the same few hundred numbers, thousands of times.
@lru_cache(maxsize=1 << 15)
def number(value: float) -> str:
    """Write millimeters to a micrometer, as short as can be.

    Examples
    --------
    >>> number(2.0), number(0.12345), number(-0.0001), number(1234.5678)
    ('2', '0.123', '0', '1234.568')
    """
    text = f"{value:.3f}".rstrip("0").rstrip(".")
    return "0" if text == "-0" else text


def path(rings: Iterable[Ring], *, closed: bool) -> str:
    """Write outlines or lines as the data of one SVG path.

    Examples
    --------
    >>> path([((0, 0), (1, 0), (1, 1, 1, 2, 0, 2))], closed=True)
    'M0 0 1 0C1 1 1 2 0 2Z'
    >>> path([], closed=False)
    ''
    """
    parts = []
    for each in rings:
        if all(len(node) == 2 for node in each):
            # What follows the first pair of a move is a line (SVG 2, 9.3.3): shorter, and quick to write.
            steps = "M" + " ".join([number(value) for node in each for value in node])
        else:
            steps, before = "", ""
            for index, node in enumerate(each):
                command = "M" if index == 0 else "L" if len(node) == 2 else "C"
                joint = " " if command == before or (before, command) == ("M", "L") else command
                steps += joint + " ".join([number(value) for value in node])
                before = command
        parts.append(steps + ("Z" if closed else ""))
    return "".join(parts)


def _embedded(file: ImageFile) -> str:
    return f"data:{file.media};base64,{b64encode(file.data).decode('ascii')}"


class _Writer:
    """One writing of one picture: the lines so far, and what has been named."""

    def __init__(self, prefix: str, link: Callable[[ImageFile], str], fraction: str) -> None:
        self.prefix, self.link, self.fraction = prefix, link, fraction
        self.lines: list[str] = []
        self.named = 0
        self.patterns: dict[Swatch | Hatch, str] = {}
        self.opacity = 1.0
        # Shapes that several groups share, by what they are, and what they are called once they are drawn.
        self.shared: set[int] = set()
        self.drawn: dict[tuple[int, float], str] = {}
        self.stamps: dict[str, str] = {}

    def name(self, kind: str) -> str:
        self.named += 1
        return f"{self.prefix}-{kind}{self.named}"

    def shapes(self, shapes: Iterable[Shape]) -> None:
        """Write shapes, from the bottom up."""
        for shape in shapes:
            if isinstance(shape, Area):
                self.area(shape)
            elif isinstance(shape, Line):
                caps = ' stroke-linecap="round" stroke-linejoin="round"' if shape.cap == "round" else ""
                stroke = _stroke(shape.stroke, shape.stroke_mm, shape.dash_mm)
                self.lines.append(f'<path fill="none"{stroke}{caps} d="{path(shape.runs, closed=False)}"/>')
            elif isinstance(shape, Text):
                self.text(shape)
            elif isinstance(shape, Image):
                place = " ".join(
                    f'{key}="{number(value)}"'
                    for key, value in zip(
                        ("x", "y", "width", "height"), (shape.x, shape.y, shape.width, shape.height), strict=True
                    )
                )
                self.lines.append(
                    f'<image {place} preserveAspectRatio="none" href="{escape(self.link(shape.file))}"/>'
                )
            else:
                self.group(shape)

    def area(self, shape: Area) -> None:
        if isinstance(shape.fill, Swatch | Hatch):
            fill = f'fill="url(#{self.pattern(shape.fill)})"'
        else:
            fill = f'fill="{shape.fill or "none"}"'
        rule = ' fill-rule="evenodd"' if shape.fill else ""
        stroke = _stroke(shape.stroke, shape.stroke_mm, shape.dash_mm) if shape.stroke else ""
        joined = ' stroke-linejoin="round"' if shape.stroke else ""
        self.lines.append(f'<path {fill}{rule}{stroke}{joined} d="{path(shape.rings, closed=True)}"/>')

    def pattern(self, cloth: Swatch | Hatch) -> str:
        if cloth not in self.patterns:
            name = self.patterns[cloth] = self.name("cloth")
            wide, high = (
                (cloth.width_mm, cloth.height_mm) if isinstance(cloth, Swatch) else (cloth.apart_mm, cloth.apart_mm)
            )
            sides = f'width="{number(wide)}" height="{number(high)}"'
            self.lines.append(f'<pattern id="{name}" patternUnits="userSpaceOnUse" {sides}>')
            if isinstance(cloth, Swatch):
                self.lines.append(
                    f'<image {sides} preserveAspectRatio="none" href="{escape(self.link(cloth.file))}"/>'
                )
            else:
                self.shapes(cell(cloth))
            self.lines.append("</pattern>")
        return self.patterns[cloth]

    def text(self, shape: Text) -> None:
        inner = "".join(
            f"<tspan {self.fraction}>{escape(words)}</tspan>" if fraction else escape(words)
            for words, fraction in runs(reworded(shape.words))
        )
        size = shape.size_pt * MM_PER_PT
        keys = [f'x="{number(shape.x)}" y="{number(shape.y + shape.drop_mm)}" font-size="{number(size)}"']
        keys += [f'text-anchor="{shape.anchor}"'] if shape.anchor != "start" else []
        keys += [f'font-weight="{_WEIGHTS[shape.weight]}"'] if shape.weight != "regular" else []
        keys += ['font-style="italic"'] if shape.italic else []
        keys += [f'fill="{shape.fill}"']
        if shape.halo:
            width = number(size * 0.28)
            keys += [f'stroke="{shape.halo}" stroke-width="{width}" stroke-linejoin="round" paint-order="stroke"']
        if shape.turn_deg:
            keys += [f'transform="rotate({number(shape.turn_deg)} {number(shape.x)} {number(shape.y)})"']
        self.lines.append(f"<text {' '.join(keys)}>{inner}</text>")

    def group(self, shape: Group) -> None:
        keys = [f'data-name="{escape(shape.name)}"'] if shape.name else []
        move = f"translate({number(shape.dx)} {number(shape.dy)})" if shape.dx or shape.dy else ""
        turn = f"rotate({number(shape.turn_deg)})" if shape.turn_deg else ""
        keys += [f'transform="{" ".join(filter(None, (move, turn)))}"'] if move or turn else []
        around, self.opacity = self.opacity, self.opacity * shape.opacity
        if shape.opacity != 1:
            # These two are inherited and do not multiply, so the product is written.
            keys += [f'fill-opacity="{number(self.opacity)}" stroke-opacity="{number(self.opacity)}"']
        if shape.clip:
            name = self.name("clip")
            outline = path([box(*shape.clip)], closed=True)
            self.lines.append(f'<clipPath id="{name}"><path d="{outline}"/></clipPath>')
            # The clip lies in the group's own coordinates, as its transform does.
            keys.append(f'clip-path="url(#{name})"')
        if id(shape.shapes) in self.shared:
            name = self.stamp(shape.shapes)
            self.lines.append(f'<use href="#{name}" {" ".join(keys)}/>')
        else:
            self.lines.append(f"<g {' '.join(keys)}>" if keys else "<g>")
            self.shapes(shape.shapes)
            self.lines.append("</g>")
        self.opacity = around

    def _written(self, shapes: tuple[Shape, ...]) -> str:
        """The text of areas; cloths are named in this picture, and what is faded hangs on what it lies in."""
        again = _written_again(Very(shapes)) if self.opacity == 1 else None
        if again is not None:
            return again
        around, self.lines = self.lines, []
        self.shapes(shapes)
        text, self.lines = "".join(self.lines), around
        return text

    def stamp(self, shapes: tuple[Shape, ...]) -> str:
        """Draw once what several groups share, and give its name."""
        known = id(shapes), self.opacity
        if known not in self.drawn:
            text = self._written(shapes)
            # Called after what it looks like, so that a page that shows it already can keep it.
            name = self.drawn[known] = f"{self.prefix}-{_digest(text)}"
            self.stamps[name] = text
        return self.drawn[known]


@lru_cache(maxsize=2048)
def _digest(text: str) -> str:
    return blake2s(text.encode(), digest_size=8).hexdigest()


@lru_cache(maxsize=2048)
def _written_again(given: Very[tuple[Shape, ...]]) -> str | None:
    """The text of shapes that are likely to be drawn again in another picture; None where it hangs on that picture."""
    if not all(isinstance(each, Area) and not isinstance(each.fill, Swatch | Hatch) for each in given.value):
        return None
    writer = _Writer("", _embedded, "")
    writer.shapes(given.value)
    return "".join(writer.lines)


def _stroke(color: str, width_mm: float, dash_mm: tuple[float, ...]) -> str:
    dash = f' stroke-dasharray="{" ".join(number(each) for each in dash_mm)}"' if dash_mm else ""
    return f' stroke="{color}" stroke-width="{number(width_mm)}"{dash}'
