"""Render the demo study's photograph and its truth: a worn quilt of an invented story.

Run from the top folder: ``python tools/render_demo.py [FOLDER]``. The same picture comes out each time.
The quilt is sewn, faded, folded and photographed by the makers of the test quilts in `judging/`.
"""

from __future__ import annotations

import json
import sys
from pathlib import Path
from typing import Any

import cv2
import msgspec
import numpy as np
from numpy.typing import NDArray
from PIL import Image

from judging.rendering import quilts, settings
from judging.rendering.blocks import design
from judging.rendering.camera import Camera, set_up
from judging.rendering.cloth import Value, make_cloth
from judging.rendering.flat import lay_flat
from judging.rendering.piecing import Bag, Element, Made
from judging.rendering.recipe import Recipe
from judging.rendering.scene import expose, photograph

HERE = Path(__file__).resolve().parent.parent
LONG_SIDE_PX = 2400
DENSITY = 36.0
ERA = "madder and indigo"
# Hue of CIELAB in degrees, least and most chroma.
Dye = tuple[float, float, float]
INDIGO: Dye = (268, 10, 27)
MADDER: Dye = (36, 26, 42)
BROWN: Dye = (60, 12, 26)
BLACK: Dye = (60, 1, 5)
GREEN: Dye = (140, 8, 17)
CLARET: Dye = (18, 20, 34)
CHEDDAR: Dye = (74, 34, 48)
PINK: Dye = (14, 22, 25)
CREAM: Dye = (82, 8, 18)
PALE_BLUE: Dye = (272, 4, 12)
PALE_PINK: Dye = (10, 5, 14)
# Blocks that were sewn in turned, by slip or for fun: (row, column) from the top left, counted from 0.
TURNED: dict[tuple[int, int], int] = {(1, 4): 90, (3, 1): 180, (5, 5): 270, (6, 2): 180}

RECIPE = Recipe(
    seed=1887,
    kind="straight",
    design="Birds in the Air",
    other_design="Nine Patch",
    rows=8,
    columns=7,
    block=(9.0, 9.0),
    sashing=(2.5, 2.5),
    cut=(1.75, 0.0, 1.75, 0.0),
    binding=0.0,
    scrappiness="every patch",
    uneven=0.011,
    era=ERA,
    quilting="fans",
    quilting_step=1.0,
    puff=0.62,
    seam_depth=0.75,
    fade=0.5,
    wear=0.9,
    stains=4,
    creases=2,
    ground="floorboards",
    fill=0.92,
    tilt_deg=8.0,
    swing_deg=-2.5,
    roll_deg=1.3,
    lens=0.006,
    drape=0.0032,
    uneven_light=0.28,
    cast=(1.035, 1.0, 0.945),
    exposure=1.08,
    noise=0.008,
    blur_px=0.55,
    jpeg=88,
    long_side_px=LONG_SIDE_PX,
)


# What each place is cut from: dye and print.
PRINTS: dict[str, list[tuple[Dye, str]]] = {
    "A": [(CREAM, kind) for kind in ("shirting", "dots", "sprig", "plain", "shirting", "windowpane", "vine", "tone")]
    + [(PALE_BLUE, kind) for kind in ("shirting", "dots", "sprig")]
    + [(PALE_PINK, "sprig")],
    "B": [(INDIGO, kind) for kind in ("dots", "sprig", "plain", "stripe", "vine", "dots", "tone")]
    + [(CLARET, kind) for kind in ("sprig", "blotch", "dots")]
    + [(BROWN, kind) for kind in ("stripe", "sprig", "vine", "plaid")]
    + [(BLACK, kind) for kind in ("dots", "sprig", "windowpane")]
    + [(GREEN, "sprig"), (GREEN, "tone"), (MADDER, "dots")],
    "C": [(MADDER, kind) for kind in ("sprig", "blotch", "stripe", "dots")]
    + [(BROWN, kind) for kind in ("plaid", "vine", "sprig")]
    + [(INDIGO, kind) for kind in ("stripe", "gingham", "plaid", "sprig")]
    + [(CHEDDAR, "dots"), (GREEN, "plaid"), (CLARET, "vine")],
}
VALUES: dict[str, Value] = {"A": "light", "B": "dark", "C": "medium"}


def scrap_bag(made: Made, rng: np.random.Generator) -> Bag:
    """Dye and print what the maker had: shirtings, indigos, madders, browns; one double pink for the sashing."""
    bag = Bag(RECIPE, made, rng, DENSITY, values=dict(VALUES), per_patch=True)

    def dyed(value: Value, dye: Dye, kind: str, lightness: float | None) -> int:
        name = f"F{len(made.cloths) + 1}"
        made.cloths.append(make_cloth(rng, name, value, ERA, DENSITY, kind, dye=dye, lightness=lightness))
        return len(made.cloths) - 1

    for place, prints in PRINTS.items():
        for dye, kind in prints:
            lightness = float(rng.uniform(38, 50)) if place == "C" else None
            bag.pools.setdefault(place, []).append(dyed(VALUES[place], dye, kind, lightness))
    bag.all_else = dyed("medium", PINK, "sprig", 66.0)
    return bag


def tape_measure(length_in: int, density: float) -> NDArray[np.float32]:
    """Draw a cloth tape with its inches; RGB 0..1, an inch of it `density` pixels long."""
    high = round(0.8 * density)
    strip = np.empty((high, length_in * round(density), 3), np.float32)
    strip[:] = (0.95, 0.86, 0.55)
    strip[: high // 14] = strip[-(high // 14) :] = (0.78, 0.66, 0.33)
    pixels = np.ascontiguousarray(np.rint(strip * 255).astype(np.uint8))
    ink = (38, 34, 30)
    for eighth in range(8 * length_in):
        x = round(eighth * density / 8)
        reach = {0: 0.42, 4: 0.3, 2: 0.22, 6: 0.22}.get(eighth % 8, 0.13)
        cv2.line(pixels, (x, 0), (x, round(reach * high)), ink, 2 if eighth % 8 == 0 else 1, cv2.LINE_AA)
        if eighth % 8 == 0 and eighth:
            said = str(eighth // 8)
            wide = cv2.getTextSize(said, cv2.FONT_HERSHEY_SIMPLEX, density / 75, 2)[0][0]
            at = (x - wide - 3, round(0.86 * high))
            cv2.putText(pixels, said, at, cv2.FONT_HERSHEY_SIMPLEX, density / 75, ink, 2, cv2.LINE_AA)
    return np.asarray(pixels, dtype=np.float32) / np.float32(255)


def lay_tape(photo: NDArray[Any], camera: Camera, path: NDArray[np.float64]) -> None:
    """Lay the tape along a path given in inches, inch by inch, with a narrow shadow beside it."""
    steps = np.linalg.norm(np.diff(path, axis=0), axis=1)
    walked = np.concatenate([[0], np.cumsum(steps)])
    length = int(walked[-1])
    strip = tape_measure(length, 60.0)
    at = np.stack([np.interp(np.arange(length + 1), walked, path[:, axis]) for axis in (0, 1)], axis=1)
    along = np.gradient(at, axis=0)
    across = np.stack([-along[:, 1], along[:, 0]], axis=1) / np.linalg.norm(along, axis=1)[:, None] * 0.4
    one, two = camera.to_photo(at - across, draped=False), camera.to_photo(at + across, draped=False)
    height, width = photo.shape[:2]
    shade = np.zeros((height, width), np.uint8)
    for k in range(length):
        quad = np.rint(np.array([one[k], one[k + 1], two[k + 1], two[k]]) + 3).astype(np.int32)
        cv2.fillPoly(shade, [quad.reshape(-1, 1, 2)], 255)
    photo *= (1 - 0.4 * cv2.GaussianBlur(shade, (0, 0), 3.0).astype(np.float32) / 255)[..., None]
    for k in range(length):
        piece = np.ascontiguousarray(strip[:, k * 60 : (k + 1) * 60])
        quad32 = np.array([one[k], one[k + 1], two[k + 1], two[k]], np.float32)
        low = np.floor(quad32.min(axis=0)).astype(int) - 2
        high = np.ceil(quad32.max(axis=0)).astype(int) + 3
        low, high = np.maximum(low, 0), np.minimum(high, [width, height])
        if np.any(high - low < 2):
            continue
        source = np.array([[0, 0], [60, 0], [60, len(piece)], [0, len(piece)]], np.float32) - 0.5
        warp = cv2.getPerspectiveTransform(source, (quad32 - low).astype(np.float32))
        size = (int(high[0] - low[0]), int(high[1] - low[1]))
        seen = cv2.warpPerspective(piece, warp, size, flags=cv2.INTER_AREA, borderMode=cv2.BORDER_REPLICATE)
        mask = np.zeros(size[::-1], np.uint8)
        cv2.fillPoly(mask, [np.rint((quad32 - low) * 16).astype(np.int32).reshape(-1, 1, 2)], 255, cv2.LINE_AA, 4)
        part = photo[low[1] : high[1], low[0] : high[0]]
        part += (mask.astype(np.float32) / 255)[..., None] * (seen - part)


def tape_path(width: float, height: float) -> NDArray[np.float64]:
    """Where the tape lies: on the floor below the quilt, as it was dropped."""
    s = np.linspace(0, 1, 600)
    x = width * (0.36 + 0.5 * s) + 4 * np.sin(6.5 * s) * s
    y = height + 3.2 + 1.7 * np.sin(4.4 * s) + 0.9 * s
    return np.stack([x, y], axis=1)


def render() -> tuple[NDArray[np.uint8], quilts.Truth]:
    """Sew the demo's quilt and photograph it.

    Returns
    -------
    photo : ndarray of uint8, shape (height, width, 3)
        RGB.
    truth : Truth
    """
    rng = np.random.default_rng([RECIPE.seed, 12])
    made = Made()
    block = design(RECIPE.design)
    bag = scrap_bag(made, rng)
    turned: dict[tuple[int, int], Element] = {place: (turn, False) for place, turn in TURNED.items()}
    grid = settings.set_straight(RECIPE, made, bag, block, rng, turned)
    camera = set_up(RECIPE, made.size, rng)
    flat = lay_flat(made, RECIPE, DENSITY, rng)
    photo = photograph(flat, camera, RECIPE, rng)
    lay_tape(photo, camera, tape_path(*made.size))
    truth = quilts.truth_of(RECIPE, made, bag, block, grid, camera)
    return expose(photo, RECIPE, rng), truth


def main(folder: Path) -> None:
    """Write `demo.jpg` and `truth.json` into a folder."""
    photo, truth = render()
    Image.fromarray(photo).save(folder / "demo.jpg", quality=RECIPE.jpeg, optimize=True, progressive=True)
    record = msgspec.to_builtins(msgspec.structs.replace(truth, file="demo.jpg"))
    record["cut_off"] = dict(zip(("left", "top", "right", "bottom"), RECIPE.cut, strict=True))
    record["drafted_size"] = [78.0, 89.5]
    record["sashing_fabric"] = "double pink sprig"
    (folder / "truth.json").write_text(json.dumps(record, indent=1) + "\n")


if __name__ == "__main__":
    main(Path(sys.argv[1]) if len(sys.argv) > 1 else HERE / "src/seamlore/demo")
