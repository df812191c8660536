"""What a note can say of a spot: the trade's words for damage, four steps of severity, and what a quilt can be."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from seamlore.errors import UnknownNameError, nearest

Does = Literal["cloth", "look", "alive", "made", "held", "tried", "word"]


@dataclass(frozen=True, slots=True)
class NoteKind:
    """One kind of note.

    Parameters
    ----------
    name : str
        As the trade says it.
    says : str
        What it looks like, so that two people call the same thing by the same name.
    does : str
        "cloth" takes strength or cloth away; "look" changes how it looks; "alive" may go on and may harm who handles
        it; "made" was done to it later; "held" holds the layers; "tried" is a test by hand; "word" is read, not measured.
    also : str
        What else it is called, by which it is found too.
    """

    name: str
    says: str
    does: Does
    also: str = ""

    @property
    def called(self) -> str:
        """Its name, with what else it is called.

        Examples
        --------
        >>> kind_named("dry rot").called
        'tendered cloth (dry rot)'
        """
        return f"{self.name} ({self.also})" if self.also else self.name

    @property
    def damage(self) -> bool:
        """Whether it counts as damage."""
        return self.does in ("cloth", "look", "alive")


# Trade words: trade.md C2 and E3; what each looks like: common practice, no source.
KINDS = (
    NoteKind("tear", "threads broken along a line; the edges still meet", "cloth"),
    NoteKind("hole", "cloth gone, what lies below is seen", "cloth"),
    NoteKind("loss", "a larger piece gone: a patch, a corner, a length of edge", "cloth"),
    NoteKind("tendered cloth", "splits, powders or drops out by itself, often one color of a print", "cloth", "dry rot"),
    NoteKind("open seam", "stitches gone, the cloth on both sides whole", "cloth"),
    NoteKind("abrasion", "rubbed thin or fuzzy, most on folds and edges", "cloth"),
    NoteKind("insect damage", "grazed or bitten holes, webbing, droppings", "alive"),
    NoteKind("mold", "fuzzy or speckled growth, a musty smell; active when it smears", "alive"),
    NoteKind("stain", "a spot or a tide line with an edge", "look"),
    NoteKind("foxing", "small rusty spots with soft edges", "look"),
    NoteKind("fading", "paler than the same cloth where it was covered", "look"),
    NoteKind("bleeding", "color that ran into the cloth beside it", "look"),
    NoteKind("earlier repair", "darn, patch over, net, new binding; not the first maker's", "made"),
    NoteKind("inscription", "a name, a date, initials, a stamp: written, inked or stitched", "word"),
    NoteKind("remark", "anything else worth a note", "word"),
    NoteKind("tie", "a knot through all layers", "held"),
    NoteKind("quilting line", "a line of stitches through all layers", "held"),
    NoteKind("hand test", "one thread that is already loose, looked at and pulled gently where the cloth is torn", "tried"),
    NoteKind("dye test", "a damp white cloth pressed on one color", "tried"),
)  # fmt: skip
DAMAGE = tuple(kind for kind in KINDS if kind.damage)

# Four steps, our own: the trade has no single standard (trade.md E2).
SEVERITY: dict[int, tuple[str, str]] = {
    1: ("slight", "seen when looked for; the cloth is whole and holds"),
    2: ("plain", "seen at arm's length; the cloth still carries its own weight"),
    3: ("serious", "gives way when handled, or spoils what lies beside it"),
    4: ("gone", "the cloth, or what made it worth keeping, is no longer there"),
}

# Stands for what an inscription reads where it may name someone living and the study leaves the house.
NOT_TOLD = "transcribed, and left out here"

# What came of a test by hand.
HAND_RESULTS: dict[str, str] = {
    "sound": "the thread holds",
    "weak": "the thread breaks at a light pull",
    "powder": "the cloth powders or splits by being looked at",
}
DYE_RESULTS: dict[str, str] = {
    "no color": "nothing on the white cloth, with water and with the wash that would be used",
    "color": "color on the white cloth",
}

# What it is, asked first.
OBJECTS: dict[str, str] = {
    "quilt": "three layers, quilted",
    "comforter": "three layers, tied",
    "top": "a pieced top, neither backed nor quilted",
    "blocks": "loose blocks",
    "fragment": "a part of a quilt",
}
# Parts that may be there or not; a part that is not there is none, not unknown.
PARTS = ("setting", "border", "backing", "filling", "quilting", "ties", "edge finish")
# What a thing of that kind does not have, unless she says otherwise.
WITHOUT: dict[str, tuple[str, ...]] = {
    "quilt": ("ties",),
    "comforter": ("quilting",),
    "top": ("backing", "filling", "quilting", "ties", "edge finish"),
    "blocks": ("setting", "border", "backing", "filling", "quilting", "ties", "edge finish"),
    "fragment": (),
}
# What every thing of that kind has by what it is; of what stands in neither list it is not known until she says.
WITH: dict[str, tuple[str, ...]] = {
    "quilt": ("backing", "filling", "quilting", "edge finish"),
    "comforter": ("backing", "filling", "ties", "edge finish"),
    "top": (),
    "blocks": (),
    "fragment": (),
}


def usual_parts(kind: str) -> dict[str, str]:
    """Say of each part whether a thing of some kind has it: "there", "none" or "not known".

    Examples
    --------
    >>> found = usual_parts("top")
    >>> found["backing"], found["border"], usual_parts("")["backing"]
    ('none', 'not known', 'not known')
    """
    has, lacks = WITH.get(kind, ()), WITHOUT.get(kind, ())
    return {name: "there" if name in has else "none" if name in lacks else "not known" for name in PARTS}


def kind_named(name: str) -> NoteKind:
    """Give a kind of note by its name.

    Raises
    ------
    UnknownNameError

    Examples
    --------
    >>> kind_named("tear").does
    'cloth'
    >>> kind_named("rip")
    Traceback (most recent call last):
        ...
    seamlore.errors.UnknownNameError: a note of the kind "rip": there is none; ...
    """
    found = next((kind for kind in KINDS if name and name in (kind.name, kind.also)), None)
    if found is None:
        raise UnknownNameError(
            f'a note of the kind "{name[:40]}"', "there is none", nearest(name, [kind.name for kind in KINDS])
        )
    return found


def severity_words(severity: int) -> str:
    """Say how bad it is.

    Examples
    --------
    >>> severity_words(3), severity_words(0)
    ('serious', '')
    """
    return SEVERITY[severity][0] if severity in SEVERITY else ""
