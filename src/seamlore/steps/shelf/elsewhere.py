"""One cloth looked for in the other quilts of the shelf, the surest first; what a dated one says of this one's years."""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import TYPE_CHECKING

from seamlore.errors import SeamloreError
from seamlore.shelf import cloths as kept
from seamlore.shelf.collection import Collection
from seamlore.shelf.shelf import Shelf
from seamlore.steps.evidence_text import with_entry
from seamlore.steps.shelf.cloths import VERSION, Cloth, cloths_of, pictures_of
from seamlore.steps.shelf.figures import Years
from seamlore.steps.shelf.find import Shown, shown
from seamlore.steps.study.sections import Evidence, Keeping
from seamlore.steps.study.versions import decode

if TYPE_CHECKING:
    # These open pictures and are slow to import.
    from seamlore.photo.cloth.matching import Figures
    from seamlore.photo.cloth.search import Candidate

# So many years before and after the other quilt's this one may be of: either's cloth may have waited in a scrap bag.
# Our own choice, no source; of ten fabrics eight are taken to be used within some years (docs/dating.md).
WAITED_YEARS = 10
# How far a date is trusted that comes by way of another quilt, its cloth being the same beyond doubt. Our own choice.
_LENT_TRUST = 0.8
_LENT = re.compile(r"shares a cloth with .* \(([0-9a-f]{8})\)")
# What is less likely is no answer.
_LEAST_CHANCE = 0.02
_LEAST_RATIO = 0.0


@dataclass(frozen=True, slots=True)
class Lent:
    """What another quilt's date would say here: the years, how far they are trusted, and that in a sentence.

    `refused` says why it is not offered; then the rest is empty.
    """

    when: str = ""
    trust: float = 0.0
    says: str = ""
    refused: str = ""


@dataclass(frozen=True, slots=True)
class Stand:
    """A cloth of another quilt that may be the same.

    Parameters
    ----------
    quilt : Shown
    fabric : int
        Its place on that quilt's page of fabrics, 0 the first.
    row : int
        By which its picture is asked for.
    chance : float or None
        That it is the same; None where that cannot be told.
    why_not : str
        Why not.
    looked_at : bool
        Whether the figures of both prints were held against each other.
    dated : Years or None
        When that quilt's blocks were made, where its evidence tells.
    lent : Lent or None
        What that would say here.
    """

    quilt: Shown
    fabric: int
    row: int
    chance: float | None
    why_not: str
    looked_at: bool
    dated: Years | None
    lent: Lent | None

    @property
    def says(self) -> str:
        """How sure it is."""
        from seamlore.photo.cloth.search import MAY_BE, SAME  # opens pictures: slow to import

        if self.chance is None:
            return f"Of much the same color; not enough to tell: {self.why_not}"
        parts = min(round(100 * self.chance), 99)
        if self.chance >= SAME:
            return f"Very likely the same cloth: {parts} in 100"
        if self.chance >= MAY_BE:
            return f"It may be the same cloth: {parts} in 100"
        return f"Looks somewhat alike: {max(parts, 1)} in 100"


@dataclass(frozen=True, slots=True)
class Elsewhere:
    """Where a cloth may stand in other quilts.

    Parameters
    ----------
    stands : tuple of Stand
        One for each quilt, the surest first.
    mine : tuple of int
        The rows of the prints that stand in this fabric, the one that is shown first.
    why_not : str
        Why this cloth cannot be known again for sure; empty where it can.
    cloths, quilts : int
        Among how many cloths of how many other quilts it was looked for.
    """

    stands: tuple[Stand, ...]
    mine: tuple[int, ...]
    why_not: str
    cloths: int
    quilts: int

    @property
    def says(self) -> str:
        """What came of it, in a sentence."""
        from seamlore.photo.cloth.search import MAY_BE  # as above

        if not self.cloths:
            return "No other quilt on the shelf has its cloths described yet"
        likely = sum(each.chance is not None and each.chance >= MAY_BE for each in self.stands)
        if likely:
            return f"This cloth may stand in {likely} other quilt{'s' * (likely != 1)}"
        if self.why_not and self.stands:
            return "Whether this cloth stands in other quilts cannot be told from photographs"
        return "This cloth was not found in another quilt"


def elsewhere(shelf: Shelf, number: int, fabric: int) -> Elsewhere | None:
    """Look for a cloth of a study in all other quilts of the shelf.

    Parameters
    ----------
    shelf : Shelf
    number : int
        The study's.
    fabric : int
        The cloth's place on the page of fabrics, 0 the first.

    Returns
    -------
    Elsewhere or None
        None where the cloths of this study were not described: it was not read yet, or has no scale.

    Raises
    ------
    SeamloreError
        When there is no such study, or it has no such fabric.
    """
    import numpy as np  # slow to import, as what opens pictures is

    from seamlore.photo.cloth import kept as pictures
    from seamlore.photo.cloth.same import known_from, rows_of, why_not
    from seamlore.photo.cloth.search import search

    mine = cloths_of(shelf, number, fabric)
    if mine is None:
        return None
    others = [(study, data) for study, data in kept.described(shelf, VERSION) if study != number and data]
    rows = rows_of(b"".join(data for _, data in others))
    counts = [len(rows_of(data)) for _, data in others]
    starts = np.concatenate([[0], np.cumsum(counts)]).astype(int)

    def where(row: int) -> tuple[int, int]:
        at = int(np.searchsorted(starts, row, side="right")) - 1
        return others[at][0], row - int(starts[at])

    files: dict[int, bytes | None] = {}

    def figures_of(row: int) -> Figures | None:
        study, cloth = where(row)
        if study not in files:
            files[study] = pictures_of(shelf, study)
        return pictures.figures(files[study], cloth)

    # A print of few patches beside the one that is shown is looked for only where it shows enough.
    looked_for = [each for each in mine if each is mine[0] or each.known.enough]
    found = [(each, one) for one in looked_for for each in search(one.known, one.figures, rows, figures_of)]
    best: dict[int, tuple[Candidate, Cloth]] = {}
    for each, one in sorted(found, key=lambda pair: _surest(pair[0])):
        if (each.chance or 0) >= _LEAST_CHANCE or (each.chance is None and each.ratio > _LEAST_RATIO):
            best.setdefault(where(each.number)[0], (each, one))
    stands = []
    for quilt in shown(shelf, list(best)):
        candidate, one = best[quilt.number]
        there, dated = known_from(rows[candidate.number].astype(np.float32)), _dated(quilt)
        stands.append(
            Stand(
                quilt,
                there.fabric,
                where(candidate.number)[1],
                candidate.chance,
                (why_not(one.known) or why_not(there)) if candidate.chance is None else "",
                candidate.looked_at,
                dated,
                lent(shelf, number, quilt, candidate.chance, dated),
            )
        )
    lacks = "" if any(each.known.enough for each in mine) else why_not(mine[0].known)
    return Elsewhere(tuple(stands), tuple(each.row for each in mine), lacks, len(rows), len(others))


def _surest(each: Candidate) -> tuple[bool, float]:
    """The order in which quilts are listed: by the chance, those of which none can be said last."""
    return each.chance is None, -(each.ratio if each.chance is None else each.chance)


def _dated(quilt: Shown) -> Years | None:
    years = quilt.facts.figures.years if quilt.facts.figures else ()
    return next((each for each in years if each.part == "blocks" and each.known), None)


def lent(shelf: Shelf, number: int, quilt: Shown, chance: float | None, dated: Years | None) -> Lent | None:
    """Say what the date of another quilt says here, by way of a cloth that both may have; None where it says nothing."""
    from seamlore.photo.cloth.search import MAY_BE  # opens pictures: slow to import

    if dated is None or chance is None or chance < MAY_BE:
        return None
    collection = Collection(shelf)
    if collection.identity(number)[:8] in _rests_on(shelf, quilt.number):
        return Lent(refused="Its years rest on this quilt's own, so they cannot speak for them.")
    when = f"{dated.first - WAITED_YEARS}/{dated.last + WAITED_YEARS}"
    trust = round(_LENT_TRUST * chance, 2)
    says = (
        f"Its blocks were made {dated.first} to {dated.last}, 9 in 10. Here that would say: made {dated.first - WAITED_YEARS} "
        f"to {dated.last + WAITED_YEARS}, since cloth may wait in a scrap bag, and be trusted {round(100 * trust)} in 100."
    )
    return Lent(when, trust, says)


def _rests_on(shelf: Shelf, number: int) -> set[str]:
    """The quilts whose years speak in a quilt's evidence, and in theirs: the beginnings of their identities."""
    found: set[str] = set()
    left, known = [number], None
    while left:
        section = shelf.read(left.pop(), "evidence")
        try:
            text = (decode(Evidence, section.value) or Evidence()).text
        except SeamloreError:
            # Of a later version: what it rests on is not known, and nothing of it is lent.
            continue
        fresh = set(_LENT.findall(text)) - found
        found |= fresh
        if fresh:
            known = known or {identity[:8]: study for identity, study in Collection(shelf).identities().items()}
            left += [known[each] for each in fresh if each in known]
    return found


def with_lent(shelf: Shelf, text: str, stand: Stand, *, this_year: int) -> str:
    """Give a study's evidence with what another quilt's date says, as she took it.

    Parameters
    ----------
    text : str
        The evidence as it stands.
    stand : Stand
        The cloth of the other quilt.

    Raises
    ------
    SeamloreError
        When it says nothing here, or was taken already.
    """
    quilt, given = stand.quilt, stand.lent
    if given is None or not given.when or stand.dated is None:
        raise SeamloreError(f'the date of "{quilt.name}"', "it says nothing here", "look at its page Date")
    mark = f"({quilt.listed.identity[:8]})"
    if any(mark in found for found in text.splitlines() if _LENT.search(found)):
        raise SeamloreError(f'the date of "{quilt.name}"', "it is in the evidence already", "look at the page Date")
    name = _called(shelf, quilt)
    fields: dict[str, str | float | int] = {
        "part": "blocks",
        "says": f"shares a cloth with {name} {mark}, whose blocks were made {stand.dated.first} to {stand.dated.last}",
        "when": given.when,
        "trust": given.trust,
        # What comes from one quilt counts once.
        "source": f"shares a cloth with {name} {mark}",
    }
    return with_entry(text, "evidence", fields, this_year=this_year)


def _called(shelf: Shelf, quilt: Shown) -> str:
    """What another quilt is called in this one's evidence, which may leave: by its name only where no living person is in it."""
    section = shelf.read(quilt.number, "keeping")
    try:
        keeping = decode(Keeping, section.value) or Keeping()
    except SeamloreError:
        # Of a later version: whom it names is not known.
        keeping = Keeping()
    if keeping.names == "none living":
        return f'"{quilt.name[:80]}"'
    return f"number {keeping.accession[:40]}" if keeping.accession else "another quilt"
