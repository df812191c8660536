"""What the draft's fabrics are called, and what color they are."""

from __future__ import annotations

import re
from collections.abc import Container, Mapping, Sequence
from dataclasses import replace

import msgspec

from seamlore.draft.catalogue import find
from seamlore.draft.cells import with_fabrics
from seamlore.draft.quilt import Quilt
from seamlore.draft.setting.setting import OnPoint, Strips
from seamlore.draft.text.quilt_file import write_quilt
from seamlore.draft.where import SIDES, border_keys
from seamlore.errors import ShapeError
from seamlore.limits import FABRIC_NAME
from seamlore.pictures.palette import quilt_cloths
from seamlore.steps.edit.draft import Edited
from seamlore.steps.edit.typed import Slips
from seamlore.steps.study.job import Job


def named_parts(quilt: Quilt) -> tuple[tuple[str, str], ...]:
    """List what can be called by a fabric's name: its key, and what it is on the page.

    Examples
    --------
    >>> from seamlore.draft.repeated import repeated
    >>> from seamlore.lengths import inches
    >>> named_parts(repeated("q", find("shoo fly"), inches(9), inches(9), 7, 8))
    (('A', 'Place A, light'), ('B', 'Place B, dark'))
    """
    alone = len(quilt.kinds) == 1
    parts = [
        (
            quilt.key(kind, letter),
            f"{'' if alone else f'{kind.block.name} ({kind.name}), '}{'Pp'[not alone]}lace {letter}, "
            f"{place.value}{', scrappy' * place.scrappy}",
        )
        for kind in quilt.kinds
        for letter, place in sorted(kind.block.places.items())
    ]
    if quilt.sashing:
        parts.append(("sashing", "Sashing"))
        if quilt.sashing.cornerstones:
            parts.append(("cornerstone", "Cornerstones"))
    if isinstance(quilt.setting, Strips):
        parts.append(("strip", "Strips"))
    if isinstance(quilt.setting, OnPoint):
        parts.append(("setting triangle", "Setting triangles"))
    for number, border in enumerate(quilt.borders, start=1):
        called = _called(quilt, number)
        if len({side.fabric for side in border.sides}) == 1:
            parts.append((f"border {number}", called))
        else:
            parts += [(f"border {number} {side}", f"{called}, {side}") for side in SIDES]
    return tuple(parts)


def side_parts(quilt: Quilt) -> tuple[tuple[str, str], ...]:
    """List the sides of borders of one fabric, any of which can be called by another: key, and what it is on the page.

    Examples
    --------
    >>> from seamlore.draft.border import border
    >>> from seamlore.draft.repeated import repeated
    >>> from seamlore.lengths import inches
    >>> wide = repeated("q", find("shoo fly"), inches(9), inches(9), 7, 8, borders=(border(inches(4), left=inches(0)),))
    >>> side_parts(wide)
    (('border 1 top', 'Border, top'), ('border 1 right', 'Border, right'), ('border 1 bottom', 'Border, bottom'))
    """
    return tuple(
        (f"border {number} {name}", f"{_called(quilt, number)}, {name}")
        for number, border in enumerate(quilt.borders, start=1)
        if len({side.fabric for side in border.sides}) == 1
        for name, side in zip(SIDES, border.sides, strict=True)
        if side.width and not side.pieced
    )


def _called(quilt: Quilt, number: int) -> str:
    return "Border" if len(quilt.borders) == 1 else f"Border {number}"


def colored_parts(quilt: Quilt) -> tuple[tuple[str, str], ...]:
    """List what can be given a color: what can be named, and the fabrics that single blocks have of their own."""
    named = named_parts(quilt)
    own = dict.fromkeys(name for row in quilt.cells for cell in row for name in cell.fabrics.values())
    return *named, *((name, f"{name}, of single blocks") for name in own if name not in dict(named))


def name_given(quilt: Quilt, key: str) -> str:
    """Give the name that was given to a fabric; nothing where it is only called after its place.

    Examples
    --------
    >>> from seamlore.draft.repeated import repeated
    >>> from seamlore.lengths import inches
    >>> made = repeated("q", find("shoo fly"), inches(9), inches(9), 7, 8, fabrics={"A": "muslin"})
    >>> name_given(made, "A"), name_given(made, "B")
    ('muslin', '')
    """
    for kind in quilt.kinds:
        for letter in kind.block.places:
            if quilt.key(kind, letter) == key:
                return kind.fabrics.get(letter, "")
    for number, border in enumerate(quilt.borders, start=1):
        if key in border_keys(number):
            side = next(
                (side for name, side in zip(SIDES, border.sides, strict=True) if key.endswith(name)), border.top
            )
            return "" if side.fabric in ("border", f"border {number}") else side.fabric
    return quilt.fabrics.get(key, "")


def name_fabrics(job: Job, said: Mapping[str, str]) -> Edited:
    """Call the draft's fabrics by name; a draft of the user's own carries them in its text.

    Parameters
    ----------
    job : Job
    said : mapping of str to str
        Names by key; an empty one takes the name away, a key that is missing leaves it.

    Returns
    -------
    Edited
        Its slips are by key.
    """
    now, quilt, slips = job.inputs.choice, job.quilt, Slips()
    named = [key for key, _ in named_parts(quilt)]
    held = [*named, *(key for key, _ in side_parts(quilt))]
    cleared = set()
    # A letter alone was said of every kind that has it.
    names = {
        key: name for key in held if (name := now.fabrics.get(key.rpartition(" ")[2] if key in quilt.places else ""))
    }
    names |= {key: name for key, name in now.fabrics.items() if len(key) > 1 or key in held}
    for key in held:
        text = slips.read(key, said[key], _checked, None) if key in said else None
        if text:
            names[key] = text
        elif text is not None:
            names.pop(key, None)
            cleared |= {key} & set(named)
        if text is not None and (of := _BORDER.fullmatch(key)):
            # Said of the whole border, it is said of all its sides.
            names = {each: name for each, name in names.items() if each not in border_keys(int(of[1]))[1:]}
    draft = now.draft
    if draft is not None:
        renamed = with_fabrics(
            _unnamed(quilt, held, cleared), {key: name for key, name in names.items() if key in held}
        )
        if renamed != quilt:
            draft = write_quilt(renamed, find_block=find)
    return Edited(msgspec.structs.replace(now, fabrics=names, draft=draft), "named the fabrics", slips)


def color_fabrics(job: Job, said: Mapping[str, str], as_found: str = "") -> Edited:
    """Give the draft's fabrics colors, over those that the photograph shows or that were chosen for the drawing.

    Parameters
    ----------
    job : Job
    said : mapping of str to str
        "#rrggbb" by key, as `colored_parts` names them; one that is shown so already says nothing.
    as_found : str
        A key whose color is taken back.

    Returns
    -------
    Edited
        Its slips are by key.
    """
    quilt, slips = job.quilt, Slips()
    shown = quilt_cloths(quilt, job.cloths[0])
    told = dict(job.inputs.choice.cloths)
    for key, _ in colored_parts(quilt):
        color = slips.read(key, said[key], _color, "") if key in said else ""
        if color and color != shown.get(key) and key != as_found:
            told[key] = color
    if as_found and told.pop(as_found, None) is None and as_found in quilt.places:
        # It was said of the letter, in every kind that has it.
        told.pop(as_found.rpartition(" ")[2], None)
    choice = msgspec.structs.replace(job.inputs.choice, cloths=told)
    return Edited(choice, "took back a color" if as_found else "chose the colors of fabrics", slips)


def _color(text: str) -> str:
    if not re.fullmatch("#[0-9a-fA-F]{6}", text):
        raise ShapeError(f'"{text[:20]}"', "a color is # and six digits of 0 to 9 and a to f", "choose one")
    return text.lower()


_BORDER = re.compile(r"border (\d+)")


def _unnamed(quilt: Quilt, held: Sequence[str], cleared: Container[str]) -> Quilt:
    """The draft without the names of some of its fabrics; a border keeps its own but where that is taken away."""
    borders = []
    for number, border in enumerate(quilt.borders, start=1):
        plain = "border" if len(quilt.borders) == 1 else f"border {number}"
        whole = f"border {number}" in cleared
        borders.append(
            border.with_sides(
                replace(side, fabric=plain) if whole or f"border {number} {name}" in cleared else side
                for name, side in zip(SIDES, border.sides, strict=True)
            )
        )
    kinds = tuple(
        replace(
            kind,
            fabrics={letter: name for letter, name in kind.fabrics.items() if quilt.key(kind, letter) not in held},
        )
        for kind in quilt.kinds
    )
    return replace(
        quilt,
        kinds=kinds,
        borders=tuple(borders),
        fabrics={key: name for key, name in quilt.fabrics.items() if key not in held},
    )


def _checked(text: str) -> str | None:
    if "#" in text or len(text) > FABRIC_NAME:
        limit = f"a fabric's name is at most {FABRIC_NAME} letters, without #"
        raise ShapeError(f'"{text[:40]}"', limit, "write it otherwise")
    return text
