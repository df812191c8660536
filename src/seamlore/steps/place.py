"""Place given fabrics in the scrappy patches of a quilt: the file they stand in, and what came of it."""

from __future__ import annotations

import colorsys
import csv
import io
import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from itertools import count
from typing import Any, Literal, cast

from seamlore.draft.block import VALUES, Value
from seamlore.draft.layout import Laid, lay
from seamlore.draft.placement import Placement, place_fabrics
from seamlore.draft.placement_units import Cloth
from seamlore.draft.quilt import Quilt
from seamlore.draft.recolour import by_fabric
from seamlore.drawing.shapes import Colour
from seamlore.errors import NotationError, PlanError, SeamloreError, nearest
from seamlore.lengths import CM_PER_INCH, Length, size
from seamlore.pictures.palette import named_cloth, quilt_cloths
from seamlore.steps.vary import color

COLUMNS = ("fabric", "value", "patches", "area", "color")
_OTHER_WORDS = {"name": "fabric", "colour": "color"}
_HEADING = "fabric,value,patches,area,color"
# How light each value is drawn where no color was given, 0 to 1; chosen by eye.
_LIGHTNESS: Mapping[Value, float] = {"light": 0.84, "medium": 0.62, "dark": 0.34}


@dataclass(frozen=True, slots=True)
class Fabric:
    """A fabric at hand: what can be placed, and the color it is drawn in; None when none was given."""

    cloth: Cloth
    color: Colour | None = None


@dataclass(frozen=True, slots=True)
class Placed:
    """Fabrics placed in a quilt.

    Parameters
    ----------
    quilt : Quilt
    fabrics : tuple of Fabric
        In the order of their file.
    laid : tuple of Laid
        Every piece of the quilt.
    placement : Placement
        What each piece is cut from, and what is proved of it.
    swatches : mapping of str to str
        The color that each fabric is drawn in.
    """

    quilt: Quilt
    fabrics: tuple[Fabric, ...]
    laid: tuple[Laid, ...]
    placement: Placement
    swatches: Mapping[str, Colour]

    @property
    def coloring(self) -> tuple[Colour, ...]:
        """One color for each piece, for `pictures.quilts`."""
        paints = quilt_cloths(self.quilt)
        own = {piece.fabric: cast(Colour, paints[piece.key]) for piece in self.laid}
        return by_fabric(self.laid, {**own, **self.swatches}, self.placement.fabrics)


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
    rows = csv.reader(io.StringIO(text.removeprefix("\ufeff"), newline=""))
    found: list[Fabric] = []
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
                if any(made.cloth.name == other.cloth.name for other in found):
                    raise NotationError(
                        f'a second "{made.cloth.name}"', "fabrics are told apart by name", "rename one", where=where
                    )
                found.append(made)
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
    if not name:
        raise NotationError("a fabric without a name", "fabrics are told apart by name", "name it", where=where)
    if value not in VALUES:
        raise NotationError(f'"{value}"', "a value is light, medium or dark", nearest(value, VALUES), where=where)
    patches, area, said = row.get("patches", ""), row.get("area", ""), row.get("color", "")
    if patches and not re.fullmatch(r"\d{1,6}", patches):
        raise NotationError(
            f'"{patches}" patches', "a fabric gives a whole number of patches", "count them", where=where
        )
    cloth = Cloth(name, value, int(patches) if patches else None, _area(area, where) if area else None)
    return Fabric(cloth, color(said, where=where) if said else None)


def _area(text: str, where: str) -> float:
    plain = re.fullmatch(r"(\d+(?:\.\d+)?)\s*sq\.?\s*(in|cm)\.?", text.casefold())
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


def place(
    quilt: Quilt,
    fabrics: Sequence[Fabric],
    *,
    each: Literal["patch", "place"] = "patch",
    allowance: Length | None = None,
) -> Placed:
    """Place fabrics in the scrappy patches of a quilt; see `draft.placement.place_fabrics`.

    Parameters
    ----------
    quilt : Quilt
    fabrics : sequence of Fabric
    each : {"patch", "place"}
        Whether each patch has a fabric of its own, or each place of each block.
    allowance : Length, optional
        Seam allowance, for amounts given as an area.

    Raises
    ------
    PlacementError
        When it is proved that there is no placement, with the smallest set of patches and fabrics that shows why.
    PlanError
        When no place is scrappy, or there is no fabric of a value.

    Examples
    --------
    >>> from seamlore.draft.catalogue import find
    >>> from seamlore.lengths import inches
    >>> from seamlore.steps.draft_words import scrappy
    >>> quilt = Quilt("q", scrappy(find("four patch"), "B"), inches(4), inches(4), 2, 2)
    >>> placed = place(quilt, read_fabrics("fabric,value,patches\\np,dark,4\\nq,dark,4\\n"))
    >>> placed.placement.touching, placed.placement.used
    (0, {'p': 4, 'q': 4})
    """
    if not any(place.scrappy for place in quilt.places.values()):
        letter = min(quilt.places)
        raise PlanError(
            f"{quilt.name}, in which no place is scrappy",
            "only scrappy places take many fabrics",
            f'say which are: --scrappy "{letter}", or {letter} {quilt.places[letter].value} scrappy in the file',
        )
    placement = place_fabrics(quilt, [fabric.cloth for fabric in fabrics], each=each, allowance=allowance)
    return Placed(quilt, tuple(fabrics), lay(quilt), placement, swatches(fabrics))


def swatches(fabrics: Sequence[Fabric]) -> dict[str, Colour]:
    """Give every fabric a color: its own, that of its name, or one of its value that no other has.

    Examples
    --------
    >>> swatches(read_fabrics("fabric,value,color\\nred dot,dark,\\nmine,light,#f0e0d0\\n"))
    {'mine': '#f0e0d0', 'red dot': '#8f443b'}
    >>> swatches([])
    {}
    """
    found: dict[str, Colour] = {fabric.cloth.name: fabric.color for fabric in fabrics if fabric.color}
    for number, fabric in enumerate(fabrics):
        name, value = fabric.cloth.name, fabric.cloth.value
        if name in found:
            continue
        known = named_cloth(name)
        if known is None:
            # Steps of the golden angle keep neighbours in the list apart, however many there are.
            known = _hls(number * 0.381966 % 1, _LIGHTNESS[value] + 0.05 * (number % 3 - 1), 0.36)
        found[name] = next(shade for shade in _shades(known) if shade not in found.values())
    return found


def _shades(given: Colour) -> Iterator[Colour]:
    """A color, and then others of its hue that can be told from it and from each other."""
    yield given
    hue, light, full = colorsys.rgb_to_hls(*(int(given[at : at + 2], 16) / 255 for at in (1, 3, 5)))
    for step in count(1):
        # Lighter first, since most named cloths are dark; its hue is left only when there are very many.
        aside = 0.07 * (step % 6) - 0.03 * (step // 6 % 3)
        drift = 0.012 * (step % 5 - 2) + 0.381966 * (step // 30)
        yield _hls((hue + drift) % 1, min(0.9, max(0.12, light + aside)), full)


def _hls(hue: float, light: float, full: float) -> Colour:
    red, green, blue = colorsys.hls_to_rgb(hue, light, full)
    return f"#{round(red * 255):02x}{round(green * 255):02x}{round(blue * 255):02x}"


def placed_words(placed: Placed) -> list[str]:
    """Say what came of it: clashes and what is proved, how often a fabric comes in a block, what is used of each.

    Examples
    --------
    >>> from seamlore.draft.catalogue import find
    >>> from seamlore.lengths import inches
    >>> from seamlore.steps.draft_words import scrappy
    >>> quilt = Quilt("q", scrappy(find("four patch"), "B"), inches(4), inches(4), 1, 1)
    >>> print(*placed_words(place(quilt, read_fabrics("fabric,value,patches\\np,dark,4\\nq,dark,4\\n"))), sep="\\n")
    2 patches placed in 2 fabrics
    neighbors that touch and are alike: 0
    fabrics shared by neighboring blocks: 0 over 0 pairs of blocks; it cannot be fewer (proved)
    in one block a dark fabric comes at most once
    p: 1 of 4 patches
    q: 1 of 4 patches
    """
    made = placed.placement
    total, kinds = sum(made.used.values()), len(made.used)
    proved = "it cannot be fewer (proved)" if made.shared == made.bound else f"proved: not fewer than {made.bound}"
    lines = [
        f"{total:,} patch{'es' * (total != 1)} placed in {kinds} fabric{'s' * (kinds != 1)}",
        f"neighbors that touch and are alike: {made.touching}",
        f"fabrics shared by neighboring blocks: {made.shared} over {made.pairs} pair{'s' * (made.pairs != 1)} of blocks; "
        f"{proved}",
    ]
    for value, most in made.most.items():
        often = {1: "once", 2: "twice"}.get(most, f"{most} times")
        lines.append(f"in one block a {value} fabric comes at most {often}")
    if made.excess:
        lines.append(f"more often than that: {made.excess}")
    for fabric in placed.fabrics:
        cloth = fabric.cloth
        used = made.used.get(cloth.name, 0)
        of = f" of {cloth.patches}" if cloth.patches is not None else ""
        lines.append(f"{cloth.name}: {used}{of} patch{'es' * (of != '' or used != 1)}")
    return lines


def placed_record(placed: Placed) -> dict[str, Any]:
    """Give the placement as plain data for JSON: what each patch is cut from.

    `row`, `column` and `patch` count from 0; a piece of a pieced border has row and column -1 and is told by `piece`,
    its place in the order in which the quilt is laid out.
    """
    made = placed.placement
    return {
        "touching": made.touching,
        "shared": made.shared,
        "bound": made.bound,
        "pairs": made.pairs,
        "most": dict(made.most),
        "excess": made.excess,
        "fabrics": [
            {
                "fabric": fabric.cloth.name,
                "value": fabric.cloth.value,
                "patches": fabric.cloth.patches,
                "area_sq_in": fabric.cloth.area_in2,
                "used": made.used.get(fabric.cloth.name, 0),
                "color": placed.swatches[fabric.cloth.name],
            }
            for fabric in placed.fabrics
        ],
        "patches": [
            {
                "piece": number,
                "row": piece.row,
                "column": piece.column,
                "patch": piece.patch,
                "place": piece.key,
                "fabric": name,
            }
            for number, (piece, name) in enumerate(zip(placed.laid, made.fabrics, strict=True))
            if name is not None
        ],
    }
