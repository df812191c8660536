"""Which of the grids that a picture may have is the right one, and how sure that is.

Each candidate's worth is a weighted sum of what speaks for it; "no block grid" has a worth of its own. Turned into
shares of one (conditional logit), these are probabilities. The weights were fitted on rendered quilts with known
truth by `judging/tune_grid.py`, which writes the file that is read here and says in it how it was made.
"""

from __future__ import annotations

import json
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache
from importlib.resources import files

import numpy as np
from numpy.typing import NDArray

from seamlore.photo.candidates import Candidate

Floats = NDArray[np.float64]


@dataclass(frozen=True, eq=False)
class Weights:
    """Weights of what speaks for a grid; `none` is the worth of there being no grid."""

    names: tuple[str, ...]
    usual: Floats
    spread: Floats
    weight: Floats
    none: float


@cache
def weights() -> Weights:
    """Read the fitted weights."""
    stored = json.loads((files("seamlore.photo") / "grid_weights.json").read_text(encoding="utf-8"))
    rows = stored["weights"]
    return Weights(
        tuple(row["name"] for row in rows),
        np.array([row["usual"] for row in rows]),
        np.maximum([row["spread"] for row in rows], 1e-3),
        np.array([row["weight"] for row in rows]),
        float(stored["none"]),
    )


def worked_up(told: dict[str, float]) -> dict[str, float]:
    """Add what speaks for a grid only together, or only up to a point."""
    more = dict(told)
    point = told["on point"]
    for name in ("flush", "balance", "outer", "follow", "number", "ends alike", "strip", "cut"):
        more[f"{name}, on point"] = told[name] * point
    more["weakest, alike"] = told["weakest"] * told["like best"]
    more["share, alike"] = told["share"] * told["like best"]
    more["number squared"] = told["number"] ** 2 / 5
    more["like, capped"] = min(told["like"], 0.25)
    more["explained, positive"] = max(told["explained"], 0.0)
    more["line least, capped"] = min(told["line least"], 1.0)
    more["half least"] = min(told["half across"], told["half down"])
    more["half least, capped"] = min(more["half least"], 0.2)
    more["cut more than two"] = max(told["cut"] - 2, 0.0)
    return more


def shares(found: Sequence[Candidate]) -> Floats:
    """Give the probability of every candidate, and last of there being no grid, shape (candidates + 1,).

    Examples
    --------
    >>> shares([]).tolist()
    [1.0]
    """
    model = weights()
    if not found:
        return np.ones(1)
    table = np.array([[more[name] for name in model.names] for more in (worked_up(c.told) for c in found)])
    worths = ((table.reshape(-1, len(model.names)) - model.usual) / model.spread) @ model.weight
    worths = np.append(worths, model.none)
    part = np.exp(worths - worths.max())
    return np.asarray(part / part.sum())
