"""Change what stands in the cells of a draft: block by block, or all of a kind at once."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping, Sequence
from dataclasses import replace
from typing import Literal

from seamlore.draft.block import Block
from seamlore.draft.cells import with_cells
from seamlore.draft.kinds import NOT_READ, Cell, Kind, Turned, sign_for
from seamlore.draft.quilt import Quilt
from seamlore.draft.setting.arranged import on_point
from seamlore.draft.where import said
from seamlore.errors import ShapeError
from seamlore.limits import FABRIC_NAME
from seamlore.steps.draft.offered import shown_as
from seamlore.steps.draft.unread import cell_said, open_draft
from seamlore.steps.edit.draft import Edited, block_called
from seamlore.steps.edit.fabric_names import name_fabrics
from seamlore.steps.edit.keep import kept, renamed
from seamlore.steps.study.job import Job

At = tuple[int, int]
_AT = re.compile(r"(\d{1,3}),(\d{1,3})")
_TURNS: tuple[Literal[0, 90, 180, 270], ...] = (0, 90, 180, 270)


def cells_meant(quilt: Quilt, marked: Sequence[str], kind: str = "") -> tuple[At, ...]:
    """Give the cells that are to be changed: those marked, or every one of a kind.

    Parameters
    ----------
    quilt : Quilt
    marked : sequence of str
        Row and column, counted from 0, as "0,2".
    kind : str
        Name of a kind, or "?" for all that were not read; the marked ones when empty.

    Raises
    ------
    ShapeError
        When none is meant, or one is not there.

    Examples
    --------
    >>> from seamlore.draft.catalogue import find
    >>> from seamlore.draft.repeated import repeated
    >>> from seamlore.lengths import inches
    >>> quilt = repeated("q", find("shoo fly"), inches(9), inches(9), 1, 2)
    >>> cells_meant(quilt, ["0,1"]), cells_meant(quilt, [], "SF")
    (((0, 1),), ((0, 0), (0, 1)))
    >>> cells_meant(quilt, [])
    Traceback (most recent call last):
        ...
    seamlore.errors.ShapeError: no block: none is marked; mark those that are to be changed, or choose all of a kind
    """
    if kind:
        name = "" if kind == "?" else kind
        found = tuple(at for at in quilt.spots if quilt.cells[at[0]][at[1]].kind == name)
    else:
        there, found = set(quilt.spots), ()
        for text in marked:
            read = _AT.fullmatch(text)
            at = (int(read[1]), int(read[2])) if read else (-1, -1)
            if at not in there:
                raise ShapeError(f'a block at "{text[:20]}"', "the quilt has none there", "reload the page")
            found += (at,)
    if not found:
        raise ShapeError("no block", "none is marked", "mark those that are to be changed, or choose all of a kind")
    return found


def _changed(job: Job, cells: Sequence[At], change: Callable[[Cell], Cell], says: str) -> Edited:
    now = job.quilt.cells
    made = with_cells(job.quilt, {(row, column): change(now[row][column]) for row, column in cells})
    return Edited(kept(job, made) if made != job.quilt else job.inputs.choice, f"{says} {_said(cells)}")


def _said(cells: Sequence[At]) -> str:
    return said(*cells[0]) if len(cells) == 1 else f"{len(cells)} blocks"


def put_kind(job: Job, cells: Sequence[At], name: str) -> Edited:
    """Put a kind that the draft has into cells; they lie as drawn, in the kind's fabrics."""
    kind = job.quilt.kind(name)
    return _changed(job, cells, lambda _: Cell(kind.name), f"put {kind.block.name} into")


def put_new(job: Job, cells: Sequence[At], name: str) -> Edited:
    """Begin a kind in cells: a plain square ("plain", "plain dark"), or a block of the catalogue by its name."""
    return _begun(job, cells, block_called(job, name), f"put {name} into")


def put_copy(job: Job, cells: Sequence[At]) -> Edited:
    """Begin a kind as a copy of what stands in the first of the cells, to be changed by itself; the others get it too.

    How each block lies stays as it is.
    """
    first = job.quilt.cells[cells[0][0]][cells[0][1]]
    if not first.read:
        raise ShapeError(f"a copy of {said(*cells[0])}", "this block was not read", "put a block there first")
    old = job.quilt.kind(first.kind)
    names = {kind.block.name for kind in job.quilt.kinds}
    called = next(name for number in range(2, 1000) if (name := f"{old.block.name} {number}") not in names)
    # It is cut from the same fabrics until it is given others.
    named = {letter: job.quilt.fabric_of(job.quilt.key(old, letter)) for letter in old.block.places}
    new = Kind(_free_sign(job.quilt, old.block), replace(old.block, name=called, also=()), named)
    now = job.quilt.cells
    changed = {
        (r, c): Cell(new.name, now[r][c].lies, now[r][c].fabrics if now[r][c].kind == old.name else {})
        for r, c in cells
    }
    return Edited(
        kept(job, with_cells(job.quilt, changed, [replace(old, fabrics=named), new])),
        f"began a copy of {old.block.name} in {_said(cells)}",
    )


def _begun(job: Job, cells: Sequence[At], block: Block, says: str) -> Edited:
    quilt = job.quilt
    same = next((kind for kind in quilt.kinds if kind.block == block), None)
    kind = same or Kind(_free_sign(quilt, block), block)
    made = with_cells(quilt, dict.fromkeys(cells, Cell(kind.name)), [] if same else [kind])
    return Edited(kept(job, made), f"{says} {_said(cells)}")


def _free_sign(quilt: Quilt, block: Block) -> str:
    return sign_for(block, {kind.name for kind in quilt.kinds})


def leave_open(job: Job, cells: Sequence[At]) -> Edited:
    """Empty cells: what stands there is not known, and is drawn, counted and cut by nobody."""
    return _changed(job, cells, lambda _: NOT_READ, "left open")


def turn(job: Job, cells: Sequence[At]) -> Edited:
    """Turn blocks by a quarter, clockwise."""

    def turned(cell: Cell) -> Cell:
        quarter = _TURNS[(cell.lies.turn // 90 + 1) % 4]
        return replace(cell, lies=Turned(quarter, cell.lies.mirrored)) if cell.read else cell

    return _changed(job, cells, turned, "turned")


def mirror(job: Job, cells: Sequence[At]) -> Edited:
    """Mirror blocks left to right, as they lie."""
    # On point left and right are corners of the block: mirroring it so is mirroring its sides, and three quarters more.
    more = 3 if on_point(job.quilt) else 0

    def mirrored(cell: Cell) -> Cell:
        # After a turn, a mirroring of what is seen is a mirroring before it and the opposite turn.
        turned = _TURNS[(more - cell.lies.turn // 90) % 4]
        return replace(cell, lies=Turned(turned, not cell.lies.mirrored)) if cell.read else cell

    return _changed(job, cells, mirrored, "mirrored")


def lay_as_drawn(job: Job, cells: Sequence[At]) -> Edited:
    """Lay blocks as their kind is drawn, neither turned nor mirrored."""
    return _changed(job, cells, lambda cell: replace(cell, lies=Turned()) if cell.read else cell, "laid as drawn")


def own_fabric(job: Job, cells: Sequence[At], letter: str, name: str) -> Edited:
    """Give blocks a fabric of their own for one letter; an empty name takes it back.

    Said of every block of a kind, it is the kind's fabric.
    """
    quilt, named = job.quilt, " ".join(name.split())
    if "#" in named or len(named) > FABRIC_NAME:
        limit = f"a fabric's name is at most {FABRIC_NAME} letters, without #"
        raise ShapeError(f'"{named[:40]}"', limit, "write it otherwise")
    for row, column in cells:
        cell = quilt.cells[row][column]
        if not cell.read or letter not in quilt.kind(cell.kind).block.places:
            raise ShapeError(
                f"fabric {letter} of {said(row, column)}", "this block has no such place", "mark blocks that have it"
            )

    names = {quilt.cells[row][column].kind for row, column in cells}
    kind = quilt.kind(names.pop())
    owned = any(letter in quilt.cells[row][column].fabrics for row, column in cells)
    if not names and not owned and len(set(cells)) == quilt.counts[kind.name]:
        done = name_fabrics(job, {quilt.key(kind, letter): named})
        return Edited(done.choice, f"named {letter} of {kind.block.name} {named}", done.slips)

    def given(cell: Cell) -> Cell:
        others = {each: fabric for each, fabric in cell.fabrics.items() if each != letter}
        return replace(cell, fabrics={**others, **({letter: named} if named else {})})

    says = f"gave {letter} the fabric {named} in" if named else f"took back the fabric of {letter} in"
    return _changed(job, cells, given, says)


def show_unread(job: Job, at: str, drawing: str, *, alone: bool = False) -> Edited:
    """Say how a block that was not read is pieced, by one of the drawings offered; all like it too, unless it is meant alone."""
    made = shown_as(job, cell_said(at), drawing, alone=alone, called=renamed)
    before = open_draft(job)
    assert before is not None
    filled = [each for each in before.not_read if made.cells[each[0]][each[1]].read]
    name = made.kind(made.cells[filled[0][0]][filled[0][1]].kind).block.name
    return Edited(kept(job, made), f"showed that {_said(filled)} {'is' if len(filled) == 1 else 'are'} {name}")


# What can be done with cells, by the word that asks for it.
LIES: Mapping[str, Callable[[Job, Sequence[At]], Edited]] = {
    "turn": turn, "mirror": mirror, "straight": lay_as_drawn, "open": leave_open, "copy": put_copy,
}  # fmt: skip


def change_cells(job: Job, marked: Sequence[str], done: str, said_of: Mapping[str, str]) -> Edited:
    """Do what a page asks for with the blocks that it marks.

    Parameters
    ----------
    job : Job
    marked : sequence of str
        Row and column of each, as `cells_meant` takes them.
    done : str
        "turn", "mirror", "straight", "open", "copy"; "kind", "new" or "fabric", for which more is said; "typed" for
        what the fields that were filled in ask for.
    said_of : mapping of str to str
        "of": a kind all of whose blocks are meant; "put": the name of a kind; "name": a block; "letter" and "fabric".

    Raises
    ------
    ShapeError, UnknownNameError
        When nothing is meant, or it cannot be done.
    """
    cells = cells_meant(job.quilt, marked, said_of.get("of", ""))
    if done == "typed":
        done = next((does for does, field in (("new", "name"), ("fabric", "fabric")) if said_of.get(field)), "kind")
    if done in LIES:
        return LIES[done](job, cells)
    if done == "kind":
        return put_kind(job, cells, said_of.get("put", ""))
    if done == "new":
        return put_new(job, cells, said_of.get("name", ""))
    if done == "fabric":
        return own_fabric(job, cells, said_of.get("letter", ""), said_of.get("fabric", ""))
    raise ShapeError(f'"{done[:20]}"', "the page asks for nothing that is known", "reload the page")
