"""Steps of sewing: what is joined, along which seams, pressed which way, and what the result should now measure.

All that a page draws of a step is in it: outlines of what is joined and of what comes of it, in their places, and every
seam from end to end.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import lru_cache
from typing import Literal

from seamlore.draft.block import Corner
from seamlore.errors import ShapeError
from seamlore.sewing.apart import Apart, Manner, Part, Way
from seamlore.sewing.joins import SeamManner, joins, seam_path
from seamlore.sewing.seammap import SeamMap, seam_map

Outline = tuple[Corner, ...]
# Which way the allowances of a seam lie: on the first of the two that it joins, on the second, open; fanned round a
# center that is pieced by hand; or not told.
Press = Literal["", "first", "second", "open", "fanned"]

# By machine, seams run from raw edge to raw edge; by hand from seam line to seam line, allowances left free; over papers
# the folded edges of pieces basted over papers are whipped together.
Method = Literal["machine", "hand", "papers"]


@dataclass(frozen=True, slots=True)
class Joined:
    """One of the things that a step joins, where it lies.

    Parameters
    ----------
    name : str
        The label of a piece, such as "A1", or the name of an earlier step.
    pieces : tuple of int
        Numbers of its pieces.
    outline : tuple of corners
        Finished, exact, in inches; clockwise.
    unlike : bool
        Whether it is one of those that are sewn or pressed otherwise than the first of their name.
    """

    name: str
    pieces: tuple[int, ...]
    outline: Outline
    unlike: bool = False

    @property
    def shown(self) -> str:
        """Its name, starred where it is unlike the first that has it."""
        return f"{self.name}*" if self.unlike else self.name


@dataclass(frozen=True, slots=True)
class Seam:
    """One seam of a step.

    Parameters
    ----------
    path : tuple of corners
        Its ends, and where it turns a corner: two for a straight seam. A seam that is begun is given with all its
        length along the pieces that it joins, and its first end is where sewing begins; it is left open at the other.
    first, second : tuple of int
        Which of the step's `parts` lie on its two sides: those that were joined before, and what is added.
    manner : {"straight", "begun", "finished", "stopped", "mitered", "set in"}
    press : {"", "first", "second", "open", "fanned"}
        On which of the two sides its allowances lie.
    """

    path: tuple[Corner, ...]
    first: tuple[int, ...]
    second: tuple[int, ...]
    manner: SeamManner = "straight"
    press: Press = ""


@dataclass(frozen=True, slots=True)
class Step:
    """One thing that is sewn, told once for all that are alike up to a turn.

    Parameters
    ----------
    name : str
        "unit 1", "row 2", "column 1", "the block": by which later steps call it.
    made : {"unit", "row", "whole"}
        A part of the block, a row of it, or all.
    manner : {"straight", "partial", "mitered", "set in"}
        Straight seams only; a partial seam; a frame with mitered corners; something set in.
    way : str
        How straight seams run: "across", "up and down", "on the diagonal", "at a slant".
    stage : int
        From 1 up; a step joins only what earlier stages made.
    parts : tuple of Joined
        What the first of them is joined from, in the order of sewing.
    seams : tuple of Seam
        In the order of sewing.
    outline : tuple of corners
        What comes of it: finished, exact, in inches, clockwise.
    copies : tuple of tuple of int
        The numbers of the pieces in each of them; the first is the one that `parts` tells of.
    presses : tuple of tuple of str
        Of each copy: how its seams are pressed, in the order of `seams`, which tell it of the first. Empty when it is
        not worked out.
    unlike : tuple of bool
        Of each copy: whether it is pressed otherwise than the first, or has parts that are. Empty when it is not worked out.
    clashes : tuple of corners
        Where in the first of them seams do not nest, however they are pressed.
    """

    name: str
    made: Literal["unit", "row", "whole"]
    manner: Manner
    way: Way
    stage: int
    parts: tuple[Joined, ...]
    seams: tuple[Seam, ...]
    outline: Outline
    copies: tuple[tuple[int, ...], ...]
    presses: tuple[tuple[Press, ...], ...] = ()
    unlike: tuple[bool, ...] = ()
    clashes: tuple[Corner, ...] = ()

    @property
    def other_way(self) -> int:
        """How many of them are pressed otherwise than the first."""
        return sum(each != self.presses[0] for each in self.presses)

    @property
    def other_parts(self) -> int:
        """How many of them are pressed as the first is, and have parts that are pressed otherwise than its own."""
        return sum(self.unlike) - self.other_way

    @property
    def count(self) -> int:
        """How many are made for one whole."""
        return len(self.copies)

    @property
    def pieces(self) -> tuple[int, ...]:
        """Numbers of the pieces in the first of them."""
        return self.copies[0]

    @property
    def joins(self) -> tuple[tuple[str, int], ...]:
        """What is joined and how many of each, in the order in which they first come."""
        names: dict[str, int] = defaultdict(int)
        for part in self.parts:
            names[part.name] += 1
        return tuple(names.items())

    @property
    def set_in(self) -> int:
        """How many seams turn a corner."""
        return sum(seam.manner == "set in" for seam in self.seams)


def sewing_steps(
    outlines: Sequence[Outline], labels: Sequence[str], *, alike: Sequence[str] = (), turning: bool = True
) -> tuple[Step, ...]:
    """Find the steps in which pieces of cloth are sewn together.

    Parameters
    ----------
    outlines : sequence of outlines
        Finished, exact, in inches, each where it lies; none over another.
    labels : sequence of str
        What each piece is called.
    alike : sequence of str, optional
        What tells which pieces may take each other's place, where the labels do not.
    turning : bool
        Whether parts that differ by quarter turns are alike.

    Returns
    -------
    tuple of Step
        In the order of sewing, the whole last; none for a single piece.

    Raises
    ------
    ShapeError
        When no order of seams sews them: no seam joins some, or a hole is left; they are named.

    Examples
    --------
    >>> from seamlore.draft.text.notation import read_block
    >>> four = read_block("block Four Patch\\nA dark\\nB light\\n\\nA B\\nB A")
    >>> made = sewing_steps([each.outline for each in four.patches], ["A", "B", "B", "A"])
    >>> [(step.name, step.joins, step.count, len(step.seams)) for step in made]
    [('row 1', (('A', 1), ('B', 1)), 2, 1), ('the block', (('row 1', 2),), 1, 1)]
    >>> sewing_steps([four.patches[0].outline], ["A"])
    ()
    """
    if len(outlines) < 2:
        return ()
    return sewn(tuple(outlines), tuple(labels), tuple(alike) or tuple(labels), turning).steps


@dataclass(frozen=True, eq=False)
class Sewn:
    """Pieces taken apart, and the steps that this gives.

    Parameters
    ----------
    net : SeamMap
    take : Apart
        Tells which parts are alike.
    whole : Part
    steps : tuple of Step
    """

    net: SeamMap
    take: Apart
    whole: Part
    steps: tuple[Step, ...]


# Fabrics are changed far more often than the block: the same one is asked for again and again.
@lru_cache(maxsize=64)
def sewn(outlines: tuple[Outline, ...], labels: tuple[str, ...], alike: tuple[str, ...], turning: bool) -> Sewn:
    """Take two or more pieces apart; as `sewing_steps`."""
    net = seam_map(outlines)
    _check(net, labels)
    take = Apart(net, alike, turning=turning)
    whole = take.whole()
    return Sewn(net, take, whole, _steps(net, take, whole, labels))


def _steps(net: SeamMap, take: Apart, whole: Part, labels: Sequence[str]) -> tuple[Step, ...]:
    kinds: dict[object, list[Part]] = defaultdict(list)
    for part in every_part(whole):
        kinds[take.key(part)].append(part)
    rows = {part.pieces: number for number, part in enumerate(whole.parts)}
    ordered = sorted(
        kinds.items(),
        key=lambda item: (
            item[1][0].height,
            min(rows.get(part.pieces, -1) for part in item[1]),
            min(part.pieces for part in item[1]),
        ),
    )
    names: dict[object, str] = {}
    counted = {"row": 0, "unit": 0}
    for key, parts in ordered:
        made = _made(parts[0], whole, take)
        if made == "whole":
            names[key] = "the block"
        else:
            counted[made] += 1
            # Rows that stand, as those of a block that is joined side by side, are columns.
            called = "column" if made == "row" and whole.way == "up and down" else made
            names[key] = f"{called} {counted[made]}"
    found = []
    for key, parts in ordered:
        parts.sort(key=lambda part: part.pieces)
        first = parts[0]
        joined = tuple(
            Joined(
                names[take.key(part)] if part.parts else labels[part.pieces[0]],
                part.pieces,
                net.outline(frozenset(part.pieces)),
            )
            for part in first.parts
        )
        found.append(
            Step(
                names[key],
                _made(first, whole, take),
                first.manner,
                first.way,
                first.height,
                joined,
                tuple(Seam(seam_path(net, join), join.first, join.second, join.manner) for join in joins(net, first)),
                net.outline(frozenset(first.pieces)),
                tuple(part.pieces for part in parts),
            )
        )
    return tuple(found)


def every_part(whole: Part) -> Iterator[Part]:
    """The whole and all its parts that are sewn."""
    stack = [whole]
    while stack:
        part = stack.pop()
        if part.parts:
            yield part
            stack += part.parts


def _check(net: SeamMap, labels: Sequence[str]) -> None:
    """Pieces that fill a place without a hole can always be sewn, if need be by seams that turn; others not."""
    groups = net.components(net.everything, ())
    if len(groups) > 1:
        first, other = (", ".join(dict.fromkeys(labels[piece] for piece in sorted(group))) for group in groups[:2])
        raise ShapeError(other, f"no seam joins it to {first}", "let them touch along a side")
    try:
        net.outline(net.everything)
    except ShapeError as fault:
        listed = ", ".join(dict.fromkeys(labels))
        raise ShapeError(listed, "a hole is left between them", "fill it with a piece of cloth") from fault


def _made(part: Part, whole: Part, take: Apart) -> Literal["unit", "row", "whole"]:
    if len(part.pieces) == len(whole.pieces):
        return "whole"
    # A block has its rows along its edges; a top has them on the diagonal too.
    rows = whole.way in ("across", "up and down") or not take.turning
    return "row" if part.row and part in whole.parts and rows else "unit"
