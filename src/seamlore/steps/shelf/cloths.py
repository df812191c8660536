"""The cloths of every quilt, described once from its photograph, so that one is known again in the others."""

from __future__ import annotations

import hashlib
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from seamlore.errors import SeamloreError
from seamlore.shelf import cloths as kept
from seamlore.shelf.shelf import Shelf
from seamlore.steps.fabrics.facts import fabric_facts
from seamlore.steps.study.job import Job

if TYPE_CHECKING:
    # These open pictures and are slow to import.
    from seamlore.photo.cloth.matching import Figures
    from seamlore.photo.cloth.same import Known

# Goes up when cloth is described otherwise; every study's is then described anew.
VERSION = 2
NO_SCALE = (
    "Prints are held against each other at one scale: give the quilt's width and height by tape, and it is known."
)


def rests_on(job: Job) -> str:
    """Say in a word what the cloths of a study are cut from: photograph, size, corrections, fabrics as she has them."""
    photo = hashlib.sha256(job.inputs.photo or b"").hexdigest()
    found = (photo, str(job.size), repr(job.inputs.corrections), repr(job.inputs.fabrics))
    return hashlib.sha256(repr(found).encode()).hexdigest()[:16]


def hold(shelf: Shelf, number: int, job: Job) -> bool:
    """Describe the cloths of a study that was read, unless they are described already; say whether there are any.

    Parameters
    ----------
    shelf : Shelf
    number : int
        The study's.
    job : Job
        Its photograph is read by this, if it was not yet.
    """
    # Open pictures: slow to import.
    from seamlore.photo.cloth.kept import rests_of
    from seamlore.photo.cloth.looks import MAY_BE_ONE, likeness, looks_of

    if job.inputs.photo is None:
        return False
    rests, before = rests_on(job), kept.of_study(shelf, number)
    held = before is not None and (before.version, before.rests_on) == (VERSION, rests)
    if before and held and (not before.described or rests_of(kept.pictures(shelf, number)) == rests):
        return bool(before.described)
    described, pictures = job.memo.get(("cloths", VERSION, rests), lambda: _described(job, rests))
    looks = looks_of(job.flat.pixels)
    others = [each for each in kept.looks(shelf, VERSION) if each[0] != number]
    near = likeness(looks, [seen for _, seen in others]).tolist()
    alike = [study for (study, _), value in zip(others, near, strict=True) if value >= MAY_BE_ONE]
    kept.put(shelf, number, kept.Cloths(VERSION, rests, described, looks), pictures, alike)
    return bool(described)


def _described(job: Job, rests: str) -> tuple[bytes, bytes]:
    """What the cloths of a reading are known by, and the file of their pictures."""
    from seamlore.photo.cloth.cutting import cut_cloths, halved  # as above
    from seamlore.photo.cloth.kept import to_file
    from seamlore.photo.cloth.matching import Figures
    from seamlore.photo.cloth.same import known_by, packed, prints

    facts = fabric_facts(job.reading.fabrics or ())
    cut = cut_cloths(job.look, job.photo.pixels, [each.fabric for each in facts])
    known, shown = [], []
    for fabric, each in enumerate(cut):
        # A fabric that was gathered of two prints is looked for as either, the one that is shown of it first.
        halves = [halved(part) for part in each.cuts]
        for places in prints(halves) or [[]]:
            known.append(known_by(Figures(tuple(halves[place] for place in places)), each.px_per_cm, fabric))
            shown.append(replace(each, cuts=tuple(each.cuts[place] for place in places)))
    return packed(known) if known else b"", to_file(shown, rests)


@dataclass(frozen=True, eq=False)
class Cloth:
    """One cloth of a study as the shelf has it: its row, what it is known by, and its figures where they are there."""

    row: int
    known: Known
    figures: Figures | None


def cloths_of(shelf: Shelf, number: int, fabric: int) -> tuple[Cloth, ...] | None:
    """Give what stands in a fabric of a study, by its place on the page of fabrics, 0 the first.

    Returns
    -------
    tuple of Cloth or None
        The print that is shown first; another where the fabric was gathered of two. None where none were described.

    Raises
    ------
    SeamloreError
        When the study has fewer fabrics.
    """
    from seamlore.photo.cloth.kept import figures  # as above
    from seamlore.photo.cloth.same import known_from, unpacked

    found = kept.of_study(shelf, number)
    if found is None or found.version != VERSION or not found.described:
        return None
    known, data = [known_from(each) for each in unpacked(found.described)], pictures_of(shelf, number)
    mine = [Cloth(row, each, figures(data, row)) for row, each in enumerate(known) if each.fabric == fabric]
    if not mine:
        count = len({each.fabric for each in known})
        raise SeamloreError(f"fabric {fabric + 1}", f"there are {count} in this quilt", "choose one of these")
    return tuple(mine)


def pictures_of(shelf: Shelf, number: int) -> bytes | None:
    """Give the file of pictures of a study's cloths; None where it is lost, damaged, or of another photograph."""
    from seamlore.photo.cloth.kept import rests_of  # as above

    found, data = kept.of_study(shelf, number), kept.pictures(shelf, number)
    return data if found is not None and rests_of(data) == found.rests_on else None


def cloth_picture(shelf: Shelf, number: int, row: int) -> bytes | None:
    """Give the picture of a cloth by its row (WebP with a clear ground, 16 pixels to a centimeter); None without one."""
    from seamlore.photo.cloth.kept import picture  # as above

    return picture(pictures_of(shelf, number), row)
