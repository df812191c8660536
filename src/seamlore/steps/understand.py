"""Understand a block or a quilt: names, units, symmetry, pieces, proportions, as text-ready facts and plain data."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from seamlore.draft.block import Block
from seamlore.draft.catalogue import find
from seamlore.draft.naming import Match, name_block
from seamlore.draft.notation import write_block
from seamlore.draft.pieces import Piece, pieces
from seamlore.draft.proportion import Proportions, proportions
from seamlore.draft.quilt import Quilt
from seamlore.draft.quilt_file import write_quilt
from seamlore.draft.symmetry import Symmetry, symmetry
from seamlore.draft.units import Unit, units

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
    units : tuple of Unit
    symmetry : Symmetry
    """

    block: Block
    matches: tuple[Match, ...]
    units: tuple[Unit, ...]
    symmetry: Symmetry

    @property
    def unit_counts(self) -> dict[str, int]:
        """How many units of each kind, in the order in which they come."""
        counts: dict[str, int] = {}
        for unit in self.units:
            counts[unit.kind] = counts.get(unit.kind, 0) + 1
        return counts


@dataclass(frozen=True, slots=True)
class QuiltFacts:
    """What there is to know of a draft: its block, its pieces, its proportions."""

    quilt: Quilt
    block: BlockFacts
    pieces: tuple[Piece, ...]
    proportions: Proportions


def of_block(block: Block, matches: tuple[Match, ...] | None = None) -> BlockFacts:
    """Gather the facts of a block; `matches` when its names were looked up before.

    Examples
    --------
    >>> facts = of_block(find("shoo fly"))
    >>> facts.matches[0].block.name, facts.symmetry.turns, facts.unit_counts
    ('Shoo Fly', 1, {'half-square triangle': 4})
    """
    return BlockFacts(block, name_block(block) if matches is None else matches, units(block), symmetry(block))


def of_quilt(quilt: Quilt) -> QuiltFacts:
    """Gather the facts of a draft."""
    return QuiltFacts(quilt, of_block(quilt.block), pieces(quilt), proportions(quilt))


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


def block_record(facts: BlockFacts) -> dict[str, Any]:
    """Give the facts of a block as plain data for JSON."""
    block = facts.block
    return {
        "name": block.name,
        "also": list(block.also),
        "family": block.family,
        "divisions": block.divisions,
        "places": {
            letter: {"value": place.value, "scrappy": place.scrappy} for letter, place in block.places.items()
        },
        "patches": [
            {
                "outline": [[float(x), float(y)] for x, y in each.outline],
                "place": each.place,
                "area": float(each.area),
            }
            for each in block.patches
        ],
        "matches": [
            {
                "name": match.block.name,
                "kind": match.kind,
                "turn": match.turn,
                "mirrored": match.mirrored,
                "exchanged": match.exchanged,
                "share": round(match.share, 4),
            }
            for match in facts.matches
        ],
        "units": [
            {"kind": unit.kind, "patches": list(unit.patches), "box": [float(side) for side in unit.box]}
            for unit in facts.units
        ],
        "symmetry": {"says": str(facts.symmetry), "turns": facts.symmetry.turns, "ways": facts.symmetry.ways},
        "notes": list(block.notes),
        "text": write_block(block),
    }


def quilt_record(facts: QuiltFacts) -> dict[str, Any]:
    """Give the facts of a draft as plain data for JSON; lengths are numbers in its `unit`."""
    quilt = facts.quilt
    return {
        "name": quilt.name,
        "unit": str(quilt.unit),
        "finished": [side.number for side in quilt.finished_size],
        "block_size": [quilt.block_width.number, quilt.block_height.number],
        "rows": quilt.rows,
        "columns": quilt.columns,
        "blocks": len(quilt.spots),
        "sashing": [gap.number for gap in quilt.gaps],
        "borders": [border.width.number for border in quilt.borders],
        "block": block_record(facts.block),
        "pieces": [
            {
                "label": piece.label,
                "role": piece.role,
                "fabric": piece.fabric,
                "count": piece.count,
                "box_in": [float(side) for side in piece.box],
                "area_sq_in": float(piece.area),
            }
            for piece in facts.pieces
        ],
        "shares": {value: float(share) for value, share in facts.proportions.shares.items()},
        "customs": [str(custom) for custom in facts.proportions.customs],
        "text": write_quilt(quilt, find_block=find),
    }
