"""The evidence file: what it reads, and one line with its place for everything it refuses."""

from __future__ import annotations

import pytest

from seamlore.chronology.evidence_file import read_dossier
from seamlore.chronology.parts import usual_order
from seamlore.errors import DateError, SeamloreError

TOP = '[[evidence]]\npart = "blocks"\nsays = "a label"\nwhen = "1885"\ntrust = 0.9\n'


def read(text):
    return read_dossier(text, this_year=2026)


@pytest.mark.parametrize(
    ("text", "message"),
    [
        (TOP.replace('"1885"', '"1890/1880"'), r"line 1, evidence 1: .*ends before it starts.*1880/1890"),
        (TOP.replace('"1885"', '"the war"'), r"line 1, evidence 1: .*not a date that can be read"),
        (TOP.replace("0.9", "1.5"), r"line 1, evidence 1: trust 1.5: trust is from 0 to 1"),
        (TOP.replace("trust = 0.9\n", ""), r"line 1, evidence 1: no trust"),
        (TOP.replace("says", "sayz"), r'"sayz".*did you mean "says"'),
        (
            TOP + '[[order]]\nearlier = "blocs"\nlater = "quilting"',
            r'line 6, order 1: a part named "blocs".*"blocks"',
        ),
        (TOP + '[[order]]\nearlier = "blocks"\nlater = "filling"\nkept = "9/3"', r"kept.*ends before it starts.*3/9"),
        (
            TOP + '[[evidence]]\npart = "blocks"\nclue = "turkey rod"',
            r'line 6, evidence 2: .*did you mean "turkey red"',
        ),
        (TOP + 'horizon = "1900', r"it is not TOML"),
        ('horizon = "2026/1700"\n' + TOP, r"horizon: .*ends before it starts"),
        (
            'parts = ["blocks"]\n' + TOP + '[[order]]\nearlier = "blocks"\nlater = "lining"',
            r'"lining".*choose one of: blocks',
        ),
    ],
)
def test_a_wrong_entry_is_refused_in_one_line_with_its_place(text, message):
    with pytest.raises(SeamloreError, match=message) as caught:
        read(text)
    assert "\n" not in str(caught.value)


def test_an_order_that_goes_round_is_named_when_posed():
    from seamlore.chronology.reasons import weigh

    text = TOP + "".join(
        f'[[order]]\nearlier = "{one}"\nlater = "{two}"\n' for one, two in [("a", "b"), ("b", "c"), ("c", "a")]
    )
    dossier = read(text)
    with pytest.raises(DateError, match=r"goes round in a circle"):
        weigh(dossier)


def test_an_order_may_bring_in_a_part_of_its_own():
    dossier = read(TOP + '[[order]]\nearlier = "backing"\nlater = "binding"\n')
    assert dossier.parts == ("blocks", "backing", "binding")


def test_parts_that_differ_by_a_number_are_not_slips_of_each_other():
    dossier = read(TOP.replace("blocks", "block 1") + '[[order]]\nearlier = "block 1"\nlater = "block 2"\n')
    assert dossier.parts == ("block 1", "block 2")


def test_the_usual_order_skips_parts_that_are_not_there():
    assert usual_order(("fabric", "quilting", "repair")) == (("fabric", "quilting"), ("quilting", "repair"))


def test_a_trap_is_kept_as_a_caution_and_weighs_nothing():
    dossier = read('[[evidence]]\npart = "filling"\nclue = "cotton seeds"')
    assert dossier.evidence[0].trust == 0
    assert "proves nothing" in dossier.cautions[0]


def test_a_file_without_a_horizon_runs_from_1700_to_this_year():
    assert read(TOP).horizon == (1700, 2026)


def test_days_that_are_not_in_the_calendar_and_years_before_1000_are_refused():
    for when in ("1885-02-30", "0999", "1900-02-29", "18XX-13"):
        with pytest.raises(DateError, match=r"line 1, evidence 1"):
            read(TOP.replace('"1885"', f'"{when}"'))
    assert read(TOP.replace('"1885"', '"1884-02-29"')).evidence[0].when.first == 1884


def test_a_misspelt_part_is_asked_about_where_parts_belong_together():
    with pytest.raises(DateError, match=r'"bloks".*did you mean "blocks"'):
        read("usual_order = true\n" + TOP.replace("blocks", "bloks"))
    # Without the usual order parts keep the names that the file gives.
    assert read(TOP.replace("blocks", "bloks")).parts == ("bloks",)


def test_plain_words_for_parts_have_their_place_in_the_order():
    parts = ("top", "batting", "quilting", "binding")
    assert usual_order(parts) == (("top", "quilting"), ("batting", "quilting"), ("quilting", "binding"))


@pytest.mark.parametrize(
    ("text", "message"),
    [
        ("usual_order = 1\n" + TOP, "true or false"),
        ("parts = 3\n" + TOP, "a list of names"),
        ("shares = 3\n" + TOP, "a table"),
        ("[shares]\nquilting = 2\n" + TOP, "a share is from 0 to 1"),
        (TOP + "about = -1", "0 to 500 years"),
        (TOP + "about = inf", "no such number"),
        (TOP.replace("a label", "x" * 600), "at most 500"),
        ("x = " + "[" * 3000 + "]" * 3000, "nested too deep"),
        ("x = " + "9" * 5000, "not TOML"),
        (TOP + "patches = 0", "1 or more"),
        ('[[evidence]]\npart = "blocks"\nclue = "turkey red"\nsure = 2', "sure 2"),
        ('[[evidence]]\npart = "blocks"\nclue = "turkey red"\npatches = 0', "1 or more"),
    ],
)
def test_what_no_file_may_say_gets_one_line(text, message):
    if "patches = 0" in text and "clue" not in text:
        text = text.replace('says = "a label"\nwhen = "1885"\ntrust = 0.9\n', 'clue = "turkey red"\n')
    with pytest.raises(SeamloreError, match=message) as caught:
        read(text)
    assert "\n" not in str(caught.value)


def test_about_reaches_both_ways():
    from seamlore.chronology.reasons import weigh

    p = weigh(read(TOP.replace('"1885"', '"1885~"').replace("0.9", "1.0") + "about = 3")).dates.of("blocks")
    assert [1700 + int(year) for year in p.nonzero()[0]] == list(range(1882, 1889))


def test_evidence_of_trust_0_contradicts_nothing():
    from seamlore.chronology.clashes import contradictions

    against = TOP + TOP.replace("1885", "1930").replace("0.9", "{}")
    assert len(contradictions(read(against.format(0.1)))) == 1
    assert contradictions(read(against.format(0))) == ()
