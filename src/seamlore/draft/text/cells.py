"""One square of a block's grid as a word: taken apart into outlines, and put back into a word.

A word names places and draws the seams between them: ``A``, ``A/B``, ``A\\B``, ``A|B``, ``A-B``, ``AxB``, with
brackets where a part is divided again. Outlines here lie in the square from 0 to 1.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Sequence
from fractions import Fraction
from functools import lru_cache
from itertools import chain

from seamlore.draft.exact.outlines import Corner, Point, whole_numbers
from seamlore.errors import NotationError
from seamlore.limits import BRACKETS_DEEP, LINE, STRIPS

Ring = tuple[Corner, ...]
_ZERO, _ONE = Fraction(0), Fraction(1)
SQUARE: Ring = ((_ZERO, _ZERO), (_ONE, _ZERO), (_ONE, _ONE), (_ZERO, _ONE))
WORD = re.compile(r"[A-Z(.][A-Z0-9x/\\|().-]*")
_LABEL = re.compile(r"[A-Z][0-9]{0,3}")
_SEAMS = "/\\|-x"
_REMEDY = "write a square as A, A/B, A\\B, A|B, A-B, AxB, A1 or with brackets: A/(B\\C)"


@lru_cache(maxsize=4096)
def divide(word: str) -> tuple[int, tuple[tuple[str, tuple[Point, ...]], ...]]:
    """Take a word apart.

    Parameters
    ----------
    word : str
        Such as ``A/(B\\\\C)``.

    Returns
    -------
    scale : int
        Side of the square that the outlines lie in, so that their corners are whole numbers.
    parts : tuple of (str, tuple of corners)
        Label ("A" or "A1") and outline of each part, as the word names them.

    Raises
    ------
    NotationError
        Saying what in the word cannot be read; it carries no line.

    Examples
    --------
    >>> divide("A|B")
    (2, (('A', ((0, 0), (1, 0), (1, 2), (0, 2))), ('B', ((1, 0), (2, 0), (2, 2), (1, 2)))))
    >>> divide("A/B|C")
    Traceback (most recent call last):
        ...
    seamlore.errors.NotationError: "A/B|C": two kinds of seam need brackets to say which comes first; ...
    """
    if len(word) > LINE:
        raise _refuse(word, f"a square's word has at most {LINE} characters")
    parts = _divide(word, SQUARE, word, 0)
    scale, rings = whole_numbers([ring for _, ring in parts])
    return scale, tuple((label, tuple(ring)) for (label, _), ring in zip(parts, rings, strict=True))


def _refuse(whole: str, why: str) -> NotationError:
    shown = whole if len(whole) <= 40 else whole[:37] + "..."
    return NotationError(f'"{shown}"', why, _REMEDY)


def _divide(word: str, ring: Ring, whole: str, depth: int) -> list[tuple[str, Ring]]:
    if depth > BRACKETS_DEEP:
        raise _refuse(whole, f"brackets may stand {BRACKETS_DEEP} deep")
    parts, seams = _top_level(word, whole)
    if not seams:
        if word.startswith("(") and word.endswith(")"):
            return _divide(word[1:-1], ring, whole, depth + 1)
        if not _LABEL.fullmatch(word):
            raise _refuse(whole, f'"{word[:40]}" is not a place' if word else "a part has no place")
        return [(word, ring)]
    if len(set(seams)) > 1:
        raise _refuse(whole, "two kinds of seam need brackets to say which comes first")
    if seams[0] in "/\\" and len(seams) > 1:
        raise _refuse(whole, "one diagonal seam divides a part in two")
    if len(parts) > STRIPS:
        raise _refuse(whole, f"a part is divided into at most {STRIPS} strips")
    if seams[0] == "x":
        if len(parts) not in (2, 4):
            raise _refuse(whole, "crossing seams make four parts: give two places or four")
        parts = parts * (4 // len(parts))
    pieces = []
    for part, outline in zip(parts, cut(ring, seams[0], len(parts)), strict=True):
        if not outline:
            raise _refuse(whole, "that seam does not cross the part that it should divide")
        pieces += _divide(part, outline, whole, depth + 1)
    return pieces


def _top_level(word: str, whole: str) -> tuple[list[str], list[str]]:
    """The parts of a word between its outermost seams, and those seams."""
    parts, seams, start, depth = [], [], 0, 0
    for at, sign in enumerate(word):
        depth += (sign == "(") - (sign == ")")
        if depth < 0:
            raise _refuse(whole, "a bracket is closed that was not opened")
        if depth == 0 and sign in _SEAMS:
            parts.append(word[start:at])
            seams.append(sign)
            start = at + 1
    if depth:
        raise _refuse(whole, "a bracket is not closed")
    return [*parts, word[start:]], seams


@lru_cache(maxsize=4096)
def cut(ring: Ring, seam: str, count: int) -> list[Ring]:
    """Divide a convex outline by seams of one kind.

    Parameters
    ----------
    ring : tuple of corners
        Convex, clockwise.
    seam : {"/", "\\\\", "|", "-", "x"}
        How the seams run; diagonals run through the corners of the outline's box.
    count : int
        Into how many parts.

    Returns
    -------
    list of tuple of corners
        In the order in which a word names them: left or top first; for "x" top, right, bottom, left. A part
        that the seams leave nothing of is empty.

    Examples
    --------
    >>> upper, lower = cut(SQUARE, "/", 2)
    >>> [(str(x), str(y)) for x, y in upper]
    [('0', '0'), ('1', '0'), ('0', '1')]
    >>> cut(upper, "/", 2)[1]
    ()
    """
    xs, ys = [x for x, _ in ring], [y for _, y in ring]
    left, right, top, bottom = min(xs), max(xs), min(ys), max(ys)
    if seam == "/":
        return [clip(ring, (left, bottom), (right, top)), clip(ring, (right, top), (left, bottom))]
    if seam == "\\":
        return [clip(ring, (right, bottom), (left, top)), clip(ring, (left, top), (right, bottom))]
    if seam == "x":
        upper, lower = cut(ring, "/", 2)
        if not upper or not lower:
            return [(), (), (), ()]
        # Both diagonals are those of the whole outline, so that the four parts meet in its middle.
        falling, back = ((left, top), (right, bottom)), ((right, bottom), (left, top))
        return [clip(upper, *falling), clip(lower, *falling), clip(lower, *back), clip(upper, *back)]
    parts = []
    for index in range(count):
        low, high = Fraction(index, count), Fraction(index + 1, count)
        if seam == "|":
            x0, x1 = left + (right - left) * low, left + (right - left) * high
            part = clip(clip(ring, (x0, top), (x0, bottom)), (x1, bottom), (x1, top))
        else:
            y0, y1 = top + (bottom - top) * low, top + (bottom - top) * high
            part = clip(clip(ring, (right, y0), (left, y0)), (left, y1), (right, y1))
        parts.append(part)
    return parts


def clip(ring: Ring, start: Corner, end: Corner) -> Ring:
    """Keep what lies left of the line from start to end, as one looks along it.

    Examples
    --------
    >>> [(str(x), str(y)) for x, y in clip(SQUARE, (Fraction(1, 2), _ONE), (Fraction(1, 2), _ZERO))]
    [('0', '0'), ('1/2', '0'), ('1/2', '1'), ('0', '1')]
    >>> clip(SQUARE, (_ZERO, _ONE), (_ZERO, _ZERO))
    ()
    """
    dx, dy = end[0] - start[0], end[1] - start[1]
    side = [dx * (y - start[1]) - dy * (x - start[0]) for x, y in ring]
    if all(here <= 0 for here in side):
        return ring if any(side) else ()
    kept: list[Corner] = []
    for index, (corner, here) in enumerate(zip(ring, side, strict=True)):
        nxt, there = ring[(index + 1) % len(ring)], side[(index + 1) % len(ring)]
        if here <= 0:
            kept.append(corner)
        if here * there < 0:
            share = here / (here - there)
            kept.append((corner[0] + share * (nxt[0] - corner[0]), corner[1] + share * (nxt[1] - corner[1])))
    return tuple(kept) if len(set(kept)) >= 3 else ()


Signed = list[str | int]


def word_for(pieces: Sequence[tuple[int, Ring]], same_place: Callable[[int, int], bool]) -> Signed | None:
    """Find the word that divides the square from 0 to 1 into given pieces.

    Parameters
    ----------
    pieces : sequence of (int, tuple of corners)
        A number for each piece, and its outline.
    same_place : callable
        Whether two pieces would be written alike, for the short form of ``AxBxAxB``.

    Returns
    -------
    list of str and int, or None
        Signs and piece numbers in the order in which they are written; None when no word does it.

    Examples
    --------
    >>> word_for([(7, cut(SQUARE, "/", 2)[1]), (3, cut(SQUARE, "/", 2)[0])], lambda one, two: False)
    [3, '/', 7]
    >>> word_for([(7, cut(SQUARE, "/", 2)[1])], lambda one, two: False) is None
    True
    """
    floats = [(index, ring, tuple((float(x), float(y)) for x, y in ring)) for index, ring in pieces]
    return _word(SQUARE, tuple(floats), same_place, 0)


# A piece of a square: its number, its outline, and the same as floats.
_Seen = tuple[int, Ring, tuple[tuple[float, float], ...]]


def _word(ring: Ring, pieces: tuple[_Seen, ...], same: Callable[[int, int], bool], depth: int) -> Signed | None:
    if len(pieces) == 1:
        return [pieces[0][0]] if _corners(pieces[0][1]) == _corners(ring) else None
    if not pieces or depth > BRACKETS_DEEP:
        return None
    for seam, count in _ways(ring, pieces):
        parts = cut(ring, seam, count)
        within = [tuple(each for each in pieces if part and _holds(part, each[2])) for part in parts]
        if sum(map(len, within)) != len(pieces) or not all(within):
            continue
        words = [_word(part, inner, same, depth + 1) for part, inner in zip(parts, within, strict=True)]
        found = [word for word in words if word is not None]
        if len(found) != len(parts):
            continue
        if seam == "x" and all(len(word) == 1 for word in found):
            top, right, bottom, left = (word[0] for word in found)
            if same(int(top), int(bottom)) and same(int(right), int(left)):
                found = found[:2]
        bracketed = [word if len(word) == 1 else ["(", *word, ")"] for word in found]
        return list(chain.from_iterable([seam, *word] for word in bracketed))[1:]
    return None


def _ways(ring: Ring, pieces: tuple[_Seen, ...]) -> list[tuple[str, int]]:
    """The seams that may divide an outline into these pieces, in the order in which they read best."""
    ways = [("x", 4)] if len(pieces) >= 4 else []
    for seam, axis in (("|", 0), ("-", 1)):
        low, high = (float(bound(corner[axis] for corner in ring)) for bound in (min, max))
        # Every seam between strips is the first side of some piece.
        first = {round((min(corner[axis] for corner in part) - low) / (high - low), 9) for _, _, part in pieces}
        ways += [
            (seam, count)
            for count in range(min(len(pieces), STRIPS), 1, -1)
            if all(round(index / count, 9) in first for index in range(count))
        ]
    return [*ways, ("/", 2), ("\\", 2)]


def _holds(whole: Ring, part: tuple[tuple[float, float], ...]) -> bool:
    """Whether a convex outline holds every corner of another, to within rounding; `_corners` decides exactly."""
    return all(dx * (y - y0) - dy * (x - x0) >= -1e-9 for x0, y0, dx, dy in _sides(whole) for x, y in part)


@lru_cache(maxsize=4096)
def _sides(ring: Ring) -> tuple[tuple[float, float, float, float], ...]:
    return tuple(
        (float(a[0]), float(a[1]), float(b[0] - a[0]), float(b[1] - a[1]))
        for a, b in zip(ring, ring[1:] + ring[:1], strict=True)
    )


@lru_cache(maxsize=4096)
def _corners(ring: Ring) -> frozenset[Corner]:
    """The corners of a convex outline that its sides turn at; enough to tell two apart."""
    return frozenset(
        corner
        for before, corner, after in zip(ring[-1:] + ring[:-1], ring, ring[1:] + ring[:1], strict=True)
        if (corner[0] - before[0]) * (after[1] - corner[1]) != (corner[1] - before[1]) * (after[0] - corner[0])
    )
