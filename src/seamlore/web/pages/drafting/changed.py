"""What of the draft's page an edit changed: what the page shows already is known by fingerprints, and only the rest is sent."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache
from typing import Any

from markupsafe import Markup
from starlette.requests import Request

from seamlore.steps.draft.cells_shown import CellShown, RowShown
from seamlore.steps.draft.stage import AsFound, Stage
from seamlore.web.rendering import drawn as draw
from seamlore.web.rendering import fingerprint

# With an edit the page sends what it shows already: "sweep-room=0f3a... cells-0-7=..."; that is not sent again.
SHOWN_ALREADY = "x-shown-already"
# The drawings that were shown lately, by their fingerprints, and where the photograph lay on them.
_STAMPS: dict[str, _Drawn] = {}
_SHOWN_LATELY = 64
# Rows of cells that were shown lately, by their fingerprints.
_ROWS: dict[str, Row] = {}
_ROWS_LATELY = 4096
_STAMP = re.compile(r'<g id="(stage-[0-9a-f]{16})">(.*)', re.S)
# Elements that stand in a line of their own, as `drawing.svg` writes them; the page counts them the same way.
_ALONE = ("<path ", "<text ")
_OTHERS = 40
_USE = re.compile(r'<use href="#([^"]+)" (.*)/>')


@dataclass(frozen=True, slots=True)
class _Drawn:
    """A drawing of a draft as it was sent: where the photograph lies on it, its lines, and what is drawn once in it."""

    found: AsFound | None
    lines: tuple[str, ...]
    stamps: Mapping[str, str]


def there_already(request: Request) -> dict[str, str]:
    """What the page that asks shows already: the fingerprints of its parts, by their ids."""
    parts = (each.partition("=") for each in request.headers.get(SHOWN_ALREADY, "").split())
    return {name: print_ for name, _, print_ in parts}


def changes(given: Mapping[str, Any], there: Mapping[str, str]) -> dict[str, Any]:
    """Tell which parts of the draft the page shows otherwise; its rows are sent anew where they are not the same ones."""
    rows = given["cells"]
    same = {row.id for row in rows} == {name for name in there if name.startswith("cells-") and name != "cells-panel"}
    return {
        "borders_changed": there.get("more-borders") != given["borders_print"],
        "panel_changed": there.get("cells-panel") != given["panel_print"],
        "kinds_changed": there.get("kinds") != given["kinds_print"],
        "bench_changed": there.get("block-bench") != given["bench_print"],
        "stage_changed": there.get("sweep-room") != given["stage_print"],
        "stage_patch": _patch(there.get("sweep-room", ""), given["stage_print"]),
        **(_rows_changed(rows, there, given["drawn_as"]) if same else {"rows_changed": None, "cells_changed": []}),
    }


def _rows_changed(rows: Sequence[Row], there: Mapping[str, str], drawn_as: Mapping[str, str]) -> dict[str, Any]:
    """Rows that are to be sent anew, and of those that were shown lately only the cells that differ."""
    whole: list[Row] = []
    single: list[dict[str, Any]] = []
    for row in rows:
        if there[row.id] == row.fingerprint:
            continue
        old = _ROWS.get(there[row.id])
        if old is None:
            whole.append(row)
            continue
        cells = [
            [cell.at, cell.words, cell.kind, cell.lies, drawn_as.get(cell.kind, "")]
            for was, cell in zip(old.cells, row.cells, strict=True)
            if was != cell
        ]
        single.append({"row": row.id, "print": row.fingerprint, "cells": cells})
    return {"rows_changed": whole, "cells_changed": single}


def bench_print(given: Mapping[str, Any]) -> str:
    """The fingerprint of the block's editor and what stands beside it: all but which state of the draft is changed next."""
    data = {key: value for key, value in given["data"].items() if key not in ("base", "said")}
    here, choice = given["kind_open"], given["choice"]
    return fingerprint(
        data,
        given["quilt"].counts.get(here.name),
        len(given["quilt"].kinds),
        given["facts"].symmetry,
        [each["words"] for each in given["matches"]],
        here.block.notes,
        given["swatches"]["key"],
        given["found_too"] and (choice.block, choice.draft is None),
        given["slips"],
        given["typed"],
    )


@dataclass(frozen=True, slots=True)
class Row:
    """One row of the cells that can be marked."""

    id: str
    number: int
    cells: Sequence[CellShown]
    fingerprint: str


@lru_cache(maxsize=1024)
def row_of(shown: RowShown) -> Row:
    """A row as it was before where its cells are the same: an edit changes few."""
    # A row of another length is another row; how its kinds are drawn, the page is told beside it.
    name = f"cells-{shown.number}-{len(shown.cells)}{'t' * shown.tilted}"
    made = Row(name, shown.number, shown.cells, fingerprint(shown.cells))
    _ROWS[made.fingerprint] = made
    while len(_ROWS) > _ROWS_LATELY:
        _ROWS.pop(next(iter(_ROWS)), None)
    return made


def stage_shown(drawn: Stage) -> dict[str, Any]:
    """Give the draft's drawing as a page shows it."""
    svg = draw(drawn.picture, "stage")
    known = fingerprint(svg, drawn.found)
    lines = svg.split("\n")
    once = next((line for line in lines if line.startswith("<defs>")), "")
    stamps = (_STAMP.match(each) for each in once.removeprefix("<defs>").split("</g>"))
    _STAMPS[known] = _Drawn(
        drawn.found,
        tuple(line for line in lines if line is not once),
        {each[1]: each[2] for each in stamps if each},
    )
    while len(_STAMPS) > _SHOWN_LATELY:
        _STAMPS.pop(next(iter(_STAMPS)), None)
    return {"stage": drawn, "stage_svg": svg, "stage_print": known}


def _patch(before: str, now: str) -> dict[str, Any] | None:
    """Give what makes one drawing that was shown lately into another: blocks that go by another drawing now, these, and
    single lines and words that differ.

    None where they differ otherwise; then the whole is sent.
    """
    if before not in _STAMPS or now not in _STAMPS:
        return None
    old, new = _STAMPS[before], _STAMPS[now]
    if old.found != new.found or len(old.lines) != len(new.lines):
        return None
    uses: list[tuple[int, str]] = []
    others: list[tuple[int, str]] = []
    used = other = -1
    for one, two in zip(old.lines, new.lines, strict=True):
        is_other = two.startswith(_ALONE)
        used, other = used + two.startswith("<use "), other + is_other
        if one == two or two.startswith("<desc "):
            continue
        was, is_now = _USE.fullmatch(one), _USE.fullmatch(two)
        if was and is_now and was[2] == is_now[2]:
            uses.append((used, is_now[1]))
        elif is_other and one.startswith(_ALONE):
            others.append((other, two))
        else:
            return None
    # Where much of it differs the whole is hardly more to send.
    if len(others) > _OTHERS:
        return None
    told = next((line for line in new.lines if line.startswith("<desc ")), "")
    fresh = "".join(f'<g id="{name}">{shapes}</g>' for name, shapes in new.stamps.items() if name not in old.stamps)
    alone = {"others": [at for at, _ in others], "lines": Markup("".join(line for _, line in others))}
    return alone | {"uses": uses, "desc": Markup(told), "defs": Markup(fresh), "print": now}
