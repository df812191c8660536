"""What is told of a quilt outside: gathered from its sections and its figures, what is private taken out."""

from __future__ import annotations

import dataclasses
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from pathlib import PurePath

import msgspec

from seamlore.condition.annotation import to_note
from seamlore.errors import SeamloreError
from seamlore.formats.record import Noted, PartYears, Photo, QuiltRecord
from seamlore.shelf.change import MissingPhotographError
from seamlore.shelf.collection import Collection
from seamlore.shelf.photographs import reference_of
from seamlore.shelf.shelf import Shelf
from seamlore.steps.leaving.private import cleaner, for_leaving, without_living
from seamlore.steps.shelf.cards import Facts
from seamlore.steps.shelf.figures import Figures
from seamlore.steps.shelf.find import Shown, shown
from seamlore.steps.shelf.keeping import parents
from seamlore.steps.study.condition import Notes
from seamlore.steps.study.sections import About, Keeping, LabelWords, Noticed, Photographs
from seamlore.steps.study.versions import decode

MEDIA: Mapping[str, str] = {
    "jpg": "image/jpeg",
    "jpeg": "image/jpeg",
    "png": "image/png",
    "tif": "image/tiff",
    "tiff": "image/tiff",
    "webp": "image/webp",
    "heic": "image/heic",
    "heif": "image/heif",
    "gif": "image/gif",
}


@dataclass(frozen=True, slots=True, eq=False)
class Told:
    """A quilt as it is told of outside.

    Parameters
    ----------
    record : QuiltRecord
    quilt : Shown
        Its number, and the figures and the draft of its card.
    photographs : mapping of str to bytes
        By file, as `record.photos` has them; empty where they were not asked for.
    left_out : tuple of str
    missing : tuple of str
        Photographs that are no longer on the shelf.
    """

    record: QuiltRecord
    quilt: Shown
    photographs: Mapping[str, bytes]
    left_out: tuple[str, ...]
    missing: tuple[str, ...] = ()


def told_of(
    shelf: Shelf, number: int, chosen: Iterable[str] = (), *, pictures: bool = False, folder: str = "photographs/"
) -> Told:
    """Gather what is told of a quilt.

    Parameters
    ----------
    shelf : Shelf
    number : int
    chosen : iterable of str
        What private may leave, of `private.PRIVATE`.
    pictures : bool
        Whether its photographs go along.
    folder : str
        Where they will lie.

    Raises
    ------
    SeamloreError
        When there is no such study, or a section cannot be read.
    """
    allowed = frozenset(chosen)
    standing = shelf.standing(number)
    kept = {name: each.value for name, each in standing.sections.items() if each.value is not None}
    leaving = for_leaving(standing.entry.name, kept, allowed)
    before = decode(Keeping, kept.get("keeping")) or Keeping()
    clean = cleaner(before, allowed)
    about = decode(About, leaving.sections.get("about")) or About()
    label = decode(LabelWords, leaving.sections.get("label")) or LabelWords()
    keeping = decode(Keeping, leaving.sections.get("keeping")) or Keeping()
    quilt = card_told(shelf, number, allowed)
    figures = quilt.facts.figures
    photos, data, missing, file_of = _photos(shelf, leaving.sections, allowed, pictures=pictures, folder=folder)
    record = QuiltRecord(
        identity=Collection(shelf).identity(number),
        name=leaving.name,
        lead=figures.lead if figures else "",
        story=" ".join(about.story.split()),
        maker=label.maker,
        place=label.place,
        made=label.made,
        accession=keeping.accession,
        acquired=" ".join(part for part in (keeping.acquired_how, keeping.acquired) if part),
        owner=keeping.owner,
        blocks=figures.blocks if figures else (),
        setting=figures.setting if figures else "",
        size=(figures.measured or figures.size) if figures else None,
        size_known="by tape" if figures and figures.measured else "as drafted",
        block_size=figures.block if figures else None,
        sashing=figures.sashing if figures else None,
        fabrics=quilt.facts.fabrics,
        tags=keeping.tags,
        headline=figures.headline if figures else "",
        years=tuple(
            PartYears(each.part, each.first, each.median, each.last, each.edtf, clean(each.sentence))
            for each in (figures.years if figures else ())
            if each.known
        ),
        condition=quilt.facts.condition,
        decision=quilt.facts.decision,
        made_of=tuple(
            (identity, _parent(shelf, at, without_living(name, before, allowed), allowed))
            for identity, (at, name) in zip(keeping.made_of, parents(shelf, keeping), strict=True)
        ),
        photos=photos,
        notes=_notes(decode(Notes, leaving.sections.get("notes")) or Notes(), file_of),
        noticed=_noticed(figures, decode(Noticed, leaving.sections.get("noticed")) or Noticed()),
        figures={
            name: float(value)
            for name in ("fabrics", "often", "commonest", "contrast", "turned", "differing", "drift")
            if figures and (value := getattr(figures, name)) is not None
        },
        changed=standing.entry.changed,
    )
    return Told(record, quilt, data, leaving.left_out, missing)


def card_told(shelf: Shelf, number: int, allowed: frozenset[str]) -> Shown:
    """Give a quilt as it stands in lists, without the names of living people unless these may leave."""
    (quilt,) = shown(shelf, [number])
    keeping = decode(Keeping, shelf.read(number, "keeping").value) or Keeping()
    card = msgspec.json.encode(quilt.facts).decode()
    name = without_living(quilt.name, keeping, allowed)
    entry = dataclasses.replace(quilt.listed.entry, name=name)
    facts = msgspec.json.decode(without_living(card, keeping, allowed), type=Facts)
    return Shown(dataclasses.replace(quilt.listed, entry=entry), facts)


def _parent(shelf: Shelf, number: int | None, name: str, allowed: frozenset[str]) -> str:
    """The name of a quilt that one was made of, as that quilt itself would leave."""
    keeping = decode(Keeping, shelf.read(number, "keeping").value) if number is not None else None
    return without_living(name, keeping or Keeping(), allowed)


def _notes(notes: Notes, file_of: Mapping[str, str]) -> tuple[Noted, ...]:
    """What was drawn on the photographs that are told of; what says of which place it is goes before her words."""
    found = (to_note(each) for each in notes.annotations)
    return tuple(
        Noted(
            each.key,
            file_of[each.photograph],
            each.about.name,
            ", ".join(word for word in (each.of, each.says, each.result) if word),
            each.outline,
        )
        for each in found
        if each.photograph in file_of
    )


def _noticed(figures: Figures | None, made_of_it: Noticed) -> tuple[str, ...]:
    """What is worth noticing, in her words where she has any; what she dropped is not told."""
    worked = figures.noticed if figures else ()
    told = [made_of_it.said.get(key) or says for key, says in worked if key not in made_of_it.dropped]
    return (*told, *made_of_it.own)


def _photos(
    shelf: Shelf, sections: Mapping[str, str], allowed: frozenset[str], *, pictures: bool, folder: str
) -> tuple[tuple[Photo, ...], dict[str, bytes], tuple[str, ...], dict[str, str]]:
    """The photographs, their content, those that are missing, and the file of each by its SHA-256 on the shelf."""
    photographs = decode(Photographs, sections.get("photographs"))
    found: list[Photo] = []
    data: dict[str, bytes] = {}
    missing: list[str] = []
    file_of: dict[str, str] = {}
    for each in photographs.photographs if photographs else ():
        reference = each.reference
        if pictures:
            try:
                content = shelf.read_photograph(reference)
            except MissingPhotographError as fault:
                missing.append(f"{each.name}: {fault.limit}")
                continue
            if "camera" not in allowed:
                from seamlore.photo.files.stripped import stripped  # opens pictures: slow to import

                content, suffix = stripped(content, name=each.name)
                reference = reference_of(content, suffix)
            data[folder + reference] = content
        width, height = each.size
        file_of[each.reference.partition(".")[0]] = folder + reference
        media = MEDIA.get(PurePath(reference).suffix.lstrip("."), "application/octet-stream")
        found.append(Photo(folder + reference, media, width, height, each.shows, each.taken or ""))
    return tuple(found), data, tuple(missing), file_of


def checked(numbers: Iterable[int], most: int) -> list[int]:
    """Refuse an empty choice of quilts, and one that is too large."""
    found = list(dict.fromkeys(numbers))
    if not 1 <= len(found) <= most:
        raise SeamloreError(
            f"{len(found)} quilts", f"1 to {most:,} can be taken at once", "tick them on the page of all quilts"
        )
    return found
