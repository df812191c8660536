"""Quilts in great number, to train the two networks: the eye for blocks, and the one for a quilt's edges.

Each is seen twice. Flat, drawn straight from above: what a camera does is added while training. And photographed, on any
ground. Beside the quilts of `judging.rendering.recipe` there are block designs made up by chance, designs of the catalogue that
take no part in the judging set, quilts whose every block is another (`judging.training.various`, `judging.training.units`), and pieced
sashing and borders (`judging.training.trimmings`). No seed and no design of the judging set is used.
"""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from functools import cache
from typing import Any

import cv2
import numpy as np
from numpy.typing import NDArray

from judging.rendering.blocks import design
from judging.rendering.camera import set_up
from judging.rendering.chance import chance_name
from judging.rendering.cloth import ERAS, Cloth, Value, make_cloth
from judging.rendering.flat import Flat, lay_flat
from judging.rendering.gridless import set_without_grid
from judging.rendering.grounds import lay_clutter
from judging.rendering.piecing import Bag, Made, Points, choose_fabrics, lay_binding
from judging.rendering.recipe import NO_GRID, Recipe, draw_recipe
from judging.rendering.scene import expose, photograph
from judging.rendering.settings import Grid, set_on_point, set_straight
from judging.training.surroundings import chance_ground
from judging.training.trimmings import piece_borders
from judging.training.units import designs
from judging.training.various import set_in_strips, set_various, set_various_on_point

TRAINING_SEEDS = 20_000_000
SIDE_PX = 512
LIES_PX = 128
MOST = 64
_STOCK = 500


@dataclass(frozen=True, eq=False)
class Sample:
    """One quilt, flat and photographed, with where its columns and rows of blocks and its edges lie.

    Attributes
    ----------
    pixels
        RGB, shape (SIDE_PX, SIDE_PX, 3).
    aspect
        Width to height before it was squeezed.
    setting
        0 straight, 1 on point, 2 none.
    columns, rows
        Start and end of each, in parts of the width and of the height, cut to 0..1; shape (n, 2).
    photo
        The same quilt photographed, squeezed to a square; RGB, shape (SIDE_PX, SIDE_PX, 3); none of it, shape
        (0, 0, 3), when it was not asked for.
    photo_aspect
        Width to height of the photograph before it was squeezed.
    lies
        Where each spot of the photograph lies in the quilt, in parts of its width and height: 0 to 1 within, less or
        more beyond an edge; shape (LIES_PX, LIES_PX, 2), or (0, 0, 2).
    """

    pixels: NDArray[np.uint8]
    aspect: float
    setting: int
    columns: Points
    rows: Points
    photo: NDArray[np.uint8]
    photo_aspect: float
    lies: NDArray[np.float16]


@dataclass(slots=True)
class StockBag(Bag):
    """A bag that takes its fabrics from a stock, which is quicker than making each anew."""

    stock: dict[Value, list[Cloth]] = field(default_factory=dict)

    def cut(self, value: Value | None = None, kind: str | None = None) -> int:
        """Take one fabric from the stock; one of a given kind is made."""
        if kind is not None or not self.stock:
            return Bag.cut(self, value, kind)
        values: tuple[Value, ...] = ("light", "medium", "dark")
        of = self.stock[value or values[int(self.rng.integers(3))]]
        self.made.cloths.append(of[int(self.rng.integers(len(of)))])
        return len(self.made.cloths) - 1


@cache
def _stock(era: str) -> dict[Value, list[Cloth]]:
    rng = np.random.default_rng([TRAINING_SEEDS, sorted(ERAS).index(era)])
    of: dict[Value, list[Cloth]] = {"light": [], "medium": [], "dark": []}
    for number in range(_STOCK // len(ERAS)):
        for value, cloths in of.items():
            cloths.append(make_cloth(rng, f"S{number}", value, era, float(rng.uniform(4, 16))))
    return of


def make_sample(number: int, *, photographed: bool = True) -> Sample:
    """Make one quilt, and see it flat and in a photograph.

    Parameters
    ----------
    number : int
        The same number gives the same pictures.
    photographed : bool, optional
        Whether a photograph is wanted too; without it a sample is made in two thirds of the time.

    Returns
    -------
    Sample

    Examples
    --------
    >>> sample = make_sample(1)
    >>> sample.pixels.shape, sample.columns.shape[1], sample.photo.shape, sample.lies.shape
    ((512, 512, 3), 2, (512, 512, 3), (128, 128, 2))
    """
    rng = np.random.default_rng([TRAINING_SEEDS + number, 21])
    kind = str(rng.choice(["recipe", "various", "none"], p=[0.44, 0.42, 0.14]))
    pool = [chance_name(int(rng.integers(10**9))) for _ in range(2)] if rng.random() < 0.6 else list(designs())
    recipe = draw_recipe(TRAINING_SEEDS + number, "none" if kind == "none" else None, pool)
    recipe = _varied(recipe, rng)
    made = Made()
    density = float(rng.uniform(520, 760)) / _longest(recipe)
    block = design(recipe.design)
    bag = StockBag(recipe, made, rng, density, stock=_stock(recipe.era))
    if kind == "recipe":
        choose_fabrics(bag, block)
    grid: Grid | None = None
    point = False
    if kind == "recipe" and recipe.kind not in NO_GRID:
        point = recipe.kind == "on point"
        grid = (set_on_point if point else set_straight)(recipe, made, bag, block, rng)
    elif kind == "various":
        point = rng.random() < 0.18
        grid = (set_various_on_point if point else set_various)(recipe, made, bag, rng)
    else:
        if recipe.kind not in NO_GRID:
            recipe = replace(recipe, kind=str(rng.choice(NO_GRID)))
        if rng.random() < 0.4:
            set_in_strips(recipe, made, bag, rng)
        else:
            set_without_grid(recipe, made, bag, rng)
    if kind != "various" and recipe.borders and rng.random() < 0.2:
        piece_borders(made, bag, recipe.borders, rng)
        lay_binding(made, bag, recipe.binding)
    flat = lay_flat(made, recipe, density, rng)
    inner = flat.rgb[flat.pad : -flat.pad, flat.pad : -flat.pad]
    seen = expose(_square(inner), recipe, rng)
    none = np.zeros((0, 2))
    columns, rows = none, none
    if grid is not None:
        columns = np.clip(np.array(grid.column_spans) / made.size[0], 0, 1)
        rows = np.clip(np.array(grid.row_spans) / made.size[1], 0, 1)
    setting = 2 if grid is None else int(point)
    photo, photo_aspect, lies = np.zeros((0, 0, 3), np.uint8), 1.0, np.zeros((0, 0, 2), np.float16)
    if photographed:
        photo, photo_aspect, lies = _photographed(flat, made, recipe, rng)
    return Sample(seen, made.size[0] / made.size[1], setting, columns, rows, photo, photo_aspect, lies)


def _square(picture: NDArray[Any]) -> NDArray[Any]:
    squeezed: NDArray[Any] = cv2.resize(picture, (SIDE_PX, SIDE_PX), interpolation=cv2.INTER_AREA)
    return squeezed


def _photographed(
    flat: Flat, made: Made, recipe: Recipe, rng: np.random.Generator
) -> tuple[NDArray[np.uint8], float, NDArray[np.float16]]:
    """Photograph a quilt on any ground, with things lying about; and say where each spot lies in its width and height."""
    shot = replace(
        recipe,
        long_side_px=640,
        fill=float(rng.uniform(0.75, 0.97) if rng.random() < 0.7 else rng.uniform(0.5, 0.75)),
        ground="any",
        drape=float(recipe.drape * rng.uniform(0.5, 2)),
        lens=float(rng.normal(0, 0.018)),
    )
    camera = set_up(shot, made.size, rng)
    every = [cloth for cloths in _stock(str(rng.choice(list(ERAS)))).values() for cloth in cloths]
    photo = photograph(flat, camera, shot, rng, lambda at: chance_ground(at, every, rng))
    lay_clutter(photo, camera, int(rng.integers(0, 5)), rng)
    seen = _square(expose(photo, shot, rng))
    _, cloth_at = camera.maps()
    lies = cv2.resize(cloth_at, (LIES_PX, LIES_PX), interpolation=cv2.INTER_AREA) / np.array(made.size)
    return seen, photo.shape[1] / photo.shape[0], lies.clip(-9, 9).astype(np.float16)


def _longest(recipe: Recipe) -> float:
    if recipe.kind in NO_GRID:
        return 90.0
    step = (recipe.block[0] + recipe.sashing[0]) * (2**0.5 if recipe.kind == "on point" else 1)
    return max(recipe.rows, recipe.columns) * step + 2 * sum(recipe.borders)


def _varied(recipe: Recipe, rng: np.random.Generator) -> Recipe:
    """Let sewing be less even than in the other sets, and small quilts come more often."""
    changed = replace(
        recipe, uneven=float(recipe.uneven * rng.uniform(0.5, 1.8)), blur_px=float(rng.uniform(0.2, 1.2))
    )
    if rng.random() < 0.2 and recipe.kind == "straight":
        changed = replace(changed, rows=int(rng.integers(2, 6)), columns=int(rng.integers(2, 6)))
    elif rng.random() < 0.22 and recipe.kind == "straight":
        # Very many small blocks: a charm quilt, postage stamps, a miniature.
        many = int(rng.integers(14, 31))
        rows, columns = (int(np.clip(round(many * rng.uniform(0.7, 1.3)), 10, 30)) for _ in range(2))
        side = float(rng.uniform(2, 4))
        keep = side / recipe.block[0]
        changed = replace(
            changed,
            rows=rows,
            columns=columns,
            block=(side, side),
            sashing=(recipe.sashing[0] * keep, recipe.sashing[1] * keep),
        )
    if rng.random() < 0.25:
        # A picture of the field of blocks alone.
        changed = replace(changed, borders=(), binding=0.0)
    return changed
