"""Which of the grids that a picture may have is the right one, and how sure that is.

Each candidate's worth is a weighted sum of what speaks for it, and of a few units that weigh what counts only
together; "no block grid" has a worth of its own. Turned into shares of one (conditional logit), these are
probabilities. The weights were fitted on rendered quilts with known truth by `judging/tune_grid.py`, which writes the
file that is read here and says in it how it was made.
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

FURTHEST = 6.0


@dataclass(frozen=True, eq=False)
class Weights:
    """Weights of what speaks for a grid.

    Attributes
    ----------
    names, usual, spread
        What speaks for a grid, by name; its mean and spread over all candidates that the weights were fitted on.
    weight
        Of each, in spreads from the usual.
    into, bars, out
        The same for each of the units that weigh things together, shapes (names, units), (units,), (units,).
    none
        The worth of there being no grid.
    """

    names: tuple[str, ...]
    usual: Floats
    spread: Floats
    weight: Floats
    into: Floats
    bars: Floats
    out: Floats
    none: float

    def worth(self, table: Floats) -> Floats:
        """Give the worth of candidates, shape (candidates,), from what speaks for each, shape (candidates, names)."""
        # A thing further out than this was hardly met while the weights were fitted.
        far = np.clip((table - self.usual) / self.spread, -FURTHEST, FURTHEST)
        return np.asarray(far @ self.weight + np.tanh(far @ self.into + self.bars) @ self.out)


@cache
def weights() -> Weights:
    """Read the fitted weights."""
    stored = json.loads((files("seamlore.photo") / "grid_weights.json").read_text(encoding="utf-8"))
    rows, units = stored["weights"], stored["units"]
    return Weights(
        tuple(row["name"] for row in rows),
        np.array([row["usual"] for row in rows]),
        np.array([row["spread"] for row in rows]),
        np.array([row["weight"] for row in rows]),
        np.array([row["into"] for row in rows]),
        np.array(units["bars"]),
        np.array(units["out"]),
        float(stored["none"]),
    )


def rivals(found: Sequence[Candidate]) -> list[dict[str, float]]:
    """Set the lines of every candidate against those of the other setting at the same pitch.

    A star within a block makes slanted seams and a half-square triangle on point upright ones; what counts is which
    go right through the picture.
    """
    size = np.array([(c.pitch.across, c.pitch.down) for c in found], dtype=np.float64).reshape(-1, 2)
    point = np.array([c.on_point for c in found], dtype=bool)
    own = np.array([c.told["slanted" if c.on_point else "line least"] for c in found], dtype=np.float64)
    raw = np.array([c.told["raw least"] for c in found], dtype=np.float64)
    more = []
    for k, candidate in enumerate(found):
        near = np.zeros(len(found), dtype=bool)
        # Blocks on point that are all alike repeat like straight ones of half the pitch.
        for times in (1.0, 0.5 if candidate.on_point else 2.0):
            near |= (np.abs(size / (size[k] * times) - 1) < 0.04).all(axis=1) & (point != point[k])
        line, seen = (float(values[near].max(initial=0.0)) for values in (own, raw))
        more.append(
            {
                "rival line": line,
                "line against rival": own[k] - line,
                "rival raw": seen,
                "raw against rival": raw[k] - seen,
            }
        )
    return more


def worked_up(told: dict[str, float], rival: dict[str, float]) -> dict[str, float]:
    """Add what speaks for a grid only together, only up to a point, or otherwise when blocks lie on point."""
    more = told | rival
    more["weakest, alike"] = told["weakest"] * told["like best"]
    more["share, alike"] = told["share"] * told["like best"]
    more["number squared"] = told["number"] ** 2 / 5
    more["like, capped"] = min(told["like"], 0.25)
    more["explained, positive"] = max(told["explained"], 0.0)
    more["line least, capped"] = min(told["line least"], 1.0)
    more["half least"] = min(told["half across"], told["half down"])
    more["half least, capped"] = min(more["half least"], 0.2)
    more["cut more than two"] = max(told["cut"] - 2, 0.0)
    point = told["on point"]
    return more | {f"{name}, on point": value * point for name, value in more.items() if name != "on point"}


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
    told = [worked_up(c.told, rival) for c, rival in zip(found, rivals(found), strict=True)]
    table = np.array([[each[name] for name in model.names] for each in told])
    worths = model.worth(table)
    worths = np.append(worths, model.none)
    part = np.exp(worths - worths.max())
    return np.asarray(part / part.sum())
