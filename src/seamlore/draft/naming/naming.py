"""What a block is called: the catalogue's drawings set against one that was drawn, or read from a photograph.

A block may lie turned or mirrored, its fabrics may have changed places, many fabrics may stand where the catalogue
shows one, and a seam between two patches of one fabric may not show. All entries that fit are given, since
two names for one drawing are as common as two drawings of one name.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Literal

import numpy as np

from seamlore.draft import seams as lines
from seamlore.draft.block import Block
from seamlore.draft.exact.lookup import Sides, move_spots, patches_at, sides
from seamlore.draft.naming.index import MOTIONS, Index, both_seams, catalogue_index, shares
from seamlore.draft.seams import Segment, Stretch

Kind = Literal["same", "scrappy", "values", "near"]
KINDS: tuple[Kind, ...] = ("same", "scrappy", "values", "near")
# Below this share of seams in common two blocks have little to do with each other; our own choice.
LEAST_SHARE = 0.6


@dataclass(frozen=True, slots=True)
class Match:
    """One entry of the catalogue that fits.

    Parameters
    ----------
    block : Block
        The entry, as the catalogue draws it.
    kind : {"same", "scrappy", "values", "near"}
        Same: one drawing, one fabric for each of its places. Scrappy: more fabrics than the entry has places, each
        kept to one place. Values: the same seams, other places of light and dark. Near: other seams.
    turn, mirrored : int and bool
        How the entry is moved to lie like the given block: mirrored left to right if so, then turned clockwise.
    places : mapping of str to tuple of str
        For each place of the entry the places of the given block that stand there.
    exchanged : bool
        Whether light, medium and dark stand otherwise than in the entry.
    hidden : bool
        Whether the two agree only where fabrics differ: somewhere a seam lies within one fabric, where it does not show.
    share : float
        Length of the seams in common over the length of all seams of both; 1 when they are the same.
    missing, extra : tuple of segments
        Seams that only the entry has, and that only the given block has, in parts of the given block's side.
    """

    block: Block
    kind: Kind
    turn: int
    mirrored: bool
    places: Mapping[str, tuple[str, ...]]
    exchanged: bool
    hidden: bool
    share: float
    missing: tuple[Segment, ...]
    extra: tuple[Segment, ...]

    @property
    def names(self) -> tuple[str, ...]:
        """All names of the entry."""
        return self.block.names


def name_block(given: Block, *, least_share: float = LEAST_SHARE, most_near: int = 5) -> tuple[Match, ...]:
    """Find what the catalogue calls a block.

    Parameters
    ----------
    given : Block
        Drawn, or read from a photograph and drawn onto its grid; a patch may be several patches of one fabric whose
        seams do not show.
    least_share : float
        The least share of seams in common for a near match, 0..1.
    most_near : int
        How many near matches to give at most.

    Returns
    -------
    tuple of Match
        Same first, then scrappy, other values, and near by share; empty when nothing comes near.

    Examples
    --------
    >>> from seamlore.draft.catalogue import find
    >>> [(each.block.name, each.kind) for each in name_block(find("Pinwheel").moved(90, mirrored=True))][:2]
    [('Pinwheel', 'same'), ('Broken Dishes', 'values')]
    >>> from seamlore.draft.text.notation import read_block
    >>> name_block(read_block("block Plain\\nA light\\n\\nA"))
    ()
    """
    index = catalogue_index()
    full, visible = both_seams(given)
    sided = _Given(given, sides(given))
    found: list[Match] = []
    near: list[tuple[float, int, tuple[int, bool]]] = []
    all_shares, seen_shares = shares(index, full, visible)
    best = np.stack([all_shares.max(axis=1), seen_shares.max(axis=1)], axis=1)
    for row in np.flatnonzero(best.max(axis=1) >= min(least_share, 1 - 1e-6)).tolist():
        all_share, seen_share = all_shares[row], seen_shares[row]
        best_all, best_seen = best[row].tolist()
        if best_all > 1 - 1e-6 or best_seen > 1 - 1e-6:
            drawn_alike = best_all > 1 - 1e-6
            same = all_share if drawn_alike else seen_share
            spots = [spot for spot in range(len(MOTIONS)) if same[spot] > 1 - 1e-6]
            found.append(_exact(sided, index, row, spots, full, drawn_alike))
        elif max(best_all, best_seen) >= least_share:
            nearer = all_share if best_all >= best_seen else seen_share
            near.append((max(best_all, best_seen), row, _undone(MOTIONS[int(nearer.argmax())])))
    found.sort(key=lambda each: (KINDS.index(each.kind), each.hidden, each.exchanged, each.block.name))
    near.sort(key=lambda each: (-each[0], index.blocks[each[1]].name))
    return (*found, *(_near(sided, index, row, motion, full, share) for share, row, motion in near[:most_near]))


def _undone(motion: tuple[int, bool]) -> tuple[int, bool]:
    """The motion that brings back what a motion moved: the given block was moved onto the entry."""
    turn, mirrored = motion
    return (turn if mirrored else -turn % 360), mirrored


def _exact(
    given: _Given, index: Index, row: int, spots: Sequence[int], full: Sequence[Stretch], drawn_alike: bool
) -> Match:
    """The best way in which an entry with the same seams lies on the given block."""
    entry = index.blocks[row]
    ways = []
    for turn, mirrored in sorted((_undone(MOTIONS[spot]) for spot in spots), key=lambda motion: motion[::-1]):
        places = _places(given, index, row, (turn, mirrored))
        exchanged = any(
            given.block.places[here].value != entry.places[there].value
            for there, found in places.items()
            for here in found
        )
        ways.append((KINDS.index(_kind(given.block, entry, places)), exchanged, mirrored, turn, places))
        if ways[-1][:2] == (0, False):
            break
    kind, exchanged, mirrored, turn, places = min(ways, key=lambda way: way[:4])
    if drawn_alike:
        return Match(entry, KINDS[kind], turn, mirrored, places, exchanged, False, 1.0, (), ())
    missing, extra = _differ(index.full[row], (turn, mirrored), full)
    share = _share(full, index.full[row], extra)
    return Match(entry, KINDS[kind], turn, mirrored, places, exchanged, True, share, missing, extra)


def _near(
    given: _Given, index: Index, row: int, motion: tuple[int, bool], full: Sequence[Stretch], share: float
) -> Match:
    missing, extra = _differ(index.full[row], motion, full)
    places = _places(given, index, row, motion)
    return Match(index.blocks[row], "near", *motion, places, False, False, share, missing, extra)


def _differ(
    entry: Sequence[Stretch], motion: tuple[int, bool], full: Sequence[Stretch]
) -> tuple[tuple[Segment, ...], tuple[Segment, ...]]:
    there = lines.moved(entry, *motion)
    missing, extra = lines.difference(there, full), lines.difference(full, there)
    return tuple(lines.ends(each) for each in missing), tuple(lines.ends(each) for each in extra)


def _share(full: Sequence[Stretch], entry: Sequence[Stretch], extra: Sequence[Segment]) -> float:
    total = sum(lines.length(each) for each in full)
    only = sum(float(np.hypot(x1 - x0, y1 - y0)) for (x0, y0), (x1, y1) in extra)
    common = total - only
    either = total + sum(lines.length(each) for each in entry) - common
    return common / either if either else 1.0


def _kind(given: Block, entry: Block, places: Mapping[str, tuple[str, ...]]) -> Kind:
    """How the fabrics of two blocks with the same seams go together."""
    taken = [here for found in places.values() for here in found]
    if len(taken) > len(set(taken)):
        return "values"
    many = any(len(found) > 1 for found in places.values())
    loose = any(
        given.places[here].scrappy and not entry.places[there].scrappy
        for there, found in places.items()
        for here in found
    )
    return "scrappy" if many or loose else "same"


@dataclass(frozen=True, slots=True, eq=False)
class _Given:
    """The given block, ready to be asked what lies where."""

    block: Block
    sides: Sides


def _places(given: _Given, index: Index, row: int, motion: tuple[int, bool]) -> dict[str, tuple[str, ...]]:
    """For each place of an entry, moved, the places of the given block that lie there."""
    entry = index.blocks[row]
    found: dict[str, set[str]] = {letter: set() for letter in entry.places}
    for here, there in patches_at(given.sides, move_spots(index.inner[row], *motion)):
        found[entry.patches[there].place].add(given.block.patches[here].place)
    return {letter: tuple(sorted(here)) for letter, here in found.items()}
