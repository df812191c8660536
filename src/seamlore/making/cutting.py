"""The cutting list: what is cut from which fabric, how large, how many."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Container, Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from typing import Literal

from seamlore.draft.exact.roots import above
from seamlore.draft.pieces import Piece
from seamlore.lengths import Length, show
from seamlore.making.alike import shapes_of
from seamlore.making.nesting import Nest, nest
from seamlore.making.shapes import Shape, Shaped
from seamlore.making.sizes import cloth_area, cut_size, exact_allowance, mark_up, mitered_size

Lies = Literal["", "along", "across", "leaning"]


@dataclass(frozen=True, slots=True)
class Cut:
    """One line of the cutting list.

    Parameters
    ----------
    fabric : str
        What it is cut from.
    shape : str
        What is sewn from it; triangles come from squares or rectangles.
    size : tuple of Length
        Width and height of what is cut from the strip, the longer first.
    yields : int
        How many patches each gives.
    count : int
        How many are cut.
    needed : int
        How many patches the quilt takes.
    finished : tuple of Length
        The finished patch: as in `Shaped.sides`.
    labels : tuple of str
        Which pieces it serves.
    how : str
        The method in words.
    cloth_sq_in : Fraction
        The cloth that one cut uses, in square inches.
    shaped : Shaped
        The exact shape.
    nest : Nest, optional
        How templates lie side by side in each strip that is cut.
    batch : str
        Which units that are made several at a time it is for; empty for what is sewn patch by patch.
    lies : {"", "along", "across", "leaning"}
        Of a print that runs one way: whether its long side, or the strip in which templates lie, runs along the print or
        across it; "leaning" where it stands aslant in its block. Empty where it may lie either way.
    bias : bool
        Whether no side of it lies on the straight grain, so that its print stands upright.
    """

    fabric: str
    shape: Shape
    size: tuple[Length, Length]
    yields: int
    count: int
    needed: int
    finished: tuple[Length, Length]
    labels: tuple[str, ...]
    how: str
    cloth_sq_in: Fraction
    shaped: Shaped
    nest: Nest | None = None
    batch: str = ""
    lies: Lies = ""
    bias: bool = False

    @property
    def spare(self) -> int:
        """How many patches are left over."""
        return self.count * self.yields - self.needed

    def __str__(self) -> str:
        return f"{self.fabric}: {self.how}"


def cutting_list(
    pieces: Iterable[Piece],
    seam: Length,
    width: Length | None = None,
    *,
    together: Sequence[Cut] = (),
    taken: Mapping[tuple[str, str, str], int] | None = None,
    elsewhere: Container[tuple[str, str, str]] = (),
    margin: Length | None = None,
) -> tuple[Cut, ...]:
    """Make the cutting list of a quilt's pieces, equal cuts together.

    Parameters
    ----------
    pieces : iterable of Piece
        From `draft.pieces`.
    seam : Length
        Seam allowance; its unit decides which marks sizes lie on.
    width : Length, optional
        Usable width of the fabric: how many templates a strip may hold. Each is cut by itself when not given.
    together : sequence of Cut
        What is cut for units that are made several at a time, or as a print stands.
    taken : mapping of (role, fabric, label) to int
        How many pieces units take, which are not cut by themselves.
    elsewhere : container of (role, fabric, label)
        Pieces that others of `together` are cut for.
    margin : Length, optional
        How much wider patches of blocks are cut on every side, for foundations.

    Returns
    -------
    tuple of Cut
        By fabric: those of the blocks by their letters, then setting and borders; the largest cut first.

    Raises
    ------
    PlanError
        When the seam allowance is wider than a patch.

    Examples
    --------
    >>> from seamlore.draft.repeated import repeated
    >>> from seamlore.draft.text.notation import read_block
    >>> from seamlore.draft.pieces import pieces
    >>> from seamlore.lengths import inches
    >>> shoo = read_block("block Shoo Fly\\nA light\\nB dark\\n\\nA/B A A\\\\B\\nA B A\\nA\\\\B A A/B")
    >>> for cut in cutting_list(pieces(repeated("q", shoo, inches(9), inches(9), 2, 2)), inches("1/4")):
    ...     print(cut)
    Fabric A: cut 8 squares of 3 7/8 in, each once on the diagonal: 16 triangles for A1
    Fabric A: cut 16 squares of 3 1/2 in for A2
    Fabric B: cut 8 squares of 3 7/8 in, each once on the diagonal: 16 triangles for B1
    Fabric B: cut 4 squares of 3 1/2 in for B2
    >>> cutting_list([], inches("1/4"))
    ()
    """
    groups: _Groups = defaultdict(list)
    given = tuple(pieces)
    for piece, shaped in zip(given, shapes_of(given), strict=True):
        beyond = margin if on_foundation(piece) else None
        groups[piece.fabric, boxed(shaped) if beyond else shaped, beyond].append(piece)
    order = _fabric_order(groups)
    cuts = [*together]
    for (fabric, shaped, beyond), members in groups.items():
        here = [piece for piece in members if (piece.role, piece.fabric, piece.label) not in elsewhere]
        rest = [left for piece in here if (left := _less(piece, taken or {})).count]
        cuts += [cut_of(fabric, shaped, rest, seam, width, beyond)] if rest else []
    return tuple(sorted(cuts, key=lambda cut: (order[cut.fabric], -cut.size[0].inches * cut.size[1].inches)))


# Pieces by fabric, shape, and how much wider they are cut.
_Groups = dict[tuple[str, Shaped, Length | None], list[Piece]]


def on_foundation(piece: Piece) -> bool:
    """Tell whether a piece belongs to a pieced block, which can be sewn on a foundation."""
    return bool(piece.kind) and piece.role != "plain block"


def boxed(shaped: Shaped) -> Shaped:
    """Give what a shape is cut as for a foundation: what would be cut by template, as the rectangle about it."""
    if shaped.shape != "template":
        return shaped
    one, two = shaped.sides
    return Shaped("square" if one == two else "rectangle", (max(one, two), min(one, two)))


def _less(piece: Piece, taken: Mapping[tuple[str, str, str], int]) -> Piece:
    return replace(piece, count=piece.count - taken.get((piece.role, piece.fabric, piece.label), 0))


def _fabric_order(groups: _Groups) -> dict[str, int]:
    """Kind by kind, places A, B, C in turn, wherever they first stand in the block; then what belongs to no block."""
    kinds = {piece.kind: index for index, piece in reversed(list(enumerate(_all(groups)))) if piece.kind}
    first: dict[str, tuple[bool, int, str, int]] = {}
    for index, ((fabric, *_), members) in enumerate(groups.items()):
        in_block = [(kinds[piece.kind], piece.place) for piece in members if piece.kind]
        key = (not in_block, *min(in_block, default=(0, "")), index)
        first[fabric] = min(first.get(fabric, key), key)
    return {fabric: index for index, fabric in enumerate(sorted(first, key=lambda each: first[each]))}


def _all(groups: _Groups) -> Iterable[Piece]:
    return (piece for members in groups.values() for piece in members)


def cut_of(
    fabric: str,
    shaped: Shaped,
    members: Sequence[Piece],
    seam: Length,
    width: Length | None,
    beyond: Length | None = None,
) -> Cut:
    """Make the line of pieces of one fabric and shape; templates nested in strips no longer than `width`, if it is given."""
    needed = sum(piece.count for piece in members)
    count = -(-needed // shaped.yields)
    size = cut_size(shaped, seam, beyond)
    if shaped.shape == "rectangle" and shaped.outline:
        size = mitered_size(shaped, seam)
    labels = tuple(dict.fromkeys(piece.label for piece in members))
    yields, how = shaped.yields, _how(shaped, size, count, needed, labels)
    laid = _nested(shaped, needed, size, seam, width) if width is not None else None
    if laid is not None and width is not None:
        count = -(-needed // laid.holds(width))
        yields = -(-needed // count)
        size = longer_first(laid.run(yields), laid.depth)
        how = _how_nested(laid, count, yields, labels)
    finished = (Length(above(shaped.sides[0]), seam.unit), Length(above(shaped.sides[1]), seam.unit))
    return Cut(
        fabric,
        shaped.shape,
        size,
        yields,
        count,
        needed,
        finished,
        labels,
        how,
        cloth_area(shaped, size, seam.inches) * (yields if shaped.shape == "template" else 1),
        shaped,
        laid,
    )


def _nested(shaped: Shaped, needed: int, size: tuple[Length, Length], seam: Length, width: Length) -> Nest | None:
    """Tell how a template lies in strips, where that takes less cloth than a box for each."""
    laid = nest(shaped, seam)
    held = laid.holds(width) if laid else 0
    if laid is None or held < 2:
        return None
    boxed = [
        -(-needed // int(width.inches / along.inches)) * depth.inches
        for along, depth in (size, size[::-1])
        if along <= width
    ]
    return laid if not boxed or -(-needed // held) * laid.depth.inches <= min(boxed) else None


def _how(shaped: Shaped, size: tuple[Length, Length], count: int, needed: int, labels: tuple[str, ...]) -> str:
    one, two = size
    square = one == two
    box = f"{show(one)}" if square else f"{show(two, bare=True)} x {show(one)}"
    what = ("square" if square else "rectangle") + "s" * (count != 1)
    serves = listed(labels)
    each = "each " if count > 1 else ""
    match shaped.shape:
        case "half-square triangle":
            return f"cut {count} {what} of {box}, {each}once on the diagonal: {triangles(shaped, count, needed)} for {serves}"
        case "quarter-square triangle":
            return f"cut {count} {what} of {box}, {each}twice on the diagonal: {triangles(shaped, count, needed)} for {serves}"
        case "half-rectangle triangle":
            rises = "from lower left to upper right" if shaped.diagonal == "/" else "from upper left to lower right"
            return (
                f"cut {count} {what} of {box}, long side across, right side up, {each}once on the diagonal {rises}: "
                f"{triangles(shaped, count, needed)} for {serves}"
            )
        case "template":
            return f"cut {count} by template from {what} of {box} for {serves}"
    return f"cut {count} {what} of {box} for {serves}"


def longer_first(one: Length, two: Length) -> tuple[Length, Length]:
    """Put the longer of two sides first."""
    return (one, two) if one >= two else (two, one)


def _how_nested(laid: Nest, count: int, yields: int, labels: tuple[str, ...]) -> str:
    strips = f"{count} strips" if count > 1 else "1 strip"
    box = f"{show(laid.depth, bare=True)} x {show(laid.run(yields))}"
    from_each = "from each" if count > 1 else "from it"
    return f"cut {strips} of {box}; {from_each} {yields}, {laid.how()}, for {listed(labels)}"


def listed(labels: tuple[str, ...]) -> str:
    """Name pieces in a row of words."""
    return " and ".join(labels) if len(labels) < 3 else f"{', '.join(labels[:-1])} and {labels[-1]}"


def triangles(shaped: Shaped, count: int, needed: int) -> str:
    """Say how many triangles come of squares, and how many are over."""
    made = count * shaped.yields
    return f"{made} triangles" + (f", {made - needed} to spare," if made > needed else "")


def rule(shape: Shape, seam: Length) -> Length:
    """The amount to add to a finished side, as a handbook prints it: on a mark, rounded up.

    Parameters
    ----------
    shape : str
        "square", "rectangle", "half-square triangle" or "quarter-square triangle".
    seam : Length
        Seam allowance.

    Examples
    --------
    >>> from seamlore.lengths import inches
    >>> rule("half-square triangle", inches("1/4")), rule("quarter-square triangle", inches("1/4"))
    (Length('7/8 in'), Length('1 1/4 in'))
    >>> rule("square", inches(0))
    Length('0 in')
    """
    exact = exact_allowance(Shaped(shape, (Fraction(1), Fraction(1))), seam.inches)[0]
    return mark_up(exact, seam.unit)
