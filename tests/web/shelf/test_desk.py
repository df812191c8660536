"""What the pages share: one study as a job, readings in the background, several of them at once."""

from __future__ import annotations

import threading
import time

import numpy as np
import pytest

from seamlore.errors import SeamloreError
from seamlore.photo.files.encoding import to_jpeg
from seamlore.shelf.change import ShelfError, StaleChangeError
from seamlore.steps.study.job import Job
from seamlore.steps.study.sections import About, Making
from seamlore.steps.study.tape import Tape
from seamlore.web.carding import Carding
from seamlore.web.desk import Desk
from seamlore.web.pages.studies import begin_study


@pytest.fixture
def own(shelf):
    """A desk with a memory of its own."""
    desk = Desk(shelf)
    yield desk
    desk.close()


@pytest.fixture
def slow(monkeypatch):
    """Readings that go on until they are let go, each noted by the name of its photograph."""
    gate, begun = threading.Event(), []

    def look(job):
        begun.append(job.inputs.photo_name)
        for stage in range(200):
            job._progress(f"stage {stage}", stage / 200)
            if gate.wait(0.02):
                return job.memo.get(job.look_key, lambda: "read")
        raise SeamloreError("the reading", "nobody let it go", "set the gate")

    monkeypatch.setattr(Job, "look", property(look))
    yield gate, begun
    gate.set()


def photograph(shade):
    return to_jpeg(np.full((80, 100, 3), shade, np.uint8))


def until(condition, seconds=60.0):
    end = time.monotonic() + seconds
    while time.monotonic() < end:
        if condition():
            return True
        time.sleep(0.02)
    return False


def test_a_study_without_sections_has_empty_ones_and_nothing_to_undo(own):
    study = own.study(own.shelf.create("Star"))
    assert study.section(Tape) == Tape()
    assert (study.photograph, study.can_undo, study.can_redo) == (None, None, None)
    assert set(study.revisions.values()) == {0}


def test_the_name_on_the_shelf_is_the_name_of_the_quilt(own):
    number = own.shelf.create("Star")
    own.change(number, About(name="something older"), 0, "told its story")
    assert own.study(number).job.inputs.about.name == "Star"


def test_several_sections_are_changed_together_or_not_at_all(own):
    number = own.shelf.create("Star")
    own.change(number, Making(paper="a4"), 0, "chose the paper")
    with pytest.raises(StaleChangeError):
        own.changes(number, [(Tape(width="74 in"), 0, "entered"), (Making(), 0, "meant for an older state")])
    assert own.study(number).section(Tape) == Tape()


def test_a_study_that_is_not_there_is_refused(own):
    with pytest.raises(ShelfError, match="study number 5"):
        own.study(5)


def test_two_studies_are_read_at_the_same_time_and_neither_waits_for_the_other(own, slow):
    gate, begun = slow
    numbers = [begin_study(own, photograph(shade), f"{shade}.jpg") for shade in (90, 160)]
    works = [own.reading(own.study(number)) for number in numbers]
    assert until(lambda: len(begun) == 2)
    assert until(lambda: all(work.part > 0 for work in works))
    assert [work.done for work in works] == [False, False]
    gate.set()
    assert until(lambda: all(work.done for work in works))
    assert [work.fault for work in works] == ["", ""]


def test_a_page_that_is_loaded_again_finds_the_reading_that_is_under_way(own, slow):
    gate, begun = slow
    number = begin_study(own, photograph(120), "a.jpg")
    first = own.reading(own.study(number))
    assert own.reading(own.study(number)) is first
    assert begun == ["a.jpg"]
    gate.set()
    assert until(lambda: first.done)
    assert own.reading(own.study(number)).done


def test_stopping_one_reading_leaves_the_other_going(own, slow):
    gate, _ = slow
    one, two = (begin_study(own, photograph(shade), f"{shade}.jpg") for shade in (60, 200))
    works = [own.reading(own.study(number)) for number in (one, two)]
    own.stop_reading(own.study(one))
    assert until(lambda: works[0].done)
    assert works[0].fault == "The reading was stopped."
    assert not works[1].done
    gate.set()
    assert until(lambda: works[1].done)
    assert works[1].fault == ""


def test_when_the_table_is_closed_nothing_works_on(own, slow):
    """Whoever is still in a library when Python ends takes the program down with a message of the library's own."""
    work = own.reading(own.study(begin_study(own, photograph(77), "a.jpg")))

    def endless(told):
        while True:
            told("printing", 0.5)
            time.sleep(0.001)

    file = own.files.begin("catalogue", endless)
    own.close()
    assert (work.fault, file.work.fault) == ("The reading was stopped.", "It was stopped.")
    assert not {"reading", "file", "figures"} & {each.name for each in threading.enumerate()}


def test_a_reading_that_could_not_be_done_says_why_and_is_begun_anew_only_when_asked(own, monkeypatch):
    tried = []

    def look(job):
        tried.append(1)
        raise SeamloreError("the picture", "it is too dark", "take another")

    monkeypatch.setattr(Job, "look", property(look))
    study = own.study(begin_study(own, photograph(10), "dark.jpg"))
    work = own.reading(study)
    assert until(lambda: work.done)
    assert "it is too dark" in work.fault
    own.reading(study)
    assert len(tried) == 1
    own.read_again(study)
    own.reading(study)
    assert until(lambda: len(tried) == 2)


def test_a_mistake_in_reading_is_told_to_who_waits_for_it(own, monkeypatch):
    monkeypatch.setattr(Job, "look", property(lambda job: 1 / 0))
    work = own.reading(own.study(begin_study(own, photograph(30), "a.jpg")))
    assert until(lambda: work.done)
    assert "Seamlore has made a mistake" in work.fault


def test_a_card_waits_until_nothing_was_changed_for_a_while(desk):
    told, over = [], threading.Event()
    carding = Carding(desk)

    class Meanwhile(threading.Event):
        """Instead of waiting: the first time, another study is changed meanwhile."""

        def wait(self, timeout=None):
            told.append("waited")
            if told == ["waited"]:
                carding.later(2)
            if len(told) > 3:
                over.set()
            return self.is_set()

    carding._closing = Meanwhile()
    carding.now = told.append
    carding.later(1)
    assert over.wait(60)
    assert told == ["waited", "waited", 1, 2, "waited"]
