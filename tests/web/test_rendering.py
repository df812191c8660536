"""Templates: what users wrote is shown and never run."""

import jinja2
import pytest

from seamlore.drawing.picture import picture
from seamlore.drawing.shapes import Area, box
from seamlore.lengths import Unit, inches
from seamlore.steps.order import STEPS
from seamlore.web.rendering import drawn, environment, in_words


def filled(text, **given):
    return environment().from_string(text).render(**given)


def test_markup_from_a_user_is_escaped():
    assert filled("{{ name }}", name="<script>alert(1)</script>") == "&lt;script&gt;alert(1)&lt;/script&gt;"


def test_a_name_that_a_template_was_not_given_is_refused():
    with pytest.raises(jinja2.UndefinedError):
        filled("{{ missing }}")


def test_every_template_can_be_read():
    names = environment().list_templates()
    assert {"shelf.html", "look.html", "part/draft.html", "part/arrivals.html"} <= set(names)
    for name in names:
        environment().get_template(name)


def test_every_step_has_a_page_of_its_own(client, demo):
    for step in STEPS:
        page = client.get(f"/study/{demo}/{step.name}").text
        assert 'aria-current="page"' in page
        assert step.title in page
        assert step.question in page


def test_a_picture_is_set_in_whole_and_its_title_escaped():
    shown = drawn(picture(10, 10, [Area((box(0, 0, 5, 5),), "#ffffff")], title="<b>A & B</b>", description="Plain."))
    assert shown.startswith("<svg")
    assert "<b>" not in shown
    assert "&lt;b&gt;A &amp; B&lt;/b&gt;" in shown


def test_a_length_is_said_in_the_unit_asked_for():
    assert in_words(inches(10)) == "10 in"
    assert in_words(inches(10), Unit.CM) == "25.4 cm"
