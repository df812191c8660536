"""Units that are made several at a time: what is cut for them, and how they are sewn and cut apart."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace

from seamlore.draft.exact.roots import Exact, above
from seamlore.lengths import Length, show, show_seam, show_size
from seamlore.making.cutting import Cut
from seamlore.making.methods import Methods
from seamlore.making.shapes import Shaped
from seamlore.making.sizes import cut_size
from seamlore.making.units import Found, PatchKey, SewnUnit


@dataclass(frozen=True, slots=True)
class Batch:
    """Units that are made together.

    Parameters
    ----------
    unit : SewnUnit
    count : int
        How many are needed.
    name, how : str
        What they are called, and how they are made, in words.
    cuts : tuple of Cut
        What is cut for them.
    patches : mapping
        The patches that need no cutting by themselves any more.
    later : int
        How many cuts are made while they are sewn.
    """

    unit: SewnUnit
    count: int
    name: str
    how: str
    cuts: tuple[Cut, ...]
    patches: Mapping[PatchKey, int]
    later: int


def batches(found: Mapping[SewnUnit, Found], methods: Methods, seam: Length, width: Length) -> tuple[Batch, ...]:
    """Say what is made together, and what is cut for it.

    Parameters
    ----------
    found : mapping of SewnUnit to Found
        From `units`.
    methods : Methods
    seam : Length
        Seam allowance; its unit decides the marks.
    width : Length
        Usable width of the fabric.

    Examples
    --------
    >>> from seamlore.draft.catalogue import find
    >>> from seamlore.draft.repeated import repeated
    >>> from seamlore.lengths import inches
    >>> from seamlore.making.units import units
    >>> geese = repeated("q", find("dutchman's puzzle"), inches(8), inches(8), 2, 3)
    >>> batch = batches(units(geese), Methods(geese="four"), inches("1/4"), inches(42))[0]
    >>> batch.name, [str(cut.size[0]) for cut in batch.cuts]
    ('24 flying geese of Fabric C on Fabric A, four at a time', ['5 1/4 in', '2 7/8 in'])
    """
    made: list[Batch] = []
    for unit, number in found.items():
        match unit.kind:
            case "half-square triangle" if methods.half_squares != "one":
                made.append(_half_squares(unit, number, seam, 2 if methods.half_squares == "two" else 8))
            case "quarter-square triangle" if methods.quarter_squares == "two":
                made.append(_quarter_squares(unit, number, seam))
            case "flying geese" if methods.geese == "four":
                made.append(_geese(unit, number, seam))
    if methods.strips == "sets":
        made += _strip_sets({unit: each for unit, each in found.items() if unit.kind == "strips"}, seam, width)
    return tuple(made)


def _half_squares(unit: SewnUnit, found: Found, seam: Length, times: int) -> Batch:
    shaped = Shaped("half-square triangle", unit.size)
    # Eight come of a square in whose quarters two lie each.
    side = cut_size(shaped, seam)[0] * (times // 4 or 1)
    squares = -(-found.count // times)
    word = {2: "two", 8: "eight"}[times]
    batch = f"half-square triangles, {word} at a time"
    cuts = [_square(name, side, times, squares, found, shaped, seam, batch) for name in unit.fabrics]
    one, two = unit.fabrics
    lines = "a diagonal" if times == 2 else "both diagonals"
    apart = "on the line" if times == 2 else "through the middle both ways and on both lines"
    how = (
        f"Lay a square of {one} on one of {two}, right sides together; draw {lines}, sew {show_seam(seam)} from each line on "
        f"both sides, and cut {apart}: {squares} pairs of squares give {times} each, {_sewn(unit.size, seam)} with seams."
    )
    return _batch(
        unit, found, f"half-square triangles of {one} and {two}, {word} at a time", how, cuts, squares * times // 2
    )


def _quarter_squares(unit: SewnUnit, found: Found, seam: Length) -> Batch:
    shaped = Shaped("quarter-square triangle", unit.size)
    side, squares = cut_size(shaped, seam)[0], -(-found.count // 2)
    cuts = [
        _square(name, side, 4, squares, found, shaped, seam, "quarter-square triangles, two at a time")
        for name in unit.fabrics
    ]
    one, two = unit.fabrics
    how = (
        f"Lay a square of {one} on one of {two}, right sides together; draw a diagonal, sew {show_seam(seam)} from it on both "
        "sides, cut on the line and press. Lay the two that this gives on each other, unlike fabrics facing, seams meeting; "
        f"draw the other diagonal, sew on both sides and cut: {squares} pairs of squares give 2 each, "
        f"{_sewn(unit.size, seam)} with seams."
    )
    return _batch(unit, found, f"quarter-square triangles of {one} and {two}, two at a time", how, cuts, squares * 2)


def _geese(unit: SewnUnit, found: Found, seam: Length) -> Batch:
    long, short = unit.size
    goose, sky = unit.fabrics
    large, small = Shaped("quarter-square triangle", (long, long)), Shaped("half-square triangle", (short, short))
    squares = -(-found.count // 4)
    cuts = [
        _square(goose, cut_size(large, seam)[0], 4, squares, found, large, seam, "flying geese, four at a time"),
        _square(sky, cut_size(small, seam)[0], 2, squares * 4, found, small, seam, "flying geese, four at a time"),
    ]
    how = (
        f"Lay two small squares of {sky} on opposite corners of a large one of {goose}, right sides together; draw the diagonal "
        f"through both, sew {show_seam(seam)} from it on both sides, cut on the line and press. Lay a small square on the corner "
        f"of each half, draw, sew and cut likewise: {squares} large squares give 4 each, {_sewn((long, short), seam)} with seams."
    )
    return _batch(unit, found, f"flying geese of {goose} on {sky}, four at a time", how, cuts, squares * 3)


def _strip_sets(found: Mapping[SewnUnit, Found], seam: Length, width: Length) -> Iterable[Batch]:
    """Sets of strips, cut across into rows; a row that several units have is cut from the same sets."""
    for unit, each in found.items():
        deep, along = (cut_size(Shaped("square", (side, side)), seam)[0] for side in unit.size)
        held = int(width.inches / along.inches)
        if not held:
            continue
        cuts, said = [], []
        strips: dict[str, list[tuple[int, int]]] = {}
        for row, number in Counter(unit.rows).items():
            segments = number * each.count
            sets = -(-segments // held)
            said.append(
                f"{sets} set{'s' * (sets != 1)} of {', '.join(row)} for {segments} rows, at most {held} from each set"
            )
            for name, many in Counter(row).items():
                strips.setdefault(name, []).append((sets * many, segments * many))
        for name, pairs in strips.items():
            cuts.append(_strip(name, pairs, (along, deep), held, each, unit, seam))
        how = (
            f"Sew strips {show(deep)} wide side by side into sets: {'; '.join(said)}. Press, square the end, and cut across every "
            f"{show(along)}."
        )
        yield _batch(unit, each, f"{_rows_words(unit)}, from sets of strips", how, cuts, len(unit.rows) * each.count)


def _rows_words(unit: SewnUnit) -> str:
    named = {1: "rails", 2: "four patches", 3: "nine patches"}[min(3, len(unit.rows))]
    return f"{named} of {' and '.join(unit.fabrics)}"


def _strip(
    fabric: str,
    pairs: Sequence[tuple[int, int]],
    size: tuple[Length, Length],
    held: int,
    found: Found,
    unit: SewnUnit,
    seam: Length,
) -> Cut:
    """The strips of one fabric, each as long as the rows that are cut from it take: no set is longer than it need be."""
    along, deep = size
    count, needed = sum(strips for strips, _ in pairs), sum(patches for _, patches in pairs)
    each = max(-(-patches // strips) for strips, patches in pairs)
    run = along * min(held, each)
    labels = _labels(fabric, found)
    long, short = (run, deep) if run >= deep else (deep, run)
    one, two = unit.size
    finished = Length(above(max(one, two)), seam.unit), Length(above(min(one, two)), seam.unit)
    shaped = Shaped("rectangle", (max(one, two), min(one, two)))
    return Cut(
        fabric, "rectangle", (long, short), min(held, each), count, needed, finished, labels, "", run.inches * deep.inches, shaped, None, "strip sets"
    )  # fmt: skip


def _square(
    fabric: str, side: Length, yields: int, count: int, found: Found, shaped: Shaped, seam: Length, batch: str
) -> Cut:
    labels = _labels(fabric, found)
    needed = sum(number for (_, name, _), number in found.patches.items() if name == fabric)
    finished = (Length(above(shaped.sides[0]), seam.unit), Length(above(shaped.sides[1]), seam.unit))
    return Cut(
        fabric, "square", (side, side), yields, count, needed, finished, labels, "", side.inches * side.inches, shaped, None, batch
    )  # fmt: skip


def _labels(fabric: str, found: Found) -> tuple[str, ...]:
    return tuple(dict.fromkeys(label for _, name, label in found.patches if name == fabric))


def _sewn(size: tuple[Exact, Exact], seam: Length) -> str:
    long, short = (Length(above(side), seam.unit) + seam * 2 for side in (max(size), min(size)))
    return f"{show(long)} square" if long == short else show_size(short, long)


def _batch(unit: SewnUnit, found: Found, words: str, how: str, cuts: Sequence[Cut], later: int) -> Batch:
    return Batch(unit, found.count, f"{found.count} {words}", how, tuple(cuts), found.patches, later)


def cuts_for(made: Sequence[Batch]) -> tuple[tuple[Cut, ...], Counter[PatchKey]]:
    """Give what is cut for batches, like cuts of several together, and the patches that they take."""
    taken: Counter[PatchKey] = Counter()
    alike: dict[tuple[object, ...], list[Cut]] = {}
    for batch in made:
        taken.update(batch.patches)
        for cut in batch.cuts:
            alike.setdefault((cut.fabric, cut.size, cut.yields, cut.shaped), []).append(cut)
    found = []
    for first, *others in alike.values():
        labels = tuple(dict.fromkeys(label for cut in (first, *others) for label in cut.labels))
        count, needed = (sum(getattr(cut, name) for cut in (first, *others)) for name in ("count", "needed"))
        whole = replace(first, count=count, needed=needed, labels=labels)
        found.append(replace(whole, how=_said(whole)))
    return tuple(found), taken


def _said(cut: Cut) -> str:
    one, two = cut.size
    if one == two:
        return f"cut {cut.count} square{'s' * (cut.count != 1)} of {show(one)} for {' and '.join(cut.labels)}"
    strips = f"cut {cut.count} strip{'s' * (cut.count != 1)} of {show(two, bare=True)} x {show(one)}"
    return f"{strips} for the sets of strips of {' and '.join(cut.labels)}"
