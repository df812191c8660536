"""What one test quilt is: every choice that chance makes, drawn from a seed before anything is rendered."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np

from judging.rendering.cloth import ERAS
from judging.rendering.running import runs_together

GROUNDS = (
    "floorboards", "carpet", "wall", "lawn", "sheet", "concrete", "table", "tiles", "backdrop", "checked cloth",
    "another quilt",
)  # fmt: skip
QUILTING = ("none", "in the ditch", "grid", "diagonal", "crosshatch", "fans", "meander", "ties")
SCRAPPINESS = ("one fabric", "by block", "background one", "every patch")
NO_GRID = ("crazy", "medallion", "whole cloth", "hexagons")
# Laid all one way these make squares on point or plain stripes; quilters turn every second one.
_TURN_ABOUT = ("Rail Fence", "Hourglass", "Broken Dishes", "Half-Square Triangle")
# On point and edge to edge these make a straight pattern of another block.
_STRAIGHT_TOO = (
    "Pinwheel",
    "Hourglass",
    "Broken Dishes",
    "Four Patch",
    "Sixteen Patch",
    "Rail Fence",
    "Flying Geese",
    "Half-Square Triangle",
)


@dataclass(frozen=True, slots=True)
class Recipe:
    """One quilt and one photograph of it. Lengths in inches; chances and strengths 0..1.

    `cut` is what the edge cuts off (left, top, right, bottom); `turning` is how blocks are laid on purpose, `turned`,
    `mirrored`, `recolored` and `repieced` how many lie or are made otherwise by mistake or for want of fabric.
    """

    seed: int
    kind: str
    design: str
    other_design: str
    rows: int
    columns: int
    block: tuple[float, float]
    sashing: tuple[float, float] = (0.0, 0.0)
    outer_sashing: bool = False
    cornerstones: bool = False
    borders: tuple[float, ...] = ()
    cut: tuple[float, float, float, float] = (0.0, 0.0, 0.0, 0.0)
    binding: float = 0.375
    alternate: bool = False
    between: str = "plain"  # on point: what stands between the whole rows: "plain" or "pieced"
    scrappiness: str = "by block"
    swap_values: int = 0
    turning: str = "none"  # "none", "alternate", "any"
    turned: int = 0
    mirrored: int = 0
    recolored: int = 0
    repieced: int = 0
    uneven: float = 0.01
    era: str = "madder and indigo"
    quilting: str = "none"
    quilting_step: float = 1.5
    puff: float = 0.5
    seam_depth: float = 0.5
    fade: float = 0.2
    wear: float = 0.2
    stains: int = 0
    creases: int = 0
    ground: str = "floorboards"
    clutter: int = 0
    fill: float = 0.85
    aspect: float = 4 / 3
    tilt_deg: float = 5.0
    swing_deg: float = 0.0
    roll_deg: float = 0.0
    lens: float = 0.0
    drape: float = 0.002
    uneven_light: float = 0.2
    shadow: float = 0.0
    cast: tuple[float, float, float] = (1.0, 1.0, 1.0)
    exposure: float = 1.0
    noise: float = 0.01
    blur_px: float = 0.5
    jpeg: int = 85
    long_side_px: int = 1600


def draw_recipe(seed: int, kind: str | None, designs: Sequence[str]) -> Recipe:
    """Draw one recipe.

    Parameters
    ----------
    seed : int
        The same seed, kind and designs give the same recipe.
    kind : str, optional
        "straight", "on point", "none", or one of NO_GRID; drawn (64 %, 22 %, 14 %) when not given.
    designs : sequence of str
        Names of the blocks to choose from.

    Returns
    -------
    Recipe
    """
    rng = np.random.default_rng([seed, 11])
    drawn = str(rng.choice(["straight", "on point", "none"], p=[0.64, 0.22, 0.14]))
    kind = kind or drawn
    if kind == "none":
        kind = str(rng.choice(NO_GRID))
    quilt, photo = _quilt(rng, kind, designs), _photo(rng)
    if max(quilt["rows"], quilt["columns"]) > 14:
        # Nobody would photograph so many small blocks from so far off.
        photo["fill"] = max(photo["fill"], 0.88)
    return Recipe(seed=seed, **quilt, **_cloth(rng), **photo)


def _count(rng: np.random.Generator, most: int) -> int:
    """Mostly 3 to 12, sometimes up to the most."""
    if rng.random() < 0.15:
        return int(rng.integers(2, most + 1))
    return int(np.clip(round(np.exp(rng.normal(np.log(6), 0.45))), 2, 14))


def _quilt(rng: np.random.Generator, kind: str, designs: Sequence[str]) -> dict[str, Any]:
    design, other = (str(name) for name in rng.choice(list(designs), 2, replace=False))
    columns = _count(rng, 30 if kind == "straight" else 12)
    rows = int(np.clip(round(columns * rng.uniform(0.75, 1.45)), 2, 30 if kind == "straight" else 12))
    # Many blocks are small blocks; nothing is larger than a bed.
    side = float(np.clip(rng.uniform(60, 100) / max(rows, columns), 2.5, 14))
    side = round(side * 4) / 4
    square = rng.random() < 0.88
    block = (side, side if square or kind == "on point" else round(side * rng.uniform(0.8, 1.25) * 4) / 4)
    # Laid about each other, blocks that run together are told apart.
    runs = design not in ("One Patch", *_TURN_ABOUT) and runs_together(design)
    sashed = rng.random() < (0.45 if kind == "straight" and design != "One Patch" else 0.15)
    alternate = (
        kind == "straight" and not sashed and bool(rng.random() < (0.4 if runs else 0.25)) and design != "One Patch"
    )
    sashed = sashed or (runs and kind == "straight" and not alternate)
    sash = round(side * rng.uniform(0.12, 0.4) * 4) / 4
    sashing = (
        ((sash, sash if rng.random() < 0.8 else round(sash * rng.uniform(0.7, 1.4) * 4) / 4))
        if sashed
        else (0.0, 0.0)
    )
    ends = rng.choice(["borders", "cut", "flush"], p=[0.5, 0.25, 0.25])
    borders: tuple[float, ...] = ()
    cut = (0.0, 0.0, 0.0, 0.0)
    outer = bool(sashed and rng.random() < 0.4)
    if ends == "borders" or kind in NO_GRID:
        borders = tuple(
            round(side * rng.uniform(0.15, 0.75) * 4) / 4
            for _ in range(int(rng.choice([1, 2, 3], p=[0.6, 0.3, 0.1])))
        )
    elif ends == "cut" and kind == "straight" and not outer:
        sides = rng.random(4) < 0.55
        one = rng.uniform(0.06, 0.35) * side
        cut = tuple(float(one * rng.uniform(0.7, 1.3)) if each else 0.0 for each in sides)  # type: ignore[assignment]
    turning = "none"
    if design in _TURN_ABOUT:
        free = design == "Half-Square Triangle" and rng.random() < 0.7
        turning = "any" if free else "alternate"
    elif rng.random() < 0.12:
        turning = str(rng.choice(["alternate", "any"]))
    odd = rng.random() < 0.45
    return {
        "kind": kind,
        "design": design,
        "other_design": other,
        "rows": rows,
        "columns": columns,
        "block": block,
        "sashing": sashing,
        "outer_sashing": outer,
        "cornerstones": bool(sashed and rng.random() < 0.5),
        "borders": borders,
        "cut": cut,
        "binding": float(rng.choice([0.0, 0.25, 0.375, 0.5])),
        "alternate": alternate,
        "between": str(rng.choice(["plain", "pieced"], p=[0.6, 0.4]))
        if design not in _STRAIGHT_TOO and not runs
        else "plain",
        "scrappiness": str(rng.choice(SCRAPPINESS)) if design != "One Patch" else "every patch",
        "swap_values": int(rng.integers(0, 100)),
        "turning": turning,
        "turned": int(odd and rng.integers(0, 5)),
        "mirrored": int(odd and rng.integers(0, 3)),
        "recolored": int(odd and rng.integers(0, 3)),
        "repieced": int(odd and rng.integers(0, 2)),
        "uneven": float(rng.choice([0.0, 0.005, 0.012, 0.02], p=[0.1, 0.3, 0.4, 0.2])),
    }


def _cloth(rng: np.random.Generator) -> dict[str, Any]:
    return {
        "era": str(rng.choice(list(ERAS))),
        "quilting": str(rng.choice(QUILTING)),
        "quilting_step": float(rng.uniform(0.8, 3.2)),
        "puff": float(rng.uniform(0.1, 1)),
        "seam_depth": float(rng.uniform(0.2, 1)),
        "fade": float(rng.uniform(0, 0.55) * (rng.random() < 0.8)),
        "wear": float(rng.uniform(0, 1) * (rng.random() < 0.6)),
        "stains": int(rng.integers(0, 6) * (rng.random() < 0.5)),
        "creases": int(rng.choice([0, 0, 1, 2, 3])),
    }


def _photo(rng: np.random.Generator) -> dict[str, Any]:
    strong = rng.random() < 0.25
    warm = float(rng.normal(0, 0.06))
    return {
        "ground": str(rng.choice(GROUNDS)),
        "clutter": int(rng.choice([0, 1, 2, 3], p=[0.4, 0.3, 0.2, 0.1])),
        "fill": float(rng.uniform(0.84, 0.97) if rng.random() < 0.75 else rng.uniform(0.6, 0.84)),
        "aspect": float(rng.choice([4 / 3, 3 / 2, 1.0], p=[0.6, 0.3, 0.1])),
        "tilt_deg": float(rng.normal(0, 20 if strong else 6)),
        "swing_deg": float(rng.normal(0, 10 if strong else 3)),
        "roll_deg": float(rng.normal(0, 6 if strong else 1.5)),
        "lens": float(rng.normal(0, 0.012)),
        "drape": float(rng.uniform(0, 0.005)),
        "uneven_light": float(rng.uniform(0, 0.6)),
        "shadow": float(rng.uniform(0.15, 0.5) * (rng.random() < 0.3)),
        "cast": (1 + warm, 1.0, 1 - warm),
        "exposure": float(rng.uniform(0.72, 1.12)),
        "noise": float(rng.uniform(0.004, 0.03)),
        "blur_px": float(rng.choice([0.3, 0.6, 1.0, 1.6], p=[0.3, 0.4, 0.2, 0.1])),
        "jpeg": int(rng.integers(60, 93)),
    }
