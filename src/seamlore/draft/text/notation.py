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
Brackets divide a part again: ``A/(B\\C)``. A letter with a number, ``A1``, is one patch however many squares it
runs through. ``.`` leaves a square to the lines that begin with ``patch``, which give corners:
``patch A 0,0 3,0 1.5,3``. `docs/notation.md` has it all with examples; `writing.py` is the other half.
"""

from __future__ import annotations

import re
from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import replace
from fractions import Fraction
from functools import lru_cache
from itertools import accumulate, pairwise
from math import lcm

from seamlore.draft.block import Block, Patch, Place, block
from seamlore.draft.exact.outlines import Corner, Point, Whole, join, part, tidy
from seamlore.draft.exact.roots import SQRT2, Exact, Root2, total, written
from seamlore.draft.text.cells import WORD, divide
from seamlore.draft.text.writing import block_text, even_parts
from seamlore.errors import NotationError, SeamloreError, nearest
from seamlore.limits import DIVISIONS, LINE, NAME, PARTS, TEXT, checked_text, whole_number

_HEADS = ("block", "also", "family", "divisions", "side", "columns", "rows")
_WORDS = (*_HEADS, "note", "patch")
_PLACE = re.compile(r"([A-Z])\s+(light|medium|dark)(\s+scrappy)?")
# A word of a row in small letters or with a stray sign, as against a heading that is misspelt.
_ALMOST = re.compile(r"\(*[A-Za-z.](?![A-Za-wyz]).*")
_DECIMAL = re.compile(r"[0-9]{1,6}(\.[0-9]{1,12})?")
_FRACTION = re.compile(r"(?:([0-9]{1,6})-)?([0-9]{1,12})/([0-9]{1,12})")
# A number with a root: the root alone, after a plain number, or before one.
_WITH_ROOT = re.compile(r"(?:(.+)([+-]))?([0-9]{0,6})sqrt2(?:/([0-9]{1,6}))?(?:([+-])(.+))?")

# Line, label such as "A" or "A1", outline in whole numbers.
_Piece = tuple[int, str, Sequence[Point]]


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
    return _written(given, tuple(given.places))


# One edit asks for the text of its block several times over. Blocks are the same whatever the order of their places,
# but their texts are not.
@lru_cache(maxsize=64)
def _written(given: Block, _order: tuple[str, ...]) -> str:
    _same(given.patches)
    text = block_text(given)
    # A patch that is bent so that a square holds two parts of it can be drawn wrongly; its corners never are.
    return text if _reads_as(text, given) else block_text(given, corners_only=True)


@lru_cache(maxsize=512)
def read_again(text: str) -> Block:
    """A block that is likely to be read again: as it was just written, as it stands in one draft and the next."""
    read = read_block(text)
    return replace(read, patches=_same(read.patches))


@lru_cache(maxsize=1024)
def _same(patches: tuple[Patch, ...]) -> tuple[Patch, ...]:
    """The very patches that were written or read before, so that what follows from them is not worked out again."""
    return patches


def _reads_as(text: str, given: Block) -> bool:
    try:
        return read_again(text.rstrip("\n")) == given
    except SeamloreError:
        return False


class _Reader:
    """One reading of one text: what its lines said so far."""

    def __init__(self, source: str) -> None:
        self.source = f"{source}, " if source else ""
        self.heads: dict[str, tuple[int, str]] = {}
        self.notes: list[str] = []
        self.places: dict[str, tuple[int, Place]] = {}
        self.grid: list[tuple[int, list[str]]] = []
        self.free: list[tuple[int, str, list[Corner]]] = []

    def refuse(self, line: int, given: str, limit: str, remedy: str) -> NotationError:
        return NotationError(given, limit, remedy, where=f"{self.source}line {line}")

    def read(self, text: str) -> Block:
        checked_text(text, "a block file", TEXT, source=self.source)
        last = 1
        for number, raw in enumerate(text.removeprefix("\ufeff").splitlines(), start=1):
            line = raw.partition("#")[0].strip()
            if line:
                last = number
                self._line(number, line)
        if "block" not in self.heads:
            raise self.refuse(1, "no line that begins with block", "a block has a name", "begin with: block Its Name")
        if not self.grid and not self.free:
            raise self.refuse(last, "no squares", "a block is drawn row by row", "draw it below the heading lines")
        return self._block(last)

    def _line(self, number: int, line: str) -> None:
        word, *others = line.split(None, 1)
        rest = others[0] if others else ""
        if word in _WORDS:
            self._heading(number, word, rest)
        elif found := _PLACE.fullmatch(line):
            if found[1] in self.places:
                first = self.places[found[1]][0]
                raise self.refuse(
                    number, f"place {found[1]} again", f"line {first} describes it", "remove one of the two"
                )
            self.places[found[1]] = number, Place(found[2], bool(found[3]))  # type: ignore[arg-type]
        elif all(WORD.fullmatch(cell) for cell in line.split()):
            self._row(number, line.split())
        elif re.match(r"[A-Z]\s+[a-z]{2}", line):
            limit = "a place is light, medium or dark, and may be scrappy"
            raise self.refuse(number, f'"{line}"', limit, f"write it as: {line[0]} dark")
        elif self.grid or all(_ALMOST.fullmatch(cell) for cell in line.split()):
            limit = "a row has one word for each square, of capital letters and / \\ | - x ( )"
            raise self.refuse(number, f'"{line}"', limit, "write a square as A, A/B, A|B or AxB")
        else:
            limit = "a line begins with a known word, describes a place or draws a row"
            raise self.refuse(number, f'"{word}"', limit, nearest(word, _WORDS))

    def _heading(self, number: int, word: str, rest: str) -> None:
        if not rest:
            raise self.refuse(number, f"{word} with nothing after it", f"{word} says something", "finish the line")
        most = NAME if word == "block" else LINE
        if word != "patch" and len(rest) > most:
            raise self.refuse(number, f"{word} of {len(rest)} characters", f"at most {most}", "write it shorter")
        if word == "patch":
            self._patch_line(number, rest)
        elif word == "note":
            self.notes.append(rest)
        elif word in self.heads:
            first = self.heads[word][0]
            raise self.refuse(number, f"{word} again", f"line {first} says it", "remove one of the two lines")
        else:
            self.heads[word] = number, rest

    def _row(self, number: int, cells: list[str]) -> None:
        if self.grid and len(cells) != len(self.grid[0][1]):
            count = f"{len(cells)} square{'s' * (len(cells) != 1)} in this row"
            limit = f"the first row has {len(self.grid[0][1])}"
            raise self.refuse(number, count, limit, "give every row as many squares")
        if len(cells) > DIVISIONS or len(self.grid) == DIVISIONS:
            what = "squares in this row" if len(cells) > DIVISIONS else "rows"
            many = max(len(cells), len(self.grid) + 1)
            raise self.refuse(number, f"{many} {what}", f"at most {DIVISIONS}", "draw one block a file")
        self.grid.append((number, cells))

    def _number(self, number: int, word: str) -> Exact:
        found = _read_number(word)
        if found is None:
            limit = "a number is written 2, 1.5, 3/2, 1-1/2 or 1+sqrt2/2"
            raise self.refuse(number, f'"{word}"', limit, "mend it")
        if found < 0:
            raise self.refuse(number, f'"{word}", which is less than 0', "a number is 0 or more", "mend it")
        return found

    def _patch_line(self, number: int, rest: str) -> None:
        place, *words = rest.split()
        if not re.fullmatch(r"[A-Z]", place):
            limit = "a patch begins with its place, A to Z"
            raise self.refuse(number, f'"{place}"', limit, "write: patch A 0,0 1,0 1,1")
        ring: list[Corner] = []
        for word in words:
            if word.startswith("~"):
                limit = "a word with ~ is kept for curved sides, which are not read yet"
                raise self.refuse(number, f'"{word}"', limit, "leave it out: the side is then straight")
            x, comma, y = word.partition(",")
            if not comma:
                raise self.refuse(number, f'"{word}"', "a corner is x,y", "write it as 1,0.5")
            ring.append((self._number(number, x), self._number(number, y)))
        if len(ring) < 3:
            count = f"{len(ring)} corner{'s' * (len(ring) != 1)}"
            raise self.refuse(number, count, "a patch has at least 3", "give all its corners in order")
        self.free.append((number, place, ring))

    def _block(self, last: int) -> Block:
        columns, rows = self._axis("columns"), self._axis("rows")
        divisions = self._divisions(columns, rows, last)
        scale, pieces = self._pieces(columns, rows, divisions)
        fractions: dict[Whole, Exact] = {}
        patches: list[Patch] = []
        called: list[str] = []
        used: dict[str, int] = {}
        for line, label, ring in _joined(pieces, self):
            kept = tidy(ring)
            if not kept:
                raise self.refuse(line, f"patch {label}", "a patch encloses an area", "give its corners in order")
            for corner in kept:
                for number in corner:
                    if number not in fractions:
                        fractions[number] = part(number, scale)
            patches.append(Patch(tuple((fractions[x], fractions[y]) for x, y in kept), label[0]))
            called.append(f"patch {label} of line {line}")
            used.setdefault(label[0], line)
        for place, line in used.items():
            if place not in self.places:
                limit = "each place has a line of its own"
                raise self.refuse(line, f"place {place}, which is not described", limit, f"add a line: {place} dark")
        for place, (line, _) in self.places.items():
            if place not in used:
                raise self.refuse(line, f"place {place}", "no patch takes it", "remove the line or draw the patch")
        return block(
            self.heads["block"][1],
            divisions,
            patches,
            {place: described for place, (_, described) in self.places.items()},
            also=self._also(),
            family=self.heads.get("family", (0, ""))[1],
            notes=tuple(self.notes),
            called=called,
        )

    def _also(self) -> tuple[str, ...]:
        line, text = self.heads.get("also", (0, ""))
        names = tuple(name.strip() for name in text.split(",")) if text else ()
        if not all(names):
            raise self.refuse(line, f"also {text}", "a name stands between commas", "remove the extra comma")
        return names

    def _axis(self, word: str) -> list[Exact]:
        """Widths of the columns or heights of the rows; empty when the block has no grid."""
        squares = len(self.grid) if word == "rows" or not self.grid else len(self.grid[0][1])
        if word not in self.heads:
            return [Fraction(1)] * squares
        line, text = self.heads[word]
        widths = [self._number(line, each) for each in text.split()]
        if not all(widths):
            raise self.refuse(line, f"{word} {text}", "each is more than 0", "mend that line")
        if len(widths) != squares:
            count = f"{len(widths)} number{'s' * (len(widths) != 1)} after {word}"
            raise self.refuse(line, count, f"{squares} {word} are drawn", "give one number for each")
        if word == "rows" and "columns" in self.heads and total(widths) != total(self._axis("columns")):
            across, down = written(total(self._axis("columns"))), written(total(widths))
            raise self.refuse(line, f"rows of {down}, columns of {across}", "a block is square", "mend either line")
        return widths

    def _divisions(self, columns: Sequence[Exact], rows: Sequence[Exact], last: int) -> int:
        if "divisions" in self.heads:
            line, text = self.heads["divisions"]
            number = whole_number(text)
            if number is None or not 1 <= number <= DIVISIONS:
                limit = f"a whole number from 1 to {DIVISIONS}"
                raise self.refuse(line, f"divisions {text}", limit, "say into how many parts the side is divided")
            return number
        if not columns:
            raise self.refuse(last, "patches with no grid", "corners are in divisions", "add a line: divisions 4")
        parts = even_parts(columns, rows)
        if not 1 <= parts <= DIVISIONS:
            limit = f"they lie on no even grid of up to {DIVISIONS} divisions"
            raise self.refuse(last, "these columns and rows", limit, "add a line: divisions 4")
        return parts

    def _pieces(self, columns: Sequence[Exact], rows: Sequence[Exact], divisions: int) -> tuple[int, list[_Piece]]:
        """Every part that the rows draw and every patch given by corners, and the side that makes them whole numbers."""
        across, down = _lines(columns), _lines(rows)
        words = {(line, cell) for line, cells in self.grid for cell in cells if cell != "."}
        parts, count = {}, 0
        for line, cell in sorted(words, reverse=True):
            parts[cell] = self._divide(line, cell)
            count += len(parts[cell][1])
            if count > PARTS:
                raise self.refuse(line, f"{count:,} parts", f"a block has at most {PARTS:,}", "draw fewer")
        scale = lcm(*(number.denominator for number in (*across, *down)), divisions)
        scale *= lcm(*(size for size, _ in parts.values()))
        side = self._side(divisions)
        numbers = {number for _, _, ring in self.free for corner in ring for number in corner}
        if isinstance(side, Root2):
            scale = lcm(scale, *((number / side).denominator for number in numbers))
        else:
            scale = lcm(scale, *(number.denominator * side.numerator for number in numbers))
        drawn = [len(parts[cell][1]) for _, cells in self.grid for cell in cells if cell != "."]
        if (count := sum(drawn) + len(self.free)) > PARTS:
            line = self.grid[-1][0] if self.grid else self.free[-1][0]
            raise self.refuse(line, f"{count:,} parts", f"a block has at most {PARTS:,}", "draw fewer")
        pieces: list[_Piece] = []
        for (line, cells), (top, bottom) in zip(self.grid, pairwise([_whole(y, scale) for y in down]), strict=True):
            for cell, (left, right) in zip(cells, pairwise([_whole(x, scale) for x in across]), strict=True):
                if cell == ".":
                    continue
                size, within = parts[cell]
                wide, high = _whole(part(right - left, size)), _whole(part(bottom - top, size))
                pieces += [
                    (line, label, [(left + x * wide, top + y * high) for x, y in ring]) for label, ring in within
                ]
        unit = scale / side
        pieces += [
            (line, place, [(_whole(x * unit), _whole(y * unit)) for x, y in ring]) for line, place, ring in self.free
        ]
        return scale, pieces

    def _side(self, divisions: int) -> Exact:
        """How long the side is in the numbers of the patch lines."""
        if "side" not in self.heads:
            return Fraction(divisions)
        line, text = self.heads["side"]
        side = self._number(line, text)
        if not side:
            raise self.refuse(line, f"side {text}", "it is more than 0", "say how long the side is, such as 2+sqrt2")
        if not self.free:
            limit = "it is what the corners of patch lines are counted in, and there are none"
            raise self.refuse(line, f"side {text}", limit, "remove the line")
        return side

    def _divide(self, line: int, cell: str) -> tuple[int, tuple[tuple[str, tuple[Point, ...]], ...]]:
        try:
            return divide(cell)
        except NotationError as fault:
            raise self.refuse(line, fault.given, fault.limit, fault.remedy) from fault


# A block has few numbers, each many times over.
@lru_cache(maxsize=4096)
def _read_number(word: str) -> Exact | None:
    """Read a number; None when it is none."""
    if _DECIMAL.fullmatch(word):
        return Fraction(word)
    if found := _FRACTION.fullmatch(word):
        return int(found[1] or 0) + Fraction(int(found[2]), int(found[3])) if int(found[3]) else None
    parts = _WITH_ROOT.fullmatch(word)
    if not parts or (parts[1] and parts[6]) or not int(parts[3] or 1) or not int(parts[4] or 1):
        return None
    before, sign, many, under, then, after = parts.groups()
    root = SQRT2 * Fraction(int(many or 1), int(under or 1))
    # What stands beside the root is plain: two roots in one number are a slip.
    beside = _read_number(before or after or "0")
    if not isinstance(beside, Fraction):
        return None
    if before:
        return beside + root if sign == "+" else beside - root
    return root - beside if then == "-" else root + beside


def _whole(number: Exact, scale: int = 1) -> Whole:
    """A number times a scale that makes it whole."""
    there = number if scale == 1 else number * scale
    return there.numerator if isinstance(there, Fraction) else there


def _lines(widths: Sequence[Exact]) -> list[Exact]:
    """Where the lines of a grid lie, from 0 to 1."""
    whole = total(widths)
    return [Fraction(0), *(reach / whole for reach in accumulate(widths))]


def _joined(pieces: Iterable[_Piece], reader: _Reader) -> list[_Piece]:
    """Join the pieces of each numbered label into one patch; plain letters stay as they are."""
    plain: list[_Piece] = []
    parts: dict[str, list[tuple[int, Sequence[Point]]]] = defaultdict(list)
    for line, label, ring in pieces:
        if len(label) == 1:
            plain.append((line, label, ring))
        else:
            parts[label].append((line, ring))
    for label, lined in parts.items():
        whole = join([ring for _, ring in lined])
        if whole is None:
            lines = list(dict.fromkeys(str(line) for line, _ in lined))
            raise reader.refuse(
                lined[0][0],
                f"the parts of {label} (line{'s' * (len(lines) > 1)} {', '.join(lines)})",
                "a patch is one piece of cloth without a hole, and its parts touch along a side",
                "give the parts different numbers",
            )
        plain.append((lined[0][0], label, whole))
    return plain
