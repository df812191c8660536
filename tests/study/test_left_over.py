"""What a draft has more or less than the quilt, and what each part of it is put down to."""

from __future__ import annotations

from types import SimpleNamespace

import pytest

from seamlore.lengths import inches
from seamlore.study.adjustment import adjust
from seamlore.study.causes import Cause, Kind
from seamlore.study.left_over import LeftOver, left_over, left_over_words
from seamlore.study.measured import What, taken
from seamlore.study.measurements import measurements


def found(width="70", height="74"):
    said = [taken(What.OVERALL, inches(width), "across")]
    said += [taken(What.OVERALL, inches(height), "down")] if height else []
    return adjust(measurements([*said, taken(What.BLOCK, inches("14.5"))], columns=5, rows=5))


def account(*causes, cut=()):
    return SimpleNamespace(causes=tuple(causes), cut=cut)


@pytest.mark.parametrize(
    ("kind", "said"),
    [
        (Kind.UNTOLD, "something that is not told"),
        (Kind.FIGURE, "a figure that was misread"),
        (Kind.WIDE_SEAMS, "seams taken wide"),
        (Kind.SHRUNK, "quilting and washing"),
        (None, "quilting, washing or stretch"),
    ],
)
def test_a_difference_is_put_down_to_its_cause(kind, said):
    causes = (Cause(kind, along="across"),) if kind else ()
    (across, _) = left_over(found(), account(*causes), (inches("72.5"), inches(74)))
    assert across.put_down_to == ((said, inches("2.5")),)
    assert (across.along, across.found, across.drafted, across.more) == (
        "across",
        inches(70),
        inches("72.5"),
        inches("2.5"),
    )
    assert (across.said, across.reasons) == ("2 1/2 in more in the width", f"put down to {said}")


def test_what_is_cut_off_is_told_apart_from_the_rest_and_only_of_its_own_sides():
    lost = (("left", inches(1)), ("right", inches(1)), ("top", inches(3)))
    across, down = left_over(found(), account(cut=lost), (inches("72.5"), inches(77)))
    assert across.put_down_to == (
        ("what is cut off or folded in", inches(2)), ("quilting, washing or stretch", inches("1/2")),
    )  # fmt: skip
    assert across.reasons == (
        "put down to several things: 2 in to what is cut off or folded in and 1/2 in to quilting, washing or stretch"
    )
    assert down.put_down_to == (("what is cut off or folded in", inches(3)),)


def test_a_part_that_goes_the_other_way_is_said_to_be_less():
    (across, _) = left_over(found(), account(cut=(("left", inches(3)),)), (inches(72), inches(74)))
    assert across.reasons.endswith("1 in less to quilting, washing or stretch")
    smaller = LeftOver("down", inches(74), inches(72), (("a", inches(-3)), ("b", inches(1))))
    assert smaller.said == "2 in less in the length"
    assert smaller.reasons == "put down to several things: 3 in to a and 1 in less to b"


def test_sizes_of_her_own_are_put_down_to_nothing_else():
    across, down = left_over(found(), account(cut=(("left", inches(1)),)), (inches(75), inches(74)), own=True)
    assert across.put_down_to == (("sizes of your own", inches(5)),)
    assert down.put_down_to == ()


def test_only_what_her_sizes_add_is_put_down_to_them():
    across, down = left_over(
        found(), account(cut=(("left", inches(1)),)), (inches(78), inches(74)), before=(inches(72), inches(74))
    )
    assert across.put_down_to == (
        ("what is cut off or folded in", inches(1)), ("quilting, washing or stretch", inches(1)), ("sizes of your own", inches(6)),
    )  # fmt: skip
    assert down.put_down_to == ()


def test_what_no_tape_shows_is_left_out():
    across, _ = left_over(found(), account(), (inches("70.03"), inches(74)))
    assert across.put_down_to == ()


@pytest.mark.parametrize(
    ("height", "size", "said"),
    [
        ("74", ("70", "74"), "Drafted as the tape has it: 70 x 74 in."),
        (None, ("70", "74"), "Drafted as the tape has it: 70 in wide."),
        ("74", ("71", "74"), "By tape 70 x 74 in, drafted 71 x 74 in: 1 in more in the width, put down to quilting, washing or stretch."),
        (
            "74", ("71", "75"),
            "By tape 70 x 74 in, drafted 71 x 75 in: 1 in more in the width and 1 in more in the length, put down to "
            "quilting, washing or stretch.",
        ),
        (None, ("69", "74"), "By tape 70 in wide, drafted 69 x 74 in: 1 in less in the width, put down to quilting, washing or stretch."),
    ],
)  # fmt: skip
def test_it_is_said_in_one_sentence(height, size, said):
    width, length = (inches(each) for each in size)
    assert left_over_words(found(height=height), account(), (width, length)) == said


def test_unlike_reasons_are_told_one_after_the_other():
    told = left_over_words(found(), account(cut=(("left", inches(1)),)), (inches(71), inches(75)))
    assert told.endswith(
        "1 in more in the width, put down to what is cut off or folded in; 1 in more in the length, put down to quilting, "
        "washing or stretch."
    )
