"""Understand a block or a quilt: names, units, symmetry, pieces, proportions, as text-ready facts and plain data."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import lru_cache

from seamlore.draft.block import Block, Patch, Place, Value
from seamlore.draft.border import widths_said
from seamlore.draft.catalogue import claims, find
from seamlore.draft.cells import counts_said, every_other, rows_said
from seamlore.draft.naming.naming import Match, name_block
from seamlore.draft.naming.symmetry import Symmetry, symmetry
from seamlore.draft.pieces import Piece, pieces
from seamlore.draft.quilt import Quilt
from seamlore.draft.setting.setting import Offset, OnPoint, Strips
from seamlore.draft.setting.turns import PATTERNS, PLAIN_PATTERNS, turns
from seamlore.draft.sizes.proportion import Proportions, proportions
from seamlore.draft.text.notation import write_block
from seamlore.draft.units import BlockUnit, units
from seamlore.draft.unread import not_read_words
from seamlore.errors import SeamloreError
from seamlore.lengths import show
from seamlore.once import Very
from seamlore.steps.draft.layouts import Layouts, layouts_of
from seamlore.steps.draft.open_kind import open_kind

_KINDS = {
    "same": "the same drawing",
    "scrappy": "the same drawing, with more fabrics",
    "values": "the same seams, light and dark otherwise",
    "near": "near",
}


@dataclass(frozen=True, slots=True)
class BlockFacts:
    """What there is to know of a block.

    Parameters
    ----------
    block : Block
    matches : tuple of Match
        Entries of the catalogue, the best first.
    units : tuple of BlockUnit
    symmetry : Symmetry
    layouts : Layouts or None
        How many blocks could be laid from its squares, when it is a grid of half-square triangles.
    """

    block: Block
    matches: tuple[Match, ...]
    units: tuple[BlockUnit, ...]
    symmetry: Symmetry
    layouts: Layouts | None = None

    @property
    def unit_counts(self) -> dict[str, int]:
        """How many units of each kind, in the order in which they come."""
        counts: dict[str, int] = {}
        for unit in self.units:
            counts[unit.kind] = counts.get(unit.kind, 0) + 1
        return counts


@dataclass(frozen=True, slots=True)
class QuiltFacts:
    """What there is to know of a draft: its blocks by the names of their kinds, its pieces, its proportions."""

    quilt: Quilt
    blocks: Mapping[str, BlockFacts]
    pieces: tuple[Piece, ...]
    proportions: Proportions

    @property
    def rows(self) -> str:
        """How its blocks stand, in words."""
        return rows_said(self.quilt)


def of_block(block: Block, matches: tuple[Match, ...] | None = None) -> BlockFacts:
    """Gather the facts of a block; `matches` when its names were looked up before.

    Examples
    --------
    >>> facts = of_block(find("shoo fly"))
    >>> facts.matches[0].block.name, facts.symmetry.turns, facts.unit_counts
    ('Shoo Fly', 1, {'half-square triangle': 4})
    """
    names = name_block(block) if matches is None else matches
    return BlockFacts(block, names, *_of_drawing(Very(block.patches)))


# Neither its name nor how light its places are has a part in these, and its patches outlast most edits.
@lru_cache(maxsize=256)
def _of_drawing(patches: Very[tuple[Patch, ...]]) -> tuple[tuple[BlockUnit, ...], Symmetry, Layouts | None]:
    block = Block("", 1, patches.value, {each.place: Place("light") for each in patches.value})
    found = units(block)
    return found, symmetry(block), layouts_of(block, found)


def also_called(block: Block) -> list[tuple[str, list[Block]]]:
    """Give the names of a block that other drawings go by too, each with these drawings.

    Examples
    --------
    >>> [(name, [each.name for each in others]) for name, others in also_called(find("churn dash"))]
    [('Monkey Wrench', ['Double Monkey Wrench', "Snail's Trail"])]
    >>> also_called(find("shoo fly"))
    []
    """
    return [(name, [find(each) for each in heads]) for name, heads in claims(block).items()]


def of_quilt(quilt: Quilt, values: Mapping[str, Value] | None = None) -> QuiltFacts:
    """Gather the facts of a draft; `values` of what is not a place, such as the sashing."""
    blocks = {kind.name: of_block(kind.block) for kind in quilt.kinds}
    return QuiltFacts(quilt, blocks, pieces(quilt), proportions(quilt, values))


def quilt_of(given: Block | Quilt) -> Quilt | None:
    """Give the quilt that is meant; None when it is a block alone."""
    return given if isinstance(given, Quilt) else None


def block_of(given: Block | Quilt) -> Block:
    """Give the block that is meant, or that most of a quilt is made of."""
    return given if isinstance(given, Block) else open_kind(given).block


def block_file(facts: BlockFacts) -> list[str]:
    """Give the lines of a block's file."""
    return write_block(facts.block).splitlines()


def kinds_words(quilt: Quilt) -> list[str]:
    """Say how many blocks there are of each kind where there are several, and which were not read.

    Examples
    --------
    >>> from seamlore.draft.repeated import repeated
    >>> from seamlore.lengths import inches
    >>> kinds_words(repeated("q", find("nine patch"), inches(9), inches(9), 5, 5, every_other=find("pinwheel")))
    ['13 Nine Patch and 12 Pinwheel']
    """
    lines = [counts_said(quilt)] if len(quilt.counts) > 1 else []
    return [*lines, *([not_read_words(quilt)] if quilt.not_read else [])]


def border_words(quilt: Quilt) -> list[str]:
    """Say of each border how wide it is, how its corners are made, and what it repeats.

    Examples
    --------
    >>> from seamlore.draft.border import border
    >>> from seamlore.draft.repeated import repeated
    >>> from seamlore.lengths import inches
    >>> wide = border(inches(4), corners="mitered")
    >>> border_words(repeated("q", find("nine patch"), inches(9), inches(9), 5, 5, borders=(wide,)))
    ['4 in, mitered']
    """
    found = []
    for border in quilt.borders:
        repeats = dict.fromkeys(side.pieced for side in border.sides if side.pieced)
        said = "".join(f", repeating {show(each.length)} of {quilt.kind(each.kind).block.name}" for each in repeats)
        found.append(f"{widths_said(border)}, {border.corners}{said}")
    return found


def setting_words(quilt: Quilt) -> str:
    """Say how the blocks of a quilt are set.

    Examples
    --------
    >>> from seamlore.draft.repeated import repeated
    >>> from seamlore.lengths import inches
    >>> quilt = repeated("q", find("log cabin"), inches(9), inches(9), 4, 4)
    >>> setting_words(quilt)
    'set straight'
    >>> from seamlore.draft.cells import with_lies
    >>> setting_words(with_lies(quilt, turns("barn raising", quilt)))
    'set straight; turned in a barn raising'
    """
    setting = quilt.setting
    match setting:
        case OnPoint():
            words = "set on point, " + (
                "with side and corner triangles" if setting.edge == "triangles" else "the edge halving blocks"
            )
        case Offset():
            ends = "cut blocks" if setting.ends == "cut blocks" else "plain pieces"
            words = f"rows offset by half a block, {ends} at their ends"
        case Strips():
            words = f"set in strips of {show(setting.width)}{', blocks on point' * setting.on_point}"
        case _:
            words = "set straight"
    pair = every_other(quilt)
    if pair and pair[0] != pair[1]:
        words += f", every other block {quilt.kind(pair[1]).block.name}"
    if quilt.turned:
        pattern = _pattern(quilt)
        turned = f"{len(quilt.turned)} block{'s' * (len(quilt.turned) != 1)} turned"
        words += (
            f"; turned in a {pattern}" if pattern in PATTERNS else f"; {turned}{f' {pattern}' if pattern else ''}"
        )
    if quilt.cut:
        words += "; outer blocks cut by the edge"
    return words


def _pattern(quilt: Quilt) -> str:
    """The pattern that the blocks are turned in; empty when it is none that has a name."""
    for name in (*PATTERNS, *PLAIN_PATTERNS):
        try:
            if turns(name, quilt) == quilt.turned:
                return name
        except SeamloreError:
            # A pattern that does not fit this quilt is not the one it has.
            continue
    return ""


def match_words(match: Match) -> str:
    """Say how an entry of the catalogue fits.

    Examples
    --------
    >>> match_words(name_block(find("shoo fly"))[0])
    'Shoo Fly: the same drawing'
    """
    names = ", ".join(match.names)
    ways = [_KINDS[match.kind]]
    if match.kind == "near":
        ways = [f"near, {round(100 * match.share)} in 100 of the seams in common"]
    if match.mirrored:
        ways.append("mirrored")
    if match.turn:
        ways.append(f"turned {match.turn} degrees")
    if match.exchanged:
        ways.append("light and dark exchanged")
    if match.hidden:
        ways.append("as far as its seams show")
    return f"{names}: {', '.join(ways)}"


def differs_words(match: Match) -> str:
    """Say how many seams an entry has more and fewer than the block; empty when their seams are the same.

    Examples
    --------
    >>> differs_words(name_block(find("shoo fly"))[0])
    ''
    >>> [differs_words(match) for match in name_block(find("shoo fly")) if match.block.name == "Churn Dash"]
    ['it has 4 seams more']
    """
    said = [
        f"{len(segments)} seam{'s' * (len(segments) != 1)} {what}"
        for segments, what in ((match.missing, "more"), (match.extra, "fewer"))
        if segments
    ]
    return f"it has {' and '.join(said)}" if said else ""
