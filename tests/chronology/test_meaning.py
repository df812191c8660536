"""What the years mean together, what does not go together, and what to look at next."""

from __future__ import annotations

import pytest

from seamlore.chronology.clashes import contradictions
from seamlore.chronology.evidence_file import read_dossier
from seamlore.chronology.looks import looks
from seamlore.chronology.meaning import deed, headline, label_words
from seamlore.chronology.reasons import Answer
from seamlore.steps.date import date


def clue(part, key, **words):
    lines = [
        f'{word} = "{value}"' if isinstance(value, str) else f"{word} = {value}" for word, value in words.items()
    ]
    return "\n".join(["[[evidence]]", f'part = "{part}"', f'clue = "{key}"', *lines, ""])


def dated(*entries):
    return date("usual_order = true\n" + "".join(entries), this_year=2026)


def answer(part, low, high, *, known=True):
    middle = (low + high) // 2
    return Answer(part, middle, (low + (high - low) // 4, high - (high - low) // 4), (low, high), "", "", (), known)


def test_an_answer_that_leaves_the_usual_years_of_a_clue_says_so():
    told = dated(clue("blocks", "prussian blue"), clue("blocks", "polyester thread"), clue("blocks", "rotary cut"))
    (sentence,) = told.departures
    assert sentence.startswith("Prussian blue")
    assert "was usual until 1860, earlier than the answer" in sentence
    assert dated(clue("blocks", "prussian blue")).departures == ()


def test_things_of_two_ages_in_one_part_are_told_while_the_answer_is_torn_between_them():
    told = dated(clue("blocks", "prussian blue"), clue("blocks", "polyester cloth"))
    (sentence,) = told.departures
    assert sentence.startswith("Prussian blue")
    assert "usual until 1860" in sentence
    assert "came only in 1953, 93 years later" in sentence
    # Not on two parts, and not once more evidence has settled it.
    assert dated(clue("blocks", "prussian blue"), clue("backing", "polyester cloth")).departures == ()
    settled = dated(clue("blocks", "prussian blue"), clue("blocks", "polyester cloth"), clue("blocks", "rotary cut"))
    assert all("came only" not in each for each in settled.departures)


def test_cloth_that_may_have_waited_contradicts_nothing_later():
    late = clue("blocks", "polyester thread")
    assert dated(clue("blocks", "prussian blue"), late).contradictions == ()
    # What was done then cannot have been done with a thread of later.
    told = dated(clue("edge finish", "fringe"), clue("edge finish", "polyester thread"))
    assert [("can hardly both be right" in each.sentence) for each in told.contradictions] == [True]


def test_years_with_holes_that_never_meet_contradict():
    text = '[[evidence]]\npart = "top"\nsays = "{}"\nwhen = "{}"\ntrust = 0.9\n'
    file = text.format("one", "[1884,1886]") + text.format("two", "[1885,1887]")
    assert len(contradictions(read_dossier(file, this_year=2026))) == 1
    file = text.format("one", "[1884,1886]") + text.format("two", "[1886,1888]")
    assert contradictions(read_dossier(file, this_year=2026)) == ()


def test_the_order_ties_contradictions_through_parts_between():
    text = '[[evidence]]\npart = "{}"\nsays = "x"\nwhen = "{}"\ntrust = 0.9\n'
    file = (
        text.format("a", "1940") + text.format("c", "1930") + '[[order]]\nearlier = "a"\nlater = "b"\nkept = "5/9"\n'
    )
    file += '[[order]]\nearlier = "b"\nlater = "c"\n'
    (found,) = contradictions(read_dossier(file, this_year=2026))
    assert "the a came before the c" in found.sentence
    assert contradictions(read_dossier(file.replace("1930", "1945"), this_year=2026)) == ()
    assert len(contradictions(read_dossier(file.replace("1930", "1944"), this_year=2026))) == 1


def test_what_to_look_at_next_narrows_and_is_not_named_again_once_seen():
    before = dated(clue("blocks", "shirting"))
    first = before.next_looks[0]
    assert first.narrowing >= before.next_looks[-1].narrowing >= 1
    assert all(look.clues for look in before.next_looks)
    seen = dated(clue("blocks", "shirting"), clue(first.part, first.clues[0].key))
    assert first.sentence.split(" (")[0] not in [look.sentence.split(" (")[0] for look in seen.next_looks]


@pytest.mark.parametrize("look", looks(), ids=lambda look: look.how[:40])
def test_a_look_names_what_can_be_seen_on_that_part(look):
    assert all(look.part in each.parts for each in look.found), [
        each.key for each in look.found if look.part not in each.parts
    ]


def test_the_headline_names_parts_of_the_same_years_together_and_what_is_not_known():
    told = (
        answer("top", 1885, 1895),
        answer("quilting", 1930, 1950),
        answer("binding", 1930, 1950),
        answer("label", 1800, 2000),
    )
    assert (
        headline(told)
        == "Pieced about 1885 to 1895; quilted and bound about 1930 to 1950; the label not known closely"
    )
    assert headline(()) == ""


def test_a_label_says_only_what_is_known_closely():
    told = (answer("top", 1885, 1895), answer("quilting", 1930, 1940), answer("backing", 1930, 1940))
    assert label_words(told) == "pieced about 1890, quilted about 1935"
    assert label_words((answer("top", 1800, 1900),)) == ""
    assert label_words((answer("top", 1885, 1885),)) == "pieced in 1885"
    assert label_words((answer("top", 1885, 1895, known=False),)) == ""


def test_each_part_has_a_word_for_how_it_was_made():
    assert [deed(part) for part in ("blocks", "top", "ties", "border", "fringe")] == [
        "pieced",
        "pieced",
        "tied",
        "bordered",
        "bound",
    ]
