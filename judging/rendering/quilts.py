"""Test quilts with known truth: rendered photographs of quilts that never were.

The entry points, all deterministic::

    photo, truth = make_quilt(7)                      # anything, by chance
    photo, truth = make_quilt(7, kind="straight")     # or "on point", "none", "crazy", "medallion", "whole cloth",
                                                      # "hexagons"
    photo, truth = make_quilt(7, kind="straight", rows=5, columns=4, design="Ohio Star", sashing=(2.0, 2.0),
                              tilt_deg=0.0, lens=0.0, drape=0.0, clutter=0)   # any field of `recipe.Recipe`
    photo, truth = make_quilt(7, long_side_px=800)    # smaller and sooner
    for photo, truth in tuning(50): ...               # to look at and to tune on
    for photo, truth in judging_set(200): ...         # to report only: other seeds, other block designs
    truth.to_labelled(folder, photo); load_labelled(folder)

`photo` is RGB uint8 (height, width, 3). `truth` is `judging.truth.Truth`: the fields of a `Reading` in inches, and
`seams`, `doubtful_seams`, `symmetry`, `plain`, `quads` (each block in photograph pixels), `notes` (the recipe in short).
`truth.corners` are four (x, y) in pixels, clockwise from the quilt's top left, the middle of the top left pixel 0, 0.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from dataclasses import replace
from functools import cache
from typing import Any, Literal, cast

import msgspec
import numpy as np
from numpy.typing import NDArray
from shapely import Point, Polygon

from judging.rendering.blocks import JUDGING, TUNING, design
from judging.rendering.camera import Camera, set_up
from judging.rendering.flat import lay_flat
from judging.rendering.gridless import set_without_grid
from judging.rendering.piecing import Bag, Element, Lies, Made, after, choose_design, fill_bag, moved, outlines_of
from judging.rendering.recipe import NO_GRID, Recipe, draw_recipe
from judging.rendering.scene import shoot
from judging.rendering.seams import Seen, seen_block
from judging.rendering.settings import Grid, set_on_point, set_straight
from judging.truth import BlockAt, BlockQuad, Corners, Edge, Photo, Truth, load_labelled
from seamlore.draft.block import Block
from seamlore.photo.reading import SeenFabric

__all__ = ["Recipe", "Truth", "judging_set", "load_labelled", "make_quilt", "tuning"]

# Seeds of the two sets stand far apart, so that neither can run into the other.
TUNING_SEEDS = 1_000_000
JUDGING_SEEDS = 9_000_000


def tuning(count: int = 60, **fields: Any) -> Iterator[tuple[Photo, Truth]]:
    """Render the tuning set one by one; fields of the recipe can be fixed by name."""
    for number in range(count):
        yield make_quilt(TUNING_SEEDS + number, **fields)


def judging_set(count: int = 200, **fields: Any) -> Iterator[tuple[Photo, Truth]]:
    """Render the judging set one by one: never look at it to tune, only to report."""
    for number in range(count):
        yield make_quilt(JUDGING_SEEDS + number, designs=tuple(JUDGING), **fields)


def make_quilt(
    seed: int,
    *,
    kind: str | None = None,
    designs: tuple[str, ...] = tuple(TUNING),
    **fields: Any,
) -> tuple[NDArray[np.uint8], Truth]:
    """Sew, wear out and photograph one quilt.

    Parameters
    ----------
    seed : int
        The same arguments give the same picture to the last bit.
    kind : str, optional
        "straight", "on point", "none" (any quilt without a block grid), "crazy", "medallion", "whole cloth" or
        "hexagons"; drawn by chance when not given.
    designs : tuple of str
        Which blocks of `judging.rendering.blocks` may be chosen.
    **fields
        Fields of `judging.rendering.recipe.Recipe` to fix, such as rows=5 or tilt_deg=0.0.

    Returns
    -------
    photo : ndarray of uint8, shape (height, width, 3)
        RGB.
    truth : Truth
        What is true of it.

    Raises
    ------
    TypeError
        When a field is not one of the recipe's.

    Examples
    --------
    >>> photo, truth = make_quilt(3, kind="straight", rows=3, columns=4, long_side_px=400)
    >>> photo.shape[2], truth.rows, truth.columns, truth.setting
    (3, 3, 4, 'straight')
    >>> make_quilt(3, kind="whole cloth", long_side_px=300)[1].rows is None
    True
    """
    recipe = replace(draw_recipe(seed, kind, designs), **fields)
    rng = np.random.default_rng([seed, 12])
    made = Made()
    block = choose_design(recipe)
    bag = fill_bag(recipe, block, made, rng, _density(recipe))
    grid: Grid | None = None
    if recipe.kind in NO_GRID:
        set_without_grid(recipe, made, bag, rng)
    else:
        setter = set_straight if recipe.kind == "straight" else set_on_point
        grid = setter(recipe, made, bag, block, rng)
    camera = set_up(recipe, made.size, rng)
    flat = lay_flat(made, recipe, _density(recipe), rng)
    photo = shoot(flat, camera, recipe, rng)
    return photo, truth_of(recipe, made, bag, block, grid, camera)


def _density(recipe: Recipe) -> float:
    """Pixels to an inch of the flat picture: a little finer than the photograph's."""
    band = 2 * sum(recipe.borders)
    step = (recipe.block[0] + recipe.sashing[0]) * (2**0.5 if recipe.kind == "on point" else 1)
    long = 85.0 if recipe.kind in NO_GRID else max(recipe.rows, recipe.columns) * step + band
    return 1.12 * recipe.long_side_px * recipe.fill / long


def truth_of(recipe: Recipe, made: Made, bag: Bag, block: Block, grid: Grid | None, camera: Camera) -> Truth:
    """Write down what is true of a quilt that was sewn and photographed."""
    w, h = made.size
    corners = camera.to_photo(np.array([[0.0, 0], [w, 0], [w, h], [0, h]]))
    notes: dict[str, str | int | float] = {
        "seed": recipe.seed, "kind": recipe.kind, "design": recipe.design, "ground": recipe.ground,
        "scrappiness": recipe.scrappiness, "era": recipe.era, "quilting": recipe.quilting, "turning": recipe.turning,
        "borders": len(recipe.borders), "cornerstones": int(recipe.cornerstones), "alternate": int(recipe.alternate),
        "between": recipe.between, "uneven": recipe.uneven, "fill": round(recipe.fill, 3),
        "tilt_deg": round(recipe.tilt_deg, 1), "lens": round(recipe.lens, 4), "drape": round(recipe.drape, 4),
        "fade": round(recipe.fade, 2), "wear": round(recipe.wear, 2), "clutter": recipe.clutter,
    }  # fmt: skip
    plain = Truth(
        photo_size=camera.photo_size,
        corners=_four(corners),
        size=(w, h),
        setting="none",
        notes=notes,
    )
    if grid is None:
        return plain
    lies = Lies(block)
    lying = [lies.smallest((0, False), each.element) for each in grid.sewn]
    base: Element = Counter(lying).most_common(1)[0][0]
    seen = seen_block(block, base, bag.values, made.cloths, [each.cloths for each in grid.sewn if each.cloths])
    centers = np.array([each.quad.mean(axis=0) for each in grid.sewn])
    off = _shifts(centers, np.array([(each.row, each.column) for each in grid.sewn]))
    at: list[BlockAt] = []
    for each, shift in zip(grid.sewn, off, strict=True):
        turn, flip = lies.smallest(base, each.element) if each.cloths else (0, False)
        at.append(
            BlockAt(
                row=each.row,
                column=each.column,
                turn=cast(Literal[0, 90, 180, 270], turn),
                mirrored=flip,
                shift=(float(shift[0]), float(shift[1])),
                differs=each.differs,
            )
        )
    lying_px = camera.to_photo(np.array([each.quad for each in grid.sewn]))
    quads = tuple(
        BlockQuad(each.row, each.column, _four(quad)) for each, quad in zip(grid.sewn, lying_px, strict=True)
    )
    left, top, right, bottom = grid.edge
    return msgspec.structs.replace(
        plain,
        setting=cast(Literal["straight", "on point"], recipe.kind),
        rows=recipe.rows,
        columns=recipe.columns,
        block_size=recipe.block,
        sashing=recipe.sashing,
        edge=Edge(left=left, top=top, right=right, bottom=bottom),
        row_spans=grid.row_spans,
        column_spans=grid.column_spans,
        block=seen.block,
        seams=seen.seams,
        doubtful_seams=seen.doubtful,
        hidden_seams=seen.hidden,
        symmetry=lies.symmetry(base),
        blocks=tuple(at),
        plain=grid.plain,
        fabrics=_fabrics(made, grid, seen, block, base, at),
        quads=quads,
    )


def _four(points: NDArray[np.float64]) -> Corners:
    a, b, c, d = ((float(x), float(y)) for x, y in points)
    return a, b, c, d


def _shifts(centers: NDArray[np.float64], places: NDArray[np.int64]) -> NDArray[np.float64]:
    """How far each block lies from the even grid that fits all of them best."""
    terms = np.column_stack([np.ones(len(places)), places])
    fit, *_ = np.linalg.lstsq(terms, centers, rcond=None)
    return np.asarray(centers - terms @ fit)


def _fabrics(
    made: Made, grid: Grid, seen: Seen, block: Block, base: Element, at: list[BlockAt]
) -> tuple[SeenFabric, ...]:
    """Which patches are cut from each fabric; patches are counted as `block` has them, each block in its own turn.

    A block that looks the same turned is told as not turned, though it may have been sewn in so: its patches are then
    counted where they lie, and not as they were sewn.
    """
    used: dict[int, dict[tuple[int, int, int], None]] = {}
    for each, lies in zip(grid.sewn, at, strict=True):
        patch_at = _patches_at(block, after(base, (lies.turn, lies.mirrored)), each.element)
        for index, cloth in enumerate(each.cloths):
            used.setdefault(cloth, {})[each.row, each.column, seen.patch_of[patch_at[index]]] = None
    cloths = made.cloths
    return tuple(
        SeenFabric(id=cloths[n].id, srgb=cloths[n].srgb, value=cloths[n].value, patches=tuple(spots))
        for n, spots in sorted(used.items())
    )


@cache
def _inner(name: str) -> NDArray[np.float64]:
    """A point inside each patch of a design."""
    points = [Polygon(outline).representative_point() for outline in outlines_of(design(name))]
    return np.array([[each.x, each.y] for each in points])


def _patches_at(block: Block, told: Element, sewn: Element) -> tuple[int, ...]:
    """For each patch of a block sewn in one way, the patch that lies there when it is told to lie in another."""
    if told == sewn:
        return tuple(range(len(block.patches)))
    there = [Polygon(moved(outline, told)) for outline in outlines_of(block)]
    here = moved(_inner(block.name), sewn)
    return tuple(
        next((number for number, outline in enumerate(there) if outline.contains(Point(*point))), index)
        for index, point in enumerate(here)
    )
