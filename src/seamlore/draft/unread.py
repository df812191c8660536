"""Saying which blocks of a quilt were not read."""

from __future__ import annotations

from seamlore.draft.quilt import Quilt
from seamlore.draft.where import said_all


def not_read_words(quilt: Quilt) -> str:
    """Say how many blocks were not read, and which; nothing where all were.

    Parameters
    ----------
    quilt : Quilt
        Rows are counted as they lie, on point those between the whole rows too.

    Returns
    -------
    str
        A sentence.

    Examples
    --------
    >>> from seamlore.draft.catalogue import find
    >>> from seamlore.draft.cells import with_cells
    >>> from seamlore.draft.kinds import NOT_READ
    >>> from seamlore.draft.repeated import repeated
    >>> from seamlore.lengths import inches
    >>> whole = repeated("q", find("shoo fly"), inches(9), inches(9), 2, 5)
    >>> gone = dict.fromkeys([(0, 1), (1, 0), (1, 1), (1, 2), (1, 4)], NOT_READ)
    >>> not_read_words(with_cells(whole, gone))
    '5 of 10 blocks are not read: row 1, column 2; row 2, columns 1 to 3 and 5.'
    >>> not_read_words(whole)
    ''
    """
    missing = quilt.not_read
    if not missing:
        return ""
    count, whole = len(missing), len(quilt.spots)
    if count == whole:
        return f"None of the {whole} blocks is read."
    return f"{count} of {whole} blocks {'is' if count == 1 else 'are'} not read: {said_all(missing)}."


def left_out_words(quilt: Quilt, what: str) -> str:
    """Say which blocks were not read, and that nothing is done for them here; nothing where all were read.

    Parameters
    ----------
    quilt : Quilt
    what : str
        Such as "cut or bought".

    Examples
    --------
    >>> from seamlore.draft.catalogue import find
    >>> from seamlore.draft.cells import with_cells
    >>> from seamlore.draft.kinds import NOT_READ
    >>> from seamlore.draft.repeated import repeated
    >>> from seamlore.lengths import inches
    >>> whole = repeated("q", find("shoo fly"), inches(9), inches(9), 2, 5)
    >>> left_out_words(with_cells(whole, {(0, 1): NOT_READ}), "cut or bought")
    '1 of 10 blocks is not read: row 1, column 2. Nothing is cut or bought for it.'
    >>> left_out_words(whole, "cut or bought")
    ''
    """
    said = not_read_words(quilt)
    return f"{said} Nothing is {what} for {'it' if len(quilt.not_read) == 1 else 'them'}." if said else ""
