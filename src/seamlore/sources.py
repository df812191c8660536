"""How a figure or a rule is known: the words for it, the same wherever one is shown."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

Tag = Literal["V", "Vw", "M"]

TAG_WORDS: dict[str, str] = {"V": "read in the source named", "Vw": "read in a weak source", "M": "from memory"}
NO_SOURCE = "common practice, no source"


@dataclass(frozen=True, slots=True)
class Source:
    """Where something is known from.

    Parameters
    ----------
    text : str
        Who says it, and where.
    tag : {"V", "Vw", "M"}
        See `TAG_WORDS`.

    Examples
    --------
    >>> print(Source("US Consumer Product Safety Commission", "M"))
    US Consumer Product Safety Commission (from memory)
    """

    text: str
    tag: Tag

    def __str__(self) -> str:
        return f"{self.text} ({TAG_WORDS[self.tag]})"
