"""Quilts as a table: CSV (RFC 4180), one line each, every figure with its unit in the head of its column."""

from __future__ import annotations

import csv
import io
from collections.abc import Callable, Sequence

from seamlore.formats.record import QuiltRecord

# A cell that a spreadsheet would take for a formula is set apart by an apostrophe (OWASP, CSV injection).
_FORMULA = ("=", "+", "-", "@", "\t", "\r")


def _number(value: float | None) -> str:
    return "" if value is None else f"{value:g}"


def _part(pair: tuple[float, float] | None, which: int) -> str:
    return _number(pair[which] if pair else None)


_COLUMNS: tuple[tuple[str, Callable[[QuiltRecord], str]], ...] = (
    ("identity", lambda q: q.identity),
    ("accession", lambda q: q.accession),
    ("name", lambda q: q.name),
    ("blocks", lambda q: "; ".join(q.blocks)),
    ("setting", lambda q: q.setting),
    ("width_in", lambda q: _part(q.size, 0)),
    ("height_in", lambda q: _part(q.size, 1)),
    ("size_known", lambda q: q.size_known),
    ("block_width_in", lambda q: _part(q.block_size, 0)),
    ("block_height_in", lambda q: _part(q.block_size, 1)),
    ("sashing_between_columns_in", lambda q: _part(q.sashing, 0)),
    ("sashing_between_rows_in", lambda q: _part(q.sashing, 1)),
    ("first_year", lambda q: str(q.span[0]) if q.span else ""),
    ("last_year", lambda q: str(q.span[1]) if q.span else ""),
    ("when", lambda q: q.headline),
    ("fabrics", lambda q: "; ".join(q.fabrics)),
    ("maker", lambda q: q.maker),
    ("place", lambda q: q.place),
    ("acquired", lambda q: q.acquired),
    ("owner", lambda q: q.owner),
    ("condition", lambda q: q.condition),
    ("decision", lambda q: q.decision),
    ("tags", lambda q: "; ".join(q.tags)),
    ("made_of", lambda q: "; ".join(name for _, name in q.made_of)),
    ("noticed", lambda q: " ".join(q.noticed)),
)


def to_csv(records: Sequence[QuiltRecord]) -> bytes:
    """Write quilts as CSV in UTF-8, with a first line of column names.

    Examples
    --------
    >>> print(to_csv([QuiltRecord("0" * 32, "=Star", size=(70.0, 88.5))]).decode().splitlines()[1][:44])
    00000000000000000000000000000000,,'=Star,,,7
    """
    more = sorted({name for each in records for name in each.figures})
    file = io.StringIO(newline="")
    writer = csv.writer(file)
    writer.writerow([*(name for name, _ in _COLUMNS), *more])
    for each in records:
        cells = [_safe(say(each)) for _, say in _COLUMNS]
        writer.writerow([*cells, *(_number(each.figures.get(name)) for name in more)])
    return file.getvalue().encode()


def _safe(text: str) -> str:
    return f"'{text}" if text.startswith(_FORMULA) else text
