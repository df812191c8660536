"""What a quilt is, in a sentence or two."""

from __future__ import annotations

from seamlore.draft.cells import blocks_said, rows_said
from seamlore.draft.groups import cut_said
from seamlore.draft.quilt import Quilt
from seamlore.errors import SeamloreError
from seamlore.lengths import show, show_size
from seamlore.steps.study.job import Job


def study_lead(job: Job, drafted: Quilt | None, *, told: bool = True) -> str:
    """Say in a sentence or two what the quilt is, and what was told of it.

    Examples
    --------
    >>> from seamlore.draft.catalogue import find
    >>> from seamlore.draft.repeated import repeated
    >>> from seamlore.lengths import inches
    >>> from seamlore.steps.study.inputs import Inputs
    >>> study_lead(Job(Inputs()), repeated("q", find("churn dash"), inches(12), inches(12), 1, 1))
    '1 Churn Dash block of 12 in, 1 row of 1; 12 x 12 in as drafted.'
    """
    story = " ".join(job.inputs.about.story.split()) if told else ""
    if drafted is None:
        return story
    square = drafted.block_width == drafted.block_height
    each = show(drafted.block_width) if square else show_size(drafted.block_width, drafted.block_height)
    blocks = f"{blocks_said(drafted)} of {each}"
    setting = f", {rows_said(drafted)}{f': {cut}' if (cut := cut_said(drafted)) else ''}"
    gaps = [show(gap) for gap in dict.fromkeys(drafted.gaps) if gap]
    if gaps:
        setting += f", with {' and '.join(gaps)} sashing"
    size = _left_over(job) or f"{show_size(*drafted.finished_size)} as drafted."
    return f"{blocks}{setting}; {size[0].lower()}{size[1:]} {story}".strip()


def _left_over(job: Job) -> str:
    try:
        return job.left_over
    except SeamloreError:
        # Nothing was measured that the draft could differ from.
        return ""
