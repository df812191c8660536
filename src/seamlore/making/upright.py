"""What is cut of a print that runs one way, so that it stands upright in the quilt: every piece as it stands there.

A square cut from corner to corner gives two triangles that stand turned about; so of triangles that stand one way only, every
second one is over. A template is cut as it stands, a strip of them across the print or along it.
"""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from typing import Literal

from seamlore.draft.block import Corner, patch
from seamlore.draft.groups import canonical
from seamlore.draft.pieces import Piece
from seamlore.fabric.stash import Print
from seamlore.lengths import Length, show
from seamlore.making.alike import shapes_of
from seamlore.making.cutting import Cut, Lies, boxed, cut_of, listed, longer_first, on_foundation, triangles
from seamlore.making.nesting import Nest, nest
from seamlore.making.shapes import Shaped
from seamlore.making.sizes import cut_size, exact_allowance
from seamlore.making.units import Found, PatchKey, SewnUnit

Ring = tuple[Corner, ...]
# Corners of a box, right and bottom or not; and its sides.
_Corner = tuple[bool, bool]
_RISING: tuple[_Corner, ...] = ((False, False), (True, True))
LIES = {"along": "long side along the print", "across": "long side across the print"}
_RISES = {"/": "from lower left to upper right", "\\": "from upper left to lower right"}


def stands(prints: Sequence[Print], fabric: str, label: str) -> bool:
    """Tell whether a piece must stand as it does in the quilt: its print runs one way, or it is cut around motifs.

    Examples
    --------
    >>> one_way, motif = Print("Red", True), Print("Blue", False, None, ("A1",))
    >>> [stands([one_way, motif], *of) for of in (("red", "A9"), ("Blue", "A1"), ("Blue", "A2"), ("Gray", "A1"))]
    [True, True, False, False]
    """
    of = [each for each in prints if each.fabric.casefold() == fabric.casefold()]
    return any(each.one_way or label in each.labels for each in of)


def singly(found: Mapping[SewnUnit, Found], prints: Sequence[Print]) -> Mapping[SewnUnit, Found]:
    """Leave out units in which a piece must stand as it does: made several at a time, half of them are turned about."""
    return {
        unit: each
        for unit, each in found.items()
        if not any(stands(prints, fabric, label) for _, fabric, label in each.patches)
    }


def upright_cuts(
    standing: Iterable[Piece],
    pieces: Sequence[Piece],
    prints: Sequence[Print],
    seam: Length,
    width: Length,
    margin: Length | None = None,
) -> tuple[tuple[Cut, ...], frozenset[PatchKey]]:
    """Make the cutting list of what must stand as it does in the quilt.

    Parameters
    ----------
    standing, pieces : iterable of Piece
        From `draft.pieces`: as they stand, and as they are cut otherwise.
    prints : sequence of Print
    seam, width : Length
        Seam allowance, and usable width of the fabric.
    margin : Length, optional
        How much wider patches of blocks are cut on every side, for foundations.

    Returns
    -------
    tuple of Cut, frozenset of (role, fabric, label)
        The lines, and which pieces they are for.

    Examples
    --------
    Of triangles that all stand one way, every second one is over.

    >>> from seamlore.draft.pieces import pieces, standing
    >>> from seamlore.draft.repeated import repeated
    >>> from seamlore.draft.text.notation import read_block
    >>> from seamlore.lengths import inches
    >>> half = read_block("block Half\\nA dark\\nB light\\n\\nA/B")
    >>> quilt = repeated("q", half, inches(8), inches(8), 2, 3)
    >>> one_way = [Print("Fabric A", True)]
    >>> for cut in upright_cuts(standing(quilt), pieces(quilt), one_way, inches("1/4"), inches(42))[0]:
    ...     print(cut.how)
    cut 6 squares of 8 7/8 in, print upright, each once on the diagonal from lower left to upper right: 12 triangles, 6 to spare, for A1
    >>> upright_cuts(standing(quilt), pieces(quilt), [], inches("1/4"), inches(42))
    ((), frozenset())
    """
    shapes = {
        (piece.fabric, piece.label, piece.outline): shaped
        for piece, shaped in zip(pieces, shapes_of(pieces), strict=True)
    }
    around = {(each.fabric.casefold(), label) for each in prints for label in each.labels}
    groups: dict[tuple[str, Shaped, str, Length | None], list[Piece]] = defaultdict(list)
    for piece in standing:
        if stands(prints, piece.fabric, piece.label):
            shaped = shapes[piece.fabric, piece.label, canonical(piece.outline)]
            # What is cut around motifs is a line of its own.
            motif = piece.label if (piece.fabric.casefold(), piece.label) in around else ""
            groups[piece.fabric, shaped, motif, margin if on_foundation(piece) else None].append(piece)
    cuts = [
        cut
        for (fabric, shaped, _, beyond), members in groups.items()
        for cut in _cuts(fabric, shaped, members, seam, width, beyond)
    ]
    done = frozenset((each.role, each.fabric, each.label) for members in groups.values() for each in members)
    return tuple(cuts), done


def _cuts(
    fabric: str, shaped: Shaped, members: Sequence[Piece], seam: Length, width: Length, beyond: Length | None
) -> Iterable[Cut]:
    if shaped.shape == "template":
        yield from _templates(fabric, shaped, members, seam, width, beyond)
        return
    ways: dict[tuple[Lies, Literal["", "/", "\\"]], list[Piece]] = defaultdict(list)
    for piece in members:
        ways[_way(shaped, piece.outline)].append(piece)
    for (lies, diagonal), those in sorted(ways.items()):
        cut = replace(cut_of(fabric, shaped, those, seam, None, beyond), lies=lies)
        if lies == "leaning":
            yield replace(cut, how=f"{cut.how}, its print leaning")
        elif shaped.shape == "rectangle":
            yield replace(cut, how=_before_for(cut.how, cut.labels, LIES[lies]) if lies else cut.how)
        elif shaped.shape == "square":
            yield replace(cut, lies="")
        else:
            yield _triangles_upright(cut, those, diagonal)


def _triangles_upright(cut: Cut, those: Sequence[Piece], diagonal: Literal["", "/", "\\"]) -> Cut:
    """Of each way in which they stand, a square gives one: as many squares as the commonest way takes."""
    standing: Counter[object] = Counter()
    for piece in those:
        standing[_long_side(piece.outline) if not diagonal else _missing(piece.outline)] += piece.count
    count = max(standing.values())
    what = ("square" if cut.size[0] == cut.size[1] else "rectangle") + "s" * (count != 1)
    box = show(cut.size[0]) if cut.size[0] == cut.size[1] else f"{show(cut.size[1], bare=True)} x {show(cut.size[0])}"
    lies = f", {LIES[cut.lies]}" if cut.shape == "half-rectangle triangle" else ""
    often = f"once on the diagonal {_RISES[diagonal]}" if diagonal else "twice on the diagonal"
    how = (
        f"cut {count} {what} of {box}, print upright{lies}, {'each ' * (count > 1)}{often}: "
        f"{triangles(cut.shaped, count, cut.needed)} for {listed(cut.labels)}"
    )
    shaped = cut.shaped
    if cut.shape == "half-square triangle":
        shaped = replace(shaped, diagonal=diagonal)
    lies_so: Lies = cut.lies if cut.shape == "half-rectangle triangle" else ""
    return replace(cut, count=count, how=how, shaped=shaped, lies=lies_so)


def _way(shaped: Shaped, ring: Ring) -> tuple[Lies, Literal["", "/", "\\"]]:
    """How a piece that is no template lies as it stands, and which way its square is cut from corner to corner."""
    wide, high = _box(ring)
    lies: Lies = "along" if high > wide else "across" if wide > high else ""
    match shaped.shape:
        case "square" | "rectangle":
            return (lies, "") if len(_reached(ring)) == 4 or shaped.outline else ("leaning", "")
        case "quarter-square triangle":
            return ("", "") if _long_side(ring) else ("leaning", "")
    missing = _missing(ring)
    return ("leaning", "") if missing is None else (lies, "/" if missing in _RISING else "\\")


def _box(ring: Ring) -> tuple[float, float]:
    xs, ys = [float(x) for x, _ in ring], [float(y) for _, y in ring]
    wide, high = max(xs) - min(xs), max(ys) - min(ys)
    # What is square but for a hair is square.
    return (wide, wide) if abs(wide - high) < 1e-6 else (wide, high)


def _reached(ring: Ring) -> set[_Corner]:
    """Which corners of its box an outline reaches; it begins at 0, 0."""
    wide, high = max(float(x) for x, _ in ring), max(float(y) for _, y in ring)
    found = set()
    for x, y in ring:
        level, upright = (
            abs(float(at)) < 1e-6 or abs(float(at) - most) < 1e-6 for at, most in ((x, wide), (y, high))
        )
        if level and upright:
            found.add((float(x) > wide / 2, float(y) > high / 2))
    return found


def _missing(ring: Ring) -> _Corner | None:
    """The corner of its box across from the right angle of a triangle with its legs along the box."""
    left = {(right, low) for right in (False, True) for low in (False, True)} - _reached(ring)
    return left.pop() if len(left) == 1 else None


def _long_side(ring: Ring) -> frozenset[_Corner] | None:
    """The side of its box that a triangle has for its long side."""
    reached = frozenset(_reached(ring))
    return (
        reached if len(reached) == 2 and len({right for right, _ in reached} & {low for _, low in reached}) else None
    )


def _templates(
    fabric: str, shaped: Shaped, members: Sequence[Piece], seam: Length, width: Length, beyond: Length | None
) -> Iterable[Cut]:
    """Templates as they stand, those turned about together: nested in strips where that takes less, else one by one.

    For foundations each is the rectangle about it.
    """
    alike: dict[Ring, dict[Ring, list[Piece]]] = defaultdict(lambda: defaultdict(list))
    for piece in members:
        alike[min(piece.outline, _turned(piece.outline, 2))][piece.outline].append(piece)
    single: dict[tuple[tuple[Length, Length], Lies, bool], list[Piece]] = defaultdict(list)
    for ring, ways in alike.items():
        counts = sorted((sum(piece.count for piece in each) for each in ways.values()), reverse=True)
        those = [piece for each in ways.values() for piece in each]
        here = _shape(ring)
        # In a strip every second one is turned about: as many of either way as the commoner takes.
        symmetric = _turned(ring, 2) == ring
        spots = counts[0] if symmetric else max(sum(counts), 2 * counts[0] - 1)
        size, lies = _single(here, seam, beyond)
        found = _nest(here, ring, spots, seam, width) if beyond is None else None
        if found is None or _single_takes(size, lies, sum(counts), width) < found.takes:
            single[size, lies, not _on_grain(ring)] += those
        else:
            yield _nested_cut(cut_of(fabric, shaped, those, seam, None), found, spots)
    for (size, lies, bias), those in single.items():
        cut = cut_of(fabric, shaped, those, seam, None)
        box = show(size[0]) if size[0] == size[1] else f"{show(size[1], bare=True)} x {show(size[0])}"
        what = ("square" if size[0] == size[1] else "rectangle") + "s" * (cut.count != 1)
        said = [*([LIES[lies]] if lies else []), *(["no side on the straight grain"] if bias else [])]
        by = f"by template from {what}" if beyond is None else what
        how = f"cut {cut.count} {by} of {box}, print upright, {', '.join([*said, ''])}for {listed(cut.labels)}"
        yield replace(cut, size=size, how=how, lies=lies, bias=bias)


def _shape(ring: Ring) -> Shaped:
    return Shaped("template", (max(x for x, _ in ring), max(y for _, y in ring)), "", ring)


def _turned(ring: Ring, quarters: int) -> Ring:
    """Turn an outline to the right by quarters, its box again beginning at 0, 0."""
    for _ in range(quarters):
        ring = tuple((-y, x) for x, y in ring)
    left, top = min(x for x, _ in ring), min(y for _, y in ring)
    return patch([(x - left, y - top) for x, y in ring], "A").outline


def _on_grain(ring: Ring) -> bool:
    return any(
        min(abs(float(a[0] - b[0])), abs(float(a[1] - b[1]))) < 1e-6
        for a, b in zip(ring, (*ring[1:], ring[0]), strict=True)
    )


def _single(here: Shaped, seam: Length, beyond: Length | None) -> tuple[tuple[Length, Length], Lies]:
    """The rectangle that one template is cut from, and how it lies."""
    if beyond is not None:
        size = cut_size(boxed(here), seam, beyond)
        return size, "" if size[0] == size[1] else "along" if here.sides[1] > here.sides[0] else "across"
    size = cut_size(here, seam)
    wide, high = (side + more for side, more in zip(here.sides, exact_allowance(here, seam.inches), strict=True))
    return size, "" if size[0] == size[1] else "along" if high > wide else "across"


def _single_takes(size: tuple[Length, Length], lies: Lies, count: int, width: Length) -> Fraction:
    across, along = size if lies == "across" else size[::-1]
    held = int(width.inches / across.inches)
    return Fraction(-(-count // held)) * along.inches if held else Fraction(10**9)


@dataclass(frozen=True, slots=True)
class _Strip:
    """How templates lie in strips as they stand: how many in each, and how much fabric the strips take."""

    laid: Nest
    lies: Lies
    held: int
    takes: Fraction


def _nest(here: Shaped, ring: Ring, spots: int, seam: Length, width: Length) -> _Strip | None:
    found: list[_Strip] = []
    across, along = nest(here, seam), nest(_shape(_turned(ring, 1)), seam)
    if across is not None and (held := across.holds(width)) > 1:
        found.append(_Strip(across, "across", held, -(-spots // held) * across.depth.inches))
    if along is not None:
        # Strips along the print stand side by side, and may be short.
        beside = int(width.inches / along.depth.inches)
        for held in range(2, along.holds(width) + 1 if beside else 0):
            strips = -(-spots // held)
            rows = -(-strips // beside)
            found.append(_Strip(along, "along", held, rows * along.run(held).inches))
    return min(found, key=lambda each: each.takes) if found else None


def _nested_cut(cut: Cut, strip: _Strip, spots: int) -> Cut:
    laid, count = strip.laid, -(-spots // strip.held)
    yields = -(-spots // count)
    strips = f"{count} strips" if count > 1 else "1 strip"
    box = f"{show(laid.depth, bare=True)} x {show(laid.run(yields))}"
    over = count * yields - cut.needed
    # The slants are told for a strip that lies across before her.
    lying = ", the strip laid across before you with the top of its print to the right"
    how = (
        f"cut {strips} of {box}, {strip.lies} the print; from {'each' if count > 1 else 'it'} {yields}, {laid.how()}"
        f"{lying if strip.lies == 'along' else ''}{f', {over} to spare' if over else ''}, for {listed(cut.labels)}"
    )
    size = longer_first(laid.run(yields), laid.depth)
    area = cut.cloth_sq_in * yields
    return replace(cut, size=size, yields=yields, count=count, how=how, nest=laid, lies=strip.lies, cloth_sq_in=area)


def _before_for(how: str, labels: tuple[str, ...], words: str) -> str:
    ending = f" for {listed(labels)}"
    return f"{how.removesuffix(ending)}, {words},{ending}"
