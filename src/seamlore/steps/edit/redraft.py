"""Change a draft by its fields: sizes, counts, sashing, borders, setting, fabrics."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from fractions import Fraction

from seamlore.draft.block import Block
from seamlore.draft.proportion_variants import with_sizes
from seamlore.draft.quilt import Border, Quilt, Sashing
from seamlore.draft.setting.letters import plain_block, reletter
from seamlore.draft.setting.setting import STRAIGHT, OnPoint, Setting, spots
from seamlore.errors import SeamloreError, ShapeError, plain
from seamlore.lengths import Length, length, show, show_size
from seamlore.limits import PAGE_ROWS, whole_number


def fields_of(quilt: Quilt) -> dict[str, str]:
    """Give a draft's fields as they are shown.

    Examples
    --------
    >>> from seamlore.draft.catalogue import find
    >>> from seamlore.lengths import inches
    >>> fields_of(Quilt("q", find("shoo fly"), inches(9), inches(9), 7, 8))["block_width"]
    '9 in'
    """
    across, down = quilt.gaps
    widths = [str(border.width) for border in quilt.borders]
    return {
        "block_width": str(quilt.block_width),
        "block_height": str(quilt.block_height) if quilt.block_height != quilt.block_width else "",
        "rows": str(quilt.rows),
        "columns": str(quilt.columns),
        "sashing": str(across) if across else "",
        "sashing_down": str(down) if down != across else "",
        "border": widths[0] if widths else "",
        "border_2": widths[1] if len(widths) > 1 else "",
        "cornerstones": "yes" if quilt.sashing and quilt.sashing.cornerstones else "",
        "outer": "yes" if quilt.sashing and quilt.sashing.outer else "",
        "mitered": "yes" if any(border.corners == "mitered" for border in quilt.borders) else "",
        "setting": "on point" if isinstance(quilt.setting, OnPoint) else "straight",
        "alternate": "yes" if quilt.second is not None else "",
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
    >>> from seamlore.lengths import inches
    >>> old = Quilt("q", find("shoo fly"), inches(9), inches(9), 7, 8)
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
    now = [border.width for border in quilt.borders[:2]]
    widths = [
        read(name, now[index] if index < len(now) else None) for index, name in enumerate(("border", "border_2"))
    ]
    on_point = fields.get("setting") == "on point"
    try:
        setting, rows, columns = _setting(quilt, on_point), count("rows", quilt.rows), count("columns", quilt.columns)
        kept = set(spots(setting, rows, columns)) if setting == quilt.setting else set()
        new = replace(
            quilt,
            block_width=width,
            block_height=height,
            rows=rows,
            columns=columns,
            sashing=_sashing(across, down, fields),
            borders=_borders(quilt, [each for each in widths if each], bool(fields.get("mitered"))),
            setting=setting,
            second=_second(quilt, bool(fields.get("alternate"))),
            cut=None,
            turned={spot: lie for spot, lie in quilt.turned.items() if spot in kept},
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


def _borders(quilt: Quilt, widths: list[Length], mitered: bool) -> tuple[Border, ...]:
    made = []
    for index, width in enumerate(widths):
        old = quilt.borders[index] if index < len(quilt.borders) else None
        name = old.fabric if old else (f"border {index + 1}" if len(widths) > 1 else "border")
        if old and old.pieced:
            made.append(replace(old, width=width))
            continue
        corners = "mitered" if mitered else (old.corners if old and old.corners != "mitered" else "butted")
        made.append(Border(width, name, corners))
    # What the page does not show, a third border or more, stays as it is.
    return (*made, *quilt.borders[2:])


def _setting(quilt: Quilt, on_point: bool) -> Setting:
    if on_point:
        return quilt.setting if isinstance(quilt.setting, OnPoint) else OnPoint()
    return STRAIGHT if isinstance(quilt.setting, OnPoint) else quilt.setting


def _second(quilt: Quilt, alternate: bool) -> Block | None:
    if not alternate:
        return None
    if quilt.second is not None:
        return quilt.second
    letter = next(letter for letter in "ABCDEFGHIJKLMNOPQRSTUVWXYZ" if letter not in quilt.block.places)
    return plain_block(letter, "light")


def resized(quilt: Quilt, what: str, size: Length) -> Quilt:
    """Give a draft another size: sashing or border of 0 is none, and a border that was not there is put round it.

    Parameters
    ----------
    quilt : Quilt
    what : str
        As `draft.proportion_variants.with_sizes` takes it.
    size : Length

    Raises
    ------
    SeamloreError
        When the quilt has no such part or cannot be sewn so.
    """
    if what == "sashing" and not size:
        return replace(quilt, sashing=None)
    if what == "border" and not size:
        return replace(quilt, borders=())
    if what == "border" and not quilt.borders:
        return replace(quilt, borders=(Border(size),))
    return with_sizes(quilt, {what: size})


def with_block(quilt: Quilt, block: Block) -> Quilt:
    """Put another block into a draft; a second block that uses its letters otherwise gets letters of its own.

    Examples
    --------
    >>> from seamlore.draft.catalogue import find
    >>> from seamlore.lengths import inches
    >>> old = Quilt("q", find("shoo fly"), inches(9), inches(9), 7, 8)
    >>> with_block(old, find("pinwheel")).block.name
    'Pinwheel'
    """
    second = quilt.second
    if second is not None and any(letter in block.places for letter in second.places):
        free = [letter for letter in "ABCDEFGHIJKLMNOPQRSTUVWXYZ" if letter not in block.places]
        if len(free) < len(second.places):
            raise ShapeError(
                f"{block.name} beside {second.name}", "there are 26 letters for places", "use fewer places"
            )
        second = reletter(second, dict(zip(second.places, free, strict=False)))
    return replace(
        quilt,
        block=block,
        second=second,
        fabrics={k: v for k, v in quilt.fabrics.items() if len(k) > 1 or k in block.places},
    )


def answer(quilt: Quilt) -> str:
    """Say in one sentence how a quilt is pieced.

    Examples
    --------
    >>> from seamlore.draft.catalogue import find
    >>> from seamlore.lengths import inches
    >>> gap = inches("5/2")
    >>> answer(Quilt("q", find("birds in the air"), inches(9), inches(9), 8, 7, Sashing(gap, gap)))
    'Birds in the Air; 56 blocks of 9 in, 8 rows of 7, sashing 2 1/2 in: 78 x 89 1/2 in'
    >>> answer(Quilt("q", find("shoo fly"), inches(9), inches(9), 1, 1))
    'Shoo Fly; 1 block of 9 in: 9 x 9 in'
    """
    count = sum(quilt.block_at(*spot) is quilt.block for spot in quilt.spots)
    sides = (quilt.block_width, quilt.block_height)
    size = show(sides[0]) if sides[0] == sides[1] else show_size(*sides)
    says = [f"{count} block{'s' * (count != 1)} of {size}"]
    if isinstance(quilt.setting, OnPoint):
        says[0] += " on point"
    if quilt.second is not None:
        kind = "plain" if len(quilt.second.patches) == 1 else quilt.second.name
        others = len(list(quilt.spots)) - count
        says.append(f"{others} alternate block{'s' * (others != 1)}, {kind}")
    if count > 1:
        says.append(f"{quilt.rows} row{'s' * (quilt.rows != 1)} of {quilt.columns}")
    across, down = quilt.gaps
    if across or down:
        says.append("sashing " + (show(across) if across == down else f"{show(across)} and {show(down)}"))
    if quilt.borders:
        widths = " and ".join(show(each.width) for each in quilt.borders)
        says.append(f"border{'s' * (len(quilt.borders) != 1)} {widths}")
    return f"{quilt.block.name}; {', '.join(says)}: {show_size(*quilt.finished_size)}"
