"""A table of fabrics at hand, as it is written in a spreadsheet."""

from __future__ import annotations

import csv
import io
import re
from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction

from seamlore.draft.block import VALUES
from seamlore.drawing.shapes import Color
from seamlore.errors import NotationError, SeamloreError, nearest
from seamlore.lengths import CM_PER_INCH, size
from seamlore.limits import FABRIC_NAME, FABRICS, TEXT, checked_text
from seamlore.placing.slots import Cloth
from seamlore.steps.words import color

COLUMNS = ("fabric", "value", "patches", "area", "color")
_OTHER_WORDS = {"name": "fabric", "color": "color"}
_HEADING = "fabric,value,patches,area,color"


@dataclass(frozen=True, slots=True)
class Fabric:
    """A fabric at hand: what can be placed, and the color it is drawn in; None when none was given."""

    cloth: Cloth
    color: Color | None = None


def read_fabrics(text: str, *, source: str = "") -> tuple[Fabric, ...]:
    """Read a table of fabrics: columns fabric, value, and if known patches, area and color.

    Parameters
    ----------
    text : str
        Comma-separated, the first line its heading. A value is light, medium or dark; patches is how many the fabric
        gives; area what can be used of it: "250 sq in", "1600 sq cm" or a piece such as "18 x 22 in"; color is
        #rrggbb or a word such as "indigo". An empty amount is as much as is wanted.
    source : str
        The file's name, for messages.

    Returns
    -------
    tuple of Fabric

    Raises
    ------
    NotationError
        Naming the line.

    Examples
    --------
    >>> read_fabrics("fabric,value,patches\\nred dot,dark,12\\nshirting,light,\\n")[0].cloth
    Cloth(name='red dot', value='dark', patches=12, area_in2=None)
    >>> read_fabrics("fabric,value\\nred dot,darkish\\n")
    Traceback (most recent call last):
        ...
    seamlore.errors.NotationError: line 2: "darkish": a value is light, medium or dark; did you mean "dark"?
    """
    file = f"{source}, " if source else ""
    checked_text(text, "a table of fabrics", TEXT, source=file)
    rows = csv.reader(io.StringIO(text.removeprefix("\ufeff"), newline=""))
    found: list[Fabric] = []
    names: set[str] = set()
    heading: list[str] | None = None
    try:
        for row in rows:
            cells = [cell.strip() for cell in row]
            if not any(cells):
                continue
            where = f"{file}line {rows.line_num}"
            if heading is None:
                heading = _heading(cells, where)
            else:
                made = _fabric(heading, cells, where)
                if made.cloth.name in names:
                    raise NotationError(
                        f'a second "{made.cloth.name}"', "fabrics are told apart by name", "rename one", where=where
                    )
                found.append(made)
                names.add(made.cloth.name)
                if len(found) > FABRICS:
                    raise NotationError(
                        f"more than {FABRICS:,} fabrics", "no more are placed", "leave some out", where=where
                    )
    except csv.Error as fault:
        raise NotationError(
            f"a row that cannot be read ({fault})",
            "rows are separated by commas",
            "save the table as CSV",
            where=f"{file}line {rows.line_num}",
        ) from None
    if not found:
        raise NotationError(
            "no fabrics", "a fabric is a row below the heading", f"begin with: {_HEADING}", where=source
        )
    return tuple(found)


def _heading(cells: Sequence[str], where: str) -> list[str]:
    names = [_OTHER_WORDS.get(cell.casefold(), cell.casefold()) for cell in cells]
    for name in names:
        if name not in COLUMNS:
            raise NotationError(f'a column "{name}"', "it says nothing here", nearest(name, COLUMNS), where=where)
    for name in ("fabric", "value"):
        if name not in names:
            raise NotationError(
                f"no column {name}", "each fabric needs a name and a value", f"begin with: {_HEADING}", where=where
            )
    return names


def _fabric(heading: Sequence[str], cells: Sequence[str], where: str) -> Fabric:
    if len(cells) > len(heading):
        raise NotationError(
            f"{len(cells)} cells",
            f"the heading has {len(heading)}",
            'put a name that holds a comma in "quotes"',
            where=where,
        )
    row = dict(zip(heading, cells, strict=False))
    name, value = row.get("fabric", ""), row.get("value", "").casefold()
    if len(name) > FABRIC_NAME:
        raise NotationError(
            f"a fabric's name of {len(name):,} characters", f"at most {FABRIC_NAME}", "write it shorter", where=where
        )
    if not name:
        raise NotationError("a fabric without a name", "fabrics are told apart by name", "name it", where=where)
    if value not in VALUES:
        raise NotationError(f'"{value}"', "a value is light, medium or dark", nearest(value, VALUES), where=where)
    patches, area, said = row.get("patches", ""), row.get("area", ""), row.get("color", "")
    if patches and not re.fullmatch(r"[0-9]{1,6}", patches):
        raise NotationError(
            f'"{patches}" patches', "a fabric gives a whole number of patches", "count them", where=where
        )
    cloth = Cloth(name, value, int(patches) if patches else None, _area(area, where) if area else None)
    return Fabric(cloth, color(said, where=where) if said else None)


def _area(text: str, where: str) -> float:
    plain = re.fullmatch(r"([0-9]{1,9}(?:\.[0-9]{1,9})?)\s*sq\.?\s*(in|cm)\.?", text.casefold())
    try:
        if plain:
            number = Fraction(plain[1])
            return float(number if plain[2] == "in" else number / CM_PER_INCH**2)
        wide, high = size(text)
        return float(wide.inches * high.inches)
    except SeamloreError:
        raise NotationError(
            f'an area of "{text}"',
            "it is square inches, square centimeters or the size of a piece",
            'write it as "250 sq in", "1600 sq cm" or "18 x 22 in"',
            where=where,
        ) from None
