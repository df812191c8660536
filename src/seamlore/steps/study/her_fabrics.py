"""The fabrics of a reading as their owner has them: named, merged, split, and found again when it is read anew.

What she said is kept by place and color (`steps.study.said_fabrics`). A patch that lies where one of hers lay, in a
fabric of nearly the color that it had, is hers; so are all others of that fabric where most of what was known of it was
hers.
"""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

import msgspec
import numpy as np
from numpy.typing import NDArray

from seamlore.color.difference import delta_e_2000
from seamlore.color.lab import srgb_to_lab
from seamlore.photo.fabric.fabrics import srgb_of
from seamlore.photo.read import Look
from seamlore.photo.reading import SeenFabric
from seamlore.steps.study.patch_rings import PatchAt, patch_rings
from seamlore.steps.study.said_fabrics import ClothPart, FoundFabrics, SaidFabric, Spot

Floats = NDArray[np.float64]

# CIEDE2000, by which the color of one cloth may differ from one reading to the next. Of fabrics on the labeled photographs
# of real quilts, 99 in 100 keep theirs within 8.4 when the corners move by a hundredth (`python -m judging.scoring.named`).
_SAME_COLOR = 10.0
_OTHERS = -1
_AROUND_PX = 2  # looked at about the middle of a patch for its color


@dataclass(frozen=True, slots=True)
class Piece:
    """Patches of one fabric as it was told apart: all of them, or some."""

    fabric: SeenFabric
    spots: tuple[PatchAt, ...]

    @property
    def whole(self) -> bool:
        """Whether it is all of that fabric."""
        return len(self.spots) == len(self.fabric.everywhere)

    @property
    def most(self) -> bool:
        """Whether it is half of that fabric or more, so that it has its color."""
        return 2 * len(self.spots) >= len(self.fabric.everywhere)


@dataclass(frozen=True, slots=True)
class HerFabric:
    """One fabric as she has it: of which pieces it is made, and the number of what she said of it, if anything."""

    pieces: tuple[Piece, ...]
    said: int | None = None

    @property
    def spots(self) -> tuple[PatchAt, ...]:
        """Every patch of it."""
        return tuple(spot for piece in self.pieces for spot in piece.spots)


@dataclass(frozen=True, slots=True)
class HerFabrics:
    """All fabrics of a reading as she has them.

    Parameters
    ----------
    fabrics : tuple of SeenFabric
        The commonest first.
    made_of : tuple of HerFabric
        In the same order.
    gone : mapping of int to tuple of int
        By the number of what she said, the parts of it that this reading does not show.
    lost : tuple of str
        The same in sentences.
    """

    fabrics: tuple[SeenFabric, ...]
    made_of: tuple[HerFabric, ...]
    gone: Mapping[int, tuple[int, ...]]
    lost: tuple[str, ...]


def her_fabrics(look: Look, found: FoundFabrics) -> HerFabrics:
    """Give the fabrics of a reading as she has them.

    Parameters
    ----------
    look : Look
        With the fabrics as they were told apart.
    found : FoundFabrics
        What she said, of this reading or of an earlier one of the same photograph.

    Returns
    -------
    HerFabrics
    """
    fabrics = look.reading.fabrics or ()
    if not found.said:
        alone = tuple(HerFabric((Piece(each, each.everywhere),)) for each in fabrics)
        return HerFabrics(fabrics, alone, {}, ())
    lies = _lies(look, found)
    apart = _apart(found, fabrics)
    held = _held(found, fabrics, lies, apart)
    made: dict[int, list[Piece]] = defaultdict(list)
    rest: list[HerFabric] = []
    for number, fabric in enumerate(fabrics):
        by_owner: dict[int, list[PatchAt]] = defaultdict(list)
        for spot in fabric.everywhere:
            by_owner[held.get((number, spot), _OTHERS)].append(spot)
        for owner, spots in by_owner.items():
            piece = Piece(fabric, tuple(spots))
            if owner == _OTHERS:
                rest.append(HerFabric((piece,)))
            else:
                made[owner].append(piece)
    whole = [*(HerFabric(tuple(pieces), owner) for owner, pieces in sorted(made.items())), *rest]
    whole.sort(key=lambda each: -len(each.spots))
    shown = _as_seen(look, found, whole)
    gone = {
        number: parts
        for number, said in enumerate(found.said)
        if (parts := tuple(k for k in range(len(said.parts)) if not _there(number, k, lies, made.get(number, ()))))
    }
    lost = tuple(_lost(found.said[number], number, parts, lies) for number, parts in gone.items())
    return HerFabrics(shown, tuple(whole), gone, lost)


@dataclass(frozen=True, slots=True)
class _Lies:
    """What was known of each patch: whose it was, and of which part; and where each part lies now."""

    owner: dict[PatchAt, tuple[int, int]]
    where: dict[tuple[int, int], list[PatchAt]]


def _lies(look: Look, found: FoundFabrics) -> _Lies:
    """Lay the points that were kept on the patches that are read now."""
    labels: list[tuple[int, int]] = []
    points: list[Spot] = []
    for number, said in enumerate(found.said):
        for part, each in enumerate(said.parts):
            labels += [(number, part)] * len(each.spots)
            points += each.spots
    labels += [(_OTHERS, 0)] * len(found.others)
    points += found.others
    flat = look.flat
    on_flat = flat.to_flat(flat.frame.to_quilt(np.array(points, dtype=np.float64).reshape(-1, 2)))
    rings = patch_rings(look, (at for each in look.reading.fabrics or () for at in each.everywhere))
    owner: dict[PatchAt, tuple[int, int]] = {}
    where: dict[tuple[int, int], list[PatchAt]] = defaultdict(list)
    for at, ring in rings.items():
        inside = _inside(on_flat, ring[:-1])
        if not len(inside):
            continue
        counts = Counter(labels[k] for k in inside.tolist())
        # Where something was said and nothing else, the first holds: what was said last of others may be of another grid.
        most = max(counts, key=lambda label: (counts[label], label[0] != _OTHERS, -label[0], -label[1]))
        owner[at] = most
        for label in counts:
            where[label].append(at)
    return _Lies(owner, where)


def _inside(points: Floats, ring: Floats) -> NDArray[np.intp]:
    """Which points lie in an outline."""
    with np.errstate(invalid="ignore"):
        near = np.flatnonzero(((points >= ring.min(axis=0)) & (points <= ring.max(axis=0))).all(axis=1))
    if not len(near):
        return near
    x, y = points[near].T
    odd = np.zeros(len(near), dtype=bool)
    for (x0, y0), (x1, y1) in zip(ring, np.roll(ring, -1, axis=0), strict=True):
        if y0 != y1:
            odd ^= ((y0 > y) != (y1 > y)) & (x < x0 + (y - y0) / (y1 - y0) * (x1 - x0))
    return near[odd]


def _apart(found: FoundFabrics, fabrics: Sequence[SeenFabric]) -> dict[tuple[int, int], Floats]:
    """How far the color of each part was from that of every fabric now, CIEDE2000."""
    now = _lab(each.srgb for each in fabrics)
    return {
        (number, k): np.asarray(delta_e_2000(_lab([part.srgb]), now), dtype=np.float64).reshape(-1)
        for number, said in enumerate(found.said)
        for k, part in enumerate(said.parts)
    }


def _held(
    found: FoundFabrics,
    fabrics: Sequence[SeenFabric],
    lies: _Lies,
    apart: Mapping[tuple[int, int], Floats],
) -> dict[tuple[int, PatchAt], int]:
    """Whose each patch is, by the number of its fabric and the patch, where it is one of hers."""
    votes = [Counter(lies.owner[at] for at in each.everywhere if at in lies.owner) for each in fabrics]
    held: dict[tuple[int, PatchAt], int] = {}
    for which, (fabric, told) in enumerate(zip(fabrics, votes, strict=True)):
        near = {
            label: count
            for label, count in told.items()
            if label[0] != _OTHERS and apart[label][which] <= _SAME_COLOR
        }
        by_owner: Counter[int] = Counter()
        for (number, _), count in near.items():
            by_owner[number] += count
        most = max(by_owner, key=lambda number: (by_owner[number], -number), default=_OTHERS)
        main = most if most != _OTHERS and 2 * by_owner[most] >= told.total() else _OTHERS
        for at in fabric.everywhere:
            label = lies.owner.get(at)
            own = label[0] if label in near else _OTHERS
            # What she said of a patch stays, however the others are told apart now.
            if own not in (main, _OTHERS):
                held[which, at] = own
            elif main != _OTHERS and not (label is not None and own != main and _picked_out(found, main)):
                held[which, at] = main
    return held


def _picked_out(found: FoundFabrics, number: int) -> bool:
    """Whether a fabric has only the patches that she picked for it."""
    return found.said[number].by_hand


def _there(number: int, part: int, lies: _Lies, pieces: Iterable[Piece]) -> bool:
    """Whether some patch of one part of a fabric of hers is hers now."""
    hers = {spot for piece in pieces for spot in piece.spots}
    return not hers.isdisjoint(lies.where.get((number, part), ()))


def _lost(said: SaidFabric, number: int, parts: tuple[int, ...], lies: _Lies) -> str:
    """Say what could not be kept of one fabric, and why."""
    called = f"“{said.name}”" if said.name else f"A fabric that you {'split' if said.by_hand else 'merged'}"
    some = len(parts) < len(said.parts)
    seen = any(lies.where.get((number, part)) for part in parts)
    why = (
        "the cloth that is read there now is of another color, or lies together with others"
        if seen
        else "the blocks in which it lay are not read, or lie elsewhere"
    )
    what = f"{len(parts)} of {len(said.parts)} fabrics of which {called if said.name else called.lower()} was made"
    return f"{what if some else called} could not be found again in this reading: {why}."


def _as_seen(look: Look, found: FoundFabrics, whole: Sequence[HerFabric]) -> tuple[SeenFabric, ...]:
    """The fabrics as a reading lists them."""
    told = look.reading.fabrics or ()
    taken: set[str] = set()
    made: list[SeenFabric] = []
    light = _lab(each.srgb for each in told)[:, 0]
    for each in whole:
        largest = max(each.pieces, key=lambda piece: len(piece.spots))
        if len(each.pieces) == 1 and largest.most:
            color, value = largest.fabric.srgb, largest.fabric.value
        else:
            lab = np.average([_color(look, piece) for piece in each.pieces], axis=0,
                             weights=[len(piece.spots) for piece in each.pieces])  # fmt: skip
            color = srgb_of(lab)
            value = told[int(np.argmin(np.abs(light - lab[0])))].value
        name = found.said[each.said].name if each.said is not None else ""
        # Of two that were one fabric, that with more of its patches keeps its number.
        known = largest.fabric.id
        known = next(free for free in (known, *(f"{known}{letter}" for letter in _LETTERS)) if free not in taken)
        taken.add(known)
        spots = each.spots
        made.append(
            SeenFabric(
                id=known,
                srgb=color,
                value=value,
                patches=tuple(at[1:] for at in spots if not at[0]),
                between=tuple(at[1:] for at in spots if at[0]),
                name=name or None,
            )
        )
    return tuple(made)


_LETTERS = tuple(f"{hundred or ''}{letter}" for hundred in range(100) for letter in "bcdefghijklmnopqrstuvwxyz")


def _color(look: Look, piece: Piece) -> Floats:
    """The color of some patches, in CIELAB: that of their fabric where they are most of it, else what lies about their middles."""
    if piece.most:
        found: Floats = _lab([piece.fabric.srgb])[0]
        return found
    pixels = look.flat.pixels
    middles = np.array([ring[-1] for ring in patch_rings(look, piece.spots).values()]).reshape(-1, 2)
    around = np.arange(-_AROUND_PX, _AROUND_PX + 1)
    x, y = (np.rint(axis).astype(int)[:, None] + around for axis in middles.T)
    x, y = np.clip(x, 0, pixels.shape[1] - 1), np.clip(y, 0, pixels.shape[0] - 1)
    seen = pixels[y[:, :, None], x[:, None, :]].reshape(len(middles), -1, 3)
    lab: Floats = np.median(srgb_to_lab(np.median(seen, axis=1) / 255), axis=0)
    return lab


def _lab(colors: Iterable[str]) -> Floats:
    parts = [[int(color[at : at + 2], 16) / 255 for at in (1, 3, 5)] for color in colors]
    return np.asarray(srgb_to_lab(np.array(parts).reshape(-1, 3)), dtype=np.float64)


def written(
    look: Look, fabrics: Sequence[tuple[HerFabric, SaidFabric | None]], lost: Iterable[SaidFabric]
) -> FoundFabrics:
    """Write down what she said of the fabrics of a reading, to be found again in another.

    Parameters
    ----------
    look : Look
    fabrics : sequence of (HerFabric, SaidFabric or None)
        Every fabric as it is now, and what is said of it: its name and whether it was picked by hand, and those of its
        parts that this reading does not show; the others are written anew.
    lost : iterable of SaidFabric
        What she said that this reading does not show; kept as it is.
    """
    rings = patch_rings(look, (at for each, _ in fabrics for at in each.spots))
    places = list(rings)
    flat = look.flat
    middles = np.array([rings[at][-1] for at in places]).reshape(-1, 2)
    on_photo = np.rint(flat.frame.to_photo(flat.to_quilt(middles))).astype(int).tolist()
    where = {at: (int(x), int(y)) for at, (x, y) in zip(places, on_photo, strict=True)}

    def spots(of: Iterable[PatchAt]) -> tuple[Spot, ...]:
        return tuple(where[at] for at in of if at in where)

    said: list[SaidFabric] = []
    others: list[Spot] = []
    for each, told in fabrics:
        if told is None:
            others += spots(each.spots)
        else:
            parts = tuple(ClothPart(srgb=piece.fabric.srgb, spots=spots(piece.spots)) for piece in each.pieces)
            said.append(msgspec.structs.replace(told, parts=(*parts, *told.parts)))
    return FoundFabrics(said=(*said, *lost), others=tuple(others))
