"""Foundations at true scale, page by page: as many to a page as go on it, larger ones in even tiles."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from seamlore.drawing.picture import Picture, picture
from seamlore.drawing.shapes import Group
from seamlore.drawing.tiling import MOST_TILES, even_boxes, tiles
from seamlore.lengths import Length, show_seam
from seamlore.pictures.sewing.foundations import foundation_picture
from seamlore.printing.content import Paper, Paragraph, Plate
from seamlore.printing.pages import plate_room
from seamlore.sheets.page_filling import Spacing, Turned, fewest_pages, whole_cells
from seamlore.sheets.pattern import BlockFoundation

HEADING = "Foundations at true scale"
# They are cut apart and trimmed: little room between them is enough.
_CLOSE = Spacing(2.0, 1.0)


NOT_PRINTED = "Its sections are larger than a page and are not printed: sew it from cut pieces."


def goes_on(given: BlockFoundation, allowance: Length, paper: Paper, *, pages: int = MOST_TILES) -> bool:
    """Whether every section that is printed goes on so many pages, glued where they are several."""
    room = plate_room(paper)
    return all(
        min(len(even_boxes((one, other), room)) for one, other in ((wide, high), (high, wide))) <= pages
        for wide, high in ((each.width_mm, each.height_mm) for each in _whole(given, allowance))
    )


def foundation_plates(given: Sequence[BlockFoundation], allowance: Length, paper: Paper) -> Iterator[Plate]:
    """Lay foundations out on plates; each is printed once, to be copied.

    Parameters
    ----------
    given : sequence of BlockFoundation
    allowance : Length
        Seam allowance.
    paper : {"letter", "a4"}
    """
    room = plate_room(paper)
    drawn = [part for each in given for part in _pictures(each, allowance, room)]
    pages = fewest_pages([_turns(part, room) for part in drawn], *room, title="Foundations", spacing=_CLOSE)
    use = (
        Paragraph(
            "Copy as often as is written, once for each block where nothing is. Sew on the printed side, pieces on the other; begin with 1.",
            "small",
        ),
        Paragraph(
            f"Trim each on its outer line, which is {show_seam(allowance)} outside the dashed one. It is the mirror "
            "image of what comes of it.",
            "small",
        ),
        Paragraph("Print at 100 %. Parts of one foundation are glued letter on letter and cross on cross.", "small"),
    )
    for index, page in enumerate(pages, start=1):
        name = f"{HEADING}, page {index} of {len(pages)}" if len(pages) > 1 else HEADING
        yield Plate(name, page, use, listed=index == 1)


def _pictures(given: BlockFoundation, allowance: Length, room: tuple[float, float]) -> Iterator[Picture]:
    for drawn, bare in zip(_whole(given, allowance), _whole(given, allowance, tiled=True), strict=True):
        if _fits(drawn, room) or _fits(drawn, room[::-1]):
            yield drawn
        else:
            # Lying or upright, whichever takes fewer tiles.
            way = min((bare, _upright(bare)), key=lambda each: len(even_boxes((each.width_mm, each.height_mm), room)))
            yield from (tile.picture for tile in tiles(way, *room))


def _whole(given: BlockFoundation, allowance: Length, *, tiled: bool = False) -> Iterator[Picture]:
    """Each section that is printed, in one piece; for tiles, which are named one by one, without the name that they would cut."""
    several = len(given.foundations.sections) > 1
    every = given.printed or tuple((section,) for section in given.foundations.sections if len(section.patches) > 1)
    for alike in every:
        names = ", ".join(section.name for section in alike)
        called = f"{given.name}, {names}" if several else given.name
        copies = f": {len(alike)} for each block" if len(alike) > 1 else ""
        written = f"{called}{copies}"
        yield foundation_picture(alike[0], given.labels, allowance, written, "" if tiled else written)


def _fits(drawn: Picture, room: tuple[float, float]) -> bool:
    return drawn.width_mm <= room[0] and drawn.height_mm <= room[1]


def _upright(drawn: Picture) -> Picture:
    """The same picture, turned by a quarter."""
    turned = Group(drawn.shapes, dx=drawn.height_mm, turn_deg=90.0)
    return picture(drawn.height_mm, drawn.width_mm, [turned], title=drawn.title, description=drawn.description)


def _turns(drawn: Picture, room: tuple[float, float]) -> list[Turned]:
    """Both ways in which it goes on a page, or the one."""
    ways = [way for way in (drawn, _upright(drawn)) if _fits(way, room)]
    return [Turned(way, whole_cells(way, _CLOSE)) for way in ways]
