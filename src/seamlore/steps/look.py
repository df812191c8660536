"""Look at a quilt on its photograph."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Any

import msgspec

from seamlore.errors import PhotoError, SeamloreError
from seamlore.lengths import Length, Unit, in_unit, show
from seamlore.photo.opening import open_photo
from seamlore.photo.read import Look, Progress
from seamlore.photo.read import look as read
from seamlore.photo.reading import AFTER, CUT_OFF, Pair, Reading, SeenKind

if TYPE_CHECKING:
    # A photograph that is only read needs no draft, no sums and no plan.
    from seamlore.draft.block import Block
    from seamlore.steps.study.job import Job
    from seamlore.steps.study.tape import Tape
    from seamlore.study.adjustment import Explanation


def look(
    photo: Path,
    *,
    size: tuple[Length, Length] | None = None,
    corners: Sequence[Pair] | None = None,
    rows: int | None = None,
    columns: int | None = None,
    divisions: int | None = None,
    progress: Progress | None = None,
) -> Look:
    """Read a photograph; see `photo.read.look`."""
    for what, count, most in (("rows", rows, 60), ("columns", columns, 60), ("divisions", divisions, 16)):
        if count is not None and not 1 <= count <= most:
            raise PhotoError(
                f"{count} {what}", f"there are 1 to {most}", "count them again, or leave them to be found"
            )
    return read(
        open_photo(photo),
        size=size,
        corners=corners,
        rows=rows,
        columns=columns,
        divisions=divisions,
        progress=progress,
    )


def as_record(reading: Reading) -> dict[str, Any]:
    """Give a reading as plain data for JSON, as design.md has it."""
    found = msgspec.to_builtins(reading)
    assert isinstance(found, dict)
    return found


def answer(
    reading: Reading,
    unit: Unit,
    held: Explanation | None = None,
    counted: tuple[int | None, int | None] = (None, None),
) -> str:
    """Say in one sentence what the quilt is.

    Parameters
    ----------
    reading : Reading
    unit : Unit
        The unit to say it in, where there is a scale.
    held : Explanation, optional
        The account of the sums that is followed: its counts and its cuts are told, and those of the photograph beside
        them where they are others.
    counted : (int or None, int or None)
        Rows and columns as counted at the quilt, told where the sums hold for others.

    Returns
    -------
    str
        Such as "56 blocks, 8 rows of 7; the edge cuts off about 1 3/4 in at the left".

    Examples
    --------
    >>> bare = dict(photo_size=(9, 9), corners=((0, 0), (9, 0), (9, 9), (0, 9)), corners_from="given")
    >>> answer(Reading(**bare, unit="in", size=(70.5, 80), setting="none"), Unit.INCH)
    'No block grid is seen.'
    """
    rows = (held and held.rows) or reading.rows
    columns = (held and held.columns) or reading.columns
    if reading.setting == "none" or rows is None or columns is None:
        return "No block grid is seen."
    count = rows * columns
    if reading.setting == "on point":
        count += (rows - 1) * (columns - 1)
    point = " on point" if reading.setting == "on point" else ""
    says = f"{count} blocks{point}, {rows} rows of {columns}"
    if (rows, columns) != (reading.rows, reading.columns) and reading.rows and reading.columns:
        says += f" (the photograph shows {reading.rows} rows of {reading.columns})"
    by_eye = counted[0] or rows, counted[1] or columns
    if by_eye != (rows, columns):
        says += f", though {by_eye[0]} rows of {by_eye[1]} were counted"
    cut = _cut_seen(reading, unit) if held is None else [(each, side) for side, each in held.cut]
    # What the photograph alone shows is told no finer than it knows it.
    mark = in_unit(1, unit) / 4 if held is None and unit is Unit.INCH else None
    told = [f"{show(lost.shown_in(unit), mark=mark)} at the {side}" for lost, side in cut if lost.inches > 0]
    return f"{says}; the edge cuts off about {', '.join(told)}" if told else says


def _cut_seen(reading: Reading, unit: Unit) -> list[tuple[Length, str]]:
    """What the photograph alone shows to be cut off, and where."""
    if reading.edge is None or reading.unit == "width" or not reading.uncertainty:
        return []
    gone = {side: -float(getattr(reading.edge, side)) for side in ("left", "right", "top", "bottom")}
    return [
        (in_unit(round(lost * 1000), Unit(reading.unit)) / 1000, side)
        for side, lost in gone.items()
        if lost > 3 * reading.uncertainty.edge
    ]


def warnings(reading: Reading, held: Explanation | None) -> tuple[str, ...]:
    """What a reader of the photograph should know; what is cut off only where no sums say it."""
    return tuple(each for each in reading.warnings if held is None or CUT_OFF not in each)


@dataclass(frozen=True, slots=True)
class OtherGrid:
    """The second-best answer on rows, columns and setting: in words, and as the fields of a correction."""

    words: str
    fields: dict[str, str]
    likely: bool


# An answer less likely than this is offered behind "more".
_LIKELY = 0.05


def other_grid(reading: Reading) -> OtherGrid | None:
    """Give the second-best grid of a reading, to be taken with one tap.

    Examples
    --------
    >>> from seamlore.photo.reading import SecondGrid
    >>> second = SecondGrid(setting="on point", rows=5, columns=4, confidence=0.184)
    >>> pixels = dict(photo_size=(9, 9), corners=((0, 0), (9, 0), (9, 9), (0, 9)), corners_from="given")
    >>> read = Reading(**pixels, unit="width", size=(1, 1), setting="straight", second_grid=second)
    >>> found = other_grid(read)
    >>> found.words, found.fields
    ('Or 4 across and 5 down, on point (18 in 100)?', {'columns': '4', 'rows': '5', 'setting': 'on point'})
    """
    second = reading.second_grid
    if second is None:
        return None
    sure = f"{round(100 * second.confidence)} in 100" if second.confidence >= 0.01 else "less than 1 in 100"
    likely = second.confidence >= _LIKELY
    if second.setting == "none":
        return OtherGrid(f"Or no block grid at all ({sure})?", {"columns": "", "rows": "", "setting": "none"}, likely)
    counts = {"columns": str(second.columns), "rows": str(second.rows), "setting": second.setting}
    how = "set straight" if second.setting == "straight" else "on point"
    return OtherGrid(f"Or {second.columns} across and {second.rows} down, {how} ({sure})?", counts, likely)


def used(tape: Tape, unit: Unit) -> dict[str, str]:
    """Say which width and length the sums use where several were measured, by the tape's field.

    Examples
    --------
    >>> from seamlore.steps.study.tape import Tape
    >>> used(Tape(width="70 in", width_top="71 in", height="80 in"), Unit.INCH)
    {'width': 'the sums use 70 1/2 in, the middle of 2'}
    """
    found = {}
    for name, axis in (("width", "across"), ("height", "down")):
        read = tape.readings(axis)  # type: ignore[arg-type]
        if len(read) > 1:
            mean = sum(read[1:], read[0]) / len(read)
            found[name] = f"the sums use {show(mean.shown_in(unit))}, the middle of {len(read)}"
    return found


def typed_just_now(before: Job, after: Job) -> tuple[str, ...]:
    """Answer what was typed since, against the sums as they stood; empty where there were none to ask."""
    from seamlore.study.answered import answered  # as above

    try:
        return answered(before.adjustment, after.adjustment)
    except SeamloreError:
        return ()


def facts(reading: Reading, unit: Unit) -> dict[str, str]:
    """Give what the photograph says of block and sashing, each with its give or take; empty without a scale.

    Keys are those of the tape's fields: block, block_down, sashing, sashing_down.
    """
    if reading.unit == "width" or reading.block_size is None or reading.uncertainty is None:
        return {}
    of = Unit(reading.unit)

    def said(value: float, sigma: float) -> str:
        whole = in_unit(round(value * 1000), of) / 1000
        give = in_unit(max(round(2 * sigma * 1000), 1), of) / 1000
        return f"{show(whole.shown_in(unit))} ± {show(give.shown_in(unit), direction='up')}"

    spread = reading.uncertainty
    found = {
        "block": said(reading.block_size[0], spread.block_size[0]),
        "block_down": said(reading.block_size[1], spread.block_size[1]),
    }
    for name, index in (("sashing", 0), ("sashing_down", 1)):
        if reading.sashing and reading.sashing[index] > 0:
            found[name] = said(reading.sashing[index], spread.sashing[index])
    return found


@dataclass(frozen=True, slots=True)
class KindShown:
    """One kind of block as a photograph shows it: drawn exactly where that can be done, and what is known of it."""

    block: Block | None
    words: str
    known: str


# More kinds than these are shown with the draft.
_KINDS = 6


def kinds_shown(reading: Reading) -> tuple[KindShown, ...]:
    """Give the kinds of blocks that a photograph shows, the commonest first, at most six.

    Examples
    --------
    >>> bare = dict(photo_size=(9, 9), corners=((0, 0), (9, 0), (9, 9), (0, 9)), corners_from="given", size=(70, 80))
    >>> kinds_shown(Reading(**bare, unit="in", setting="none"))
    ()
    """
    return tuple(_kind_shown(kind) for kind in (reading.kinds or ())[:_KINDS])


def _kind_shown(kind: SeenKind) -> KindShown:
    from seamlore.study.seen_block import exact_block  # as above

    count, patches = f"{kind.count} block{'s' * (kind.count != 1)}", len(kind.patches)
    try:
        block = exact_block(kind)
    except SeamloreError:
        # The draft says why.
        block = None
    if patches == 1:
        words = f"{count}, {'each' if kind.count > 1 else 'it is'} one piece of cloth"
    else:
        words = f"{count} of {patches} patches" + f" on {kind.divisions} divisions" * (kind.divisions > 1)
    if block is None:
        words += "; its corners lie on no even grid, so it is not drafted: show it on the next page"
    sure = "there is no seam in it" if patches == 1 else "nearly all of its seams are right"
    return KindShown(block, f"{words}.", f"{'For each, ' * (kind.count > 1)}{in_100(kind.confidence)} that {sure}.")


def in_100(confidence: float) -> str:
    """Say how sure something is; nothing that a photograph shows is said to be certain.

    Parameters
    ----------
    confidence : float
        0 to 1.

    Examples
    --------
    >>> in_100(0.614), in_100(0.9996)
    ('61 in 100', '99 in 100')
    """
    return f"{min(round(100 * confidence), 99)} in 100"


def grid_sure(reading: Reading) -> str:
    """Say how sure rows, columns and setting are.

    Examples
    --------
    >>> from seamlore.photo.reading import Confidence
    >>> pixels = dict(photo_size=(9, 9), corners=((0, 0), (9, 0), (9, 9), (0, 9)), corners_from="given")
    >>> sure = Confidence(grid=0.9996, block=0)
    >>> grid_sure(Reading(**pixels, unit="width", size=(1, 1), setting="straight", confidence=sure))
    '99 in 100 that rows, columns and setting are right.'
    """
    return f"{in_100(reading.confidence.grid)} that rows, columns and setting are right."


def waits(reading: Reading) -> bool:
    """Whether the blocks are read only once rows and columns are counted, as the reading warns.

    Examples
    --------
    >>> bare = dict(photo_size=(9, 9), corners=((0, 0), (9, 0), (9, 9), (0, 9)), corners_from="given", size=(70, 80))
    >>> waits(Reading(**bare, unit="in", setting="none"))
    False
    """
    return any(each.endswith(f"{AFTER}.") for each in reading.warnings)


def unread(reading: Reading) -> tuple[int, int]:
    """Count the blocks whose piecing was not read, and all.

    Examples
    --------
    >>> bare = dict(photo_size=(9, 9), corners=((0, 0), (9, 0), (9, 9), (0, 9)), corners_from="given", size=(70, 80))
    >>> unread(Reading(**bare, unit="in", setting="none"))
    (0, 0)
    """
    blocks = reading.everywhere.values()
    return sum(each.kind is None for each in blocks), len(blocks)
