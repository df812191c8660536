"""Change a draft by its fields: sizes, counts, sashing, borders, setting, fabrics."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import replace
from fractions import Fraction

from seamlore.draft.border import Border, border, widths_said
from seamlore.draft.cells import counts_said, every_other, rows_said, with_borders, with_cells, with_counts
from seamlore.draft.kinds import Cell, Kind, plain_block, sign_for
from seamlore.draft.quilt import Quilt, Sashing
from seamlore.draft.setting.setting import STRAIGHT, OnPoint, Setting, takes_every_other
from seamlore.draft.sizes.variants import with_sizes
from seamlore.errors import SeamloreError, ShapeError, plain
from seamlore.lengths import Length, length, show, show_size
from seamlore.limits import PAGE_ROWS, whole_number


def fields_of(quilt: Quilt) -> dict[str, str]:
    """Give a draft's fields as they are shown.

    Examples
    --------
    >>> from seamlore.draft.catalogue import find
    >>> from seamlore.draft.repeated import repeated
    >>> from seamlore.lengths import inches
    >>> fields_of(repeated("q", find("shoo fly"), inches(9), inches(9), 7, 8))["block_width"]
    '9 in'
    """
    across, down = quilt.gaps
    pair = every_other(quilt)
    return {
        "block_width": str(quilt.block_width),
        "block_height": str(quilt.block_height) if quilt.block_height != quilt.block_width else "",
        "rows": str(quilt.rows),
        "columns": str(quilt.columns),
        "sashing": str(across) if across else "",
        "sashing_down": str(down) if down != across else "",
        # One width where all sides have it; sides that differ are `borders.border_fields`.
        "border": str(quilt.borders[0].top.width) if quilt.borders and len(quilt.borders[0].widths) == 1 else "",
        "cornerstones": "yes" if quilt.sashing and quilt.sashing.cornerstones else "",
        "outer": "yes" if quilt.sashing and quilt.sashing.outer else "",
        "setting": "on point" if isinstance(quilt.setting, OnPoint) else "straight",
        "alternate": "yes" if pair is not None and pair[0] != pair[1] else "",
    }


def changed(quilt: Quilt, fields: Mapping[str, str]) -> tuple[Quilt, dict[str, str]]:
    """Change a draft by its fields.

    Parameters
    ----------
    quilt : Quilt
    fields : mapping of str to str
        As `fields_of` gives them, some changed; bare lengths are in the draft's unit.

    Returns
    -------
    quilt : Quilt
        With every field that can be read; with the old draft when the whole cannot be made.
    slips : dict of str to str
        What is wrong, by field; "whole" for what is wrong with all of it together.

    Examples
    --------
    >>> from seamlore.draft.catalogue import find
    >>> from seamlore.draft.repeated import repeated
    >>> from seamlore.lengths import inches
    >>> old = repeated("q", find("shoo fly"), inches(9), inches(9), 7, 8)
    >>> new, slips = changed(old, {**fields_of(old), "sashing": "2", "rows": "none"})
    >>> print(new.gaps[0], new.rows, slips)
    2 in 7 {'rows': '"none" rows: a whole number from 1 to 60; count them'}
    """
    slips: dict[str, str] = {}
    unit = quilt.unit
    shown = fields_of(quilt)

    def read(name: str, now: Length | None) -> Length | None:
        text = fields.get(name, "").strip()
        if not text:
            return None
        if text == shown[name]:
            # As it was shown, which is rounded: 9 in is not 22.9 cm.
            return now
        try:
            return length(text, unit=unit)
        except SeamloreError as fault:
            slips[name] = str(fault)
            return now

    def count(name: str, now: int) -> int:
        text = fields.get(name, "").strip()
        number = whole_number(text)
        if number is None or not 1 <= number <= PAGE_ROWS:
            slips[name] = plain(f'"{text}" {name}: a whole number from 1 to {PAGE_ROWS}; count them')
            return now
        return number

    across_now, down_now = quilt.gaps
    width = read("block_width", quilt.block_width) or quilt.block_width
    height = read("block_height", quilt.block_height) or width
    across, down = read("sashing", across_now), read("sashing_down", down_now)
    borders = _bordered(quilt, fields.get("border", shown["border"]), read)
    on_point = fields.get("setting") == "on point"
    try:
        setting, rows, columns = _setting(quilt, on_point), count("rows", quilt.rows), count("columns", quilt.columns)
        alternating = quilt if fields.get("alternate", "") == shown["alternate"] else _alternated(quilt)
        new = with_counts(
            alternating,
            rows,
            columns,
            setting,
            block_width=width,
            block_height=height,
            sashing=_sashing(across, down, fields),
            borders=borders,
            cut=None,
        )
    except SeamloreError as fault:
        slips["whole"] = str(fault)
        return quilt, slips
    return new, slips


def _sashing(across: Length | None, down: Length | None, fields: Mapping[str, str]) -> Sashing | None:
    if not across and not down:
        return None
    zero = (across or down or Length(Fraction(0))) * 0
    used = across or zero
    return Sashing(
        used,
        down if down is not None else used,
        outer=bool(fields.get("outer")),
        cornerstones=bool(fields.get("cornerstones")),
    )


def _bordered(quilt: Quilt, text: str, read: Callable[[str, Length | None], Length | None]) -> tuple[Border, ...]:
    """The borders with another width of the innermost on all its sides; without it where nothing or 0 is said."""
    shown = fields_of(quilt)["border"]
    if text.strip() == shown:
        return quilt.borders
    old = quilt.borders[0] if quilt.borders else None
    width = read("border", old.top.width if old else None)
    if old is None:
        return (border(width),) if width else ()
    if not width:
        return quilt.borders[1:]
    return (old.with_sides(replace(side, width=width) for side in old.sides), *quilt.borders[1:])


def _setting(quilt: Quilt, on_point: bool) -> Setting:
    if on_point:
        return quilt.setting if isinstance(quilt.setting, OnPoint) else OnPoint()
    return STRAIGHT if isinstance(quilt.setting, OnPoint) else quilt.setting


def _alternated(quilt: Quilt) -> Quilt:
    """Plain blocks in every other place where one block stood everywhere; and back again."""
    pair = every_other(quilt)
    if pair is None:
        raise ShapeError(
            "plain blocks in every other place", "here more kinds than two take turns", "change the blocks one by one"
        )
    other = [at for at in quilt.spots if takes_every_other(quilt.setting, *at)]
    if pair[0] != pair[1]:
        return with_cells(quilt, {at: Cell(pair[0]) for at in other})
    plain = plain_block()
    kind = Kind(sign_for(plain, {each.name for each in quilt.kinds}), plain)
    return with_cells(quilt, {at: Cell(kind.name) for at in other}, [kind])


def resized(quilt: Quilt, what: str, size: Length) -> Quilt:
    """Give a draft another size: sashing or border of 0 is none, and a border that was not there is put round it.

    Parameters
    ----------
    quilt : Quilt
    what : str
        As `draft.sizes.variants.with_sizes` takes it.
    size : Length

    Raises
    ------
    SeamloreError
        When the quilt has no such part or cannot be sewn so.
    """
    if what == "sashing" and not size:
        return replace(quilt, sashing=None)
    if what == "border" and not size:
        return with_borders(quilt, ())
    if what == "border" and not quilt.borders:
        return replace(quilt, borders=(border(size),))
    return with_sizes(quilt, {what: size})


# More kinds than these are counted where they are listed, not in a headline.
_COUNTED = 4


def answer(quilt: Quilt) -> str:
    """Say in one sentence how a quilt is pieced.

    Examples
    --------
    >>> from seamlore.draft.catalogue import find
    >>> from seamlore.draft.repeated import repeated
    >>> from seamlore.lengths import inches
    >>> gap = inches("5/2")
    >>> answer(repeated("q", find("birds in the air"), inches(9), inches(9), 8, 7, Sashing(gap, gap)))
    'Birds in the Air; 56 blocks of 9 in, 8 rows of 7, sashing 2 1/2 in: 78 x 89 1/2 in'
    >>> answer(repeated("q", find("shoo fly"), inches(9), inches(9), 1, 1))
    'Shoo Fly; 1 block of 9 in: 9 x 9 in'
    """
    counts = quilt.counts
    count = sum(counts.values())
    sides = (quilt.block_width, quilt.block_height)
    size = show(sides[0]) if sides[0] == sides[1] else show_size(*sides)
    says = [f"{count} block{'s' * (count != 1)} of {size}"]
    if len(counts) > 1:
        says.append(counts_said(quilt) if len(counts) <= _COUNTED else f"{len(counts)} kinds of block")
    if len(quilt.spots) > 1:
        says.append(rows_said(quilt))
    elif isinstance(quilt.setting, OnPoint):
        says[0] += " on point"
    if quilt.not_read:
        says.append(f"{len(quilt.not_read)} not read")
    across, down = quilt.gaps
    if across or down:
        says.append("sashing " + (show(across) if across == down else f"{show(across)} and {show(down)}"))
    if quilt.borders:
        widths = " and ".join(widths_said(each) for each in quilt.borders)
        says.append(f"border{'s' * (len(quilt.borders) != 1)} {widths}")
    return f"{quilt.made_of[:1].upper()}{quilt.made_of[1:]}; {', '.join(says)}: {show_size(*quilt.finished_size)}"
