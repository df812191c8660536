"""Get the block or the quilt that was asked for: from the catalogue, from a file, or put together from sizes."""

from __future__ import annotations

from dataclasses import dataclass, replace
from pathlib import Path
from typing import TYPE_CHECKING

from seamlore import files
from seamlore.draft.block import Block
from seamlore.draft.border import border
from seamlore.draft.catalogue import find
from seamlore.draft.cells import with_fabrics, with_lies
from seamlore.draft.quilt import Quilt, Sashing
from seamlore.draft.repeated import repeated
from seamlore.draft.setting.setting import STRAIGHT, Cut, OnPoint, Setting
from seamlore.draft.text.notation import read_block
from seamlore.errors import PhotoError, PlanError, ShapeError
from seamlore.lengths import Length, Unit, inches
from seamlore.limits import BLOCKS, BORDERS
from seamlore.steps.draft.words import SaidBorder, bordered, every_other

if TYPE_CHECKING:
    from seamlore.draft.sizes.bed import BedFit
    from seamlore.photo.read import Progress
    from seamlore.photo.reading import Reading

# Kinds of photographs by the ending of the file's name.
_PHOTOGRAPHS = (".jpg", ".jpeg", ".png", ".heic", ".heif", ".tif", ".tiff", ".webp")


@dataclass(frozen=True, slots=True)
class Wanted:
    """A quilt put together from sizes; a file or a block alone leaves most of it out.

    Parameters
    ----------
    size : tuple of Length
        Finished width and height of the block.
    rows, columns : int
    sashing : Length or Sashing, optional
        Finished width of the strips between blocks, the same both ways; or all there is to say of them.
    cornerstones, outer_sashing : bool
    borders : tuple of Length or SaidBorder
        Finished widths, or all there is to say of each, from the inside outward.
    mitered : bool
        Whether borders given by width alone are mitered.
    on_point : bool
        Whether the blocks stand on point, with side and corner triangles; as `setting` says otherwise.
    name : str
        What the quilt is called; the block's name when empty.
    setting : Straight, OnPoint, Offset or Strips, optional
        How the blocks lie.
    every_other : str
        The block in every other place, in the words of `steps.draft.words.every_other`; none when empty.
    turn : str
        The pattern that the blocks are turned in; none when empty.
    cut : Cut, optional
        What the edge has cut off.
    fabrics : tuple of (str, str)
        What the fabric of a place is called.
    """

    size: tuple[Length, Length]
    rows: int
    columns: int
    sashing: Length | Sashing | None = None
    cornerstones: bool = False
    outer_sashing: bool = False
    borders: tuple[Length | SaidBorder, ...] = ()
    mitered: bool = False
    on_point: bool = False
    name: str = ""
    setting: Setting | None = None
    every_other: str = ""
    turn: str = ""
    cut: Cut | None = None
    fabrics: tuple[tuple[str, str], ...] = ()


def is_file(given: str) -> bool:
    """Tell whether a word on the command line means a file and not a name of the catalogue.

    Examples
    --------
    >>> is_file("shoo fly"), is_file("my.block"), is_file("jacob's ladder")
    (False, True, False)
    """
    path = Path(given)
    endings = (".block", ".quilt", ".txt", ".json", *_PHOTOGRAPHS)
    return _is_there(path) or path.suffix.lower() in endings or "/" in given or "\\" in given


def _is_there(path: Path) -> bool:
    try:
        return path.is_file()
    except (OSError, ValueError):
        # No file can have that name: longer than names may be, or with a character that none may hold.
        return False


def unit_of(given: Block | Quilt, wanted: Wanted | None) -> Unit:
    """Tell the unit of the quilt that is made of what was given.

    Examples
    --------
    >>> four = read_block("block Four Patch\\nA dark\\nB light\\n\\nA B\\nB A")
    >>> str(unit_of(four, Wanted((inches(8), inches(8)), 2, 2)))
    'in'
    """
    if wanted is not None:
        return wanted.size[0].unit
    return given.unit if isinstance(given, Quilt) else Unit.INCH


def read(given: str, *, progress: Progress | None = None) -> Block | Quilt:
    """Read what a name or a file holds: a block or a whole quilt.

    Parameters
    ----------
    given : str
        A name of the catalogue; or the path of a block file, a draft file, a reading as `look --json` prints it, or a
        photograph, of which the block is drawn.
    progress : callable, optional
        Told how far a photograph is read.

    Returns
    -------
    Block or Quilt

    Raises
    ------
    SeamloreError
        Of the kind that fits, with the line where a file is wrong.

    Examples
    --------
    >>> read("shoo fly").name
    'Shoo Fly'
    """
    if not is_file(given):
        return find(given)
    path = Path(given)
    if path.suffix.lower() in _PHOTOGRAPHS:
        from seamlore.steps.look import look  # opens pictures: slow to import

        return seen_block(look(path, progress=progress).reading, source=path.name)
    return read_text(files.read_text(path, "a block or draft file"), source=path.name)


def read_text(text: str, *, source: str = "") -> Block | Quilt:
    """Read a block file, a draft file or a reading; which one it is, its beginning says.

    Examples
    --------
    >>> read_text("block Plain\\nA light\\n\\nA").name
    'Plain'
    >>> read_text("{}", source="quilt.json")
    Traceback (most recent call last):
        ...
    seamlore.errors.PhotoError: quilt.json: not a reading (...); give what seamlore look --json prints
    """
    if text.lstrip().startswith("{"):
        from seamlore.photo.reading import read_reading  # readings alone need what parses them

        return seen_block(read_reading(text, source=source), source=source)
    first = next((line.split()[0] for line in text.splitlines() if line.split("#")[0].split()), "")
    if first == "block":
        return read_block(text, source=source)
    from seamlore.draft.text.quilt_file import read_quilt  # a block by its name is no file

    quilt = read_quilt(text, find_block=find, source=source)
    _check_count(quilt.rows, quilt.columns, source)
    return quilt


def _check_count(rows: int, columns: int, where: str = "") -> None:
    if rows * columns > BLOCKS:
        raise PlanError(
            f"{rows:,} rows of {columns:,} blocks",
            f"a quilt has at most {BLOCKS:,} blocks here",
            "give fewer rows or columns",
            where=where,
        )


def seen_block(reading: Reading, *, source: str = "") -> Block:
    """Draw the block that a photograph shows onto its grid.

    Raises
    ------
    PhotoError
        When no block was read.
    """
    if reading.block is None:
        raise PhotoError(
            source or "the photograph", "no block was found on it", "name the block, or draw it as a block file"
        )
    from seamlore.study.seen_block import exact_block  # as above

    return exact_block(reading.block, name="Block on the photograph", reading=reading)


def block_named(given: str) -> Block:
    """Read a block by its name or file, where only a block will do.

    Raises
    ------
    ShapeError
        When it is a whole quilt.

    Examples
    --------
    >>> block_named("shoo fly").divisions
    3
    """
    found = read(given)
    if isinstance(found, Quilt):
        raise ShapeError(given, "it is a whole quilt, and a block is wanted here", "name a block or a block file")
    return found


def put_together(block: Block, wanted: Wanted) -> Quilt:
    """Set a block into a quilt.

    Raises
    ------
    SeamloreError
        When a count or size is 0 or less.

    Examples
    --------
    >>> from seamlore.lengths import inches
    >>> print(put_together(find("shoo fly"), Wanted((inches(9), inches(9)), 7, 8, borders=(inches(4),))))
    Shoo Fly: 7 rows of 8 Shoo Fly, 80 in by 71 in
    """
    _check_count(wanted.rows, wanted.columns)
    if len(wanted.borders) > BORDERS:
        raise PlanError(f"{len(wanted.borders)} borders", f"a quilt has at most {BORDERS}", "leave some out")
    quilt = repeated(
        wanted.name or block.name,
        block,
        *wanted.size,
        rows=wanted.rows,
        columns=wanted.columns,
        sashing=_sashing(wanted),
        setting=wanted.setting or (OnPoint() if wanted.on_point else STRAIGHT),
        every_other=every_other(wanted.every_other, block_named) if wanted.every_other else None,
        cut=wanted.cut,
    )
    if wanted.turn:
        from seamlore.draft.setting.turns import turns  # as above

        quilt = with_lies(quilt, turns(wanted.turn, quilt))
    for number, given in enumerate(wanted.borders, start=1):
        said = given
        if isinstance(said, Length):
            said = SaidBorder(border(said, corners="mitered" if wanted.mitered else "butted"))
        if said.border.top.fabric == "border" and len(wanted.borders) > 1:
            sides = [replace(side, fabric=f"border {number}") for side in said.border.sides]
            said = replace(said, border=said.border.with_sides(sides))
        quilt = bordered(quilt, said, block_named)
    return with_fabrics(quilt, dict(wanted.fabrics))


def _sashing(wanted: Wanted) -> Sashing | None:
    given = wanted.sashing
    if given is None:
        return None
    if isinstance(given, Length):
        given = Sashing(given, given)
    if given.between_columns.inches == 0 == given.between_rows.inches:
        return None
    return replace(
        given,
        outer=given.outer or wanted.outer_sashing,
        cornerstones=given.cornerstones or wanted.cornerstones,
    )


def fitted(
    given: Block | Quilt, bed: str, drop: Length | None, *, pillow_tuck: Length | None = None
) -> tuple[BedFit, ...]:
    """Fit a quilt to a bed: the nearest counts of blocks, and widths of its outermost border.

    Parameters
    ----------
    given : Block or Quilt
        A block alone cannot be fitted.
    bed : str
        Such as "queen".
    drop : Length, optional
        How far it hangs down at both sides and the foot; 12 in when not given.
    pillow_tuck : Length, optional
        How much is added for the pillows.

    Returns
    -------
    tuple of BedFit
        The nearest first.

    Raises
    ------
    SeamloreError
        When there is no such bed, or nothing comes near its size.

    Examples
    --------
    >>> from seamlore.lengths import inches
    >>> quilt = put_together(find("shoo fly"), Wanted((inches(9), inches(9)), 2, 2, borders=(inches(4),)))
    >>> print(fitted(quilt, "twin", inches(12))[0].quilt)
    Shoo Fly: 8 rows of 5 Shoo Fly, 61 1/2 in by 88 1/2 in
    """
    if isinstance(given, Block):
        raise PlanError(
            f"the block {given.name} alone",
            "a bed takes a quilt",
            "add --size, --rows and --columns, or a draft file",
        )
    from seamlore.draft.sizes.bed import cover_size, fit_to, mattress  # as above

    size = cover_size(mattress(bed), drop if drop is not None else inches(12), pillow_tuck=pillow_tuck)
    return fit_to(given, size)
