"""Quilts of several kinds, drafted from text and followed to the booklet, against a reckoning that shares no code."""

import datetime
import re
from collections import Counter, defaultdict

import pytest
from numpy.testing import assert_allclose

from seamlore.draft.text.quilt_file import read_quilt
from seamlore.making.plan import plan
from seamlore.steps.booklet import booklet_content
from seamlore.steps.make import as_record
from tests.reckoning.cloth import WIDTH, cut_apart, eighths
from tests.reckoning.described import QUILTS, draft_file
from tests.reckoning.reckon import reckon

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


@every
def test_the_booklet_makes_as_many_of_each_kind_of_spot_as_reckoned(name, followed):
    _, content, reckoned = followed(name)
    found = Counter()
    for block in content.blocks:
        (count,) = re.findall(r"Make (\d+)\.|cloth, .* (\d+) of them\.", block.said[0])
        words = block.name.lower()
        part = next(
            (part for part in ("half", "quarter", "part") if words.startswith((f"{part} block", f"{part} of"))),
            "whole",
        )
        part = (
            "border"
            if words.startswith("unit of the border")
            else "corner"
            if words.startswith("corner of")
            else part
        )
        found[block.kind, part, "reversed" in words] += int(count[0] or count[1])
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
