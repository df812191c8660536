"""How printed fabrics are cut: what is said of a print that runs one way, and of motifs that pieces are cut around."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace

from seamlore.draft.setting.arranged import on_point
from seamlore.errors import PlanError
from seamlore.fabric.stash import Stash
from seamlore.lengths import Length
from seamlore.making.cutting import Cut
from seamlore.making.plan import Plan
from seamlore.making.strips import FabricNeed
from seamlore.steps.cutting.wanted import Piece
from seamlore.steps.words import few, listed


def repeat_of(cut: Cut, stash: Stash) -> tuple[Length, Length] | None:
    """Say how far apart the motifs stand that a line of the cutting list is cut around; None where there are none.

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
    >>> [str(each) for each in repeat_of(first, read_stash("Fabric A: motif 8 x 6 in for A1"))]
    ['8 in', '6 in']
    >>> repeat_of(first, Stash()) is None
    True
    """
    around = {label: each.repeat for each in stash.prints_of(cut.fabric) for label in each.labels}
    wanted = [label for label in cut.labels if label in around]
    if not wanted:
        return None
    if cut.yields > 1 or cut.nest or cut.batch:
        raise PlanError(
            f"motifs for {listed(wanted)} of {cut.fabric}",
            "it is not cut piece by piece",
            "ask for motifs of squares, oblongs or single templates, made one at a time",
        )
    return around[wanted[0]]


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


def said_of_prints(need: FabricNeed, made: Plan, stash: Stash, bought: str, turning: str) -> tuple[str, ...]:
    """Say how a one-way print is cut, what of it cannot stand upright, and what that costs; nothing where it has no direction.

    Parameters
    ----------
    need : FabricNeed
    made : Plan
    stash : Stash
    bought, turning : str
        What a shop is asked for, so and if its pieces could turn.
    """
    if not any(each.one_way for each in stash.prints_of(need.fabric)):
        return ()
    said = [
        f"{need.fabric} is printed one way: it is laid with the print running along the fabric, and every piece is cut as it "
        "stands in the quilt."
    ]
    if any(cut.yields > 1 and not cut.nest for cut in need.cuts):
        said.append(
            "Cut each square or rectangle from corner to corner as is said, and lay triangles out before you sew."
        )
    leaning = [label for cut in need.cuts if cut.lies == "leaning" for label in cut.labels]
    if leaning:
        said.append(f"{few(leaning)}: aslant in the block and cut on the straight grain, so there the print leans.")
    if on_point(made.quilt):
        said.append(
            "Blocks on point are cut on their own grain: in them the print leans by 45 degrees, all of it one way."
        )
    bias = [label for cut in need.cuts if cut.bias for label in cut.labels]
    if bias:
        said.append(f"{few(bias)}: upright, no side lies on the straight grain; handle it little before it is sewn.")
    if need.fabric in made.set_aside:
        said.append("Units with it are made one at a time: of several at a time, half would stand turned about.")
    free = next((each for each in made.turning if each.fabric == need.fabric), need)
    more = sum(cut.spare for cut in need.cuts) - sum(cut.spare for cut in free.cuts)
    costs = (
        [f"{more} piece{'s' * (more != 1)} more that {'are' if more != 1 else 'is'} left over"] if more > 0 else []
    )
    if bought != turning:
        costs.append(f"fabric: {bought}, not the {turning} that would do if all could turn")
    nothing = ", and no more fabric from the shop" if costs and bought == turning else ""
    said.append(f"Standing upright costs {' and '.join(costs) or 'nothing more'}{nothing}.")
    return tuple(said)
