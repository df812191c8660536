"""The text in which a block is written: a picture made of letters.

A block is drawn row by row, each square of its grid as one word::

    block Shoo Fly
    A light
    B dark

    A/B  A  B\\A
    A    B  A
    A\\B  A  B/A

A letter is a whole square of that place. A seam is drawn as it runs: ``A/B`` and ``A\\B`` are half-square
triangles, ``A|B`` strips side by side, ``A-B`` strips one under the other, any number of them; ``AxB`` is
quarter-square triangles: A at top and bottom, B at the sides (``AxBxCxD``: top, right, bottom, left).
Brackets divide a part again: ``A/(B\\C)``. A letter with a number, ``A1``, is one patch however many squares it runs through. ``.`` leaves a square to the lines that begin with ``patch``, which give
corners: ``patch A 0,0 3,0 1.5,3``. `docs/notation.md` has it all with examples.
"""

from __future__ import annotations

import re
from collections import defaultdict
from collections.abc import Iterable, Sequence
from fractions import Fraction
from itertools import pairwise
from math import gcd, lcm

from seamlore.draft.block import Block, Corner, Patch, Place, block, patch
from seamlore.errors import NotationError, nearest

_PLACE_LINE = re.compile(r"([A-Z])\s+(light|medium|dark)(\s+scrappy)?\s*\Z")
_CELL_START = re.compile(r"[A-Z(.]")
_WORDS = ("block", "also", "family", "note", "divisions", "columns", "rows", "patch")
_MOST_DIVISIONS = 64

Ring = tuple[Corner, ...]
_Piece = tuple[str, Ring]  # a label such as "A" or "A1", and its outline in grid units


def read_block(text: str, *, source: str = "") -> Block:
    """Read a block from its text.

    Parameters
    ----------
    text : str
        The lines of a block file.
    source : str
        The file's name, for messages.

    Returns
    -------
    Block

    Raises
    ------
    NotationError
        Naming the line, what stands there, and what to do.
    ShapeError
        When the patches do not cover the block.

    Examples
    --------
    >>> four = read_block("block Four Patch\\nA dark\\nB light\\n\\nA B\\nB A")
    >>> four.divisions, len(four.patches)
    (2, 4)
    >>> read_block("block Odd\\nA dark\\n\\nA A\\nA")
    Traceback (most recent call last):
        ...
    seamlore.errors.NotationError: line 5: 1 square in this row: the first row has 2; ...
    """
    return _Reader(source).read(text)


class _Reader:
    """One reading of one text: what its lines said so far."""

    def __init__(self, source: str) -> None:
        self.source = f"{source}, " if source else ""
        self.heads: dict[str, str] = {}
        self.notes: list[str] = []
        self.places: dict[str, Place] = {}
        self.grid: list[tuple[int, list[str]]] = []
        self.free: list[tuple[int, str, list[Corner]]] = []

    def refuse(self, line: int, given: str, limit: str, remedy: str) -> NotationError:
        return NotationError(given, limit, remedy, where=f"{self.source}line {line}")

    def read(self, text: str) -> Block:
        last = 1
        for number, raw in enumerate(text.splitlines(), start=1):
            line = raw.partition("#")[0].strip()
            if line:
                last = number
                self._line(number, line)
        if "block" not in self.heads:
            raise self.refuse(1, "no line that begins with block", "a block has a name", "begin with: block Its Name")
        if not self.grid and not self.free:
            raise self.refuse(last, "no squares", "a block is drawn row by row", "draw it below the heading lines")
        columns, rows = self._axes(last)
        pieces = self._squares(columns, rows)
        scale_x, scale_y = sum(columns), sum(rows)
        patches = [
            patch([(x / scale_x, y / scale_y) for x, y in ring], label[0]) for label, ring in _joined(pieces, self)
        ]
        patches += [patch([(x / scale_x, y / scale_y) for x, y in ring], place) for _, place, ring in self.free]
        named = self.heads["block"]
        also = tuple(name.strip() for name in self.heads.get("also", "").split(",") if name.strip())
        return block(
            named,
            self._divisions(columns, rows, last),
            patches,
            self.places,
            also=also,
            family=self.heads.get("family", ""),
            notes=tuple(self.notes),
        )

    def _line(self, number: int, line: str) -> None:
        word, _, rest = line.partition(" ")
        rest = rest.strip()
        if found := _PLACE_LINE.match(line):
            if found[1] in self.places:
                raise self.refuse(
                    number, f"place {found[1]} again", "each place has one line", "remove one of the two"
                )
            self.places[found[1]] = Place(found[2], bool(found[3]))  # type: ignore[arg-type]
        elif word == "patch":
            self._free_patch(number, rest)
        elif word == "note":
            self.notes.append(rest)
        elif word in _WORDS:
            if word in self.heads:
                raise self.refuse(number, f"{word} again", "it is said once", "remove one of the two lines")
            if not rest:
                raise self.refuse(
                    number, f"{word} with nothing after it", f"{word} says something", "finish the line"
                )
            self.heads[word] = rest
        elif _CELL_START.match(line) and not re.match(r"[A-Z][a-wyz]|[A-Z] [a-z]", line):
            cells = line.split()
            if self.grid and len(cells) != len(self.grid[0][1]):
                count = f"{len(cells)} square{'s' * (len(cells) != 1)} in this row"
                raise self.refuse(
                    number,
                    count,
                    f"the first row has {len(self.grid[0][1])}",
                    "give every row as many squares",
                )
            self.grid.append((number, cells))
        elif re.match(r"[A-Z]\s", line):
            raise self.refuse(
                number,
                f'"{line}"',
                "a place is light, medium or dark, and may be scrappy",
                "write it as: A dark",
            )
        else:
            raise self.refuse(
                number, f'"{word}"', "a line begins with a known word or draws a row", nearest(word, _WORDS)
            )

    def _numbers(self, number: int, text: str) -> list[Fraction]:
        return [self._number(number, word) for word in text.split()]

    def _number(self, number: int, word: str) -> Fraction:
        try:
            whole, _, part = word.partition("-")
            value = Fraction(whole) + (Fraction(part) if part else 0)
        except (ValueError, ZeroDivisionError):
            raise self.refuse(number, f'"{word}"', "a number is written 2, 1.5, 3/2 or 1-1/2", "mend it") from None
        return value

    def _free_patch(self, number: int, rest: str) -> None:
        place, *words = rest.split()[:1] + rest.split()[1:] if rest else [""]
        if not re.fullmatch(r"[A-Z]", place):
            raise self.refuse(
                number, f'"{place}"', "a patch begins with its place, A to Z", "write: patch A 0,0 1,0 1,1"
            )
        ring: list[Corner] = []
        for word in words:
            x, comma, y = word.partition(",")
            if not comma:
                raise self.refuse(number, f'"{word}"', "a corner is x,y", "write it as 1,0.5")
            ring.append((self._number(number, x), self._number(number, y)))
        if len(ring) < 3:
            raise self.refuse(
                number, f"{len(ring)} corners", "a patch has at least 3", "give all its corners in order"
            )
        self.free.append((number, place, ring))

    def _axes(self, last: int) -> tuple[list[Fraction], list[Fraction]]:
        """Widths of the columns and heights of the rows, in grid units."""
        count = len(self.grid[0][1]) if self.grid else 0
        axes: list[list[Fraction]] = []
        for word, squares in (("columns", count), ("rows", len(self.grid))):
            if word in self.heads:
                widths = self._numbers(last, self.heads[word])
                if any(width <= 0 for width in widths):
                    raise self.refuse(last, f"{word} {self.heads[word]}", "each is more than 0", "mend that line")
                if squares and len(widths) != squares:
                    raise self.refuse(
                        last,
                        f"{len(widths)} {word}",
                        f"{squares} are drawn",
                        f"give {squares} numbers after {word}",
                    )
                axes.append(widths)
            elif squares:
                axes.append([Fraction(1)] * squares)
            elif "divisions" in self.heads:
                axes.append([Fraction(1)] * self._whole(last, self.heads["divisions"]))
            else:
                raise self.refuse(last, "patches with no grid", "corners are in divisions", "add a line: divisions 4")
        if sum(axes[0]) != sum(axes[1]) and ("columns" in self.heads) == ("rows" in self.heads):
            across, down = sum(axes[0]), sum(axes[1])
            if "columns" in self.heads:
                raise self.refuse(
                    last, f"columns of {across}, rows of {down}", "a block is square", "mend either line"
                )
        return axes[0], axes[1]

    def _whole(self, line: int, text: str) -> int:
        if not re.fullmatch(r"\d{1,4}", text) or not 1 <= int(text) <= _MOST_DIVISIONS:
            raise self.refuse(line, f"divisions {text}", f"from 1 to {_MOST_DIVISIONS}", "give a whole number")
        return int(text)

    def _divisions(self, columns: Sequence[Fraction], rows: Sequence[Fraction], last: int) -> int:
        if "divisions" in self.heads:
            return self._whole(last, self.heads["divisions"])
        counts = []
        for widths in (columns, rows):
            common = lcm(*(width.denominator for width in widths))
            whole = [int(width * common) for width in widths]
            counts.append(sum(whole) // gcd(*whole))
        return min(lcm(*counts), _MOST_DIVISIONS)

    def _squares(self, columns: Sequence[Fraction], rows: Sequence[Fraction]) -> list[tuple[int, str, Ring]]:
        pieces: list[tuple[int, str, Ring]] = []
        top = Fraction(0)
        for (line, cells), height in zip(self.grid, rows, strict=False):
            left = Fraction(0)
            for cell, width in zip(cells, columns, strict=True):
                ring = ((left, top), (left + width, top), (left + width, top + height), (left, top + height))
                if cell != ".":
                    pieces += [(line, label, part) for label, part in _Cell(cell, line, self).divide(ring)]
                left += width
            top += height
        return pieces


class _Cell:
    """One word of a row, taken apart into labelled outlines."""

    def __init__(self, text: str, line: int, reader: _Reader) -> None:
        self.text, self.line, self.reader, self.at = text, line, reader, 0

    def refuse(self, what: str) -> NotationError:
        return self.reader.refuse(
            self.line,
            f'"{self.text}"',
            what,
            "write a square as A, A/B, A\\B, A|B, A-B, A1 or with brackets: A/(B\\C)",
        )

    def divide(self, ring: Ring) -> list[_Piece]:
        pieces = self._parts(ring)
        if self.at != len(self.text):
            raise self.refuse(f'"{self.text[self.at :]}" cannot be read')
        return pieces

    def _parts(self, ring: Ring) -> list[_Piece]:
        # The seams of one level come first, since how wide a strip is depends on how many there are.
        spans, seams, start, depth = [], [], self.at, 0
        while self.at < len(self.text):
            sign = self.text[self.at]
            if sign == ")" and depth == 0:
                break
            depth += (sign == "(") - (sign == ")")
            if depth == 0 and sign in "/\\|-x":
                spans.append((start, self.at))
                seams.append(sign)
                start = self.at + 1
            self.at += 1
        spans.append((start, self.at))
        end = self.at
        if depth:
            raise self.refuse("a bracket is not closed")
        if len(set(seams)) > 1:
            raise self.refuse("two kinds of seam need brackets to say which comes first")
        if seams and seams[0] in "/\\" and len(seams) > 1:
            raise self.refuse("one diagonal seam divides a part in two")
        if seams and seams[0] == "x":
            if len(spans) not in (2, 4):
                raise self.refuse("crossing seams make four parts: give two places or four")
            spans = spans * (4 // len(spans))
        pieces: list[_Piece] = []
        for (first, last), part in zip(spans, _cut(ring, seams), strict=True):
            if len(part) < 3:
                raise self.refuse("that seam does not cross the part it should divide")
            pieces += self._one(first, last, part)
        self.at = end
        return pieces

    def _one(self, first: int, last: int, ring: Ring) -> list[_Piece]:
        word = self.text[first:last]
        if word.startswith("("):
            self.at = first + 1
            pieces = self._parts(ring)
            if self.at != last - 1:
                raise self.refuse(f'"{word}" cannot be read')
            return pieces
        if not re.fullmatch(r"[A-Z]\d*", word):
            raise self.refuse(f'"{word}" is not a place' if word else "a part has no place")
        return [(word, ring)]


def _cut(ring: Ring, seams: Sequence[str]) -> list[Ring]:
    """Divide an outline by the seams of one level, first part on the left or on top."""
    if not seams:
        return [ring]
    xs, ys = [x for x, _ in ring], [y for _, y in ring]
    left, right, top, bottom = min(xs), max(xs), min(ys), max(ys)
    kind, count = seams[0], len(seams) + 1
    if kind == "/":
        return [_clip(ring, (left, bottom), (right, top)), _clip(ring, (right, top), (left, bottom))]
    if kind == "\\":
        return [_clip(ring, (right, bottom), (left, top)), _clip(ring, (left, top), (right, bottom))]
    if kind == "x":
        upper, lower = _cut(ring, "/")
        (at_left, at_top), (at_bottom, at_right) = _cut(upper, "\\"), _cut(lower, "\\")
        return [at_top, at_right, at_bottom, at_left]
    parts = []
    for index in range(count):
        part = ring
        if kind == "|":
            low = left + (right - left) * Fraction(index, count)
            high = left + (right - left) * Fraction(index + 1, count)
            part = _clip(
                _clip(part, (low, top), (low, bottom), right=False), (high, bottom), (high, top), right=False
            )
        else:
            low = top + (bottom - top) * Fraction(index, count)
            high = top + (bottom - top) * Fraction(index + 1, count)
            part = _clip(
                _clip(part, (right, low), (left, low), right=False), (left, high), (right, high), right=False
            )
        parts.append(part)
    return parts


def _clip(ring: Ring, start: Corner, end: Corner, *, right: bool = False) -> Ring:
    """Keep what lies left of the line from start to end, as seen (y down)."""
    dx, dy = end[0] - start[0], end[1] - start[1]
    side = [dx * (y - start[1]) - dy * (x - start[0]) for x, y in ring]
    kept: list[Corner] = []
    for index, (corner, here) in enumerate(zip(ring, side, strict=True)):
        nxt, there = ring[(index + 1) % len(ring)], side[(index + 1) % len(ring)]
        if here <= 0:
            kept.append(corner)
        if here * there < 0:
            share = here / (here - there)
            kept.append((corner[0] + share * (nxt[0] - corner[0]), corner[1] + share * (nxt[1] - corner[1])))
    clean = tuple(corner for corner, nxt in zip(kept, kept[1:] + kept[:1], strict=True) if corner != nxt)
    return clean if len(clean) >= 3 else ()


def _joined(pieces: Iterable[tuple[int, str, Ring]], reader: _Reader) -> list[_Piece]:
    """Join the pieces of each numbered label into one patch; plain letters stay as they are."""
    plain: list[_Piece] = []
    parts: dict[str, list[tuple[int, Ring]]] = defaultdict(list)
    for line, label, ring in pieces:
        if len(label) == 1:
            plain.append((label, ring))
        else:
            parts[label].append((line, ring))
    return plain + [(label, _union(label, rings, reader)) for label, rings in parts.items()]


def _union(label: str, parts: list[tuple[int, Ring]], reader: _Reader) -> Ring:
    """Outline of touching pieces: their sides, less every stretch that two of them share."""
    corners = {corner for _, ring in parts for corner in ring}
    loose: set[tuple[Corner, Corner]] = set()
    for _, ring in parts:
        for start, end in zip(ring, ring[1:] + ring[:1], strict=True):
            on_side = sorted(
                (corner for corner in corners if _between(start, corner, end)),
                key=lambda c: (c[0] - start[0]) ** 2 + (c[1] - start[1]) ** 2,
            )
            for one, two in pairwise([start, *on_side, end]):
                if (two, one) in loose:
                    loose.remove((two, one))
                else:
                    loose.add((one, two))
    follow = dict(loose)
    if len(follow) == len(loose) and loose:
        first = min(follow, key=lambda c: (c[1], c[0]))
        outline, corner = [first], follow[first]
        while corner != first and len(outline) <= len(follow):
            outline.append(corner)
            corner = follow[corner]
        if len(outline) == len(follow):
            return tuple(outline)
    raise reader.refuse(
        parts[0][0],
        f"the pieces of {label}",
        "a patch is one piece of cloth without a hole",
        "give the parts other numbers",
    )


def _between(start: Corner, corner: Corner, end: Corner) -> bool:
    (x0, y0), (x, y), (x1, y1) = start, corner, end
    if corner in (start, end) or (x1 - x0) * (y - y0) != (y1 - y0) * (x - x0):
        return False
    return min(x0, x1) <= x <= max(x0, x1) and min(y0, y1) <= y <= max(y0, y1)


def write_block(given: Block) -> str:
    """Write a block as text that `read_block` reads back to the same block.

    Parameters
    ----------
    given : Block
        Any block.

    Returns
    -------
    str
        The lines of a block file.

    Examples
    --------
    >>> print(write_block(read_block("block Four Patch\\nA dark\\nB light\\n\\nA B\\nB A")))
    block Four Patch
    A dark
    B light
    <BLANKLINE>
    A B
    B A
    <BLANKLINE>
    """
    lines = [f"block {given.name}"]
    if given.also:
        lines.append("also " + ", ".join(given.also))
    if given.family:
        lines.append(f"family {given.family}")
    lines += [f"note {note}" for note in given.notes]
    words, free = _drawn(given)
    if not words or len(words) != given.divisions or free:
        lines.append(f"divisions {given.divisions}")
    lines += [f"{letter} {place.value}{' scrappy' * place.scrappy}" for letter, place in given.places.items()]
    lines.append("")
    if words:
        widths = [max(len(row[column]) for row in words) for column in range(len(words[0]))]
        lines += [
            " ".join(word.ljust(width) for word, width in zip(row, widths, strict=True)).rstrip() for row in words
        ]
    for each in free:
        corners = " ".join(f"{_plain(x * given.divisions)},{_plain(y * given.divisions)}" for x, y in each.outline)
        lines.append(f"patch {each.place} {corners}")
    return "\n".join(lines) + "\n"


def _plain(number: Fraction) -> str:
    decimal = f"{float(number):.4f}".rstrip("0").rstrip(".")
    return decimal if Fraction(decimal) == number else str(number)


def _drawn(given: Block) -> tuple[list[list[str]], list[Patch]]:
    """Draw as many patches as can be drawn on the even grid; give the rest back to be listed by corners."""
    size = given.divisions
    free: list[Patch] = []
    while True:
        kept = [each for each in given.patches if each not in free]
        words, spoilt = _grid_words(kept, free, size)
        if not spoilt:
            break
        free = [each for each in given.patches if each in free or each in spoilt]
    if all(word == "." for row in words for word in row):
        words = []
    return words, free


def _grid_words(kept: list[Patch], free: list[Patch], size: int) -> tuple[list[list[str]], list[Patch]]:
    numbers: dict[Patch, str] = {}
    counts: dict[str, int] = defaultdict(int)
    words: list[list[str]] = []
    for row in range(size):
        words.append([])
        for column in range(size):
            low, high = (Fraction(column), Fraction(row)), (Fraction(column + 1), Fraction(row + 1))
            square = (low, (high[0], low[1]), high, (low[0], high[1]))
            inside: list[tuple[Patch, Ring]] = []
            for each in (*kept, *free):
                part = _inside(tuple((x * size, y * size) for x, y in each.outline), square)
                inside += [(each, ring) for ring in part]
            if all(each in free for each, _ in inside):
                words[-1].append(".")
                continue
            drawn = _cell_word(square, inside) if not any(each in free for each, _ in inside) else None
            if drawn is None:
                return words, [each for each, _ in inside if each not in free]
            text = ""
            for item in drawn:
                if isinstance(item, str):
                    text += item
                    continue
                whole = item.area * size * size == _area(next(ring for each, ring in inside if each is item))
                if not whole and item not in numbers:
                    counts[item.place] += 1
                    numbers[item] = f"{item.place}{counts[item.place]}"
                text += numbers.get(item, item.place)
            words[-1].append(text)
    return words, []


def _area(ring: Ring) -> Fraction:
    return (
        abs(
            sum(
                (a[0] * b[1] - b[0] * a[1] for a, b in zip(ring, ring[1:] + ring[:1], strict=True)),
                Fraction(0),
            )
        )
        / 2
    )


def _inside(ring: Ring, square: Ring) -> list[Ring]:
    """The part of a patch that lies in a square of the grid; exact for convex squares and any patch."""
    part = ring
    for start, end in zip(square, square[1:] + square[:1], strict=True):
        if not part:
            return []
        part = _clip(part, end, start)
    return [part] if part and _area(part) else []


def _cell_word(square: Ring, inside: list[tuple[Patch, Ring]]) -> list[str | Patch] | None:
    """The word for one square: signs and patches in the order that they are written, or None."""
    for signs in ("", "/", "\\", "|", "-", "||", "--", "|||", "---"):
        parts = _cut(square, signs)
        if len(parts) != len(inside):
            continue
        found = [next((each for each, ring in inside if _same(ring, part)), None) for part in parts]
        if None not in found:
            return _interleave(found, signs)
    for first in "/\\|-":
        parts = _cut(square, first)
        sides: list[list[str | Patch] | None] = []
        for part in parts:
            within = [(each, ring) for each, ring in inside if _inside(ring, square) and _covers(part, ring)]
            if len(within) == 1:
                sides.append([within[0][0]] if _same(within[0][1], part) else None)
            else:
                inner = next(
                    (
                        word
                        for sign in ("/", "\\", "|", "-")
                        if (word := _simple(_cut(part, sign), sign, within)) is not None
                    ),
                    None,
                )
                sides.append(["(", *inner, ")"] if inner else None)
        if all(sides) and sum(len(ring) > 0 for _, ring in inside) == sum(
            isinstance(item, Patch) for side in sides for item in side or []
        ):
            return [*(sides[0] or []), first, *(sides[1] or [])]
    return None


def _simple(parts: list[Ring], sign: str, inside: list[tuple[Patch, Ring]]) -> list[str | Patch] | None:
    found = [next((each for each, ring in inside if _same(ring, part)), None) for part in parts if part]
    return _interleave(found, sign) if len(found) == len(inside) == 2 and None not in found else None


def _interleave(found: Sequence[Patch | None], signs: str) -> list[str | Patch]:
    word: list[str | Patch] = []
    for index, each in enumerate(found):
        word += ([signs[index - 1]] if index else []) + ([each] if each else [])
    return word


def _same(one: Ring, two: Ring) -> bool:
    return len(two) >= 3 and patch(one, "A") == patch(two, "A")


def _covers(whole: Ring, part: Ring) -> bool:
    """Whether a convex outline holds every corner of another."""
    return bool(whole) and all(
        (b[0] - a[0]) * (y - a[1]) - (b[1] - a[1]) * (x - a[0]) >= 0
        for a, b in zip(whole, whole[1:] + whole[:1], strict=True)
        for x, y in part
    )
