"""What was measured in one photograph. Other rooms read this; it does not import the image library.

The record is the JSON object that `seamlore look --json` prints (docs/schema/reading.json is made from it).
Lengths are numbers in the record's `unit`; rows and columns count from 0 at the top left.
"""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any, Literal

import msgspec

from seamlore.errors import PhotoError

VERSION = 2

# How a warning says that blocks are cut; where the sums are done, they say it in its place.
CUT_OFF = "are cut off by about"

# How a warning says that blocks are read only once rows and columns are counted.
AFTER = "the blocks are read after that"

# How a warning asks for what was not read; where she has shown it, it asks no more.
TO_SHOW = "please show"

Pair = tuple[float, float]
Ring = tuple[Pair, ...]


class Edge(msgspec.Struct, frozen=True, kw_only=True):
    """How far inside the quilt's edge the outermost counted blocks begin.

    Signed: positive over a border or outer sashing, negative by what the edge cuts off.
    """

    left: float
    top: float
    right: float
    bottom: float


class SeenPatch(msgspec.Struct, frozen=True, kw_only=True):
    """One patch of the block as most blocks have it: corners in 0..1 of the block, place, value."""

    outline: Ring
    place: str
    value: Literal["light", "medium", "dark"]


class SeenBlock(msgspec.Struct, frozen=True, kw_only=True):
    """The block as it stands in most blocks."""

    divisions: int
    patches: tuple[SeenPatch, ...]


class SeenKind(SeenBlock, frozen=True, kw_only=True):
    """One kind of block: its piecing, how many there are (turned and mirrored ones too), how sure it is (0..1).

    `name` is what the catalogue calls it, null where it knows none.
    """

    count: int
    confidence: float
    name: str | None = None


class BlockAt(msgspec.Struct, frozen=True, kw_only=True):
    """One block of the quilt, set against its kind as that is drawn.

    `kind` is the index of its kind, null where its piecing was not read. `turn` is clockwise as seen, after mirroring left to right if `mirrored`; the smallest that fits.
    `shift` is how far it lies from the even grid; `differs` says that it is pieced or colored differently.
    """

    row: int
    column: int
    kind: int | None = None
    turn: Literal[0, 90, 180, 270] = 0
    mirrored: bool = False
    shift: Pair = (0.0, 0.0)
    differs: bool = False


class SeenFabric(msgspec.Struct, frozen=True, kw_only=True):
    """One fabric and every patch that seems cut from it, as [row, column, index of the patch].

    `between` are those in blocks between the whole rows on point. `name` is what its owner calls it, null where she
    said nothing.
    """

    id: str
    srgb: str
    value: Literal["light", "medium", "dark"]
    patches: tuple[tuple[int, int, int], ...]
    between: tuple[tuple[int, int, int], ...] = ()
    name: str | None = None

    @property
    def everywhere(self) -> tuple[tuple[bool, int, int, int], ...]:
        """Every patch: whether its block is one of those between, row, column, index of the patch."""
        return tuple((between, *at) for between in (False, True) for at in (self.patches, self.between)[between])


class Confidence(msgspec.Struct, frozen=True, kw_only=True):
    """How sure the reading is of its grid and of its block, 0..1."""

    grid: float
    block: float


class SecondGrid(msgspec.Struct, frozen=True, kw_only=True):
    """Another answer than the one given: setting, blocks down and across (0 for "none"), and how sure it is, 0..1."""

    setting: Literal["straight", "on point", "none"]
    rows: int
    columns: int
    confidence: float


class Uncertainty(msgspec.Struct, frozen=True, kw_only=True):
    """Standard uncertainties (one sigma) of the lengths read, in the record's unit."""

    block_size: Pair
    sashing: Pair
    edge: float


class Reading(msgspec.Struct, frozen=True, kw_only=True, omit_defaults=False):
    """What one photograph says of a quilt.

    Attributes
    ----------
    corners
        The quilt's corners in pixels of the upright photograph, clockwise from its top left.
    bows
        Of the top, right, bottom and left edge: how far it lies outside the straight line between its corners, at evenly
        spaced stations, as a part of the quilt's height or width (see `Frame`); empty for a straight one.
    unit
        "in" or "cm" when the size was given; otherwise "width": lengths are parts of the quilt's width.
    size
        Width and height of the whole quilt.
    setting
        "straight", "on point", or "none": no block grid was found, and the fields on blocks are null.
    rows, columns
        Blocks down and across, counting those that the edge cuts.
    block_size, sashing
        Finished [width, height] of one block, and the gap [between columns, between rows]; 0 when none.
    row_spans, column_spans
        Start and end of each row and column from the quilt's top left.
    kinds
        The kinds of blocks, the commonest first. `block` is that commonest one once more.
    blocks
        One for each block of the rows counted, in reading order.
    second_grid
        The likeliest answer but this one, to be offered; null where nothing else was seen.
    between
        On point, the blocks between the whole rows in the same form, row 0 and column 0 the first of them; null where
        they were not looked at.
    """

    photo_size: tuple[int, int]
    corners: tuple[Pair, Pair, Pair, Pair]
    corners_from: Literal["given", "found"]
    unit: Literal["in", "cm", "width"]
    size: Pair
    setting: Literal["straight", "on point", "none"]
    rows: int | None = None
    columns: int | None = None
    block_size: Pair | None = None
    sashing: Pair | None = None
    edge: Edge | None = None
    row_spans: tuple[Pair, ...] | None = None
    column_spans: tuple[Pair, ...] | None = None
    uncertainty: Uncertainty | None = None
    block: SeenBlock | None = None
    kinds: tuple[SeenKind, ...] | None = None
    blocks: tuple[BlockAt, ...] | None = None
    between: tuple[BlockAt, ...] | None = None
    fabrics: tuple[SeenFabric, ...] | None = None
    second_grid: SecondGrid | None = None
    confidence: Confidence = Confidence(grid=0.0, block=0.0)
    warnings: tuple[str, ...] = ()
    bows: tuple[tuple[float, ...], tuple[float, ...], tuple[float, ...], tuple[float, ...]] = ((), (), (), ())
    version: int = VERSION

    @property
    def everywhere(self) -> dict[tuple[bool, int, int], BlockAt]:
        """Every block: by whether it is one of those between, its row and its column."""
        told = ((between, each) for between in (False, True) for each in (self.blocks, self.between)[between] or ())
        return {(between, each.row, each.column): each for between, each in told}


def one_kind(
    block: SeenBlock, blocks: Iterable[BlockAt], confidence: float
) -> tuple[tuple[SeenKind, ...], tuple[BlockAt, ...]]:
    """Give the kinds, and each block its kind, of a quilt that was read as one block repeated.

    A block that differs is of no kind: its own piecing was not read.

    Examples
    --------
    >>> kinds, blocks = one_kind(
    ...     SeenBlock(divisions=1, patches=()), [BlockAt(row=0, column=0), BlockAt(row=0, column=1, differs=True)], 0.5
    ... )
    >>> kinds[0].count, [each.kind for each in blocks]
    (1, [0, None])
    >>> one_kind(SeenBlock(divisions=1, patches=()), [], 0.5)[0][0].count
    0
    """
    given = tuple(blocks)
    # Where all differ from each other, the block was read from all of them.
    alone = all(each.differs for each in given)
    placed = tuple(msgspec.structs.replace(each, kind=0 if alone or not each.differs else None) for each in given)
    count = sum(each.kind == 0 for each in placed)
    kind = SeenKind(divisions=block.divisions, patches=block.patches, count=count, confidence=confidence)
    return (kind,), placed


def upgraded(record: dict[str, Any]) -> dict[str, Any]:
    """Bring a reading that was written by an earlier version, as plain data, up to this one.

    Examples
    --------
    >>> upgraded({"block": None})["version"]
    2
    """
    if record.get("version", 1) != 1:
        return record
    fresh = record | {"version": VERSION}
    if record.get("block") is None or record.get("blocks") is None:
        return fresh
    kinds, blocks = one_kind(
        msgspec.convert(record["block"], SeenBlock),
        msgspec.convert(record["blocks"], tuple[BlockAt, ...]),
        msgspec.convert(record.get("confidence", {"grid": 0.0, "block": 0.0}), Confidence).block,
    )
    return fresh | {"kinds": msgspec.to_builtins(kinds), "blocks": msgspec.to_builtins(blocks)}


def read_reading(text: str | bytes, *, source: str = "") -> Reading:
    """Read the JSON that `seamlore look --json` prints, that of earlier versions too.

    Raises
    ------
    PhotoError
        When it is something else, or was written by a later version.

    Examples
    --------
    >>> read_reading("[]")
    Traceback (most recent call last):
        ...
    seamlore.errors.PhotoError: the file: not a reading (Expected `object`, got `array`); give what seamlore look --json prints
    """
    given = source or "the file"
    try:
        reading = msgspec.convert(upgraded(msgspec.json.decode(text, type=dict[str, Any])), Reading)
    except RecursionError:
        raise PhotoError(
            given, "not a reading (nested too deeply)", "give what seamlore look --json prints"
        ) from None
    except (msgspec.DecodeError, UnicodeDecodeError) as fault:
        raise PhotoError(given, f"not a reading ({fault})", "give what seamlore look --json prints") from None
    if reading.version > VERSION:
        raise PhotoError(
            f"{given}, version {reading.version}",
            f"this program reads up to version {VERSION}",
            "use a newer program",
        )
    return reading
