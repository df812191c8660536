"""The ways open to an owner, side by side: what each takes, what survives, what can never be undone. No score decides."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from seamlore.saving.stages import Way


@dataclass(frozen=True, slots=True)
class Option:
    """One way.

    Parameters
    ----------
    way : Way
    name : str
    means : str
        What is done.
    takes : tuple of str
        What it takes: fabric, seams to open, ties, at her prices where she gave them.
    survives : tuple of str
        How much of the maker's work and cloth is left.
    never_undone : tuple of str
    risks : tuple of str
    """

    way: Way
    name: str
    means: str
    takes: tuple[str, ...]
    survives: tuple[str, ...]
    never_undone: tuple[str, ...]
    risks: tuple[str, ...]


WAYS: dict[Way, tuple[str, str]] = {
    "keep": ("Keep and support", "Left as it is; stored or shown so that it gets no worse."),
    "repair": (
        "Repair",
        "Mended by needle and thread where it is damaged; nothing original is cut away, no glue, no fusible web.",
    ),
    "reset": (
        "Re-set",
        "Taken apart between the blocks and set together again in the same places with new cloth between.",
    ),
    "take apart": (
        "Take apart and re-use",
        "Taken apart; sound blocks and cloth become smaller things; samples and records are kept.",
    ),
    "reproduce": ("Reproduce it", "Left as it is; a new quilt is made beside it from the draft."),
}

_NEVER: dict[Way, tuple[str, ...]] = {
    "keep": ("light and handling go on, slowly",),
    "repair": ("needle holes in old cloth",),
    "reset": ("the maker's setting, quilting and edge", "the order in which it was sewn, as evidence of its date"),
    "take apart": ("the quilt as a whole", "quilting, edge, setting and backing as evidence", "which block lay beside which, but for the record"),
    "reproduce": (),
}  # fmt: skip
_RISKS: dict[Way, tuple[str, ...]] = {
    "keep": ("rot goes on where it has begun", "folds split weak cloth when they are not changed"),
    "repair": ("new cloth stronger than the old tears it beside the mend", "mends that cannot be told from the old mislead later"),
    "reset": ("old blocks are uneven: points are lost or seams pucker", "seam allowances fray away", "old cloth fails soon in a quilt in use"),
    "take apart": ("fewer blocks come out sound than were counted", "old dyes and pesticides come along into new things"),
    "reproduce": ("a copy without a date on its label misleads later",),
}  # fmt: skip


def option(way: Way, takes: Sequence[str], survives: Sequence[str], risks: Sequence[str] = ()) -> Option:
    """Put an option together.

    Parameters
    ----------
    way : Way
    takes, survives : sequence of str
        As reckoned for this quilt.
    risks : sequence of str
        Of this quilt, before those of every one.

    Examples
    --------
    >>> option("reproduce", ["4 yd"], ["all of it"]).never_undone
    ()
    >>> option("take apart", [], []).name
    'Take apart and re-use'
    """
    name, means = WAYS[way]
    return Option(way, name, means, tuple(takes), tuple(survives), _NEVER[way], (*risks, *_RISKS[way]))
