"""A block and a draft as plain data for JSON."""

from __future__ import annotations

from typing import Any

from seamlore.draft.catalogue import find
from seamlore.draft.text.notation import write_block
from seamlore.draft.text.quilt_file import write_quilt
from seamlore.draft.where import SIDES
from seamlore.steps.draft.layouts import layouts_record
from seamlore.steps.draft.understand import BlockFacts, QuiltFacts, setting_words
from seamlore.steps.draft.vary import proportions_record


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
                "names": list(match.names),
                "exchanged": match.exchanged,
                "hidden": match.hidden,
                "places": {letter: list(here) for letter, here in match.places.items()},
                "share": round(match.share, 4),
                "only_there": [[list(map(float, corner)) for corner in seam] for seam in match.missing],
                "only_here": [[list(map(float, corner)) for corner in seam] for seam in match.extra],
            }
            for match in facts.matches
        ],
        "units": [
            {"kind": unit.kind, "patches": list(unit.patches), "box": [float(side) for side in unit.box]}
            for unit in facts.units
        ],
        "symmetry": {"says": str(facts.symmetry), "turns": facts.symmetry.turns, "ways": facts.symmetry.ways},
        "layouts": layouts_record(facts.layouts) if facts.layouts else None,
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
        "kinds": [
            {
                "kind": kind.name,
                "count": quilt.counts.get(kind.name, 0),
                "fabrics": {letter: quilt.fabric_of(quilt.key(kind, letter)) for letter in kind.block.places},
                "block": block_record(facts.blocks[kind.name]),
            }
            for kind in quilt.kinds
        ],
        "cells": [
            [
                {
                    "kind": cell.kind or None,
                    "turn": cell.lies.turn,
                    "mirrored": cell.lies.mirrored,
                    "fabrics": dict(cell.fabrics),
                }
                for cell in row
            ]
            for row in quilt.cells
        ],
        "not_read": [list(spot) for spot in quilt.not_read],
        "sashing": [gap.number for gap in quilt.gaps],
        "borders": [
            {name: border.side(name).width.number for name in SIDES} | {"corners": border.corners}
            for border in quilt.borders
        ],
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
        "setting": setting_words(quilt),
        **proportions_record(facts.proportions),
        "text": write_quilt(quilt, find_block=find),
    }
