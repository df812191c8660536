"""Change the draft: its sizes and setting, its block seam by seam, both as text, what its fabrics are called."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from functools import partial

import msgspec

from seamlore.draft.block import VALUES, Block
from seamlore.draft.catalogue import find
from seamlore.draft.edit import take_out_seam, with_divisions, with_place, with_value
from seamlore.draft.quilt import Quilt
from seamlore.draft.text.notation import read_block, write_block
from seamlore.draft.text.quilt_file import read_quilt, write_quilt
from seamlore.errors import ShapeError
from seamlore.lengths import Length, length
from seamlore.limits import PAGE_DIVISIONS, PAGE_ROWS
from seamlore.steps.edit.keep import as_kept, kept, laid_as_seen, renamed
from seamlore.steps.edit.redraft import changed, resized, with_block
from seamlore.steps.edit.reseam import read_point, sewn
from seamlore.steps.edit.swatches import colored_with
from seamlore.steps.edit.typed import Slips, count
from seamlore.steps.fabrics.facts import fabric_facts
from seamlore.steps.study.job import Job
from seamlore.steps.study.sections import Choice
from seamlore.steps.study.shown import in_unit_of
from seamlore.study.seen_block import exact_block

_FOUND_AGAIN = "went back to the block that was found"


@dataclass(frozen=True, slots=True)
class Edited:
    """What an edit makes of a study.

    Parameters
    ----------
    choice : Choice
        To keep; as it was when nothing changed.
    says : str
        What was done, in the user's words.
    slips : dict of str to str
        What could not be read, by field; "whole" for what is wrong with all of it together.
    """

    choice: Choice
    says: str = ""
    slips: Mapping[str, str] = field(default_factory=dict)


def set_fields(job: Job, typed: Mapping[str, str]) -> Edited:
    """Change sizes, counts and setting; what can be read is kept and the rest said by its field.

    Parameters
    ----------
    job : Job
    typed : mapping of str to str
        As `redraft.changed` takes them.
    """
    quilt = in_unit_of(job.quilt, job.unit)
    new, slips = changed(quilt, typed)
    return Edited(kept(job, new) if new != quilt else job.inputs.choice, "changed the setting", slips)


def set_size(job: Job, what: str, value: str) -> Edited:
    """Take one size: an alternative of what was measured, or one of those drawn side by side."""
    size = length(value, unit=job.unit)
    return Edited(kept(job, resized(in_unit_of(job.quilt, job.unit), what, size)), f"set the {what} to {size}")


def go_back(job: Job, *, block_only: bool) -> Edited:
    """Go back to what was found: the block alone, or all."""
    now = job.inputs.choice
    bare = msgspec.structs.replace(now, block=None, draft=None, cloths={})
    if not block_only:
        return Edited(msgspec.structs.replace(bare, sizes={}), "went back to the draft that was found")
    if now.draft is None:
        return Edited(bare, _FOUND_AGAIN)
    found = Job(replace(job.inputs, choice=bare), memo=job.memo).quilt.block
    back = kept(job, with_block(job.quilt, found))
    return Edited(msgspec.structs.replace(back, cloths={}), _FOUND_AGAIN)


def begin(job: Job, name: str, *, size: str = "", rows: str = "", columns: str = "") -> Edited:
    """Begin a draft by hand, from a block of the catalogue and its size.

    The block alone is enough where counts and sizes come from what was measured.
    """
    now = job.inputs.choice
    block = _named(job, name)
    if not (size or rows or columns):
        return Edited(msgspec.structs.replace(now, block=as_kept(block)), f"chose the block {block.name}")
    slips = Slips()
    down = slips.read("rows", rows, partial(count, what="rows", most=PAGE_ROWS), None)
    across = slips.read("columns", columns, partial(count, what="columns", most=PAGE_ROWS), None)
    side: Length | None = slips.read("size", size, partial(length, unit=job.unit), None) if size else None
    for what, given in (("size", side), ("rows", down), ("columns", across)):
        if given is None:
            slips.setdefault(what, "nothing was given: a draft needs it; write it in")
    if slips or side is None or down is None or across is None:
        return Edited(now, slips=slips)
    quilt = Quilt(job.inputs.about.name, block, side, side, down, across)
    draft = write_quilt(quilt, find_block=find)
    return Edited(msgspec.structs.replace(now, draft=draft), "began a draft by hand")


def put_block(job: Job, name: str) -> Edited:
    """Put another block of the catalogue into the draft."""
    block = _named(job, name)
    return Edited(kept(job, with_block(job.quilt, block)), f"put {block.name} into the draft")


def _named(job: Job, name: str) -> Block:
    """Find a block of the catalogue, and lay it as the same block lies on the photograph."""
    block = find(name)
    reading = job.reading if job.inputs.photo is not None else None
    if reading is None or reading.block is None:
        return block
    try:
        return laid_as_seen(block, exact_block(reading.block))
    except ShapeError:
        # The block on the photograph could not be drawn, so there is nothing to lay it on.
        return block


def _with(job: Job, block: Block, says: str) -> Edited:
    called = renamed(block, job.names_of(block))
    return Edited(kept(job, with_block(job.quilt, called)), says)


def draw_seam(job: Job, start: str, end: str, *, free: bool = False) -> Edited:
    """Draw a seam between two points of the grid or corners of patches, or with a free hand."""
    made = sewn(job.quilt.block, read_point(start), read_point(end), free=free)
    return _with(job, made, f"drew a seam: {_patches(made)}")


def take_out(job: Job, first: int, second: int) -> Edited:
    """Take out the seam between two patches."""
    made = take_out_seam(job.quilt.block, first, second)
    return _with(job, made, f"took out a seam: {_patches(made)}")


def _patches(block: Block) -> str:
    return f"{len(block.patches)} patch{'es' * (len(block.patches) != 1)} now"


def give_place(job: Job, patch: int, place: str) -> Edited:
    """Give a patch another place."""
    return _with(job, with_place(job.quilt.block, patch, place), f"gave patch {patch + 1} to place {place}")


def cut_from(job: Job, patch: int, fabric: int) -> Edited:
    """Cut a patch from a fabric that the photograph shows.

    Parameters
    ----------
    job : Job
    patch : int
        Index of the patch in the block.
    fabric : int
        Index of the fabric as `fabric_facts` orders them.
    """
    facts = fabric_facts(job.reading.fabrics or () if job.inputs.photo is not None else ())
    if fabric >= len(facts):
        raise ShapeError(f"fabric {fabric + 1}", f"the photograph shows {len(facts)}", "choose one of these")
    made, cloths = colored_with(job.quilt.block, job.inputs.choice.cloths, patch, facts[fabric].fabric)
    done = _with(job, made, f"cut patch {patch + 1} from fabric {fabric + 1}")
    return replace(done, choice=msgspec.structs.replace(done.choice, cloths=cloths))


def set_value(job: Job, place: str, value: str, *, scrappy: bool) -> Edited:
    """Make a place light, medium or dark, scrappy or of one fabric."""
    known = next((each for each in VALUES if each == value), None)
    if known is None:
        raise ShapeError(f'a value of "{value}"', "a place is light, medium or dark", "choose one of these")
    made = with_value(job.quilt.block, place, known, scrappy=scrappy)
    return _with(job, made, f"made place {place} {known}{', scrappy' if scrappy else ''}")


def divide(job: Job, divisions: str) -> Edited:
    """Divide the block's side otherwise."""
    slips = Slips()
    wanted = slips.read("divisions", divisions, partial(count, what="divisions", most=PAGE_DIVISIONS), None)
    if wanted is None:
        needed = f"nothing was given: a block has 1 to {PAGE_DIVISIONS} divisions; write a number"
        slips.setdefault("divisions", needed)
        return Edited(job.inputs.choice, slips=slips)
    made = with_divisions(job.quilt.block, wanted)
    return Edited(kept(job, with_block(job.quilt, made)), f"divided the block into {wanted} by {wanted}")


def draft_text(job: Job) -> str:
    """Give the draft as text: as the user wrote it, or as what was found is written."""
    return job.inputs.choice.draft or write_quilt(job.quilt, find_block=find)


def whole_text(job: Job) -> str:
    """Give the draft as text with every block drawn in it, so that it can be read wherever it is taken."""
    return write_quilt(job.quilt)


def block_text(job: Job) -> str:
    """Give the draft's block as text."""
    return write_block(job.quilt.block)


def write_draft(job: Job, text: str) -> Edited:
    """Take the draft as it was written, with every remark in it."""
    now = job.inputs.choice
    if text.strip() == draft_text(job).strip():
        return Edited(now, "left the draft as it is")
    read_quilt(text, find_block=find)
    return Edited(msgspec.structs.replace(now, draft=text), "wrote the draft as text")


def write_block_text(job: Job, text: str) -> Edited:
    """Take the block as it was written."""
    return Edited(kept(job, with_block(job.quilt, read_block(text))), "wrote the block as text")
