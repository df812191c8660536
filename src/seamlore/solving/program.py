"""Linear and whole-number programs, given as arrays and solved the same way every time.

Work is limited by nodes and iterations, never by the clock, so that the same program has the same answer on every
machine. Nothing is printed.
"""

from __future__ import annotations

import os
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from functools import cache
from threading import Lock
from typing import Any, Literal

import numpy as np
from numpy.typing import ArrayLike, NDArray

Numbers = NDArray[np.float64]
Whole = NDArray[np.int64]

INFINITY = float("inf")
_FIRST = Lock()


@dataclass(frozen=True, slots=True, eq=False)
class Program:
    """Minimise cost @ x with lower <= x <= upper and row_lower <= A x <= row_upper.

    Parameters
    ----------
    cost, lower, upper : ndarray, shape (n,)
        Of the unknowns; infinite bounds are allowed.
    rows, columns : ndarray of int, shape (k,)
        Where the entries of A stand.
    entries : ndarray, shape (k,)
        The entries; no place may be given twice.
    row_lower, row_upper : ndarray, shape (m,)
        Of the rows of A.
    whole : ndarray of bool, shape (n,), optional
        Which unknowns are whole numbers; none when not given.
    """

    cost: Numbers
    lower: Numbers
    upper: Numbers
    rows: Whole
    columns: Whole
    entries: Numbers
    row_lower: Numbers
    row_upper: Numbers
    whole: NDArray[np.bool_] = field(default_factory=lambda: np.zeros(0, bool))


class Rows:
    """The rows of a program, gathered one by one.

    Examples
    --------
    >>> rows = Rows()
    >>> rows.add([0, 1], [2.0, 3.0], 7.0)
    >>> rows.add([1], [1.0], -INFINITY, 2.0)
    >>> program = rows.program(np.full(2, 9.0))
    >>> program.rows.tolist(), program.row_lower.tolist(), program.row_upper.tolist()
    ([0, 0, 1], [7.0, -inf], [7.0, 2.0])
    """

    def __init__(self) -> None:
        self._columns: list[ArrayLike] = []
        self._values: list[ArrayLike] = []
        self._limits: list[tuple[float, float]] = []

    def add(self, columns: ArrayLike, values: ArrayLike, low: float, high: float | None = None) -> None:
        """Add a row: its unknowns, their entries, and its least and most; one number for both when one is given."""
        self._columns.append(columns)
        self._values.append(values)
        self._limits.append((low, low if high is None else high))

    def program(
        self, upper: Numbers, *, cost: Numbers | None = None, whole: NDArray[np.bool_] | None = None
    ) -> Program:
        """Make the program, its unknowns from 0 to `upper`."""
        low, high = np.array(self._limits, dtype=np.float64).T
        nothing = np.zeros(len(upper))
        return Program(
            nothing if cost is None else cost,
            nothing,
            upper,
            np.repeat(np.arange(len(self._limits)), [np.size(each) for each in self._columns]),
            np.concatenate(self._columns).astype(np.int64),
            np.concatenate(self._values).astype(np.float64),
            low,
            high,
            np.zeros(0, bool) if whole is None else whole,
        )


@dataclass(frozen=True, slots=True, eq=False)
class Solved:
    """What came of a program.

    Parameters
    ----------
    status : {"optimal", "infeasible", "limit"}
        Optimal within the gap asked for; proved to have no solution; or stopped by a limit.
    values : ndarray, shape (n,), or None
        The best solution found.
    cost : float
        Of that solution; infinite without one.
    bound : float
        No solution costs less.
    row_duals : ndarray, shape (m,), or None
        What one unit of each row's bound is worth, for programs without whole numbers.
    """

    status: Literal["optimal", "infeasible", "limit"]
    values: Numbers | None
    cost: float
    bound: float
    row_duals: Numbers | None = None


def solve(
    program: Program,
    *,
    nodes: int = 10_000,
    iterations: int = 1_000_000,
    gap: float = 0.0,
    start: Numbers | None = None,
    method: Literal["choose", "simplex", "ipm"] = "choose",
) -> Solved:
    """Solve a program.

    Parameters
    ----------
    program : Program
        What to minimise.
    nodes : int
        Most nodes of the search over whole numbers.
    iterations : int
        Most steps of the simplex method.
    gap : float
        How far from the best, as a part of it, is near enough.
    start : ndarray, shape (n,), optional
        A solution to begin with.
    method : {"choose", "simplex", "ipm"}
        How a linear program is solved.

    Returns
    -------
    Solved

    Examples
    --------
    Cut 7 pieces, two from each strip of 5 in or three from each of 8 in, with the least cloth; then the impossible.

    >>> one = np.array([0, 0])
    >>> def strips(least, most):
    ...     return Program(np.array([5.0, 8]), np.zeros(2), np.full(2, most), one, np.array([0, 1]),
    ...                    np.array([2.0, 3]), np.array([least]), np.array([np.inf]), np.ones(2, bool))
    >>> found = solve(strips(7.0, 9.0))
    >>> found.status, found.values.tolist(), found.cost
    ('optimal', [2.0, 1.0], 18.0)
    >>> solve(strips(7.0, 1.0)).status
    'infeasible'
    """
    highspy = _library()
    solver = _solver()
    solver.setOptionValue("mip_max_nodes", nodes)
    solver.setOptionValue("simplex_iteration_limit", iterations)
    solver.setOptionValue("mip_rel_gap", gap)
    solver.setOptionValue("solver", method)
    solver.passModel(_model(program))
    if start is not None:
        given = highspy.HighsSolution()
        given.col_value = start.tolist()
        solver.setSolution(given)
    solver.run()
    status = solver.getModelStatus()
    if status in (highspy.HighsModelStatus.kInfeasible, highspy.HighsModelStatus.kUnboundedOrInfeasible):
        return Solved("infeasible", None, INFINITY, INFINITY)
    info, solution = solver.getInfo(), solver.getSolution()
    found = info.primal_solution_status == 2
    values = np.array(solution.col_value) if found else None
    cost = float(info.objective_function_value) if found else INFINITY
    done = status == highspy.HighsModelStatus.kOptimal
    if program.whole.any():
        return Solved("optimal" if done else "limit", values, cost, float(info.mip_dual_bound))
    return Solved(
        "optimal" if done else "limit", values, cost, cost if done else -INFINITY, np.array(solution.row_dual)
    )


def _library() -> Any:
    import highspy  # loads a shared library, which a command that solves nothing need not wait for

    return highspy


def _model(program: Program) -> Any:
    highspy = _library()
    model = highspy.HighsLp()
    model.num_col_, model.num_row_ = len(program.cost), len(program.row_lower)
    model.col_cost_, model.col_lower_, model.col_upper_ = program.cost, program.lower, program.upper
    model.row_lower_, model.row_upper_ = program.row_lower, program.row_upper
    order = np.lexsort((program.rows, program.columns))
    counts = np.bincount(program.columns, minlength=len(program.cost))
    model.a_matrix_.format_ = highspy.MatrixFormat.kColwise
    model.a_matrix_.start_ = np.concatenate([[0], np.cumsum(counts)]).astype(np.int32)
    model.a_matrix_.index_ = program.rows[order].astype(np.int32)
    model.a_matrix_.value_ = program.entries[order]
    if program.whole.any():
        kinds = (highspy.HighsVarType.kContinuous, highspy.HighsVarType.kInteger)
        model.integrality_ = [kinds[int(each)] for each in program.whole]
    return model


def _solver() -> Any:
    _greet()
    solver = _library().Highs()
    for name, value in (("output_flag", False), ("threads", 1), ("random_seed", 0), ("parallel", "off")):
        solver.setOptionValue(name, value)
    return solver


@cache
def _greet() -> None:
    """The first solver made prints two lines before any option can stop it, which would spoil what is piped on."""
    with _FIRST, _silenced():
        _library().Highs()


@contextmanager
def _silenced() -> Iterator[None]:
    sys.stdout.flush()
    kept = os.dup(1)
    nowhere = os.open(os.devnull, os.O_WRONLY)
    try:
        os.dup2(nowhere, 1)
        yield
    finally:
        os.dup2(kept, 1)
        os.close(kept)
        os.close(nowhere)
