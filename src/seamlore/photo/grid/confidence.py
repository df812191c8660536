"""Which of the grids that a picture may have is the right one, and how sure that is.

Each candidate's worth is a weighted sum of what speaks for it; "no block grid" has a worth of its own, which rests on
what the network says of it. Turned into shares of one (conditional logit), these are probabilities. The weights were
fitted on rendered quilts with known truth by `judging/fitting/grid.py`, which writes the file that is read here and says
in it how it was made.
"""

from __future__ import annotations

import json
from dataclasses import dataclass
from functools import cache
from importlib.resources import files

import numpy as np
from numpy.typing import NDArray

from seamlore.photo.grid.candidates import Candidates

Floats = NDArray[np.float64]

_LEAST = 1e-4


@dataclass(frozen=True, eq=False)
class Weights:
    """Weights of what speaks for a grid.

    Attributes
    ----------
    names, usual, spread
        What speaks for a grid, by name; its mean and spread over all candidates that the weights were fitted on.
    weight
        Of each, in spreads from the usual.
    none
        The worth of there being no grid, and how much the log of what the network says of it adds.
    other
        The worth of there being a grid that is not among those found.
    """

    names: tuple[str, ...]
    usual: Floats
    spread: Floats
    weight: Floats
    none: tuple[float, float]
    other: float


@cache
def weights() -> Weights:
    """Read the fitted weights."""
    stored = json.loads((files("seamlore.photo.grid") / "weights.json").read_text(encoding="utf-8"))
    rows = stored["weights"]
    return Weights(
        tuple(row["name"] for row in rows),
        np.array([row["usual"] for row in rows]),
        np.array([row["spread"] for row in rows]),
        np.array([row["weight"] for row in rows]),
        (float(stored["none"][0]), float(stored["none"][1])),
        float(stored["other"]),
    )


def none_told(none: float) -> float:
    """Give what the network says of there being no grid, as the weights take it."""
    return float(np.log(max(none, _LEAST)))


def shares(found: Candidates, none: float) -> Floats:
    """Give the probability of every candidate, and last of there being no grid, shape (candidates + 1,).

    They add up to less than 1: what is left is the probability of a grid that was not found.

    Parameters
    ----------
    found : Candidates
        The grids that there may be.
    none : float
        How likely the network thinks that there is none; 0 when it is known that there is one.

    Examples
    --------
    >>> shares(Candidates((), (), (False,), {}), 0.3).tolist()
    [1.0]
    """
    model = weights()
    if not found:
        return np.ones(1)
    table = np.stack([found.told[name] for name in model.names], axis=1)
    worths = (table - model.usual) / model.spread @ model.weight
    nothing = model.none[0] + model.none[1] * none_told(none) if none > 0 else -np.inf
    worths = np.concatenate([worths, [nothing, model.other]])
    part = np.exp(worths - worths.max())
    return np.asarray(part[:-1] / part.sum())
