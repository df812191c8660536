"""Which part came before which: the order, checked, and the sets of parts that it closes."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from seamlore.errors import DateError, nearest


@dataclass(frozen=True, slots=True)
class Before:
    """One part is no later than another; the same year is allowed.

    Parameters
    ----------
    earlier, later : str
        The two parts.
    kept : tuple of (int, int or None), optional
        Years that lie between at least and at most, such as fabric kept before it was used.
    where : str
        Its place in a file, for messages.
    """

    earlier: str
    later: str
    kept: tuple[int, int | None] | None = None
    where: str = ""


def check_order(parts: Sequence[str], order: Iterable[Before]) -> tuple[int, ...]:
    """Check an order and give the parts from first to last.

    Parameters
    ----------
    parts : sequence of str
        All parts.
    order : iterable of Before
        What is known of their order.

    Returns
    -------
    tuple of int
        Indices into `parts`, earlier before later.

    Raises
    ------
    DateError
        When a part is not known (the nearest is offered), or the order goes round in a circle (named).

    Examples
    --------
    >>> check_order(["finish", "top"], [Before("top", "finish")])
    (1, 0)
    >>> check_order(["top"], [Before("top", "top")])
    Traceback (most recent call last):
        ...
    seamlore.errors.DateError: top before top: the order goes round in a circle; remove one of these
    """
    order = list(order)
    after: dict[str, list[Before]] = {part: [] for part in parts}
    waiting = dict.fromkeys(parts, 0)
    for before in order:
        for name in (before.earlier, before.later):
            if name not in after:
                raise DateError(
                    f'a part named "{name}"', "an order names parts that are known", nearest(name, parts),
                    where=before.where,
                )  # fmt: skip
        after[before.earlier].append(before)
        waiting[before.later] += 1
    ready = [part for part in parts if not waiting[part]]
    done: list[str] = []
    while ready:
        part = ready.pop(0)
        done.append(part)
        for before in after[part]:
            waiting[before.later] -= 1
            if not waiting[before.later]:
                ready.append(before.later)
    if len(done) < len(parts):
        raise _circle(order, {part for part in parts if part not in done})
    return tuple(parts.index(part) for part in done)


def needed(order: Sequence[Before]) -> tuple[Before, ...]:
    """Leave out of an order what follows from the rest of it; years kept always stay.

    Examples
    --------
    >>> [each.later for each in needed([Before("a", "b"), Before("b", "c"), Before("a", "c"), Before("a", "b")])]
    ['b', 'c']
    """
    once = list({(each.earlier, each.later, each.kept): each for each in order}.values())
    after: dict[str, set[str]] = {}
    for each in once:
        after.setdefault(each.earlier, set()).add(each.later)
    return tuple(each for each in once if each.kept or not _follows(each, after, once))


def _follows(before: Before, after: dict[str, set[str]], order: Sequence[Before]) -> bool:
    if any(each.kept and (each.earlier, each.later) == (before.earlier, before.later) for each in order):
        return True
    reached = {name for name in after[before.earlier] if name != before.later}
    waiting = list(reached)
    while waiting:
        for name in after.get(waiting.pop(), ()):
            if name == before.later:
                return True
            if name not in reached:
                reached.add(name)
                waiting.append(name)
    return False


def _circle(order: Sequence[Before], stuck: set[str]) -> DateError:
    """Name one circle among the parts that could not be put in order."""
    # Walking back from a stuck part always meets a stuck part, so it must meet one twice.
    back = {before.later: before for before in order if before.later in stuck and before.earlier in stuck}
    walk, part = [], min(stuck)
    while part not in walk:
        walk.append(part)
        part = back[part].earlier
    round_trip = [*walk[walk.index(part) :], part][::-1]
    where = next((before.where for before in back.values() if before.where), "")
    return DateError(
        " before ".join(round_trip), "the order goes round in a circle", "remove one of these", where=where
    )


def components(count: int, pairs: Iterable[tuple[int, int]]) -> list[list[int]]:
    """Group parts that an order ties together, directly or through others.

    Examples
    --------
    >>> components(3, [(0, 2)])
    [[0, 2], [1]]
    """
    group = list(range(count))
    for one, two in pairs:
        old, new = group[two], group[one]
        group = [new if mark == old else mark for mark in group]
    return [[index for index in range(count) if group[index] == mark] for mark in dict.fromkeys(group)]


def closed_sets(count: int, pairs: Sequence[tuple[int, int]]) -> list[int]:
    """List the sets of parts that can be finished by some year: whatever a member needs before it is in it.

    Parameters
    ----------
    count : int
        How many parts; each is a bit.
    pairs : sequence of (int, int)
        Earlier and later index.

    Returns
    -------
    list of int
        Sets as bit masks, smaller before larger; at most 2 ** count.

    Examples
    --------
    >>> closed_sets(2, [(0, 1)])
    [0, 1, 3]
    >>> closed_sets(0, [])
    [0]
    """
    needs = [0] * count
    for earlier, later in pairs:
        needs[later] |= 1 << earlier
    found, layer = {0}, {0}
    while layer:
        layer = {
            mask | 1 << part
            for mask in layer
            for part in range(count)
            if not mask >> part & 1 and needs[part] & mask == needs[part]
        }
        found |= layer
    return sorted(found)
