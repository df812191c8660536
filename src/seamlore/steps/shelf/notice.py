"""One thing worth noticing, and how it is written."""

from __future__ import annotations

from dataclasses import dataclass

from seamlore.drawing.picture import Picture

Room = tuple[float, float]


@dataclass(frozen=True, slots=True)
class Notice:
    """One thing worth noticing.

    Parameters
    ----------
    key : str
        What it is called as long as it is about the same thing.
    says : str
        With its figure.
    compared : str
        What it is compared with.
    where : str
        What to point at.
    picture : Picture, optional
    own : bool
        Hers, not worked out.
    edited : bool
        In her words.
    dropped : bool
        Not to be told.
    worked_out : str
        What it says where nobody changed it.
    """

    key: str
    says: str
    compared: str
    where: str = ""
    picture: Picture | None = None
    own: bool = False
    edited: bool = False
    dropped: bool = False
    worked_out: str = ""


def sentence(words: str) -> str:
    """Write words as a sentence.

    Examples
    --------
    >>> sentence("nothing holds it.")
    'Nothing holds it.'
    """
    return f"{words[:1].upper()}{words[1:].rstrip('.')}."
