"""What is said of a quilt in words on the command line: the same words as in a draft file."""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import dataclass, replace

from seamlore.draft.block import VALUES, Block, Place
from seamlore.draft.border import Border, Pieced
from seamlore.draft.cells import with_borders
from seamlore.draft.kinds import Kind, plain_block, sign_for
from seamlore.draft.quilt import Quilt, Sashing
from seamlore.draft.setting.setting import Cut, Setting
from seamlore.draft.text import quilt_lines
from seamlore.draft.text.quilt_lines import Line
from seamlore.errors import NotationError, UnknownNameError, nearest
from seamlore.lengths import length


@dataclass(frozen=True, slots=True)
class Word(Line):
    """A line of a draft file that was said as an option; `source` names the option."""

    @property
    def where(self) -> str:
        """The place, for messages."""
        return self.source


def setting(text: str) -> Setting:
    """Read how blocks are set.

    Examples
    --------
    >>> setting("on point, half blocks")
    OnPoint(edge='half blocks')
    >>> setting("askew")
    Traceback (most recent call last):
        ...
    seamlore.errors.NotationError: --set: "askew": blocks are not set so; choose one of: offset, on point, straight, strips
    """
    return quilt_lines.setting(Word(0, text, "--set"))


def sashing(text: str) -> Sashing:
    """Read sashing: one width, or two with "by" between; "outside" and "cornerstones" after commas.

    Examples
    --------
    >>> sashing("2 in by 3 in, cornerstones").cornerstones
    True
    """
    return quilt_lines.sashing(Word(0, text, "--sashing"))


def cut(text: str) -> Cut:
    """Read how much the edge has cut off at some sides.

    Examples
    --------
    >>> cut("left 2 in").left
    Length('2 in')
    """
    return quilt_lines.cut(Word(0, text, "--cut"))


@dataclass(frozen=True, slots=True)
class SaidBorder:
    """A border as it was said: the border, and what it repeats, which becomes a kind of the quilt."""

    border: Border
    unit: str = ""
    along: str = ""
    mirrored: bool = False
    corner: str = ""


def border(text: str, *, mitered: bool = False) -> SaidBorder:
    """Read a border: width, corners and fabric as in a draft file; after them what it repeats and its corner block.

    Parameters
    ----------
    text : str
    mitered : bool
        Whether corners of which nothing is said are mitered.

    Examples
    --------
    >>> said = border("4 in, squares, ecru, repeat mirrored 4 in of Sawtooth, corner Ohio Star")
    >>> said.border.corners, said.border.top.fabric, said.unit, said.along, said.mirrored, said.corner
    ('squares', 'ecru', 'Sawtooth', '4 in', True, 'Ohio Star')
    >>> border("4 in, repeat Sawtooth")
    Traceback (most recent call last):
        ...
    seamlore.errors.NotationError: --border: "repeat Sawtooth": a border repeats one unit; write: repeat 3 in of a block
    """
    first, *more = re.split(r",\s*(?=(?:repeat|corner)\s)", text)
    made = quilt_lines.border(Word(0, first, "--border"))
    silent = not re.search(rf",\s*{made.corners}\b", first)
    said = SaidBorder(replace(made, corners="mitered") if mitered and silent else made)
    for part in more:
        word, _, rest = part.strip().partition(" ")
        if word == "corner":
            said = replace(said, corner=rest.strip())
            continue
        along, of, named = rest.partition(" of ")
        if not of:
            raise NotationError(
                f'"{part.strip()}"',
                "a border repeats one unit",
                "write: repeat 3 in of a block",
                where="--border",
            )
        mirrored = along.startswith("mirrored ")
        said = replace(said, unit=named.strip(), along=along.removeprefix("mirrored "), mirrored=mirrored)
    if said.corner and not said.unit:
        raise NotationError(
            f'"corner {said.corner}"',
            "a corner block belongs to a border that repeats a unit",
            "say what it repeats",
            where="--border",
        )
    return said


def bordered(quilt: Quilt, said: SaidBorder, find: Callable[[str], Block]) -> Quilt:
    """Sew one more border round a quilt; what it repeats is one more kind of block, unless the quilt has it.

    Raises
    ------
    SeamloreError
        When it repeats a unit that does not divide evenly, saying by how much and what would.
    """
    made, kinds = said.border, list(quilt.kinds)

    def kind_of(name: str) -> str:
        block = find(name)
        known = next((kind for kind in kinds if kind.block == block), None)
        if known is None:
            known = Kind(sign_for(block, {kind.name for kind in kinds}), block)
            kinds.append(known)
        return known.name

    if said.unit:
        pieced = Pieced(kind_of(said.unit), length(said.along), said.mirrored)
        made = made.with_sides(replace(side, pieced=pieced) for side in made.sides)
        made = replace(made, corner=kind_of(said.corner) if said.corner else None)
    return with_borders(quilt, (*quilt.borders, made), kinds)


def every_other(text: str, find: Callable[[str], Block]) -> Block:
    """Read the block that takes every other place: "plain", "plain dark", or the name or file of a block.

    Examples
    --------
    >>> from seamlore.draft.catalogue import find
    >>> every_other("plain dark", find).places
    {'A': Place(value='dark', scrappy=False)}
    """
    kind, _, value = text.strip().partition(" ")
    if kind == "plain" and (not value or value in VALUES):
        return plain_block("A", value or "light")
    return find(text)


def scrappy(block: Block, letters: str) -> Block:
    """Make places of a block scrappy.

    Examples
    --------
    >>> from seamlore.draft.catalogue import find
    >>> scrappy(find("nine patch"), "A").places["A"].scrappy
    True
    >>> scrappy(find("nine patch"), "Q")
    Traceback (most recent call last):
        ...
    seamlore.errors.UnknownNameError: --scrappy: place Q: Nine Patch has none; choose one of: A, B
    """
    wanted = re.findall(r"[^\s,]+", letters)
    for letter in wanted:
        if letter not in block.places:
            raise UnknownNameError(
                f"place {letter}", f"{block.name} has none", nearest(letter, block.places), where="--scrappy"
            )
    places = {letter: Place(place.value, place.scrappy or letter in wanted) for letter, place in block.places.items()}
    return replace(block, places=places)
