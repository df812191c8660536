"""The pocket card, printed."""

from __future__ import annotations

import datetime

from seamlore.steps.study.job import Job
from seamlore.wording import speaking


def pocket_card_pdf(job: Job, *, printed: datetime.date) -> bytes:
    """Print the card for a sale and for photographing, as PDF."""
    from seamlore.printing.pages import to_pdf  # the document engine: slow to import
    from seamlore.sheets.pocket_card import pocket_card

    with speaking():
        return to_pdf(pocket_card(printed), job.inputs.making.paper)
