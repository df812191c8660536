"""The job on one quilt: from what the user put in to everything that follows from it, each step once.

Each step is worked out when it is asked for and kept as long as what it rests on stays the same. The command line
uses a job once; the table in the browser keeps what does not change between two edits.
"""

from __future__ import annotations

import datetime
from collections.abc import Callable, Hashable
from dataclasses import replace
from functools import cached_property
from typing import TYPE_CHECKING

import msgspec

from seamlore.draft.block import Block
from seamlore.draft.catalogue import find
from seamlore.draft.cells import with_fabrics
from seamlore.draft.quilt import Quilt
from seamlore.draft.text.notation import read_block
from seamlore.draft.text.quilt_file import read_quilt
from seamlore.draft.where import Where, border_keys
from seamlore.errors import MeasureError, PhotoError, SeamloreError
from seamlore.lengths import Length, Unit, length
from seamlore.making.plan import Plan
from seamlore.steps.study.chosen import chosen_cloths
from seamlore.steps.study.inputs import Inputs
from seamlore.steps.study.memo import Memo
from seamlore.steps.study.named import named
from seamlore.steps.study.planned import plan_of
from seamlore.steps.study.shown import in_unit_of
from seamlore.steps.study.tape import check_counts, tape_lines
from seamlore.study.adjustment import Adjustment, Explanation, adjust
from seamlore.study.drafting import Drafted, as_drafted
from seamlore.study.left_over import left_over_words
from seamlore.study.measured import AXES
from seamlore.study.measurements import measurements
from seamlore.study.next_measure import NextMeasure, next_measure

if TYPE_CHECKING:
    # These open pictures and are slow to import; a job without a photograph does without them.
    from seamlore.draft.naming.naming import Match
    from seamlore.photo.flatten import Flat
    from seamlore.photo.opening import Photo
    from seamlore.photo.read import Look
    from seamlore.photo.reading import Reading
    from seamlore.steps.cutting.of_plan import PlanCut
    from seamlore.steps.date import Dating
    from seamlore.steps.study.her_fabrics import HerFabrics

Progress = Callable[[str, float], None]


class Job:
    """Everything that follows from one quilt's inputs.

    Parameters
    ----------
    inputs : Inputs
    memo : Memo, optional
        Where results are kept between jobs.
    progress : callable, optional
        Told what is being done and how far it is, 0 to 1; may raise to stop the work.

    Examples
    --------
    >>> from seamlore.steps.study.sections import Tape
    >>> job = Job(Inputs(tape=Tape(width="70 1/2 in", block="8 in", sashing="3 in", columns=7, rows=9)))
    >>> [round(length.inches_float, 2) for _, length in job.adjustment.explanations[0].cut][:2]
    [1.75, 1.75]
    >>> Job(Inputs()).reading
    Traceback (most recent call last):
        ...
    seamlore.errors.PhotoError: no photograph: this step reads one; add a photograph of the quilt
    """

    def __init__(self, inputs: Inputs, *, memo: Memo | None = None, progress: Progress | None = None) -> None:
        self.inputs = inputs
        self.memo = memo or Memo()
        self._progress = progress

    @property
    def unit(self) -> Unit:
        """The unit that the study is worked in."""
        return Unit(self.inputs.about.unit)

    # Look

    @cached_property
    def photo(self) -> Photo:
        """The photograph, upright."""
        from seamlore.photo.opening import open_photo  # opens pictures: slow to import

        data = self.inputs.photo
        if data is None:
            raise PhotoError("no photograph", "this step reads one", "add a photograph of the quilt")
        return self.memo.get(("photo", hash(data)), lambda: open_photo(data, name=self.inputs.photo_name))

    @cached_property
    def size(self) -> tuple[Length, Length] | None:
        """Width and height of the quilt by tape, when both were measured."""
        width, height = (self.inputs.tape.overall(axis) for axis in AXES)
        return (self._shown(width), self._shown(height)) if width and height else None

    def _shown(self, given: Length) -> Length:
        return given.shown_in(self.inputs.shown) if self.inputs.shown else given

    @property
    def read_key(self) -> Hashable:
        """What the reading rests on: photograph, size and corrections, and the unit that it speaks in."""
        unit = self.size[0].unit if self.size else None
        return ("look", hash(self.inputs.photo), self.size, unit, repr(self.inputs.corrections))

    @cached_property
    def look_key(self) -> Hashable:
        """What the reading and its fabrics as she has them rest on."""
        said = self.inputs.fabrics
        return (self.read_key, hash(msgspec.json.encode(said))) if said.said else self.read_key

    @cached_property
    def look(self) -> Look:
        """All that was read from the photograph, with the flattened picture; its fabrics as she has them."""
        if not self.inputs.fabrics.said or not self._look_as_read.reading.fabrics:
            return self._look_as_read
        reading = msgspec.structs.replace(self._look_as_read.reading, fabrics=self.her_fabrics.fabrics)
        return replace(self._look_as_read, reading=reading)

    @cached_property
    def her_fabrics(self) -> HerFabrics:
        """The fabrics of the photograph as she has them, and what of that could not be found again."""
        from seamlore.steps.study.her_fabrics import her_fabrics  # opens pictures: slow to import

        return self.memo.get(
            ("her fabrics", self.look_key), lambda: her_fabrics(self._look_as_read, self.inputs.fabrics)
        )

    @cached_property
    def _look_as_read(self) -> Look:
        photo = self.photo
        from seamlore.photo.read import look  # as above

        given = self.inputs.corrections
        return self.memo.get(
            self.read_key,
            lambda: look(
                photo,
                size=self.size,
                corners=given.corners,
                bows=given.bows,
                setting=given.setting,
                rows=given.rows,
                columns=given.columns,
                row_lines=given.row_lines,
                column_lines=given.column_lines,
                divisions=given.divisions,
                progress=self._progress,
                keep=lambda key, work: self.memo.get(("part", hash(self.inputs.photo), key), work),
            ),
        )

    @property
    def reading(self) -> Reading:
        """What the photograph says."""
        return self.look.reading

    @property
    def flat(self) -> Flat:
        """The quilt flattened."""
        return self.look.flat

    def _reading_if_any(self) -> Reading | None:
        return self.reading if self.inputs.photo is not None else None

    # The sums

    @cached_property
    def adjustment(self) -> Adjustment:
        """The measurements and every account of them."""
        check_counts(self.inputs.tape)
        return self.memo.get(("sums", self._sums_key), lambda: self._adjust(self._shown))

    @cached_property
    def _sums_key(self) -> Hashable:
        """What the sums rest on: the reading, where it has a scale, and the tape."""
        # What has no scale still has its block and its turns, which the draft takes.
        look = self.look_key if self.inputs.photo is not None else None
        return (look, repr(self.inputs.tape), self.seam_allowance, self.unit)

    @cached_property
    def _as_taped(self) -> Adjustment:
        """The same sums in the unit that the tape was read in, on whose marks the maker's sizes are looked for."""
        units = {each.value.unit for each in tape_lines(self.inputs.tape, lambda given: given)}
        if self.inputs.shown is None or units <= {self.inputs.shown}:
            return self.adjustment
        return self.memo.get(("sums as taped", self._sums_key), lambda: self._adjust(lambda given: given))

    def _adjust(self, shown: Callable[[Length], Length]) -> Adjustment:
        reading, tape = self._reading_if_any(), self.inputs.tape
        usable = reading is not None and (reading.unit != "width" or tape.overall("across") is not None)
        return adjust(
            measurements(
                tape_lines(tape, shown),
                columns=tape.columns,
                rows=tape.rows,
                reading=reading if usable else None,
                seam_allowance=self.seam_allowance,
                outer_sashing=tape.outer_sashing,
            )
        )

    @cached_property
    def next_measure(self) -> NextMeasure | None:
        """The one measurement that would settle most, if any."""
        return next_measure(self.adjustment)

    @property
    def chosen(self) -> Explanation:
        """The account that is followed: the user's, or the likeliest."""
        wanted = self.inputs.choice.explanation
        found = [each for each in self.adjustment.explanations if each.text == wanted]
        return found[0] if found else self.adjustment.explanations[0]

    # Draft

    @cached_property
    def block(self) -> Block | None:
        """The block that the user named or drew; None leaves it to the photograph."""
        text = self.inputs.choice.block
        if text is None:
            return None
        return read_block(text) if "\n" in text.strip() else find(text)

    @cached_property
    def drafted(self) -> Drafted:
        """The quilt as its maker pieced it, uncropped, and why each size is what it is.

        A block read from the photograph takes its name from the catalogue where a drawing there is the same.
        """
        return self.memo.get(("drafted", self._drafted_key), self._draft)

    @cached_property
    def _drafted_key(self) -> Hashable:
        choice, about = self.inputs.choice, self.inputs.about
        named = (choice.explanation, choice.block, repr(choice.sizes), repr(choice.fabrics), about.name)
        return (self._sums_key, *named)

    def _draft(self) -> Drafted:
        found = self._as_taped
        same = (each for each in found.explanations if each.causes == self.chosen.causes)
        made = as_drafted(
            found,
            reading=self._reading_if_any(),
            explanation=next(same, found.explanations[0]),
            block_drawn=self.block,
            name=self.inputs.about.name,
            told={what: length(text) for what, text in self.inputs.choice.sizes.items() if text.strip()},
        )
        # A quilt made in inches stays one when its sizes are shown in centimeters.
        quilt = in_unit_of(made.quilt, self.inputs.shown) if self.inputs.shown else made.quilt
        return replace(
            made, quilt=with_fabrics(named(quilt, self.names_of, own=self.block), self._fabric_names(quilt))
        )

    def _fabric_names(self, quilt: Quilt) -> dict[str, str]:
        letters = {letter for kind in quilt.kinds for letter in kind.block.places}
        borders = {key for number in range(1, len(quilt.borders) + 1) for key in border_keys(number)}
        keys = {*quilt.places, *letters, "sashing", "cornerstone", "strip", "setting triangle", *borders}
        return {key: name for key, name in self.inputs.choice.fabrics.items() if key in keys and name.strip()}

    def names_of(self, block: Block) -> tuple[Match, ...]:
        """The catalogue's entries that a block matches, the best first."""
        from seamlore.draft.naming.naming import name_block  # reads the whole catalogue

        return self.memo.get(("names", block.patches, tuple(block.places.items())), lambda: name_block(block))

    @cached_property
    def quilt(self) -> Quilt:
        """The draft: the user's own where one was written, else as drafted from what was found."""
        text = self.inputs.choice.draft
        if not text:
            return self.drafted.quilt
        return self.memo.get(("quilt", text), lambda: read_quilt(text, find_block=find))

    @property
    def quilt_key(self) -> Hashable:
        """What the draft rests on."""
        return self.inputs.choice.draft or self._drafted_key

    @cached_property
    def left_over(self) -> str:
        """What lies between the tape and the draft, in a sentence; empty where the whole quilt was not measured."""
        choice, size = self.inputs.choice, self.quilt.finished_size
        if self.chosen.columns is None or self.chosen.rows is None:
            return ""
        sized = any(text.strip() for text in choice.sizes.values())
        before = None
        try:
            own = bool(choice.draft) and size != self.drafted.quilt.finished_size
            if sized and not choice.draft:
                unsized = replace(self.inputs, choice=msgspec.structs.replace(choice, sizes={}))
                before = Job(unsized, memo=self.memo).drafted.quilt.finished_size
        except SeamloreError:
            # Nothing measured makes a draft of its own: all of its sizes are the user's.
            own = True
        return left_over_words(self.adjustment, self.chosen, size, own=own, before=before)

    @cached_property
    def cloths(self) -> tuple[dict[str, str], dict[Where, str]]:
        """Colors of the draft's cloths as the photograph shows them, by key and for single patches."""
        told = self.inputs.choice.cloths
        if self.inputs.photo is None:
            return chosen_cloths(self.quilt, told, ({}, {}))
        from seamlore.steps.study.cloths import seen_cloths  # opens pictures: slow to import

        key = ("cloths", self.look_key, self.quilt_key)
        return chosen_cloths(self.quilt, told, self.memo.get(key, lambda: seen_cloths(self.look, self.quilt)))

    @property
    def seam_allowance(self) -> Length | None:
        """The seam allowance asked for, if any."""
        text = self.inputs.making.seam_allowance
        return length(text) if text.strip() else None

    # Make

    @cached_property
    def plan(self) -> Plan:
        """What the draft takes."""
        return self.memo.get(
            ("plan", self.quilt_key, repr(self.inputs.making)), lambda: plan_of(self.quilt, self.inputs)
        )

    @cached_property
    def cuts(self) -> tuple[PlanCut, ...]:
        """How every fabric of the plan is laid out, the stash used first."""
        return self.memo.get(("cuts", self.quilt_key, repr(self.inputs.making)), self._cuts)

    def _cuts(self) -> tuple[PlanCut, ...]:
        from seamlore.steps.cutting.of_plan import cut_plan, wishes_of  # numpy and the optimizer: slow to import

        return cut_plan(self.plan, wishes_of(self.inputs.making, self.unit))

    # Date

    @cached_property
    def dating(self) -> Dating:
        """Each part dated from the evidence."""
        from seamlore.steps.date import date  # numpy: slow to import

        text = self.inputs.evidence.text
        if not text.strip():
            raise MeasureError("no evidence", "a date rests on evidence", "write down what was seen or told")
        year = datetime.date.today().year
        return self.memo.get(("date", text, year), lambda: date(text, this_year=year))
