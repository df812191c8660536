"""What is remembered of the last few quilts is never another's."""

from seamlore.draft.catalogue import find
from seamlore.draft.groups import groups
from seamlore.draft.repeated import repeated
from seamlore.draft.setting.arranged import arrange
from seamlore.lengths import inches
from seamlore.once import Once


def test_each_quilt_has_its_own_though_its_place_in_memory_is_taken_by_the_next():
    for rows in (*range(1, 9), 3, 1):
        quilt = repeated("q", find("nine patch"), inches(6), inches(6), rows, 2)
        assert len(arrange(quilt).spots) == 2 * rows
        assert [group.count for group in groups(quilt)] == [2 * rows]
        del quilt


def test_the_last_few_are_worked_out_once_and_forgotten_when_told():
    asked = []
    doubled = Once(lambda given: asked.append(given) or given * 2)
    values = [(number,) for number in range(6)]
    assert [doubled(each) for each in (*values, *values[-4:])] == [each * 2 for each in (*values, *values[-4:])]
    assert asked == values
    doubled.cache_clear()
    doubled(values[5])
    assert asked == [*values, values[5]]


def test_what_is_said_besides_makes_another_answer():
    told = Once(lambda given, word="by machine": f"{len(given)} {word}")
    value = (1, 2)
    said = [told(value), told(value, "by hand"), told(value, word="in haste"), told(value)]
    assert said == ["2 by machine", "2 by hand", "2 in haste", "2 by machine"]


def test_what_is_left_out_is_as_if_it_were_said():
    asked = []
    told = Once(lambda given, word="by machine", more=False: asked.append(word) or word)
    value = (1, 2)
    for ways in ((), ("by machine",), ("by machine", False)):
        told(value, *ways)
    told(value, more=False)
    assert asked == ["by machine"]
