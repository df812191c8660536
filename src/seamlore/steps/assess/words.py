"""The state of a quilt in words: the answer, and a condition record under its headings.

EN 16095:2012 (condition recording of movable heritage) names what such a record holds; its headings are used here from
memory, the standard itself was not read.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from seamlore.condition.compare import Changed
from seamlore.condition.ground import blocks_under
from seamlore.condition.holding import FILLINGS, Held
from seamlore.condition.kinds import NOT_TOLD, OBJECTS, SEVERITY
from seamlore.condition.notes import Note
from seamlore.condition.rot import NAMELESS, not_placed
from seamlore.condition.survey import Verdict
from seamlore.draft.where import said
from seamlore.errors import SeamloreError
from seamlore.lengths import Length, Unit, in_unit, inches, show, show_size
from seamlore.saving.between import Strip
from seamlore.steps.assess.around import strips_of, weak_parts
from seamlore.steps.assess.assess import Assessed, area_in, assess, fadings, holding, parts_of
from seamlore.steps.study.job import Job

_MOST_LISTED = 12
# Less than this part of an area no hand draws.
_WORTH_SAYING = 0.005
_VERDICTS: tuple[Verdict, ...] = ("sound", "doubtful", "lost")


@dataclass(frozen=True, slots=True)
class Heading:
    """One part of a condition record."""

    name: str
    lines: tuple[str, ...]


def answer(found: Assessed) -> str:
    """Say in a sentence what state the quilt is in, as far as it was noted."""
    if not found.damage and not found.tests:
        return "Nothing is noted yet. Draw round the first spot that you see."
    front = found.survey.parts[0]
    share = f"{percent(front.part)} of the front is affected"
    if not found.survey.blocks:
        return f"{share[0].upper()}{share[1:]}, as noted"
    counts = [(found.survey.count(verdict), verdict) for verdict in _VERDICTS]
    of = f"Of {len(found.survey.blocks)} blocks "
    return of + ", ".join(f"{number} {verdict}" for number, verdict in counts) + f"; {share}"


def percent(part: float) -> str:
    """Say a part of a hundred.

    Examples
    --------
    >>> percent(0), percent(0.0004), percent(0.034), percent(0.5)
    ('none', 'less than 0.1 %', '3.4 %', '50 %')
    """
    if part <= 0:
        return "none"
    if part < 0.001:
        return "less than 0.1 %"
    return f"{100 * part:.1f} %" if part < 0.1 else f"{100 * part:.0f} %"


def note_words(note: Note) -> str:
    """Say what a note says, in one line."""
    severity = f", {SEVERITY[note.severity][0]}" if note.severity else ""
    result = f": {note.result}" if note.result else ""
    own = f": {note.says}" if note.says else ""
    return f"{note.kind}{severity}{result}{f' ({note.of})' if note.of else ''}{own}"


def record(job: Job) -> tuple[Heading, ...]:
    """Write the condition record of a quilt; what is not known is left out or said to be unknown."""
    found = assess(job)
    made = (
        Heading("What it is", tuple(_identity(job))),
        Heading("How it was examined", tuple(_examined(job, found))),
        Heading("Condition", tuple(_state(job, found))),
        Heading("Weak cloth", tuple(weak_words(found, strips_of(job, found)))),
        Heading("What holds it", tuple(_held_lines(job))),
        Heading("Fading", tuple(_faded(job))),
        Heading("Inscriptions and marks", tuple(f"{where}: {words}" for where, words in inscriptions(found))),
        Heading("Risks", tuple(_risks(found))),
    )
    return tuple(each for each in made if each.lines)


def _identity(job: Job) -> Iterator[str]:
    condition = job.inputs.condition
    if condition.object:
        yield f"A {condition.object}: {OBJECTS[condition.object]}" if condition.object != "blocks" else "Loose blocks"
    if job.size:
        yield f"{show_size(*job.size)} by tape"
    if condition.object or condition.parts:
        for how, words in (("none", "Not there"), ("not known", "Not known whether it is there")):
            named = [name for name, said in parts_of(condition).items() if said == how]
            if named:
                yield f"{words}: {', '.join(named)}"


def _examined(job: Job, found: Assessed) -> Iterator[str]:
    condition = job.inputs.condition
    who = [word for word in (condition.examined_by, condition.examined_on, condition.light) if word]
    if who:
        yield ", ".join(who)
    photographs = job.inputs.photographs.photographs
    shown = dict.fromkeys(each.shows for each in photographs)
    yield f"From {len(photographs)} photograph{'s' * (len(photographs) != 1)}: {', '.join(shown)}"
    off = sum(1 for each in found.notes if each.about.damage and each.photograph not in found.placed)
    if off:
        yield f"{off} note{'s' * (off != 1)} on photographs that were not laid on the quilt: no area is known of them"
    if (bent := bending(found)) >= _WORTH_SAYING:
        yield f"Its edges bow in the photograph and were bent straight: areas are known to about {percent(bent)} of themselves"
    if "back" not in shown and "backing" not in found.without:
        yield "The back was not photographed; nothing is said of it"


def bending(found: Assessed) -> float:
    """By how much of itself the area of a note may be off since edges bow; 0 where they are straight."""
    drawn = [each for each in found.notes if len(each.outline) > 2 and each.photograph in found.placed]
    return max((found.placed[each.photograph].bending([each.outline]) for each in drawn), default=0.0)


def _state(job: Job, found: Assessed) -> Iterator[str]:
    if not found.damage:
        yield "No damage was noted"
        return
    for each in found.survey.parts:
        if each.of == "backing" and not each.affected and not any(note.behind for note in found.laid):
            continue
        area = area_in(found, each.affected, job.unit)
        yield f"{_capital(each.of)}: {percent(each.part)} affected{f' ({area})' if area and each.affected else ''}"
    for kind, spots, size in found.survey.by_kind:
        words = area_in(found, size, job.unit)
        yield f"{_capital(kind)}: {spots} spot{'s' * (spots != 1)}{f', {words}' if words else ''}"
    for verdict in ("lost", "doubtful"):
        blocks = [each for each in found.survey.blocks if each.verdict == verdict]
        if blocks:
            # Blocks of one reason are listed together, the reason once.
            together: dict[tuple[str, ...], list[str]] = {}
            for block in blocks[:_MOST_LISTED]:
                together.setdefault(block.reasons, []).append(block.called)
            listed = "; ".join(f"{'; '.join(called)} ({', '.join(why)})" for why, called in together.items())
            more = f"; and {len(blocks) - _MOST_LISTED} more" if len(blocks) > _MOST_LISTED else ""
            yield f"{len(blocks)} block{'s' * (len(blocks) != 1)} {verdict}: {listed}{more}"


def weak_words(found: Assessed, around: Sequence[Strip]) -> Iterator[str]:
    """Say which cloth and which parts hand tests found weak, and how far that is known; and which were sound."""
    for each in found.suspects:
        patches = f"{each.patches} patch{'es' * (each.patches != 1)} in {each.blocks} block{'s' * (each.blocks != 1)}"
        yield f"{each.called}: {each.why}; every patch of it is suspect, {patches} as read"
    parts = weak_parts(found, around)
    for part, why in parts.items():
        yield f"{_capital(part)}: {why}; all of the {part} is suspect, for its seams and fabrics were not read"
    for name in not_placed(found.tests):
        # A test without a name that lies on one of these parts is said with it.
        if not parts or name != NAMELESS:
            yield f"{name}: weak; where its other patches are was not read"
    sound = sum(each.result == "sound" for each in found.tests)
    if sound:
        yield f"{sound} hand test{'s' * (sound != 1)} found the cloth sound; each speaks for its own place alone"


def _held_lines(job: Job) -> Iterator[str]:
    try:
        found = holding(job)
    except SeamloreError as fault:
        yield str(fault)
        return
    if found is not None:
        yield from held_words(job, found)


def held_words(job: Job, found: Held) -> Iterator[str]:
    """Say how a quilt is held, and what is missing."""
    unit = Unit(job.reading.unit)
    allowed = _tape(found.allowed, unit, job.unit, "down")
    filling = FILLINGS.get(job.inputs.condition.filling, FILLINGS["not known"])
    if found.widest.radius == float("inf"):
        yield "Nothing holds the layers together"
    else:
        wide = _tape(found.widest.across, unit, job.unit, "up")
        at = _place(job, found.widest.x, found.widest.y)
        yield f"The widest place that nothing holds is a circle {wide} across, {at}"
    apart = _tape(found.apart, unit, job.unit, "nearest")
    limit = (
        f"{apart} apart, as its label says"
        if job.inputs.condition.apart.strip()
        else f"{apart} apart: {filling.says}"
    )
    yield f"The filling ({filling.name}) may be held {limit}; that leaves circles of {allowed}"
    if found.enough:
        yield "It is held as it should be"
    elif found.too_many:
        yield f"More than {len(found.missing):,} more ties would be needed: quilt it in lines, or find out what lies between and what its label allows"
    else:
        count = len(found.missing)
        lines = "; or another quilting line in every gap" if found.lines else ""
        fewest = f"; no way takes fewer than {found.fewest}" if found.fewest < count else ""
        yield f"{count} more tie{'s' * (count != 1)} put in one by one where the gap is widest would hold it{fewest}{lines}"


def _place(job: Job, x: float, y: float) -> str:
    """Say where a place lies: in a block, or how far from the quilt's top left."""
    ground = assess(job).ground
    for at, corners in zip(ground.block_at, ground.blocks, strict=True):
        if corners[:, 0].min() <= x <= corners[:, 0].max() and corners[:, 1].min() <= y <= corners[:, 1].max():
            return f"its middle in {said(*at)}"
    unit = Unit(job.reading.unit)
    across, down = (_tape(each, unit, job.unit, "nearest") for each in (x, y))
    return f"its middle {across} from the left and {down} from the top"


def _tape(number: float, unit: Unit, shown: Unit, direction: str) -> str:
    """A length that was read, on an eighth of an inch or a millimeter, never finer than a hand measures."""
    return show(in_unit(number, unit).shown_in(shown), mark=_mark(shown), direction=direction)  # type: ignore[arg-type]


def _mark(unit: Unit) -> Length:
    return inches("1/8") if unit is Unit.INCH else in_unit("0.1", Unit.CM)


def _faded(job: Job) -> Iterator[str]:
    for each in fadings(job):
        name = each.places.of or "A cloth"
        if each.found is None:
            yield f"{name}: {each.fault}"
            continue
        far = f"a CIELAB difference of {each.found.difference:.1f}"
        way = "paler" if each.found.lighter else "darker"
        if each.found.grade:
            grade = f"gray-scale grade {each.found.grade} (ISO 105-A02), indicative: a photograph is no instrument"
            yield f"{name}: {way} where it was exposed, {far}; {grade}"
        else:
            yield f"{name}: {way} where it was exposed, {far}; no grade, since no white card stood in the photograph"


def inscriptions(found: Assessed) -> tuple[tuple[str, str], ...]:
    """List what is written, block by block: where, and what it reads, doubtful letters in [ ]."""
    laid = {each.number: each for each in found.laid}
    listed = []
    for number, each in enumerate(found.notes):
        if each.kind != "inscription":
            continue
        at = laid.get(number)
        blocks = blocks_under(found.ground, at.outline) if at is not None else ()
        where = "; ".join(said(*block) for block in blocks)
        if not where:
            where = each.of or ("the quilt" if at is not None else "place not known")
        elif each.of:
            where = f"{where} ({each.of})"
        where = f"{where}, on the back" if at is not None and at.behind else where
        listed.append((blocks or ((10**6, number),), where, _read(each.says)))
    return tuple((_capital(where), words) for _, where, words in sorted(listed, key=lambda each: each[0]))


def inscriptions_marked(found: Assessed) -> tuple[tuple[str, tuple[tuple[str, bool], ...]], ...]:
    """As `inscriptions`, each reading in parts: the text, and whether its letters are doubtful."""
    return tuple(
        (
            where,
            tuple((part.strip("[]"), part.startswith("[")) for part in re.split(r"(\[[^\]]*\])", words) if part)
            if words.startswith('"')
            else ((words, False),),
        )
        for where, words in inscriptions(found)
    )


def _read(says: str) -> str:
    if not says:
        return "not transcribed yet"
    if says == NOT_TOLD:
        return says
    count = sum(letter.isalnum() for each in re.findall(r"\[([^\]]*)\]", says) for letter in each)
    return f'"{says}"' + (f"; {count} letter{'s' * (count != 1)} doubtful" if count else "")


def _risks(found: Assessed) -> Iterator[str]:
    kinds = {each.kind for each in found.notes}
    if found.suspects:
        yield "Weak cloth carries no load: not hung, not pulled, handled on a board or a sheet"
    if "mold" in kinds:
        yield "Mold: bagged and kept apart until a conservator or a cleaner of textiles has seen it; who has asthma stays away"
    if "insect damage" in kinds:
        yield "Insects: bagged, and looked at again in two weeks; what moves is alive"
    if "bleeding" in kinds:
        yield "Color ran before: no water before every color is tested"
    bled = {each.of or "a color" for each in found.notes if each.kind == "dye test" and each.result == "color"}
    if bled:
        yield f"The dye test took color from {', '.join(sorted(bled))}: it is not washed"


def _capital(words: str) -> str:
    return words[:1].upper() + words[1:]


def compared_words(job: Job, changes: Sequence[Changed]) -> tuple[str, ...]:
    """Say what has changed since an earlier date, kind by kind."""
    found, made = assess(job), []
    for each in changes:
        was, now = (area_in(found, area, job.unit) or "an area of unknown size" for area in (each.before, each.after))
        if not each.before:
            words = f"new, {each.new} spot{'s' * (each.new != 1)}, {now}"
        elif not each.after:
            words = f"no longer noted, {was} before"
        else:
            words = f"{was} before, {now} now"
            words += f"; {each.new} new spot{'s' * (each.new != 1)}" if each.new else ""
            words += f"; {each.gone} no longer noted" if each.gone else ""
        made.append(f"{_capital(each.kind)}: {words}")
    return tuple(made)
