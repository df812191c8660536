"""What the page Decide says of strips, borders, cloth and backing, reckoned again, on cells of a quarter inch where shapes are packed."""

from __future__ import annotations

import re
from fractions import Fraction
from typing import Any

import numpy as np
import shapely

from judging.carrying.cells import CELL, cells_of, in_rows, lie, rectangle, square
from judging.carrying.lay import ALIVE, CLOTH, LOOK
from judging.carrying.sums import part_of, read, size, squares

QUARTER = Fraction(1, 4)
_RUNS, _LEAST_RUN, _LEAST_AREA = 6, 2.0, 6.0


def check(decided: Any) -> None:
    """Look for all of it on the page."""
    _Cloth(decided).all()


class _Cloth:
    def __init__(self, decided: Any) -> None:
        self.decided, self.of, self.pages, self.say = decided, decided.of, decided.pages, decided.say
        self.wide, self.high = self.of.quilt.size
        spoils = [
            [
                each.shape
                for each in self.of.spots
                if len(each.outline) > 2 and each.behind is behind and _spoils(each)
            ]
            for behind in (False, True)
        ]
        self.spoilt = [shapely.union_all(each) for each in spoils]
        self.written = [each.shape for each in self.of.spots if each.kind == "inscription"]
        self.left = float(decided.left)
        self.strips = (
            {"Vertical sashing": [], "Horizontal sashing": []}
            if self.of.on_point or not decided.gap
            else self._between()
        )
        self.borders = self._around()
        self.weak = (
            set()
            if not self.of.weak_strips
            else {"sashing"}
            if any(each.kind == "hand test" and self._on_strip(each.shape) for each in self.of.spots)
            else {"border"}
        )

    def _on_strip(self, spot: Any) -> bool:
        return any(each.intersects(spot) for alike in self.strips.values() for each in alike)

    def all(self) -> None:
        """Reckon everything."""
        for name, alike in (*self.strips.items(), *((name, [shape]) for name, shape in self.borders.items())):
            if alike:
                self._one_piece(name, alike)
        self._table()
        if self.of.backed:
            self._backing()

    def _corners(self, at: tuple[int, int]) -> Any:
        return np.array(self.of.carried.blocks[at[0]][at[1]])

    def _between(self) -> dict[str, list[Any]]:
        rows, columns = self.decided.rows, self.decided.columns
        quad = {(row, column): self._corners((row, column)) for row in range(rows) for column in range(columns)}
        beside = [
            shapely.Polygon([quad[row, column][1], quad[row, column + 1][0], quad[row, column + 1][3], quad[row, column][2]])
            for row in range(rows) for column in range(columns - 1)
        ]  # fmt: skip
        under = []
        for row in range(rows - 1):
            above = [point for column in range(columns) for point in (quad[row, column][3], quad[row, column][2])]
            below = [
                point for column in range(columns) for point in (quad[row + 1, column][0], quad[row + 1, column][1])
            ]
            under.append(shapely.Polygon([*above, *below[::-1]]))
        whole = self.of.quilt.rectangle
        return {
            name: [each.buffer(0).intersection(whole) for each in alike]
            for name, alike in (("Vertical sashing", beside), ("Horizontal sashing", under))
        }

    def _around(self) -> dict[str, Any]:
        corners = np.concatenate(
            [
                np.array(each).reshape(-1, 2)
                for each in (self.of.carried.blocks, self.of.carried.between)
                if np.size(each)
            ]
        )
        corners = corners[np.isfinite(corners).all(axis=1)]
        (left, top), (right, bottom) = corners.min(axis=0), corners.max(axis=0)
        found = {
            "Border at the top": shapely.box(0, 0, self.wide, top), "Border at the bottom": shapely.box(0, bottom, self.wide, self.high),
            "Border at the left": shapely.box(0, top, left, bottom), "Border at the right": shapely.box(right, top, self.wide, bottom),
        }  # fmt: skip
        return {
            name: each
            for name, each in found.items()
            if any(line.startswith(f"{name} |") for line in self.pages.lines["decide"])
        }

    def _one_piece(self, name: str, alike: list[Any]) -> None:
        line = next(
            (
                each
                for each in self.pages.lines["decide"]
                if each.startswith(name) and " of " in each and " | " in each
            ),
            "",
        )
        kind = "border" if name.startswith("Border") else "sashing"
        whole, runs = 0, []
        for shape in alike:
            long, free = self._free(shape)
            if kind not in self.weak:
                whole += free == [(0.0, 1.0)]
                runs += [] if free == [(0.0, 1.0)] else [(end - begin) * long for begin, end in free]
        sound = f"{whole} of {len(alike)}"
        self.say(sound, at=name)
        raw = re.findall(r"([\d /]+) x ([\d /]+) in", line)
        sides = [[read(each) for each in pair] for pair in raw]
        good = len(sides) == 2 and all(
            one - 2 * self.decided.seam == other for one, other in zip(*sides, strict=True)
        )
        measured = sorted((np.ptp(shapely.get_coordinates(alike[0]), axis=0) + 2 * self.left).tolist())
        # As drafted or as read on quarters of an inch: within half an inch and 2 in 100 of where the photograph shows it.
        near = good and all(
            abs(float(one) - other) < 0.8 + 0.02 * other
            for one, other in zip(sorted(sides[0]), measured, strict=True)
        )
        self.pages.holds(f"{line}: about {[round(each, 1) for each in measured]}, and a seam at each side less", near)
        self.pages.covered(line, (0, len(line)))
        runs = sorted((int(each * 4) / 4 for each in runs if int(each * 4) / 4 >= _LEAST_RUN), reverse=True)
        if runs:
            lines = self.pages.lines["decide"]
            note = lines[lines.index(line) + 1] if line in lines else ""
            shown = [
                float(read(each))
                for each in re.findall(r"([\d][\d /]*) in(?:,|$|;| and)", note.partition("cut across: ")[2])
            ]
            alike_enough = len(shown) == min(len(runs), _RUNS) and all(
                abs(one - other) <= 0.26 for one, other in zip(shown, runs, strict=False)
            )
            self.pages.holds(f"{name}: sound lengths {runs[:_RUNS]} beside {shown}", alike_enough)
            self.pages.covered(note, (0, len(note)))

    def _free(self, shape: Any) -> tuple[float, list[tuple[float, float]]]:
        """Along a strip, in parts of its length, where its whole width is sound; nothing of what bears writing."""
        points = shapely.get_coordinates(shapely.minimum_rotated_rectangle(shape))[:4]
        one, other = points[1] - points[0], points[3] - points[0]
        way, aside = (one, other) if np.hypot(*one) > np.hypot(*other) else (other, one)
        long, wide = float(np.hypot(*way)), float(np.hypot(*aside))
        if any(shape.intersects(each) for each in self.written):
            return long, []
        at, free = 0.0, []
        barred = []
        for part in shapely.get_parts(shape.intersection(self.spoilt[0])):
            spots = shapely.get_coordinates(part) - points[0]
            across = spots @ (aside / wide)
            if len(spots) and np.ptp(across) > 0.02 * wide:
                along = spots @ (way / long) / long
                barred.append((max(float(along.min()), 0.0), min(float(along.max()), 1.0)))
        for low, high in sorted(barred):
            if low > at:
                free.append((at, low))
            at = max(at, high)
        return long, free + [(at, 1.0)] * (at < 1)

    def _pieces(self) -> dict[str, list[Any]]:
        """Sound outlines, cloth by cloth: of blocks that are not given whole, of strips and borders, of the backing."""
        whole = {at for at, verdict in self.of.states.items() if verdict == "sound" and not self.decided.sides[at]}
        found: dict[str, list[Any]] = {}
        for number, called in enumerate(self.of.called):
            patches = [patch for at, fabric, patch in self.of.quilt.patches if fabric == number and at not in whole]
            if patches:
                found[called] = [] if number in self.of.weak_fabrics else patches
        for name, shapes in (
            ("Sashing", [each for alike in self.strips.values() for each in alike]),
            ("Border", list(self.borders.values())),
        ):
            if shapes:
                found[name] = [] if name.lower() in self.weak else shapes
        made = {name: self._sound(shapes, self.spoilt[0], self.left) for name, shapes in found.items()}
        if self.of.backed:
            made["Backing"] = self._sound([self.of.quilt.rectangle], self.spoilt[1], 0.0)
        return made

    def _sound(self, shapes: list[Any], spoilt: Any, left: float) -> list[Any]:
        taken = [
            each.buffer(left, join_style="mitre") if left else each
            for each in shapes
            if left == 0.0 or not any(each.intersects(word) for word in self.written)
        ]
        parts = [part for each in taken for part in shapely.get_parts(each.difference(spoilt))]
        return [part for part in parts if part.geom_type == "Polygon" and part.area > 1e-9]

    def _table(self) -> None:
        pieces = self._pieces()
        wanted = [(2.5, 2.5, 40), (3.0, 6.0, 999)]
        totals = [0] * len(wanted)
        for name, parts in pieces.items():
            line, cells = self.pages.row("decide", name, 6)
            area = sum(each.area for each in parts)
            holes = sum(len(each.interiors) for each in parts)
            good = cells[1:4] == [str(len(parts)), str(holes), squares(area) if parts else "0 sq in"]
            side, shown = max((square(each) for each in parts[:40] if parts), default=0.0), _inches(cells[4])
            good = good and side - 0.3 <= shown <= side + 0.6
            self.pages.holds(
                f"{name}: {len(parts)} pieces, {holes} holes, {squares(area)}, a square of about {side:.2f}: {line}",
                good,
            )
            told = {
                (wide, high): places
                for of, wide, high, places in self.of.carried.laid["patches"]
                if of.lower() == name.lower()
            }
            for number, (wide, high, most) in enumerate(wanted):
                places = told.get((wide, high), ())
                totals[number] += len(places)
                self.pages.holds(
                    f"{name}: {len(places)} of {wide} x {high} in lie within it, none on another",
                    lie(parts, told) and len(places) <= most,
                )
                self.pages.holds(
                    f"{name}: {len(places)} of {wide} x {high} in are on the page",
                    f"{len(places)} of {size((Fraction(wide), Fraction(high)))}" in line,
                )
            self.pages.covered(line, (0, len(line)))
        if len(pieces) > 8:
            self.say(f"{len(pieces) - 8} more cloths")
        for (wide, high, _), total in zip(wanted, totals, strict=True):
            self.say(f"{size((Fraction(wide), Fraction(high)))}: {total} from all cloths together")

    def _backing(self) -> None:
        (sound,) = [each for name, each in self._pieces().items() if name == "Backing"]
        cells = cells_of(shapely.union_all(sound), self.wide, self.high)
        area = sum(each.area for each in sound)
        holes = sum(len(each.interiors) for each in sound)
        self.say(
            f"{part_of(area / (self.wide * self.high))} of it is sound as noted ({squares(area)}, {holes} holes within)"
        )
        widest = re.search(r"the largest square is ([\d /]+) in", self.decided.text)
        best = max(square(each) for each in sound)
        shown = widest[1] if widest else "0"
        self.pages.holds(
            f"largest square of the backing {best:.2f}: {shown}", best - 0.3 <= _inches(shown) <= best + 0.6
        )
        self.say(f"the largest square is {shown} in")
        rows = [line for line in self.pages.lines["decide"] if line.startswith("Backing, ")]
        for number, line in enumerate(rows):
            raw, again = ([_inches(each) for each in pair] for pair in re.findall(r"([\d /]+) x ([\d /]+) in", line))
            wide, high, place = rectangle(cells)
            near = (
                raw[0] * raw[1] >= 0.97 * wide * high
                and min(raw) >= _LEAST_AREA
                and [each - 0.5 for each in raw] == again
            )
            self.pages.holds(
                f"{line}: {wide} x {high} in found on quarter inches",
                near if number == 0 else min(raw) >= _LEAST_AREA and [each - 0.5 for each in raw] == again,
            )
            self.pages.covered(line, (0, len(line)))
            cells[place] = False
        self._backs(sound)

    def _backs(self, sound: list[Any]) -> None:
        cells = cells_of(shapely.union_all(sound), self.wide, self.high)
        served, listed = 0, 0
        lines = self.pages.lines["decide"]
        for line in lines:
            row = re.match(r"(.*) \| ([\d /]+) x ([\d /]+) in \| (\d+|none)$", line)
            if not row:
                continue
            listed += 1
            name = row[1].partition("touches")[0]
            thing = next(
                (each.split(" | ")[1] for each in lines if each.startswith(name) and each.endswith("draft plan")), ""
            )
            sides = [_inches(each) for each in (row[2], row[3])]
            count = 0 if row[4] == "none" else int(row[4])
            served += count > 0
            plain = max(in_rows(cells, *sides), in_rows(cells, *sides[::-1]))
            most = int(cells.sum() * CELL**2 // (sides[0] * sides[1]))
            self.pages.holds(f"{line}: plain rows give {plain}, its area {most}", plain <= count <= most)
            if thing:
                finished = [_inches(each) for each in thing.removesuffix(" in").split(" x ")]
                beyond = 8 if max(finished) >= 36 else 4
                self.pages.holds(f"{line}: {thing} and {beyond} in", [each + beyond for each in finished] == sides)
            self.pages.covered(line, (0, len(line)))
        self.say(f"it serves for {served} of {listed} things")


def _spoils(spot: Any) -> bool:
    return (spot.kind in (*CLOTH, *ALIVE, "earlier repair") and spot.kind != "open seam") or (
        spot.kind in LOOK and spot.step >= 3
    )


def _inches(words: str) -> float:
    return float(read(words))
