"""What the page Decide says of a carried quilt, reckoned again."""

from __future__ import annotations

import re
from collections import Counter
from fractions import Fraction
from functools import cached_property

from judging.carrying import cloth, giving, keeping, opening
from judging.carrying.assessed import Assessing
from judging.carrying.sums import read


class Deciding:
    """A carried quilt, and what of it the page must say."""

    def __init__(self, assessing: Assessing) -> None:
        self.of, self.carried, self.pages, self.typed = assessing, assessing.carried, assessing.pages, assessing.typed
        draft = self.carried.files["draft"]
        self.b = _lengths(re.search(r"(?m)^finished (.*)", draft))[0]
        gap = _lengths(re.search(r"(?m)^sashing (.*)", draft))
        self.gap, self.outside = (
            (gap[0] if gap else Fraction(0)),
            "outside" in (re.search(r"(?m)^sashing (.*)", draft) or [""])[0],
        )
        self.rows, self.columns = self.of.reading["rows"], self.of.reading["columns"]
        self.tape = tuple(Fraction(side).limit_denominator(64) for side in self.of.reading["size"])
        self.left, self.seam = read(self.typed["allowance"]), Fraction(1, 4)
        self.sewn = self.b + 2 * self.left - 2 * self.seam
        self.cut = {side: Fraction(gone).limit_denominator(64) for side, gone in self.carried.laid["cut"].items()}
        self.sides = {
            at: tuple(side for side, there in self._ends(at).items() if there and side in self.cut)
            for at in self.of.states
        }
        fine = Counter(len(self.sides[at]) for at, verdict in self.of.states.items() if verdict == "sound")
        self.sound, self.edge, self.corners = fine[0], fine[1], fine[2]
        self.drops = bool(self.cut) and self.typed.get("cut_blocks") == "left out"

    def _ends(self, at: tuple[int, int]) -> dict[str, bool]:
        return {
            "left": at[1] == 0,
            "top": at[0] == 0,
            "right": at[1] == self.columns - 1,
            "bottom": at[0] == self.rows - 1,
        }

    def all(self) -> None:
        """Reckon everything."""
        for part in (keeping, opening, giving, cloth):
            part.check(self)

    def say(self, words: str, *, at: str = "") -> bool:
        """Look for words on the page."""
        return self.pages.says("decide", words, at=at)

    @cached_property
    def text(self) -> str:
        """The page on one line."""
        return " ".join(self.pages.lines["decide"])


def _lengths(found: re.Match[str] | None) -> list[Fraction]:
    return [read(each) for each in re.findall(r"(\d[\d/ ]*) in\b", found[1])] if found else []
