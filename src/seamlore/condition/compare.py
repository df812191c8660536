"""The same quilt at two dates: what is new, what has grown, what is no longer seen."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np

from seamlore.condition.ground import Ground
from seamlore.condition.kinds import kind_named
from seamlore.condition.survey import Laid


@dataclass(frozen=True, slots=True)
class Changed:
    """One kind of damage at two dates.

    Parameters
    ----------
    kind : str
    before, after, both : float
        Areas, in the square of the quilt's unit: at the first date, at the second, and what was there at both.
    new, gone : int
        Spots of the second date that meet none of the first; spots of the first that meet none of the second.
    """

    kind: str
    before: float
    after: float
    both: float
    new: int
    gone: int


def compare(ground: Ground, before: Sequence[Laid], after: Sequence[Laid]) -> tuple[Changed, ...]:
    """Set the notes of one date against those of an earlier one, kind by kind and side by side in one frame.

    Examples
    --------
    >>> spot = np.array([[1.0, 1], [3, 1], [3, 3], [1, 3]])
    >>> compare(Ground((9, 9)), [Laid("stain", 2, spot)], [Laid("stain", 2, spot * 1.5), Laid("tear", 1, spot)])
    (Changed(kind='stain', before=4.0, after=9.0, both=2.25, new=0, gone=0),
     Changed(kind='tear', before=0.0, after=4.0, both=0.0, new=1, gone=0))
    """
    import shapely  # slow to import: only where areas are wanted

    found = []
    kinds = {each.kind for each in (*before, *after) if kind_named(each.kind).damage}
    for kind in sorted(kinds):
        was, now, both, new, gone = 0.0, 0.0, 0.0, 0, 0
        for behind in (False, True):
            old, fresh = (_shapes(ground, notes, kind, behind, shapely) for notes in (before, after))
            one, two = shapely.union_all(old), shapely.union_all(fresh)
            was, now = was + float(one.area), now + float(two.area)
            both += float(one.intersection(two).area)
            new += int((~shapely.intersects(fresh, one)).sum()) if len(fresh) else 0
            gone += int((~shapely.intersects(old, two)).sum()) if len(old) else 0
        found.append(Changed(kind, was, now, both, new, gone))
    return tuple(found)


def _shapes(ground: Ground, notes: Sequence[Laid], kind: str, behind: bool, shapely: Any) -> Any:
    made = [shapely.Polygon(each.outline) for each in notes if each.kind == kind and each.behind == behind]
    return shapely.intersection(shapely.buffer(np.array(made, dtype=object), 0), ground.whole_shape)
