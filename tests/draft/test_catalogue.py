"""The catalogue: found by any name, every entry covering its square."""

import subprocess
import sys

import pytest

from seamlore.draft.catalogue import all_blocks, find, find_all
from seamlore.errors import UnknownNameError

# The first dozen that the project asked for.
FIRST = (
    "shoo fly", "churn dash", "nine patch", "four patch", "Ohio star", "sawtooth star", "pinwheel", "rail fence",
    "log cabin", "flying geese", "broken dishes", "bow tie", "jacob's ladder",
)  # fmt: skip


@pytest.mark.parametrize("name", FIRST)
def test_the_first_dozen_are_there(name):
    assert name.casefold() in [each.casefold() for each in find(name).names]


def test_a_block_is_found_by_any_of_its_names_in_any_spelling():
    assert find("Hole in the Barn Door") is find("churn dash") is find("CHURN-DASH")
    assert find("jacobs ladder").name == "Jacob's Ladder"


def test_a_name_of_two_drawings_gives_both():
    assert [each.name for each in find_all("Monkey Wrench")] == ["Churn Dash", "Snail's Trail"]


def test_an_unknown_name_is_refused_with_the_nearest_offered():
    with pytest.raises(UnknownNameError, match='did you mean "Shoo Fly"'):
        find("shoofly pie")


def test_no_two_entries_have_one_name():
    names = [each.name.casefold() for each in all_blocks()]
    assert len(set(names)) == len(names)


@pytest.mark.parametrize("each", all_blocks(), ids=lambda each: each.name)
def test_patches_of_every_entry_have_the_area_of_the_block(each):
    assert sum(patch.area for patch in each.patches) == 1


@pytest.mark.parametrize("each", all_blocks(), ids=lambda each: each.name)
def test_every_entry_says_its_family_and_something_about_sewing_it(each):
    assert each.family
    assert each.notes
    assert 1 <= each.divisions <= 16


def test_finding_one_block_reads_no_other_and_brings_in_no_geometry_library():
    code = (
        "import sys; from seamlore.draft import catalogue; catalogue.find('bow tie'); "
        "print(catalogue._read.cache_info().currsize, 'shapely' in sys.modules)"
    )
    said = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True).stdout
    assert said.split() == ["1", "False"]


def test_there_are_at_least_100_blocks_and_reading_them_all_is_quick(capsys):
    code = (
        "import time; from seamlore.draft import catalogue; start = time.process_time(); "
        "found = catalogue.all_blocks(); print(len(found), (time.process_time() - start) * 1000)"
    )
    runs = [
        subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True).stdout.split()
        for _ in range(3)
    ]
    with capsys.disabled():
        print(f"\ncatalogue: {runs[0][0]} blocks read in {min(float(ms) for _, ms in runs):.0f} ms")
    assert int(runs[0][0]) >= 100
    # Generous, since the machine may be busy; read one by one on demand it does not matter to anyone.
    assert min(float(ms) for _, ms in runs) < 500
