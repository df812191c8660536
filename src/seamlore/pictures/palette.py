"""Colors: warm grays for paper and lines, old dyes for cloth."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Collection, Mapping
from functools import lru_cache

from seamlore.draft.block import Place, Value
from seamlore.draft.kinds import Kind
from seamlore.draft.layout import NOT_READ_KEY, Laid
from seamlore.draft.quilt import Quilt
from seamlore.draft.where import SIDES
from seamlore.drawing.shapes import Color, Hatch, Paint, Swatch

INK = "#2b2622"
QUIET = "#756a5f"
FAINT = "#a3978a"
HAIR = "#d8cec1"
WASH = "#f7f3ec"
PAPER = "#ffffff"
MADDER = "#8a3b35"
SEAM = "#4f463e"

# Dye stuffs and cloths by the names that they go by, chosen by eye to lie well beside each other.
CLOTHS: dict[str, Color] = {
    "indigo": "#33456a",
    "madder": "#8f443b",
    "walnut": "#574338",
    "bottle green": "#41574c",
    "plum": "#5d4256",
    "rose": "#bd8278",
    "ochre": "#c29a58",
    "slate": "#8593a0",
    "sage": "#97a083",
    "fawn": "#b39c80",
    "muslin": "#efe7d7",
    "shirting": "#dde2e2",
    "straw": "#e6d6aa",
    "blush": "#ead5ca",
    "celadon": "#d5dcc9",
}
_BY_VALUE: dict[Value, tuple[str, ...]] = {
    "dark": ("indigo", "madder", "walnut", "bottle green", "plum"),
    "medium": ("rose", "ochre", "slate", "sage", "fawn"),
    "light": ("muslin", "straw", "shirting", "blush", "celadon"),
}
GRAYS: dict[Value, Color] = {"dark": "#524a43", "medium": "#a59b8f", "light": "#ece7df"}
_SETTING = {
    "sashing": "straw",
    "cornerstone": "madder",
    "strip": "straw",
    "setting triangle": "muslin",
    "plain block": "muslin",
}
# Nothing says how dark a border is that was neither photographed nor named: it is shown undyed.
_BORDERS = ("shirting", "muslin")
# Words that quilters call fabrics by, and the cloth that shows them.
_WORDS: dict[str, str] = {
    **{name: name for name in CLOTHS},
    "blue": "indigo",
    "navy": "indigo",
    "red": "madder",
    "brown": "walnut",
    "black": "walnut",
    "green": "bottle green",
    "purple": "plum",
    "pink": "rose",
    "yellow": "ochre",
    "gold": "ochre",
    "cheddar": "ochre",
    "gray": "slate",
    "grey": "slate",
    "tan": "fawn",
    "white": "muslin",
    "cream": "muslin",
    "ecru": "muslin",
    "background": "muslin",
}


def place_cloths(places: Mapping[str, Place]) -> dict[str, Color]:
    """Choose a cloth for each place by its value, no two alike while they last.

    Where they do not last, each kind of block begins with the next one, so that a change in one kind leaves the colors of
    the others as they are.

    Examples
    --------
    >>> from seamlore.draft.text.notation import read_block
    >>> four = read_block("block Four Patch\\nA dark\\nB light\\n\\nA B\\nB A")
    >>> place_cloths(four.places) == {"A": CLOTHS["indigo"], "B": CLOTHS["muslin"]}
    True
    >>> place_cloths({})
    {}
    """
    wanted = Counter(place.value for place in places.values())
    begins = {kind: at for at, kind in enumerate(dict.fromkeys(key.rpartition(" ")[0] for key in places))}
    counts: Counter[tuple[str, Value]] = Counter()
    found = {}
    for key in sorted(places):
        value, kind = places[key].value, key.rpartition(" ")[0]
        names = _BY_VALUE[value]
        home, first = (kind, begins[kind]) if wanted[value] > len(names) else ("", 0)
        found[key] = CLOTHS[names[(counts[home, value] + first) % len(names)]]
        counts[home, value] += 1
    return found


@lru_cache(maxsize=4096)
def named_cloth(fabric: str) -> Color | None:
    """Give the cloth that a fabric's name speaks of: the last word that names one.

    Examples
    --------
    >>> named_cloth("indigo prints") == CLOTHS["indigo"], named_cloth("dark red on tan") == CLOTHS["fawn"]
    (True, True)
    >>> named_cloth("Fabric A") is None
    True
    """
    text = fabric.casefold()
    at = {name: text.rfind(word) for word, name in _WORDS.items() if re.search(rf"\b{word}\b", text)}
    return CLOTHS[max(at, key=lambda name: at[name])] if at else None


def written_on(paint: Paint) -> tuple[Color, Color | None]:
    """Choose the color of words and lines on a cloth, and a halo where the cloth is a print or hatched.

    Examples
    --------
    >>> written_on(CLOTHS["indigo"]) == (CLOTHS["muslin"], None), written_on(CLOTHS["straw"]) == (INK, None)
    (True, True)
    """
    if isinstance(paint, Swatch | Hatch):
        return INK, PAPER
    red, green, blue = (int(paint[at : at + 2], 16) for at in (1, 3, 5))
    # The weights of ITU-R BT.601 for lightness; half-way serves to tell dark from light.
    return (CLOTHS["muslin"], None) if 0.299 * red + 0.587 * green + 0.114 * blue < 128 else (INK, None)


def quilt_cloths(quilt: Quilt, given: Mapping[str, Paint] | None = None) -> dict[str, Paint]:
    """Choose a cloth for everything in a quilt that has a fabric.

    Parameters
    ----------
    quilt : Quilt
    given : mapping of str to paint, optional
        Cloths that are known, by key ("A", or "SF A" where there are several kinds), "sashing", "cornerstone",
        "border 1", or by the fabric's name.

    Returns
    -------
    dict of str to paint
        By key, as `draft.layout.lay` names them, every key that a quilt can have; and by name for fabrics that single
        blocks have of their own. A cloth that was not given is chosen by the fabric's name, and else by value; what
        has one name has one cloth.
    """
    known = given or {}
    fabrics = {key: quilt.fabric_of(key) for key in (*quilt.places, *_SETTING)}
    # What is cut from one fabric is chosen once.
    own = {name: place for name, place in _own_fabrics(quilt).items() if name not in fabrics.values()}
    first: dict[str, str] = {}
    for key in quilt.places:
        first.setdefault(fabrics[key], key)
    by_first = place_cloths({**{key: quilt.places[key] for key in first.values()}, **own})
    chosen: dict[str, Paint] = {key: by_first[first[fabrics[key]]] for key in quilt.places}
    chosen |= {key: CLOTHS[name] for key, name in _SETTING.items()} | {name: by_first[name] for name in own}
    fabrics |= {name: name for name in own}
    for number, border in enumerate(quilt.borders, start=1):
        sides = [("", border.top), *((f" {name}", border.side(name)) for name in SIDES)]
        for name, side in sides:
            chosen[f"border {number}{name}"] = CLOTHS[_BORDERS[(number - 1) % len(_BORDERS)]]
            fabrics[f"border {number}{name}"] = side.fabric
    paints = {
        key: known.get(key) or known.get(fabrics[key]) or named_cloth(fabrics[key]) or paint
        for key, paint in chosen.items()
    }
    # A fabric that a few blocks have of their own is not to be taken for another one beside it.
    taken = {paint for key, paint in paints.items() if key not in own}
    for name in own:
        paint = paints[name]
        if name not in known and isinstance(paint, str):
            paint = paints[name] = _told_from(paint, taken)
        taken.add(paint)
    return {NOT_READ_KEY: PAPER} | paints


def _told_from(paint: Color, taken: Collection[Paint]) -> Color:
    """A shade of a cloth that no other fabric has: lighter of a dark cloth, darker of a light one."""
    toward = PAPER if written_on(paint)[0] == CLOTHS["muslin"] else INK
    while paint in taken and paint != toward:
        parts = [(int(paint[at : at + 2], 16), int(toward[at : at + 2], 16)) for at in (1, 3, 5)]
        paint = "#" + "".join(f"{here + _nearer(there - here):02x}" for here, there in parts)
    return paint


def _nearer(far: int) -> int:
    """A third of the way, at least a step."""
    return round(far / 3) or (far > 0) - (far < 0)


def paint_of(piece: Laid, paints: Mapping[str, Paint]) -> Paint:
    """Give the cloth of one piece out of those of the whole quilt: of its own fabric, or of its key."""
    return paints.get(piece.fabric, paints[piece.key]) if piece.own else paints[piece.key]


def _own_fabrics(quilt: Quilt) -> dict[str, Place]:
    """The fabrics that single blocks have of their own, each as light or dark as the place that it first takes."""
    found: dict[str, Place] = {}
    for row in quilt.cells:
        for cell in row:
            for letter, name in cell.fabrics.items():
                found.setdefault(name, quilt.kind(cell.kind).block.places[letter])
    return found


def kind_cloths(quilt: Quilt, kind: Kind, paints: Mapping[str, Paint]) -> dict[str, Paint]:
    """Give the cloths of one kind by its letters, out of those of the whole quilt.

    Examples
    --------
    >>> from seamlore.draft.catalogue import find
    >>> from seamlore.draft.repeated import repeated
    >>> from seamlore.lengths import inches
    >>> quilt = repeated("q", find("four patch"), inches(9), inches(9), 1, 1, fabrics={"A": "indigo"})
    >>> kind_cloths(quilt, quilt.kind("FP"), quilt_cloths(quilt))["A"] == CLOTHS["indigo"]
    True
    """
    return {letter: paints[quilt.key(kind, letter)] for letter in kind.block.places}
