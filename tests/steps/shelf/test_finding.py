"""Cards, figures and lists: what a study is found by, when its figures hold, what quilts side by side differ in."""

from __future__ import annotations

import msgspec
import pytest

from seamlore.errors import SeamloreError
from seamlore.shelf.collection import Collection
from seamlore.shelf.shelf import Shelf
from seamlore.steps.shelf.as_it_was import as_it_was
from seamlore.steps.shelf.compare import compare, draft_picture
from seamlore.steps.shelf.find import Wanted, filters, find, shown, twice
from seamlore.steps.shelf.keeping import children, parents, typed
from seamlore.steps.shelf.working import work_out_all
from seamlore.steps.study.kept import changes_for
from seamlore.steps.study.sections import About, Choice, Evidence, Keeping
from seamlore.steps.study.tape import Tape
from seamlore.steps.study.versions import decode

EVIDENCE = '[[evidence]]\npart = "blocks"\nsays = "pieced by the lake"\nwhen = "1885/1895"\ntrust = 0.9\n'


def put(shelf, name, block, side, *, keeping=None, evidence=""):
    sections = (
        Tape(width=f"{7 * side} in", height=f"{9 * side} in", block=f"{side} in", columns=7, rows=9),
        Choice(block=block, fabrics={"A": "double pink"}),
        keeping or Keeping(),
        Evidence(text=evidence),
    )
    return shelf.create(name, changes_for([(each, 0, "entered") for each in sections], None))


@pytest.fixture(scope="module")
def kept(tmp_path_factory):
    """A shelf of three quilts, worked out once; tests that change it make a folder of their own."""
    folder = tmp_path_factory.mktemp("shelf")
    with Shelf(folder) as shelf:
        put(shelf, "First", "shoo fly", 8, keeping=Keeping(accession="7", tags=("lake",)), evidence=EVIDENCE)
        put(shelf, "Second", "nine patch", 9, keeping=Keeping(accession="7"))
        put(shelf, "Third", "shoo fly", 6)
        assert work_out_all(shelf).count == 3
        yield shelf


def found(shelf, *given, **named):
    return sorted(each.name for each in find(shelf, Wanted(*given, **named)).quilts)


@pytest.mark.parametrize(
    ("wanted", "names"),
    [
        (Wanted("lake"), ["First"]),
        (Wanted("double pi"), ["First", "Second", "Third"]),
        (Wanted("nine"), ["Second"]),
        (Wanted(marks={"block": "Shoo Fly"}), ["First", "Third"]),
        (Wanted(marks={"tag": "lake", "block": ""}), ["First"]),
        (Wanted(years="1890"), ["First"]),
        (Wanted(years="1700 to 1720"), []),
        (Wanted(marks={"setting": "straight"}), ["First", "Second", "Third"]),
    ],
)
def test_a_quilt_is_found_by_what_was_told_chosen_and_worked_out(kept, wanted, names):
    assert sorted(each.name for each in find(kept, wanted).quilts) == names


def test_an_order_or_filter_that_there_is_none_of_is_refused_with_the_nearest(kept):
    with pytest.raises(SeamloreError, match="name"):
        find(kept, Wanted(order="nam"))
    with pytest.raises(SeamloreError, match="block"):
        find(kept, Wanted(marks={"blok": "x"}))


def test_filters_count_and_two_of_one_number_are_noticed(kept):
    assert filters(kept)["block"] == (("Nine Patch", 1), ("Shoo Fly", 2))
    assert [each.says for each in twice(kept)] == ['"First" and "Second" have the same accession number 7.']


def test_side_by_side_says_what_differs_and_draws_at_one_scale(kept):
    compared = compare(kept, [1, 3])
    rows = {row.what: row for row in compared.rows}
    assert rows["block"].values == ("8 in", "6 in")
    assert rows["block"].differs
    assert not rows["setting"].differs
    assert rows["sashing"].values == ("none", "none")
    # 7 blocks of 8 in across against 7 of 6, in the same frame.
    assert {(p.width_mm, p.height_mm) for p in compared.drafts} == {(120.0, 120.0)}
    assert draft_picture(shown(kept, [1])[0]).height_mm == pytest.approx(150, abs=0.01)


def test_figures_hold_until_something_they_rest_on_changes(tmp_path):
    with Shelf(tmp_path / "shelf") as shelf:
        number = put(shelf, "First", "shoo fly", 8)
        work_out_all(shelf)
        keeping = shelf.read(number, "keeping").revision
        shelf.apply_all(number, changes_for([(Keeping(tags=("x",)), keeping, "kept")], None))
        (each,) = find(shelf, Wanted()).quilts
        assert each.facts.figures.block == (8.0, 8.0)
        assert each.listed.worked
        tape = shelf.read(number, "tape")
        changed = msgspec.structs.replace(decode(Tape, tape.value), block="7 in")
        shelf.apply_all(number, changes_for([(changed, tape.revision, "measured")], None))
        (each,) = find(shelf, Wanted()).quilts
        assert each.facts.figures is None
        assert each.lines == ("not worked out yet: open it",)
        shelf.undo(number)
        # What it rests on is as it was; the figures were let go, and are worked out again.
        assert work_out_all(shelf).count == 1


def test_parents_are_found_by_name_and_never_run_in_a_ring(tmp_path):
    with Shelf(tmp_path / "shelf") as shelf:
        old, new, newest = (shelf.create(name) for name in ("old", "new", "newest"))

        def made(number, of):
            keeping = typed(shelf, number, Keeping(), {"made_of": of})
            revision = shelf.read(number, "keeping").revision
            shelf.apply_all(number, changes_for([(keeping, revision, "made of")], None))
            return keeping

        keeping = made(new, "Old\n\nold")
        assert parents(shelf, keeping) == ((old, "old"),)
        assert children(shelf, old) == ((new, "new"),)
        made(newest, "new")
        for number, of in ((old, "old"), (old, "new"), (old, "newest")):
            with pytest.raises(SeamloreError, match="was made of this one"):
                typed(shelf, number, Keeping(), {"made_of": of})
        with pytest.raises(SeamloreError, match="none on this shelf"):
            typed(shelf, old, Keeping(), {"made_of": "nobody"})
        # A parent that left the shelf stays named.
        collection = Collection(shelf)
        collection.set_aside(old)
        collection.delete(old)
        ((number, name),) = parents(shelf, keeping)
        assert number is None
        assert typed(shelf, new, keeping, {"made_of": name}).made_of == keeping.made_of


@pytest.mark.parametrize(
    ("given", "says"),
    [
        ({"acquired_how": "stolen"}, "none of the choices"),
        ({"names": "all"}, "none of the choices"),
        ({"tags": ",".join(map(str, range(41)))}, "at most 40"),
        ({"living": "x" * 300}, "at most 200 letters"),
    ],
)
def test_what_cannot_be_kept_of_where_it_comes_from_is_refused(tmp_path, given, says):
    with Shelf(tmp_path / "shelf") as shelf:
        number = shelf.create("one")
        with pytest.raises(SeamloreError, match=says):
            typed(shelf, number, Keeping(), given)


def test_a_study_is_looked_at_as_it_was(tmp_path):
    with Shelf(tmp_path / "shelf") as shelf:
        number = shelf.create("one", changes_for([(About(story="first told"), 0, "told")], None))
        shelf.apply_all(number, changes_for([(About(story="told again"), 1, "told again")], None))
        shelf.rename(number, "two")
        was = as_it_was(shelf, number, 1)
        assert (was.name, was.step.says) == ("one", "told")
        (about,) = was.sections
        assert about.lines == (("story", "first told"),)
        assert not about.same
        assert as_it_was(shelf, number, 2).sections[0].same
        assert as_it_was(shelf, number, 0).sections[0].lines == ()
        with pytest.raises(SeamloreError, match="step 9"):
            as_it_was(shelf, number, 9)
