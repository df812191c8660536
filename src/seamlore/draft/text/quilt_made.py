"""From the lines of a draft file to the quilt that they say, each refused at its line."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace

from seamlore.draft.block import VALUES, Block
from seamlore.draft.border import Border, Pieced, Side
from seamlore.draft.cells import with_borders, with_lies
from seamlore.draft.kinds import SIGN, Cell, Kind, plain_block, reletter, sign_for
from seamlore.draft.quilt import Quilt, Sashing
from seamlore.draft.repeated import repeated
from seamlore.draft.setting.setting import STRAIGHT, Setting
from seamlore.draft.setting.turns import turns
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
    side,
    turned_rows,
)
from seamlore.draft.text.quilt_picture import read_own, read_picture
from seamlore.draft.where import SIDES, said
from seamlore.lengths import Length, length
from seamlore.limits import BORDERS

FindBlock = Callable[[str], Block]
Often = Sequence[tuple[str, Line]]

# A plain square is light unless it is said to be otherwise.
_PLAIN = re.compile(rf"plain(?: ([A-Z]))?(?: ({'|'.join(VALUES)}))?(,? scrappy)?")
_LETTERED = re.compile(r"(.*?)\s*\(([A-Z] as [A-Z](?:, [A-Z] as [A-Z])*)\)")


@dataclass(frozen=True, slots=True)
class Drawn:
    """The blocks that a file draws: by their names, and those of single kinds by the names of these."""

    by_name: dict[str, Block]
    for_kind: dict[str, Block]


def made_of(once: Mapping[str, Line], often: Often, drawn: Drawn, find_block: FindBlock, source: str = "") -> Quilt:
    """Build the quilt line by line, so that what is refused is refused at its line.

    Parameters
    ----------
    once : mapping of str to Line
        The lines that are said once, by their first word.
    often : sequence of (word, Line)
        The others, in their order.
    drawn : Drawn
        The blocks that the file draws.
    find_block : callable
        Finds a block that it does not draw.
    source : str
        The file's name with a comma, or nothing.

    Returns
    -------
    Quilt
    """
    return _Making(once, often, drawn, find_block, source).quilt()


class _Making:
    """One file's lines, and the kinds that they make as they are read."""

    def __init__(
        self, once: Mapping[str, Line], often: Often, drawn: Drawn, find_block: FindBlock, source: str
    ) -> None:
        self.once, self.often, self.drawn, self.find_block, self.source = once, often, drawn, find_block, source
        self.fabrics = self._fabrics()
        self.kinds: dict[str, tuple[Line, Kind]] = {}
        # Blocks that are named where they are used: their letters are one place in the whole quilt.
        self.shared: set[str] = set()

    def lines(self, word: str) -> list[Line]:
        return [line for each, line in self.often if each == word]

    def need(self, word: str, example: str) -> Line:
        if word not in self.once:
            read = [*self.once.values(), *(line for _, line in self.often)]
            last = max(read, key=lambda line: line.number, default=Line(1, source=self.source))
            raise last.refuse(f"no line that begins with {word}", "a quilt needs it", f"add a line: {example}")
        return self.once[word]

    def quilt(self) -> Quilt:
        name = self.need("quilt", "quilt Its Name").text
        for line in self.lines("kind"):
            self._kind(line)
        for sign in self.drawn.for_kind:
            if sign not in self.kinds:
                line = max((line for _, line in self.often), key=lambda line: line.number, default=self.once["quilt"])
                raise line.refuse(f"a block drawn for kind {sign}", "there is no such kind", f"add: kind {sign} ...")
        rows = self.lines("row")
        made = self._picture(name, rows) if rows else self._repeated(name)
        if (gone := self.once.get("cut")) is not None:
            made = gone.at(replace, made, cut=cut(gone))
        made = self._turned(made, bool(rows))
        made = self._bordered(made)
        used = {kind.name for kind in made.kinds}
        for line, kind in self.kinds.values():
            if kind.name not in used:
                raise line.refuse(
                    f"kind {kind.name}", "no cell and no border takes it", "put it into a row, or take its line out"
                )
        return self._with_own(self._with_fabrics(made))

    # Blocks

    def _kind(self, line: Line) -> None:
        sign, _, named = (part.strip() for part in line.text.partition(" "))
        if not SIGN.fullmatch(sign) or not named:
            raise line.refuse(
                f'"kind {line.text}"',
                "a kind has a name of one or two signs, a letter first, and a block",
                "write: kind N Nine Patch",
            )
        if sign in self.kinds:
            raise line.refuse(f"kind {sign} again", "it is said once", "give one of the two another name")
        block = self.drawn.for_kind.get(sign) or self._block(line, named)
        self.kinds[sign] = line, line.at(Kind, sign, block)

    def _block(self, line: Line, named: str) -> Block:
        if plain := _PLAIN.fullmatch(named):
            made = plain_block(plain[1] or "A", plain[2] or "light")  # type: ignore[arg-type]
            places = {letter: replace(place, scrappy=bool(plain[3])) for letter, place in made.places.items()}
            return replace(made, places=places)
        if named in self.drawn.by_name:
            return self.drawn.by_name[named]
        lettered = _LETTERED.fullmatch(named)
        name = lettered[1] if lettered else named
        drawn = self.drawn.by_name
        block = drawn[name] if name in drawn else line.at(self.find_block, name)
        if lettered is None:
            return block
        return line.at(reletter, block, dict(pair.split(" as ") for pair in lettered[2].split(", ")))

    def _named(self, line: Line, named: str) -> Kind:
        """The kind that is meant where it is used: by its name, or a block by its own."""
        if named in self.kinds:
            return self.kinds[named][1]
        block = self._block(line, named)
        same = next((kind for _, kind in self.kinds.values() if kind.block == block), None)
        if same is not None:
            return same
        made = Kind(sign_for(block, self.kinds), block)
        self.kinds[made.name] = line, made
        self.shared.add(made.name)
        return made

    # Cells

    def _sizes(self, name: str) -> tuple[Length, Length]:
        line = self.need("finished", "finished 9 in")
        sides = finished(line)
        # Sizes that no quilt has are refused here, whatever stands in it.
        line.at(repeated, name, plain_block(), *sides, 1, 1)
        return sides

    def _repeated(self, name: str) -> Quilt:
        line = self.need("made of", "made of Shoo Fly, or a row of names for each row of blocks")
        first = self._named(line, line.text)
        sides = self._sizes(name)
        rows, columns = (self.need(word, f"{word} 7") for word in ("rows", "columns"))
        counts = count(rows), count(columns)
        other = self.once.get("every other")
        second = self._named(other, other.text) if other else None
        columns.at(repeated, name, first.block, *sides, *counts)
        here = self.once.get("set") or self.once.get("sashing") or columns
        made = here.at(
            repeated, name, first.block, *sides, *counts, self._sashing(),
            setting=self._setting(), every_other=second.block if second else None,
        )  # fmt: skip
        signs = {kind.name: sign for kind, sign in zip(made.kinds, (first, second or first), strict=False)}
        cells = tuple(tuple(replace(cell, kind=signs[cell.kind].name) for cell in row) for row in made.cells)
        kinds = {first.name: first} | ({second.name: second} if second else {})
        used = {cell.kind for row in cells for cell in row}
        return here.at(replace, made, kinds=tuple(kind for kind in kinds.values() if kind.name in used), cells=cells)

    def _picture(self, name: str, rows: list[Line]) -> Quilt:
        for word in ("made of", "every other"):
            if word in self.once:
                raise self.once[word].refuse(
                    word, "the rows say what stands where", "leave it out, and name the blocks as kinds"
                )
        sides = self._sizes(name)
        kind = self._setting()
        cells = read_picture(rows, list(self.kinds), kind)
        used = {cell.kind for row in cells for cell in row}
        kinds = tuple(each for _, each in self.kinds.values() if each.name in used)
        here = self.once.get("set") or self.once.get("sashing") or rows[0]
        made = here.at(Quilt, name, kinds, cells, *sides, self._sashing(), setting=kind)
        for word, number in (("rows", made.rows), ("columns", made.columns)):
            if word in self.once and count(self.once[word]) != number:
                raise self.once[word].refuse(
                    f"{word} {self.once[word].text}",
                    f"the rows drawn make {number}",
                    "leave it out, or draw the rows",
                )
        return made

    def _setting(self) -> Setting:
        return setting(self.once["set"]) if "set" in self.once else STRAIGHT

    def _sashing(self) -> Sashing | None:
        return sashing(self.once["sashing"]) if "sashing" in self.once else None

    def _turned(self, made: Quilt, drawn: bool) -> Quilt:
        lines = self.lines("turn")
        if not lines:
            return made
        if drawn:
            raise lines[0].refuse("turn", "the rows say how each block lies", "write it there, as: N/90 or N/m90")
        if len(lines) == 1 and is_pattern(lines[0]):
            return with_lies(made, lines[0].at(turns, lines[0].text, made))
        return with_lies(made, turned_rows(lines, made.spots))

    # Borders

    def _bordered(self, made: Quilt) -> Quilt:
        for line, each in self._borders():
            kinds = [kind for _, kind in self.kinds.values() if kind.name in each.kinds]
            made = line.at(with_borders, made, (*made.borders, each), kinds)
        return made

    def _borders(self) -> list[tuple[Line, Border]]:
        found: list[tuple[Line, Border]] = []
        for word, line in self.often:
            if word == "border":
                if len(found) == BORDERS:
                    raise line.refuse("one more border", f"a quilt has at most {BORDERS}", "leave some out")
                found.append((line, border(line)))
                continue
            if word not in ("repeat", "corner", *SIDES):
                continue
            if not found:
                raise line.refuse(word, "it belongs to the border above it", "begin with: border 3 in")
            # Complaints about what it repeats belong to the line that says so.
            found[-1] = line, self._more(word, line, found[-1][1])
        return found

    def _more(self, word: str, line: Line, now: Border) -> Border:
        if word == "repeat":
            return self._repeat(line, now)
        if word == "corner":
            if now.corner:
                raise line.refuse(f"{word} again", "a border has one block in its corners", "leave one of them out")
            return replace(now, corner=self._named(line, line.text).name)
        return now.with_sides(
            side(line, each) if name == word else each for name, each in zip(SIDES, now.sides, strict=True)
        )

    def _repeat(self, line: Line, now: Border) -> Border:
        which, colon, rest = line.text.partition(":")
        sides = [part.strip() for part in which.split(",")] if colon else list(SIDES)
        line.options(sides, SIDES)
        along, of, named = (rest if colon else which).strip().partition(" of ")
        if not of or any(now.side(name).pieced for name in SIDES if name in sides):
            raise line.refuse(
                f'"repeat {line.text}"', "a border repeats one unit", "write it once, as: repeat 3 in of Sawtooth"
            )
        mirrored = along.startswith("mirrored ")
        unit = self._named(line, named.strip())
        pieced = Pieced(unit.name, line.at(length, along.removeprefix("mirrored ")), mirrored)

        def repeating(name: str, each: Side) -> Side:
            return replace(each, pieced=pieced) if name in sides else each

        return now.with_sides(repeating(name, each) for name, each in zip(SIDES, now.sides, strict=True))

    # Fabrics

    def _fabrics(self) -> dict[str, tuple[Line, str]]:
        found: dict[str, tuple[Line, str]] = {}
        for line in self.lines("fabric"):
            key, name = fabric(line)
            key = " ".join(key.split())
            if key in found:
                raise line.refuse(f"fabric {key} again", "it is said once", "remove one of the two lines")
            found[key] = line, name
        return found

    def _with_fabrics(self, made: Quilt) -> Quilt:
        several = len(made.kinds) > 1
        used: set[str] = set()
        kinds = []
        for kind in made.kinds:
            names = {}
            for letter in kind.block.places:
                # What is said of a letter alone holds for every kind that has it.
                told = next((key for key in (f"{kind.name} {letter}", letter) if key in self.fabrics), None)
                if told:
                    used.add(told)
                    names[letter] = self.fabrics[told][1]
                elif several and kind.name in self.shared:
                    names[letter] = f"Fabric {letter}"
            kinds.append(replace(kind, fabrics=names))
        for key, (line, _) in self.fabrics.items():
            sign, _, letter = key.partition(" ")
            if key not in used and sign in self.kinds and len(letter) == 1:
                has = ", ".join(self.kinds[sign][1].block.places)
                raise line.refuse(f"fabric {key}", f"kind {sign} has {has}", "name one of its letters")
        rest = {key: name for key, (_, name) in self.fabrics.items() if key not in used}
        return replace(made, kinds=tuple(kinds), fabrics=rest)

    def _with_own(self, made: Quilt) -> Quilt:
        cells = [list(row) for row in made.cells]
        done: set[tuple[int, int]] = set()
        for line in self.lines("at"):
            (row, column), fabrics = read_own(line)
            if not (0 <= row < len(cells) and 0 <= column < len(cells[row])):
                raise line.refuse(said(row, column), f"the quilt has {len(cells)} rows", "name a block that is there")
            now: Cell = cells[row][column]
            if not now.read:
                raise line.refuse(
                    f"a fabric at {said(row, column)}", "this block was not read", "name its kind first"
                )
            if (row, column) in done:
                raise line.refuse(f"at {said(row, column)} again", "it is said once", "write both in one line")
            done.add((row, column))
            has = made.kind(now.kind).block.places
            for letter in fabrics:
                if letter not in has:
                    raise line.refuse(f"{letter} = {fabrics[letter]}", f"its kind {now.kind} has {', '.join(has)}",
                                      "name one of these letters")  # fmt: skip
            cells[row][column] = replace(now, fabrics=fabrics)
        return replace(made, cells=tuple(map(tuple, cells))) if done else made
