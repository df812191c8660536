"""Change the borders of a draft side by side: how wide each is, what it is pieced of, and its fabric."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace

from seamlore.draft.border import Border, Corners, Pieced, Side, border
from seamlore.draft.cells import with_borders
from seamlore.draft.kinds import Kind, sign_for
from seamlore.draft.quilt import Quilt
from seamlore.draft.where import SIDES, SideName
from seamlore.errors import SeamloreError, ShapeError
from seamlore.lengths import Length, length
from seamlore.limits import BORDERS
from seamlore.steps.edit.draft import Edited, block_called
from seamlore.steps.edit.fabric_names import name_fabrics, name_given
from seamlore.steps.edit.keep import kept
from seamlore.steps.edit.typed import Slips
from seamlore.steps.study.job import Job
from seamlore.steps.study.shown import in_unit_of

CORNERS: tuple[tuple[Corners, str], ...] = (
    ("butted", "butted, top and bottom run across"),
    ("mitered", "mitered"),
    ("squares", "squares in the corners"),
)
# What is said of a side, and of all four at once.
_SAID = ("width", "of", "long", "fabric")


def field_name(number: int, side: str, what: str) -> str:
    """Give the name of a field: of a border counted from 1, a side or "all", and "width", "of", "long" or "fabric".

    Examples
    --------
    >>> field_name(1, "top", "width")
    'border_1_top_width'
    """
    return f"border_{number}_{side}_{what}"


def border_fields(quilt: Quilt) -> dict[str, str]:
    """Give the fields of a draft's borders as they are shown; those of all four sides are empty where these differ.

    Examples
    --------
    >>> from seamlore.draft.catalogue import find
    >>> from seamlore.draft.repeated import repeated
    >>> from seamlore.lengths import inches
    >>> wide = border(inches(4), "brown", top=inches(6))
    >>> made = border_fields(repeated("q", find("shoo fly"), inches(9), inches(9), 7, 8, borders=(wide,)))
    >>> made["border_1_top_width"], made["border_1_left_width"], made["border_1_all_width"], made["border_1_all_fabric"]
    ('6 in', '4 in', '', 'brown')
    """
    found: dict[str, str] = {}
    for number, each in enumerate(quilt.borders, start=1):
        sides = {name: _shown(quilt, number, name) for name in SIDES}
        for what in _SAID:
            said = [sides[name][what] for name in SIDES]
            found |= {field_name(number, name, what): sides[name][what] for name in SIDES}
            found[field_name(number, "all", what)] = said[0] if len(set(said)) == 1 else ""
        found[f"border_{number}_corners"] = each.corners
        found[f"border_{number}_corner"] = _unit_called(quilt, each.corner) if each.corner else ""
        found[f"border_{number}_mirrored"] = "yes" if any(s.pieced and s.pieced.mirrored for s in each.sides) else ""
    return found


def _shown(quilt: Quilt, number: int, name: SideName) -> dict[str, str]:
    side = quilt.borders[number - 1].side(name)
    return {
        "width": str(side.width) if side.width else "",
        "of": _unit_called(quilt, side.pieced.kind) if side.pieced else "",
        "long": str(side.pieced.length) if side.pieced else "",
        "fabric": "" if side.pieced else name_given(quilt, f"border {number} {name}"),
    }


def _unit_called(quilt: Quilt, kind: str) -> str:
    """The block's name, with its kind's where several are called so."""
    name = quilt.kind(kind).block.name
    return name if sum(each.block.name == name for each in quilt.kinds) == 1 else f"{name} ({kind})"


def set_borders(job: Job, typed: Mapping[str, str]) -> Edited:
    """Change the borders by their fields; what can be read is kept, and the rest said by its field.

    Parameters
    ----------
    job : Job
    typed : mapping of str to str
        As `border_fields` gives them, some changed, and "border_new": the width of one more round all. What is said of
        all four sides goes for those of which nothing else is said. A border of no width is taken away.

    Returns
    -------
    Edited
        Its slips are by field; "borders" for what is wrong with all of it together.
    """
    quilt = in_unit_of(job.quilt, job.unit)
    asked = _Asked(job, quilt, typed)
    borders = [asked.border(number) for number in range(1, len(quilt.borders) + 1)]
    if text := typed.get("border_new", "").strip():
        wide = asked.length("border_new", text, quilt.block_width * 0)
        fresh = f"border {len(borders) + 1}" if borders else "border"
        if len(quilt.borders) >= BORDERS:
            asked.slips["border_new"] = f"a quilt has at most {BORDERS} borders; make one of them wider"
        elif wide:
            borders.append(border(wide, fresh))
    left = tuple(each for each in borders if any(side.width for side in each.sides))
    slips = asked.slips
    try:
        new = with_borders(quilt, left, asked.new)
    except SeamloreError as fault:
        # The widths hang together; what the fabrics are called does not hang on them.
        slips["borders"], new, left = str(fault), quilt, tuple(borders)
    choice = kept(job, new) if new != quilt else job.inputs.choice
    if asked.names and len(left) == len(borders) == len(new.borders):
        named = name_fabrics(Job(replace(job.inputs, choice=choice), memo=job.memo), asked.names)
        choice = named.choice
        slips |= {f"{key.replace(' ', '_')}_fabric": fault for key, fault in named.slips.items()}
    return Edited(choice, "changed the borders", slips)


@dataclass(slots=True, eq=False)
class _Asked:
    """What is asked of the borders: which kinds come in with it, which fabrics are named, and what cannot be read."""

    job: Job
    quilt: Quilt
    typed: Mapping[str, str]
    slips: Slips = field(default_factory=Slips)
    new: list[Kind] = field(default_factory=list)
    names: dict[str, str] = field(default_factory=dict)

    def border(self, number: int) -> Border:
        old = self.quilt.borders[number - 1]
        shown = border_fields(self.quilt)
        made = old.with_sides(self.side(number, name, shown) for name in SIDES)
        corners = next((key for key, _ in CORNERS if key == self.typed.get(f"border_{number}_corners")), old.corners)
        corner, said = old.corner, f"border_{number}_corner"
        if (text := self.typed.get(said, shown[said]).strip()) != shown[said]:
            corner = self.kind(said, text, corner) if text else None
        return replace(made, corners=corners, corner=corner if corners == "squares" else None)

    def side(self, number: int, name: SideName, shown: Mapping[str, str]) -> Side:
        """One side as it is asked for; each field goes before that of all four sides, which goes before what was."""
        old = self.quilt.borders[number - 1].side(name)
        width = self.length(*self.said(number, name, "width", shown), old.width)
        where, text = self.said(number, name, "of", shown)
        was = old.pieced.kind if old.pieced else None
        kind = was if text is None else self.kind(where, text, was) if text else None
        where, text = self.said(number, name, "fabric", shown)
        if text is not None:
            self.names[f"border {number} {name}"] = text
        if kind is None:
            return replace(old, width=width, pieced=None)
        # A unit that is not said to be longer is as long as it is wide.
        usual = old.pieced.length if old.pieced else width
        long = self.length(*self.said(number, name, "long", shown), usual, none=width)
        # A box that is not ticked is not sent: that it was there to be ticked is.
        box = f"border_{number}_mirrored"
        mirrored = bool(self.typed.get(box, "" if f"border_{number}_asked" in self.typed else shown[box]))
        return replace(old, width=width, pieced=Pieced(kind, long, mirrored))

    def said(self, number: int, name: str, what: str, shown: Mapping[str, str]) -> tuple[str, str | None]:
        """The field that says something else than before, and what; None where nothing is said anew."""
        for each in (field_name(number, name, what), field_name(number, "all", what)):
            text = " ".join(self.typed.get(each, shown[each]).split())
            if text != shown[each]:
                return each, text
        return field_name(number, name, what), None

    def length(self, name: str, text: str | None, was: Length, none: Length | None = None) -> Length:
        if text is None:
            return was
        if not text:
            return was * 0 if none is None else none
        return self.slips.read(name, text, lambda given: length(given, unit=self.quilt.unit), was)

    def kind(self, name: str, text: str, was: str | None) -> str | None:
        """The kind that is meant: one of the quilt's by its name or its block's, or a new one of the catalogue."""
        kinds = (*self.quilt.kinds, *self.new)
        for each in kinds:
            if (
                text in (each.name, f"{each.block.name} ({each.name})")
                or text.casefold() == each.block.name.casefold()
            ):
                return each.name
        block = self.slips.read(name, text, lambda given: block_called(self.job, given), None)
        if block is None:
            return was
        taken = {each.name for each in kinds}
        if len(taken) > len(self.quilt.kinds) + 4:
            raise ShapeError("so many new blocks at once", "they are put in one by one", "begin with one side")
        made = Kind(sign_for(block, taken), block)
        self.new.append(made)
        return made.name
