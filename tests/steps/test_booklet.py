"""What the booklet says follows how the quilt is made, to its last step."""

import datetime

import pytest

from seamlore.draft.catalogue import find
from seamlore.draft.repeated import repeated
from seamlore.lengths import inches
from seamlore.making.plan import plan
from seamlore.steps.booklet import booklet_content
from seamlore.steps.make import as_record

QUILT = repeated("Q", find("shoo fly"), inches(9), inches(9), 7, 8)


def said(**given):
    made = plan(QUILT, **given)
    content = booklet_content(made, printed=datetime.date(2026, 11, 30))
    return [each.name for each in content.finishing], " ".join(content.finishing_steps), as_record(made)["filling"]


def test_batting_is_called_batting():
    bought, steps, record = said()
    assert bought == ["Backing", "Batting", "Binding"]
    assert "Layer backing, batting and top" in steps
    assert "the batting's label" in steps
    assert (record["kind"], record["size"]) == ("batting", (80, 71))


@pytest.mark.parametrize("kind", ["blanket", "older quilt"])
def test_a_blanket_or_an_older_quilt_is_named_so_and_has_no_package(kind):
    bought, steps, record = said(filled_with=kind)
    assert bought == ["Backing", kind.capitalize(), "Binding"]
    assert f"Layer backing, {kind} and top" in steps
    assert "batting" not in steps
    assert (record["kind"], record["package"]) == (kind, "")


def test_a_quilt_of_two_layers_has_no_filling():
    bought, steps, record = said(filled_with="none")
    assert bought == ["Backing", "Binding"]
    assert "two layers" in steps
    assert (record["kind"], record["size"]) == ("none", None)
