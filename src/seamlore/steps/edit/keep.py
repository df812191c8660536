"""Keep a changed draft: as sizes and a block where that is all that changed, else as a draft file of its own."""

from __future__ import annotations

from dataclasses import replace

import msgspec

from seamlore.draft.block import Block
from seamlore.draft.catalogue import find
from seamlore.draft.naming.naming import Match, name_block
from seamlore.draft.quilt import Quilt
from seamlore.draft.text.notation import write_block
from seamlore.draft.text.quilt_file import written_and_read
from seamlore.errors import SeamloreError, UnknownNameError
from seamlore.lengths import Length
from seamlore.steps.study.job import Job
from seamlore.steps.study.sections import Choice

_VARIATION = " variation"


def kept(job: Job, quilt: Quilt) -> Choice:
    """Give the choice from which a job drafts this very quilt.

    Sizes and the block are kept by themselves where nothing else differs from what was found, so that the draft
    still follows photograph and tape; anything else is kept as a draft file, which overrules them.

    Parameters
    ----------
    job : Job
        As it stands.
    quilt : Quilt
        The draft wanted.

    Raises
    ------
    NotationError
        When the draft cannot be written.

    Examples
    --------
    >>> from seamlore.lengths import inches
    >>> from seamlore.steps.study.inputs import Inputs
    >>> from seamlore.steps.study.sections import Tape
    >>> tape = Tape(width="74 in", height="74 in", block="8 in", sashing="3 in", columns=7, rows=7)
    >>> job = Job(Inputs(tape=tape, choice=Choice(block="shoo fly")))
    >>> kept(job, replace(job.quilt, block_width=inches(9), block_height=inches(9))).sizes
    {'block': '9 in'}
    >>> from seamlore.draft.cells import with_counts
    >>> kept(job, with_counts(job.quilt, 3, 7)).draft.splitlines()[3]
    'rows 3'
    """
    now = _keys_carried(job, quilt)
    wanted = replace(quilt, name=job.inputs.about.name)
    following = msgspec.structs.replace(now, draft=None)
    lighter = [following]
    if (found := _drafted(job, following)) is not None:
        others = [new.block for old, new in zip(found.kinds, wanted.kinds, strict=False) if old.block != new.block]
        block = as_kept(others[0]) if others else now.block
        lighter.append(msgspec.structs.replace(following, block=block, sizes=_sizes(now.sizes, found, wanted)))
    for choice in lighter:
        if _drafted(job, choice) == wanted:
            return choice
    text, read = written_and_read(wanted, find_block=find)
    # What is shown next is what was read back in writing it.
    job.memo.get(("quilt", text), lambda: read)
    return msgspec.structs.replace(now, draft=text)


def _keys_carried(job: Job, quilt: Quilt) -> Choice:
    """The choice with colors and names still said of the same places when another kind comes in or goes."""
    now = job.inputs.choice
    before = _drafted(job, now) if now.cloths or now.fabrics else None
    if before is None or (len(before.kinds) == 1) == (len(quilt.kinds) == 1):
        return now
    old = before.kinds
    # A letter stands alone where there is one kind, and with its kind's name where there are several.
    (alone,) = old if len(old) == 1 else quilt.kinds
    name = alone.name

    def carried(said: dict[str, str]) -> dict[str, str]:
        found = {}
        for key, what in said.items():
            if len(old) == 1 and len(key) == 1:
                found[f"{name} {key}"] = what
            elif len(old) > 1 and key.startswith(f"{name} "):
                found[key.removeprefix(f"{name} ")] = what
            else:
                found[key] = what
        return found

    return msgspec.structs.replace(now, cloths=carried(now.cloths), fabrics=carried(now.fabrics))


def as_kept(block: Block) -> str:
    """Give the text that a block is kept as: its name where the catalogue draws it just so, else its block file.

    Examples
    --------
    >>> as_kept(find("shoo fly")), as_kept(find("pinwheel").moved(0, mirrored=True)).splitlines()[0]
    ('Shoo Fly', 'block Pinwheel')
    """
    try:
        same = find(block.name) == block
    except UnknownNameError:
        same = False
    return block.name if same else write_block(block)


def _drafted(job: Job, choice: Choice) -> Quilt | None:
    try:
        return Job(replace(job.inputs, choice=choice), memo=job.memo).quilt
    except SeamloreError:
        # What is found alone makes no draft; the draft that was changed is then kept whole.
        return None


def _sizes(told: dict[str, str], found: Quilt, wanted: Quilt) -> dict[str, str]:
    """What was told before, with every size that the wanted draft has otherwise."""
    sizes = dict(told)
    pairs = (
        ("block", "block width", "block height", _block(found), _block(wanted)),
        ("sashing", "sashing between columns", "sashing between rows", found.gaps, wanted.gaps),
    )
    for both, first, second, was, now in pairs:
        if was == now:
            continue
        for name in (both, first, second):
            sizes.pop(name, None)
        sizes |= {both: str(now[0])} if now[0] == now[1] else {first: str(now[0]), second: str(now[1])}
    if [each.widths for each in found.borders] != [each.widths for each in wanted.borders] and wanted.borders:
        sizes["border"] = str(wanted.borders[0].top.width)
    return sizes


def _block(quilt: Quilt) -> tuple[Length, Length]:
    return quilt.block_width, quilt.block_height


def renamed(block: Block, matches: tuple[Match, ...] | None = None) -> Block:
    """Call a block that was changed by hand what the catalogue calls it, or a variation of what it comes near.

    Examples
    --------
    >>> from fractions import Fraction
    >>> from seamlore.draft.edit import draw_seam
    >>> fly = draw_seam(find("shoo fly"), (Fraction(1, 3), Fraction(1, 3)), (Fraction(2, 3), Fraction(2, 3)))
    >>> renamed(fly).name
    'Shoo Fly variation'
    >>> renamed(replace(find("pinwheel"), name="Own block")).also == find("pinwheel").also
    True
    """
    found = name_block(block) if matches is None else matches
    best = found[0] if found else None
    if best is not None and best.kind in ("same", "scrappy") and not best.hidden:
        entry = best.block
        return replace(block, name=entry.name, also=entry.also, family=entry.family, notes=entry.notes)
    name = best.block.name + _VARIATION if best is not None else "Own block"
    return replace(block, name=name, also=(), family="", notes=())


def laid_as_seen(block: Block, seen: Block) -> Block:
    """Lay a block of the catalogue as the same block lies on the photograph; one that is not there stays as drawn.

    Examples
    --------
    >>> pinwheel = find("pinwheel")
    >>> laid_as_seen(pinwheel, pinwheel.moved(0, mirrored=True)) == pinwheel.moved(0, mirrored=True)
    True
    >>> laid_as_seen(find("shoo fly"), pinwheel) == find("shoo fly")
    True
    """
    for match in name_block(seen):
        if match.kind != "near" and match.block.name == block.name:
            return block.moved(match.turn, mirrored=match.mirrored) if match.turn or match.mirrored else block
    return block
