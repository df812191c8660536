"""Which kind of block is looked at or changed, where one at a time is."""

from __future__ import annotations

from seamlore.draft.kinds import Kind
from seamlore.draft.quilt import Quilt
from seamlore.errors import ShapeError


def open_kind(quilt: Quilt, name: str = "") -> Kind:
    """Give the kind that was asked for; of none, or of one that is gone, the commonest.

    Raises
    ------
    ShapeError
        When no block of the quilt was read.

    Examples
    --------
    >>> from seamlore.draft.catalogue import find
    >>> from seamlore.draft.kinds import plain_block
    >>> from seamlore.draft.repeated import repeated
    >>> from seamlore.lengths import inches
    >>> quilt = repeated("q", find("nine patch"), inches(9), inches(9), 5, 5, every_other=plain_block())
    >>> open_kind(quilt).name, open_kind(quilt, "P").name, open_kind(quilt, "Q").name
    ('NP', 'P', 'NP')
    """
    if not quilt.kinds:
        raise ShapeError("no block", "none of the quilt's blocks is read", "choose a block and say where it stands")
    counts = quilt.counts
    usual = max(quilt.kinds, key=lambda kind: counts.get(kind.name, 0))
    return next((kind for kind in quilt.kinds if kind.name == name), usual)
