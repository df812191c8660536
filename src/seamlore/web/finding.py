"""What is looked for on the shelf, read from an address, and what was found for it."""

from __future__ import annotations

from starlette.datastructures import QueryParams

from seamlore.errors import SeamloreError
from seamlore.limits import LINE, whole_number
from seamlore.shelf.shelf import Shelf
from seamlore.steps.leaving.exporting import FORMATS
from seamlore.steps.leaving.private import PRIVATE
from seamlore.steps.shelf.cards import FILTERS
from seamlore.steps.shelf.find import ORDERS, Page, Shown, Wanted, filters, find, shown


def wanted_of(given: QueryParams) -> Wanted:
    """Read what is looked for from an address."""
    marks = {kind: given.get(kind, "")[:LINE] for kind in FILTERS if given.get(kind)}
    return Wanted(
        given.get("q", "")[:LINE],
        marks,
        given.get("years", "")[:LINE],
        given.get("order", "") or "changed",
        bool(given.get("aside")),
    )


def numbers_of(given: QueryParams) -> list[int]:
    """Read which quilts were chosen; what is no number is none."""
    found = [whole_number(text) for text in given.getlist("quilt")]
    return list(dict.fromkeys(number for number in found if number is not None))


def chosen_in(given: QueryParams) -> list[str]:
    """Read what private was ticked to go along."""
    return [word for word in given.getlist("with") if word in PRIVATE]


def looked_for(shelf: Shelf, given: QueryParams) -> tuple[Wanted, Page, str]:
    """Look for what an address says; what is half typed finds nothing, and that is said in the third."""
    wanted = wanted_of(given)
    try:
        return wanted, find(shelf, wanted, start=whole_number(given.get("start", "0")) or 0), ""
    except SeamloreError as fault:
        return wanted, Page(0, 0, ()), str(fault)


def chosen_of(shelf: Shelf, given: QueryParams, found: Page) -> list[Shown]:
    """Give the quilts that were chosen and are not among those found: they stay chosen."""
    there = {each.number for each in found.quilts}
    return [each for each in shown(shelf, numbers_of(given)) if each.number not in there]


def query_of(given: QueryParams) -> str:
    """The address of the same search, without where it begins and what was chosen."""
    kept = [(key, value) for key, value in given.multi_items() if key not in ("start", "quilt", "part")]
    return str(QueryParams(kept))


def page_of(shelf: Shelf, given: QueryParams) -> dict[str, object]:
    """Give what the shelf's page shows of what is looked for."""
    wanted, found, slip = looked_for(shelf, given)
    return {
        "found": found,
        "wanted": wanted,
        "slip": slip,
        "chosen": chosen_of(shelf, given, found),
        "query": query_of(given),
        "filters": filters(shelf),
        "filter_names": FILTERS,
        "orders": ORDERS,
        "formats": FORMATS,
    }
