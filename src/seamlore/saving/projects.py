"""What could be made of the sound blocks: things with a size, some of which touch food, skin or children."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from seamlore.errors import MeasureError
from seamlore.lengths import Length, inches

_SEAM = inches("1/4")


@dataclass(frozen=True, slots=True)
class Project:
    """A thing to make.

    Parameters
    ----------
    name : str
    width, height : Length
        Finished, of the part that is pieced.
    faces : int
        How many such parts it takes: 2 where both sides are pieced.
    adds : str
        What else it takes.
    touches : str
        "skin", "food", "children", or nothing of these.
    hers : bool
        Whether she defined it.
    """

    name: str
    width: Length
    height: Length
    faces: int = 1
    adds: str = ""
    touches: str = ""
    hers: bool = False


def _in(name: str, width: str, height: str, faces: int, adds: str, touches: str = "") -> Project:
    return Project(name, inches(width), inches(height), faces, adds, touches)


# Sizes: common practice, no source.
PROJECTS: tuple[Project, ...] = (
    _in("wall piece", "24", "24", 1, "backing, thin batting, binding, a sleeve over its whole width"),
    _in("table runner", "16", "48", 1, "backing, thin batting, binding", "food"),
    _in("cushion", "16", "16", 1, "a back of new cloth, a pad, a zipper or an overlap", "skin"),
    _in("bolster", "24", "20", 1, "two round ends of new cloth, a pad", "skin"),
    _in("small lap quilt", "40", "48", 1, "backing, batting, binding", "skin"),
    _in("tote", "14", "15", 2, "lining, stiff interlining, new webbing for the handles, which carry the load"),
    _in("book cover", "8", "12", 2, "lining, flaps of new cloth"),
    _in(
        "framed block",
        "8",
        "8",
        1,
        "an acid-free mount that it is stitched to, a frame with a spacer, no light on it",
    ),
    _in("box lid", "6", "6", 1, "an acid-free board, thin batting; laced on the underside, no glue"),
    _in("pouch", "6", "8", 2, "lining, a zipper", "skin"),
    _in("pincushion", "4", "4", 1, "a back of new cloth, a firm filling"),
    _in("ornament", "3", "3", 2, "ribbon, a filling; out of reach of small children", "children"),
)


@dataclass(frozen=True, slots=True)
class Fit:
    """How a project comes out of the blocks that there are.

    Parameters
    ----------
    project : Project
    rows, columns : int
        Blocks in each pieced part.
    takes : int
        Blocks for one.
    count : int
        How many can be made.
    left : int
        Blocks that are left when all of them are made.
    strips : (across, down)
        What is to be added to a part so that it has its size: 0 where the blocks fill it; where they are larger than it,
        what is trimmed away, less than 0.
    pieces : int
        Of a thing so small that a block gives two or more: how many, cut from cut blocks alone; 0 for all others.
    """

    project: Project
    rows: int
    columns: int
    takes: int
    count: int
    left: int
    strips: tuple[Length, Length]
    pieces: int = 0

    @property
    def trims(self) -> bool:
        """Whether blocks are cut into."""
        return any(each.inches < 0 for each in self.strips)


def fit(project: Project, blocks: int, block: tuple[Length, Length], *, seam: Length = _SEAM, cut: int = 0) -> Fit:
    """Say how many of a project come out of some blocks.

    Parameters
    ----------
    project : Project
    blocks : int
        How many sound ones there are.
    block : (width, height)
        What they finish at when they are sewn again.
    seam : Length
        Round a piece that is cut out of a block.
    cut : int
        How many blocks that the edge cut are sound. Each is reckoned as half a block, and things of which a half gives two
        or more are cut from these; no whole block is cut up for them.

    Examples
    --------
    >>> cushion = next(each for each in PROJECTS if each.name == "cushion")
    >>> found = fit(cushion, 30, (inches(8), inches(8)))
    >>> found.takes, found.count, found.left, [str(each) for each in found.strips]
    (4, 7, 2, ['0 in', '0 in'])
    >>> fit(cushion, 30, (inches(9), inches(9))).strips[0] > inches(0)
    True
    """
    half = (block[0] / 2, block[1])
    pieces = max(
        _count(side, project.width, seam) * _count(other, project.height, seam) for side, other in (half, half[::-1])
    )
    if pieces >= 2 and all(each.inches > 0 for each in block):
        made = cut * pieces // project.faces
        none = project.width * 0
        return Fit(project, 1, 1, 0, made, cut - -(-made * project.faces // pieces), (none, none), pieces)
    columns, rows = (
        max(int(whole.inches / side.inches), 1)
        for whole, side in zip((project.width, project.height), block, strict=True)
    )
    takes = rows * columns * project.faces
    count = blocks // takes
    strips = (project.width - block[0] * columns, project.height - block[1] * rows)
    return Fit(project, rows, columns, takes, count, blocks - count * takes, strips)


def _count(side: Length, piece: Length, seam: Length) -> int:
    return int(side.inches / (piece.inches + 2 * seam.inches))


def fits(
    blocks: int,
    block: tuple[Length, Length],
    own: Iterable[Project] = (),
    *,
    seam: Length = _SEAM,
    cut: int = 0,
    ruled_out: bool = False,
) -> tuple[Fit, ...]:
    """Give every project with how many of it can be made.

    What touches skin, food or children comes last, until hazards were ruled out; then those of which most can be made of
    whole blocks before those that cut into blocks or cannot be made.
    """
    made = [fit(each, blocks, block, seam=seam, cut=cut) for each in (*own, *PROJECTS)]
    return tuple(
        sorted(
            made,
            key=lambda each: (bool(each.project.touches) and not ruled_out, each.count == 0, each.trims, -each.takes),
        )
    )


def checked(project: Project, names: Sequence[str] = ()) -> Project:
    """Give a project of hers back when it can be made.

    Raises
    ------
    MeasureError
        When a side is not above 0, it has no name, or one of that name is there.
    """
    if not project.name.strip():
        raise MeasureError("a thing without a name", "it needs one", "say what it is")
    if project.name in names:
        raise MeasureError(f'"{project.name}"', "there is one of that name", "call it otherwise")
    if project.width.inches <= 0 or project.height.inches <= 0 or not 1 <= project.faces <= 20:
        raise MeasureError(
            f"{project.name} of {project.width} by {project.height}",
            "both sides are above 0",
            "measure what it is to be",
        )
    return project
