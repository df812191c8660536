"""What can be chosen on the page on assessing, in words."""

from __future__ import annotations

from typing import Any

from seamlore.condition.holding import FILLINGS, LINES, TIES
from seamlore.condition.kinds import DYE_RESULTS, HAND_RESULTS, KINDS, OBJECTS, PARTS, SEVERITY
from seamlore.saving.at_hand import PRINTS
from seamlore.steps.edit.photographs import SHOWS

_OBJECT_WORDS = {"top": "a top, not quilted", "blocks": "loose blocks"}


def choices() -> dict[str, Any]:
    """Give the lists that the page offers.

    Examples
    --------
    >>> sorted(choices())[:4]
    ['all_parts', 'dye_results', 'filling_words', 'hand_results']
    """
    return {
        "kinds": KINDS,
        "severities": SEVERITY,
        "objects": OBJECTS,
        "object_words": [("", "not said yet"), *((name, _OBJECT_WORDS.get(name, f"a {name}")) for name in OBJECTS)],
        "all_parts": PARTS,
        "ties": TIES,
        "lines": LINES,
        "filling_words": [(name, name) for name in FILLINGS],
        "hand_results": HAND_RESULTS,
        "dye_results": DYE_RESULTS,
        "shows": SHOWS,
        "prints": [("", "not said"), *((each, each) for each in PRINTS)],
    }
