"""Blocks that were not read: those alike together, and the drawings that fit them best, to be shown with one tap."""

from __future__ import annotations

import re
from collections import defaultdict
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from functools import cache, lru_cache
from typing import TYPE_CHECKING

import msgspec
import numpy as np
from numpy.typing import NDArray

from seamlore.color.lab import srgb_to_lab
from seamlore.color.value import values_of
from seamlore.draft.block import Block, Patch, Place, block, patch
from seamlore.draft.cells import with_cells
from seamlore.draft.kinds import NOT_READ, Cell, Kind, Turned, plain_block, sign_for
from seamlore.draft.quilt import Quilt
from seamlore.draft.setting.setting import row_as_laid
from seamlore.draft.text.notation import write_block
from seamlore.draft.where import said
from seamlore.errors import SeamloreError, ShapeError
from seamlore.steps.draft.partings import (
    ACROSS,
    MOTIONS,
    Turn,
    catalogue_ways,
    cost_of,
    labels_of,
    same_parting,
    spots,
)
from seamlore.steps.study.job import Job
from seamlore.study.seen_block import exact_block

if TYPE_CHECKING:
    # Opens pictures: slow to import.
    from seamlore.photo.block.agreement import Drawn
    from seamlore.photo.unread import Unread

Floats = NDArray[np.float64]
At = tuple[int, int]

# So many drawings are shown, and at most so many blocks looked at.
MOST = 6
_BLOCKS = 8
# What full agreement with the seams seen is worth in the measure of how cloth is parted, and what a patch more costs;
# chosen on the labeled photographs of real quilts (`python -m judging.scoring.offered`).
_SEAMS, _PATCH = 1000.0, 0.006
_GRIDS = (2, 3, 4)  # units across and down, of the drawings that are put together from units


@dataclass(frozen=True, slots=True)
class UnreadGroup:
    """Blocks of the draft that are not read and look alike on the photograph.

    Parameters
    ----------
    cells : mapping of (int, int) to Turned
        Row and column of each, and how it lies against the first.
    seen : Unread or None
        What is seen of their seams.
    """

    cells: Mapping[At, Turned]
    seen: Unread | None

    @property
    def first(self) -> At:
        """The one that the others are told by."""
        return next(iter(self.cells))


CATALOGUE, PLAIN = "of the catalogue", "one piece of cloth"


@dataclass(frozen=True, slots=True)
class Offer:
    """One drawing that may be it, as it lies over the first block of its group.

    Parameters
    ----------
    key : str
        By which it is asked for.
    block : Block
    why : str
        Where it comes from, in words.
    """

    key: str
    block: Block
    why: str


def open_draft(job: Job) -> Quilt | None:
    """Give the draft; where no block is known yet, one of the same rows and sizes in which none is read. None without sizes."""
    try:
        return job.quilt
    except SeamloreError:
        # The page says what is missing; if it is the block alone, there are cells to show it in.
        if job.inputs.photo is None or job.inputs.choice.draft or job.inputs.choice.block:
            return None
    plain = msgspec.structs.replace(job.inputs.choice, block=write_block(plain_block()))
    try:
        quilt = Job(replace(job.inputs, choice=plain), memo=job.memo).quilt
    except SeamloreError:
        return None
    return with_cells(quilt, dict.fromkeys(quilt.spots, NOT_READ))


def unread_groups(job: Job) -> tuple[UnreadGroup, ...]:
    """Gather the blocks of a draft that are not read and that its photograph shows, the commonest first.

    Parameters
    ----------
    job : Job

    Returns
    -------
    tuple of UnreadGroup
        None where the draft has other rows, columns or setting than the photograph.
    """
    quilt = open_draft(job)
    if quilt is None or job.inputs.photo is None or not quilt.not_read:
        return ()
    from seamlore.steps.study.seen_spots import corners_seen, spot_seen  # opens pictures: slow to import

    missing = {at for at in quilt.not_read if corners_seen(job.look, quilt, *at) is not None}
    by_spot = {spot_seen(job.reading, quilt, *at): at for at in missing}
    groups = []
    for seen in _seen(job):
        cells = {
            by_spot[each.at]: Turned(each.turn, each.mirrored)
            for each in seen.blocks
            if each.at in by_spot
            and row_as_laid(quilt.setting, each.at[1], between=each.at[0]) == by_spot[each.at][0]
        }
        if cells:
            groups.append(_told_by_first(cells, seen))
            missing -= set(cells)
    # Read, but as what cannot be drawn exactly, or left open by hand: those of a kind together.
    told = job.reading.everywhere
    of_kind: dict[int, dict[At, Turned]] = defaultdict(dict)
    for at in sorted(missing):
        each = told.get(spot) if (spot := spot_seen(job.reading, quilt, *at)) else None
        if each is not None and each.kind is not None:
            of_kind[each.kind][at] = Turned(each.turn, each.mirrored)
    groups += [_told_by_first(cells, None) for cells in of_kind.values()]
    return tuple(sorted(groups, key=lambda group: -len(group.cells)))


def _told_by_first(cells: Mapping[At, Turned], seen: Unread | None) -> UnreadGroup:
    """The group, unless what its drawing was told by is shown already: then how they lie is told by the first that is left."""
    first = next(iter(cells.values()))
    if first == Turned():
        return UnreadGroup(cells, seen)
    from seamlore.photo.unread import after, undone  # as above

    way = first.turn // 90, first.mirrored
    lying = {at: after((each.turn // 90, each.mirrored), undone(way)) for at, each in cells.items()}
    turns = [turn for turn, mirrored in MOTIONS if not mirrored]
    told = {at: Turned(turns[quarters], mirrored) for at, (quarters, mirrored) in lying.items()}
    return UnreadGroup(told, seen.lying(way) if seen else None)


def _seen(job: Job) -> tuple[Unread, ...]:
    from seamlore.photo.unread import unread_blocks  # as above

    return job.memo.get(("unread", job.read_key), lambda: unread_blocks(job.look))


def group_at(job: Job, at: At) -> UnreadGroup:
    """Give the group that a block is in.

    Raises
    ------
    ShapeError
        When the block there is read, or the photograph does not show it.
    """
    found = next((group for group in unread_groups(job) if at in group.cells), None)
    if found is None:
        raise ShapeError("a block that was not read", "there is none there", "reload the page")
    return found


_AT = re.compile(r"(\d{1,3}),(\d{1,3})")


def cell_said(text: str) -> At:
    """Read the row and column of a block, counted from 0, as "0,2".

    Raises
    ------
    ShapeError

    Examples
    --------
    >>> cell_said("0,2")
    (0, 2)
    """
    read = _AT.fullmatch(text)
    if read is None:
        raise ShapeError(f'a block at "{text[:20]}"', "the quilt has none there", "reload the page")
    return int(read[1]), int(read[2])


# So many of a group are named one by one.
_NAMED = 3


def group_words(group: UnreadGroup) -> str:
    """Say how many blocks a group has, and where.

    Examples
    --------
    >>> group_words(UnreadGroup({(0, 1): Turned()}, None))
    'row 1, column 2'
    >>> group_words(UnreadGroup({(row, 1): Turned() for row in range(5)}, None))
    '5 that look alike: row 1, column 2; row 2, column 2; row 3, column 2 and others'
    """
    places = [said(*at) for at in group.cells]
    if len(places) == 1:
        return places[0]
    others = " and others" if len(places) > _NAMED else ""
    return f"{len(places)} that look alike: {'; '.join(places[:_NAMED])}{others}"


def offers(job: Job, group: UnreadGroup) -> tuple[Offer, ...]:
    """Give the drawings that are likeliest for a group: what the reader saw, then what parts its cloth best; at most six."""
    key = ("offers", job.read_key, tuple(group.cells.items()))
    return job.memo.get(key, lambda: tuple(_offers(job, group)))


def _offers(job: Job, group: UnreadGroup) -> Iterator[Offer]:
    quilt = open_draft(job)
    assert quilt is not None
    colors = _colors(job, quilt, group)
    candidates = [
        *_from_catalogue(),
        *((each, labels_of(each.block)) for each in _from_units(colors)),
        (Offer("plain", plain_block(), PLAIN), np.zeros(ACROSS**2, np.int_)),
    ]
    agrees = _agrees(group, [offer for offer, _ in candidates])
    blocks = colors.shape[1] / 3
    by_cloth = np.array([cost_of(colors, labels) / blocks for _, labels in candidates])
    by_seams = np.array(
        [seams - _PATCH * len(offer.block.patches) for (offer, _), seams in zip(candidates, agrees, strict=True)]
    )
    # Where prints are bold the seams tell more, where cloth is plain its color does: each has its turn.
    orders = (np.argsort(by_cloth - _SEAMS * by_seams, kind="stable"), np.argsort(by_cloth, kind="stable"))
    ranked = [candidates[k] for pair in zip(*orders, strict=True) for k in dict.fromkeys(pair)]
    seen = _drawn_as_seen(group, colors)
    kept: list[NDArray[np.int_]] = []
    names: set[str] = set()
    for offer, labels in [*([(seen, labels_of(seen.block))] if seen else []), *ranked]:
        # The same block turned otherwise is no other answer, but for one of two patches.
        again = offer.block.name in names and len(offer.block.patches) > 2
        if len(kept) < MOST and not again and not any(same_parting(labels, other) for other in kept):
            kept.append(labels)
            names.add(offer.block.name)
            yield offer


def _agrees(group: UnreadGroup, given: Sequence[Offer]) -> list[float]:
    """How well drawings agree with the seams that are seen in a group; nothing is said where none were looked for."""
    if group.seen is None:
        return [0.0] * len(given)
    return group.seen.agrees([_drawn(each.block.patches) for each in given])


@lru_cache(maxsize=4096)
def _drawn(patches: tuple[Patch, ...]) -> Drawn:
    """A drawing as it is held against the seams that are seen; those of the catalogue are held against every block."""
    from seamlore.photo.block.agreement import Drawn  # opens pictures: slow to import

    return Drawn.of(tuple(tuple((float(x), float(y)) for x, y in each.outline) for each in patches))


def _colors(job: Job, quilt: Quilt, group: UnreadGroup) -> Floats:
    """The colors of some blocks of a group, each laid like the first, in CIELAB, shape (places, blocks x 3)."""
    from seamlore.steps.study.seen_spots import corners_seen, pixels_at  # opens pictures: slow to import

    look = job.look
    height, width = look.flat.pixels.shape[:2]
    found: list[Floats] = []
    for at, lies in list(group.cells.items())[:_BLOCKS]:
        corners = corners_seen(look, quilt, *at)
        assert corners is not None
        x, y = pixels_at(look, spots(), Cell("", lies), corners)
        seen = look.flat.pixels[np.clip(y, 0, height - 1), np.clip(x, 0, width - 1)]
        found.append(srgb_to_lab(seen / 255))
    return np.concatenate(found, axis=1)


def _drawn_as_seen(group: UnreadGroup, colors: Floats) -> Offer | None:
    """The drawing that the seams seen would make; None where none is seen, or it cannot be drawn exactly."""
    from seamlore.photo.reading import SeenBlock, SeenPatch  # as above

    if group.seen is None or len(group.seen.outlines) == 1:
        return None
    patches = tuple(SeenPatch(outline=ring, place="A", value="light") for ring in group.seen.outlines)
    try:
        exact = exact_block(SeenBlock(divisions=group.seen.divisions, patches=patches))
    except SeamloreError:
        return None
    return Offer("seen", _colored(exact.name, exact.divisions, exact.patches, colors), "where seams seem to run")


def _from_catalogue() -> Iterator[tuple[Offer, NDArray[np.int_]]]:
    """Every block of the catalogue in each way of lying that differs."""
    for number, (entry, ways) in enumerate(catalogue_ways()):
        for motion, labels in ways:
            turn, mirrored = MOTIONS[motion]
            key = f"{turn} {'m' if mirrored else '-'} {entry.name}"
            yield Offer(key, _lying(number, turn, mirrored), CATALOGUE), labels


@cache
def _lying(number: int, turn: Turn, mirrored: bool) -> Block:
    return catalogue_ways()[number][0].moved(turn, mirrored=mirrored)


_HALF = Fraction(1, 2)
_CORNERS = (
    (Fraction(0), Fraction(0)),
    (Fraction(1), Fraction(0)),
    (Fraction(1), Fraction(1)),
    (Fraction(0), Fraction(1)),
)
_MIDDLE = (_HALF, _HALF)


def _units() -> dict[str, tuple[tuple[tuple[Fraction, Fraction], ...], ...]]:
    """The units that a cell of a grid may be: outlines in 0..1 of the cell."""
    nw, ne, se, sw = _CORNERS
    sides = tuple(zip(_CORNERS, (*_CORNERS[1:], _CORNERS[0]), strict=True))
    found = {
        "square": ((nw, ne, se, sw),),
        "falling": ((nw, ne, se), (nw, se, sw)),
        "rising": ((nw, ne, sw), (ne, se, sw)),
        "quarters": tuple((a, b, _MIDDLE) for a, b in sides),
    }
    for number, (a, b) in enumerate(sides):
        # A goose whose tip lies on the middle of the side across.
        c, d = _CORNERS[(number + 2) % 4], _CORNERS[(number + 3) % 4]
        tip = ((c[0] + d[0]) / 2, (c[1] + d[1]) / 2)
        found[f"goose {number}"] = ((a, b, tip), (b, c, tip), (d, a, tip))
    return found


def _from_units(colors: Floats) -> Iterator[Offer]:
    """Drawings put together from units on a small grid, each the one that parts its own cloth best."""
    units = {name: (rings, labels_of(_block("unit", 1, rings))) for name, rings in _units().items()}
    for count in _GRIDS:
        side = ACROSS // count
        # A unit is looked at in as many places as there are in its cell.
        ticks = ((np.arange(side) + 0.5) / side * ACROSS).astype(int)
        within = (ticks[:, None] * ACROSS + ticks[None]).ravel()
        patches = []
        for row in range(count):
            for column in range(count):
                rows = np.arange(row * side, (row + 1) * side)[:, None] * ACROSS
                seen = colors[(rows + np.arange(column * side, (column + 1) * side)).ravel()]
                _, name = min((cost_of(seen, labels[within]), name) for name, (_, labels) in units.items())
                patches += [
                    tuple(((column + x) / count, (row + y) / count) for x, y in ring) for ring in units[name][0]
                ]
        made = _block(f"{count} by {count} units", 2 * count, patches)
        colored = _colored(made.name, made.divisions, made.patches, colors)
        yield Offer(f"units {count}", colored, "put together from units")


def _block(name: str, divisions: int, rings: Sequence[Sequence[tuple[Fraction, Fraction]]]) -> Block:
    return block(name, divisions, [patch(ring, "A") for ring in rings], {"A": Place("light")})


def _colored(name: str, divisions: int, patches: Sequence[Patch], colors: Floats) -> Block:
    """A block with a place for each value, its patches as light or dark as they are seen."""
    plain = block(name, divisions, [replace(each, place="A") for each in patches], {"A": Place("light")})
    labels = labels_of(plain)
    light = colors[:, ::3].mean(axis=1)
    told = np.array(
        [light[labels == k].mean() if (labels == k).any() else light.mean() for k in range(len(plain.patches))]
    )
    areas = [float(each.area) for each in plain.patches]
    values = values_of(told, areas)
    letters = {value: letter for letter, value in zip("ABC", dict.fromkeys(values), strict=False)}
    made = [replace(each, place=letters[value]) for each, value in zip(plain.patches, values, strict=True)]
    return block(name, divisions, made, {letter: Place(value) for value, letter in letters.items()})


def shown_as(
    job: Job, at: At, key: str, *, alone: bool, called: Callable[[Block], Block] = lambda block: block
) -> Quilt:
    """Put a drawing that was offered into a block that was not read, and into all like it unless it is meant alone.

    Parameters
    ----------
    job : Job
    at : (int, int)
        Row and column of the block.
    key : str
        Of the drawing.
    alone : bool
    called : callable, optional
        Gives a drawing that is not of the catalogue its name.

    Raises
    ------
    ShapeError
        When the block there is read, or no such drawing was offered.
    """
    group = group_at(job, at)
    offer = next((each for each in offers(job, group) if each.key == key), None)
    if offer is None:
        raise ShapeError(f'the drawing "{key[:40]}"', "it is not one of those offered", "reload the page")
    quilt = open_draft(job)
    assert quilt is not None
    # What was put together here has no name yet; a block of the catalogue keeps its own.
    given = offer.block if offer.why in (CATALOGUE, PLAIN) else called(offer.block)
    same = next((kind for kind in quilt.kinds if kind.block == given), None)
    if same is None:
        names = {kind.block.name for kind in quilt.kinds}
        numbered = (f"{given.name}{f' {number}' * (number > 1)}" for number in range(1, 1000))
        free = next(name for name in numbered if name not in names)
        given = replace(given, name=free)
    kind = same or Kind(sign_for(given, {each.name for each in quilt.kinds}), given)
    cells = {at: group.cells[at]} if alone else group.cells
    return with_cells(quilt, {where: Cell(kind.name, lies) for where, lies in cells.items()}, [] if same else [kind])


def shown_by_hand(job: Job) -> frozenset[At]:
    """Tell which blocks of the draft were not read and are as their owner showed them.

    Raises
    ------
    SeamloreError
        When there is no draft.
    """
    quilt = job.quilt
    if job.inputs.photo is None:
        return frozenset()
    from seamlore.steps.study.seen_spots import spot_seen  # as above

    told = job.reading.everywhere
    return frozenset(
        at
        for at in quilt.spots
        if quilt.cells[at[0]][at[1]].read
        and (spot := spot_seen(job.reading, quilt, *at)) is not None
        and spot in told
        and told[spot].kind is None
    )


def shown_words(job: Job) -> str:
    """Say how many blocks were not read and are as their owner showed them; nothing where none are."""
    count = len(shown_by_hand(job))
    if not count:
        return ""
    whole = len(job.quilt.spots)
    if count == 1:
        return f"One of {whole} blocks was not read from the photograph: it is drawn as you showed it."
    return f"{count} of {whole} blocks were not read from the photograph: they are drawn as you showed them."
