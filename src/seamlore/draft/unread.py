"""Saying which blocks of a quilt were not read."""

from __future__ import annotations

from collections.abc import Sequence

from seamlore.draft.quilt import Quilt


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
    rows: dict[int, list[int]] = {}
    for row, column in missing:
        rows.setdefault(row, []).append(column + 1)
    said = "; ".join(f"row {row + 1}, {_columns(columns)}" for row, columns in rows.items())
    return f"{count} of {whole} blocks {'is' if count == 1 else 'are'} not read: {said}."


def _columns(columns: Sequence[int]) -> str:
    runs: list[list[int]] = []
    for column in columns:
        if runs and column == runs[-1][1] + 1:
            runs[-1][1] = column
        else:
            runs.append([column, column])
    parts = [str(low) if low == high else f"{low} {'and' if high == low + 1 else 'to'} {high}" for low, high in runs]
    listed = parts[0] if len(parts) == 1 else f"{', '.join(parts[:-1])} and {parts[-1]}"
    return f"column{'s' * (len(columns) > 1)} {listed}"
