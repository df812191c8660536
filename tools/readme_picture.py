"""Set the demo photograph beside the study sheet made from it: writes docs/pictures/photograph-to-sheet.jpg.

    python tools/readme_picture.py FOLDER       where `seamlore demo --out FOLDER` has put its results

Needs pdftoppm (Debian: poppler-utils).
"""

from __future__ import annotations

import subprocess
import sys
import tempfile
from pathlib import Path

import cv2
import numpy as np

ROOT = Path(__file__).resolve().parent.parent
HIGH_PX = 900


def main(results: Path) -> None:
    """Write the picture."""
    photo = cv2.imread(str(ROOT / "src" / "seamlore" / "demo" / "demo.jpg"))
    with tempfile.TemporaryDirectory() as folder:
        page = Path(folder) / "page"
        sheet_pdf = results / "study-sheet.pdf"
        subprocess.run(["pdftoppm", "-r", "110", "-f", "1", "-l", "1", "-png", sheet_pdf, page], check=True)
        sheet = cv2.imread(str(next(Path(folder).glob("page*.png"))))
    sides = [_high(picture, HIGH_PX) for picture in (photo, sheet)]
    gap, edge = np.full((HIGH_PX, 40, 3), 255, np.uint8), (190, 200, 208)
    sides[1] = cv2.copyMakeBorder(sides[1][1:-1, 1:-1], 1, 1, 1, 1, cv2.BORDER_CONSTANT, value=edge)
    out = ROOT / "docs" / "pictures" / "photograph-to-sheet.jpg"
    out.parent.mkdir(exist_ok=True)
    cv2.imwrite(str(out), np.hstack([sides[0], gap, sides[1]]), [cv2.IMWRITE_JPEG_QUALITY, 86])


def _high(picture: np.ndarray, high: int) -> np.ndarray:
    factor = high / picture.shape[0]
    return cv2.resize(picture, (round(picture.shape[1] * factor), high), interpolation=cv2.INTER_AREA)


if __name__ == "__main__":
    main(Path(sys.argv[1]))
