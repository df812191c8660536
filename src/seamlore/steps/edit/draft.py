"""Change the draft: its sizes and setting, its block seam by seam, both as text, what its fabrics are called."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from functools import partial
from string import ascii_uppercase

import msgspec

from seamlore.draft.block import VALUES, Block
from seamlore.draft.catalogue import find
from seamlore.draft.cells import with_block
from seamlore.draft.edit import take_out_seam, with_divisions, with_place, with_value
from seamlore.draft.kinds import Kind, plain_block
from seamlore.draft.repeated import repeated
from seamlore.draft.text.notation import read_block, write_block
from seamlore.draft.text.quilt_file import read_quilt, write_quilt
from seamlore.errors import ShapeError
from seamlore.lengths import Length, length
from seamlore.limits import PAGE_DIVISIONS, PAGE_ROWS
from seamlore.steps.draft.likely import TURNS, settled
from seamlore.steps.draft.open_kind import open_kind
from seamlore.steps.edit.keep import as_kept, kept, laid_as_seen, renamed
from seamlore.steps.edit.redraft import changed, resized
from seamlore.steps.edit.reseam import read_point, sewn
from seamlore.steps.edit.swatches import colored_with
from seamlore.steps.edit.typed import Slips, count
from seamlore.steps.fabrics.facts import fabric_facts
from seamlore.steps.study.job import Job
from seamlore.steps.study.sections import Choice
from seamlore.steps.study.shown import in_unit_of
from seamlore.study.seen_block import exact_block

_PLAIN = re.compile(rf"plain(?: ({'|'.join(VALUES)}))?")
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


def go_back(job: Job, *, block_only: bool, kind: str = "") -> Edited:
    """Go back to what was found: the block of one kind alone, or all."""
    now = job.inputs.choice
    bare = msgspec.structs.replace(now, block=None, draft=None, cloths={})
    if not block_only:
        return Edited(msgspec.structs.replace(bare, sizes={}), "went back to the draft that was found")
    if now.draft is None:
        return Edited(bare, _FOUND_AGAIN)
    found = Job(replace(job.inputs, choice=bare), memo=job.memo).quilt
    here = open_kind(job.quilt, kind)
    back = kept(job, with_block(job.quilt, here.name, open_kind(found, here.name).block))
    return Edited(msgspec.structs.replace(back, cloths={}), _FOUND_AGAIN)


def begin(job: Job, name: str, *, size: str = "", rows: str = "", columns: str = "") -> Edited:
    """Begin a draft by hand, from a block of the catalogue and its size.

    The block alone is enough where counts and sizes come from what was measured.
    """
    now = job.inputs.choice
    block = block_called(job, name)
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
    quilt = repeated(job.inputs.about.name, block, side, side, down, across)
    draft = write_quilt(quilt, find_block=find)
    return Edited(msgspec.structs.replace(now, draft=draft), "began a draft by hand")


def put_block(job: Job, name: str, *, kind: str = "") -> Edited:
    """Put another block of the catalogue into the draft, in the place of one kind."""
    block = block_called(job, name)
    return Edited(kept(job, with_block(job.quilt, open_kind(job.quilt, kind).name, block)),
                  f"put {block.name} into the draft")  # fmt: skip


_DRAWING = re.compile(r"(0|90|180|270) ([m-]) (.+)")


def settle(job: Job, drawing: str, *, kind: str = "") -> Edited:
    """Take one of the drawings that fit a kind, as it lies: "90 m Ohio Star" is turned by 90 degrees after mirroring."""
    read = _DRAWING.fullmatch(drawing)
    if read is None:
        raise ShapeError(f'the drawing "{drawing[:40]}"', "it is not one of those offered", "reload the page")
    turn = next(each for each in TURNS if str(each) == read[1])
    made = settled(job.quilt, kind, read[3], turn, mirrored=read[2] == "m")
    return Edited(kept(job, made), f"settled on {find(read[3]).name}")


def block_called(job: Job, name: str) -> Block:
    """Find a block of the catalogue, and lay it as the same block lies on the photograph; "plain" is a plain square."""
    if plain := _PLAIN.fullmatch(name.strip().lower()):
        return plain_block("A", plain[1] or "light")  # type: ignore[arg-type]
    block = find(name)
    reading = job.reading if job.inputs.photo is not None else None
    if reading is None or reading.block is None:
        return block
    try:
        return laid_as_seen(block, exact_block(reading.block))
    except ShapeError:
        # The block on the photograph could not be drawn, so there is nothing to lay it on.
        return block


def _with(job: Job, here: Kind, block: Block, says: str) -> Edited:
    called = renamed(block, job.names_of(block))
    return Edited(kept(job, with_block(job.quilt, here.name, called)), says)


def draw_seam(job: Job, start: str, end: str, *, free: bool = False, kind: str = "") -> Edited:
    """Draw a seam between two points of the grid or corners of patches, or with a free hand."""
    here = open_kind(job.quilt, kind)
    made = sewn(here.block, read_point(start), read_point(end), free=free)
    return _with(job, here, made, f"drew a seam: {_patches(made)}")


def take_out(job: Job, first: int, second: int, *, kind: str = "") -> Edited:
    """Take out the seam between two patches."""
    here = open_kind(job.quilt, kind)
    made = take_out_seam(here.block, first, second)
    return _with(job, here, made, f"took out a seam: {_patches(made)}")


def _patches(block: Block) -> str:
    return f"{len(block.patches)} patch{'es' * (len(block.patches) != 1)} now"


def give_place(job: Job, patch: int, place: str, *, kind: str = "") -> Edited:
    """Give a patch another place."""
    here = open_kind(job.quilt, kind)
    return _with(job, here, with_place(here.block, patch, place), f"gave patch {patch + 1} to place {place}")


def cut_from(job: Job, patch: int, fabric: int, *, kind: str = "") -> Edited:
    """Cut a patch from a fabric that the photograph shows.

    Parameters
    ----------
    job : Job
    patch : int
        Index of the patch in the block.
    fabric : int
        Index of the fabric as `fabric_facts` orders them.
    kind : str
        Name of the kind whose block it is; the commonest when not given.
    """
    facts = fabric_facts(job.reading.fabrics or () if job.inputs.photo is not None else ())
    if fabric >= len(facts):
        raise ShapeError(f"fabric {fabric + 1}", f"the photograph shows {len(facts)}", "choose one of these")
    here, told = open_kind(job.quilt, kind), job.inputs.choice.cloths
    keys = {letter: job.quilt.key(here, letter) for letter in ascii_uppercase}
    mine = {letter: told.get(key) or told.get(letter) for letter, key in keys.items()}
    worn = {letter: color for letter, color in mine.items() if color}
    made, cloths = colored_with(here.block, worn, patch, facts[fabric].fabric)
    done = _with(job, here, made, f"cut patch {patch + 1} from fabric {fabric + 1}")
    others = {key: color for key, color in told.items() if key not in keys.values()}
    kept_cloths = others | {keys[letter]: color for letter, color in cloths.items()}
    return replace(done, choice=msgspec.structs.replace(done.choice, cloths=kept_cloths))


def set_value(job: Job, place: str, value: str, *, scrappy: bool, kind: str = "") -> Edited:
    """Make a place light, medium or dark, scrappy or of one fabric."""
    known = next((each for each in VALUES if each == value), None)
    if known is None:
        raise ShapeError(f'a value of "{value}"', "a place is light, medium or dark", "choose one of these")
    here = open_kind(job.quilt, kind)
    made = with_value(here.block, place, known, scrappy=scrappy)
    return _with(job, here, made, f"made place {place} {known}{', scrappy' if scrappy else ''}")


def divide(job: Job, divisions: str, *, kind: str = "") -> Edited:
    """Divide the block's side otherwise."""
    slips = Slips()
    wanted = slips.read("divisions", divisions, partial(count, what="divisions", most=PAGE_DIVISIONS), None)
    if wanted is None:
        needed = f"nothing was given: a block has 1 to {PAGE_DIVISIONS} divisions; write a number"
        slips.setdefault("divisions", needed)
        return Edited(job.inputs.choice, slips=slips)
    here = open_kind(job.quilt, kind)
    made = with_divisions(here.block, wanted)
    return Edited(kept(job, with_block(job.quilt, here.name, made)), f"divided the block into {wanted} by {wanted}")


def draft_text(job: Job) -> str:
    """Give the draft as text: as the user wrote it, or as what was found is written."""
    written = job.inputs.choice.draft
    return written or job.memo.get(("draft text", job.quilt_key), lambda: write_quilt(job.quilt, find_block=find))


def whole_text(job: Job) -> str:
    """Give the draft as text with every block drawn in it, so that it can be read wherever it is taken."""
    return write_quilt(job.quilt)


def block_text(job: Job, kind: str = "") -> str:
    """Give the block of one kind as text."""
    return write_block(open_kind(job.quilt, kind).block)


def write_draft(job: Job, text: str) -> Edited:
    """Take the draft as it was written, with every remark in it."""
    now = job.inputs.choice
    if text.strip() == draft_text(job).strip():
        return Edited(now, "left the draft as it is")
    read_quilt(text, find_block=find)
    return Edited(msgspec.structs.replace(now, draft=text), "wrote the draft as text")


def write_block_text(job: Job, text: str, *, kind: str = "") -> Edited:
    """Take the block of one kind as it was written."""
    here = open_kind(job.quilt, kind)
    return Edited(kept(job, with_block(job.quilt, here.name, read_block(text))), "wrote the block as text")
