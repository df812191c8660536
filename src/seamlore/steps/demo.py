"""The whole job, once: the demo quilt looked at, its sums explained, drafted, planned and printed."""

from __future__ import annotations

import datetime
import json
import tomllib
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from dataclasses import dataclass
from importlib.resources import files
from pathlib import Path
from typing import Any

from seamlore.draft.catalogue import find
from seamlore.draft.text.quilt_file import write_quilt
from seamlore.drawing.picture import Picture
from seamlore.drawing.svg import to_svg
from seamlore.errors import SeamloreError
from seamlore.files import Written, write
from seamlore.pictures.blocks import block_picture
from seamlore.pictures.palette import kind_cloths, quilt_cloths
from seamlore.pictures.quilts import quilt_picture
from seamlore.steps import look as look_step
from seamlore.steps import make as make_step
from seamlore.steps.booklet import booklet_pdf
from seamlore.steps.study.inputs import Inputs
from seamlore.steps.study.job import Job, Progress
from seamlore.steps.study.own_words import own_words
from seamlore.steps.study.sections import About, Choice, Corrections, Keeping, LabelWords, Making
from seamlore.steps.study.tape import Tape
from seamlore.steps.tell import label_pdf, study_pdf, study_record
from seamlore.wording import speaking

_DATA = files("seamlore") / "demo"


@dataclass(frozen=True, slots=True, eq=False)
class Shown:
    """What the demo made.

    Parameters
    ----------
    job : Job
        Everything that was found.
    folder : Path
        Where the results are.
    files : tuple of (str, str)
        Name of each, and what it is.
    """

    job: Job
    folder: Path
    files: tuple[tuple[str, str], ...]


def demo_inputs() -> Inputs:
    """Give the demo study: its photograph, and what its owner measured and knows."""
    told: dict[str, Any] = tomllib.loads((_DATA / "demo.toml").read_text(encoding="utf-8"))
    tape, making, label = told["tape"], told["make"], told["label"]
    corners = told["quilt"].get("corners")
    return Inputs(
        photo=(_DATA / "demo.jpg").read_bytes(),
        photo_name="demo.jpg",
        about=About(name=told["quilt"]["name"], story=" ".join(told["quilt"]["story"].split())),
        corrections=Corrections(corners=_corners(corners) if corners else None),
        tape=Tape(
            width=tape["width"],
            height=tape["height"],
            block=tape["block"],
            sashing=tape["sashing"],
            rows=tape["rows"],
            columns=tape["columns"],
        ),
        choice=Choice(fabrics=making["fabrics"]),
        making=Making(
            fabric_width=making["fabric_width"],
            backing_width=making["backing_width"],
            seam_allowance=making["seam_allowance"],
            binding_width=making["binding_strip"],
        ),
        label=LabelWords(maker=label["maker"], place=label["place"], made=label["made"], now_with=""),
        keeping=Keeping(names="none living"),
    )


def _corners(text: str) -> Any:
    return tuple(tuple(float(number) for number in pair.split(",")) for pair in text.split())


def demo(out: Path, *, today: datetime.date, progress: Progress | None = None) -> Shown:
    """Do the whole job on the demo quilt and put the results into a folder, all of them or none.

    Parameters
    ----------
    out : Path
        The folder; made when it is not there.
    today : date
        Printed on the sheets.
    progress : callable, optional
        Told what is being done and how far it is.

    Raises
    ------
    SeamloreError
        When the folder cannot be written.
    """
    with _folder(out):
        return _made(out, today=today, tell=progress or (lambda stage, part: None))


def _made(out: Path, *, today: datetime.date, tell: Progress) -> Shown:
    job = Job(demo_inputs(), progress=lambda stage, part: tell(stage, 0.6 * part))
    results: dict[str, tuple[bytes, str]] = {}

    def keep(name: str, data: bytes | str, says: str) -> None:
        results[name] = (data.encode() if isinstance(data, str) else data, says)

    def svg(drawn: Picture) -> str:
        with speaking(keep=own_words(job)):
            return to_svg(drawn)

    reading = job.reading
    tell("Drafting", 0.65)
    quilt = job.quilt
    keep("reading.json", json.dumps(look_step.as_record(reading), indent=1), "what was measured on the photograph")
    keep("quilt.draft.txt", write_quilt(quilt, find_block=find), "the draft as text, to read and change by hand")
    cloths, single = job.cloths
    paints = quilt_cloths(quilt, cloths)
    for number, kind in enumerate(quilt.kinds, start=1):
        drawn_block = block_picture(kind.block, 90, kind_cloths(quilt, kind, paints), letters=True)
        keep(f"block{number if number > 1 else ''}.svg", svg(drawn_block), f"the block {kind.block.name}")
    drawn = quilt_picture(quilt, 180, 220, cloths, patch_cloths=single)
    keep("quilt.svg", svg(drawn), "the quilt as drafted, uncropped, in the colors of the photograph")
    tell("Reckoning fabric", 0.72)
    made = job.plan
    keep("plan.json", json.dumps(make_step.as_record(made), indent=1), "what it takes to make it")
    tell("Printing the study sheet", 0.78)
    keep("study-sheet.pdf", study_pdf(job, printed=today), "the study sheet")
    tell("Printing the pattern booklet", 0.86)
    keep("pattern.pdf", booklet_pdf(job, made, printed=today), "the pattern booklet, templates at true scale")
    tell("Printing the label", 0.95)
    keep("label.pdf", label_pdf(job, printed=today), "the label to sew on the back")
    keep("study.json", study_record(job), "all that is known of it, for keeping and for other programs")
    write([Written(out / name, data, says) for name, (data, says) in results.items()])
    return Shown(job, out, tuple((name, says) for name, (_, says) in results.items()))


@contextmanager
def _folder(out: Path) -> Iterator[None]:
    """Make the folder before the work is begun, and take it away again when nothing is put into it."""
    new = not out.exists()
    try:
        out.mkdir(parents=True, exist_ok=True)
    except OSError as fault:
        reason = (fault.strerror or "it cannot be made").lower()
        raise SeamloreError(
            f"the folder {out}", f"results cannot be put there: {reason}", "choose another with --out"
        ) from None
    try:
        yield
    except BaseException:
        if new:
            with suppress(OSError):
                out.rmdir()
        raise
