"""The part of the study sheet on its blocks: every kind drawn, counted, its fabrics by place."""

from __future__ import annotations

from collections.abc import Iterator

from seamlore.draft.cells import counts_said
from seamlore.draft.kinds import Kind
from seamlore.draft.quilt import Quilt
from seamlore.draft.unread import left_out_words
from seamlore.lengths import show, show_size
from seamlore.pictures.blocks import block_picture
from seamlore.pictures.palette import kind_cloths, quilt_cloths
from seamlore.printing.content import Beside, Block, Column, Figure, Paragraph, Section, Space, Span, Table
from seamlore.sheets.content import StudyContent

# Up to so many kinds of blocks are drawn large, each with a table of its places.
_LARGE_KINDS = 3


def blocks_part(content: StudyContent, quilt: Quilt, width: float) -> list[Block]:
    """Every kind of block: drawn, counted, its fabrics by place; smaller where there are many."""
    paints = quilt_cloths(quilt, content.cloths)
    few = len(quilt.kinds) <= _LARGE_KINDS
    side = 46.0 if few else 24.0
    rows: list[Block] = []
    for kind in quilt.kinds:
        block = kind.block
        drawn = block_picture(block, side, kind_cloths(quilt, kind, paints), letters=few)
        stack = ((Figure(drawn),), tuple(_kind_words(quilt, kind, few=few)))
        rows += [Beside(stack, (side, width - side - 8)), Space(2)]
    said = left_out_words(quilt, "drawn")
    if said:
        rows.append(Paragraph(said, "small"))
    if not rows:
        return []
    alone = len(quilt.kinds) == 1
    beside = (
        () if alone else (Paragraph(f"{counts_said(quilt)}. Letters are places; each kind of block has its own."),)
    )
    return [Section("The block" if alone else "The blocks", tuple(rows[:-1] if not said else rows), beside)]


def _kind_words(quilt: Quilt, kind: Kind, *, few: bool) -> Iterator[Block]:
    block, count = kind.block, quilt.counts.get(kind.name, 0)
    square = quilt.block_width == quilt.block_height
    size = show(quilt.block_width) if square else show_size(quilt.block_width, quilt.block_height)
    name = block.name if len(quilt.kinds) == 1 else f"{block.name} ({kind.name})"
    yield Paragraph(Span(name, "strong"))
    parts = [f"{count} of them" if count else "in the border"] if len(quilt.kinds) > 1 else []
    parts += [f"{size} finished"] if count else []
    parts += [f"{block.divisions} divisions"] if block.divisions > 1 else []
    yield Paragraph(", ".join(parts), "quiet")
    if block.also:
        yield Paragraph(f"Also called {', '.join(block.also)}.", "small")
    places = tuple(
        (letter, quilt.fabric_of(quilt.key(kind, letter)), place.value + (", many fabrics" if place.scrappy else ""))
        for letter, place in sorted(block.places.items())
    )
    if few:
        yield Table((Column("Place"), Column("Fabric", share=1), Column("Value")), places)
    else:
        yield Paragraph("; ".join(f"{letter} {fabric}, {value}" for letter, fabric, value in places), "small")
