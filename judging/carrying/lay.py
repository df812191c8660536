"""Where notes, blocks and cloth lie, reckoned again without any code of what is judged: projections solved by hand, edges bent by
natural splines and their inverse found by going round, shares by counting points."""

from __future__ import annotations

import base64
import re
from dataclasses import dataclass
from functools import cached_property
from typing import Any

import numpy as np
import shapely
from numpy.typing import NDArray
from scipy.interpolate import CubicSpline

Floats = NDArray[np.float64]
# What a kind of note says of the cloth, as the page tells it: cut through or rubbed, living, or to be looked at.
CLOTH = ("tear", "hole", "tendered cloth", "open seam", "loss", "abrasion")
ALIVE = ("insect damage", "mold")
LOOK = ("stain", "foxing", "fading", "bleeding")
STEPS = {"slight": 1, "plain": 2, "serious": 3, "gone": 4}
_POINTS = 1600


@dataclass(frozen=True, eq=False)
class Spot:
    """A note as it lies on the quilt: its kind, its step (0 where none), its corners, and whether it is on the back."""

    kind: str
    step: int
    outline: Floats
    behind: bool

    @property
    def damage(self) -> bool:
        """Whether it takes away from the cloth."""
        return self.kind in (*CLOTH, *ALIVE, *LOOK)

    @cached_property
    def shape(self) -> Any:
        """What it encloses; of a place its point."""
        return shapely.Polygon(self.outline).buffer(0) if len(self.outline) > 2 else shapely.Point(self.outline[0])


def spots_of(
    notes: dict[str, Any], reading: dict[str, Any], photographs: list[dict[str, Any]], *, bent: bool = True
) -> list[Spot]:
    """Take every note from its photograph to the quilt; `bent` takes bowed edges for the straight ones that the tape measured."""
    width, height = reading["size"]
    frames = {}
    for each in photographs:
        corners = reading["corners"] if each["shows"] == "front" else each["corners"]
        if corners:
            frames[each["reference"].split(".")[0]] = (
                _projection(corners, width, height),
                each["shows"] == "back",
                each["shows"] == "front",
            )
    made = []
    for item in notes["items"]:
        body = {each["purpose"]: each["value"] for each in item["body"]}
        name = base64.urlsafe_b64decode(item["target"]["source"].split(";")[1] + "=").hex()
        drawn = item["target"]["selector"]["value"]
        points = re.search(r'points="([^"]+)"', drawn)
        pixels = (
            [[float(part) for part in pair.split(",")] for pair in points[1].split()]
            if points
            else [[float(re.search(rf'c{axis}="([^"]+)"', drawn)[1]) for axis in "xy"]]  # type: ignore[index]
        )
        projection, back, front = frames[name]
        outline = np.array(pixels)
        if len(outline) > 2:
            along = np.linspace(0, 1, 200, endpoint=False)[:, None]
            outline = np.concatenate(
                [a + (b - a) * along for a, b in zip(outline, np.roll(outline, -1, 0), strict=True)]
            )
        flat = _through(projection, outline)
        if front and bent and any(reading["bows"]):
            flat = _unbent(flat, reading["bows"], width, height)
        if back:
            flat[:, 0] = width - flat[:, 0]
        made.append(Spot(body["tagging"], STEPS.get(body.get("classifying", ""), 0), flat, back))
    return made


def _projection(corners: Any, width: float, height: float) -> Floats:
    rows, right = [], []
    for (x, y), (u, v) in zip(corners, ((0, 0), (width, 0), (width, height), (0, height)), strict=True):
        rows += [[x, y, 1, 0, 0, 0, -u * x, -u * y], [0, 0, 0, x, y, 1, -v * x, -v * y]]
        right += [u, v]
    return np.append(np.linalg.solve(np.array(rows, float), np.array(right, float)), 1).reshape(3, 3)


def _through(projection: Floats, points: Floats) -> Floats:
    taken = np.c_[points, np.ones(len(points))] @ projection.T
    return np.asarray(taken[:, :2] / taken[:, 2:])


def _unbent(points: Floats, bows: Any, width: float, height: float) -> Floats:
    def edge(stations: Any) -> Any:
        if not stations:
            return lambda at: np.zeros_like(at)
        curve = CubicSpline(np.linspace(0, 1, len(stations) + 2), [0, *stations, 0], bc_type="natural")
        return lambda at: curve(np.clip(at, 0, 1))

    top, right, bottom, left = map(edge, bows)
    x, y = (points / (width, height)).T
    u, v = x, y
    # What lies at u, v of the straight quilt is seen at x, y: u is found by going round until it stays.
    for _ in range(200):
        u, v = (x + left(v)) / (1 + right(v) + left(v)), (y + top(u)) / (1 + bottom(u) + top(u))
    return np.asarray(np.c_[u, v] * (width, height), dtype=np.float64)


def shoelace(outline: Floats) -> float:
    """Give the area of an outline that does not cross itself."""
    x, y = outline.T
    return float(abs(x @ np.roll(y, -1) - y @ np.roll(x, -1)) / 2)


@dataclass(frozen=True, eq=False)
class Quilt:
    """The quilt as it lies: its size, its blocks and patches with their fabrics."""

    size: tuple[float, float]
    blocks: dict[tuple[int, int], Any]
    patches: list[tuple[tuple[int, int], int, Any]]

    @cached_property
    def _grid(self) -> tuple[Floats, Floats]:
        marks = (np.arange(_POINTS) + 0.5) / _POINTS
        across, down = np.meshgrid(marks * self.size[0], marks * self.size[1])
        return across.ravel(), down.ravel()

    def share(self, shapes: list[Any], within: list[Any] | None = None) -> tuple[float, float]:
        """Count which part of the quilt some shapes cover where they lie within others: that part, and how much these are."""
        inside = self._counted([self.rectangle] if within is None else within)
        return float((self._counted(shapes) & inside).mean()), float(inside.mean())

    def _counted(self, shapes: list[Any]) -> NDArray[np.bool_]:
        across, down = self._grid
        found = np.zeros(len(across), dtype=bool)
        for shape in shapes:
            left, top, right, bottom = shapely.bounds(shape)
            near = np.flatnonzero((across >= left) & (across <= right) & (down >= top) & (down <= bottom))
            shapely.prepare(shape)
            found[near] |= shapely.contains_xy(shape, across[near], down[near])
        return found

    @cached_property
    def rectangle(self) -> Any:
        """The whole quilt."""
        return shapely.box(0, 0, *self.size)


def quilt_of(reading: dict[str, Any], blocks: Any, between: Any) -> Quilt:
    """Lay out the blocks where the photograph shows them, each with the patches of its kind turned as it lies."""
    on_point = reading["setting"] == "on point"
    whole = shapely.box(0, 0, *reading["size"])
    fabric_at = {
        tuple(spot): number for number, each in enumerate(reading["fabrics"] or []) for spot in each["patches"]
    }
    fabric_between = {
        tuple(spot): number for number, each in enumerate(reading["fabrics"] or []) for spot in each["between"]
    }
    shapes, patches = {}, []
    for halfway, listed, corners in ((False, reading["blocks"], blocks), (True, reading["between"], between)):
        for each in listed or []:
            at = (each["row"], each["column"])
            if at[0] >= len(corners) or at[1] >= len(corners[at[0]]):
                continue
            quad = np.array(corners[at[0]][at[1]])
            if not np.isfinite(quad).all():
                continue
            called = (2 * at[0] + halfway, at[1]) if on_point else at
            shapes[called] = shapely.Polygon(quad).buffer(0).intersection(whole)
            if each["kind"] is None:
                continue
            place = np.asarray(np.linalg.inv(_projection(quad, 1, 1)), dtype=np.float64)
            for number, patch in enumerate(reading["kinds"][each["kind"]]["patches"]):
                points: Floats = np.array(patch["outline"], dtype=np.float64)
                if each["mirrored"]:
                    points[:, 0] = 1 - points[:, 0]
                for _ in range(each["turn"] // 90):
                    points = np.asarray(np.c_[1 - points[:, 1], points[:, 0]], dtype=np.float64)
                fabric = (fabric_between if halfway else fabric_at).get((*at, number), -1)
                patches.append(
                    (called, fabric, shapely.Polygon(_through(place, points)).buffer(0).intersection(whole))
                )
    return Quilt(tuple(reading["size"]), shapes, patches)


def verdicts(quilt: Quilt, spots: list[Spot], weak: set[int]) -> dict[tuple[int, int], str]:
    """Say of each block whether it is sound, doubtful or lost, as the page tells that it judges."""
    front = [each for each in spots if each.damage and not each.behind and len(each.outline) > 2]
    found = {}
    for at, block in quilt.blocks.items():
        gone, verdict = [], "sound"
        for each in front:
            much = each.shape.intersection(block).area
            if much and each.step == 4 and each.kind not in LOOK:
                gone.append(each.shape)
            # What covers less than 2 in 1000 of a block is only drawn over its seam, unless most of it lies there.
            if not (much > 0.002 * block.area or much > 0.5 * each.shape.area):
                continue
            grave = each.step >= 3 if each.kind in CLOTH else each.step == 4
            if grave or each.kind in ("tendered cloth", *ALIVE):
                verdict = "doubtful"
        if any(where == at and fabric in weak for where, fabric, _ in quilt.patches):
            verdict = "doubtful"
        if gone and shapely.union_all(gone).intersection(block).area >= 0.1 * block.area:
            verdict = "lost"
        found[at] = verdict
    return found


def called_at(at: tuple[int, int]) -> str:
    """Give its row and column as a person counts them."""
    return f"row {at[0] + 1}, column {at[1] + 1}"
