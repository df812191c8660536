"""All that a decision rests on: what the quilt gives, what could be made, how it is stored, mended, set anew or taken apart."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from typing import TypeVar

from seamlore.draft.border import Border, Side
from seamlore.draft.cells import with_counts
from seamlore.draft.quilt import Quilt, Sashing
from seamlore.draft.setting.setting import STRAIGHT, Cut, OnPoint
from seamlore.errors import MeasureError, SeamloreError
from seamlore.lengths import Length, Unit, length, pair
from seamlore.saving.backing import Backs
from seamlore.saving.cloth import Cloth
from seamlore.saving.giving import Given, Resewn, given, resewn
from seamlore.saving.projects import PROJECTS, Fit, Project, fits
from seamlore.saving.repair import Repair, repairs
from seamlore.saving.resetting import Opened
from seamlore.saving.small_quilt import SmallQuilt, best
from seamlore.saving.stages import STAGES, Stage, Stop, missing, stops
from seamlore.saving.trimming import Trimmed
from seamlore.steps.assess.around import strips_of, weak_parts
from seamlore.steps.assess.assess import Assessed, assess
from seamlore.steps.decide.cloth import Nearest, Patches, backing_of, cloth_of, near_at_hand, patches_of
from seamlore.steps.decide.loose import allowance_left, trimmed_alike
from seamlore.steps.decide.pieces import OnePiece, one_pieces
from seamlore.steps.decide.setting import as_read, block_sizes, cuts_of, opened_for, seam_of, seams_to_open
from seamlore.steps.decide.storage import Stored, stored_in
from seamlore.steps.study.job import Job

T = TypeVar("T")
NEW_STRIPS = "new strips"


@dataclass(frozen=True, slots=True, eq=False)
class Basis:
    """What a decision rests on.

    Parameters
    ----------
    assessed : Assessed
    quilt : Quilt or None
        The draft; None where there is none.
    given : Given or None
        None where no blocks are known.
    block : (Resewn, Resewn) or None
        Width and height of a block that is sewn again.
    small : SmallQuilt or None
        And why there is none.
    small_fault : str
    fits : tuple of Fit
    opened : Opened or None
    opened_fault : str
    repairs : tuple of Repair
    stored : Stored or None
    stored_fault : str
    trimmed : Trimmed or None
    trimmed_fault : str
    cloths : tuple of Cloth
        Sound cloth, fabric by fabric; empty where no size is known.
    patches : tuple of Patches
        What of the patches that she asked for comes out of each cloth, and why it cannot be said.
    patches_fault : str
    backs : tuple of Backs or None
        For which things the old backing serves; None where that is not known or it is not there.
    nearest : tuple of Nearest
    seams : Length or None
        Of seam to open before every block is free.
    missing : tuple of str
        Photographs that are missing before anything is cut.
    stops : tuple of Stop
    stages : tuple of Stage
    pieces : tuple of OnePiece
        What comes out in one piece.
    """

    assessed: Assessed
    quilt: Quilt | None
    given: Given | None
    block: tuple[Resewn, Resewn] | None
    small: SmallQuilt | None
    small_fault: str
    fits: tuple[Fit, ...]
    opened: Opened | None
    opened_fault: str
    repairs: tuple[Repair, ...]
    stored: Stored | None
    stored_fault: str
    trimmed: Trimmed | None
    trimmed_fault: str
    cloths: tuple[Cloth, ...]
    patches: tuple[Patches, ...]
    patches_fault: str
    backs: tuple[Backs, ...] | None
    nearest: tuple[Nearest, ...]
    seams: Length | None
    missing: tuple[str, ...]
    stops: tuple[Stop, ...]
    stages: tuple[Stage, ...]
    pieces: tuple[OnePiece, ...]


def decide(job: Job) -> Basis:
    """Reckon what a decision rests on; what cannot be reckoned is left out, with the reason.

    Raises
    ------
    SeamloreError
        When the photograph cannot be read.
    """
    found, decision = assess(job), job.inputs.decision
    quilt = _draft(job)
    gives, block, fault = _gives(job, found, quilt)
    small, small_fault = None, fault
    things: tuple[Fit, ...] = ()
    if gives is not None and block is not None:
        sizes = (block[0].finished, block[1].finished)
        try:
            small = _small(job, gives, sizes, quilt)
        except SeamloreError as refused:
            small_fault = str(refused)
        own = [
            Project(each.name, length(each.width), length(each.height), each.faces, hers=True)
            for each in decision.things
        ]
        cut = len(gives.edge) + len(gives.corners)
        things = fits(
            len(gives.whole), sizes, own, seam=seam_of(job), cut=cut, ruled_out=bool(decision.ruled_out.strip())
        )
    opened, opened_fault = _tried(lambda: opened_for(job, found, quilt))
    stored, stored_fault = _tried(lambda: stored_in(job, found))
    trimmed, trimmed_fault = _tried(lambda: trimmed_alike(job))
    unit = None if found.unit == "width" else Unit(found.unit)
    around = strips_of(job, found)
    weak = weak_parts(found, around)
    sound = cloth_of(job, found, gives, allowance_left(job), weak)
    patches, patches_fault = _tried(lambda: patches_of(job, sound, unit) if unit is not None else ())
    made = [each.project for each in things] or list(PROJECTS)
    if small is not None:
        made = [Project("the smaller quilt", small.width, small.height, touches="skin"), *made]
    shows = {each.shows for each in job.inputs.photographs.photographs}
    dyes = [each.result for each in found.notes if each.kind == "dye test"]
    return Basis(
        found,
        quilt,
        gives,
        block,
        small,
        small_fault,
        things,
        opened,
        opened_fault,
        repairs(found.notes, found.laid, unit),
        stored,
        stored_fault,
        trimmed,
        trimmed_fault,
        sound,
        patches or (),
        patches_fault,
        backing_of(job, sound, made, found),
        near_at_hand(job, found),
        seams_to_open(job, found, quilt),
        missing(shows, found.notes, found.without),
        stops(found.notes, decision.asked, bool(dyes) and "color" not in dyes, bool(found.suspects)),
        tuple(each for each in STAGES if not each.without or not set(each.without) <= found.without),
        one_pieces(job, found, quilt, gives, around, weak, sound),
    )


def _tried(work: Callable[[], T]) -> tuple[T | None, str]:
    try:
        return work(), ""
    except SeamloreError as refused:
        return None, str(refused)


def _draft(job: Job) -> Quilt | None:
    try:
        return job.quilt
    except SeamloreError:
        # Without a draft the blocks are those of the reading; the page says what is missing.
        return None


def _gives(job: Job, found: Assessed, quilt: Quilt | None) -> tuple[Given | None, tuple[Resewn, Resewn] | None, str]:
    reading = job.reading
    if not found.ground.block_at or reading.rows is None or reading.columns is None:
        return None, None, "no block grid was read: what it gives is its fabric, and its backing"
    gives = given(found.ground.block_at, set(cuts_of(job, quilt)), found.survey.blocks)
    sizes = block_sizes(job, quilt)
    if sizes is None:
        return gives, None, "no size of the blocks is known: enter it by tape on the page Look"
    allowance = allowance_left(job)
    try:
        block = (resewn(sizes[0], allowance, seam_of(job)), resewn(sizes[1], allowance, seam_of(job)))
    except MeasureError as refused:
        return gives, None, str(refused)
    return gives, block, ""


def _small(job: Job, gives: Given, block: tuple[Length, Length], quilt: Quilt | None) -> SmallQuilt:
    decision, unit = job.inputs.decision, job.unit
    gaps = quilt.gaps if quilt is not None else as_read(job, job.reading.sashing)
    old = gaps[0] if gaps is not None else block[0] * 0
    least = length(decision.least, unit=unit) if decision.least.strip() else old
    most = (
        length(decision.most, unit=unit) if decision.most.strip() else max(least, old, key=lambda each: each.inches)
    )
    wished = pair(decision.wished, unit=unit) if decision.wished.strip() else None
    reading = job.reading
    like = (reading.rows or 1, reading.columns or 1)
    return best(len(gives.whole), block, (least, most), wished=wished, like=like, outer=decision.outer)


def draft_of(
    quilt: Quilt,
    rows: int,
    columns: int,
    sashing: Length,
    outer: bool,
    name: str,
    block: tuple[Length, Length] | None = None,
    strips: tuple[Length, Length] | None = None,
) -> Quilt:
    """Draft a smaller thing of the old quilt's blocks, set straight.

    Parameters
    ----------
    quilt : Quilt
        The old one.
    rows, columns : int
    sashing : Length
        0 for none.
    outer : bool
        Whether it runs round the outside too.
    name : str
    block : (width, height), optional
        What a block finishes at when it is sewn again; as it was when not given.
    strips : (across, down), optional
        What is added in all so that the thing has its size, half at each side; less than 0 where it is trimmed away.

    Raises
    ------
    SeamloreError
        When the old quilt's setting does not go with it.
    """
    setting = STRAIGHT if isinstance(quilt.setting, OnPoint) else quilt.setting
    fewer = with_counts(replace(quilt, borders=(), cut=None, sashing=None), rows, columns, setting)
    wide, high = block or (quilt.block_width, quilt.block_height)
    gap = Sashing(sashing, sashing, outer) if sashing.inches > 0 else None
    more, gone = ((_half(strips, sign, sashing * 0)) for sign in (1, -1))
    borders = (border_of(more[1], more[0]),) if any(more) else ()
    cut = Cut(gone[0], gone[1], gone[0], gone[1]) if any(gone) else None
    return replace(fewer, name=name, sashing=gap, block_width=wide, block_height=high, borders=borders, cut=cut)


def _half(strips: tuple[Length, Length] | None, sign: int, none: Length) -> tuple[Length, Length]:
    """Half of what is added (1) or trimmed away (-1), across and down."""
    across, down = (max(each * sign, none) / 2 for each in strips or (none, none))
    return across, down


def border_of(high: Length, wide: Length) -> Border:
    """Strips at the top and bottom, and at both sides; 0 for none."""
    beside = Side(wide, NEW_STRIPS)
    return Border(Side(high, NEW_STRIPS), beside, Side(high, NEW_STRIPS), beside)
