"""Get the block or the quilt that was asked for: from the catalogue, from a file, or put together from sizes."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

from seamlore.draft.bed import cover_size, fit_to, mattress
from seamlore.draft.block import Block
from seamlore.draft.catalogue import find
from seamlore.draft.notation import read_block
from seamlore.draft.quilt import Border, Quilt, Sashing
from seamlore.draft.quilt_file import read_quilt
from seamlore.draft.settings import STRAIGHT, OnPoint
from seamlore.errors import PlanError, SeamloreError
from seamlore.lengths import Length, inches


@dataclass(frozen=True, slots=True)
class Wanted:
    """A quilt put together from sizes; a file or a block alone leaves most of it out.

    Parameters
    ----------
    size : tuple of Length
        Finished width and height of the block.
    rows, columns : int
    sashing : Length, optional
        Finished width of the strips between blocks, the same both ways.
    cornerstones, outer_sashing : bool
    borders : tuple of Length
        Finished widths, from the inside outward.
    mitred : bool
        Whether borders are mitred.
    on_point : bool
        Whether the blocks stand on point, with side and corner triangles.
    name : str
        What the quilt is called; the block's name when empty.
    """

    size: tuple[Length, Length]
    rows: int
    columns: int
    sashing: Length | None = None
    cornerstones: bool = False
    outer_sashing: bool = False
    borders: tuple[Length, ...] = ()
    mitred: bool = False
    on_point: bool = False
    name: str = ""


def is_file(given: str) -> bool:
    """Tell whether a word on the command line means a file and not a name of the catalogue.

    Examples
    --------
    >>> is_file("shoo fly"), is_file("my.block"), is_file("jacob's ladder")
    (False, True, False)
    """
    path = Path(given)
    return path.is_file() or path.suffix in (".block", ".quilt", ".txt") or "/" in given or "\\" in given


def read(given: str) -> Block | Quilt:
    """Read what a name or a file holds: a block or a whole quilt.

    Parameters
    ----------
    given : str
        A name of the catalogue, or the path of a block file or a draft file.

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
    try:
        text = path.read_text(encoding="utf-8-sig")
    except UnicodeDecodeError:
        raise SeamloreError(path.name, "a block or draft file is text in UTF-8", "save it as plain text") from None
    except OSError as fault:
        reason = (fault.strerror or "it cannot be read").lower()
        raise SeamloreError(given, f"the file cannot be read: {reason}", "check its name, or name a block") from None
    return read_text(text, source=path.name)


def read_text(text: str, *, source: str = "") -> Block | Quilt:
    """Read a block file or a draft file; which one it is, its first word says.

    Examples
    --------
    >>> read_text("block Plain\\nA light\\n\\nA").name
    'Plain'
    """
    first = next((line.split()[0] for line in text.splitlines() if line.split("#")[0].split()), "")
    if first == "block":
        return read_block(text, source=source)
    return read_quilt(text, find_block=find, source=source)


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
    sashing = None
    if wanted.sashing is not None and wanted.sashing.inches > 0:
        sashing = Sashing(wanted.sashing, wanted.sashing, wanted.outer_sashing, wanted.cornerstones)
    borders = [
        Border(
            width,
            f"border {number}" if len(wanted.borders) > 1 else "border",
            "mitred" if wanted.mitred else "butted",
        )
        for number, width in enumerate(wanted.borders, start=1)
    ]
    return Quilt(
        wanted.name or block.name,
        block,
        *wanted.size,
        rows=wanted.rows,
        columns=wanted.columns,
        sashing=sashing,
        borders=tuple(borders),
        setting=OnPoint() if wanted.on_point else STRAIGHT,
    )


def fitted(given: Block | Quilt, bed: str, drop: Length | None) -> Quilt:
    """Fit a quilt to a bed: the nearest counts of blocks, and width of its outermost border.

    Parameters
    ----------
    given : Block or Quilt
        A block alone cannot be fitted.
    bed : str
        Such as "queen".
    drop : Length, optional
        How far it hangs down at both sides and the foot; 12 in when not given.

    Raises
    ------
    SeamloreError
        When there is no such bed, or nothing comes near its size.

    Examples
    --------
    >>> from seamlore.lengths import inches
    >>> quilt = put_together(find("shoo fly"), Wanted((inches(9), inches(9)), 2, 2, borders=(inches(4),)))
    >>> print(fitted(quilt, "twin", inches(12)))
    Shoo Fly: 8 rows of 5 Shoo Fly, 61 1/2 in by 88 1/2 in
    """
    if isinstance(given, Block):
        raise PlanError(
            f"the block {given.name} alone",
            "a bed takes a quilt",
            "add --size, --rows and --columns, or a draft file",
        )
    size = cover_size(mattress(bed), drop if drop is not None else inches(12))
    return fit_to(given, size)[0].quilt
