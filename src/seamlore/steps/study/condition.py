"""What a user puts in of a quilt's condition and of what becomes of it; `sections` lists these with the rest."""

from __future__ import annotations

from typing import Annotated, Literal

import msgspec

from seamlore.condition.annotation import Annotation

Pair = tuple[float, float]
Day = Annotated[str, msgspec.Meta(pattern=r"^(\d{4}-\d{2}-\d{2})?$")]
# A photograph by the SHA-256 of its content.
Sha = Annotated[str, msgspec.Meta(pattern=r"^[0-9a-f]{64}$")]


class Notes(msgspec.Struct, frozen=True, kw_only=True):
    """Everything drawn on the photographs, as W3C Web Annotations."""

    annotations: tuple[Annotation, ...] = ()


class FadedPlaces(msgspec.Struct, frozen=True, kw_only=True):
    """The protected and the faded place of one cloth on one photograph, and a white card where one stood in it; in pixels."""

    photograph: Sha
    protected: Pair
    exposed: Pair
    white: Pair | None = None
    of: str = ""


class Said(msgspec.Struct, frozen=True, kw_only=True):
    """What she says of a block herself."""

    verdict: Literal["sound", "doubtful", "lost"]
    why: str = ""


class Condition(msgspec.Struct, frozen=True, kw_only=True):
    """The state of a quilt beside what is drawn on its photographs.

    Attributes
    ----------
    object
        What it is; empty until that is said.
    parts
        Of a part whether it is there, in what is otherwise than usual with things of its kind.
    blocks
        What she says of a block, by "row,column" from 0.
    ties, tie_every, lines, line_every
        How it is held, as a pattern; distances as written.
    filling, apart
        What lies between, and how far apart its label allows it to be held, as written; custom when empty.
    edge_holds
        Whether the edge is bound or sewn through.
    fading
        Cloths whose protected and faded places were compared.
    examined_by, examined_on, light
        Who looked, when, in which light and how.
    """

    object: Literal["", "quilt", "comforter", "top", "blocks", "fragment"] = ""
    parts: dict[str, Literal["there", "none", "not known"]] = {}
    blocks: dict[Annotated[str, msgspec.Meta(pattern=r"^\d{1,3},\d{1,3}$")], Said] = {}
    ties: Literal["none", "crossings", "centers", "grid"] = "none"
    tie_every: str = ""
    lines: Literal["none", "blocks", "across", "down", "grid"] = "none"
    line_every: str = ""
    filling: str = "not known"
    apart: str = ""
    edge_holds: bool = True
    fading: tuple[FadedPlaces, ...] = ()
    examined_by: str = ""
    examined_on: Day = ""
    light: str = ""


class OwnThing(msgspec.Struct, frozen=True, kw_only=True):
    """A thing that she would make of it; lengths as written."""

    name: str
    width: str
    height: str
    faces: int = 1


class FabricAtHand(msgspec.Struct, frozen=True, kw_only=True):
    """A fabric that she has: its name in the stash, its color and its print, empty where that was not said."""

    name: str
    color: Annotated[str, msgspec.Meta(pattern=r"^#[0-9a-f]{6}$")]
    print: str = ""


class Decision(msgspec.Struct, frozen=True, kw_only=True):
    """What becomes of a quilt, and what that was reckoned with; lengths as written, empty ones follow custom.

    Attributes
    ----------
    allowance
        What is left of the blocks' seam allowance.
    wished, least, most, outer
        A wished size, the narrowest and widest sashing, and whether it runs round the outside.
    new_sashing, new_border, cut_blocks
        For re-setting; what becomes of blocks that the edge cuts, as they are when empty.
    patches
        Sizes of patches to cut of what is left, cut size, one a line, with how many after a comma.
    at_hand
        Fabrics that she has, beside the damaged ones.
    prints
        The print of a fabric of the quilt, by its name in the reading.
    price
        Of a yard or a meter of fabric, as she pays it; a number.
    box, folds_across, folds_down
        Where it is stored: length and width inside; last year's folds from the left and from the top.
    loose
        Sides of loose blocks, one block a line.
    strip_cut, strips_sewn, strips
        A test block: how wide its strips were cut, how wide all of them are sewn and pressed, how many they are.
    things
        Things that she defined.
    asked
        Whom she has asked, or why nobody.
    ruled_out
        How hazards were ruled out; empty when they were not.
    stages
        What each stage showed, by its key.
    way, words, decided_on, decided_by
        What was decided, in her words.
    """

    allowance: str = ""
    wished: str = ""
    least: str = ""
    most: str = ""
    outer: bool = False
    new_sashing: str = ""
    new_border: str = ""
    cut_blocks: Literal["", "completed", "left out"] = ""
    patches: str = ""
    at_hand: tuple[FabricAtHand, ...] = ()
    prints: dict[str, str] = {}
    price: str = ""
    box: str = ""
    folds_across: str = ""
    folds_down: str = ""
    loose: str = ""
    strip_cut: str = ""
    strips_sewn: str = ""
    strips: str = ""
    things: tuple[OwnThing, ...] = ()
    asked: str = ""
    ruled_out: str = ""
    stages: dict[str, str] = {}
    way: Literal["", "keep", "repair", "reset", "take apart", "reproduce"] = ""
    words: str = ""
    decided_on: Day = ""
    decided_by: str = ""
