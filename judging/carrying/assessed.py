"""What the page Assess says of a carried quilt, reckoned again."""

from __future__ import annotations

import re
from collections import Counter
from fractions import Fraction
from functools import cached_property
from typing import Any

import numpy as np
import shapely
from skimage.color import deltaE_cie76, deltaE_ciede2000, rgb2lab

from judging.carrying import held
from judging.carrying.lay import CLOTH, Spot, called_at, quilt_of, shoelace, spots_of, verdicts
from judging.carrying.pages import Pages
from judging.carrying.sums import part_of, said, squares

_MOST_FABRICS = 24


class Assessing:
    """A carried quilt as it lies, its notes on it, and what of these the page must say."""

    def __init__(self, carried: Any, pages: Pages) -> None:
        self.carried, self.pages, self.typed, self.reading = carried, pages, carried.typed, carried.reading
        self.spots = spots_of(carried.notes, carried.reading, carried.photographs)
        self.quilt = quilt_of(carried.reading, carried.blocks, carried.between)
        self.on_point = self.reading["setting"] == "on point"
        self.backed = any(each["shows"] == "back" for each in carried.photographs)

    def all(self) -> None:
        """Reckon everything."""
        self._notes()
        self._parts()
        self._fabrics()
        self._blocks()
        held.check(self)
        self._faded()
        self._next()
        wide, high = (Fraction(each).limit_denominator(64) for each in self.reading["size"])
        self.pages.says("assess", f"{said(wide, bare=True)} x {said(high)} by tape")
        count = len(self.carried.photographs)
        self.pages.says("assess", f"From {count} photograph{'s' * (count > 1)}")
        self.pages.says("assess", "2 letters doubtful")

    @cached_property
    def called(self) -> list[str]:
        """What each fabric is called: by its place among all, those with most patches first, then those in most blocks."""
        fabrics = self.reading["fabrics"] or []
        spots = [
            [*((False, *at[:2]) for at in each["patches"]), *((True, *at[:2]) for at in each["between"])]
            for each in fabrics
        ]
        order = sorted(range(len(fabrics)), key=lambda number: (-len(spots[number]), -len(set(spots[number]))))
        return [f"Fabric {order.index(number) + 1}, {each['value']}" for number, each in enumerate(fabrics)]

    @property
    def whole(self) -> float:
        """The area of the quilt."""
        return float(self.reading["size"][0] * self.reading["size"][1])

    def area(self, spot: Spot) -> float:
        """The area of a note, what lies off the quilt left out."""
        x, y = spot.outline.T
        if x.min() >= 0 and y.min() >= 0 and x.max() <= self.quilt.size[0] and y.max() <= self.quilt.size[1]:
            return shoelace(spot.outline)
        return float(spot.shape.intersection(self.quilt.rectangle).area)

    @cached_property
    def weak_fabrics(self) -> set[int]:
        """Fabrics on which a hand test was weak; every patch of theirs is suspect."""
        return {
            fabric
            for spot in self._tests
            for _, fabric, patch in self.quilt.patches
            if fabric >= 0 and patch.intersects(spot)
        }

    @cached_property
    def weak_strips(self) -> bool:
        """Whether a hand test that was weak lies on no block: the sashing or the border is weak then."""
        return any(not any(block.intersects(spot) for block in self.quilt.blocks.values()) for spot in self._tests)

    @property
    def _tests(self) -> list[Any]:
        return [each.shape for each in self.spots if each.kind == "hand test" and not each.behind]

    @cached_property
    def states(self) -> dict[tuple[int, int], str]:
        """Sound, doubtful or lost, block by block."""
        return verdicts(self.quilt, self.spots, self.weak_fabrics)

    def _notes(self) -> None:
        pages, worst = self.pages, 0.0
        for number, (spot, record) in enumerate(zip(self.spots, self.carried.condition["notes"], strict=True), 1):
            at = f"{number} {spot.kind}"
            if spot.damage:
                worst = max(worst, abs(self.area(spot) / record["area"] - 1))
                pages.says("assess", squares(self.area(spot)), at=at)
            on = [
                called_at(where) for where in sorted(self.quilt.blocks) if self._lies(spot, self.quilt.blocks[where])
            ]
            if on:
                pages.says("assess", "; ".join(on[:4]), at=at)
            pages.says("assess", str(number), at=at)
            if spot.kind == "inscription":
                words = "; ".join(on)
                pages.says("assess", words[:1].upper() + words[1:])
        self.worst_area = worst
        pages.holds(f"areas of notes to 0.1 %: {100 * worst:.4f} %", worst < 1e-3)
        straight = spots_of(self.carried.notes, self.reading, self.carried.photographs, bent=False)
        bows = [
            abs(shoelace(one.outline) / shoelace(other.outline) - 1)
            for one, other in zip(straight, self.spots, strict=True)
            if other.damage
        ]
        if any(self.reading["bows"]):
            pages.says("assess", f"areas are known to about {part_of(max(bows))} of themselves")

    def _lies(self, spot: Spot, block: Any) -> bool:
        meet = spot.shape.intersection(block)
        if len(spot.outline) < 3:
            return not bool(meet.is_empty)
        if not spot.damage:
            return float(meet.area) > 0.02 * float(spot.shape.area)
        return float(meet.area) > min(0.002 * float(block.area), 0.5 * float(spot.shape.area))

    def _parts(self) -> None:
        say, whole = self.pages.says, self.whole
        front = [each.shape for each in self.spots if each.damage and not each.behind]
        back = [each.shape for each in self.spots if each.damage and each.behind]
        share, _ = self.quilt.share(front)
        on_blocks, blocks = self.quilt.share(front, list(self.quilt.blocks.values()))
        # A count of points tells a share to about a hundredth of itself; the record's own figure is held against it, and said as it is.
        parts = {each["of"]: each for each in self.carried.condition["parts"]}
        for of, counted, covered in (
            ("the front", 1.0, share),
            ("blocks", blocks, on_blocks),
            ("setting and borders", 1 - blocks, share - on_blocks),
            ("backing", 1.0, self.quilt.share(back)[0]),
        ):
            if of not in parts:
                continue
            exact = parts[of]
            self.pages.holds(
                f"{of}: {100 * covered / counted:.3f} % counted, {100 * exact['share']:.3f} % said",
                abs(covered / counted - exact["share"]) < 2e-4,
            )
            self.pages.holds(f"{of}: its area", abs(counted * whole - exact["area"]) < 2e-3 * whole)
            if exact["affected"]:
                say(
                    "assess",
                    f"{of[:1].upper()}{of[1:]}: {part_of(exact['share'])} affected ({squares(exact['affected'])})",
                )
        say("assess", f"{part_of(parts['the front']['share'])} of the front is affected")
        kinds = {each["kind"]: each for each in self.carried.condition["kinds"]}
        for kind in {each.kind for each in self.spots if each.damage}:
            alike = [each for each in self.spots if each.kind == kind]
            area = sum(
                shapely.union_all([each.shape for each in alike if each.behind is side])
                .intersection(self.quilt.rectangle)
                .area
                for side in (False, True)
            )
            self.pages.holds(f"{kind}: area of all spots", abs(area / kinds[kind]["area"] - 1) < 1e-3)
            say("assess", f"{kind[:1].upper()}{kind[1:]}: {len(alike)} spot{'s' * (len(alike) > 1)}, {squares(area)}")

    def _fabrics(self) -> None:
        front = shapely.union_all([each.shape for each in self.spots if each.damage and not each.behind])
        for number, _ in enumerate(self.reading["fabrics"] or []):
            patches = [patch for _, fabric, patch in self.quilt.patches if fabric == number]
            spoilt = [float(patch.intersection(front).area) for patch in patches]
            whole = sum(patch.area for patch in patches)
            touched = sum(each > 1e-9 for each in spoilt)
            share = sum(spoilt) / whole
            shown = next(
                (line for line in self.pages.lines["assess"] if line.startswith(f"{self.called[number]} |")), ""
            )
            if (
                not shown
                and sum(line.startswith("Fabric ") and line.count(" | ") == 3 for line in self.pages.lines["assess"])
                >= _MOST_FABRICS
            ):
                # Of very many the page lists those most affected.
                continue
            # Shares are said in tenths here; a half of one more or less is a rounding.
            cells = shown.split(" | ")
            good = (
                len(cells) == 4
                and cells[1:3] == [str(len(patches)), str(touched)]
                and abs(float(cells[3].split()[0]) - 100 * share) < 0.051
            )
            self.pages.holds(
                f"{self.called[number]}: {len(patches)} patches, {touched} touched, {100 * share:.2f} %: {shown}",
                good,
            )
            if good:
                self.pages.covered(shown, (0, len(shown)))

    def _blocks(self) -> None:
        count = Counter(self.states.values())
        say = self.pages.says
        say(
            "assess",
            f"Of {len(self.states)} blocks {count['sound']} sound, {count['doubtful']} doubtful, {count['lost']} lost",
        )
        theirs = {(each["row"], each["column"]): each["verdict"] for each in self.carried.condition["blocks"]}
        self.pages.holds(f"verdicts of {len(theirs)} blocks, one by one", theirs == self.states)
        for verdict in ("lost", "doubtful"):
            if count[verdict]:
                at = f"{count[verdict]} block{'s' * (count[verdict] > 1)} {verdict}"
                say("assess", at)
                for where in sorted(self.states):
                    if self.states[where] == verdict:
                        self._listed(at, called_at(where))

    def _listed(self, at: str, called: str) -> None:
        """A block in a list of which the page shows the first ones alone."""
        shown = next((line for line in self.pages.lines["assess"] if line.startswith(at)), "")
        if called in shown or " more" not in shown:
            self.pages.says("assess", called, at=at)

    def _faded(self) -> None:
        one, other = (rgb2lab(np.array(each).reshape(1, 1, 3)) for each in self.carried.colors)
        lab, e2000 = (f"{float(of(one, other).item()):.1f}" for of in (deltaE_cie76, deltaE_ciede2000))
        way = "paler" if other[0, 0, 0] > one[0, 0, 0] else "darker"
        self.pages.says("assess", f"{way}, CIELAB difference {lab}, CIEDE2000 {e2000}")
        self.pages.says("assess", f"{way} where it was exposed, a CIELAB difference of {lab}")

    def _next(self) -> None:
        """Where to look next: patches of each torn fabric, counted; which of them is proposed is told beside it."""
        torn = [each.shape for each in self.spots if each.kind in CLOTH and not each.behind]
        for number, _ in enumerate(self.reading["fabrics"] or []):
            patches = [(at, patch) for at, fabric, patch in self.quilt.patches if fabric == number]
            here = {called_at(at) for at, patch in patches if any(patch.intersects(each) for each in torn)}
            if not here or number in self.weak_fabrics:
                continue
            shown = next(
                (line for line in self.pages.lines["assess"] if line.startswith(f"{self.called[number]}, row")), ""
            )
            if not shown:
                # Of many the page lists the first ones.
                continue
            at = re.match(r"Fabric \d+, \w+, (row \d+, column \d+)", shown)
            self.pages.holds(
                f"{self.called[number]} is torn where it is to be tried: {shown[:60]}", bool(at and at[1] in here)
            )
            if at:
                self.pages.says("assess", at[1], at=f"{self.called[number]}, row")
            self.pages.says(
                "assess", f"{len(patches)} patch{'es' * (len(patches) > 1)} of it", at=f"{self.called[number]}, row"
            )
