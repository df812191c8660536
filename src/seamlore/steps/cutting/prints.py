"""How the pieces of a printed fabric lie: a print that runs one way, motifs that pieces are cut around."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from seamlore.draft.groups import groups
from seamlore.draft.layout import arrange
from seamlore.draft.quilt import Quilt
from seamlore.draft.setting.parts import Ring
from seamlore.errors import PlanError
from seamlore.fabric.stash import Print, Stash
from seamlore.lengths import Length
from seamlore.making.cutting import Cut
from seamlore.steps.cutting.wanted import Piece
from seamlore.steps.words import few, listed

# How many pieces of a fabric and label stand upright in the quilt, and how many lie across.
Lying = Mapping[tuple[str, str], tuple[int, int]]


@dataclass(frozen=True, slots=True)
class Lot:
    """Pieces of one line of the cutting list that are laid alike.

    Parameters
    ----------
    labels : tuple of str
    count : int
        How many are cut.
    upright : bool or None
        Whether their long side runs along the fabric, or across it; None where they may lie in either way.
    repeat : tuple of Length or None
        How far apart the motifs stand, across and along, that they are cut around.
    """

    labels: tuple[str, ...]
    count: int
    upright: bool | None = None
    repeat: tuple[Length, Length] | None = None

    @property
    def name(self) -> str:
        """What they are called."""
        return few(self.labels)


def lying(quilt: Quilt) -> Lying:
    """Count how the oblong pieces of a quilt stand in it.

    Examples
    --------
    >>> from seamlore.draft.repeated import repeated
    >>> from seamlore.draft.text.notation import read_block
    >>> from seamlore.lengths import inches
    >>> bars = read_block("block Bars\\nA dark\\nB light\\n\\nA B")
    >>> lying(repeated("q", bars, inches(8), inches(8), 2, 3))["Fabric A", "A1"]
    (6, 0)
    """
    found: dict[tuple[str, str], Counter[bool]] = {}

    def add(fabric: str, label: str, ring: Ring, *, quarter: bool = False) -> None:
        wide, high = (max(at[k] for at in ring) - min(at[k] for at in ring) for k in (0, 1))
        found.setdefault((fabric, label), Counter())[(high >= wide) != (quarter and high != wide)] += 1

    for group in groups(quilt):
        first = group.spots[0]
        for spot in group.spots:
            own = dict(spot.own)
            quarter = (spot.turned.turn - first.turned.turn) % 180 != 0
            for part, label in zip(group.parts, group.labels, strict=True):
                fabric = own.get(part.place) or quilt.fabric_of(quilt.key(group.kind, part.place))
                add(fabric, label, part.outline, quarter=quarter)
    for bit in arrange(quilt).bits:
        add(bit.fabric, bit.label, bit.outline)
    return {key: (many[True], many[False]) for key, many in found.items()}


def lots(cut: Cut, quilt: Quilt, stash: Stash) -> tuple[Lot, ...]:
    """Part a line of the cutting list into what is laid alike, as its fabric is printed.

    Parameters
    ----------
    cut : Cut
    quilt : Quilt
        What is made.
    stash : Stash
        What is said of the prints.

    Raises
    ------
    PlanError
        When a motif is asked for on what is not cut piece by piece.

    Examples
    --------
    >>> from seamlore.draft.pieces import pieces
    >>> from seamlore.draft.repeated import repeated
    >>> from seamlore.draft.text.notation import read_block
    >>> from seamlore.fabric.stash_text import read_stash
    >>> from seamlore.lengths import inches
    >>> from seamlore.making.cutting import cutting_list
    >>> quilt = repeated("q", read_block("block Bars\\nA dark\\nB light\\n\\nA B"), inches(8), inches(8), 2, 3)
    >>> first = cutting_list(pieces(quilt), inches("1/4"))[0]
    >>> [(lot.count, lot.upright) for lot in lots(first, quilt, read_stash("Fabric A: one-way"))]
    [(6, True)]
    >>> [(lot.count, lot.upright) for lot in lots(first, quilt, read_stash(""))]
    [(6, None)]
    """
    prints = stash.prints_of(cut.fabric)
    around = {label: each for each in prints for label in each.labels}
    one_way = any(each.one_way for each in prints)
    wanted = [label for label in cut.labels if label in around]
    if wanted and (cut.yields > 1 or cut.nest or cut.batch):
        raise PlanError(
            f"motifs for {listed(wanted)} of {cut.fabric}",
            "it is not cut piece by piece",
            "ask for motifs of squares, oblongs or single templates, made one at a time",
        )
    oblong = cut.shape == "rectangle" and not cut.batch and cut.size[0] != cut.size[1]
    if not wanted and not (one_way and oblong):
        return (Lot(cut.labels, cut.count, False if one_way else None),)
    counts: dict[tuple[bool, Print | None], tuple[list[str], int]] = {}
    stands = lying(quilt)
    for label in cut.labels:
        for upright, many in zip((True, False), stands[cut.fabric, label], strict=True):
            if many:
                labels, before = counts.get((upright, around.get(label)), ([], 0))
                counts[upright, around.get(label)] = [*labels, label], before + many
    return tuple(
        Lot(tuple(labels), many, upright if one_way or motif else None, motif.repeat if motif else None)
        for (upright, motif), (labels, many) in counts.items()
    )


def as_printed(fabric: str, pieces: Sequence[Piece], stash: Stash) -> list[Piece]:
    """Give the pieces of a list as their fabric is printed: none turned where it runs one way, motifs where they are asked for.

    Examples
    --------
    >>> from seamlore.fabric.stash_text import read_stash
    >>> from seamlore.lengths import inches
    >>> rose = Piece("rose", inches(5), inches(4), 3, True)
    >>> as_printed("Red", [rose], read_stash("Red: one-way"))[0].may_turn, as_printed("Red", [rose], Stash())[0].may_turn
    (False, True)
    """
    prints = stash.prints_of(fabric)
    checked_labels(fabric, [each.name for each in pieces], stash)
    one_way = any(each.one_way for each in prints)
    around = {label: each.repeat for each in prints for label in each.labels}
    return [
        replace(each, may_turn=each.may_turn and not one_way, repeat=around.get(each.name, each.repeat))
        for each in pieces
    ]


def checked_prints(cuts: Mapping[str, tuple[Cut, ...]], stash: Stash) -> None:
    """Refuse motifs for a piece that is not cut from its fabric.

    Examples
    --------
    >>> from seamlore.fabric.stash_text import read_stash
    >>> checked_prints({"Red": ()}, read_stash("Red: motif 8 x 6 in for A9"))
    Traceback (most recent call last):
        ...
    seamlore.errors.PlanError: motifs for A9 of Red: no piece of that name is cut from it; write one of its own: none
    """
    for fabric, lines in cuts.items():
        checked_labels(fabric, [label for cut in lines for label in cut.labels], stash)


def checked_labels(fabric: str, known: Sequence[str], stash: Stash) -> None:
    """Refuse motifs for what is none of these pieces."""
    for each in stash.prints_of(fabric):
        strange = [label for label in each.labels if label not in known]
        if strange:
            raise PlanError(
                f"motifs for {listed(strange)} of {fabric}",
                "no piece of that name is cut from it",
                f"write one of its own: {few(known) or 'none'}",
            )


def said_of_prints(cuts: tuple[Cut, ...], stash: Stash) -> str:
    """Say what of a one-way print cannot stand as it should; empty where the print has no direction."""
    if not any(each.one_way for each in stash.prints_of(cuts[0].fabric)):
        return ""
    turned = [label for cut in cuts if cut.yields > 1 or cut.nest or cut.shape == "template" for label in cut.labels]
    said = (
        f"{cuts[0].fabric} is printed one way: it is laid with the print running along the fabric, and squares, oblongs, sashing "
        "and borders as they stand in the quilt."
    )
    if turned:
        said += f" {few(turned)}: triangles and templates cannot all show it upright; lay a few out before you cut the rest."
    return said
