"""What the parts of a quilt are called, and the order in which they are usually made."""

from __future__ import annotations

from collections.abc import Iterable

# The order in which a quilt is usually made; common practice, no source.
USUAL_ORDER = (
    ("fabric", "blocks"),
    ("blocks", "setting"),
    ("setting", "border"),
    ("border", "quilting"),
    ("backing", "quilting"),
    ("filling", "quilting"),
    ("border", "ties"),
    ("backing", "ties"),
    ("filling", "ties"),
    ("quilting", "edge finish"),
    ("ties", "edge finish"),
    ("edge finish", "repair"),
    ("edge finish", "label"),
)
# Plain words, each with the place that it takes in the order.
PLACE = {
    "fabric": "fabric", "cloth": "fabric", "fabrics": "fabric",
    "blocks": "blocks", "block": "blocks", "piecing": "blocks", "patchwork": "blocks", "applique": "blocks",
    "appliqué": "blocks", "embroidery": "blocks", "medallion": "blocks", "center": "blocks",
    "inscription": "blocks",
    "setting": "setting", "sashing": "setting", "sashes": "setting", "sash": "setting", "top": "setting",
    "border": "border", "borders": "border",
    "backing": "backing", "back": "backing", "lining": "backing",
    "filling": "filling", "batting": "filling", "wadding": "filling", "batt": "filling",
    "quilting": "quilting", "ties": "ties", "tying": "ties", "tie": "ties", "tufting": "ties", "knots": "ties",
    "edge finish": "edge finish", "binding": "edge finish", "edge": "edge finish", "edging": "edge finish",
    "finish": "edge finish", "edges": "edge finish", "fringe": "edge finish",
    "thread": "thread", "label": "label", "labels": "label",
    "repair": "repair", "repairs": "repair", "patch": "repair", "mend": "repair", "mending": "repair",
}  # fmt: skip
# What parts are usually called, for a list to choose from.
PARTS = (
    "fabric", "blocks", "setting", "sashing", "border", "top", "backing", "filling", "batting", "thread", "quilting",
    "ties", "edge finish", "binding", "finish", "label", "repair",
)  # fmt: skip


def place_of(part: str) -> str:
    """Give the place in the usual order that a part takes; empty when it has none.

    Examples
    --------
    >>> place_of("Binding"), place_of("block 3"), place_of("edge finish (left)"), place_of("lid")
    ('edge finish', 'blocks', 'edge finish', '')
    """
    plain = " ".join(part.casefold().replace("(", " ").replace(")", " ").replace(",", " ").split())
    if plain in PLACE:
        return PLACE[plain]
    words = plain.split()
    # The noun stands last in English, before what tells one from another: "outer border 2".
    while words and (words[-1].isdigit() or len(words[-1]) == 1):
        words.pop()
    if " ".join(words) in PLACE:
        return PLACE[" ".join(words)]
    if words[:2] == ["edge", "finish"]:
        return "edge finish"
    for word in (words[-1:] + words[:1]) if words else ():
        if word in PLACE:
            return PLACE[word]
    return ""


def usual_order(parts: tuple[str, ...]) -> tuple[tuple[str, str], ...]:
    """Give the usual order between the parts that there are, passing over those that there are not.

    Parts that take the same place (a top and a setting) are not ordered among themselves.

    Examples
    --------
    >>> usual_order(("blocks", "quilting"))
    (('blocks', 'quilting'),)
    >>> usual_order(("top", "binding", "batting"))
    (('top', 'binding'), ('batting', 'binding'))
    >>> usual_order(("blocks",))
    ()
    """
    follow: dict[str, set[str]] = {}
    for earlier, later in USUAL_ORDER:
        follow.setdefault(earlier, set()).add(later)
    at: dict[str, list[str]] = {}
    for part in parts:
        at.setdefault(place_of(part), []).append(part)
    found: list[tuple[str, str]] = []
    for part in parts:
        seen: set[str] = set()
        waiting = list(follow.get(place_of(part), ()))
        while waiting:
            later = waiting.pop()
            if later in seen:
                continue
            seen.add(later)
            if later in at:
                found += [(part, each) for each in at[later]]
            else:
                waiting += follow.get(later, ())
    # A pair that follows from others would only make rings of what can be a tree.
    needed = [pair for pair in dict.fromkeys(found) if not _follows(pair, found)]
    return tuple(sorted(needed, key=lambda pair: (parts.index(pair[0]), parts.index(pair[1]))))


def _follows(pair: tuple[str, str], pairs: list[tuple[str, str]]) -> bool:
    """Whether a pair follows from the others through parts between."""
    reached = waiting = {later for earlier, later in pairs if earlier == pair[0] and later != pair[1]}
    while waiting:
        waiting = {later for earlier, later in pairs if earlier in waiting} - reached
        reached = reached | waiting
    return pair[1] in reached


def misspelt(part: str, known: Iterable[str]) -> str:
    """Give the known part that a new name is a slip for, or nothing: a file may bring in parts of its own.

    Examples
    --------
    >>> misspelt("quliting", ()), misspelt("lid", ()), misspelt("block 2", ("block 1",))
    ('quilting', '', '')
    """
    if place_of(part) and part.casefold() in PLACE:
        return ""
    if len(part) < 4 or any(sign.isdigit() for sign in part):
        return ""
    from difflib import get_close_matches  # slow to import, and only an unknown name needs it

    names = [name for name in (*known, *PLACE) if name != part]
    near = get_close_matches(part.casefold(), names, n=1, cutoff=0.8)
    return near[0] if near else ""
