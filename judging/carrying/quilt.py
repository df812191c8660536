"""Carry a photograph from the first note to the recorded decision, through the pages, by what their forms send.

What is noted, typed and decided is a scenario of our own, sizes by tape too; only the photographs are of real quilts.
"""

from __future__ import annotations

import html
import json
import math
import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any

import msgspec
import numpy as np

from seamlore.steps.assess.assess import holding
from seamlore.steps.decide.decide import decide
from seamlore.web.pages.studies import begin_study

Points = Sequence[Sequence[float]]
# Where notes lie, in parts of the quilt as its four corners enclose it.
NOTES: tuple[tuple[str, Points, dict[str, str]], ...] = (
    ("stain", [(0.30 + 0.03 * math.cos(t / 4.8), 0.62 + 0.035 * math.sin(t / 4.8)) for t in range(30)], {"severity": "3", "says": "tide line"}),
    ("hole", [(0.12, 0.10), (0.20, 0.11), (0.19, 0.19), (0.13, 0.18)], {"severity": "4"}),
    ("tear", [(0.52, 0.005), (0.56, 0.005), (0.545, 0.05)], {"severity": "3", "of": "binding"}),
    ("tear", [(0.40, 0.35), (0.47, 0.36), (0.46, 0.45), (0.41, 0.43)], {"severity": "3"}),
    ("tendered cloth", [(0.70, 0.70), (0.80, 0.70), (0.80, 0.80), (0.70, 0.81)], {"severity": "3"}),
    ("open seam", [(0.60, 0.25), (0.66, 0.25), (0.66, 0.27), (0.60, 0.27)], {"severity": "3"}),
    ("loss", [(0.955, 0.40), (0.999, 0.40), (0.999, 0.55), (0.955, 0.54)], {"severity": "4"}),
    ("abrasion", [(0.05, 0.85), (0.12, 0.84), (0.11, 0.90)], {"severity": "2"}),
    ("inscription", [(0.85, 0.15), (0.90, 0.15), (0.90, 0.18), (0.85, 0.18)], {"says": "M[a]ry 187[1]"}),
    ("hand test", [(0.75, 0.75)], {"result": "weak"}),
    ("dye test", [(0.5, 0.5)], {"result": "no color"}),
)  # fmt: skip
_BEHIND: tuple[tuple[str, Points, dict[str, str]], ...] = (
    ("hole", [(0.2, 0.3), (0.3, 0.31), (0.29, 0.4), (0.21, 0.38)], {"severity": "4"}),
    ("stain", [(0.6, 0.6), (0.7, 0.6), (0.7, 0.72), (0.6, 0.7)], {"severity": "3"}),
)
DECIDED = {
    "allowance": "1/8", "wished": "50 x 60", "least": "1", "most": "3", "new_sashing": "2", "new_border": "3", "price": "12.50",
    "box": "30 x 20", "folds_across": "18; 37", "folds_down": "22; 45", "loose": "8 1/2 x 8 3/8\n8 1/4 x 8 1/2\n8 5/8 x 8 1/2",
    "strip_cut": "1 1/2", "strips": "3", "strips_sewn": "3 3/8", "patches": "2 1/2 x 2 1/2, 40\n3 x 6", "asked": "her granddaughter",
    "words": "It stays as it is until the back was seen.", "decided_on": "2026-11-30", "decided_by": "the owner", "way": "reset",
}  # fmt: skip


@dataclass(frozen=True, kw_only=True)
class Quilt:
    """A photograph to carry, and what its owner says of it.

    Parameters
    ----------
    name : str
    photograph, back : bytes
        The front; the back, empty where there is none.
    corners : four points, in pixels
        Of the quilt on the photograph; empty to take those that are found.
    tape : mapping
        As the page Look asks for it.
    condition, decided : mapping
        What differs from the scenario.
    notes : sequence of (kind, corners, what is said)
        On the front, in parts of the quilt.
    block : str
        The block to begin a draft with where none was read: by its name, or "plain".
    """

    name: str
    photograph: bytes
    back: bytes = b""
    corners: Points = ()
    tape: Mapping[str, str] = field(default_factory=dict)
    condition: Mapping[str, str] = field(default_factory=dict)
    decided: Mapping[str, str] = field(default_factory=dict)
    notes: Sequence[tuple[str, Points, dict[str, str]]] = NOTES
    block: str = ""


@dataclass(frozen=True)
class Carried:
    """What was put in, and what the pages said of it, all of it plain text, numbers and lists.

    Parameters
    ----------
    number : int
        Of its study.
    reading, condition, notes : dict
        As `seamlore look --json` prints it, as the page Assess saves them.
    photographs : list of dict
    typed : dict of str to str
        All that was typed on Assess and Decide.
    pages : dict of str to list of str
        What stands on a page, line by line; a row of a table is one line.
    files : dict of str to str
        What a page saves.
    blocks, between : list of lists of four points
        Where the photograph shows the blocks of the whole rows, and on point of the rows between, in the quilt's unit.
    laid : dict of str to lists
        Where the pages say that patches and ties lie: "patches" (of, width, height, places), "ties" and "missing" points;
        "cut": what the edge has cut off at a side, as the sums of the page Look have it.
    colors : list of three floats, two of them
        The two places of one cloth that were compared, sRGB 0 to 1: the middle of 13 x 13 pixels round each.
    """

    number: int
    reading: dict[str, Any]
    condition: dict[str, Any]
    notes: dict[str, Any]
    photographs: list[dict[str, Any]]
    typed: dict[str, str]
    pages: dict[str, list[str]]
    files: dict[str, str]
    blocks: Any
    between: Any
    laid: dict[str, Any]
    colors: Any


def carry(client: Any, desk: Any, quilt: Quilt) -> Carried:
    """Carry one quilt over a table that answers a client as a browser would be answered.

    Raises
    ------
    RuntimeError
        When a page refuses what is sent.
    """
    number = begin_study(desk, quilt.photograph, f"{quilt.name}.jpg")
    post = _posting(client, desk, number)
    if quilt.corners:
        post("/look/corrections", "corrections", corners=json.dumps(quilt.corners))
    if quilt.tape:
        post("/look/tape", "tape", **quilt.tape)
    if quilt.block:
        post("/draft/begin", "choice", name=quilt.block)
    return note_down(client, desk, number, quilt)


def _posting(client: Any, desk: Any, number: int) -> Any:
    base = f"/study/{number}"

    def post(path: str, section: str, files: Any = None, **given: str) -> None:
        data = {"base": str(desk.study(number).revisions[section]), **given}
        answer = client.post(base + path, data=data, files=files, headers={"hx-request": "true"})
        if answer.status_code >= 400:
            raise RuntimeError(f"{path}: {answer.status_code} for {given}")

    return post


def note_down(client: Any, desk: Any, number: int, quilt: Quilt) -> Carried:
    """Note, type and decide on the pages of a study whose photograph was read, and give what they say then.

    Raises
    ------
    RuntimeError
        When a page refuses what is sent.
    """
    base, post = f"/study/{number}", _posting(client, desk, number)
    reading = desk.study(number).job.reading
    front = desk.study(number).job.inputs.photographs.front
    condition = {
        "object": "quilt", "ties": "none", "lines": "blocks", "filling": "needle-punched cotton", "edge_asked": "yes", "edge_holds": "yes",
        "examined_by": "the owner", "examined_on": "2026-11-30", "light": "daylight, flat", **quilt.condition,
    }  # fmt: skip
    post("/assess/condition", "condition", **condition)

    def note(of: str, corners: Points, kind: str, spot: Points, said: Mapping[str, str]) -> None:
        outline = [[round(part, 1) for part in _between(corners, at)] for at in spot]
        post("/assess/note", "notes", photograph=of, kind=kind, outline=json.dumps(outline), **said)

    for kind, spot, said in quilt.notes:
        note(front.sha, reading.corners, kind, spot, said)
    if quilt.back:
        post(
            "/assess/photograph",
            "photographs",
            files={"photograph": ("back.jpg", quilt.back)},
            shows="back",
            taken="2026-11-29",
        )
        laid = next(each for each in desk.study(number).job.inputs.photographs.photographs if each.shows == "back")
        wide, high = laid.size
        corners = [[20, 15], [wide - 30, 25], [wide - 18, high - 40], [35, high - 22]]
        post(
            "/assess/photograph/change",
            "photographs",
            photograph=laid.sha,
            shows="back",
            side="back",
            taken="2026-11-29",
            corners=json.dumps(corners),
        )
        for kind, spot, said in _BEHIND:
            note(laid.sha, corners, kind, spot, said)
    spots = [[round(part) for part in _between(reading.corners, at)] for at in ((0.33, 0.5), (0.36, 0.5))]
    post("/assess/fading", "condition", photograph=front.sha, spots=json.dumps(spots), of="the middle")
    decided = {**DECIDED, **quilt.decided}
    post("/decide", "decision", **decided)
    post("/decide/fabric", "decision", name="brown sprig", color="#7a5034", print="small print")
    post("/decide/thing", "decision", name="piano stool", width="15", height="15", faces="1")
    post("/decide", "decision", **{"stage-corner": "one layer of old cotton; no quilt inside"})
    job = desk.study(number).job

    def saved(path: str) -> str:
        answer = client.get(base + path)
        return answer.text if answer.status_code == 200 else ""

    return Carried(
        number,
        json.loads(msgspec.json.encode(job.reading)),
        json.loads(saved("/assess/condition.json")),
        json.loads(saved("/assess/notes.json")),
        json.loads(msgspec.json.encode(job.inputs.photographs.photographs)),
        {**condition, **decided},
        {page: lines_of(saved(f"/{page}")) for page in ("assess", "decide")},
        {
            path: saved(f"/decide/{path}")
            for path in (
                "draft/0.txt",
                "plan/0.txt",
                "plan/1.txt",
                "reset.txt",
                "stash.txt",
                "cloth.svg",
                "backing.svg",
            )
        }
        | {"draft": saved("/draft/quilt.draft.txt"), "make": "\n".join(lines_of(saved("/make")))},
        job.look.cells_quilt.tolist(),
        job.look.between_quilt.tolist(),
        _laid(job),
        [np.median(job.photo.pixels[y - 6 : y + 7, x - 6 : x + 7].reshape(-1, 3), axis=0) / 255 for x, y in spots],
    )


def _laid(job: Any) -> dict[str, Any]:
    basis, held = decide(job), holding(job)
    patches = [(each.of, float(each.width.inches), float(each.height.inches), each.places) for each in basis.patches]
    points = [[], []] if held is None else [held.points.tolist(), held.missing.tolist()]
    cut = (
        {side: float(gone.inches) for side, gone in job.chosen.cut if gone.inches > 0} if job.adjustment.sums else {}
    )
    return {"patches": patches, "ties": points[0], "missing": points[1], "cut": cut}


def lines_of(page: str) -> list[str]:
    """Give what stands on a page, line by line; a row of a table is one, its cells parted by " | "."""
    main = page.partition("<main")[2] or page
    # Cautions are the same on every quilt's page; they hold no details of their own.
    main = re.sub(r'(?s)<details class="[^"]*\bcare\b[^"]*">.*?</details>', " ", main)
    text = re.sub(r"(?s)<(script|style|svg|select|textarea)\b.*?</\1>|<!--.*?-->", " ", main)
    text = re.sub(r"\s+", " ", text)
    text = re.sub(r"</t[hd]>\s*<t[hd][^>]*>", " | ", text)
    text = re.sub(
        r"</?(p|li|ul|ol|tr|h\d|div|section|form|fieldset|details|summary|table|figcaption|figure|dt|dd|label|legend)\b[^>]*>",
        "\n",
        text,
    )
    plain = html.unescape(re.sub(r"<[^>]+>", "", text))
    return [line for each in plain.split("\n") if (line := " ".join(each.split()))]


def _between(corners: Points, at: Sequence[float]) -> list[float]:
    """A place of the quilt in parts of it, in pixels: the projection that takes the unit square to its corners."""
    rows, right = [], []
    for (x, y), (u, v) in zip(((0, 0), (1, 0), (1, 1), (0, 1)), corners, strict=True):
        rows += [[x, y, 1, 0, 0, 0, -u * x, -u * y], [0, 0, 0, x, y, 1, -v * x, -v * y]]
        right += [u, v]
    a, b, c, d, e, f, g, h = np.linalg.solve(np.array(rows, float), np.array(right, float))
    below = g * at[0] + h * at[1] + 1
    return [float((a * at[0] + b * at[1] + c) / below), float((d * at[0] + e * at[1] + f) / below)]
