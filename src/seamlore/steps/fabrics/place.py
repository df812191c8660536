"""Place given fabrics in the scrappy patches of a quilt: the file they stand in, and what came of it."""

from __future__ import annotations

import colorsys
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import count
from typing import Any, Literal, cast

from seamlore.draft.block import Value
from seamlore.draft.layout import Laid, lay
from seamlore.draft.quilt import Quilt
from seamlore.draft.recolor import by_fabric
from seamlore.drawing.shapes import Color
from seamlore.errors import PlanError
from seamlore.lengths import Length
from seamlore.pictures.palette import named_cloth, paint_of, quilt_cloths
from seamlore.placing.placement import Placement, place_fabrics
from seamlore.steps.fabrics.table import Fabric

# How light each value is drawn where no color was given, 0 to 1; chosen by eye.
_LIGHTNESS: Mapping[Value, float] = {"light": 0.84, "medium": 0.62, "dark": 0.34}


@dataclass(frozen=True, slots=True)
class FabricsPlaced:
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
    swatches: Mapping[str, Color]

    @property
    def coloring(self) -> tuple[Color, ...]:
        """One color for each piece, for `pictures.quilts`."""
        paints = quilt_cloths(self.quilt)
        own = {piece.fabric: cast(Color, paint_of(piece, paints)) for piece in self.laid}
        return by_fabric(self.laid, {**own, **self.swatches}, self.placement.fabrics)


def place(
    quilt: Quilt,
    fabrics: Sequence[Fabric],
    *,
    each: Literal["patch", "place"] = "patch",
    allowance: Length | None = None,
) -> FabricsPlaced:
    """Place fabrics in the scrappy patches of a quilt; see `placing.placement.place_fabrics`.

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
    >>> from seamlore.draft.repeated import repeated
    >>> from seamlore.steps.fabrics.table import read_fabrics
    >>> from seamlore.draft.catalogue import find
    >>> from seamlore.lengths import inches
    >>> from seamlore.steps.draft.words import scrappy
    >>> quilt = repeated("q", scrappy(find("four patch"), "B"), inches(4), inches(4), 2, 2)
    >>> placed = place(quilt, read_fabrics("fabric,value,patches\\np,dark,4\\nq,dark,4\\n"))
    >>> placed.placement.touching, placed.placement.used
    (0, {'p': 4, 'q': 4})
    """
    if not any(place.scrappy for place in quilt.places.values()):
        letter = min(quilt.places, default="A")
        raise PlanError(
            f"{quilt.name}, in which no place is scrappy",
            "only scrappy places take many fabrics",
            f'say which are: --scrappy "{letter}", or {letter[-1]} {quilt.places[letter].value if quilt.places else "dark"} scrappy in the file',
        )
    placement = place_fabrics(quilt, [fabric.cloth for fabric in fabrics], each=each, allowance=allowance)
    return FabricsPlaced(quilt, tuple(fabrics), lay(quilt), placement, swatches(fabrics))


def swatches(fabrics: Sequence[Fabric]) -> dict[str, Color]:
    """Give every fabric a color: its own, that of its name, or one of its value that no other has.

    Examples
    --------
    >>> from seamlore.steps.fabrics.table import read_fabrics
    >>> swatches(read_fabrics("fabric,value,color\\nred dot,dark,\\nmine,light,#f0e0d0\\n"))
    {'mine': '#f0e0d0', 'red dot': '#8f443b'}
    >>> swatches([])
    {}
    """
    found: dict[str, Color] = {fabric.cloth.name: fabric.color for fabric in fabrics if fabric.color}
    for number, fabric in enumerate(fabrics):
        name, value = fabric.cloth.name, fabric.cloth.value
        if name in found:
            continue
        known = named_cloth(name)
        if known is None:
            # Steps of the golden angle keep neighbors in the list apart, however many there are.
            known = _hls(number * 0.381966 % 1, _LIGHTNESS[value] + 0.05 * (number % 3 - 1), 0.36)
        found[name] = next(shade for shade in _shades(known) if shade not in found.values())
    return found


def _shades(given: Color) -> Iterator[Color]:
    """A color, and then others of its hue that can be told from it and from each other."""
    yield given
    hue, light, full = colorsys.rgb_to_hls(*(int(given[at : at + 2], 16) / 255 for at in (1, 3, 5)))
    for step in count(1):
        # Lighter first, since most named cloths are dark; its hue is left only when there are very many.
        aside = 0.07 * (step % 6) - 0.03 * (step // 6 % 3)
        drift = 0.012 * (step % 5 - 2) + 0.381966 * (step // 30)
        yield _hls((hue + drift) % 1, min(0.9, max(0.12, light + aside)), full)


def _hls(hue: float, light: float, full: float) -> Color:
    red, green, blue = colorsys.hls_to_rgb(hue, light, full)
    return f"#{round(red * 255):02x}{round(green * 255):02x}{round(blue * 255):02x}"


def placed_words(placed: FabricsPlaced) -> list[str]:
    """Say what came of it: clashes and what is proved, how often a fabric comes in a block, what is used of each.

    Examples
    --------
    >>> from seamlore.draft.repeated import repeated
    >>> from seamlore.steps.fabrics.table import read_fabrics
    >>> from seamlore.draft.catalogue import find
    >>> from seamlore.lengths import inches
    >>> from seamlore.steps.draft.words import scrappy
    >>> quilt = repeated("q", scrappy(find("four patch"), "B"), inches(4), inches(4), 1, 1)
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
    within = f" (not counted: {made.together:,} within one place, of one fabric as asked)" if made.together else ""
    proved = "it cannot be fewer (proved)" if made.shared == made.bound else f"proved: not fewer than {made.bound}"
    lines = [
        f"{total:,} patch{'es' * (total != 1)} placed in {kinds} fabric{'s' * (kinds != 1)}",
        f"neighbors that touch and are alike: {made.touching}{within}",
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


def placed_record(placed: FabricsPlaced) -> dict[str, Any]:
    """Give the placement as plain data for JSON: what each patch is cut from.

    `row`, `column` and `patch` count from 0; a piece of a pieced border has row and column -1 and is told by `piece`,
    its place in the order in which the quilt is laid out.
    """
    made = placed.placement
    return {
        "touching": made.touching,
        "together": made.together,
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
