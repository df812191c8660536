"""The catalogue of blocks as it is listed: every name, what else goes by it, and as plain data."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING, Any

from seamlore.draft.block import Block
from seamlore.draft.catalogue import Entry, claims, entries, names

if TYPE_CHECKING:
    pass


def catalogue_names() -> list[str]:
    """List every name that a block of the catalogue goes by.

    Examples
    --------
    >>> "Churn Dash" in catalogue_names()
    True
    """
    return list(names())


def name_claims(block: Block) -> Mapping[str, Sequence[str]]:
    """Give the names of a block that other drawings go by too, and what heads those.

    Examples
    --------
    >>> from seamlore.draft.catalogue import find
    >>> name_claims(find("Snail's Trail"))
    {'Monkey Wrench': ('Churn Dash', 'Double Monkey Wrench')}
    """
    return claims(block)


def catalogue() -> tuple[Entry, ...]:
    """List the entries of the catalogue."""
    return entries()


def catalogue_record() -> list[dict[str, Any]]:
    """Give the same as plain data for JSON; `numbers` are those that can be drawn of a family."""
    return [
        {
            "name": each.name,
            "also": list(each.block.names[1:]),
            "family": each.block.family,
            "divisions": each.block.divisions,
            "patches": len(each.block.patches),
            "counted": f"{each.family.part}s" if each.family else None,
            "numbers": list(each.family.numbers) if each.family else None,
            "source": each.source,
        }
        for each in entries()
    ]
