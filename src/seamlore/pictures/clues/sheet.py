"""A small drawing for each datable feature, so that it is known again when it is seen: how, not in what size.

Which drawing a clue has stands in `clue_marks.csv`: a kind, and what tells one from another of that kind.
"""

from __future__ import annotations

import csv
from collections.abc import Callable
from functools import cache
from importlib.resources import files

from seamlore.drawing.picture import Picture, picture
from seamlore.drawing.shapes import Shape
from seamlore.drawing.svg import to_svg
from seamlore.pictures.clues.blocks import block
from seamlore.pictures.clues.cloths import figures, flag, gone, ruler, selvage, solid, weave, words_on
from seamlore.pictures.clues.edges import edge_of, filling
from seamlore.pictures.clues.ground import HEIGHT_MM, WIDTH_MM
from seamlore.pictures.clues.stitches import spool, stitch, thread

_ON_PAPER = f'width="{WIDTH_MM:g}mm" height="{HEIGHT_MM:g}mm"'
_IN_SYMBOL = f'width="{WIDTH_MM:g}" height="{HEIGHT_MM:g}"'


@cache
def marks() -> dict[str, tuple[str, tuple[str, ...]]]:
    """Give the kind of drawing of each clue, and what it is drawn with.

    Examples
    --------
    >>> marks()["turkey red"]
    ('solid', ('#a8232b',))
    """
    text = files("seamlore.pictures.clues").joinpath("clue_marks.csv").read_text(encoding="utf-8")
    rows = csv.DictReader(text.splitlines())
    return {row["key"]: (row["kind"], tuple(row["with"].split())) for row in rows}


def clue_mark(key: str) -> Picture:
    """Draw one clue, 14 by 10 mm.

    Raises
    ------
    KeyError
        When the clue has no drawing.

    Examples
    --------
    >>> clue_mark("turkey red").description
    'plain cloth'
    """
    kind, told = marks()[key]
    shapes = _DRAWN[kind](*told)
    return picture(WIDTH_MM, HEIGHT_MM, shapes, title=key, description=_SAYS.get(kind, kind))


@cache
def clue_sheet() -> bytes:
    """Give all drawings as one SVG, each a symbol named for its clue."""
    symbols = []
    for key in marks():
        name = key.replace(" ", "-")
        # Inside a symbol a size on paper would be taken for one in its own units.
        drawn = to_svg(clue_mark(key), in_page=True, ids=f"m-{name}").replace(_ON_PAPER, _IN_SYMBOL)
        symbols.append(f'<symbol id="{name}" viewBox="0 0 {WIDTH_MM:g} {HEIGHT_MM:g}">{drawn}</symbol>')
    return ('<svg xmlns="http://www.w3.org/2000/svg">' + "".join(symbols) + "</svg>").encode()


_DRAWN: dict[str, Callable[..., list[Shape]]] = {
    "solid": solid, "gone": gone, "print": figures, "weave": weave, "thread": thread, "stitch": stitch,
    "edge": edge_of, "filling": filling, "ruler": ruler, "words": words_on, "selvage": selvage, "block": block,
    "flag": flag, "spool": spool,
}  # fmt: skip
_SAYS = {
    "solid": "plain cloth", "gone": "a color as it was in the seam and as it is now", "print": "printed cloth",
    "weave": "a weave", "thread": "a thread of so many plies", "stitch": "stitches on cloth", "edge": "the edge of a quilt",
    "filling": "what lies between top and back", "ruler": "a width from selvage to selvage", "words": "words on cloth",
    "selvage": "a selvage", "block": "a block", "flag": "a flag", "spool": "a spool of thread",
}  # fmt: skip
