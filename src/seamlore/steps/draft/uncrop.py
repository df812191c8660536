"""From a reading to the quilt as its maker pieced it, uncropped, each size with its reason."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from fractions import Fraction
from pathlib import Path
from typing import Any

from seamlore.draft.cells import with_block
from seamlore.draft.naming.naming import name_block
from seamlore.draft.quilt import Quilt
from seamlore.drawing.picture import Picture
from seamlore.errors import MeasureError, PhotoError
from seamlore.lengths import Length, Unit, in_unit
from seamlore.photo.reading import Reading, read_reading
from seamlore.pictures.quilts import quilt_picture
from seamlore.study.adjustment import Adjustment, adjust
from seamlore.study.drafting import Drafted, as_drafted
from seamlore.study.measured import AXES, Known, What, taken
from seamlore.study.measurements import measurements

_WIDTH_MM, _HEIGHT_MM = 180.0, 240.0
_ACCOUNTS = 3


@dataclass(frozen=True, slots=True)
class Uncropped:
    """A quilt drafted from a reading: the accounts of its measurements, and the draft that follows the likeliest."""

    accounts: Adjustment
    drafted: Drafted

    @property
    def quilt(self) -> Quilt:
        """The quilt as pieced."""
        return self.drafted.quilt


def uncropped(given: str, told: Mapping[str, Length] | None = None) -> Uncropped:
    """Draft a quilt from what `look --json` printed, made with its size.

    Parameters
    ----------
    given : str
        The path of the reading.
    told : mapping of str to Length, optional
        Sizes that the user has decided, as `study.drafting.as_drafted` takes them.

    Raises
    ------
    PhotoError
        When the file is no reading.
    MeasureError
        When the reading has no scale, or no block grid was found.
    """
    path = Path(given)
    if path.suffix.lower() != ".json":
        raise PhotoError(
            f"--uncropped with {path.name}",
            "it takes a reading in inches or centimeters",
            f"first: seamlore look PHOTO --size 74x88in --json > {path.stem}.json",
        )
    try:
        text = path.read_text(encoding="utf-8-sig")
    except (OSError, UnicodeDecodeError) as fault:
        reason = (getattr(fault, "strerror", None) or "it is not text").lower()
        raise PhotoError(given, f"the reading cannot be read: {reason}", "check its name") from None
    return from_reading(read_reading(text, source=path.name), told, name=path.stem, source=path.name)


def from_reading(
    reading: Reading, told: Mapping[str, Length] | None = None, *, name: str = "As drafted", source: str = ""
) -> Uncropped:
    """Draft a quilt from a reading; see `uncropped`."""
    if reading.unit == "width":
        raise MeasureError(
            source or "the reading",
            "it was made without the size of the quilt",
            "read the photograph again: seamlore look PHOTO --size 74x88in --json",
        )
    if reading.setting == "none":
        raise MeasureError(
            source or "the reading", "no block grid was found on the photograph", "draw the quilt as a draft file"
        )
    of = Unit(reading.unit)
    # The size that the photograph was read with is its owner's.
    whole = [
        taken(What.OVERALL, in_unit(Fraction(repr(side)), of), axis, known=Known.TOLD)
        for axis, side in zip(AXES, reading.size, strict=True)
    ]
    accounts = adjust(measurements(whole, reading=reading))
    drafted = as_drafted(accounts, reading=reading, name=name, told=told)
    return Uncropped(accounts, replace(drafted, quilt=_named(drafted.quilt)))


def _named(quilt: Quilt) -> Quilt:
    """The blocks called as the catalogue calls them, no two the same."""
    taken: set[str] = set()
    for kind in quilt.kinds:
        same = [match for match in name_block(kind.block) if match.kind in ("same", "scrappy")]
        plain = kind.plain and "plain" not in taken
        name = "plain" if plain else same[0].block.name if same else "Block on the photograph"
        number = 2
        while name in taken:
            name, number = f"Block on the photograph {number}", number + 1
        taken.add(name)
        quilt = with_block(quilt, kind.name, replace(kind.block, name=name))
    return quilt


def uncropped_words(found: Uncropped) -> list[str]:
    """Say what explains the measurements, and each size with its reason."""
    accounts = found.accounts.explanations[:_ACCOUNTS]
    return [found.drafted.left_over, *map(str, accounts), *map(str, found.drafted.snaps), *found.drafted.notes]


def uncropped_record(found: Uncropped) -> dict[str, Any]:
    """Give the same as plain data for JSON; lengths are numbers in the quilt's unit."""
    unit = found.quilt.unit
    return {
        "left_over": found.drafted.left_over,
        "explanations": [
            {"text": each.text, "likely": each.likely, "weight": each.weight} for each in found.accounts.explanations
        ],
        "sizes": [
            {
                "what": snap.what,
                "found": snap.found.shown_in(unit).number,
                "give_or_take": snap.give_or_take.shown_in(unit).number,
                "drafted": snap.chosen.shown_in(unit).number,
                "reason": snap.reason,
                "alternatives": [each.shown_in(unit).number for each in snap.alternatives],
            }
            for snap in found.drafted.snaps
        ],
        "notes": list(found.drafted.notes),
    }


def uncropped_drawn(found: Uncropped) -> Picture:
    """Draw the quilt as pieced, and over it where its edge runs now."""
    cut = found.drafted.as_found.cut
    edge = (cut.left, cut.top, cut.right, cut.bottom) if cut else None
    return quilt_picture(found.quilt, _WIDTH_MM, _HEIGHT_MM, edge_now=edge)
