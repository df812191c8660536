"""What is told of one quilt in any open format: words, figures and years, what is private taken out already."""

from __future__ import annotations

from dataclasses import dataclass, field

# Where nobody has said under which address it will stand; nothing there can ever be reached (RFC 2606, section 2).
NOWHERE = "https://quilts.invalid/"
KIND = "patchwork quilt"


@dataclass(frozen=True, slots=True)
class Photo:
    """A photograph that goes along.

    Parameters
    ----------
    file : str
        Where it lies, from the record.
    media : str
        Such as "image/jpeg".
    width, height : int
        In pixels.
    shows : str
        "front", "back", "detail", "label", "stage".
    taken : str
        The day, as ISO 8601; empty when not known.
    """

    file: str
    media: str
    width: int
    height: int
    shows: str = "front"
    taken: str = ""


@dataclass(frozen=True, slots=True)
class PartYears:
    """When one part was made, 9 chances in 10: its name, first, middle and last year, the same as EDTF, the reason."""

    part: str
    first: int
    middle: int
    last: int
    edtf: str
    reason: str = ""


@dataclass(frozen=True, slots=True)
class Noted:
    """A spot on a photograph and what is said of it; its outline in pixels of the photograph."""

    key: str
    photo: str
    kind: str
    says: str
    outline: tuple[tuple[float, float], ...]


@dataclass(frozen=True, slots=True)
class QuiltRecord:
    """What is told of one quilt. Lengths in inches; empty or None where it is not known or does not leave.

    Parameters
    ----------
    identity : str
        Who it is, wherever it goes.
    name, lead, story : str
        What it is called, what it is in a sentence, what was told of it.
    maker, place, made : str
        As told.
    accession, acquired, owner : str
    blocks : tuple of str
        What its blocks are called, the commonest first.
    setting : str
    size : (float, float), optional
        Width and height; `size_known` says how.
    block_size, sashing : (float, float), optional
    fabrics, tags : tuple of str
    headline : str
        When it was made, in a sentence.
    years : tuple of PartYears
    condition, decision : str
    made_of : tuple of (identity, name)
    photos : tuple of Photo
    notes : tuple of Noted
    noticed : tuple of str
        What is worth noticing.
    figures : mapping of str to float
        Further figures by name, for tables.
    changed : str
        When the record was changed last, as ISO 8601.
    """

    identity: str
    name: str
    lead: str = ""
    story: str = ""
    maker: str = ""
    place: str = ""
    made: str = ""
    accession: str = ""
    acquired: str = ""
    owner: str = ""
    blocks: tuple[str, ...] = ()
    setting: str = ""
    size: tuple[float, float] | None = None
    size_known: str = ""
    block_size: tuple[float, float] | None = None
    sashing: tuple[float, float] | None = None
    fabrics: tuple[str, ...] = ()
    tags: tuple[str, ...] = ()
    headline: str = ""
    years: tuple[PartYears, ...] = ()
    condition: str = ""
    decision: str = ""
    made_of: tuple[tuple[str, str], ...] = ()
    photos: tuple[Photo, ...] = ()
    notes: tuple[Noted, ...] = ()
    noticed: tuple[str, ...] = ()
    figures: dict[str, float] = field(default_factory=dict)
    changed: str = ""

    @property
    def span(self) -> tuple[int, int] | None:
        """From the first year of any part to the last."""
        if not self.years:
            return None
        return min(each.first for each in self.years), max(each.last for each in self.years)


def iri(identity: str, address: str = "") -> str:
    """Give the IRI of a quilt: under the address where it will stand, or as a UUID of its own (RFC 9562).

    Examples
    --------
    >>> iri("0123456789abcdef0123456789abcdef")
    'urn:uuid:01234567-89ab-cdef-0123-456789abcdef'
    >>> iri("0123456789abcdef0123456789abcdef", "https://quilts.invalid/")
    'https://quilts.invalid/0123456789abcdef0123456789abcdef'
    """
    if address:
        return f"{address.rstrip('/')}/{identity}"
    return "urn:uuid:" + "-".join(identity[a:b] for a, b in ((0, 8), (8, 12), (12, 16), (16, 20), (20, 32)))
