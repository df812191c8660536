"""What a user puts in for one quilt, section by section: what the shelf keeps and every step starts from.

Lengths are kept as they were written ("70 1/2 in"), so that they are read back in the user's own words.
"""

from __future__ import annotations

from typing import Annotated, Literal

import msgspec

from seamlore.lengths import Unit
from seamlore.steps.study.condition import Condition, Decision, Notes
from seamlore.steps.study.said_fabrics import FoundFabrics
from seamlore.steps.study.tape import Tape

Pair = tuple[float, float]


class About(msgspec.Struct, frozen=True, kw_only=True):
    """What the quilt is called, what was told of it, and the unit to work in."""

    name: str = "Unnamed quilt"
    story: str = ""
    unit: Literal["in", "cm"] = "in"


class Photograph(msgspec.Struct, frozen=True, kw_only=True):
    """One photograph of the quilt.

    Attributes
    ----------
    reference
        On the shelf: the SHA-256 of its content, and what kind of file it is.
    name
        The name that it came under.
    size
        Width and height in pixels.
    shows
        What it shows; "behind" is a top seen from behind, a stage the quilt on the way from one state to the next;
        a fabric is one at hand, none of the quilt's.
    side
        Which side a detail, a label or a stage is of; a front shows the front, a back and a top from behind the back.
    corners
        Of what it shows, four [x, y] in its own pixels, clockwise as seen; None where it was not laid on the quilt. Those
        of the front that is read are found, or in the corrections.
    part
        Which part of the quilt those corners enclose: left, top, right and bottom in parts (0 to 1) of its width and
        height as the front shows it.
    taken
        The day on which it was taken, as ISO 8601; None when that is not known.
    """

    reference: str
    name: str = ""
    size: tuple[int, int] = (0, 0)
    shows: Literal["front", "back", "behind", "detail", "label", "stage", "fabric"] = "front"
    side: Literal["front", "back"] = "front"
    corners: tuple[Pair, Pair, Pair, Pair] | None = None
    part: tuple[float, float, float, float] = (0.0, 0.0, 1.0, 1.0)
    taken: Annotated[str, msgspec.Meta(pattern=r"^\d{4}-\d{2}-\d{2}$")] | None = None

    @property
    def of_back(self) -> bool:
        """Whether it is taken from behind, so that left and right are those of the other side."""
        return self.shows in ("back", "behind") or (self.shows != "front" and self.side == "back")

    @property
    def of_backing(self) -> bool:
        """Whether the backing is seen, and not the top from behind."""
        return self.of_back and self.shows != "behind"

    @property
    def sha(self) -> str:
        """The SHA-256 of its content, by which notes name it."""
        return self.reference.partition(".")[0]


class Photographs(msgspec.Struct, frozen=True, kw_only=True):
    """Every photograph of the quilt; the reading is of the first that shows its front."""

    photographs: tuple[Photograph, ...] = ()

    @property
    def front(self) -> Photograph | None:
        """The photograph that is read, None before there is one."""
        return next((each for each in self.photographs if each.shows == "front"), None)

    def with_front(self, photograph: Photograph) -> Photographs:
        """Put another photograph in the place of the one that is read; the rest stay.

        Examples
        --------
        >>> kept = Photographs(photographs=(Photograph(reference="a", shows="back"), Photograph(reference="b")))
        >>> [each.reference for each in kept.with_front(Photograph(reference="c")).photographs]
        ['c', 'a']
        """
        rest = tuple(each for each in self.photographs if each is not self.front)
        return Photographs(photographs=(photograph, *rest))


class Corrections(msgspec.Struct, frozen=True, kw_only=True):
    """What the user set right in the reading; what is None is read from the photograph.

    Attributes
    ----------
    corners
        Four [x, y] in pixels of the upright photograph, clockwise from the quilt's top left.
    bows
        Of the top, right, bottom and left edge, as `photo.frame.Frame` takes them.
    setting, rows, columns, divisions
        Counts and setting as the user sees them.
    row_lines, column_lines
        Lines of the block grid that the user has put in place, in parts (0 to 1) of the quilt's height and width;
        each stands for the nearest line of the grid.
    of
        The reference of the photograph that they were made on; empty when they are of whichever is read.
    """

    corners: tuple[Pair, Pair, Pair, Pair] | None = None
    bows: tuple[tuple[float, ...], tuple[float, ...], tuple[float, ...], tuple[float, ...]] | None = None
    setting: Literal["straight", "on point", "none"] | None = None
    rows: int | None = None
    columns: int | None = None
    row_lines: tuple[float, ...] | None = None
    column_lines: tuple[float, ...] | None = None
    divisions: int | None = None
    of: str = ""


class Choice(msgspec.Struct, frozen=True, kw_only=True):
    """What the user decided on the way to the draft.

    Attributes
    ----------
    explanation
        The account of the measurements to follow, by its text; the likeliest when None.
    block
        A block of the catalogue by name, or a block file's text when it has more than one line; the block
        read from the photograph when None.
    sizes
        Sizes decided: "block", "sashing", "border", as written.
    fabrics
        What the fabric of a place, or of "sashing" or "cornerstone", is called.
    cloths
        The color ("#rrggbb") of the fabric that the patches of a place were given, by place; where none is said it is
        as the photograph shows it.
    draft
        A whole draft file, when the user has changed the draft itself; it overrules the rest.
    """

    explanation: str | None = None
    block: str | None = None
    sizes: dict[str, str] = {}
    fabrics: dict[str, str] = {}
    cloths: dict[str, Annotated[str, msgspec.Meta(pattern="^#[0-9a-f]{6}$")]] = {}
    draft: str | None = None


class Evidence(msgspec.Struct, frozen=True, kw_only=True):
    """The evidence file (docs/dating.md) as written."""

    text: str = ""


class Making(msgspec.Struct, frozen=True, kw_only=True):
    """How the next quilt is to be made; empty fields follow custom.

    `foundation` is how much wider patches are cut on every side to be sewn on foundations, `cutting` the plan that is followed,
    `extra` how much more fabric the simple plan may take, in percent, `layers` how many are cut at once, `stash` what is at hand as it was written down (docs/cutting.md), `shrinkage` what
    bought fabric loses in the wash, in percent.
    """

    fabric_width: str = ""
    backing_width: str = ""
    seam_allowance: str = ""
    binding: Literal[
        "straight", "bias", "back to front", "front to back", "facing", "pillowcase", "knife edge", "none"
    ] = "straight"
    binding_width: str = ""
    spare: str = ""
    edge_shows: str = ""
    backing_repeat: str = ""
    off_middle: bool = False
    held_by: Literal["quilting", "ties"] = "quilting"
    gap: str = ""
    pace: str = ""
    price: str = ""
    batting_price: str = ""
    half_squares: Literal["one", "two", "eight"] = "one"
    quarter_squares: Literal["one", "two"] = "one"
    geese: Literal["one", "four"] = "one"
    strips: Literal["one", "sets"] = "one"
    choose_by: Literal["as said", "least fabric", "fewest cuts"] = "as said"
    foundation: str = ""
    cutting: Literal["fitting", "simple", "frugal"] = "fitting"
    extra: str = ""
    layers: str = ""
    shrinkage: str = ""
    stash: str = ""
    filling: Literal["batting", "blanket", "older quilt", "none"] = "batting"
    paper: Literal["letter", "a4"] = "letter"


class Sewing(msgspec.Struct, frozen=True, kw_only=True):
    """How the next quilt is to be sewn, and in what its booklet is printed.

    `quilted` is where the lines of quilting run: in the ditch no seam is pressed open.
    """

    method: Literal["machine", "hand", "papers"] = "machine"
    quilted: Literal["off the seams", "in the ditch"] = "off the seams"
    ink: Literal["color", "black"] = "color"


class LabelWords(msgspec.Struct, frozen=True, kw_only=True):
    """What is known for the label; the maker is unknown unless told."""

    maker: str = ""
    place: str = ""
    made: str = ""
    finished_by: str = ""
    now_with: str = ""


class Keeping(msgspec.Struct, frozen=True, kw_only=True):
    """Where the quilt comes from, where it is kept, and what may be told of that.

    Attributes
    ----------
    accession
        Its number in the collection, as it is written on its label.
    acquired, acquired_how, acquired_from
        When, in what way, from whom.
    kept_at
        Where it is stored.
    price, owner, address
        Private: none of them leaves the shelf unless that is chosen.
    tags
        Words of the owner's own to find it by.
    made_of
        The identities of the studies of which it was made, or after which.
    names
        Whether the names in its story, on its label and in its evidence are of living people: not said, none of them,
        or those in `living`.
    living
        Names of living people, as they are written.
    """

    accession: str = ""
    acquired: str = ""
    acquired_how: Literal["", "bought", "given", "inherited", "found", "made", "on loan"] = ""
    acquired_from: str = ""
    kept_at: str = ""
    price: str = ""
    owner: str = ""
    address: str = ""
    tags: tuple[str, ...] = ()
    made_of: tuple[str, ...] = ()
    names: Literal["not said", "none living", "some living"] = "not said"
    living: tuple[str, ...] = ()


class Noticed(msgspec.Struct, frozen=True, kw_only=True):
    """What she made of the things worth noticing.

    Attributes
    ----------
    said
        Her words in the place of those that were worked out, by the key of each.
    dropped
        The keys of those that she does not want told.
    own
        Her own, in her order.
    """

    said: dict[str, str] = {}
    dropped: tuple[str, ...] = ()
    own: tuple[str, ...] = ()


SECTIONS: dict[str, type[msgspec.Struct]] = {
    "about": About,
    "photographs": Photographs,
    "corrections": Corrections,
    "tape": Tape,
    "choice": Choice,
    "fabrics": FoundFabrics,
    "evidence": Evidence,
    "condition": Condition,
    "notes": Notes,
    "decision": Decision,
    "making": Making,
    "sewing": Sewing,
    "label": LabelWords,
    "keeping": Keeping,
    "noticed": Noticed,
}


def unit_of(about: About) -> Unit:
    """Give the unit that a study is worked in."""
    return Unit(about.unit)
