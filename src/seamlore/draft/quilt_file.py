"""The text in which a quilt is written: a draft file.

Each line begins with a word that says what it is about, the blocks follow below in their own notation::

    quilt Porch
    made of Shoo Fly
    finished 9 in
    rows 7
    columns 8
    set on point
    sashing 2 in, cornerstones
    border 4 in, mitred, brown stripe
    fabric A = muslin

`docs/draft-files.md` has it all with examples; `quilt_text` is the other half.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from dataclasses import replace
from itertools import pairwise
from typing import Any, NoReturn

from seamlore.draft.block import VALUES, Block
from seamlore.draft.notation import read_block
from seamlore.draft.quilt import Border, Pieced, Quilt, Sashing, Turned
from seamlore.draft.quilt_text import quilt_text
from seamlore.draft.settings import STRAIGHT, Cut, Offset, OnPoint, Setting, Straight, Strips
from seamlore.draft.settings_letters import plain_block, reletter
from seamlore.draft.settings_turns import turns
from seamlore.errors import NotationError, SeamloreError, nearest
from seamlore.lengths import Length, inches, length, size

FindBlock = Callable[[str], Block]

_ONCE = ("quilt", "made of", "every other", "finished", "rows", "columns", "set", "sashing", "cut")
_OFTEN = ("border", "repeat", "corner", "fabric", "turn")
_WORDS = (*_ONCE, *_OFTEN, "block")
_MOST = 500
_PLAIN = re.compile(rf"plain ([A-Z]) ({'|'.join(VALUES)})")
_LETTERED = re.compile(r"(.*?)\s*\(([A-Z] as [A-Z](?:, [A-Z] as [A-Z])*)\)")
_TURN = re.compile(r"(m?)(0|90|180|270)")


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
    """One reading of one text: its lines by their first word, with their numbers."""

    def __init__(self, find_block: FindBlock, source: str) -> None:
        self.find_block = find_block
        self.file = source
        self.source = f"{source}, " if source else ""
        self.once: dict[str, tuple[int, str]] = {}
        self.often: list[tuple[str, int, str]] = []
        self.drawn: dict[str, Block] = {}

    def refuse(self, line: int, given: str, limit: str, remedy: str) -> NotationError:
        return NotationError(given, limit, remedy, where=f"{self.source}line {line}")

    def at(self, line: int, make: Callable[..., Any], *given: Any, **named: Any) -> Any:
        """Call something and put the line before the place of its complaint."""
        try:
            return make(*given, **named)
        except SeamloreError as fault:
            where = ", ".join(part for part in (f"{self.source}line {line}", fault.where) if part)
            raise type(fault)(fault.given, fault.limit, fault.remedy, where=where) from fault

    def read(self, text: str) -> Quilt:
        lines = text.removeprefix("\ufeff").splitlines()
        starts = [number for number, line in enumerate(lines) if re.match(r"\s*block(\s|$)", line)]
        for start, end in pairwise([*starts, len(lines)]):
            self._draw(lines[:end], start)
        for number, raw in enumerate(lines[: starts[0] if starts else None], start=1):
            line = raw.partition("#")[0].strip()
            if line:
                self._line(number, line)
        return self._quilt()

    def _draw(self, lines: list[str], start: int) -> None:
        # Empty lines in front keep the numbers of the lines what they are in this file.
        text = "\n" * start + "\n".join(lines[start:])
        try:
            block = read_block(text, source=self.file)
        except NotationError:
            raise
        except SeamloreError as fault:
            where = f"{self.source}line {start + 1}, {fault.where}"
            raise type(fault)(fault.given, fault.limit, fault.remedy, where=where) from fault
        if block.name in self.drawn:
            raise self.refuse(start + 1, f"block {block.name} again", "it is drawn once", "give one another name")
        self.drawn[block.name] = block

    def _line(self, number: int, line: str) -> None:
        word = next((word for word in _WORDS if re.match(rf"{word}(\s|$)", line)), None)
        if word is None:
            first = line.split()[0]
            raise self.refuse(number, f'"{first}"', "a line begins with a known word", nearest(first, _WORDS))
        rest = line[len(word) :].strip()
        if not rest:
            raise self.refuse(number, f"{word} with nothing after it", f"{word} says something", "finish the line")
        if word in self.once:
            raise self.refuse(number, f"{word} again", "it is said once", "remove one of the two lines")
        if word in _ONCE:
            self.once[word] = number, rest
        else:
            self.often.append((word, number, rest))

    def _need(self, word: str, example: str) -> tuple[int, str]:
        if word not in self.once:
            last = max([line for line, _ in self.once.values()] + [line for _, line, _ in self.often], default=1)
            raise self.refuse(last, f"no line that begins with {word}", "a quilt needs it", f"add a line: {example}")
        return self.once[word]

    def _quilt(self) -> Quilt:
        """Build the quilt line by line, so that what is refused is refused at its line."""
        _, name = self._need("quilt", "quilt Its Name")
        line, named = self._need("made of", "made of Shoo Fly")
        block = self._block(line, named)
        line, given = self._need("finished", "finished 9 in")
        sides = self.at(line, size if re.search("x|×|by", given) else _square, given)
        rows, columns = (self._count(*self._need(word, f"{word} 7")) for word in ("rows", "columns"))
        quilt: Quilt = self.at(line, Quilt, name, block, *sides, rows, columns)
        if "every other" in self.once:
            line, named = self.once["every other"]
            quilt = self.at(line, replace, quilt, second=self._block(line, named))
        if "set" in self.once or "sashing" in self.once:
            line = self.once.get("set", self.once.get("sashing", (1, "")))[0]
            quilt = self.at(line, replace, quilt, setting=self._setting(), sashing=self._sashing())
        if "cut" in self.once:
            line, given = self.once["cut"]
            quilt = self.at(line, replace, quilt, cut=self._cut(line, given))
        quilt = self._turned(quilt)
        for line, border in self._borders():
            quilt = self.at(line, replace, quilt, borders=(*quilt.borders, border))
        return replace(quilt, fabrics=self._fabrics())

    def _block(self, line: int, named: str) -> Block:
        if plain := _PLAIN.fullmatch(named):
            return plain_block(plain[1], plain[2])  # type: ignore[arg-type]
        if named in self.drawn:
            return self.drawn[named]
        lettered = _LETTERED.fullmatch(named)
        name = lettered[1] if lettered else named
        block: Block = self.drawn[name] if name in self.drawn else self.at(line, self.find_block, name)
        if lettered is None:
            return block
        pairs = [pair.split(" as ") for pair in lettered[2].split(", ")]
        relettered: Block = self.at(line, reletter, block, dict(pairs))
        return relettered

    def _count(self, line: int, text: str) -> int:
        if not re.fullmatch(r"\d{1,4}", text) or not 1 <= int(text) <= _MOST:
            raise self.refuse(line, f'"{text}"', f"from 1 to {_MOST}", "give a whole number")
        return int(text)

    def _options(self, line: int, words: list[str], known: Mapping[str, Any]) -> list[Any]:
        for word in words:
            if word not in known:
                raise self.refuse(line, f'"{word}"', "it says nothing here", nearest(word, known))
        return [known[word] for word in words]

    def _setting(self) -> Setting:
        if "set" not in self.once:
            return STRAIGHT
        line, text = self.once["set"]
        kind, *rest = _listed(text)
        if kind == "straight":
            self._options(line, rest, {})
            return Straight()
        if kind == "on point":
            return OnPoint(*self._options(line, rest, {"half blocks": "half blocks"}))
        if kind == "offset":
            return Offset(*self._options(line, rest, {"plain ends": "plain"}))
        if kind.startswith("strips"):
            width = self.at(line, length, kind.removeprefix("strips"))
            said = self._options(line, rest, {word: word for word in ("outside", "on point")})
            return Strips(width, "outside" in said, "on point" in said)
        kinds = ("straight", "on point", "offset", "strips")
        raise self.refuse(line, f'"{kind}"', "blocks are not set so", nearest(kind, kinds))

    def _sashing(self) -> Sashing | None:
        if "sashing" not in self.once:
            return None
        line, text = self.once["sashing"]
        widths, *rest = _listed(text)
        said = self._options(line, rest, {word: word for word in ("outside", "cornerstones")})
        across, by, down = widths.partition(" by ")
        first = self.at(line, length, across)
        second = self.at(line, length, down) if by else first
        return Sashing(first, second, "outside" in said, "cornerstones" in said)

    def _cut(self, line: int, text: str) -> Cut:
        sides = dict.fromkeys(("left", "top", "right", "bottom"), inches(0))
        for part in _listed(text):
            side, _, given = part.partition(" ")
            self._options(line, [side], sides)
            sides[side] = self.at(line, length, given)
        return Cut(**sides)

    def _turned(self, quilt: Quilt) -> Quilt:
        lines = [(line, text) for word, line, text in self.often if word == "turn"]
        if not lines:
            return quilt
        first, text = lines[0]
        if len(lines) == 1 and not _TURN.fullmatch(text.split()[0]):
            found = self.at(first, turns, text, quilt.block, quilt.rows, quilt.columns)
            turned: Quilt = self.at(first, replace, quilt, turned=found)
            return turned
        spots: dict[int, list[tuple[int, int]]] = {}
        for spot in quilt.spots:
            spots.setdefault(spot[0], []).append(spot)
        if len(lines) != len(spots):
            raise self.refuse(
                lines[-1][0], f"{len(lines)} line{'s' * (len(lines) > 1)} of turns", f"the quilt has {len(spots)} rows", "give one for each"
            )
        ways = {}
        for row, (line, text) in enumerate(lines):
            words = text.split()
            if len(words) != len(spots[row]):
                raise self.refuse(
                    line, f"{len(words)} turns", f"this row has {len(spots[row])} blocks", "give one for each"
                )
            for spot, word in zip(spots[row], words, strict=True):
                found = _TURN.fullmatch(word)
                if not found:
                    raise self.refuse(
                        line, f'"{word}"', "a turn is 0, 90, 180 or 270, after an m if mirrored", "mend it"
                    )
                ways[spot] = Turned(int(found[2]), bool(found[1]))  # type: ignore[arg-type]
        return replace(quilt, turned=ways)

    def _borders(self) -> list[tuple[int, Border]]:
        found: list[tuple[int, Border]] = []
        for word, line, text in self.often:
            if word == "border":
                found.append((line, self._border(line, text)))
            elif word in ("repeat", "corner"):
                if not found:
                    raise self.refuse(line, word, "it belongs to the border above it", "begin with: border 3 in")
                border = found[-1][1]
                if word == "repeat":
                    pieced = self._repeat(line, text, border)
                elif border.pieced is None or border.pieced.corner:
                    raise self.refuse(line, word, "a pieced border has one", "put it once, below the repeat line")
                else:
                    pieced = replace(border.pieced, corner=self._block(line, text))
                # Complaints about what it repeats belong to the line that says so.
                found[-1] = line, replace(border, pieced=pieced)
        return found

    def _border(self, line: int, text: str) -> Border:
        given, *rest = _listed(text)
        width = self.at(line, length, given)
        corners = rest.pop(0) if rest and rest[0] in ("butted", "mitred", "squares") else "butted"
        # A fabric's name may hold commas; it comes last, as it was written.
        fabric = text.split(",", text.count(",") - len(rest) + 1)[-1].strip() if rest else "border"
        return Border(width, fabric, corners)  # type: ignore[arg-type]

    def _repeat(self, line: int, text: str, border: Border) -> Pieced:
        along, of, named = text.partition(" of ")
        if border.pieced or not of:
            raise self.refuse(
                line, f'"repeat {text}"', "a border repeats one unit", "write it once, as: repeat 3 in of Sawtooth"
            )
        return Pieced(self._block(line, named.strip()), self.at(line, length, along))

    def _fabrics(self) -> dict[str, str]:
        found: dict[str, str] = {}
        for word, line, text in self.often:
            if word != "fabric":
                continue
            key, equals, name = (part.strip() for part in text.partition("="))
            if not (key and equals and name):
                raise self.refuse(line, f'"{text}"', "a fabric line is a place = a name", "write: fabric A = muslin")
            if key in found:
                raise self.refuse(line, f"fabric {key} again", "it is said once", "remove one of the two lines")
            found[key] = name
        return found


def _listed(text: str) -> list[str]:
    return [part.strip() for part in text.split(",")]


def _square(text: str) -> tuple[Length, Length]:
    side = length(text)
    return side, side
