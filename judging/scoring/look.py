"""Judge how well photographs are read: ``python -m judging.scoring.look``.

Prints what must be reached beside what was, the confidence in ten bins, and every miss on its own line.

    python -m judging.scoring.look                                  # the judging set of 200, corners given and found
    python -m judging.scoring.look --set tuning --count 30          # the tuning set
    python -m judging.scoring.look --set real                       # real photographs beside the checkout, where there are any
    python -m judging.scoring.look FOLDER                           # any labeled folder (its truth.json)
    python -m judging.scoring.look --set tuning --count 9 --overlays DIR --write FILE.md --json FILE.json
"""

from __future__ import annotations

import argparse
import json
import sys
import tempfile
import time
from collections.abc import Iterator, Sequence
from concurrent.futures import ProcessPoolExecutor
from dataclasses import asdict
from pathlib import Path

import cv2
import numpy as np

from judging.rendering.blocks import JUDGING, TUNING
from judging.rendering.quilts import JUDGING_SEEDS, TUNING_SEEDS, make_quilt
from judging.scoring.measures import Score, broken, score
from judging.scoring.overlays import draw_overlay
from judging.scoring.report import Row, as_text, bins_text, calibration, misses, real_table, table
from judging.timing.reading import Timing, time_reading
from judging.truth import Truth, load_labelled
from seamlore.lengths import inches, on_mark
from seamlore.photo.opening import Photo, Pixels, open_photo
from seamlore.photo.read import Given, Look, look

REAL = Path(__file__).resolve().parents[3] / "shared" / "photos"
# What in a hand-made description says that the blocks cannot be counted as one even grid.
UNEVEN = ("ONE block", "unequal", "not aligned")


def read(photo: Path, truth: Truth, corners_from: str) -> tuple[Look, float]:
    """Read one photograph as a user would have it read: by tape to the eighth of an inch; give the seconds it took."""
    began = time.perf_counter()
    seen = look(open_photo(photo), **_told(truth, corners_from))
    return seen, time.perf_counter() - began


def read_pixels(pixels: Pixels, truth: Truth, corners_from: str) -> tuple[Look, float]:
    """Read a photograph that lies in memory as `read` does."""
    began = time.perf_counter()
    seen = look(Photo(pixels), **_told(truth, corners_from))
    return seen, time.perf_counter() - began


def _told(truth: Truth, corners_from: str) -> Given:
    given: Given = {"corners": truth.corners if corners_from == "given" else None}
    if truth.unit == "in" and truth.size is not None:
        width, height = (on_mark(inches(side), "nearest") for side in truth.size)
        given["size"] = width, height
    return given


def judge_one(photo: Path, truth: Truth, ways: Sequence[str], overlays: Path | None) -> list[Score]:
    """Read one photograph in each way, and measure it."""
    scores = []
    for way in ways:
        if way == "given" and truth.corners is None:
            continue
        if way == "found" and truth.corners_of == "field":
            continue
        try:
            seen, seconds = read(photo, truth, way)
        except Exception as fault:
            # One photograph that breaks the reader must be told as a miss, and must not end the judging.
            scores.append(broken(photo.stem, way, truth, f"{type(fault).__name__}: {fault}"))
            continue
        cells = seen.cells_quilt
        cells_px = seen.flat.frame.to_photo(cells.reshape(-1, 2)).reshape(cells.shape)
        scores.append(score(photo.stem, seen.reading, truth, seconds, cells_px.reshape(-1, 4, 2).mean(axis=1)))
        if overlays is not None:
            draw_overlay(photo, seen.reading, cells_px, truth, overlays / f"{photo.stem}_{way}.png")
    return scores


def _rendered(job: tuple[str, int, Sequence[str], Path | None]) -> list[Score]:
    which, number, ways, overlays = job
    cv2.setNumThreads(1)
    start, designs = (TUNING_SEEDS, TUNING) if which == "tuning" else (JUDGING_SEEDS, JUDGING)
    pixels, truth = make_quilt(start + number, designs=tuple(designs))
    with tempfile.TemporaryDirectory() as folder:
        photo = Path(folder) / f"{which}_{number:03d}.png"
        cv2.imwrite(str(photo), pixels[..., ::-1], [cv2.IMWRITE_PNG_COMPRESSION, 1])
        return judge_one(photo, truth, ways, overlays)


def _labelled(job: tuple[Path, Truth, Sequence[str], Path | None]) -> list[Score]:
    cv2.setNumThreads(1)
    return judge_one(*job)


def judge_set(
    which: str, count: int, ways: Sequence[str], overlays: Path | None, workers: int
) -> Iterator[list[Score]]:
    """Render and judge a set, two pictures at a time, in order."""
    jobs = [(which, number, ways, overlays) for number in range(count)]
    if workers < 2:
        yield from map(_rendered, jobs)
        return
    with ProcessPoolExecutor(workers) as pool:
        yield from pool.map(_rendered, jobs)


def judge_folder(folder: Path, ways: Sequence[str], overlays: Path | None, workers: int) -> Iterator[list[Score]]:
    """Judge a labeled folder."""
    jobs = [(photo, truth, ways, overlays) for photo, truth in load_labelled(folder) if truth.setting is not None]
    if workers < 2:
        yield from map(_labelled, jobs)
        return
    with ProcessPoolExecutor(workers) as pool:
        yield from pool.map(_labelled, jobs)


def countable(each: Score) -> bool:
    """Whether the blocks of a real photograph can be counted as one even grid."""
    return not any(word in str(each.notes.get("description", "")) for word in UNEVEN)


def _arguments(words: Sequence[str] | None) -> argparse.Namespace:
    parser = argparse.ArgumentParser(
        prog="python -m judging.scoring.look",
        description=__doc__,
        formatter_class=argparse.RawDescriptionHelpFormatter,
    )
    parser.add_argument("folder", nargs="?", type=Path, help="a labeled folder, instead of a rendered set")
    parser.add_argument("--set", dest="which", choices=("tuning", "judging", "real"), default="judging")
    parser.add_argument("--count", type=int, default=200)
    parser.add_argument("--corners", choices=("given", "found", "both"), default="both")
    parser.add_argument("--overlays", type=Path, help="a folder for pictures of what was read")
    parser.add_argument("--write", type=Path, help="a Markdown file for the tables")
    parser.add_argument("--json", type=Path, dest="record", help="a file for every score")
    parser.add_argument("--workers", type=int, choices=(1, 2), default=2)
    parser.add_argument("--no-timing", action="store_true", help="do not time the reading of a large photograph")
    return parser.parse_args(words)


def main(words: Sequence[str] | None = None) -> int:
    """Judge, print, and write what was asked for; give the exit status, 0 when nothing was missed."""
    given = _arguments(words)
    ways = ("given", "found") if given.corners == "both" else (given.corners,)
    if given.overlays:
        given.overlays.mkdir(parents=True, exist_ok=True)
    folder = given.folder or (REAL if given.which == "real" else None)
    if folder is not None and not (folder / "truth.json").exists():
        print(f"skipped: no labeled photographs in {folder.name}")
        return 0
    if folder is not None:
        of = f"the labeled folder {folder.name}"
        results = judge_folder(folder, ways, given.overlays, given.workers)
    else:
        of = f"the {given.which} set, {given.count} photographs"
        results = judge_set(given.which, given.count, ways, given.overlays, given.workers)
    scores: list[Score] = []
    for number, some in enumerate(results, start=1):
        scores += some
        if sys.stderr.isatty():
            print(f"\r{number} read", end="", file=sys.stderr)
    timing = None if given.no_timing else time_reading()
    print(_report(of, scores, timing, markdown=False))
    if given.write:
        given.write.parent.mkdir(parents=True, exist_ok=True)
        given.write.write_text(_report(of, scores, timing, markdown=True))
    if given.record:
        given.record.write_text(json.dumps([asdict(each) for each in scores], indent=1, default=_plain) + "\n")
    rows = _rows(scores)
    return int(any(row.passed is False for row in rows))


def _plain(value: object) -> object:
    return value.item() if isinstance(value, np.generic) else str(value)


def _rows(scores: Sequence[Score]) -> list[Row]:
    by_hand = any("certainty" in each.notes for each in scores)
    return real_table([each for each in scores if countable(each)]) if by_hand else table(scores)


def _report(of: str, scores: Sequence[Score], timing: Timing | None, *, markdown: bool) -> str:
    bins, error = calibration(scores)
    head = "## " if markdown else ""
    item = "- " if markdown else "  "
    parts = [f"{head}Reading: {of}", as_text(_rows(scores), markdown=markdown)]
    parts += [
        f"{head}Confidence of the grid (expected calibration error {error:.3f})",
        bins_text(bins, markdown=markdown),
    ]
    apart = [each for each in scores if not countable(each)]
    wrong = misses([each for each in scores if countable(each)])
    parts += [f"{head}Misses: {len(wrong)}", "\n".join(item + line for line in wrong) or f"{item}none"]
    if apart:
        lines = [
            f"{item}{each.name}, corners {each.corners_from}: {each.counts}, confidence {each.confidence:.2f}"
            for each in apart
        ]
        parts += [f"{head}Not counted: their blocks lie in no even grid", "\n".join(lines)]
    seconds = [each.seconds for each in scores]
    if seconds:
        parts.append(f"Seconds for one reading: median {np.median(seconds):.2f}, longest {max(seconds):.2f}.")
    if timing is not None:
        parts.append(str(timing))
    return "\n\n".join(parts) + "\n"


if __name__ == "__main__":
    sys.exit(main())
