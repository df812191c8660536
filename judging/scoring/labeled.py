"""Judge the piecing that is read against real quilts labeled cell by cell: ``python -m judging.scoring.labeled``.

Needs the labeled photographs beside the checkout (shared/photos/piecing.json); says so and ends where there are none.
Prints a line for each photograph, and the means over photographs beside what must be reached.

A cell is right when its seams are found as it lies: F1 at least 0.8, a seam counting when it lies within 2/72 of the
block's side, and seams drawn 0.5 to 1.5 times as long as the label's; a plain cell when no seam is drawn. With a wrong
grid every cell is drawn wrong. Cells of which the label says that they cannot be seen are not counted.

    python -m judging.scoring.labeled                     # all labeled photographs, corners given
    python -m judging.scoring.labeled mg_wall ct_red      # some
    python -m judging.scoring.labeled --pictures DIR      # what was read, drawn over each photograph
"""

from __future__ import annotations

import argparse
import json
import sys
import time
from collections.abc import Sequence
from concurrent.futures import ProcessPoolExecutor
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import cv2
import numpy as np
import shapely
from numpy.typing import NDArray

from judging.scoring.look import REAL
from seamlore.draft.text.notation import read_block
from seamlore.photo.opening import open_photo
from seamlore.photo.read import Look, look
from seamlore.photo.reading import BlockAt, Reading

Floats = NDArray[np.float64]
NEAR = 2 / 72  # of the block's side
SURE = 0.8
_STEP = 0.005


@dataclass(frozen=True)
class Cell:
    """What was said of one cell, and whether it is so."""

    pieced: bool
    drawn: bool
    right: bool
    confidence: float


@dataclass(frozen=True)
class Judged:
    """One photograph."""

    name: str
    grid: bool
    cells: tuple[Cell, ...]
    seconds: float
    told: str

    def share(self, which: str) -> float:
        """The share of its cells that are right, drawn wrong, or not drawn."""
        if which == "wrong":
            return float(np.mean([each.drawn and not each.right for each in self.cells]))
        if which == "unread":
            return float(np.mean([not each.drawn for each in self.cells]))
        return float(np.mean([each.right for each in self.cells]))


def seam_lines(outlines: Sequence[Any]) -> Any:
    """The seams of a block, as lines: all sides of its patches but the block's own."""
    square = shapely.box(0, 0, 1, 1).exterior
    sides = shapely.union_all([shapely.Polygon(ring).exterior for ring in outlines])
    return shapely.difference(sides, shapely.buffer(square, 1e-3))


def as_it_lies(outlines: Sequence[Any], turn: int, mirrored: bool) -> list[Floats]:
    """Outlines in 0..1 of the block, mirrored left to right if so, then turned clockwise."""
    moved = []
    for ring in outlines:
        points = np.asarray(ring, float)
        if mirrored:
            points = np.stack([1 - points[:, 0], points[:, 1]], axis=-1)
        for _ in range(turn // 90):
            points = np.stack([1 - points[:, 1], points[:, 0]], axis=-1)
        moved.append(points)
    return moved


def compare(said: Any, true: Any) -> tuple[float, float]:
    """F1 of seams drawn against true ones, and how many times as long they are."""
    if said.length < 1e-6 and true.length < 1e-6:
        return 1.0, 1.0
    if said.length < 1e-6 or true.length < 1e-6:
        return 0.0, float("inf") if true.length < 1e-6 else 0.0

    def near(of: Any, to: Any) -> float:
        parts = [part for part in shapely.get_parts(of) if part.length > 0]
        points = np.concatenate(
            [shapely.line_interpolate_point(part, np.arange(_STEP / 2, part.length, _STEP)) for part in parts]
        )
        shapely.prepare(to)
        return float(shapely.dwithin(to, points, NEAR).mean()) if len(points) else 0.0

    precision, recall = near(said, true), near(true, said)
    return 2 * precision * recall / max(precision + recall, 1e-9), said.length / true.length


def labels() -> list[dict[str, Any]]:
    """Give what is labeled of each photograph; none, and a line that says so, where no photographs lie beside the checkout."""
    found = REAL / "piecing.json"
    if not found.exists():
        print("No labeled photographs lie beside this checkout: nothing was looked at.")
        return []
    told: list[dict[str, Any]] = json.loads(found.read_text(encoding="utf-8"))
    return told


def labeled_seams(quilt: dict[str, Any], row: int, column: int) -> Any:
    """The true seams of one cell as it lies."""
    label = quilt["cells"][row][column]
    own = label.get("own_notation")
    block = read_block(own or quilt["kinds"][label["kind"]]["notation"])
    rings = [[(float(x), float(y)) for x, y in patch.outline] for patch in block.patches]
    return seam_lines(rings if own else as_it_lies(rings, label["turn"], label["mirrored"]))


def read_seams(reading: Reading, at: BlockAt) -> tuple[Any, float] | None:
    """The seams of one cell as read, and how sure that is; None where it was not read."""
    if reading.kinds is None or at.kind is None:
        return None
    kind = reading.kinds[at.kind]
    rings = [patch.outline for patch in kind.patches]
    return seam_lines(as_it_lies(rings, at.turn, at.mirrored)), kind.confidence


def judge(quilt: dict[str, Any], pictures: Path | None = None) -> Judged:
    """Read one labeled photograph, corners given, and hold it against its labels."""
    cv2.setNumThreads(1)
    began = time.perf_counter()
    # The quilt's edges lie elsewhere than the field's, so there is no bow to be looked for.
    seen = look(open_photo(REAL / quilt["file"]), corners=quilt["field"], bows=((), (), (), ()))
    seconds = time.perf_counter() - began
    reading = seen.reading
    wanted = (quilt["setting"], quilt["rows"], quilt["columns"])
    grid = (reading.setting, reading.rows, reading.columns) == wanted
    if quilt["rows"] == quilt["columns"] == 1 and reading.setting == "none":
        grid = False
    found = {(at.row, at.column): at for at in reading.blocks or ()}
    cells = []
    for row, labels in enumerate(quilt["cells"]):
        for column, label in enumerate(labels):
            if not label.get("visible", True):
                continue
            true = labeled_seams(quilt, row, column)
            pieced = true.length > 1e-6
            if not grid:
                drawn = reading.setting != "none" and any(at.kind is not None for at in found.values())
                cells.append(Cell(pieced, drawn, False, 1.0 if drawn else 0.0))
                continue
            said = read_seams(reading, found[row, column]) if (row, column) in found else None
            if said is None:
                cells.append(Cell(pieced, False, False, 0.0))
                continue
            f1, longer = compare(said[0], true)
            cells.append(Cell(pieced, True, f1 >= 0.8 and 0.5 <= longer <= 1.5, said[1]))
    kinds = [(each.count, len(each.patches), round(each.confidence, 2)) for each in reading.kinds or ()]
    told = f"{reading.setting} {reading.rows} x {reading.columns} (grid {reading.confidence.grid:.2f}); kinds {kinds[:6]}"
    if pictures is not None:
        draw(seen, pictures / f"{Path(quilt['file']).stem}.png")
    return Judged(Path(quilt["file"]).stem, grid, tuple(cells), seconds, told)


def draw(seen: Look, path: Path) -> None:
    """Draw what was read over the flattened quilt: seams as read, cells not read crossed out."""
    picture = np.ascontiguousarray(seen.flat.pixels[..., ::-1]).copy()
    for at in seen.reading.blocks or ():
        corners = seen.cells_quilt[at.row, at.column] * seen.flat.scale
        if not np.isfinite(corners).all():
            continue
        cv2.polylines(picture, [np.rint(corners).astype(np.int32)], True, (0, 255, 255), 2)
        said = read_seams(seen.reading, at)
        to = cv2.getPerspectiveTransform(
            np.array([[0, 0], [1, 0], [1, 1], [0, 1]], np.float32), corners.astype(np.float32)
        )
        lines = shapely.get_parts(said[0]) if said else [shapely.LineString([(0, 0), (1, 1)])]
        for line in (each for each in lines if each.length > 0):
            points = cv2.perspectiveTransform(np.asarray(line.coords, np.float64)[None], to)[0]
            color = (255, 0, 255) if said else (128, 128, 128)
            cv2.polylines(picture, [np.rint(points).astype(np.int32)], False, color, 2)
    cv2.imwrite(str(path), picture)


def table(judged: Sequence[Judged]) -> str:
    """The means over photographs, beside what must be reached."""
    pieced = [[each.right for each in one.cells if each.pieced] for one in judged]
    sure = [each.right for one in judged for each in one.cells if each.drawn and each.confidence >= SURE]
    rows = [
        ("grid right", float(np.mean([one.grid for one in judged])), None),
        ("cells right", float(np.mean([one.share("right") for one in judged])), ">= 80 %"),
        ("cells drawn wrong", float(np.mean([one.share("wrong") for one in judged])), "<= 3 %"),
        ("cells not read", float(np.mean([one.share("unread") for one in judged])), None),
        ("pieced cells right", float(np.mean([np.mean(each) for each in pieced if each])), ">= 60 %"),
        ("quilts with 9 in 10 cells right", float(np.mean([one.share("right") >= 0.9 for one in judged])), ">= 65 %"),
        (
            f"of {len(sure)} cells of confidence {SURE} or more, right",
            float(np.mean(sure)) if sure else 0.0,
            ">= 80 %",
        ),
    ]
    return "\n".join(f"{name:52s} {100 * share:6.1f} %   {wanted or ''}" for name, share, wanted in rows)


def main(words: Sequence[str] | None = None) -> int:
    """Judge and print."""
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("names", nargs="*", help="photographs, by the name of their file")
    parser.add_argument("--pictures", type=Path)
    parser.add_argument("--workers", type=int, default=2)
    asked = parser.parse_args(words)
    quilts = labels()
    if not quilts:
        return 0
    if asked.pictures:
        asked.pictures.mkdir(parents=True, exist_ok=True)
    quilts = [each for each in quilts if not asked.names or Path(each["file"]).stem in asked.names]
    with ProcessPoolExecutor(asked.workers) as pool:
        judged = list(pool.map(judge, quilts, [asked.pictures] * len(quilts)))
    for one in judged:
        print(
            f"{one.name:18s} grid {'ok ' if one.grid else 'NO '} right {100 * one.share('right'):5.1f}  wrong "
            f"{100 * one.share('wrong'):5.1f}  unread {100 * one.share('unread'):5.1f}  {one.seconds:4.1f} s  {one.told}"
        )
    print()
    print(table(judged))
    return 0


if __name__ == "__main__":
    sys.exit(main())
