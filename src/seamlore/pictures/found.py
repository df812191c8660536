"""Pictures of an old quilt as it was found: the flattened photograph, its block grid, how far blocks lie off it."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise, product

from seamlore.drawing.picture import Picture, picture
from seamlore.drawing.shapes import Area, Group, Image, ImageFile, Ring, Shape, Text, box
from seamlore.errors import PhotoError
from seamlore.lengths import Length, Unit, in_unit, show, show_size
from seamlore.photo.reading import BlockAt, Pair, Reading
from seamlore.pictures.lettering import arrow
from seamlore.pictures.palette import FAINT, HAIR, INK, MADDER, PAPER, QUIET, WASH

_MARGIN_MM = 5.0
_TYPE_PT = 7.0
# By how much the arrows of the alignment picture may be lengthened, as a reader can divide by.
_TIMES = (1, 2, 5, 10, 20, 50)


def found_picture(
    reading: Reading, photo: ImageFile, width_mm: float, height_mm: float, *, grid: bool = True, title: str = ""
) -> Picture:
    """Show the flattened photograph, with the block grid over it and rows and columns numbered.

    Parameters
    ----------
    reading : Reading
    photo : ImageFile
        The photograph flattened to the quilt's own outline; it is not opened here.
    width_mm, height_mm : float
        The room there is; the picture takes all of one of them.
    grid : bool
        Draw the block grid, when the reading has one. Blocks that lie or are made otherwise than most are
        outlined more strongly.
    title : str
        "The quilt as found" when not given.
    """
    scale = min((width_mm - _MARGIN_MM) / reading.size[0], (height_mm - _MARGIN_MM) / reading.size[1])
    w, h = reading.size[0] * scale, reading.size[1] * scale
    inner: list[Shape] = [Image(photo, 0, 0, w, h)]
    numbers: list[Shape] = []
    if grid and reading.row_spans and reading.column_spans:
        inner += _grid(reading, scale)
        numbers = _numbers(reading, scale)
    inner.append(Area((box(0, 0, w, h),), None, FAINT, 0.15))
    shapes: list[Shape] = [Group(tuple(inner), _MARGIN_MM, _MARGIN_MM, clip=(0, 0, w, h)), *numbers]
    return picture(
        w + _MARGIN_MM,
        h + _MARGIN_MM,
        shapes,
        title=title or "The quilt as found",
        description=describe(reading),
    )


def describe(reading: Reading) -> str:
    """Say what was found, for who cannot see the picture."""
    size = "of unknown size"
    if reading.unit != "width":
        unit = Unit(reading.unit)
        size = show_size(in_unit(reading.size[0], unit), in_unit(reading.size[1], unit))
    if reading.rows is None or reading.columns is None:
        return f"Photograph of a quilt, flattened, {size}. No block grid was found."
    blocks = (*(reading.blocks or ()), *(reading.between or ()))
    odd, unread = sum(map(is_odd, reading.blocks or ())), sum(each.kind is None for each in blocks)
    tail = f" {odd} block{'s' if odd != 1 else ''} outlined because turned, mirrored or different." if odd else ""
    if unread:
        tail += f" {unread} block{'s' if unread != 1 else ''} with a question mark: not read."
    return (
        f"Photograph of a quilt, flattened, {size}, with its block grid drawn over it: "
        f"{reading.rows} rows of {reading.columns} blocks.{tail}"
    )


def is_odd(block: BlockAt) -> bool:
    """Tell whether a block that was read lies or is made otherwise than most."""
    return block.kind is not None and (block.turn != 0 or block.mirrored or block.differs)


def _grid(reading: Reading, scale: float) -> list[Shape]:
    odd = {(each.row, each.column) for each in reading.blocks or () if is_odd(each)}
    plain: list[Ring] = _between(reading, scale)
    strong: list[Ring] = []
    for row, column in product(range(len(reading.row_spans or ())), range(len(reading.column_spans or ()))):
        (strong if (row, column) in odd else plain).append(_cell(reading, row, column, scale))
    found: list[Shape] = [
        # White under dark can be followed over any print.
        Group((Area(tuple(plain + strong), None, PAPER, 0.6),), opacity=0.6),
        Area(tuple(plain), None, INK, 0.15),
    ]
    if strong:
        found += [Area(tuple(strong), None, PAPER, 1.0), Area(tuple(strong), None, MADDER, 0.5)]
    return [*found, *_not_read(reading, scale)]


def _not_read(reading: Reading, scale: float) -> list[Shape]:
    """A question mark on each block whose piecing was not read."""
    rings = [_cell(reading, each.row, each.column, scale) for each in reading.blocks or () if each.kind is None]
    if reading.between:
        between = _between(reading, scale)
        across = len(reading.column_spans or ()) - 1
        rings += [between[each.row * across + each.column] for each in reading.between if each.kind is None]
    shapes: list[Shape] = []
    for ring in rings:
        x, y = (sum(axis) / len(ring) for axis in zip(*ring, strict=True))
        shapes += [
            Area((box(x - 1.4, y - 1.9, 2.8, 3.8),), PAPER),
            Text(x, y, "?", _TYPE_PT, "middle", middle=True, fill=INK),
        ]
    return shapes


def _cell(reading: Reading, row: int, column: int, scale: float) -> Ring:
    """Outline a block where its row and column lie; on point it stands on a corner and fills them with its own."""
    rows, columns = reading.row_spans or (), reading.column_spans or ()
    return _outline(reading, columns[column], rows[row], scale)


def _outline(reading: Reading, across: Pair, down: Pair, scale: float) -> Ring:
    (left, right), (top, bottom) = across, down
    if reading.setting != "on point":
        return box(left * scale, top * scale, (right - left) * scale, (bottom - top) * scale)
    x, y = (left + right) / 2, (top + bottom) / 2
    corners = ((x, top), (right, y), (x, bottom), (left, y))
    return tuple((across_at * scale, down_at * scale) for across_at, down_at in corners)


def _between(reading: Reading, scale: float) -> list[Ring]:
    """Outline the blocks that on point lie between the whole rows, half-way between four others."""
    if reading.setting != "on point":
        return []
    columns, rows = (
        [((a + c) / 2, (b + d) / 2) for (a, b), (c, d) in pairwise(spans)]
        for spans in (reading.column_spans or (), reading.row_spans or ())
    )
    return [_outline(reading, across, down, scale) for down, across in product(rows, columns)]


def _numbers(reading: Reading, scale: float) -> list[Shape]:
    found: list[Shape] = []
    for index, (start, end) in enumerate(reading.column_spans or ()):
        middle = _MARGIN_MM + (max(start, 0) + min(end, reading.size[0])) / 2 * scale
        found.append(Text(middle, _MARGIN_MM - 1.6, str(index + 1), _TYPE_PT, "middle", fill=QUIET))
    for index, (start, end) in enumerate(reading.row_spans or ()):
        middle = _MARGIN_MM + (max(start, 0) + min(end, reading.size[1])) / 2 * scale
        found.append(Text(_MARGIN_MM - 1.6, middle, str(index + 1), _TYPE_PT, "end", middle=True, fill=QUIET))
    return found


@dataclass(frozen=True, slots=True)
class Alignment:
    """The alignment picture and what must be said under it.

    Parameters
    ----------
    picture : Picture
    times : int
        How many times longer than true the arrows are.
    longest : str
        The largest shift, as a quilter reads it.
    """

    picture: Picture
    times: int
    longest: str


def alignment_picture(reading: Reading, width_mm: float, height_mm: float) -> Alignment:
    """Show how far each block lies from the even grid, as arrows drawn longer than true.

    Parameters
    ----------
    reading : Reading
        With blocks.
    width_mm, height_mm : float
        The room there is.

    Raises
    ------
    PhotoError
        When the reading has no blocks.
    """
    if not reading.blocks or not reading.row_spans or not reading.column_spans:
        raise PhotoError(
            "a reading without blocks",
            "alignment is told from a block grid",
            "draw the grid by hand first",
        )
    scale = min((width_mm - _MARGIN_MM) / reading.size[0], (height_mm - _MARGIN_MM) / reading.size[1])
    w, h = reading.size[0] * scale, reading.size[1] * scale
    sides = [(end - start) * scale for start, end in (*reading.row_spans, *reading.column_spans)]
    far = max((each.shift[0] ** 2 + each.shift[1] ** 2) ** 0.5 for each in reading.blocks)
    room = 0.6 * sorted(sides)[len(sides) // 2]
    times = max((each for each in _TIMES if each * far * scale <= room), default=1)
    cells = tuple(
        _cell(reading, row, column, scale)
        for row, column in product(range(len(reading.row_spans)), range(len(reading.column_spans)))
    )
    inner: list[Shape] = [Area((box(0, 0, w, h),), WASH, HAIR, 0.2), Area(cells, PAPER, HAIR, 0.2)]
    for each in reading.blocks:
        left, right = reading.column_spans[each.column]
        top, bottom = reading.row_spans[each.row]
        # An arrow drawn longer than true cannot end where its block lies, so all begin at their blocks' middles.
        x, y = (left + right) / 2 * scale, (top + bottom) / 2 * scale
        inner += arrow(x, y, x + each.shift[0] * scale * times, y + each.shift[1] * scale * times, MADDER)
    longest = _said(far, reading.unit)
    drawn = picture(
        w + _MARGIN_MM,
        h + _MARGIN_MM,
        [Group(tuple(inner), _MARGIN_MM, _MARGIN_MM, clip=(0, 0, w, h)), *_numbers(reading, scale)],
        title="How the blocks lie",
        description=f"Arrows from the even grid to where each block lies; the largest shift is {longest}.",
    )
    return Alignment(drawn, times, longest)


def _said(shift: float, unit: str) -> str:
    if unit == "width":
        return f"{shift * 100:.1f} % of the width"
    # A photograph does not tell less than an eighth or two millimeters.
    mark = Length(in_unit("1/8", Unit.INCH).inches, Unit.INCH) if unit == "in" else in_unit("0.2", Unit.CM)
    return show(in_unit(shift, Unit(unit)), mark=mark)
