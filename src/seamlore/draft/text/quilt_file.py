"""The text in which a quilt is written: a draft file.

Each line begins with a word that says what it is about, the blocks follow below in their own notation::

    quilt Porch
    made of Shoo Fly
    finished 9 in
    rows 7
    columns 8
    set on point
    sashing 2 in, cornerstones
    border 4 in, mitered, brown stripe
    fabric A = muslin

`docs/draft-files.md` has it all with examples; `quilt_text` is the other half.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import replace
from itertools import pairwise
from typing import NoReturn

from seamlore.draft.block import VALUES, Block
from seamlore.draft.quilt import Border, Pieced, Quilt
from seamlore.draft.setting.letters import plain_block, reletter
from seamlore.draft.setting.setting import STRAIGHT
from seamlore.draft.setting.turns import turns
from seamlore.draft.text.notation import read_block
from seamlore.draft.text.quilt_lines import (
    Line,
    border,
    count,
    cut,
    fabric,
    finished,
    is_pattern,
    sashing,
    setting,
    turned_rows,
)
from seamlore.draft.text.quilt_text import quilt_text
from seamlore.errors import NotationError, SeamloreError, nearest
from seamlore.lengths import length
from seamlore.limits import BORDERS, LINE, NAME, TEXT, checked_text

FindBlock = Callable[[str], Block]

_ONCE = ("quilt", "made of", "every other", "finished", "rows", "columns", "set", "sashing", "cut")
_OFTEN = ("border", "repeat", "corner", "fabric", "turn")
_WORDS = (*_ONCE, *_OFTEN, "block")
_PLAIN = re.compile(rf"plain ([A-Z]) ({'|'.join(VALUES)})")
_LETTERED = re.compile(r"(.*?)\s*\(([A-Z] as [A-Z](?:, [A-Z] as [A-Z])*)\)")


def read_quilt(text: str, *, find_block: FindBlock, source: str = "") -> Quilt:
    """Read a quilt from its text.

    Parameters
    ----------
    text : str
        The lines of a draft file.
    find_block : callable
        Finds a block that the file names but does not draw, such as `catalogue.find`.
    source : str
        The file's name, for messages.

    Returns
    -------
    Quilt

    Raises
    ------
    SeamloreError
        Of the kind that fits; its `where` begins with the line.

    Examples
    --------
    >>> from seamlore.draft.catalogue import find
    >>> print(read_quilt("quilt Porch\\nmade of Shoo Fly\\nfinished 9 in\\nrows 7\\ncolumns 8", find_block=find))
    Porch: 7 rows of 8 Shoo Fly, 72 in by 63 in
    >>> read_quilt("quilt Porch\\nmade of Shoo Fly\\nfinished 9\\nrows 7\\ncolumns 8", find_block=find)
    Traceback (most recent call last):
        ...
    seamlore.errors.LengthError: line 3: "9" is not a length: it has no unit; ...
    """
    return _Reader(find_block, source).read(text)


def write_quilt(quilt: Quilt, *, find_block: FindBlock | None = None) -> str:
    """Write a quilt as text that `read_quilt` reads back to the same quilt.

    Parameters
    ----------
    quilt : Quilt
        As drafted.
    find_block : callable, optional
        Blocks that it finds by their name are only named; without it every block is drawn in the file, which
        can then be read anywhere.

    Returns
    -------
    str
        The lines of a draft file.

    Raises
    ------
    NotationError
        When a name holds what no line can (a line break, a #), or two blocks have one name.

    Examples
    --------
    >>> from seamlore.draft.catalogue import find
    >>> nine = Quilt("Porch", find("nine patch"), length("9in"), length("9in"), 7, 8)
    >>> print(write_quilt(nine, find_block=find))
    quilt Porch
    made of Nine Patch
    finished 9 in
    rows 7
    columns 8
    <BLANKLINE>
    """
    text = quilt_text(quilt, find_block)

    def none(name: str) -> NoReturn:
        raise NotationError(f"block {name}", "it is not in the file", "draw it")

    try:
        same = read_quilt(text, find_block=find_block or none) == quilt
    except SeamloreError as fault:
        raise NotationError(
            f"the quilt {quilt.name}", f"it cannot be written: {fault}", "change that name"
        ) from fault
    if not same:
        raise NotationError(
            f"the quilt {quilt.name}",
            "a name in it would not be read back as it is",
            "take line breaks, # and spaces at its ends out of the names of quilt, blocks and fabrics",
        )
    return text


class _Reader:
    """One reading of one text: its lines by their first word."""

    def __init__(self, find_block: FindBlock, source: str) -> None:
        self.find_block, self.file = find_block, source
        self.source = f"{source}, " if source else ""
        self.once: dict[str, Line] = {}
        self.often: list[tuple[str, Line]] = []
        self.drawn: dict[str, Block] = {}

    def read(self, text: str) -> Quilt:
        lines = checked_text(text, "a draft file", TEXT, source=self.source).removeprefix("\ufeff").splitlines()
        starts = [number for number, line in enumerate(lines) if re.match(r"\s*block(\s|$)", line)]
        for start, end in pairwise([*starts, len(lines)]):
            self._draw(lines[:end], start)
        for number, raw in enumerate(lines[: starts[0] if starts else None], start=1):
            line = raw.partition("#")[0].strip()
            if line:
                self._line(number, line)
        return self._quilt()

    def _draw(self, lines: list[str], start: int) -> None:
        here = Line(start + 1, source=self.source)
        try:
            # Empty lines in front keep the numbers of the lines what they are in this file.
            block = read_block("\n" * start + "\n".join(lines[start:]), source=self.file)
        except NotationError:
            raise
        except SeamloreError as fault:
            where = f"{here.where}, {fault.where}"
            raise type(fault)(fault.given, fault.limit, fault.remedy, where=where) from fault
        if block.name in self.drawn:
            raise here.refuse(f"block {block.name} again", "it is drawn once", "give one another name")
        self.drawn[block.name] = block

    def _line(self, number: int, text: str) -> None:
        word = next((word for word in _WORDS if re.match(rf"{word}(\s|$)", text)), None)
        line = Line(number, text[len(word or "") :].strip(), self.source)
        if word is None:
            first = text.split()[0]
            raise line.refuse(f'"{first}"', "a line begins with a known word", nearest(first, _WORDS))
        if not line.text:
            raise line.refuse(f"{word} with nothing after it", f"{word} says something", "finish the line")
        most = NAME if word == "quilt" else LINE
        if len(line.text) > most and word != "turn":
            raise line.refuse(f"{word} of {len(line.text)} characters", f"at most {most}", "write it shorter")
        if word in self.once:
            raise line.refuse(f"{word} again", "it is said once", "remove one of the two lines")
        if word in _ONCE:
            self.once[word] = line
        else:
            self.often.append((word, line))

    def _need(self, word: str, example: str) -> Line:
        if word not in self.once:
            read = [*self.once.values(), *(line for _, line in self.often)]
            last = max(read, key=lambda line: line.number, default=Line(1, source=self.source))
            raise last.refuse(f"no line that begins with {word}", "a quilt needs it", f"add a line: {example}")
        return self.once[word]

    def _quilt(self) -> Quilt:
        """Build the quilt line by line, so that what is refused is refused at its line."""
        name = self._need("quilt", "quilt Its Name").text
        block = self._block(self._need("made of", "made of Shoo Fly"))
        sides = finished(self._need("finished", "finished 9 in"))
        rows, columns = (self._need(word, f"{word} 7") for word in ("rows", "columns"))
        quilt = columns.at(Quilt, name, block, *sides, count(rows), count(columns))
        if line := self.once.get("every other"):
            quilt = line.at(replace, quilt, second=self._block(line))
        if line := self.once.get("set") or self.once.get("sashing"):
            kind = setting(self.once["set"]) if "set" in self.once else STRAIGHT
            between = sashing(self.once["sashing"]) if "sashing" in self.once else None
            quilt = line.at(replace, quilt, setting=kind, sashing=between)
        if line := self.once.get("cut"):
            quilt = line.at(replace, quilt, cut=cut(line))
        quilt = self._turned(quilt)
        for line, made in self._borders():
            quilt = line.at(replace, quilt, borders=(*quilt.borders, made))
        return replace(quilt, fabrics=self._fabrics())

    def _block(self, line: Line, named: str = "") -> Block:
        named = named or line.text
        if plain := _PLAIN.fullmatch(named):
            return plain_block(plain[1], plain[2])  # type: ignore[arg-type]
        if named in self.drawn:
            return self.drawn[named]
        lettered = _LETTERED.fullmatch(named)
        name = lettered[1] if lettered else named
        block = self.drawn[name] if name in self.drawn else line.at(self.find_block, name)
        if lettered is None:
            return block
        return line.at(reletter, block, dict(pair.split(" as ") for pair in lettered[2].split(", ")))

    def _turned(self, quilt: Quilt) -> Quilt:
        lines = [line for word, line in self.often if word == "turn"]
        if not lines:
            return quilt
        if len(lines) == 1 and is_pattern(lines[0]):
            found = lines[0].at(turns, lines[0].text, quilt)
            return replace(quilt, turned=found)
        return replace(quilt, turned=turned_rows(lines, quilt.spots))

    def _borders(self) -> list[tuple[Line, Border]]:
        found: list[tuple[Line, Border]] = []
        for word, line in self.often:
            if word == "border":
                if len(found) == BORDERS:
                    raise line.refuse("one more border", f"a quilt has at most {BORDERS}", "leave some out")
                found.append((line, border(line)))
            elif word in ("repeat", "corner"):
                if not found:
                    raise line.refuse(word, "it belongs to the border above it", "begin with: border 3 in")
                made = found[-1][1]
                if word == "repeat":
                    pieced = self._repeat(line, made)
                elif made.pieced is None or made.pieced.corner:
                    raise line.refuse(word, "a pieced border has one", "put it once, below the repeat line")
                else:
                    pieced = replace(made.pieced, corner=self._block(line))
                # Complaints about what it repeats belong to the line that says so.
                found[-1] = line, replace(made, pieced=pieced)
        return found

    def _repeat(self, line: Line, made: Border) -> Pieced:
        along, of, named = line.text.partition(" of ")
        if made.pieced or not of:
            raise line.refuse(
                f'"repeat {line.text}"', "a border repeats one unit", "write it once, as: repeat 3 in of Sawtooth"
            )
        mirrored = along.startswith("mirrored ")
        unit = self._block(line, named.strip())
        return Pieced(unit, line.at(length, along.removeprefix("mirrored ")), mirrored=mirrored)

    def _fabrics(self) -> dict[str, str]:
        found: dict[str, str] = {}
        for line in (line for word, line in self.often if word == "fabric"):
            key, name = fabric(line)
            if key in found:
                raise line.refuse(f"fabric {key} again", "it is said once", "remove one of the two lines")
            found[key] = name
        return found
