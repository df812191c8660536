"""What stands on pages, line by line, and which of its numbers were reckoned again."""

from __future__ import annotations

import re
from dataclasses import dataclass, field

_NUMBER = re.compile(r"\d+(?:,\d{3})*(?:\.\d+)?(?: \d+/\d+|/\d+)?")
# Numbers that are the same on every quilt's page, or were typed; not reckoned, but looked at.
_ALWAYS = (
    r"tube 4 to 6 in across", r"16 in in 10 minutes at first, 300 in in 5 hours in all", r"50 lux", r"6 to 12 months", r"under 1/8 in",
    r"Notes 13/15", r"CIEDE2000", r"EN 16095", r"ISO 105-A02", r"W3C", r"every 1/4 in", r"with 1 in all round", r"with 2 in beyond all round, 4 in for large things",
    r"\b[1-4] (?:slight|plain|serious|gone):", r"^[1-7]\. ", r"3 when empty", r"with scrim: 8 to 10 in by its label; many teachers advise 3 to 4", r"2 in, some say 1",
    r"M\[a\]ry 187\[1\]", r"2026-11-\d\d", r"Fabric \d+, (?:light|medium|dark)", r"Unnamed block \d+", r"and \d+ more", r"fabric 42 in wide",
)  # fmt: skip


@dataclass
class Pages:
    """Pages with what was looked for on them.

    Parameters
    ----------
    lines : dict of str to list of str
        What stands on each, line by line.
    agreed, missed : list of str
        What was reckoned and stands there; what was reckoned and does not.
    """

    lines: dict[str, list[str]]
    agreed: list[str] = field(default_factory=list)
    missed: list[str] = field(default_factory=list)
    _covered: dict[str, list[tuple[int, int]]] = field(default_factory=dict)

    def says(self, page: str, words: str, *, at: str = "") -> bool:
        """Look for words on a page, in lines that begin with `at`; a number beside them is no part of them."""
        pattern = re.compile(rf"(?<![\d/.,]){re.escape(words)}(?![\d/]|[.,]\d)")
        found = False
        for line in self.lines[page]:
            if at and not line.startswith(at):
                continue
            for hit in pattern.finditer(line):
                self._covered.setdefault(line, []).append(hit.span())
                found = True
        (self.agreed if found else self.missed).append(f"{page}: {f'{at} ... ' if at else ''}{words}")
        return found

    def holds(self, what: str, true: bool) -> bool:
        """Keep a finding that is not looked for in words."""
        (self.agreed if true else self.missed).append(what)
        return true

    def covered(self, line: str, span: tuple[int, int]) -> None:
        """Mark a part of a line as reckoned."""
        self._covered.setdefault(line, []).append(span)

    def not_reckoned(self) -> list[str]:
        """List lines with a number that was neither reckoned nor is one that always stands there."""
        found = []
        for page, lines in self.lines.items():
            for line in dict.fromkeys(lines):
                spans = self._covered.get(line, []) + [
                    hit.span() for each in _ALWAYS for hit in re.finditer(each, line)
                ]
                left = [
                    hit[0]
                    for hit in _NUMBER.finditer(line)
                    if not any(a <= hit.start() and hit.end() <= b for a, b in spans)
                ]
                if left:
                    found.append(f"{page}: {', '.join(left)} in: {line[:160]}")
        return found

    def row(self, page: str, name: str, cells: int) -> tuple[str, list[str]]:
        """Give the first row of a table that begins with a name and has so many cells: its line and its cells."""
        for line in self.lines[page]:
            found = [each.strip() for each in line.split("|")]
            if len(found) == cells and found[0].startswith(name):
                return line, found
        return "", [""] * cells

    @property
    def numbers(self) -> int:
        """How many numbers stand on the pages."""
        return sum(len(_NUMBER.findall(line)) for lines in self.lines.values() for line in lines)


def between(text: str, begin: str, end: str) -> str:
    """Give what stands between two words."""
    return text.partition(begin)[2].partition(end)[0]
