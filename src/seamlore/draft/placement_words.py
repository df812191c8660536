"""Why fabrics cannot be placed, in words."""

from __future__ import annotations

from collections.abc import Sequence

from seamlore.draft.block import Value
from seamlore.draft.layout import Laid
from seamlore.draft.placement_units import Cloth, Unit
from seamlore.errors import PlanError
from seamlore.solving.placing_answer import Answer
from seamlore.solving.placing_why import Reason


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
    laid: Sequence[Laid], units: Sequence[Unit], cloths: Sequence[Cloth], answer: Answer, value: Value
) -> PlanError:
    """Make the error that says why the patches of one value cannot be placed."""
    reason = answer.reason
    if reason is None:
        return PlanError(
            f"{len(units)} {value} places",
            f"no way was found to cut them all from the {len(cloths)} {value} fabrics, though none was ruled out",
            "allow a little more fabric",
        )
    members = [member for number in reason.patches.tolist() for member in units[number].members]
    names = [cloths[number].name for number in reason.fabrics.tolist()]
    given = f"{len(members)} {value} patch{'es' * (len(members) != 1)}{_where(laid, members)}"
    fault = PlacementError(given, *_said(units, cloths, reason, answer.most, value))
    fault.patches, fault.fabrics = tuple(members), tuple(names)
    return fault


def _said(units: Sequence[Unit], cloths: Sequence[Cloth], reason: Reason, most: int, value: Value) -> tuple[str, str]:
    fabrics = [cloths[number] for number in reason.fabrics.tolist()]
    which = f"the {len(fabrics)} {value} fabric{'s' * (len(fabrics) != 1)} {listed([each.name for each in fabrics])}"
    more = [cloths[number].name for number in reason.limited.tolist()]
    remedy = (
        f"find more of {listed(more, 'or')}, or another {value} fabric" if more else f"add another {value} fabric"
    )
    if not fabrics:
        return "every fabric of their value already lies beside them", remedy
    if reason.kind == "touching":
        return f"they touch so that {which} are too few for them", remedy
    blocks = len({units[number].spot for number in reason.patches.tolist()})
    if all(each.patches is not None for each in fabrics):
        give = sum(min(each.patches or 0, blocks * most) for each in fabrics)
        if give < sum(len(units[number].members) for number in reason.patches.tolist()):
            return f"{which} give {give}", remedy
    need = sum(units[number].size for number in reason.patches.tolist())
    if all(each.area_in2 is not None for each in fabrics) and need > sum(each.area_in2 or 0.0 for each in fabrics):
        there = sum(each.area_in2 or 0.0 for each in fabrics)
        return f"they take {need:.0f} square inches with seams, {which} give {there:.0f}", remedy
    return f"{which} cannot be shared out among them, each at most {most} times in a block", remedy


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
