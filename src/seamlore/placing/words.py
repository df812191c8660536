"""Why fabrics cannot be placed, in words."""

from __future__ import annotations

from collections.abc import Sequence

from seamlore.draft.block import Value
from seamlore.draft.layout import Laid
from seamlore.errors import PlanError
from seamlore.placing.answer import Answer
from seamlore.placing.slots import Cloth, Slot
from seamlore.placing.why import Reason


class PlacementError(PlanError):
    """Fabrics that cannot be placed, with the smallest set of patches and fabrics found that shows why.

    Parameters
    ----------
    patches : tuple of int
        Positions in `layout.lay`.
    fabrics : tuple of str
        All the fabrics that these patches may take.
    """

    patches: tuple[int, ...] = ()
    fabrics: tuple[str, ...] = ()


def impossible(
    laid: Sequence[Laid], slots: Sequence[Slot], cloths: Sequence[Cloth], answer: Answer, value: Value
) -> PlanError:
    """Make the error that says why the patches of one value cannot be placed."""
    reason = answer.reason
    if reason is None:
        return PlanError(
            f"{len(slots)} {value} places",
            f"no way was found to cut them all from the {len(cloths)} {value} fabrics, though none was ruled out",
            "allow a little more fabric",
        )
    members = [member for number in reason.patches.tolist() for member in slots[number].members]
    names = [cloths[number].name for number in reason.fabrics.tolist()]
    given = f"{len(members)} {value} patch{'es' * (len(members) != 1)}{_where(laid, members)}"
    fault = PlacementError(given, *_said(slots, cloths, reason, answer.most, value))
    fault.patches, fault.fabrics = tuple(members), tuple(names)
    return fault


def _said(slots: Sequence[Slot], cloths: Sequence[Cloth], reason: Reason, most: int, value: Value) -> tuple[str, str]:
    """What limits these patches, and what to do."""
    fabrics = [cloths[number] for number in reason.fabrics.tolist()]
    more = [cloths[number].name for number in reason.limited.tolist()]
    remedy = (
        f"find more of {listed(more, 'or')}, or another {value} fabric" if more else f"add another {value} fabric"
    )
    if len(more) > 3 and len(more) == len(fabrics):
        remedy = f"find more of any of them, or another {value} fabric"
    if not fabrics:
        return "every fabric of their value already lies beside them", remedy
    one = len(fabrics) == 1
    count = "one" if one else len(fabrics)
    which = f"the {count} {value} fabric{'s' * (not one)} {listed([each.name for each in fabrics])}"
    if reason.kind == "touching":
        return f"they touch so that {which} {'is' if one else 'are'} not enough", remedy
    taken = [slots[number] for number in reason.patches.tolist()]
    if reason.kind == "apart":
        in_all = sum(int(min(float(reason.most), *_amounts(each, taken))) for each in fabrics)
        return (
            f"at most {reason.most} of them can be of one fabric with no two touching, since there are "
            f"{len(taken) - reason.most} pairs that touch, no patch in two of them; so {which} give {in_all}",
            remedy,
        )
    held = len({slot.spot for slot in taken}) * most
    amounts = [float("inf") if each.patches is None else each.patches for each in fabrics]
    give = sum(min(each, held) for each in amounts)
    often = f", {'each ' * (not one)}at most {'once' if most == 1 else f'{most} times'} in a block"
    if give < sum(len(slot.members) for slot in taken):
        return f"{which} give{'s' * one} {give:.0f}{often if max(amounts) > held else ''}", remedy
    need = sum(slot.size for slot in taken)
    there = sum(float("inf") if each.area_in2 is None else each.area_in2 for each in fabrics)
    if need > there:
        return f"they take {need:.0f} square inches with seams, {which} give{'s' * one} {there:.0f}", remedy
    return f"{which} cannot be shared out among them{often}", remedy


def _amounts(cloth: Cloth, taken: Sequence[Slot]) -> tuple[float, float]:
    """How many patches a fabric gives: by number, and by its area when all are as small as the smallest."""
    by_number = float("inf") if cloth.patches is None else cloth.patches
    smallest = min(slot.size for slot in taken)
    return by_number, float("inf") if cloth.area_in2 is None else (cloth.area_in2 + 1e-9) // smallest


def _where(laid: Sequence[Laid], members: Sequence[int]) -> str:
    """Where a few patches lie; many are not listed."""
    spots = sorted({(laid[member].row, laid[member].column) for member in members if laid[member].row >= 0})
    if not 0 < len(spots) <= 3:
        return ""
    return " in " + listed([f"row {row + 1} column {column + 1}" for row, column in spots])


def listed(names: Sequence[str], word: str = "and") -> str:
    """List names as one reads them, the first twelve of many.

    Examples
    --------
    >>> listed(["p", "q", "r"]), listed(["p"]), listed([])
    ('p, q and r', 'p', '')
    """
    if len(names) > 12:
        return ", ".join(names[:12]) + f" {word} {len(names) - 12} more"
    return f" {word} ".join([", ".join(names[:-1]), names[-1]]) if len(names) > 1 else "".join(names)
