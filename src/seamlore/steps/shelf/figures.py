"""What one quilt comes to in figures, worked out once and kept on its card: what lists, comparisons and tables show."""

from __future__ import annotations

import hashlib
from collections.abc import Mapping
from contextlib import suppress
from statistics import median
from typing import Literal

import msgspec
import numpy as np

from seamlore.color.lab import srgb_to_lab
from seamlore.draft.catalogue import find, names
from seamlore.draft.quilt import Quilt
from seamlore.draft.setting.setting import OnPoint, Straight, Strips
from seamlore.draft.text.quilt_file import write_quilt
from seamlore.errors import SeamloreError
from seamlore.lengths import in_unit
from seamlore.photo.reading import Reading
from seamlore.shelf.change import Section
from seamlore.steps.assess.assess import assess, holding
from seamlore.steps.assess.words import held_words
from seamlore.steps.study.job import Job
from seamlore.steps.study.lead import study_lead

# The sections that figures rest on: while these stay as they are, so do the figures.
RESTS_ON = (
    "about",
    "photographs",
    "corrections",
    "tape",
    "choice",
    "fabrics",
    "evidence",
    "making",
    "condition",
    "notes",
)
# A fabric that stands once or twice says nothing of how often fabrics come back.
OFTEN = 3


class Years(msgspec.Struct, frozen=True, kw_only=True):
    """When one part was made: the middle year, the years of 9 chances in 10, the same as EDTF, and the reason."""

    part: str
    median: int
    first: int
    last: int
    edtf: str
    sentence: str
    known: bool


class Figures(msgspec.Struct, frozen=True, kw_only=True):
    """What is known of one quilt in figures; None where it is not known. Lengths in inches.

    Attributes
    ----------
    rests_on
        What it was worked out from, so that it is known when it no longer holds.
    blocks
        What its blocks are called, the commonest first; those without a name in the catalogue are left out.
    counted
        How many blocks there are of each name, in the same order.
    setting
        "straight", "on point", "offset", "strips", "no block grid".
    size
        Width and height as drafted.
    measured
        Width and height by tape.
    block, sashing
        Finished.
    border
        All borders of the left side together.
    fabrics, often
        How many fabrics were told apart on the photograph, and how many of these stand in three patches or more.
    commonest
        The largest part of all patches that one fabric takes, 0 to 1.
    contrast
        How far the middle of its light fabrics lies over that of its dark ones, in L* of CIELAB.
    turned, differing
        What part of the blocks read lies otherwise than most, and is pieced or colored differently; 0 to 1.
    drift
        How far its blocks lie from an even grid, root mean square.
    cut
        Whether its edge has cut blocks off.
    condition
        Its state in a word or two; empty where nothing was noted.
    held
        How it is held, in sentences.
    headline, years
        When it was made, as far as the evidence goes.
    lead
        What it is, in a sentence.
    noticed
        What is worth noticing in it, beside the shelf: key and sentence.
    draft, cloths
        Its draft file, and the colors of its places, so that it can be drawn without being read again.
    """

    rests_on: str
    blocks: tuple[str, ...] = ()
    counted: tuple[int, ...] = ()
    setting: Literal["straight", "on point", "offset", "strips", "no block grid", ""] = ""
    rows: int | None = None
    columns: int | None = None
    size: tuple[float, float] | None = None
    measured: tuple[float, float] | None = None
    block: tuple[float, float] | None = None
    sashing: tuple[float, float] | None = None
    border: float | None = None
    fabrics: int | None = None
    often: int | None = None
    commonest: float | None = None
    contrast: float | None = None
    turned: float | None = None
    differing: float | None = None
    drift: float | None = None
    cut: bool | None = None
    condition: str = ""
    held: tuple[str, ...] = ()
    headline: str = ""
    years: tuple[Years, ...] = ()
    lead: str = ""
    noticed: tuple[tuple[str, str], ...] = ()
    draft: str = ""
    cloths: dict[str, str] = {}


def rests_on(sections: Mapping[str, Section]) -> str:
    """Say in a word what figures of a study rest on.

    Examples
    --------
    >>> one = {"tape": Section("tape", 4, "{}"), "label": Section("label", 1, "{}")}
    >>> rests_on(one) == rests_on(one | {"label": Section("label", 2, "[]")})
    True
    >>> rests_on(one) == rests_on({})
    False
    """
    found = [(name, sections[name].value) for name in RESTS_ON if name in sections and sections[name].value]
    return hashlib.sha256(repr(found).encode()).hexdigest()[:16]


def figures_of(job: Job, rests: str) -> Figures:
    """Work out the figures of a study; what cannot be worked out is left unknown.

    Parameters
    ----------
    job : Job
    rests : str
        What `rests_on` says of its sections.

    Examples
    --------
    >>> from seamlore.steps.study.inputs import Inputs
    >>> from seamlore.steps.study.sections import Choice, Tape
    >>> tape = Tape(width="70 1/2 in", height="90 in", block="8 in", sashing="3 in", columns=7, rows=9)
    >>> found = figures_of(Job(Inputs(tape=tape, choice=Choice(block="shoo fly"))), "")
    >>> found.blocks, found.block, found.sashing, found.measured, found.drift
    (('Shoo Fly',), (8.0, 8.0), (3.0, 3.0), (70.5, 90.0), None)
    >>> figures_of(Job(Inputs()), "").blocks
    ()
    """
    found: dict[str, object] = {"rests_on": rests}
    reading = job.reading if job.inputs.photo is not None else None
    if reading is not None:
        found |= _seen(reading)
    # Where too little is known for a draft, what was seen and measured stands alone.
    with suppress(SeamloreError):
        found |= _drafted(job, job.quilt)
    size = job.size
    found["measured"] = tuple(float(side.inches) for side in size) if size else None
    with suppress(SeamloreError):
        found["cut"] = bool(job.chosen.cut) if job.adjustment.sums else None
    if reading is not None:
        with suppress(SeamloreError):
            found |= _assessed(job)
    if job.inputs.evidence.text.strip():
        # The page on dates says what is wrong with the evidence.
        with suppress(SeamloreError):
            found |= _dated(job)
    return Figures(**found)  # type: ignore[arg-type]


def _drafted(job: Job, quilt: Quilt) -> dict[str, object]:
    known = {name.casefold() for name in names()}
    counts: dict[str, int] = {}
    for name, count in quilt.counts.items():
        block = quilt.kind(name).block
        if block.name.casefold() in known:
            counts[block.name] = counts.get(block.name, 0) + count
    commonest = sorted(counts, key=lambda name: -counts[name])
    setting = quilt.setting
    left = [border.sides[3].width.inches for border in quilt.borders]
    return {
        "blocks": tuple(commonest),
        "counted": tuple(counts[name] for name in commonest),
        "setting": "straight"
        if isinstance(setting, Straight)
        else "on point"
        if isinstance(setting, OnPoint)
        else "strips"
        if isinstance(setting, Strips)
        else "offset",
        "rows": quilt.rows,
        "columns": quilt.columns,
        "size": tuple(float(side.inches) for side in quilt.finished_size),
        "block": (float(quilt.block_width.inches), float(quilt.block_height.inches)),
        "sashing": tuple(float(gap.inches) for gap in quilt.gaps),
        "border": float(sum(left)),
        "lead": study_lead(job, quilt, told=False),
        "draft": write_quilt(quilt, find_block=find),
        "cloths": dict(job.cloths[0]),
    }


def _lightness(color: str) -> float:
    return float(srgb_to_lab(np.array([int(color[at : at + 2], 16) / 255 for at in (1, 3, 5)]))[0])


def _seen(reading: Reading) -> dict[str, object]:
    found: dict[str, object] = {"setting": "no block grid"} if reading.setting == "none" else {}
    if reading.fabrics:
        patches = [len(each.patches) for each in reading.fabrics]
        found |= {
            "fabrics": len(patches),
            "often": sum(count >= OFTEN for count in patches),
            "commonest": round(max(patches) / sum(patches), 3),
        }
        lights = {
            value: [_lightness(each.srgb) for each in reading.fabrics if each.value == value]
            for value in ("light", "dark")
        }
        if all(lights.values()):
            found["contrast"] = round(median(lights["light"]) - median(lights["dark"]), 1)
    blocks = [each for each in reading.blocks or () if each.kind is not None]
    if blocks:
        found["turned"] = round(sum(bool(each.turn) or each.mirrored for each in blocks) / len(blocks), 3)
        found["differing"] = round(sum(each.differs for each in blocks) / len(blocks), 3)
        if reading.unit != "width":
            shifts = np.array([each.shift for each in blocks])
            per = float(in_unit(1, reading.unit).inches) if reading.unit != "in" else 1.0  # type: ignore[arg-type]
            found["drift"] = round(float(np.sqrt((shifts**2).sum(axis=1).mean())) * per, 3)
    return found


def _assessed(job: Job) -> dict[str, object]:
    found = assess(job)
    held = holding(job)
    told: dict[str, object] = {"held": tuple(held_words(job, held)) if held else ()}
    if found.damage or found.tests:
        verdicts = [
            verdict for verdict in ("lost", "doubtful") if found.survey.blocks and found.survey.count(verdict)
        ]
        # The gravest first: a list is filtered by what needs care.
        weak = ["weak cloth"] if found.suspects else []
        told["condition"] = (weak + [f"{verdict} blocks" for verdict in verdicts] + ["sound as far as noted"])[0]
    return told


def _dated(job: Job) -> dict[str, object]:
    dating = job.dating
    return {
        "headline": dating.headline,
        "years": tuple(
            Years(
                part=each.part,
                median=each.median,
                first=each.most[0],
                last=each.most[1],
                edtf=each.edtf,
                sentence=each.sentence,
                known=each.known,
            )
            for each in dating.answers
        ),
    }
