"""The stash as a text that is read and written by hand: a line for each thing at hand (docs/cutting.md)."""

from __future__ import annotations

import re
from collections.abc import Iterator
from fractions import Fraction

from seamlore import limits
from seamlore.errors import LengthError, NotationError
from seamlore.fabric.stash import FAT, Form, Holding, Offer, Point, Print, Stash
from seamlore.lengths import Length, Unit, in_unit, length, pair

_COUNTED = re.compile(
    r"(?:(?P<count>[0-9]+)\s+)?(?P<form>fat quarter|fat eighth|square|strip|scrap)s?(?:\s+of)?\s*(?P<rest>.*)",
    re.IGNORECASE,
)
_POINT = re.compile(r"\(\s*([0-9./ ]+)\s*,\s*([0-9./ ]+)\s*\)")
_BUY = re.compile(
    r"buy(?:\s+(?P<width>\S.*?)\s+wide)?(?:\s*,?\s*at\s+(?P<price>[0-9]+(?:\.[0-9]{1,2})?)\s+(?:a|per)\s+(?P<per>yard|yd|meter|metre|m))?",
    re.IGNORECASE,
)
_MOTIF = re.compile(r"motifs?\s+(?:every\s+)?(?P<repeat>.+?)\s+for\s+(?P<pieces>.+)", re.IGNORECASE)
_HOW = 'write it as "Red: 1 1/2 yd of 42 in", "Red: 3 fat quarters" or "Red: 2 scraps of 9 x 14 in"'
_MOST_CORNERS = 60


def read_stash(text: str, *, unit: Unit = Unit.INCH, source: str = "") -> Stash:
    """Read a stash.

    Parameters
    ----------
    text : str
        A line for each holding, ``FABRIC: WHAT``; empty lines and what follows a # are left out.
    unit : Unit
        The unit of bare numbers, and whose fat quarters are meant.
    source : str
        Name of the file, for messages.

    Returns
    -------
    Stash

    Raises
    ------
    NotationError
        Naming the line and what cannot be read.

    Examples
    --------
    >>> found = read_stash("Red: 1 1/2 yd of 42 in\\nRed: 3 fat quarters\\nCream: 40 squares of 5 in\\n")
    >>> [(each.fabric, each.form, each.count, str(each.width), str(each.length)) for each in found.holdings]
    [('Red', 'length', 1, '42 in', '54 in'), ('Red', 'fat quarter', 3, '21 in', '18 in'), ('Cream', 'square', 40, '5 in', '5 in')]
    >>> read_stash("")
    Stash(holdings=(), offers=(), prints=())
    >>> [each.one_way for each in read_stash("Red: one-way\\nRed: motif 8 x 6 in for A1 and A2").prints]
    [True, False]
    >>> read_stash("Red: some")
    Traceback (most recent call last):
        ...
    seamlore.errors.NotationError: line 1: "some": it is no form of fabric; write it as "Red: 1 1/2 yd of 42 in", ...
    """
    limits.checked_text(text, "the stash", limits.TEXT, source=f"{source}, " if source else "")
    holdings: list[Holding] = []
    offers: list[Offer] = []
    prints: list[Print] = []
    for number, line in enumerate(text.splitlines(), start=1):
        said = line.partition("#")[0].strip()
        if not said:
            continue
        where = f"{source}, line {number}" if source else f"line {number}"
        # A fabric may have a colon in its name, what there is of it has none.
        fabric, colon, what = (part.strip() for part in said.rpartition(":"))
        if not colon or not fabric or not what:
            raise NotationError(
                f'"{_short(said)}"', "a line is a fabric, a colon and what there is", _HOW, where=where
            )
        if len(fabric) > limits.FABRIC_NAME:
            raise NotationError(
                f"a fabric's name of {len(fabric)} characters",
                f"it has at most {limits.FABRIC_NAME}",
                "name it in a few words",
                where=where,
            )
        try:
            if what.casefold().startswith("buy"):
                offers.append(_offer(fabric, what, unit, where))
            elif re.fullmatch(r"one[- ]way(?: print)?", what, re.IGNORECASE):
                prints.append(Print(fabric, True))
            elif what.casefold().startswith("motif"):
                prints.append(_motif(fabric, what, unit, where))
            else:
                holdings.append(_holding(fabric, what, unit, where))
        except LengthError as fault:
            raise NotationError(f'"{_short(what)}"', str(fault.limit), _HOW, where=where) from None
        if sum(each.count for each in holdings) > limits.STASH_PIECES:
            raise NotationError(
                f"{sum(each.count for each in holdings):,} pieces up to here",
                f"at most {limits.STASH_PIECES} are looked through",
                "leave out what is too small to use",
                where=where,
            )
    return Stash(tuple(holdings), tuple(offers), tuple(prints))


def _short(text: str) -> str:
    return text if len(text) <= 60 else f"{text[:57]}..."


def _holding(fabric: str, what: str, unit: Unit, where: str) -> Holding:
    found = _COUNTED.fullmatch(what)
    if found is None:
        return _off_the_bolt(fabric, what, unit, where)
    form: Form = found["form"].casefold()  # type: ignore[assignment]
    count = 1 if found["count"] is None else limits.whole_number(found["count"])
    if not count:
        raise NotationError(f'"{_short(what)}"', "a count is a whole number of 1 or more", "count them", where=where)
    rest = found["rest"].strip()
    if form == "scrap" and rest.startswith("("):
        return _odd(fabric, count, rest, unit, where)
    if form in ("fat quarter", "fat eighth") and not rest:
        return Holding(fabric, form, *FAT[form, unit], count)
    if not rest:
        raise NotationError(f'"{_short(what)}"', "its size is not said", _HOW, where=where)
    one, two = (_positive(side, what, where) for side in pair(rest, unit=unit))
    if form in ("fat quarter", "fat eighth", "strip"):
        # The long side of each lies across the fabric.
        one, two = max(one, two), min(one, two)
    return Holding(fabric, form, one, two, count)


def _positive(side: Length, what: str, where: str) -> Length:
    if side.inches <= 0:
        raise NotationError(f'"{_short(what)}"', "a side is more than 0", "measure it again", where=where)
    return side


def _off_the_bolt(fabric: str, what: str, unit: Unit, where: str) -> Holding:
    long, of, wide = what.partition(" of ")
    try:
        along = length(long, unit=unit)
    except LengthError:
        raise NotationError(f'"{_short(what)}"', "it is no form of fabric", _HOW, where=where) from None
    if not of:
        raise NotationError(
            f'"{_short(what)}"', "its usable width is not said", 'write it as "1 1/2 yd of 42 in"', where=where
        )
    across = length(wide.removesuffix("wide").strip(), unit=along.unit)
    return Holding(fabric, "length", _positive(across, what, where), _positive(along, what, where))


def _offer(fabric: str, what: str, unit: Unit, where: str) -> Offer:
    found = _BUY.fullmatch(what)
    if found is None or (found["width"] is None and found["price"] is None):
        raise NotationError(
            f'"{_short(what)}"',
            "it does not say how it is bought",
            'write "buy 42 in wide at 12.50 a yard"',
            where=where,
        )
    width = _positive(length(found["width"], unit=unit), what, where) if found["width"] else None
    price = Fraction(found["price"]) if found["price"] else None
    per = Unit.CM if (found["per"] or "").casefold().startswith("m") else Unit.INCH
    return Offer(fabric, width, price, per)


def _motif(fabric: str, what: str, unit: Unit, where: str) -> Print:
    found = _MOTIF.fullmatch(what)
    if found is None:
        raise NotationError(
            f'"{_short(what)}"',
            "it does not say how far apart motifs stand, and for which pieces",
            'write "motif 8 x 6 in for A1": first across the fabric, then along it',
            where=where,
        )
    across, along = (_positive(side, what, where) for side in pair(found["repeat"], unit=unit))
    pieces = [each.strip() for each in re.split(r",|\band\b", found["pieces"]) if each.strip()]
    return Print(fabric, False, (across, along), tuple(pieces))


def _odd(fabric: str, count: int, rest: str, unit: Unit, where: str) -> Holding:
    outer, *spoilt = re.split(r"\s*;?\s*spoilt\s*", rest, flags=re.IGNORECASE)
    written = re.search(r"\)\s*(in|cm|mm)?\s*$", outer)
    per = {"in": Fraction(1), "cm": in_unit(1, Unit.CM).inches, "mm": in_unit(1, Unit.CM).inches / 10}
    scale = per[(written[1] if written and written[1] else unit.value)]
    outline = tuple(_corners(outer, scale, where))
    left, top = min(x for x, _ in outline), min(y for _, y in outline)

    def moved(points: Iterator[Point] | tuple[Point, ...]) -> tuple[Point, ...]:
        return tuple((x - left, y - top) for x, y in points)

    box = moved(outline)
    shown = Unit.CM if scale != 1 else Unit.INCH
    holes = tuple(moved(_corners(each, scale, where)) for each in spoilt if each.strip())
    wide, high = max(x for x, _ in box), max(y for _, y in box)
    if not wide or not high:
        raise NotationError(f'"{_short(rest)}"', "its corners enclose nothing", "measure them again", where=where)
    return Holding(fabric, "scrap", Length(wide, shown), Length(high, shown), count, box, holes)


def _corners(text: str, scale: Fraction, where: str) -> Iterator[Point]:
    found = _POINT.findall(text)
    rest = re.sub(r"(in|cm|mm)\s*$", "", _POINT.sub("", text).strip()).strip(" ;,")
    if rest or not 3 <= len(found) <= _MOST_CORNERS:
        raise NotationError(
            f'"{_short(text.strip())}"',
            f"an outline has 3 to {_MOST_CORNERS} corners, each as (across, along)",
            'write it as "scrap (0,0) (12,0) (14,9) (3,11) in"',
            where=where,
        )
    for x, y in found:
        yield _number(x, where) * scale, _number(y, where) * scale


def _number(text: str, where: str) -> Fraction:
    try:
        number = sum((Fraction(part) for part in text.split()), Fraction(0))
    except (ValueError, ZeroDivisionError):
        number = None
    if number is None or number > limits.LONGEST_IN:
        raise NotationError(f'"{_short(text)}"', "a corner is two numbers", "write it as (12, 4 1/2)", where=where)
    return number
