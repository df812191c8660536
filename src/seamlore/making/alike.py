"""Pieces that are cut alike: what sewing eases into one size is one kind, and like templates lie alike in their strips."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence
from math import hypot

from seamlore.draft.exact.roots import Exact, absolute
from seamlore.draft.pieces import Piece
from seamlore.making.shapes import EASED, Shaped, one_of, shape_of

# Lengths of the sides of an outline and of what spans every second corner, in order: alike for what differs by a turn.
_Spans = tuple[float, ...]


def shapes_of(pieces: Sequence[Piece]) -> list[Shaped]:
    """Tell how each piece is cut, so that as few kinds as can be are cut.

    Parameters
    ----------
    pieces : sequence of Piece

    Returns
    -------
    list of Shaped
        One for each piece. Of sizes of one fabric that sewing eases into one, that on a mark of the ruler is cut,
        else the largest; templates of one outline, however they are turned in the quilt, lie as the one does that
        has a side on the straight grain.

    Examples
    --------
    >>> from fractions import Fraction
    >>> square = lambda side: tuple((Fraction(x) * side, Fraction(y) * side) for x, y in ((0, 0), (1, 0), (1, 1), (0, 1)))
    >>> eased = [Piece("border", "A", square(Fraction(side)), 4, "A1") for side in ("3", "3.004", "3.1")]
    >>> [str(each.sides[0]) for each in shapes_of(eased)]
    ['3', '3', '31/10']
    """
    shapes = [_for_cutting(piece) for piece in pieces]
    _lay_alike(pieces, shapes)
    _ease(pieces, shapes)
    return shapes


def _for_cutting(piece: Piece) -> Shaped:
    shaped = shape_of(piece.outline)
    if piece.role == "border" and not piece.kind and shaped.shape == "template":
        # A mitered border is cut as a straight strip, out to its points; the miter is cut once it is sewn.
        width, height = piece.box
        return Shaped("rectangle", (max(width, height), min(width, height)), "", piece.outline)
    return shaped


def _ease(pieces: Sequence[Piece], shapes: list[Shaped]) -> None:
    kinds: dict[tuple[str, str, str], list[int]] = defaultdict(list)
    for index, (piece, shaped) in enumerate(zip(pieces, shapes, strict=True)):
        if shaped.shape != "template" and not shaped.outline:
            kinds[piece.fabric, shaped.shape, shaped.diagonal].append(index)
    for members in kinds.values():
        together: list[list[int]] = []
        for index in sorted(members, key=lambda each: shapes[each].sides):
            found = next((each for each in together if _within(shapes[each[0]].sides, shapes[index].sides)), None)
            together.append([index]) if found is None else found.append(index)
        for group in together:
            one = tuple(one_of(*(shapes[index].sides[at] for index in group)) for at in (0, 1))
            for index in group:
                shapes[index] = Shaped(shapes[index].shape, (one[0], one[1]), shapes[index].diagonal)


def _within(one: tuple[Exact, Exact], two: tuple[Exact, Exact]) -> bool:
    return all(absolute(a - b) < EASED for a, b in zip(one, two, strict=True))


def _lay_alike(pieces: Sequence[Piece], shapes: list[Shaped]) -> None:
    known: list[tuple[_Spans, Shaped]] = []
    templates = [index for index, shaped in enumerate(shapes) if shaped.shape == "template"]
    # Those that lie on the grain in the quilt come first, and the others follow them.
    for index in sorted(templates, key=lambda each: not _on_grain(pieces[each])):
        spans = _spans(shapes[index])
        found = next((shaped for other, shaped in known if _same(spans, other)), None)
        if found is None:
            known.append((spans, shapes[index]))
        else:
            shapes[index] = found


def _on_grain(piece: Piece) -> bool:
    ring = piece.outline
    return any(a[0] == b[0] or a[1] == b[1] for a, b in zip(ring, (*ring[1:], ring[0]), strict=True))


def _spans(shaped: Shaped) -> _Spans:
    ring = [(float(x), float(y)) for x, y in shaped.outline]
    count = len(ring)
    return tuple(
        hypot(ring[(index + over) % count][0] - x, ring[(index + over) % count][1] - y)
        for index, (x, y) in enumerate(ring)
        for over in (1, 2)
    )


def _same(one: _Spans, two: _Spans) -> bool:
    # A mirror image has the same sides in the other order, and is not the same: cloth has a right side.
    if len(one) != len(two):
        return False
    turns = range(0, len(one), 2)
    return any(all(abs(a - b) < 1e-6 for a, b in zip(one, two[turn:] + two[:turn], strict=True)) for turn in turns)
