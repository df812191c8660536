"""The proportions of a quilt, computed from its draft, beside the customs of the trade."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction

from seamlore.draft.block import VALUES, Place, Value
from seamlore.draft.exact.roots import Exact
from seamlore.draft.layout import lay
from seamlore.draft.pieces import pieces
from seamlore.draft.quilt import Quilt
from seamlore.draft.touching import seams
from seamlore.plane.outline import area
from seamlore.sources import NO_SOURCE

_STEP = {"light": 0.0, "medium": 0.5, "dark": 1.0}


@dataclass(frozen=True, slots=True)
class Custom:
    """A custom of the trade beside what is measured here.

    Parameters
    ----------
    what : str
        What is compared, such as "sashing to block".
    measured : Fraction
        Here.
    low, high : Fraction
        What is usual.
    source : str
        How the custom is known.
    """

    what: str
    measured: Fraction
    low: Fraction
    high: Fraction
    source: str = NO_SOURCE

    @property
    def usual(self) -> bool:
        """Whether it lies within what is usual."""
        return self.low <= self.measured <= self.high

    def __str__(self) -> str:
        where = (
            "as is usual" if self.usual else ("less than usual" if self.measured < self.low else "more than usual")
        )
        return f"{self.what} {float(self.measured):.2f}, {where} ({_part(self.low)} to {_part(self.high)}; {self.source})"


def _part(number: Fraction) -> str:
    return str(number) if number.denominator > 1 else str(number.numerator)


@dataclass(frozen=True, slots=True)
class Proportions:
    """What was measured of one drafted quilt.

    Parameters
    ----------
    shares : mapping of str to Exact
        Parts of the top's area that are light, medium and dark, and "not said" for fabrics of no known value.
    contrast : float or None
        How much neighboring pieces differ in value, averaged along all seams between pieces of known value: 0
        when nothing differs, 1 when every seam parts light from dark. None without such seams.
    border_share : Exact
        Part of the top's area that is border.
    customs : tuple of Custom
        Ratios that the trade has customs for.
    """

    shares: Mapping[str, Exact]
    contrast: float | None
    border_share: Exact
    customs: tuple[Custom, ...]


def proportions(quilt: Quilt, values: Mapping[str, Value] | None = None) -> Proportions:
    """Measure the proportions of a quilt.

    Parameters
    ----------
    quilt : Quilt
        As drafted.
    values : mapping of str to {"light", "medium", "dark"}, optional
        Values of what is not a place: by key ("sashing", "border 1") or by the name of the fabric.

    Returns
    -------
    Proportions
        Computed from the draft; nothing is measured on cloth.

    Examples
    --------
    >>> from seamlore.draft.repeated import repeated
    >>> from seamlore.draft.text.notation import read_block
    >>> from seamlore.draft.quilt import Sashing
    >>> from seamlore.lengths import inches
    >>> half = read_block("block Half\\nA dark\\nB light\\n\\nA/B")
    >>> found = proportions(repeated("q", half, inches(8), inches(8), 1, 1))
    >>> found.shares["dark"], found.contrast, found.customs
    (Fraction(1, 2), 1.0, ())
    >>> sashed = repeated("q", half, inches(8), inches(8), 1, 2, Sashing(inches(5), inches(5)))
    >>> print(*proportions(sashed).customs)
    sashing to block 0.62, more than usual (1/4 to 1/2; common practice, no source)
    """
    known = dict(values or {})
    whole: Exact = Fraction(0)
    shares: dict[str, Exact] = dict.fromkeys((*VALUES, "not said"), Fraction(0))
    border: Exact = Fraction(0)
    by_fabric = _values_by_fabric(quilt, known)
    for piece in pieces(quilt):
        size = piece.area * piece.count
        whole += size
        shares[by_fabric.get((piece.role, piece.fabric), "not said")] += size
        border += size if piece.role in ("border", "border corner") else 0
    if not whole:
        # Nothing of the top was read.
        return Proportions(shares, None, border, tuple(_customs(quilt)))
    return Proportions(
        {name: share / whole for name, share in shares.items()},
        _contrast(quilt, known),
        border / whole,
        tuple(_customs(quilt)),
    )


def value_of_key(places: Mapping[str, Place], key: str, fabric: str, known: Mapping[str, Value]) -> Value | None:
    """Give the value of a piece: as said for its key or its fabric, else as its place is drawn; None when nobody said.

    Parameters
    ----------
    places : mapping of str to Place
        `Quilt.places`.
    key, fabric : str
        Of the piece, as `layout.Laid` has them.
    known : mapping of str to {"light", "medium", "dark"}
        What was said, by key or by fabric.

    Examples
    --------
    >>> value_of_key({"A": Place("dark")}, "A", "Fabric A", {}), value_of_key({}, "sashing", "tan", {"tan": "medium"})
    ('dark', 'medium')
    >>> value_of_key({}, "sashing", "tan", {}) is None
    True
    """
    given = known.get(key) or known.get(fabric)
    return given if given or key not in places else places[key].value


def _values_by_fabric(quilt: Quilt, known: Mapping[str, Value]) -> dict[tuple[str, str], Value]:
    """Pieces are counted by role and fabric; two places in one fabric are told apart by how they were drawn."""
    areas: dict[tuple[str, str], dict[Value | None, float]] = {}
    places = quilt.places
    for piece in lay(quilt):
        value = value_of_key(places, piece.key, piece.fabric, known)
        spread = areas.setdefault((piece.role, piece.fabric), {})
        spread[value] = spread.get(value, 0.0) + area(piece.outline)
    found = {}
    for key, spread in areas.items():
        value = max(spread, key=lambda each: spread[each])
        if value:
            found[key] = value
    return found


def _contrast(quilt: Quilt, known: Mapping[str, Value]) -> float | None:
    laid, places = lay(quilt), quilt.places
    steps = [value_of_key(places, piece.key, piece.fabric, known) for piece in laid]
    total = weight = 0.0
    for (one, two), length in seams(laid).items():
        first, second = steps[one], steps[two]
        if first and second:
            total += length * abs(_STEP[first] - _STEP[second])
            weight += length
    return round(total / weight, 9) if weight else None


def _customs(quilt: Quilt) -> list[Custom]:
    found = []
    across, down = quilt.gaps
    half, quarter = Fraction(1, 2), Fraction(1, 4)
    ratios = [across.inches / quilt.block_width.inches, down.inches / quilt.block_height.inches]
    names = ("sashing between columns to block", "sashing between rows to block")
    if quilt.sashing and ratios[0] == ratios[1]:
        found.append(Custom("sashing to block", ratios[0], quarter, half))
    elif quilt.sashing:
        found += [Custom(name, ratio, quarter, half) for name, ratio in zip(names, ratios, strict=True) if ratio]
    if quilt.borders:
        widest = max(side.width.inches for border in quilt.borders for side in border.sides)
        found.append(Custom("widest border to block", widest / quilt.block_width.inches, quarter, Fraction(1)))
    return found
