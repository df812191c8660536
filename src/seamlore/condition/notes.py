"""A note drawn on a photograph: what it says, and its outline, looked through before it is kept."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from seamlore.condition.kinds import NoteKind, kind_named
from seamlore.errors import ShapeError

Points = NDArray[np.float64]
Pair = tuple[float, float]
# A loop of less than this part of the outline is the slip of a hand where the line comes round to its beginning.
_SLIP = 0.02
# Finer than a pixel no hand draws.
_LEAST_PX2 = 1.0
_MOST_CORNERS = 400


@dataclass(frozen=True, slots=True)
class Note:
    """One spot of one photograph and what is said of it.

    Parameters
    ----------
    key : str
        What it is called in the study; an IRI.
    photograph : str
        The SHA-256 of the photograph, 64 letters.
    kind : str
        A name of `kinds.KINDS`.
    outline : tuple of (x, y)
        In pixels of the upright photograph: three corners or more around a spot, two or more along a quilting line,
        one for a tie or a test.
    severity : int
        1 to 4, a step of `kinds.SEVERITY`; 0 for what has none.
    says : str
        In her words; of an inscription what it reads, doubtful letters in [ ].
    of : str
        What it is of, in her words: a block, a fabric, a part.
    result : str
        Of a test: a key of `kinds.HAND_RESULTS` or `kinds.DYE_RESULTS`.
    noted : str
        When, as ISO 8601 with its zone.
    """

    key: str
    photograph: str
    kind: str
    outline: tuple[Pair, ...]
    severity: int = 0
    says: str = ""
    of: str = ""
    result: str = ""
    noted: str = ""

    @property
    def about(self) -> NoteKind:
        """Its kind."""
        return kind_named(self.kind)


@dataclass(frozen=True, slots=True)
class Drawn:
    """An outline as it is kept, and what was mended in it; nothing where nothing was."""

    outline: tuple[Pair, ...]
    mended: str = ""


def checked_outline(points_px: ArrayLike | Sequence[object], photo_size_px: tuple[int, int], kind: NoteKind) -> Drawn:
    """Look an outline through as a hand drew it, and mend or refuse it.

    Parameters
    ----------
    points_px : array_like, shape (n, 2)
        In pixels of the upright photograph.
    photo_size_px : (width, height)
    kind : NoteKind
        A tie and a test are one point, a quilting line an open line, all else encloses a spot.

    Returns
    -------
    Drawn

    Raises
    ------
    ShapeError
        When it lies outside the picture, encloses nothing, or crosses itself so that it cannot be told what is meant.

    Examples
    --------
    >>> tear = kind_named("tear")
    >>> checked_outline([(10, 10), (30, 10), (30, 20)], (100, 80), tear).outline
    ((10.0, 10.0), (30.0, 10.0), (30.0, 20.0))
    >>> checked_outline([(10, 10), (30, 20), (30, 10), (10, 20)], (100, 80), tear)
    Traceback (most recent call last):
        ...
    seamlore.errors.ShapeError: at (20, 15): an outline that crosses itself: ...
    >>> checked_outline([(10, 10), (30, 10)], (100, 80), tear)
    Traceback (most recent call last):
        ...
    seamlore.errors.ShapeError: an outline of 2 corners: a spot has at least 3; draw round it
    """
    given = np.asarray(points_px, dtype=np.float64).reshape(-1, 2)
    if not np.isfinite(given).all():
        raise ShapeError("a corner without a place", "a corner is x, y in the picture", "draw it again")
    if len(given) > _MOST_CORNERS:
        raise ShapeError(
            f"an outline of {len(given)} corners", f"at most {_MOST_CORNERS} are taken", "draw it simpler"
        )
    width, height = photo_size_px
    # A line drawn to the rim may end half a pixel beyond it.
    outside = ((given < -1) | (given > [width, height])).any(axis=1)
    if outside.any():
        x, y = given[outside][0]
        raise ShapeError(
            f"a corner at {x:.0f}, {y:.0f}",
            f"the picture is {width} wide and {height} high",
            "draw inside the picture",
        )
    given = np.clip(given, 0, [width - 1, height - 1])
    repeated = np.r_[False, (np.diff(given, axis=0) == 0).all(axis=1)] if len(given) else np.zeros(0, bool)
    given = given[~repeated]
    if kind.name in ("tie", "hand test", "dye test"):
        return Drawn(_pairs(given.mean(axis=0, keepdims=True) if len(given) else _none(1)))
    if kind.name == "quilting line":
        return Drawn(_pairs(given if len(given) > 1 else _none(2)))
    if len(given) < 3:
        raise ShapeError(f"an outline of {len(given)} corners", "a spot has at least 3", "draw round it")
    return _enclosing(given)


def _none(needed: int) -> Points:
    raise ShapeError("nothing drawn", f"{needed} point{'s are' if needed > 1 else ' is'} needed", "tap the picture")


def _pairs(points: Points) -> tuple[Pair, ...]:
    return tuple((float(x), float(y)) for x, y in np.round(points, 1))


def _enclosing(points: Points) -> Drawn:
    from shapely import Polygon, make_valid  # slow to import, and pages that draw nothing need it not
    from shapely.validation import explain_validity

    shape = Polygon(points)
    if shape.is_valid:
        if shape.area < _LEAST_PX2:
            raise ShapeError("an outline that encloses nothing", "a spot has an area", "draw round it")
        return Drawn(_pairs(points))
    whole = [part for part in getattr(make_valid(shape), "geoms", [make_valid(shape)]) if part.area > 0]
    whole = [each for part in whole for each in getattr(part, "geoms", [part])]
    area = sum(part.area for part in whole)
    largest = max(whole, key=lambda part: part.area, default=None)
    if largest is None or area < _LEAST_PX2:
        raise ShapeError("an outline that encloses nothing", "a spot has an area", "draw round it")
    if largest.area < (1 - _SLIP) * area or largest.interiors:
        where = explain_validity(shape).partition("[")[2].rstrip("]").split()
        place = ", ".join(f"{float(each):.0f}" for each in where)
        raise ShapeError(
            "an outline that crosses itself", "it goes round one spot", "draw it again", where=f"at ({place})"
        )
    mended = np.asarray(largest.exterior.coords)[:-1]
    return Drawn(_pairs(mended), "a small loop where the line crossed itself was taken out")
