"""Quilts of several kinds, drafted from text and followed to the booklet, against a reckoning that shares no code."""

import datetime
import inspect
import re
from collections import Counter, defaultdict
from fractions import Fraction
from pathlib import Path

import pytest
from numpy.testing import assert_allclose

from seamlore.draft.text.quilt_file import read_quilt
from seamlore.making.plan import plan
from seamlore.steps.booklet import booklet_content
from seamlore.steps.make import as_record
from tests.reckoning.cloth import WIDTH, cut_apart, eighths
from tests.reckoning.described import QUILTS, draft_file
from tests.reckoning.reckon import reckon
from tests.reckoning.yardage import told as told_in_yards

DAY = datetime.date(2026, 11, 30)


def no_block(name):
    raise AssertionError(f"{name} is drawn in the file")


@pytest.fixture(scope="module")
def followed():
    kept = {}

    def follow(name):
        if name not in kept:
            made = plan(read_quilt(draft_file(QUILTS[name]), find_block=no_block))
            kept[name] = made, booklet_content(made, printed=DAY), reckon(QUILTS[name])
        return kept[name]

    return follow


every = pytest.mark.parametrize("name", QUILTS)


def test_the_reckoning_shares_no_code_with_the_program():
    for module in (reckon, cut_apart, draft_file, told_in_yards):
        assert "seamlore" not in Path(inspect.getfile(module)).read_text("utf-8")


def test_there_are_forty_of_them_of_every_setting():
    assert len(QUILTS) >= 40
    assert {quilt.setting for quilt in QUILTS.values()} == {"straight", "on point", "half blocks", "offset", "strips"}


@every
def test_the_finished_size_is_the_one_reckoned(name, followed):
    made, _, reckoned = followed(name)
    assert_allclose([side.inches_float for side in made.finished], reckoned.size, rtol=1e-9)


@every
def test_every_piece_is_cut_in_the_size_and_number_reckoned(name, followed):
    made, _, reckoned = followed(name)
    found, wanted = defaultdict(Counter), defaultdict(Counter)
    for cut in made.cutting:
        if cut.shape == "template":
            found[cut.fabric]["template"] += cut.needed
        else:
            size = tuple(round(side.inches_float, 4) for side in cut.size)
            found[cut.fabric][cut.shape, *size] += cut.count
    for fabric, cuts in reckoned.cuts().items():
        for shape, one, two, count in cuts:
            shape = "rectangle" if shape == "mitered" else shape
            wanted[fabric]["template" if shape == "template" else (shape, round(one, 4), round(two, 4))] += count
    assert found == wanted
    assert sum(cut.needed for cut in made.cutting) == reckoned.pieces


@every
def test_triangles_that_have_a_mirror_image_are_cut_as_many_of_either_hand_as_reckoned(name, followed):
    made, _, reckoned = followed(name)
    found, wanted = defaultdict(Counter), defaultdict(Counter)
    for cut in made.cutting:
        if cut.shape == "half-rectangle triangle":
            sides = sorted(round(side.inches_float, 4) for side in cut.finished)
            found[cut.fabric, *sides][cut.labels[0].endswith("r")] += cut.needed
    for (fabric, shape, *sides), count in reckoned.needed.items():
        if shape == "half-rectangle triangle":
            one, two, hand = sides
            wanted[(fabric, *sorted((round(one, 4), round(two, 4))))][hand] += count
    # Which of the two is called reversed is by how the block is drawn.
    assert {key: sorted(each.values()) for key, each in found.items()} == {
        key: sorted(each.values()) for key, each in wanted.items()
    }


@every
def test_every_fabric_is_as_long_as_its_strips_and_these_hold_all_that_is_reckoned(name, followed):
    made, _, reckoned = followed(name)
    lines = as_record(made)["fabrics"]
    assert {line["fabric"] for line in lines} == set(reckoned.cuts())
    longest = reckoned.lengths()
    for line in lines:
        assert_allclose(line["length"], sum(strip["length"] for strip in line["strips"]))
        assert line["buy"] == f"{eighths(line['length'])} yd"
        if line["fabric"] in longest:
            fallen, long = cut_apart(line)
            wanted = Counter()
            for _, one, two, count in reckoned.cuts()[line["fabric"]]:
                wanted[round(one, 4), round(two, 4)] += count
            assert fallen == Counter({size: count for size, count in wanted.items() if size[0] <= WIDTH}), line[
                "fabric"
            ]
            assert long == {size[1] for size in wanted if size[0] > WIDTH}
            area = sum(one * two * count for (one, two), count in wanted.items())
            # No more than with one kind to a strip, as on paper; no less than the cloth that is in the pieces.
            assert area / WIDTH <= line["length"] + 1e-9
            assert line["length"] <= longest[line["fabric"]] + 1e-9, line["fabric"]


PARTS = (("half block", "half"), ("half of", "half"), ("quarter block", "quarter"), ("quarter of", "quarter"),
         ("part block", "part"), ("part of", "part"), ("unit of the border", "border"), ("corner of", "corner"))  # fmt: skip


def part_of(block):
    """Which part of its kind a block of the booklet is, by what it is called."""
    words = block.name.lower()
    return next((part for begin, part in PARTS if words.startswith(begin)), "whole")


def made_of(block):
    """How many of a block the booklet makes."""
    ((one, other),) = re.findall(r"Make (\d+)\.|cloth, .* (\d+) of them\.", block.said[0])
    return int(one or other)


def joined(step):
    """What the printed words of a step join, each by its name, and how often."""
    words = re.match(
        r"Join (?:as drawn: )?(.*?)(?:, (?:side by side|one under the other|along the \w+ seam))?\.$", step.words[0]
    )
    things = re.split(r", | and ", re.sub(r"\(.*?\)", "", words[1]))
    said = [re.match(r"(?:(\d+) of )?(.*)", each.strip()) for each in things]
    found = Counter()
    for each in said:
        found[each[2].rstrip("*").strip()] += int(each[1] or 1)
    return found


def times(step, blocks=1):
    """How often a step is done for each of so many blocks."""
    said = re.findall(r"\d+", step.make)
    return int(said[0]) if "a block" in step.make else int(said[0]) // blocks if said else 1


def called(step):
    return step.title.split(",")[0].lower()


@every
def test_the_steps_of_every_block_join_the_patches_reckoned_and_every_unit_that_they_make(name, followed):
    _, content, reckoned = followed(name)
    found = Counter()
    for block in content.blocks:
        used = Counter()
        made = {called(step): times(step, made_of(block)) for step in block.steps}
        for step in block.steps:
            for thing, often in joined(step).items():
                used[thing] += often * times(step, made_of(block))
        units = {thing: count for thing, count in used.items() if thing in made}
        # All that is made is used, but for the block itself, which is made last.
        assert units == {unit: count for unit, count in made.items() if unit != "the block"}, block.name
        letters = Counter()
        for thing, count in used.items():
            if thing not in made:
                letters[re.fullmatch(r"(?:[A-Z][A-Z0-9]? )?([A-Z])\d+r?", thing)[1]] += count
        if block.steps:
            assert block.steps[-1].title.lower() == "the block"
            assert made["the block"] == 1
            found[block.kind, part_of(block), frozenset(letters.items())] += made_of(block)
    assert found == Counter({key: count for key, count in reckoned.sewn.items() if sum(dict(key[2]).values()) > 1})


def inches_said(text):
    """The one or two lengths that a step is to measure, in inches."""
    found = re.search(r"measure (about )?(.+?) in( square)?[,.]", text)
    sides = [sum(map(Fraction, side.split())) for side in found[2].split(" x ")]
    return bool(found[1]), sides * 2 if found[3] else sides


@every
def test_every_block_measures_its_finished_size_and_its_seams_and_so_does_the_top(name, followed):
    _, content, reckoned = followed(name)
    told = [(block.steps[-1].size, (QUILTS[name].width, QUILTS[name].height)) for block in content.blocks
            if block.steps and part_of(block) == "whole"]  # fmt: skip
    # The corners of mitered borders are sewn after the tape was laid on.
    if content.top and not any(border.corners == "mitered" for border in QUILTS[name].borders):
        told.append((content.top[-1].size, reckoned.size))
    for text, size in told:
        about, sides = inches_said(text)
        wanted = [side + 0.5 for side in size]
        # Oblong blocks are drawn as the first of them lies.
        assert_allclose(sorted(map(float, sides)), sorted(wanted), atol=1 / 16 if about else 1e-9, err_msg=text)


@every
def test_the_top_is_joined_of_as_many_blocks_of_each_kind_as_are_in_it(name, followed):
    _, content, _ = followed(name)
    described = QUILTS[name]
    if described.setting not in ("straight", "strips") or len(described.kinds) == 1 or not content.top:
        return
    used = Counter()
    for step in content.top:
        if step.words[0].startswith("Join "):
            for thing, often in joined(step).items():
                used[thing.removesuffix(" reversed")] += often * times(step)
    cells = Counter(cell[0] for row in described.rows for cell in row if cell)
    assert {kind: used[kind] for kind in cells} == cells


@every
def test_the_booklet_makes_as_many_of_each_kind_of_spot_as_reckoned(name, followed):
    _, content, reckoned = followed(name)
    found = Counter()
    for block in content.blocks:
        found[block.kind, part_of(block), "reversed" in block.name.lower()] += made_of(block)
    wanted = Counter()
    for (kind, part, turned_over), count in reckoned.made.items():
        wanted[kind, part, turned_over] += count
    assert found == wanted


@every
def test_every_step_of_the_booklet_counts_its_units_for_all_of_their_blocks(name, followed):
    _, content, _ = followed(name)
    for block in content.blocks:
        made = re.search(r"Make (\d+)\.", block.said[0])
        for step in block.steps:
            if said := re.search(r"(\d+) a block, (\d+) in all", step.make):
                assert int(said[2]) == int(said[1]) * int(made[1])
            else:
                # Of one block alone, a step counts for itself.
                assert made[1] == "1" or step.make == f"Make {made[1]}."


@every
def test_every_piece_of_the_cutting_list_is_sewn_into_something(name, followed):
    made, content, _ = followed(name)
    labels = {label for cut in made.cutting for label in cut.labels}
    patches = {label for label in labels if re.search(r"[A-Z]\d+r?$", label)}
    # A template that serves very many names eight of them and how many more.
    sewn, more = set(), 0
    for template in content.templates:
        said = " ".join([template.label, *template.lines[1:]])
        sewn |= set(re.findall(r"(?:[A-Z][A-Z0-9]? )?[A-Z]\d+r?", said))
        more += sum(map(int, re.findall(r"and (\d+) more", said)))
    assert len(patches - sewn) <= more


@every
def test_what_is_not_read_is_said_and_nothing_else(name, followed):
    made, content, _ = followed(name)
    missing = sum(cell is None for row in QUILTS[name].rows for cell in row)
    assert bool(content.unread) == bool(missing)
    assert any(note.startswith(f"{missing} of") for note in made.notes) == bool(missing)


def _named(told, blocks):
    """Each step that a line of what is sewn in one go names: of which block, and what it is called there."""
    only = blocks[0].name if len(blocks) == 1 else None
    names = "|".join(sorted((re.escape(block.name) for block in blocks), key=len, reverse=True))
    called = {block.name.casefold(): block.name for block in blocks}
    at = 0
    for found in re.finditer(rf"(?: of )?({names})", told, re.IGNORECASE):
        steps = re.findall(r"(?:unit|row|column) \d+", told[at : found.start()], re.IGNORECASE)
        yield from ((called[found[1].casefold()], step.casefold()) for step in steps or ["the block"])
        at = found.end()
    if only:
        yield from (
            (only, step.casefold()) for step in re.findall(r"(?:unit|row|column) \d+", told[at:], re.IGNORECASE)
        )


@every
def test_what_is_sewn_in_one_go_adds_up_to_the_steps_that_it_names(name, followed):
    """Each step is counted by the words beside it: "Make 2 a block, 8 in all."."""
    content = followed(name)[1]
    blocks = [block for block in content.blocks if block.steps]
    totals = {
        (block.name, step.title.partition(",")[0].casefold()): int(re.findall(r"\d+", step.make)[-1])
        for block in blocks
        for step in block.steps
    }
    for line in content.batches:
        told, _, rest = line.partition(": ")
        counts = [totals[each] for each in _named(told, blocks)]
        count = int(rest.split()[0])
        assert counts
        assert sum(counts) == count if " sewn alike" in rest or len(counts) == 1 else set(counts) == {count}, line
