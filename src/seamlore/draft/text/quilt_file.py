"""The text in which a quilt is written: a draft file.

Each line begins with a word that says what it is about, the blocks follow below in their own notation::

    quilt Porch                             quilt Checkers
    made of Shoo Fly                        finished 6 in
    finished 9 in                           row N P    N
    rows 7                                  row P N/90 P
    columns 8                               kind N Nine Patch
    set on point                            kind P plain light
    sashing 2 in, cornerstones              fabric N A = muslin
    border 4 in, mitered, brown stripe
    fabric A = muslin

`docs/draft-files.md` has it all with examples; `quilt_text` is the other half.
"""

from __future__ import annotations

import re
from itertools import pairwise
from typing import NoReturn

from seamlore.draft.quilt import Quilt
from seamlore.draft.text.notation import read_again, read_block
from seamlore.draft.text.quilt_lines import Line
from seamlore.draft.text.quilt_made import Drawn, FindBlock, made_of
from seamlore.draft.text.quilt_text import quilt_text
from seamlore.errors import NotationError, SeamloreError, nearest
from seamlore.limits import LINE, NAME, TEXT, checked_text

_ONCE = ("quilt", "made of", "every other", "finished", "rows", "columns", "set", "sashing", "cut")
_OFTEN = (
    "row", "kind", "at", "border", "top", "right", "bottom", "left", "repeat", "corner", "fabric", "turn"
)  # fmt: skip
_WORDS = (*_ONCE, *_OFTEN, "block")
# As long as their rows are: the number of words is checked, not their length.
_ROWS_OF_WORDS = ("turn", "row", "at")
# A block drawn for one kind alone: block Nine Patch [N2]
_FOR_KIND = re.compile(r"(\s*block\s.*?)\s*\[([A-Za-z][A-Za-z0-9]?)\]\s*")


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
        When a name holds what no line can (a line break, a #).

    Examples
    --------
    >>> from seamlore.draft.catalogue import find
    >>> from seamlore.draft.repeated import repeated
    >>> from seamlore.lengths import length
    >>> nine = repeated("Porch", find("nine patch"), length("9in"), length("9in"), 7, 8)
    >>> print(write_quilt(nine, find_block=find))
    quilt Porch
    made of Nine Patch
    finished 9 in
    rows 7
    columns 8
    <BLANKLINE>
    """
    return written_and_read(quilt, find_block=find_block)[0]


def written_and_read(quilt: Quilt, *, find_block: FindBlock | None = None) -> tuple[str, Quilt]:
    """Write a quilt as `write_quilt` does, and give what is read back too, which is the same quilt."""
    text = quilt_text(quilt, find_block)

    def none(name: str) -> NoReturn:
        raise NotationError(f"block {name}", "it is not in the file", "draw it")

    try:
        read = read_quilt(text, find_block=find_block or none)
    except SeamloreError as fault:
        raise NotationError(
            f"the quilt {quilt.name}", f"it cannot be written: {fault}", "change that name"
        ) from fault
    if read != quilt:
        raise NotationError(
            f"the quilt {quilt.name}",
            "a name in it would not be read back as it is",
            "take line breaks, # and spaces at its ends out of the names of quilt, blocks and fabrics",
        )
    return text, read


class _Reader:
    """One reading of one text: its lines by their first word."""

    def __init__(self, find_block: FindBlock, source: str) -> None:
        self.find_block, self.file = find_block, source
        self.source = f"{source}, " if source else ""
        self.once: dict[str, Line] = {}
        self.often: list[tuple[str, Line]] = []
        self.drawn = Drawn({}, {})

    def read(self, text: str) -> Quilt:
        lines = checked_text(text, "a draft file", TEXT, source=self.source).removeprefix("\ufeff").splitlines()
        starts = [number for number, line in enumerate(lines) if re.match(r"\s*block(\s|$)", line)]
        for start, end in pairwise([*starts, len(lines)]):
            self._draw(lines[:end], start)
        for number, raw in enumerate(lines[: starts[0] if starts else None], start=1):
            line = raw.partition("#")[0].strip()
            if line:
                self._line(number, line)
        return made_of(self.once, self.often, self.drawn, self.find_block, self.source)

    def _draw(self, lines: list[str], start: int) -> None:
        here = Line(start + 1, source=self.source)
        mine = lines[start:]
        alone = _FOR_KIND.fullmatch(mine[0].partition("#")[0])
        if alone:
            mine[0] = alone[1]
        try:
            try:
                block = read_again("\n".join(mine).rstrip("\n"))
            except SeamloreError:
                # Empty lines in front keep the numbers of the lines what they are in this file.
                block = read_block("\n" * start + "\n".join(mine), source=self.file)
        except NotationError:
            raise
        except SeamloreError as fault:
            where = f"{here.where}, {fault.where}"
            raise type(fault)(fault.given, fault.limit, fault.remedy, where=where) from fault
        home, name = (self.drawn.for_kind, alone[2]) if alone else (self.drawn.by_name, block.name)
        if name in home:
            raise here.refuse(f"block {name} again", "it is drawn once", "give one another name")
        home[name] = block

    def _line(self, number: int, text: str) -> None:
        word = next((word for word in _WORDS if re.match(rf"{word}(\s|$)", text)), None)
        line = Line(number, text[len(word or "") :].strip(), self.source)
        if word is None:
            first = text.split()[0]
            raise line.refuse(f'"{first}"', "a line begins with a known word", nearest(first, _WORDS))
        if not line.text:
            raise line.refuse(f"{word} with nothing after it", f"{word} says something", "finish the line")
        most = NAME if word == "quilt" else LINE
        if len(line.text) > most and word not in _ROWS_OF_WORDS:
            raise line.refuse(f"{word} of {len(line.text)} characters", f"at most {most}", "write it shorter")
        if word in self.once:
            raise line.refuse(f"{word} again", "it is said once", "remove one of the two lines")
        if word in _ONCE:
            self.once[word] = line
        else:
            self.often.append((word, line))
