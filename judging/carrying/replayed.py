"""Every number that the pages Assess and Decide say of a carried quilt, reckoned again and looked for on them.

What is reckoned is looked for as the words in which a page must say it; at the end every number that stands on a page and was not
reckoned is listed, so that none is forgotten.
"""

from __future__ import annotations

from typing import Any

from judging.carrying.assessed import Assessing
from judging.carrying.decided import Deciding
from judging.carrying.pages import Pages


def replay(carried: Any) -> Pages:
    """Reckon a carried quilt again; give its pages with what was found on them and what was not."""
    pages = Pages(carried.pages)
    assessing = Assessing(carried, pages)
    assessing.all()
    Deciding(assessing).all()
    return pages
