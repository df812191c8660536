"""Sews steps as a person would, with nothing of the project but what the steps say; refuses what cannot be sewn.

It begins with the cut pieces as outlines of floats, joins edge to edge along each seam that a step names, and knows
only what lies on its table. A seam must be a whole side of both things that it joins; what is set in, whole sides with
turns between them; a seam that is begun, the whole side of the middle, to be finished before the step is done.
"""

from __future__ import annotations

from itertools import pairwise
from math import hypot

NEAR = 1e-5


class NotSewnError(AssertionError):
    """What a step says cannot be done with what lies there."""


def near(a, b):
    return abs(a[0] - b[0]) < NEAR and abs(a[1] - b[1]) < NEAR


def floats(corners):
    return [(float(x), float(y)) for x, y in corners]


def clockwise(ring):
    turned = sum(ring[i - 1][0] * ring[i][1] - ring[i][0] * ring[i - 1][1] for i in range(len(ring)))
    return ring if turned > 0 else ring[::-1]


def area(ring):
    return abs(sum(ring[i - 1][0] * ring[i][1] - ring[i][0] * ring[i - 1][1] for i in range(len(ring)))) / 2


def off(point, start, end):
    """How far a point lies along a side, and how far off it."""
    long = hypot(end[0] - start[0], end[1] - start[1])
    dx, dy = point[0] - start[0], point[1] - start[1]
    right, down = (end[0] - start[0]) / long, (end[1] - start[1]) / long
    return dx * right + dy * down, abs(dx * down - dy * right), long


def tidy(ring, *, slits=False):
    """Without corners on straight sides; and without spikes, where a slit was closed, unless slits are kept."""
    while True:
        count = len(ring)
        kept = []
        for i in range(count):
            before, here, after = ring[i - 1], ring[i], ring[(i + 1) % count]
            if near(here, after):
                continue
            one = hypot(here[0] - before[0], here[1] - before[1])
            two = hypot(after[0] - here[0], after[1] - here[1])
            cross = (here[0] - before[0]) * (after[1] - here[1]) - (here[1] - before[1]) * (after[0] - here[0])
            back = (here[0] - before[0]) * (after[0] - here[0]) + (here[1] - before[1]) * (after[1] - here[1]) < 0
            if one > NEAR and abs(cross) / max(one, two) < NEAR and not (slits and back):
                continue
            kept.append(here)
        if len(kept) == count:
            return kept
        ring = kept


def with_corners(ring, corners):
    """The outline with more corners where they lie on its sides."""
    found = []
    for start, end in pairwise([*ring, ring[0]]):
        found.append(start)
        on = []
        for corner in corners:
            along, away, long = off(corner, start, end)
            if away < NEAR and NEAR < along < long - NEAR:
                on.append((along, corner))
        found += [corner for _, corner in sorted(on)]
    return found


def is_side(ring, start, end):
    """Whether a stretch is a whole side of an outline, which runs either way round."""
    return any(
        (near(a, start) and near(b, end)) or (near(a, end) and near(b, start)) for a, b in pairwise([*ring, ring[0]])
    )


def touching(one, two):
    """How long two outlines lie along each other."""
    total = 0.0
    for a, b in pairwise([*one, one[0]]):
        for c, d in pairwise([*two, two[0]]):
            along_c, away_c, long = off(c, a, b)
            along_d, away_d, _ = off(d, a, b)
            if away_c < NEAR and away_d < NEAR:
                total += max(0.0, min(long, max(along_c, along_d)) - max(0.0, min(along_c, along_d)))
    return total


def shut(ring, path):
    """Sew a slit shut that runs from the edge to an inner corner: both its sides must be as long as the seam."""
    inner, outer = path
    count = len(ring)
    for i in range(count):
        before, here, after = ring[i - 1], ring[i], ring[(i + 1) % count]
        if near(here, inner) and near(before, outer) and near(after, outer):
            return tidy([at for j, at in enumerate(ring) if j not in (i, (i + 1) % count)], slits=True)
    raise NotSewnError(f"{path} are not two ends that lie on each other from corner to corner")


def length(path):
    return sum(hypot(b[0] - a[0], b[1] - a[1]) for a, b in pairwise(path))


def merge(one, two, path):
    """Sew two outlines together along a path that both have."""
    one, two = with_corners(one, path), with_corners(two, path)

    def arc(ring, start, end):
        """From one corner of a ring to another, the way it runs."""
        spots = [next((i for i, at in enumerate(ring) if near(at, spot)), None) for spot in (start, end)]
        if None in spots:
            raise NotSewnError(f"a seam that does not end on the outline: {start} to {end}")
        first, last = spots
        return ring[first : last + 1] if first <= last else ring[first:] + ring[: last + 1]

    # Clockwise outlines run along a seam that they share in opposite ways.
    for begin, end in ((path[0], path[-1]), (path[-1], path[0])):
        along_one, along_two = arc(one, begin, end), arc(two, end, begin)
        if abs(length(along_one) - length(path)) < NEAR and abs(length(along_two) - length(path)) < NEAR:
            return arc(one, end, begin)[:-1] + arc(two, begin, end)[:-1]
    raise NotSewnError("the two do not lie along the whole seam")


def sew_step(step, things):
    """Sew one step from outlines by piece numbers; give the outline of what comes of it."""
    table = {number: tidy(things[frozenset(part.pieces)]) for number, part in enumerate(step.parts)}
    group = {number: {number} for number in table}
    open_seam = None
    for seam in step.seams:
        path = floats(seam.path)
        first = next(key for key, members in group.items() if seam.first[0] in members)
        second = next(key for key, members in group.items() if seam.second[0] in members)
        if seam.manner == "finished":
            if open_seam is None or first != second:
                raise NotSewnError("a seam is finished that was not begun")
            closed = tidy(table[first])
            if abs(length(path) - open_seam[1]) > NEAR:
                raise NotSewnError("the rest of a begun seam is not its whole side")
            table[first], open_seam = closed, None
            continue
        if seam.manner == "mitered":
            if first != second:
                raise NotSewnError(f"{step.name}: a corner is mitered before its sides are on")
            table[first] = shut(table[first], path)
            continue
        if first == second:
            raise NotSewnError(f"{step.name}: a seam within what is joined already")
        one, two = table[first], table[second]
        contact = touching(one, two)
        legs = list(pairwise(path))
        if seam.manner in ("straight", "begun", "stopped") and len(legs) != 1:
            raise NotSewnError(f"{step.name}: a straight seam that turns")
        if seam.manner == "set in" and len(legs) < 2:
            raise NotSewnError(f"{step.name}: set in without a turn")
        for leg in legs:
            if seam.manner == "begun":
                if not is_side(one, *leg) or is_side(two, *leg):
                    raise NotSewnError(f"{step.name}: not a partial seam")
                side = max(
                    hypot(b[0] - a[0], b[1] - a[1])
                    for a, b in pairwise([*two, two[0]])
                    if off(leg[0], a, b)[1] < NEAR and off(leg[1], a, b)[1] < NEAR
                )
                open_seam = leg, side
            elif not (is_side(one, *leg) and is_side(two, *leg)):
                raise NotSewnError(f"{step.name}: {leg} is not a whole side of both")
        spare = contact - length(path)
        if open_seam and seam.manner == "straight" and spare > NEAR:
            # What lies along the open seam is sewn when that is finished.
            if abs(spare + length(open_seam[0]) - open_seam[1]) > NEAR:
                raise NotSewnError(f"{step.name}: more lies together than is sewn")
        elif spare > NEAR and seam.manner != "stopped":
            raise NotSewnError(f"{step.name}: more lies together than is sewn")
        merged = merge(one, two, path)
        table[first] = tidy(merged, slits=bool(open_seam) or seam.manner == "stopped")
        group[first] |= group.pop(second)
        del table[second]
    if open_seam:
        raise NotSewnError(f"{step.name}: a seam is left open")
    if len(table) != 1:
        raise NotSewnError(f"{step.name}: left in {len(table)} pieces")
    (ring,) = table.values()
    if len(tidy(ring)) != len(tidy(ring, slits=True)):
        raise NotSewnError(f"{step.name}: a slit is left open")
    return ring


def alike(first, other, labels, outlines, *, turning):
    """Whether two sets of pieces are the same after some quarter turns."""

    def read(pieces, turn):
        found = []
        for piece in pieces:
            ring = floats(outlines[piece])
            for _ in range(turn):
                ring = [(-y, x) for x, y in ring]
            found.append((labels[piece], ring))
        left, top = min(x for _, ring in found for x, _ in ring), min(y for _, ring in found for _, y in ring)
        return [(label, sorted((x - left, y - top) for x, y in ring)) for label, ring in found]

    def same(one, two):
        used = set()
        for label, ring in one:
            for number, (called, there) in enumerate(two):
                free = number not in used and label == called and len(ring) == len(there)
                if free and all(near(a, b) for a, b in zip(ring, there, strict=True)):
                    used.add(number)
                    break
            else:
                return False
        return len(used) == len(two)

    return any(same(read(first, 0), read(other, turn)) for turn in (range(4) if turning else (0,)))


def sew(outlines, labels, steps, *, turning=True):
    """Sew all steps and give the outline of the last; every unit made must be used, every piece be sewn in once."""
    names = dict.fromkeys(labels)
    stock = {name: sum(label == name for label in labels) for name in names}
    things = {frozenset([number]): clockwise(floats(ring)) for number, ring in enumerate(outlines)}
    ring = None
    for step in steps:
        for part in step.parts:
            if stock.get(part.name, 0) < step.count:
                raise NotSewnError(f"{step.name} takes {part.name}, of which {stock.get(part.name, 0)} are left")
            stock[part.name] -= step.count
        ring = sew_step(step, things)
        for copy in step.copies:
            if not alike(step.copies[0], copy, labels, outlines, turning=turning):
                raise NotSewnError(f"{step.name}: {copy} is another thing than {step.copies[0]}")
            # What is alike comes out alike: its outline is that of its pieces.
            things[frozenset(copy)] = ring if copy == step.copies[0] else hull_of(step, copy, outlines, labels, ring)
        if abs(area(ring) - sum(area(floats(outlines[piece])) for piece in step.pieces)) > NEAR * 100:
            raise NotSewnError(f"{step.name}: cloth was lost")
        if stock.get(step.name):
            raise NotSewnError(f"two steps are called {step.name}")
        stock[step.name] = step.count
    left = {name: count for name, count in stock.items() if count}
    if left != {steps[-1].name: 1}:
        raise NotSewnError(f"left over: {left}")
    return tidy(ring)


def hull_of(step, copy, outlines, labels, ring):
    """The outline of a copy: that of the first, turned and moved to where the copy lies."""
    boxes = []
    for pieces in (step.copies[0], copy):
        corners = [corner for piece in pieces for corner in floats(outlines[piece])]
        boxes.append((corners, min(x for x, _ in corners), min(y for _, y in corners)))
    first = sorted((labels[piece], *map(tuple, sorted(floats(outlines[piece])))) for piece in copy)
    for turn in range(4):
        turned, corners = ring, boxes[0][0]
        pieces = [(labels[piece], floats(outlines[piece])) for piece in step.copies[0]]
        for _ in range(turn):
            turned = [(-y, x) for x, y in turned]
            corners = [(-y, x) for x, y in corners]
            pieces = [(label, [(-y, x) for x, y in each]) for label, each in pieces]
        dx = boxes[1][1] - min(x for x, _ in corners)
        dy = boxes[1][2] - min(y for _, y in corners)
        moved = [(label, [(x + dx, y + dy) for x, y in each]) for label, each in pieces]
        if all(
            any(
                label == each[0]
                and len(ring) == len(each) - 1
                and all(any(near(corner, other) for other in each[1:]) for corner in ring)
                for each in first
            )
            for label, ring in moved
        ):
            return [(x + dx, y + dy) for x, y in turned]
    raise NotSewnError(f"{step.name}: {copy} is another thing")
