"""What `seamlore draft` says: lines for a terminal, headings first."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING, Any

import click

from seamlore.cli import common
from seamlore.lengths import show, show_size
from seamlore.steps.draft.listing import name_claims
from seamlore.steps.draft.understand import (
    BlockFacts,
    QuiltFacts,
    block_file,
    border_words,
    differs_words,
    kinds_words,
    match_words,
    setting_words,
)
from seamlore.steps.draft.vary import Tried, proportion_words

if TYPE_CHECKING:
    from seamlore.draft.block import Block
    from seamlore.draft.catalogue import Entry
    from seamlore.draft.sizes.bed import BedFit


def say(lines: Sequence[str]) -> None:
    """Print lines; those that are not indented are headings."""
    for line in lines:
        common.say(line, bold=bool(line) and not line.startswith(" "))


def block_lines(facts: BlockFacts) -> list[str]:
    """Give what there is to say of a block."""
    block = facts.block
    count = len(block.patches)
    lines = [
        f"{block.name}{_also(block)}",
        f"  {count} patch{'es' * (count != 1)} on {_divisions(block)}; {facts.symmetry}",
    ]
    ways = f"{facts.symmetry.ways} of its 8 ways of lying, turned and mirrored, can be told apart"
    lines.append(f"  {ways}")
    for kind, number in facts.unit_counts.items():
        # Numbered as --units takes them.
        which = ", ".join(str(at) for at, unit in enumerate(facts.units, start=1) if unit.kind == kind)
        lines.append(f"  {number} {kind} unit{'s' * (number > 1)} (number{'s' * (number > 1)} {which})")
    if facts.layouts:
        lines.append(f"  {facts.layouts}")
    lines += [f"  {note}" for note in block.notes]
    for name, heads in name_claims(block).items():
        lines.append(f"  {name} is also a name of {' and '.join(heads)}")
    others = [match for match in facts.matches if match.block.name != block.name]
    if others:
        lines += ["", "In the catalogue"]
    for match in others:
        lines.append(f"  {match_words(match)}")
        if differs := differs_words(match):
            lines.append(f"    {differs}")
    return lines


def say_file(facts: BlockFacts) -> None:
    """Print a block's file as it is, in whatever words the rest is said."""
    common.say("\nIts file", bold=True)
    for line in block_file(facts):
        click.echo(f"  {line}")


def _divisions(block: Block) -> str:
    if not block.on_grid:
        return "no even grid: the square root of two is in its measures"
    return f"{block.divisions} division{'s' * (block.divisions != 1)}"


def quilt_lines(facts: QuiltFacts) -> list[str]:
    """Give what there is to say of a quilt."""
    quilt = facts.quilt
    square = quilt.block_width == quilt.block_height
    size = show(quilt.block_width) if square else show_size(quilt.block_width, quilt.block_height)
    # Those that were not read are told below, and are of no kind.
    count = sum(quilt.counts.values())
    lines = [
        f"{quilt.name}: {show_size(*quilt.finished_size)} finished",
        f"  {count} {f'{quilt.made_of} ' if len(quilt.counts) == 1 else ''}block{'s' * (count != 1)} of {size}, {facts.rows}",
        *(f"  {said}" for said in kinds_words(quilt)),
        f"  {setting_words(quilt)}",
    ]
    gaps = [show(gap) for gap in dict.fromkeys(quilt.gaps) if gap.inches]
    if gaps:
        lines.append(f"  sashing {' and '.join(gaps)}")
    lines += [f"  border {said}" for said in border_words(quilt)]
    pieces = sum(piece.count for piece in facts.pieces)
    lines.append(
        f"  {pieces:,} piece{'s' * (pieces != 1)} of {len(facts.pieces)} kind{'s' * (len(facts.pieces) != 1)}"
    )
    return [*lines, *(f"  {line}" for line in proportion_words(facts.proportions))]


def fits_lines(fits: Sequence[BedFit]) -> list[str]:
    """Give the ways of coming near to a bed, the nearest first."""
    return ["", "Nearest to the bed", *(f"  {each}" for each in fits)]


def fits_record(fits: Sequence[BedFit]) -> list[dict[str, Any]]:
    """Give the same as plain data for JSON; lengths are numbers in the quilt's unit."""
    return [
        {
            "rows": each.quilt.rows,
            "columns": each.quilt.columns,
            "outer_border": each.quilt.borders[-1].top.width.number if each.quilt.borders else None,
            "finished": [side.number for side in each.quilt.finished_size],
            "over": [side.shown_in(each.quilt.unit).number for side in each.over],
        }
        for each in fits
    ]


def tried_lines(tried: Sequence[Tried]) -> list[str]:
    """Give variants one after the other, with their proportions."""
    lines = ["", "Tried"]
    for each in tried:
        quilt = each.variant.quilt
        if quilt is None or each.proportions is None:
            lines.append(f"  {each.variant.label}: cannot be sewn: {each.variant.why_not}")
            continue
        lines.append(f"  {each.variant.label}: {show_size(*quilt.finished_size)} finished")
        lines += [f"    {line}" for line in proportion_words(each.proportions)]
    return lines


def catalogue_lines(entries: Sequence[Entry]) -> list[str]:
    """Give the catalogue, a line for each entry; a family of drawings with the numbers that can be drawn."""
    lines = []
    for each in entries:
        span = f"{each.family.span}, {each.family.usual} when none is said" if each.family else _divisions(each.block)
        lines.append(f"  {each.name}{_also(each.block)}: {each.block.family}, {span}; {each.source}")
    return lines


def _also(block: Block) -> str:
    return f" (also {', '.join(block.also)})" if block.also else ""
