"""What can be seen on a quilt that says when it was made: the table to choose from."""

from __future__ import annotations

from typing import Any

from seamlore.chronology.clues import EYE_WORDS, KNOWN_WORDS, STRENGTH_WORDS, Clue, clues
from seamlore.chronology.parts import PARTS

__all__ = ["PARTS", "STRENGTH_WORDS", "clues_record", "known_clues"]


def known_clues() -> tuple[Clue, ...]:
    """List every datable feature."""
    return tuple(clues().values())


def clues_record() -> list[dict[str, Any]]:
    """Give the same as plain data for JSON: what it dates, how strongly, and how each of its years is known.

    Examples
    --------
    >>> sorted(clues_record()[0])[:4]
    ['dates', 'eye', 'feature', 'figures']
    """
    return [
        {
            "key": clue.key,
            "feature": clue.feature,
            "seen": clue.seen,
            "parts": list(clue.parts),
            "dates": clue.dates,
            "when": str(clue.when),
            "usual": clue.usual,
            "region": clue.region,
            "strength": STRENGTH_WORDS[clue.strength],
            "eye": EYE_WORDS[clue.eye],
            "mistaken_for": clue.mistaken_for,
            "hazard": clue.hazard,
            "figures": {
                name: {
                    "year": figure.year,
                    "source": figure.source.citation,
                    "kind": figure.source.kind,
                    "known": KNOWN_WORDS[figure.tag],
                }
                for name, figure in clue.figures.items()
            },
            "source": clue.source,
        }
        for clue in clues().values()
    ]
