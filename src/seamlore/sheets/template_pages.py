"""Templates at true scale, page by page.

One that is larger than the page is cut with the ruler where it can be; else it is folded in half, or printed in even
tiles with matching marks, whichever takes fewer pages.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass
from math import floor

import numpy as np

from seamlore.drawing.picture import Picture
from seamlore.drawing.shapes import MM_PER_INCH
from seamlore.drawing.tiling import MOST_TILES, OVERLAP_MM, Box, even_boxes, tiles
from seamlore.errors import PageError
from seamlore.lengths import Length, show, show_seam, show_size
from seamlore.making.corners_off import CornersOff
from seamlore.making.methods import Piecing
from seamlore.pictures.lettering import heart
from seamlore.pictures.templates import left_of, template_picture
from seamlore.plane.outline import Points, as_outline, grow
from seamlore.printing.content import Block, Column, Paper, Paragraph, Plate, Section, Space, Span, Steps, Table
from seamlore.printing.pages import plate_room
from seamlore.sheets.page_filling import Turned, fewest_pages, near_cells, whole_cells
from seamlore.sheets.pattern import PatchTemplate

HEADING = "Templates at true scale"
# Corners a hair beside each other are one, in inches.
_NEAR = 1e-6


@dataclass(frozen=True, slots=True, eq=False)
class _Drawn:
    """One way of drawing a template: the whole or its half, turned by quarters; its cutting and sewing line in mm of the
    picture, and the same with its words elsewhere.
    """

    picture: Picture
    cutting: Points
    sewing: Points
    heart: tuple[float, float]
    lettered_in: Callable[[Points], Picture]

    def again(self, part: Points) -> Picture:
        """Draw it with its words in a part of the patch, if that leaves it as large as it is."""
        drawn = self.lettered_in(part)
        same = (drawn.width_mm, drawn.height_mm) == (self.picture.width_mm, self.picture.height_mm)
        return drawn if same else self.picture


def template_plates(
    templates: Sequence[PatchTemplate], allowance: Length, paper: Paper, piecing: Piecing = "machine"
) -> tuple[Block, ...]:
    """Lay templates out on plates.

    Parameters
    ----------
    templates : sequence of PatchTemplate
    allowance : Length
        Seam allowance.
    paper : {"letter", "a4"}
    piecing : {"machine", "hand", "papers"}
        By hand and over papers, patches are drawn at their finished size: the line is the seam.

    Returns
    -------
    tuple of Section and Plate
        None when there is no template. First how pieces are cut that are larger than the page and need no template.
        Templates may be turned by quarters, never mirrored, and stand at least 3 mm apart.

    Raises
    ------
    PageError
        When a template would take more pages than `drawing.tiling.MOST_TILES`; a size that would do is offered.
    """
    room = plate_room(paper)
    drawn = allowance if piecing == "machine" else allowance * 0
    found = [(given, _parts(given, drawn, room)) for given in templates]
    pages = fewest_pages([part for _, parts in found for part in parts], *room)
    by_ruler = [given for given, parts in found if not parts]
    return (
        *_ruled(by_ruler),
        *_plates(pages, _use(piecing, allowance), joined=any(len(parts) > 1 for _, parts in found)),
    )


def _use(piecing: Piecing, allowance: Length) -> tuple[str, ...]:
    """How the templates are used, line by line."""
    seam = show_seam(allowance)
    grain = "The arrow lies on the straight grain"
    if piecing == "hand":
        return (
            "The line is the seam: these are the finished sizes.",
            f"Lay a template on the wrong side of the cloth, draw round it, and cut {seam} outside the line, by eye. Sew on the line "
            f"from corner to corner. {grain}.",
        )
    if piecing == "papers":
        return (
            "Papers at finished size: cut as many of each as it says, on the line.",
            f"Cut the cloth {seam} larger all round, fold it over the paper and baste; take the papers out when all neighbors are sewn "
            f"on. {grain}.",
        )
    return (
        "Cut on the outer line. Sew on the dashed line, dot to dot.",
        f"The seam allowance of {seam} is drawn. {grain}; the ticks are notches to match at the middle of each side.",
    )


def _plates(pages: Sequence[Picture], said: Sequence[str], *, joined: bool) -> Iterator[Plate]:
    use = [Paragraph(line, "small") for line in said]
    use.append(Paragraph("Print on one side at 100 %. Turn a template over for a mirrored patch.", "small"))
    if joined:
        use.append(
            Paragraph(
                "Parts of one template: cut one of them along the line of a seam, lay it on the same line of its neighbor, "
                "letter on letter and cross on cross, and glue.",
                "small",
            )
        )
    for index, each in enumerate(pages, start=1):
        name = f"{HEADING}, page {index} of {len(pages)}" if len(pages) > 1 else HEADING
        yield Plate(name, each, tuple(use), listed=index == 1)


def _ruled(templates: Sequence[PatchTemplate]) -> Iterator[Section]:
    """How pieces are cut that are larger than the page, and come without a template."""
    if not templates:
        return
    plain = [given for given in templates if given.corners is None]
    body: list[Block] = []
    if plain:
        columns = (Column("Piece"), Column("Cut with the ruler", share=1))
        rows = tuple((Span(given.label, "strong"), _for_all(given)) for given in plain)
        body.append(Table(columns, rows))
    for given in templates:
        if given.corners is not None:
            body += [
                Space(1),
                Paragraph((Span(given.label, "strong"), *(f"; {line}" for line in given.lines[1:]))),
                Steps(tuple(_corner_steps(given.corners))),
            ]
    yield Section(
        "Cut without a template",
        tuple(body),
        (
            Paragraph(
                "These pieces do not go on a page whole, and need no template. Their sizes include the seam allowance."
            ),
        ),
    )


def _for_all(given: PatchTemplate) -> str:
    """How it is cut, and what else is cut so: whatever would be written on its template after the fabric."""
    return "; ".join((given.cut or "as the cutting list says", *given.lines[1:]))


def _corner_steps(cut: CornersOff) -> Iterator[str]:
    one, two = cut.size
    yield f"Cut a {'square' if one == two else 'rectangle'} of {show(one) if one == two else show_size(one, two)}."
    alike: dict[tuple[Length, Length], list[str]] = {}
    for each in cut.off:
        alike.setdefault((each.across, each.down), []).append(each.corner)
    for (across, down), corners in alike.items():
        where = "each corner" if len(corners) == 4 else f"its {_listed(corners)} corner{'s' * (len(corners) > 1)}"
        far = (
            f"{show(across)} from the corner along both edges"
            if across == down
            else f"{show(across)} from the corner along the upper or lower edge and {show(down)} along the side"
        )
        yield f"At {where} make a mark {far}; cut from mark to mark."


def _listed(words: Sequence[str]) -> str:
    return words[0] if len(words) == 1 else f"{', '.join(words[:-1])} and {words[-1]}"


def _parts(given: PatchTemplate, allowance: Length, room: tuple[float, float]) -> list[list[Turned]]:
    """Give a template in all its turns that go on a page, no two alike, or else each of its tiles.

    None where it is cut with the ruler: nothing is pasted together from pages that has a size in the cutting list.
    """
    turns = [_drawn(turned, allowance) for turned in _unlike_turns(given)]
    fitting: list[Turned] = []
    for each in turns:
        if _fits(each.picture, room):
            cells = near_cells(each.cutting, each.picture)
            if not any(np.array_equal(cells, other.cells) for other in fitting):
                fitting.append(Turned(each.picture, cells))
    if fitting:
        return [fitting]
    if given.by_ruler or given.corners is not None:
        return []
    halves = [_drawn(turned, allowance, folded=True) for turned in _turns(given) if _mirrored(turned.outline_in)]
    for half in halves:
        if _fits(half.picture, room):
            return [[Turned(half.picture, whole_cells(half.picture))]]
    ways = [(_boxes(each, room), each) for each in (*turns, *halves)]
    boxes, each = min(ways, key=lambda way: (len(way[0]), -round(_from_seams(way[0], way[1].heart), 1)))
    if len(boxes) > MOST_TILES:
        raise _too_large(given, allowance, room, len(boxes), each.picture)
    found = tiles(each.again(_roomiest(each, boxes)), *room, drawn_in=lambda box: box in boxes)
    return [[Turned(tile.picture, whole_cells(tile.picture))] for tile in found]


def _roomiest(drawn: _Drawn, boxes: Sequence[Box]) -> Points:
    """The part of a patch that lies on one tile, off the lines along which they are joined: where most is, words are written."""
    from shapely import MultiPolygon, Polygon, box  # as below

    whole, inset = Polygon(drawn.sewing), OVERLAP_MM
    width, height = drawn.picture.width_mm, drawn.picture.height_mm
    parts = [
        whole.intersection(
            box(
                left + inset * (left > 0),
                top + inset * (top > 0),
                right - inset * (right < width - 1e-6),
                bottom - inset * (bottom < height - 1e-6),
            )
        )
        for left, top, right, bottom in boxes
    ]
    single = [each for part in parts for each in (part.geoms if isinstance(part, MultiPolygon) else [part])]
    largest = max(single, key=lambda each: round(float(each.area), 6))
    return np.asarray(largest.exterior.coords)[:-1]


def _fits(drawn: Picture, room: tuple[float, float]) -> bool:
    return drawn.width_mm <= room[0] and drawn.height_mm <= room[1]


def _boxes(drawn: _Drawn, room: tuple[float, float]) -> list[Box]:
    """Give the boxes of the tiles on which something of a template is drawn."""
    from shapely import Polygon, box  # slow to import, and only what is too large for a page needs it

    shape = Polygon(drawn.cutting)
    width, height = drawn.picture.width_mm, drawn.picture.height_mm
    half = OVERLAP_MM / 2
    found = []
    for left, top, right, bottom in even_boxes((width, height), room).values():
        # Of what two tiles share each needs its half, up to the line along which they are joined.
        inner = (
            left + half * (left > 0),
            top + half * (top > 0),
            right - half * (right < width - 1e-6),
            bottom - half * (bottom < height - 1e-6),
        )
        if shape.intersects(box(*inner)):
            found.append((left, top, right, bottom))
    return found


def _too_large(
    given: PatchTemplate, allowance: Length, room: tuple[float, float], pages: int, drawn: Picture
) -> PageError:
    remedy = "make its block smaller"
    if given.block is not None:
        number, most = given.block.number, 0
        # Halved and halved again: of twice the size nothing takes fewer pages.
        step = floor(number)
        while step:
            step = step // 2
            if step and _printed(given, (most + step) / number, allowance, room):
                most += step
        if most:
            remedy = f"make the block {most} {given.block.unit} or smaller"
    return PageError(
        f"{drawn.title}, {drawn.width_mm:.0f} by {drawn.height_mm:.0f} mm, on {pages} pages",
        f"a template is printed on at most {MOST_TILES}",
        remedy,
    )


def _printed(given: PatchTemplate, scale: float, allowance: Length, room: tuple[float, float]) -> bool:
    """Whether a template can be printed when its block is so much smaller."""
    outline = np.asarray(given.outline_in) * scale
    try:
        _parts(PatchTemplate(given.label, outline, given.lines), allowance, room)
    except PageError:
        return False
    return True


def _mirrored(outline: Points) -> bool:
    """Whether an outline is its own mirror image from left to right."""
    across = outline[:, 0].min() + outline[:, 0].max()
    return _same_corners(outline, np.column_stack([across - outline[:, 0], outline[:, 1]]))


def _drawn(given: PatchTemplate, allowance: Length, *, folded: bool = False) -> _Drawn:
    outline = given.outline_in

    def lettered_in(part: Points | None) -> Picture:
        return template_picture(
            outline, allowance, given.label, given.lines, grain_deg=given.grain_deg, folded=folded, within=part
        )

    drawn = lettered_in(None)
    sewing = as_outline(outline) * MM_PER_INCH
    cutting = grow(sewing, allowance.inches_float * MM_PER_INCH)
    low, extent = cutting.min(axis=0), np.ptp(cutting, axis=0)
    if folded:
        fold = float(low[0] + extent[0] / 2)
        sewing, cutting = left_of(sewing, fold), left_of(cutting, fold)
        extent = np.ptp(cutting, axis=0)
    x, y, _ = heart(sewing)
    # Words that stand under a template lie below its middle, not round it.
    under = drawn.height_mm > extent[1] + 2
    margin = np.array([0.5, 0.5]) if under else (np.array([drawn.width_mm, drawn.height_mm]) - extent) / 2
    spot = np.array([x, y]) - low + margin
    at = margin - low
    return _Drawn(drawn, cutting + at, sewing + at, (float(spot[0]), float(spot[1])), lettered_in)


def _turns(given: PatchTemplate) -> Iterable[PatchTemplate]:
    """Give a template as it was given and turned clockwise by one, two and three quarters."""
    outline, grain = np.asarray(given.outline_in, dtype=np.float64), given.grain_deg
    for _ in range(4):
        yield PatchTemplate(given.label, outline, given.lines, grain)
        outline, grain = np.column_stack([-outline[:, 1], outline[:, 0]]), (grain + 90) % 180


def _unlike_turns(given: PatchTemplate) -> Iterator[PatchTemplate]:
    """Give a template in those turns in which it looks otherwise than in the ones before: a square in one."""
    seen: list[Points] = []
    for turned in _turns(given):
        corners = turned.outline_in - turned.outline_in.min(axis=0)
        if not any(_same_corners(corners, other) for other in seen):
            seen.append(corners)
            yield turned


def _same_corners(one: Points, other: Points) -> bool:
    apart = np.abs(one[:, None, :] - other[None, :, :]).max(axis=-1)
    return bool((apart.min(axis=1) < _NEAR).all())


def _from_seams(boxes: Sequence[Box], spot: tuple[float, float]) -> float:
    """Give the distance from a spot to the nearest line along which tiles are joined, in mm."""
    half = OVERLAP_MM / 2
    across = [abs(spot[0] - box[0] - half) for box in boxes if box[0]]
    down = [abs(spot[1] - box[1] - half) for box in boxes if box[1]]
    return min(across + down, default=0.0)
