"""Cloths as the photograph shows them: for each place, for sashing and borders, and for every single patch."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Sequence
from fractions import Fraction
from itertools import pairwise, product

import numpy as np
from numpy.typing import NDArray

from seamlore.color.difference import delta_e_2000
from seamlore.color.lab import srgb_to_lab
from seamlore.draft.block import Block, Patch, Value
from seamlore.draft.exact.lookup import inner_points, patches_at, sides
from seamlore.draft.exact.roots import Exact
from seamlore.draft.kinds import Kind
from seamlore.draft.quilt import Quilt
from seamlore.draft.setting.setting import row_as_laid
from seamlore.draft.where import Where, in_block
from seamlore.errors import SeamloreError
from seamlore.photo.read import Look
from seamlore.photo.reading import SeenKind, SeenPatch
from seamlore.steps.study.seen_spots import cloths_under
from seamlore.steps.study.surroundings import seen_around
from seamlore.study.seen_block import exact_block

Single = dict[Where, str]
# Part of a block that must lie in single patches of the block seen for it to be that block, changed by hand.
_ENOUGH = Fraction(1, 2)


def seen_cloths(look: Look, quilt: Quilt) -> tuple[dict[str, str], Single]:
    """Give the colors of a quilt's cloths as they were seen.

    Parameters
    ----------
    look : Look
        Of the old quilt.
    quilt : Quilt
        Drafted from it.

    Returns
    -------
    by_key : dict of str to str
        "#rrggbb" for each place of the blocks, for what lies between them and for the borders; places only where the block
        drawn is the one seen, or that one changed by hand.
    single : dict of Where to str
        For each patch of the draft that is cut from one patch seen.
    """
    reading = look.reading
    by_key = seen_around(look, quilt)
    if sashing := _between(look):
        by_key["sashing"] = sashing
    homes = _Homes(reading.kinds or ())
    seen = reading.everywhere
    single: Single = {}
    sums: dict[str, list[tuple[int, int, int]]] = defaultdict(list)
    for fabric in reading.fabrics or ():
        for between, row, column, number in fabric.everywhere:
            at = row_as_laid(quilt.setting, row, between=between)
            kind = each.kind if (each := seen.get((between, row, column))) else None
            if kind is None or at >= len(quilt.cells) or column >= len(quilt.cells[at]):
                continue
            cell = quilt.cells[at][column]
            if not cell.read:
                continue
            drawn = quilt.kind(cell.kind)
            for patch in homes.of(drawn, kind).get(number, ()):
                single[in_block(at, column, patch)] = fabric.srgb
                sums[quilt.key(drawn, drawn.block.patches[patch].place)].append(_rgb(fabric.srgb))
    # What nothing was read of was drawn by hand, over the photograph: its cloths are those that lie there.
    own = [
        kind.name for kind in quilt.kinds if not any(quilt.key(kind, letter) in sums for letter in kind.block.places)
    ]
    for where, color in cloths_under(look, quilt, own):
        single[where] = "#{:02x}{:02x}{:02x}".format(*color)
        put = quilt.kind(quilt.cells[where.row][where.column].kind)
        sums[quilt.key(put, put.block.patches[where.patch].place)].append(color)
    by_key |= {key: _hex(np.median(np.array(colors), axis=0)) for key, colors in sums.items()}
    return by_key, single


class _Homes:
    """For each patch of a kind seen, as the reading numbers them, the patches of a kind drawn that are cut from it."""

    def __init__(self, kinds: Sequence[SeenKind]) -> None:
        self._kinds = kinds
        self._found: dict[tuple[str, int], dict[int, list[int]]] = {}

    def of(self, drawn: Kind, number: int) -> dict[int, list[int]]:
        key = drawn.name, number
        if key not in self._found:
            self._found[key] = self._look(drawn.block, self._kinds[number]) if number < len(self._kinds) else {}
        return self._found[key]

    @staticmethod
    def _look(drawn: Block, kind: SeenKind) -> dict[int, list[int]]:
        try:
            seen = exact_block(kind)
        except SeamloreError:
            # The block could not be drawn exactly; whoever drew it by hand chose its cloths too.
            return {}
        home = _homes(drawn, seen)
        # `exact_block` puts patches into reading order; the reading numbers them in its own.
        return {
            number: home[exact]
            for number, each in _numbered(kind.patches, seen.patches)
            if (exact := seen.patches.index(each)) in home
        }


def _homes(drawn: Block, seen: Block) -> dict[int, list[int]]:
    """For each patch of the block seen, the patches drawn that are cut from it.

    A block drawn otherwise, of which too little lies in single patches of the block seen, has none of its cloths; nor
    has one that only lies turned, since its patches stand elsewhere.
    """
    if _turned(drawn, seen):
        return {}
    inner = inner_points(drawn.patches)
    around = sides(seen)
    cut_from: dict[int, int] = {}
    for index, each in enumerate(drawn.patches):
        # Drawn in a little from its seams, a patch lies in one patch of the other block or in several.
        spots = np.concatenate([inner[index] + 0.9 * (each.points - inner[index]), inner[index : index + 1]])
        found = patches_at(around, spots)
        held = {patch for patch, _ in found}
        if len(held) == 1 and len(found) == len(spots):
            cut_from[index] = held.pop()
    if sum(drawn.patches[index].area for index in cut_from) < _ENOUGH:
        return {}
    # A place that was told to be lighter keeps its cloths; a patch given to a place of another value does not.
    areas: dict[str, dict[Value, Exact]] = defaultdict(lambda: defaultdict(Fraction))
    values = {index: seen.places[seen.patches[patch].place].value for index, patch in cut_from.items()}
    for index, value in values.items():
        areas[drawn.patches[index].place][value] += drawn.patches[index].area
    home: dict[int, list[int]] = defaultdict(list)
    for index, patch in cut_from.items():
        of_place = areas[drawn.patches[index].place]
        if values[index] == max(sorted(of_place), key=lambda value: of_place[value]):
            home[patch].append(index)
    return dict(home)


def _turned(drawn: Block, seen: Block) -> bool:
    """Whether a block is the one seen, but lies otherwise."""
    outlines = {each.outline for each in seen.patches}
    if len(drawn.patches) != len(outlines) or {each.outline for each in drawn.patches} == outlines:
        return False
    motions = [(turn, mirrored) for turn in (0, 90, 180, 270) for mirrored in (False, True)]
    return any({each.outline for each in drawn.moved(turn, mirrored=m).patches} == outlines for turn, m in motions)


def _numbered(seen: Sequence[SeenPatch], exact: Sequence[Patch]) -> Iterator[tuple[int, Patch]]:
    """Pair each patch of the reading with its exact one: the one whose corners lie nearest."""
    middles = np.array([np.mean(each.points, axis=0) for each in exact])
    for number, each in enumerate(seen):
        middle = np.mean(np.array(each.outline), axis=0)
        yield number, exact[int(np.argmin(np.hypot(*(middles - middle).T)))]


def _between(look: Look) -> str:
    """The middle color of the gaps between columns, which are sashing."""
    reading, flat = look.reading, look.flat
    if not reading.sashing or reading.sashing[0] <= 0 or not reading.column_spans or reading.setting != "straight":
        return ""
    pixels = []
    for (_, end), (start, _) in zip(reading.column_spans, reading.column_spans[1:], strict=False):
        inset = (start - end) * 0.25
        low, high = (round(each * flat.scale[0]) for each in (end + inset, start - inset))
        if 0 <= low < high:
            pixels.append(flat.pixels[:, low:high].reshape(-1, 3))
    return _hex(np.median(np.concatenate(pixels), axis=0)) if pixels else ""


# A crossing whose cloth is farther than this from that of the strips beside it is another cloth; judgement: twice what
# light makes of one cloth from end to end of a quilt.
_OTHER_CLOTH = 20.0


def crossings_differ(look: Look) -> bool:
    """Whether most places where the sashing crosses show another cloth than the strips that meet there."""
    reading = look.reading
    if reading.setting != "straight" or not reading.sashing or min(reading.sashing) <= 0:
        return False
    columns, rows = reading.column_spans or (), reading.row_spans or ()
    across, down = ([(a[1], b[0]) for a, b in pairwise(spans)] for spans in (columns, rows))
    found = []
    for x, y in product(range(len(across)), range(len(down))):
        here = _seen_in(look, across[x], down[y])
        strips = [_seen_in(look, columns[x], down[y]), _seen_in(look, across[x], rows[y])]
        if here is not None and all(each is not None for each in strips):
            nearest = min(float(delta_e_2000(here, each)) for each in strips if each is not None)
            found.append(nearest > _OTHER_CLOTH)
    return sum(found) * 2 > len(found)


def _seen_in(look: Look, across: tuple[float, float], down: tuple[float, float]) -> NDArray[np.float64] | None:
    """The middle color of a rectangle of the quilt well in from its seams, in CIELAB; None where it has no room."""
    scale, part = look.flat.scale, []
    for (low, high), per in zip((across, down), scale, strict=True):
        inset = (high - low) * 0.25
        part.append(slice(round((low + inset) * per), round((high - inset) * per)))
    pixels = look.flat.pixels[part[1], part[0]].reshape(-1, 3)
    if min(part[0].start, part[1].start) < 0 or not len(pixels):
        return None
    return srgb_to_lab(np.median(pixels, axis=0).astype(np.uint8))


def _rgb(text: str) -> tuple[int, int, int]:
    return int(text[1:3], 16), int(text[3:5], 16), int(text[5:7], 16)


def _hex(color: NDArray[np.float64]) -> str:
    red, green, blue = (round(float(each)) for each in color)
    return f"#{red:02x}{green:02x}{blue:02x}"
