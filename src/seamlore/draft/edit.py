"""Changing a block by hand: a seam drawn, a seam taken out, a patch given another place. Exact throughout."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from seamlore.draft.block import Block, Corner, Patch, Place, Value, block, patch
from seamlore.draft.exact.outlines import join, part, whole_numbers
from seamlore.draft.exact.roots import Exact
from seamlore.errors import ShapeError

_LETTERS = "ABCDEFGHIJKLMNOPQRSTUVWXYZ"


def draw_seam(given: Block, start: Corner, end: Corner) -> Block:
    """Draw a seam: every patch that it crosses from side to side is divided.

    Parameters
    ----------
    given : Block
    start, end : (Fraction, Fraction)
        Its ends, in parts of the block's side.

    Returns
    -------
    Block
        The part on the right of the seam, looking along it, takes another place than the part on the left.

    Raises
    ------
    ShapeError
        When the ends are one point, or the seam divides no patch.

    Examples
    --------
    >>> from fractions import Fraction
    >>> from seamlore.draft.text.notation import read_block
    >>> plain = read_block("block Plain\\nA light\\n\\nA")
    >>> half = draw_seam(plain, (Fraction(0), Fraction(1)), (Fraction(1), Fraction(0)))
    >>> [(each.place, float(each.area)) for each in half.patches]
    [('A', 0.5), ('B', 0.5)]
    >>> draw_seam(plain, (Fraction(0), Fraction(0)), (Fraction(1, 2), Fraction(1, 2)))
    Traceback (most recent call last):
        ...
    seamlore.errors.ShapeError: block Plain: this seam: it runs through no patch from side to side; ...
    """
    where = f"block {given.name}"
    if start == end:
        raise ShapeError("a seam from a point to itself", "a seam has two ends", "choose another end", where=where)
    places = dict(given.places)
    patches: list[Patch] = []
    divided = False
    for each in given.patches:
        parts = _divided(each, start, end)
        if parts is None:
            patches.append(each)
            continue
        divided = True
        left, right = parts
        other = _other_place(places, each.place)
        patches += [replace(left, place=each.place), replace(right, place=other)]
    if not divided:
        raise ShapeError(
            "this seam",
            "it runs through no patch from side to side",
            "begin and end it on the sides of patches",
            where=where,
        )
    return _again(given, patches, places)


def _divided(each: Patch, start: Corner, end: Corner) -> tuple[Patch, Patch] | None:
    """The two parts of a patch, left and right of a seam, when the seam crosses it once from side to side."""
    dx, dy = end[0] - start[0], end[1] - start[1]
    ring = each.outline
    side = [dx * (y - start[1]) - dy * (x - start[0]) for x, y in ring]
    crossings: list[tuple[int, Corner]] = []
    for index, (corner, here) in enumerate(zip(ring, side, strict=True)):
        following, there = ring[(index + 1) % len(ring)], side[(index + 1) % len(ring)]
        if here == 0:
            before = side[index - 1]
            if before * there < 0:
                crossings.append((index, corner))
        elif here * there < 0:
            share = here / (here - there)
            crossings.append(
                (
                    index,
                    (corner[0] + share * (following[0] - corner[0]), corner[1] + share * (following[1] - corner[1])),
                )
            )
    crossings = _touched(ring, side, crossings)
    if len(crossings) != 2:
        return None
    along = [dx * (x - start[0]) + dy * (y - start[1]) for _, (x, y) in crossings]
    # The seam must reach from one side of the patch to the other.
    if min(along) < 0 or max(along) > dx * dx + dy * dy:
        return None
    (i, p), (j, q) = crossings
    one = _ring_between(ring, i, p, j, q)
    two = _ring_between(ring, j, q, i, p)
    if len(one) < 3 or len(two) < 3:
        return None
    first, second = patch(one, each.place), patch(two, each.place)
    middle = [dx * (y - start[1]) - dy * (x - start[0]) for x, y in first.outline]
    # Seen with y down, what lies on the left of the seam is negative.
    return (first, second) if min(middle) < 0 else (second, first)


def _touched(
    ring: Sequence[Corner], side: Sequence[Exact], crossings: list[tuple[int, Corner]]
) -> list[tuple[int, Corner]]:
    """Add the corners of a convex patch that the seam runs through on its way in or out."""
    if len(crossings) == 2:
        return crossings
    on = [(index, ring[index]) for index, here in enumerate(side) if here == 0]
    if len(crossings) == 1 and len(on) == 1 and on[0] not in crossings:
        return sorted([*crossings, *on])
    if not crossings and len(on) == 2 and abs(on[0][0] - on[1][0]) not in (1, len(ring) - 1):
        return on
    return crossings


def _ring_between(ring: Sequence[Corner], i: int, p: Corner, j: int, q: Corner) -> list[Corner]:
    """Walk from a crossing after corner i to one after corner j."""
    walk = [p]
    index = (i + 1) % len(ring)
    while True:
        if ring[index] not in (p, q):
            walk.append(ring[index])
        if index == j or (ring[index] == q):
            break
        index = (index + 1) % len(ring)
    return [*walk, q]


def _other_place(places: dict[str, Place], place: str) -> str:
    """Another place for the other side of a seam: one of another value, else a new one."""
    value = places[place].value
    for letter, each in places.items():
        if letter != place and each.value != value:
            return letter
    letter = next(letter for letter in _LETTERS if letter not in places)
    opposite: dict[Value, Value] = {"light": "dark", "dark": "light", "medium": "light"}
    places[letter] = Place(opposite[value])
    return letter


def take_out_seam(given: Block, first: int, second: int) -> Block:
    """Take out the seam between two patches, making them one.

    Parameters
    ----------
    given : Block
    first, second : int
        Indices of two patches that share a side; the one patch keeps the place of the larger.

    Raises
    ------
    ShapeError
        When they share no side, or would close round a hole.

    Examples
    --------
    >>> from seamlore.draft.text.notation import read_block
    >>> four = read_block("block Four Patch\\nA dark\\nB light\\n\\nA B\\nB A")
    >>> len(take_out_seam(four, 0, 1).patches)
    3
    >>> take_out_seam(four, 0, 3)
    Traceback (most recent call last):
        ...
    seamlore.errors.ShapeError: block Four Patch: patches 1 and 4: no seam lies between them, ...
    """
    where = f"block {given.name}"
    one, two = _checked(given, first), _checked(given, second)
    scale, rings = whole_numbers([one.outline, two.outline])
    joined = join(rings) if first != second else None
    if joined is None:
        raise ShapeError(
            f"patches {first + 1} and {second + 1}",
            "no seam lies between them, or they would close round a hole",
            "choose a seam between two patches",
            where=where,
        )
    whole = patch(
        [(part(x, scale), part(y, scale)) for x, y in joined],
        one.place if one.area >= two.area else two.place,
    )
    patches = [each for index, each in enumerate(given.patches) if index not in (first, second)]
    return _again(given, [*patches, whole], dict(given.places))


def with_place(given: Block, index: int, place: str) -> Block:
    """Give a patch another place; a letter that the block has not yet is a new place of the patch's value.

    Raises
    ------
    ShapeError
        When there is no such patch, or the place is no letter.

    Examples
    --------
    >>> from seamlore.draft.text.notation import read_block
    >>> four = read_block("block Four Patch\\nA dark\\nB light\\n\\nA B\\nB A")
    >>> [each.place for each in with_place(four, 3, "C").patches]
    ['A', 'B', 'B', 'C']
    """
    old = _checked(given, index)
    if place not in _LETTERS or len(place) != 1:
        raise ShapeError(
            f'place "{place}"', "a place is a letter from A to Z", "choose one", where=f"block {given.name}"
        )
    places = dict(given.places)
    places.setdefault(place, Place(places[old.place].value))
    patches = [replace(each, place=place) if at == index else each for at, each in enumerate(given.patches)]
    return _again(given, patches, places)


def with_value(given: Block, place: str, value: Value, *, scrappy: bool | None = None) -> Block:
    """Give a place another value, or make it scrappy or not.

    Raises
    ------
    ShapeError
        When the block has no such place.
    """
    if place not in given.places:
        raise ShapeError(
            f"place {place}", f"the block has {', '.join(given.places)}", "choose one", where=f"block {given.name}"
        )
    old = given.places[place]
    places = {**given.places, place: Place(value, old.scrappy if scrappy is None else scrappy)}
    # The very patches that were checked stay; the names are no longer its own, as in `_again`.
    return replace(given, places=places, also=(), notes=())


def with_divisions(given: Block, divisions: int) -> Block:
    """Divide the block's side otherwise; its patches stay where they are.

    Raises
    ------
    ShapeError
        When the number is not 1 to 16.
    """
    if not 1 <= divisions <= 16:
        raise ShapeError(f"{divisions} divisions", "a block has 1 to 16", "choose one", where=f"block {given.name}")
    return replace(given, divisions=divisions)


def _checked(given: Block, index: int) -> Patch:
    if not 0 <= index < len(given.patches):
        raise ShapeError(
            f"patch {index + 1}", f"the block has {len(given.patches)}", "choose one", where=f"block {given.name}"
        )
    return given.patches[index]


def _again(given: Block, patches: Sequence[Patch], places: dict[str, Place]) -> Block:
    """Make the block anew, checked; it is no longer the one that its name was given to."""
    used = {each.place for each in patches}
    kept = {letter: place for letter, place in places.items() if letter in used}
    return block(given.name, given.divisions, patches, kept, family=given.family)
