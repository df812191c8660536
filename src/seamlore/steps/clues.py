"""What can be seen on a quilt that says when it was made: the table to choose from."""

from __future__ import annotations

from typing import Any

from seamlore.chronology.clues import STRENGTH_WORDS, Clue, clues
from seamlore.chronology.evidence_file import PARTS
from seamlore.sources import TAG_WORDS

__all__ = ["PARTS", "STRENGTH_WORDS", "clues_record", "known_clues"]


def known_clues() -> tuple[Clue, ...]:
    """List every datable feature."""
    return tuple(clues().values())


def clues_record() -> list[dict[str, Any]]:
    """Give the same as plain data for JSON, with its strength and its source in words.

    Examples
    --------
    >>> sorted(clues_record()[0])[:4]
    ['feature', 'key', 'known', 'mistaken_for']
    """
    return [
        {
            "key": clue.key,
            "feature": clue.feature,
            "parts": list(clue.parts),
            "when": str(clue.when),
            "when_words": "says nothing of when" if clue.says_nothing else str(clue.when),
            "region": clue.region,
            "strength": STRENGTH_WORDS[clue.strength],
            "mistaken_for": clue.mistaken_for,
            "known": TAG_WORDS[clue.tag],
            "source": clue.source,
        }
        for clue in clues().values()
    ]
