"""A draft in the unit that a study is shown in."""

from __future__ import annotations

from dataclasses import replace

from seamlore.draft.quilt import Quilt
from seamlore.draft.setting.setting import Cut, Strips
from seamlore.lengths import Unit


def in_unit_of(quilt: Quilt, unit: Unit) -> Quilt:
    """Show a draft's lengths in another unit; their sizes stay what they are.

    Examples
    --------
    >>> from seamlore.draft.catalogue import find
    >>> from seamlore.draft.repeated import repeated
    >>> from seamlore.lengths import inches
    >>> str(in_unit_of(repeated("q", find("shoo fly"), inches(10), inches(10), 1, 1), Unit.CM).block_width)
    '25.4 cm'
    """
    if quilt.unit is unit:
        return quilt
    sashing = quilt.sashing and replace(
        quilt.sashing,
        between_columns=quilt.sashing.between_columns.shown_in(unit),
        between_rows=quilt.sashing.between_rows.shown_in(unit),
    )
    borders = tuple(
        border.with_sides(
            replace(
                side,
                width=side.width.shown_in(unit),
                pieced=side.pieced and replace(side.pieced, length=side.pieced.length.shown_in(unit)),
            )
            for side in border.sides
        )
        for border in quilt.borders
    )
    setting = quilt.setting
    if isinstance(setting, Strips):
        setting = replace(setting, width=setting.width.shown_in(unit))
    cut = quilt.cut
    return replace(
        quilt,
        block_width=quilt.block_width.shown_in(unit),
        block_height=quilt.block_height.shown_in(unit),
        sashing=sashing,
        borders=borders,
        setting=setting,
        cut=cut and Cut(*(getattr(cut, side).shown_in(unit) for side in ("left", "top", "right", "bottom"))),
    )
