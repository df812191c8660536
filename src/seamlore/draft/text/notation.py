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

from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import replace
from fractions import Fraction
from functools import lru_cache
from itertools import accumulate, pairwise
from math import lcm

from seamlore.draft.block import Block, Patch, block
from seamlore.draft.exact.outlines import Point, Whole, join, part, tidy
from seamlore.draft.exact.roots import Exact, Root2, total, written
from seamlore.draft.text.cells import divide
from seamlore.draft.text.lines import Lines
from seamlore.draft.text.writing import block_text, even_parts
from seamlore.errors import NotationError, SeamloreError
from seamlore.limits import DIVISIONS, PARTS, TEXT, checked_text, whole_number

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


class _Reader(Lines):
    """One reading of one text: from what its lines said to the block that they draw."""

    def read(self, text: str) -> Block:
        checked_text(text, "a block file", TEXT, source=self.source)
        last = self.take(text)
        if "block" not in self.heads:
            raise self.refuse(1, "no line that begins with block", "a block has a name", "begin with: block Its Name")
        if not self.grid and not self.free:
            raise self.refuse(last, "no squares", "a block is drawn row by row", "draw it below the heading lines")
        return self._block(last)

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
        widths = [self.number(line, each) for each in text.split()]
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
        side = self.number(line, text)
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
