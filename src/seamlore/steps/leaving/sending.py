"""A study that leaves the shelf as one zip, and one that comes back."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from contextlib import suppress
from dataclasses import dataclass

from seamlore.condition.annotation import of_photograph_anew
from seamlore.errors import SeamloreError, nearest
from seamlore.shelf.change import MissingPhotographError
from seamlore.shelf.collection import Collection
from seamlore.shelf.photographs import reference_of
from seamlore.shelf.shelf import Shelf
from seamlore.steps.leaving.private import PRIVATE, for_leaving
from seamlore.steps.leaving.zipped import Packed, pack, unpack
from seamlore.steps.study.sections import Photographs
from seamlore.steps.study.versions import decode


@dataclass(frozen=True, slots=True)
class Sent:
    """A study packed: the zip, and what was left out of it."""

    data: bytes
    left_out: tuple[str, ...]


def send(shelf: Shelf, study: int, chosen: Iterable[str] = ()) -> Sent:
    """Pack a study as one zip: its photographs, what was put in, the schema of that.

    With all that is private chosen it comes back the very same, with its whole history; otherwise what does not leave is taken out first, and
    the zip is the same each time.

    Parameters
    ----------
    shelf : Shelf
    study : int
    chosen : iterable of str
        What may leave, of `private.PRIVATE`.

    Raises
    ------
    SeamloreError
        When a photograph is missing, or what is chosen is nothing that there is.
    """
    allowed = tuple(chosen)
    for word in allowed:
        if word not in PRIVATE:
            raise SeamloreError(f'"{word}"', "nothing private is called so", nearest(word, PRIVATE))
    standing, identity = shelf.standing(study), Collection(shelf).identity(study)
    kept = {name: each.value for name, each in standing.sections.items() if each.value is not None}
    leaving = for_leaving(standing.entry.name, kept, allowed)
    sections, photographs, left_out = dict(leaving.sections), {}, leaving.left_out
    named = decode(Photographs, sections.get("photographs"))
    changed = False
    # Said to her by the names that she knows, which may stay at home.
    before = decode(Photographs, kept.get("photographs"))
    called = {each.reference: each.name for each in before.photographs} if before else {}
    for each in named.photographs if named else ():
        try:
            data = shelf.read_photograph(each.reference)
        except MissingPhotographError as fault:
            raise MissingPhotographError(
                f'"{standing.entry.name}"',
                f"its photograph {called.get(each.reference, each.name)}: {fault.limit}",
                fault.remedy,
            ) from None
        reference = each.reference
        if "camera" not in allowed:
            data, reference, sections = _without_camera(data, each.name, each.reference, sections)
            changed = changed or reference != each.reference
        photographs[reference] = data
    if changed:
        left_out = (*left_out, PRIVATE["camera"])
    past = None
    # What was taken out stands in earlier changes too: the history leaves with everything or not at all.
    if set(allowed) >= set(PRIVATE):
        past = Collection(shelf).past(study)
        for reference in sorted(Collection(shelf).photographs_of(study) - set(photographs)):
            # Of one that was taken away again and is lost, the history alone is left.
            with suppress(MissingPhotographError):
                photographs[reference] = shelf.read_photograph(reference)
    else:
        left_out = (*left_out, "the history of its changes")
    return Sent(pack(Packed(identity, leaving.name, sections, photographs, left_out, past)), left_out)


def _without_camera(
    data: bytes, name: str, reference: str, sections: Mapping[str, str]
) -> tuple[bytes, str, dict[str, str]]:
    from seamlore.photo.files.stripped import stripped  # opens pictures: slow to import

    clean, suffix = stripped(data, name=name)
    if clean == data:
        return data, reference, dict(sections)
    fresh = reference_of(clean, suffix)
    # Whatever was said of the photograph is said of the one that leaves.
    old, new = (each.partition(".")[0] for each in (reference, fresh))
    told = {section: text.replace(reference, fresh) for section, text in sections.items()}
    return clean, fresh, {section: of_photograph_anew(text, old, new) for section, text in told.items()}


@dataclass(frozen=True, slots=True)
class Taken:
    """A study that came: its number, its name, whether it was put on the shelf now or was there already."""

    number: int
    name: str
    fresh: bool

    @property
    def says(self) -> str:
        """What became of it."""
        if self.fresh:
            return f'"{self.name}" is on the shelf now.'
        return f'"{self.name}" was on the shelf already, the very same; nothing was changed.'


def take(shelf: Shelf, data: bytes, *, source: str = "the zip", as_copy: bool = False) -> Taken:
    """Put a study from a zip on the shelf, whole or not at all.

    Parameters
    ----------
    shelf : Shelf
    data : bytes
        The zip.
    source : str
        Its name, for messages.
    as_copy : bool
        Where the same study is there and is not as this one, put this beside it.

    Raises
    ------
    SeamloreError
        When the zip is no study, or not as it was made; the same study is there and has changed; the disk refuses. The
        shelf is then as it was.
    """
    arrival = unpack(data, source=source)
    number, fresh = Collection(shelf).arrive(arrival, as_copy=as_copy)
    return Taken(number, shelf.entry(number).name, fresh)


def size_words(data: bytes) -> str:
    """Say how large a file is.

    Examples
    --------
    >>> size_words(b"x" * 2_340_000), size_words(b"x" * 900)
    ('2.3 MB', '1 kB')
    """
    return f"{len(data) / 1e6:.1f} MB" if len(data) >= 100_000 else f"{max(1, round(len(data) / 1000))} kB"
