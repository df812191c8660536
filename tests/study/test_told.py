"""What is told of a quilt's sums, whole sentences: each cause with its numbers, the sum once more, what to measure next.

The tape is a quilter's: blocks of 8 in and sashing of 3 in, 7 across and 8 down, come to 7 x 8 + 6 x 3 = 74 in and to
8 x 8 + 7 x 3 = 85 in. What each case adds or takes away is worked out by hand beside it.
"""

import pytest

from seamlore.lengths import centimeters, inches
from seamlore.study.accounts import gone
from seamlore.study.adjustment import adjust
from seamlore.study.causes import Kind
from seamlore.study.measured import What, taken
from seamlore.study.measurements import measurements
from seamlore.study.next_measure import next_measure, short_name


def taped(width, height, *more, unit=inches, block=8, sashing=3, **counts):
    lengths = [taken(What.BLOCK, unit(block)), *more]
    lengths += [taken(What.SASHING, unit(sashing))] if sashing else []
    lengths += [taken(What.OVERALL, unit(width), "across")] if width else []
    lengths += [taken(What.OVERALL, unit(height), "down")] if height else []
    return adjust(measurements(lengths, **{"columns": 7, "rows": 8, **counts}))


BORDER_OF_FOUR = taken(What.BORDER, inches(4), "both")
WHOLE_OUTER = tuple(taken(What.OUTER, inches(8), "across", side=side) for side in ("left", "right"))
CASES = {
    # 85 - 74 = 11 in is one block and one sashing.
    "a column more": (
        taped(85, 85),
        ["MISCOUNT across"],
        "There are 8 columns, not 7. 8 x 8 + 7 x 3 = 85 in; 8 x 8 + 7 x 3 = 85 in.",
    ),
    "a row less": (
        taped(74, 74),
        ["MISCOUNT down"],
        "There are 7 rows, not 8. 7 x 8 + 6 x 3 = 74 in; 7 x 8 + 6 x 3 = 74 in.",
    ),
    # 80 - 74 = 6 in and 91 - 85 = 6 in are two strips of sashing.
    "sashing round it": (
        taped(80, 91),
        ["OUTER_SASHING both"],
        "Sashing runs round the outside of the blocks too. 7 x 8 + 8 x 3 = 80 in; 8 x 8 + 9 x 3 = 91 in.",
    ),
    "a border at the sides": (
        taped(84, 85),
        ["BORDER across"],
        "A border of about 5 in at the sides is not in the sums.",
    ),
    "a border all round": (
        taped(84, 95),
        ["BORDER across", "BORDER down"],
        "A border of about 5 in all round is not in the sums.",
    ),
    "unequal borders": (
        taped(84, 93),
        ["BORDER across", "BORDER down"],
        "A border of about 5 in at the sides and 4 in at top and bottom is not in the sums.",
    ),
    # 74 + 2 x 4 would be 82; 86 is 2 x 2 in more.
    "a border wider than said": (
        taped(86, 93, BORDER_OF_FOUR),
        ["BORDER across"],
        "The border at the sides is not the 4 in that was said: it is about 6 in.",
    ),
    "a border that is not there": (
        taped(74, 93, BORDER_OF_FOUR),
        ["BORDER across"],
        "There is no border at the sides, though one of 4 in was told.",
    ),
    # 7 blocks of 8 in are 56 in each way; 54 1/2 and 57 1/2 differ by 3 in 56.
    "drawn in one way": (
        taped("54.5", "57.5", sashing=0, rows=7),
        ["STRETCHED both"],
        "Quilting, washing or stretch have made it about 5.2 in 100 longer than wide, measured against what its maker "
        "pieced.",
    ),
    "drawn in the other way": (
        taped("57.5", "54.5", sashing=0, rows=7),
        ["STRETCHED both"],
        "Quilting, washing or stretch have made it about 5.2 in 100 wider than long, measured against what its maker "
        "pieced.",
    ),
    "more than is told": (
        taped(101, 85),
        ["UNTOLD across"],
        "Something is not told: the width is 27 in more than anything told makes up.",
    ),
    "less than is told": (
        taped(60, 85, *WHOLE_OUTER),
        ["UNTOLD across"],
        "Something is told wrongly: the width is 14 in less than what was told makes.",
    ),
    "less in the length": (
        taped(74, 69, *(taken(What.OUTER, inches(8), "down", side=side) for side in ("top", "bottom"))),
        ["UNTOLD down"],
        "Something is told wrongly: the length is 16 in less than what was told makes.",
    ),
    # 74 - 70 1/2 = 3 1/2; 85 - 81 = 4.
    "cut all round": (
        taped("70.5", 81),
        ["CUT across", "CUT down"],
        "The outer blocks are cut down or folded in: 3 1/2 in is gone from the width, 1 3/4 in from each side if both were "
        "cut alike; 4 in is gone from the length, 2 in from each side if both were cut alike.",
    ),
    # 7 x 7 1/2 + 18 = 70 1/2 and 8 x 7 1/2 + 21 = 81: two seam allowances of 1/4 in in each block.
    "block measured unfinished": (
        taped("70.5", 81),
        ["UNFINISHED both"],
        "The block was measured unfinished, with 1/4 in of seam allowance on each side: it is 7 1/2 in finished, not 8 in. "
        "7 x 7 1/2 + 6 x 3 = 70 1/2 in; 8 x 7 1/2 + 7 x 3 = 81 in.",
    ),
    # 56 + 6 x 2 1/2 = 71 and 64 + 7 x 2 1/2 = 81 1/2.
    "sashing measured unfinished": (
        taped(71, "81.5"),
        ["SASHING_UNFINISHED both"],
        "The sashing was measured unfinished: it is 2 1/2 in finished, not 3 in. 7 x 8 + 6 x 2 1/2 = 71 in; "
        "8 x 8 + 7 x 2 1/2 = 81 1/2 in.",
    ),
    "sashing said too narrow": (
        taped("77", "88.5"),
        ["FIGURE both"],
        "The sashing is wider than said: about 3 1/2 in, not 3 in.",
    ),
    # 13 columns of 20 cm would do too; here each of 13 + 15 seams takes about a quarter of 4 and 5 cm.
    "seams taken wide, by centimeters": (
        taped(176, 202, unit=centimeters, block=20, sashing=7),
        ["WIDE_SEAMS both"],
        "Every seam was taken about 2 mm wider than planned, on each side of the seam.",
    ),
}


def causes_of(each):
    return [f"{cause.kind.name} {cause.along}" for cause in each.causes]


@pytest.mark.parametrize("case", CASES)
def test_each_account_is_told_with_its_numbers(case):
    found, causes, text = CASES[case]
    told = [each.text for each in found.explanations if causes_of(each) == causes]
    assert text in told


def test_nothing_wrong_is_told_by_whether_anything_was_tested():
    assert taped(74, 85).explanations[0].text.startswith("Nothing is wrong: the sums come out.")
    assert taped(None, None).explanations[0].text.startswith("Nothing that was measured disagrees.")


def test_a_sum_is_never_shown_with_other_figures_than_were_just_said():
    # 20 - 2 x 0.75 = 18.5 cm, and 7 x 18.5 + 6 x 7 = 171.5 cm, which is not the 176 cm that were taped.
    found = CASES["seams taken wide, by centimeters"][0]
    told = {each.causes[0].kind: each.text for each in found.explanations if len(each.causes) == 1}
    assert told[Kind.UNFINISHED].endswith("it is 18.5 cm finished, not 20 cm.")
    assert told[Kind.SASHING_UNFINISHED].endswith("it is 5.5 cm finished, not 7 cm.")


def test_what_an_account_takes_otherwise_is_said():
    found = taped("54.5", "57.5", sashing=0, rows=7)
    (cut,) = (each for each in found.explanations if causes_of(each) == ["CUT across"])
    # 57 1/2 / 7 is 8.21: the block is taken as 8 1/4 in, and 7 x 8 1/4 = 57 3/4 is 3 1/4 in more than 54 1/2.
    assert cut.text.endswith("1 5/8 in from each side if both were cut alike. That takes the block as 8 1/4 in.")
    found = taped(84, 93)
    both = next(each for each in found.explanations if causes_of(each) == ["OUTER_SASHING both", "FIGURE across"])
    assert both.text.endswith("it should be about 81 3/4 in, not 84 in. That takes the sashing as 3 1/4 in.")


def test_nothing_at_all_is_never_told_to_be_missing():
    for found, _, _ in CASES.values():
        for each in found.explanations:
            assert " 0 in" not in each.text
            assert " 0 cm" not in each.text


def test_what_is_gone_with_sashing_round_the_outside():
    # 56 + 8 x 3 = 80 in uncropped; 77 in by tape.
    found = taped(77, None, outer_sashing=True)
    cut = next(each for each in found.explanations if causes_of(each) == ["CUT across"])
    sides = dict(gone(found.measured, cut.causes, "across", cut.fit))
    assert sides == {"left": inches("1.5"), "right": inches("1.5")}


# What to measure next. 4 x (8 + 3) = 44, and 4 x (7 1/2 + 3) = 42, as 4 x (8 + 2 1/2) is.
NEXT = {
    "cut or unfinished": (
        taped("70.5", None, rows=None),
        "Measure same edge to same edge over four blocks, across, leaving the outermost blocks out: 44 in if the outer "
        "blocks are cut, 42 in if the block was measured unfinished or the sashing was measured unfinished.",
    ),
    "a border, or a column and a row": (
        taped(84, 95),
        "Measure the border at the left, from the seam of the outermost blocks to the edge of the quilt: none if there are "
        "eight columns and there are nine rows, 5 in if there is a border, 5 1/4 in if there is a border at the sides and "
        "there are nine rows.",
    ),
    "a border at the sides, or a column": (
        taped(84, 85),
        "Measure the border at the left, from the seam of the outermost blocks to the edge of the quilt: 5 in if there is "
        "a border at the sides, none if there are eight columns.",
    ),
    "another border, or a slip": (
        taped(86, 93, BORDER_OF_FOUR),
        "Measure the border at the left, from the seam of the outermost blocks to the edge of the quilt: 6 in if the "
        "border is another at the sides, 4 in if the width of the quilt was misread.",
    ),
    "a border, or what is not told": (
        taped(101, 85),
        "Measure the border at the left, from the seam of the outermost blocks to the edge of the quilt: 13 1/2 in if "
        "there is a border at the sides, none if something else is behind the width.",
    ),
    "stretched or cut": (
        taped("54.5", "57.5", sashing=0, rows=7),
        "Measure seam to seam over four blocks, across, leaving the outermost blocks out: 31 1/8 in if the quilt is "
        "stretched or drawn in more one way than the other, 33 in if the outer blocks are cut at the sides.",
    ),
}


@pytest.mark.parametrize("case", NEXT)
def test_what_to_measure_next_is_asked_in_words_that_can_be_followed(case):
    found, text = NEXT[case]
    assert str(next_measure(found)) == text


def test_causes_on_both_axes_are_named_without_saying_where():
    names = {
        tuple(causes_of(each)): short_name(each, found.measured)
        for found, _, _ in CASES.values()
        for each in found.explanations
    }
    assert names["CUT across", "CUT down"] == "the outer blocks are cut"
    assert names["BORDER across", "BORDER down"] in ("there is a border", "the border is another")
    assert (
        names["CUT across", "UNTOLD down"]
        == "the outer blocks are cut at the sides and something else is behind the length"
    )
    assert names[("MISCOUNT down",)] == "there are seven rows"
