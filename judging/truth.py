"""What is known of a test photograph: the truth that a reading is held against, on disk and in memory.

A labeled folder holds photographs and one `truth.json`, a list of records; `load_labelled` also reads lists made
by hand for real photographs, in which most is unknown.
"""

from __future__ import annotations

import json
from collections.abc import Iterator, Sequence
from pathlib import Path
from typing import Any, Literal

import msgspec
import numpy as np
from numpy.typing import NDArray
from PIL import Image

from seamlore.photo.reading import BlockAt, Edge, Pair, Ring, SeenBlock, SeenFabric

Photo = NDArray[np.uint8]
Corners = tuple[Pair, Pair, Pair, Pair]
Segment = tuple[float, float, float, float]


class BlockQuad(msgspec.Struct, frozen=True):
    """Where one whole, uncropped block lies in the photograph: its corners from its own top left, clockwise."""

    row: int
    column: int
    corners_px: Corners


class Truth(msgspec.Struct, frozen=True, kw_only=True):
    """What is known of one photograph; the names are those of a `Reading`. None where it is not known.

    Attributes
    ----------
    file
        The photograph's name in its folder; "" while it is only in memory.
    corners
        The quilt's corners in pixels, clockwise from its top left.
    corners_of
        "quilt", or "field" when only the field of blocks inside its borders has known corners.
    row_spans, column_spans
        From the quilt's top left in `unit`; mean over each uneven line; an outer block that the edge cuts has its
        uncut span, which then begins below 0 or ends beyond the size. On point: spans of the whole rows at their
        widest.
    block
        As it stands in most blocks, on point as it looks with the picture turned so that the block stands straight
        with its upper corner at top left. Patches that share a fabric in most blocks are merged.
    seams, doubtful_seams, hidden_seams
        Seams inside the unit block: those at which the fabric changes visibly in most blocks; those that are
        sewn and at which it changes, but faintly or in few blocks; those that are sewn inside one fabric.
    symmetry
        Every (turn, mirrored) that leaves `block` as it looks.
    blocks
        One for each block but the plain ones of an alternate setting; on point those of the whole rows.
    plain
        (row, column) of the plain blocks of an alternate setting.
    quads
        Where blocks lie in the photograph.
    notes
        How it was made: design, ground, scrappiness and so on.
    """

    file: str = ""
    photo_size: tuple[int, int]
    corners: Corners | None
    corners_of: Literal["quilt", "field"] = "quilt"
    unit: Literal["in", "width"] = "in"
    size: Pair | None = None
    setting: Literal["straight", "on point", "none"] | None = None
    rows: int | None = None
    columns: int | None = None
    block_size: Pair | None = None
    sashing: Pair | None = None
    edge: Edge | None = None
    row_spans: tuple[Pair, ...] | None = None
    column_spans: tuple[Pair, ...] | None = None
    block: SeenBlock | None = None
    seams: tuple[Segment, ...] | None = None
    doubtful_seams: tuple[Segment, ...] = ()
    hidden_seams: tuple[Segment, ...] = ()
    symmetry: tuple[tuple[int, bool], ...] | None = None
    blocks: tuple[BlockAt, ...] | None = None
    plain: tuple[tuple[int, int], ...] = ()
    fabrics: tuple[SeenFabric, ...] | None = None
    quads: tuple[BlockQuad, ...] = ()
    notes: dict[str, str | int | float] = {}

    def to_labelled(self, folder: Path, photo: Photo, *, quality: int = 92) -> Path:
        """Write the photograph into a labeled folder and its record into the folder's `truth.json`.

        Parameters
        ----------
        folder : Path
            Made when absent; a record of the same file name is replaced.
        photo : ndarray of uint8, shape (height, width, 3)
            RGB.
        quality : int
            Of the JPEG.

        Returns
        -------
        Path
            The photograph.
        """
        folder.mkdir(parents=True, exist_ok=True)
        name = self.file or f"quilt_{self.notes.get('seed', 0):08d}.jpg"
        Image.fromarray(photo).save(folder / name, quality=quality)
        record = folder / "truth.json"
        known = [each for each in json.loads(record.read_text()) if each["file"] != name] if record.exists() else []
        known.append(msgspec.to_builtins(msgspec.structs.replace(self, file=name)))
        record.write_text(json.dumps(sorted(known, key=lambda each: str(each["file"])), indent=1) + "\n")
        return folder / name


def _by_hand(record: dict[str, Any], photo: Path) -> Truth:
    """Take up a record made by hand for a real photograph."""
    corners = record.get("outer_corners_px")
    inner = record.get("block_field_corners_px")
    setting = record.get("setting")
    settings: tuple[Literal["straight", "on point"], ...] = ("straight", "on point")
    # What is said by hand may add how it looks: "straight (looks on point)".
    told = next((each for each in settings if str(setting).startswith(each)), None)
    rows, columns = record.get("rows"), record.get("columns")
    known = told is not None and rows is not None and columns is not None
    if told == "on point" and rows is not None and columns is not None and rows % 2 and columns % 2:
        # By hand every row on point was counted; a reading counts the whole rows, and the blocks between them apart.
        rows, columns = (rows + 1) // 2, (columns + 1) // 2
    with Image.open(photo) as opened:
        width, height = opened.size
        orientation = opened.getexif().get(0x0112, 1)
    if orientation != 1:
        raise ValueError(
            f"{photo.name}: its corners are of the picture as stored, but its orientation is {orientation}"
        )
    return Truth(
        file=photo.name,
        photo_size=(width, height),
        corners=_four(corners or inner),
        corners_of="quilt" if corners or not inner else "field",
        unit="width",
        setting=told if known else ("none" if "negative" in str(record.get("certainty")) else None),
        rows=rows if known else None,
        columns=columns if known else None,
        notes={
            "description": str(record.get("description", "")),
            "certainty": str(record.get("certainty", "")),
            "said of its setting": str(setting),
        },
    )


def _four(corners: Sequence[Sequence[float]] | None) -> Corners | None:
    if corners is None:
        return None
    a, b, c, d = ((float(x), float(y)) for x, y in corners)
    return a, b, c, d


def load_labelled(folder: Path) -> Iterator[tuple[Path, Truth]]:
    """Read a labeled folder.

    Parameters
    ----------
    folder : Path
        Photographs and their `truth.json`.

    Yields
    ------
    tuple of Path and Truth
        In the order of the file.
    """
    for record in json.loads((folder / "truth.json").read_text()):
        photo = folder / record["file"]
        if "outer_corners_px" in record or "visible" in record:
            yield photo, _by_hand(record, photo)
        else:
            yield photo, msgspec.convert(record, Truth)


__all__ = ["BlockAt", "BlockQuad", "Corners", "Edge", "Photo", "Ring", "Segment", "Truth", "load_labelled"]
