"""What can be seen on a quilt that says when it was made: the table to choose from."""

from __future__ import annotations

from typing import Any

from seamlore.chronology.clues import EYE_WORDS, KNOWN_WORDS, STRENGTH_WORDS, Clue, clues
from seamlore.chronology.parts import PARTS, place_of

__all__ = ["EYE_WORDS", "KNOWN_WORDS", "PARTS", "clues_record", "found_clues", "known_clues"]

# What each way of looking is called on the page, in the order in which a quilt is looked over.
SEEN_WORDS = {
    "pattern": "Pattern and style",
    "print": "Print",
    "color": "Color and dye",
    "cloth": "Cloth, weave, width",
    "thread": "Thread",
    "stitch": "Stitch and tool",
    "filling": "Filling",
    "edge": "Edge",
    "words": "Words and labels",
    "wear": "Wear and traps",
}


def known_clues() -> tuple[Clue, ...]:
    """List every datable feature."""
    return tuple(clues().values())


def found_clues(words: str, part: str) -> list[tuple[str, list[Clue]]]:
    """Find the clues that a search means, grouped by what is seen.

    Parameters
    ----------
    words : str
        Each word must stand somewhere in the feature, its name, what it is mistaken for, or its kind; empty finds all.
    part : str
        The part that it is seen on; clues of other parts are left out. Empty, or a part without a place, leaves none out.

    Returns
    -------
    list of (str, list of Clue)
        What is seen, in words, and its clues: those that begin with a word searched for first, then by strength.

    Examples
    --------
    >>> [(seen, [clue.key for clue in group]) for seen, group in found_clues("turkey plain", "blocks")]
    [('Color and dye', ['turkey red'])]
    >>> found_clues("turkey", "filling")
    []
    """
    asked = words.casefold().split()
    place = place_of(part) if part.strip() else ""
    groups: dict[str, list[Clue]] = {}
    for clue in clues().values():
        told = " ".join((clue.key, clue.feature, clue.seen, clue.kind, clue.mistaken_for, clue.hazard)).casefold()
        if (place and place not in clue.parts) or not all(word in told for word in asked):
            continue
        groups.setdefault(clue.seen, []).append(clue)
    strengths = list(STRENGTH_WORDS)

    def first(clue: Clue) -> tuple[bool, int, str]:
        names = clue.key.casefold().split() + clue.feature.casefold().split()
        named = all(any(name.startswith(word) for name in names) for word in asked)
        return (not named, strengths.index(clue.strength), clue.feature)

    return [(SEEN_WORDS[seen], sorted(groups[seen], key=first)) for seen in SEEN_WORDS if seen in groups]


def clues_record(words: str = "") -> list[dict[str, Any]]:
    """Give the same as plain data for JSON: what it dates, how strongly, and how each of its years is known.

    Parameters
    ----------
    words : str, optional
        A search, as `found_clues` takes it; all clues when left out.

    Examples
    --------
    >>> sorted(clues_record()[0])[:4]
    ['dates', 'eye', 'feature', 'figures']
    >>> [each["key"] for each in clues_record("turkey plain")]
    ['turkey red']
    """
    meant = {clue.key for _, group in found_clues(words, "") for clue in group}
    return [
        {
            "key": clue.key,
            "feature": clue.feature,
            "seen": clue.seen,
            "parts": list(clue.parts),
            # A year that is written is the year of the making itself.
            "dates": "cloth" if clue.dates == "cloth" else "making",
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
        if clue.key in meant
    ]
