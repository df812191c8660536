"""Methods of making units: each patch by itself, or several units at a time."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Literal, get_args, get_type_hints

from seamlore.errors import PlanError

Piecing = Literal["machine", "hand", "papers"]
PIECINGS: tuple[Piecing, ...] = get_args(Piecing)
Choose = Literal["as said", "least fabric", "fewest cuts"]
CHOICES: tuple[Choose, ...] = get_args(Choose)


@dataclass(frozen=True, slots=True)
class Methods:
    """How units are made: every patch by itself, or several units at a time.

    Parameters
    ----------
    half_squares : {"one", "two", "eight"}
        Half-square triangles: cut as triangles, or sewn two or eight at a time from squares.
    quarter_squares : {"one", "two"}
        Quarter-square triangles of two fabrics.
    geese : {"one", "four"}
        Flying geese, singly or four at a time.
    strips : {"one", "sets"}
        Four patches, nine patches and rails: patch by patch, or cut across sets of strips.
    """

    half_squares: Literal["one", "two", "eight"] = "one"
    quarter_squares: Literal["one", "two"] = "one"
    geese: Literal["one", "four"] = "one"
    strips: Literal["one", "sets"] = "one"


SINGLY = Methods()
# What each field of `Methods` may be, and which units it is about.
WAYS: dict[str, tuple[str, ...]] = {name: get_args(kind) for name, kind in get_type_hints(Methods).items()}
ABOUT = {
    "half_squares": "half-square triangle",
    "quarter_squares": "quarter-square triangle",
    "geese": "flying geese",
    "strips": "strips",
}


def checked_piecing(word: str) -> Piecing:
    """Give a way of piecing back, or refuse one that there is not.

    Examples
    --------
    >>> checked_piecing("glue")
    Traceback (most recent call last):
        ...
    seamlore.errors.PlanError: pieced by "glue": it is machine, hand or papers; choose one of these
    """
    for known in PIECINGS:
        if word == known:
            return known
    raise PlanError(f'pieced by "{word}"', "it is machine, hand or papers", "choose one of these")


def checked_methods(given: Mapping[str, str]) -> Methods:
    """Make methods of words, or refuse those that there are not.

    Examples
    --------
    >>> checked_methods({"geese": "four"}).geese
    'four'
    >>> checked_methods({"geese": "ten"})
    Traceback (most recent call last):
        ...
    seamlore.errors.PlanError: flying geese "ten" at a time: they are made one or four; choose one of these
    """
    for name, word in given.items():
        if word not in WAYS[name]:
            raise PlanError(
                f'{ABOUT[name]} "{word}" at a time', f"they are made {' or '.join(WAYS[name])}", "choose one of these"
            )
    return Methods(**given)  # type: ignore[arg-type]
