"""The lines of a block file, each by itself: its headings, places, rows and patches, or why a line is none of these."""

from __future__ import annotations

import re

from seamlore.draft.block import Place
from seamlore.draft.exact.outlines import Corner
from seamlore.draft.exact.roots import Exact
from seamlore.draft.text.cells import WORD
from seamlore.draft.text.numbers import read_number
from seamlore.errors import NotationError, nearest
from seamlore.limits import DIVISIONS, LINE, NAME

_HEADS = ("block", "also", "family", "divisions", "side", "columns", "rows")
_WORDS = (*_HEADS, "note", "patch")
_PLACE = re.compile(r"([A-Z])\s+(light|medium|dark)(\s+scrappy)?")
# A word of a row in small letters or with a stray sign, as against a heading that is misspelt.
_ALMOST = re.compile(r"\(*[A-Za-z.](?![A-Za-wyz]).*")


class Lines:
    """What the lines of one text said so far, by the numbers of these lines."""

    def __init__(self, source: str) -> None:
        self.source = f"{source}, " if source else ""
        self.heads: dict[str, tuple[int, str]] = {}
        self.notes: list[str] = []
        self.places: dict[str, tuple[int, Place]] = {}
        self.grid: list[tuple[int, list[str]]] = []
        self.free: list[tuple[int, str, list[Corner]]] = []

    def refuse(self, line: int, given: str, limit: str, remedy: str) -> NotationError:
        """Give what refuses a line, named by its number."""
        return NotationError(given, limit, remedy, where=f"{self.source}line {line}")

    def take(self, text: str) -> int:
        """Take every line of a text, and give the number of the last that says something."""
        last = 1
        for number, raw in enumerate(text.removeprefix("\ufeff").splitlines(), start=1):
            line = raw.partition("#")[0].strip()
            if line:
                last = number
                self._line(number, line)
        return last

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

    def number(self, number: int, word: str) -> Exact:
        """Read a number that a line gives."""
        found = read_number(word)
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
            ring.append((self.number(number, x), self.number(number, y)))
        if len(ring) < 3:
            count = f"{len(ring)} corner{'s' * (len(ring) != 1)}"
            raise self.refuse(number, count, "a patch has at least 3", "give all its corners in order")
        self.free.append((number, place, ring))
