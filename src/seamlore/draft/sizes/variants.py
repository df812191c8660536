"""The same quilt with other sizes: one by one, or every combination side by side."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import product

from seamlore.draft.quilt import Quilt, Sashing
from seamlore.draft.setting.setting import Strips
from seamlore.errors import LengthError, SeamloreError, UnknownNameError, nearest
from seamlore.lengths import Length, show


def with_sizes(quilt: Quilt, sizes: Mapping[str, Length]) -> Quilt:
    """Give the same quilt with other sizes: those found by snapping measurements, or those that she wants to try.

    Parameters
    ----------
    quilt : Quilt
        As drafted.
    sizes : mapping of str to Length
        Finished sizes by name: "block" or "block width" and "block height"; "sashing" or "sashing between columns"
        and "sashing between rows"; "border" for all borders, "border 1" for one; "strip".

    Raises
    ------
    UnknownNameError
        When the quilt has no part of that name.
    SeamloreError
        When it cannot be sewn so.

    Examples
    --------
    >>> from seamlore.draft.repeated import repeated
    >>> from seamlore.draft.text.notation import read_block
    >>> from seamlore.lengths import inches
    >>> half = read_block("block Half\\nA dark\\nB light\\n\\nA/B")
    >>> quilt = repeated("q", half, inches("8.97"), inches("9.05"), 2, 2)
    >>> str(with_sizes(quilt, {"block": inches(9)}))
    'q: 2 rows of 2 Half, 18 in by 18 in'
    >>> with_sizes(quilt, {}) == quilt
    True
    """
    changed = quilt
    for name, size in sizes.items():
        changed = _resized(changed, name, size)
    return changed


def _resized(quilt: Quilt, name: str, size: Length) -> Quilt:
    match name:
        case "block":
            return replace(quilt, block_width=size, block_height=size)
        case "block width":
            return replace(quilt, block_width=size)
        case "block height":
            return replace(quilt, block_height=size)
        case "sashing" | "sashing between columns" | "sashing between rows":
            old = quilt.sashing or Sashing(size * 0, size * 0)
            if name != "sashing between rows":
                old = replace(old, between_columns=size)
            if name != "sashing between columns":
                old = replace(old, between_rows=size)
            return replace(quilt, sashing=old)
        case "strip" if isinstance(quilt.setting, Strips):
            return replace(quilt, setting=replace(quilt.setting, width=size))
    numbers = [f"border {number}" for number in range(1, len(quilt.borders) + 1)]
    if not quilt.borders or name not in ("border", *numbers):
        known = ["block", "block width", "block height", "sashing", *(["border"] if numbers else []), *numbers]
        raise UnknownNameError(f'a size of "{name}"', "the quilt has no such part", nearest(name, known))
    borders = tuple(
        border.with_sides(replace(side, width=size) for side in border.sides)
        if name in ("border", number)
        else border
        for number, border in zip(numbers, quilt.borders, strict=True)
    )
    return replace(quilt, borders=borders)


@dataclass(frozen=True, slots=True)
class Variant:
    """The same quilt with other sizes.

    Parameters
    ----------
    label : str
        What is other, such as "block 10 in, sashing 2 1/2 in".
    quilt : Quilt or None
        None when it cannot be sewn so.
    why_not : str
        The reason then.
    """

    label: str
    quilt: Quilt | None
    why_not: str = ""


def variants(quilt: Quilt, sizes: Mapping[str, Sequence[Length]]) -> tuple[Variant, ...]:
    """Try every combination of some sizes.

    Parameters
    ----------
    quilt : Quilt
        As drafted.
    sizes : mapping of str to sequence of Length
        Names as `with_sizes` takes them, and what to try for each.

    Returns
    -------
    tuple of Variant
        One for each combination, the last name changing fastest.

    Raises
    ------
    LengthError
        When that makes more than 60, which no page can hold.

    Examples
    --------
    >>> from seamlore.draft.repeated import repeated
    >>> from seamlore.draft.text.notation import read_block
    >>> from seamlore.lengths import inches
    >>> half = read_block("block Half\\nA dark\\nB light\\n\\nA/B")
    >>> quilt = repeated("q", half, inches(8), inches(8), 2, 2)
    >>> [each.label for each in variants(quilt, {"block": [inches(8), inches(9)], "sashing": [inches(2)]})]
    ['block 8 in, sashing 2 in', 'block 9 in, sashing 2 in']
    >>> variants(quilt, {})
    (Variant(label='as drafted', ...
    """
    found = []
    combinations = list(product(*sizes.values()))
    if len(combinations) > 60:
        raise LengthError(f"{len(combinations)} variants", "60 can be looked at side by side", "give fewer sizes")
    for chosen in combinations:
        label = ", ".join(f"{name} {show(size)}" for name, size in zip(sizes, chosen, strict=True)) or "as drafted"
        try:
            found.append(Variant(label, with_sizes(quilt, dict(zip(sizes, chosen, strict=True)))))
        except SeamloreError as fault:
            # A variant that cannot be sewn is part of the answer: she sees why.
            found.append(Variant(label, None, str(fault)))
    return tuple(found)
