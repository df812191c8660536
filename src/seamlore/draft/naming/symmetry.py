"""How a block may be turned and mirrored without looking different, and how many ways of laying it can be told apart."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Literal

from seamlore.draft.block import Block
from seamlore.draft.exact.lookup import inner_points, move_spots, patches_at, sides
from seamlore.draft.seams import moved, seams, stretches

Motion = tuple[Literal[0, 90, 180, 270], bool]
# A motion mirrors left to right (if so), then turns clockwise.
MOTIONS: tuple[Motion, ...] = tuple((turn, mirrored) for mirrored in (False, True) for turn in (0, 90, 180, 270))

# How the mirror line runs when a block is mirrored left to right and then turned: the two together are one mirroring.
_MIRRORS = {0: "upright", 90: "rising", 180: "lying", 270: "falling"}


@dataclass(frozen=True, slots=True)
class Symmetry:
    """The motions that leave a block looking the same.

    Parameters
    ----------
    motions : tuple of (turn, mirrored)
        Always with (0, False) first.
    """

    motions: tuple[Motion, ...]

    @property
    def turns(self) -> int:
        """How many of the four turns can be told apart: 1, 2 or 4."""
        return 4 // sum(not mirrored for _, mirrored in self.motions)

    @property
    def ways(self) -> int:
        """How many of the eight ways of laying it, turned and mirrored, can be told apart: 1, 2, 4 or 8."""
        return 8 // len(self.motions)

    @property
    def mirrors(self) -> tuple[str, ...]:
        """How its mirror lines run: "upright", "lying", "rising" (toward the right) or "falling"."""
        return tuple(_MIRRORS[turn] for turn, mirrored in self.motions if mirrored)

    @property
    def handed(self) -> bool:
        """Whether its mirror image is another block, however it is turned."""
        return not self.mirrors

    def __str__(self) -> str:
        same = sum(not mirrored for _, mirrored in self.motions)
        turned = {1: "looks different in each of four turns", 2: "looks the same turned half round",
                  4: "looks the same in every turn"}[same]  # fmt: skip
        lines = {0: "no mirror line", 1: "one mirror line", 2: "two mirror lines", 4: "four mirror lines"}
        return f"{turned}; {lines[len(self.mirrors)]}"


def symmetry(given: Block, *, fabrics: Literal["kept", "exchanged", "ignored"] = "kept") -> Symmetry:
    """Find the motions that leave a block looking the same.

    Parameters
    ----------
    given : Block
        Any block.
    fabrics : {"kept", "exchanged", "ignored"}
        Kept: each fabric comes to lie where that fabric lay. Exchanged: fabrics may change places with each
        other as wholes. Ignored: only the seams count.

    Returns
    -------
    Symmetry

    Examples
    --------
    >>> from seamlore.draft.catalogue import find
    >>> symmetry(find("Pinwheel")).turns, symmetry(find("Pinwheel")).handed
    (1, True)
    >>> print(symmetry(find("Log Cabin")))
    looks different in each of four turns; one mirror line
    >>> symmetry(find("Four Patch"), fabrics="exchanged").ways
    1
    """
    if fabrics == "ignored":
        drawn = stretches(seams(given))
        return _keeping(lambda turn, mirrored: moved(drawn, turn, mirrored) == drawn)
    seen = [seam for seam in seams(given) if len({given.patches[index].place for index in seam.patches}) == 2]
    drawn, found, spots = stretches(seen), sides(given), inner_points(given.patches)

    def same(turn: int, mirrored: bool) -> bool:
        if moved(drawn, turn, mirrored) != drawn:
            return False
        # Where the seams fall on seams, each patch falls on one place.
        pairs = {
            (given.patches[spot].place, given.patches[here].place)
            for here, spot in patches_at(found, move_spots(spots, turn, mirrored))
        }
        if fabrics == "kept":
            return all(one == two for one, two in pairs)
        return len(pairs) == len({one for one, _ in pairs}) == len({two for _, two in pairs})

    return _keeping(same)


def _keeping(same: Callable[[int, bool], bool]) -> Symmetry:
    return Symmetry(tuple(motion for motion in MOTIONS if same(*motion)))
