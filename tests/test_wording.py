"""British words behind one switch: every word of the table, and nothing that is a user's own or to be typed."""

import pytest

from seamlore.wording import american, reworded, reworded_page, speaking, table


@pytest.mark.parametrize(("us", "british"), sorted(table().items()))
def test_every_word_of_the_table_in_every_case(us, british):
    assert reworded(f"{us}, {us.upper()}; {us.capitalize()}.", "british") == (
        f"{british}, {british.upper()}; {british[0].upper()}{british[1:]}."
    )
    assert american(british) in table()


@pytest.mark.parametrize(
    "text",
    [
        "--color A=gray",
        "seamlore draft --gray",
        "gray.csv",
        "#gray",
        "color=red",
        'write "gray" or “color”',
        "parameters, colorado, diameter, the mitersaw",
        "a meteor",
    ],
)
def test_what_is_to_be_typed_and_what_only_looks_like_a_word_stays(text):
    assert reworded(text, "british") == text


def test_a_users_own_words_stay_wherever_they_stand():
    said = "Gray Ladies: cut gray scraps, of one color; gray scraps again, and grayscraps"
    assert reworded(said, "british", keep=["gray scraps", "Gray Ladies", "indigo"]) == (
        "Gray Ladies: cut gray scraps, of one colour; gray scraps again, and grayscraps"
    )


def test_days_are_written_the_british_way():
    assert reworded("printed November 5, 2026", "british") == "printed 5 November 2026"


def test_in_us_words_nothing_is_touched():
    assert reworded("gray batting", "us") == reworded("gray batting") == "gray batting"


def test_a_page_keeps_its_code_and_its_fields():
    page = (
        '<html lang="en-US"><p class="color" aria-label="one color">A color</p><input name="color" value="gray">'
        '<textarea>a color</textarea><script>const color = 1</script><option value="gray">gray</option>'
        "<td>R&amp;B gray</td>"
    )
    assert reworded_page(page, "british", keep=["R&B gray"]) == (
        '<html lang="en-GB"><p class="color" aria-label="one colour">A colour</p><input name="color" value="gray">'
        '<textarea>a color</textarea><script>const color = 1</script><option value="gray">grey</option>'
        "<td>R&amp;B gray</td>"
    )


def test_words_are_spoken_for_a_while_only():
    with speaking("british", keep=["my color"]):
        assert reworded("my color, a color") == "my color, a colour"
        with speaking(keep=["batting"]):
            assert reworded("my color, batting") == "my color, batting"
    assert reworded("a color") == "a color"
