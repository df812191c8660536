"""Help: in US or in British words, to the bare name too, and every command's."""

import click
import pytest

from seamlore.cli.main import COMMANDS, run, seamlore
from seamlore.wording import spoken


@pytest.fixture(autouse=True)
def _american_again():
    yield
    spoken.set("us")


def said(capsys, *words):
    assert run(list(words)) == 0
    return " ".join(capsys.readouterr().out.split())


@pytest.mark.parametrize("words", [["--british", "--help"], ["--help", "--british"], ["--british", "make", "-h"]])
def test_help_is_in_british_words_wherever_the_switch_stands(capsys, words):
    text = said(capsys, *words)
    assert "wadding" in text
    assert "batting" not in text


def test_help_is_in_british_words_when_these_are_set_for_good(capsys, monkeypatch):
    monkeypatch.setenv("SEAMLORE_BRITISH", "1")
    assert "wadding" in said(capsys)


def test_the_bare_name_is_answered_with_help_in_us_words(capsys):
    text = said(capsys)
    assert all(f" {command} " in text for command in COMMANDS)
    assert "batting" in text


def test_what_is_typed_stays_as_it_is_typed(capsys):
    text = said(capsys, "--british", "draft", "--help")
    assert "Mitre the corners" in text
    assert "--color TEXT" in text
    assert '"4in, mitered, brown"' in text


def test_every_command_has_help_in_the_wording_that_is_spoken():
    for name in COMMANDS:
        with click.Context(seamlore) as context:
            command = seamlore.get_command(context, name)
        inner = list(command.commands.values()) if isinstance(command, click.Group) else []
        for each in [command, *inner]:
            spoken.set("british")
            text = each.get_help(each.make_context(name, [], resilient_parsing=True))
            assert "color " not in text.replace("--color ", ""), name
            assert "batting" not in text, name
