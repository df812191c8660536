"""The plans that are cut: followed cut by cut, what falls is counted and held against the reckoning that shares no code."""

import os
import random
from collections import Counter, defaultdict
from fractions import Fraction
from math import ceil

import pytest

from seamlore.draft.catalogue import all_blocks
from seamlore.draft.repeated import repeated
from seamlore.draft.text.quilt_file import read_quilt
from seamlore.errors import PlanError
from seamlore.lengths import inches
from seamlore.making.plan import plan
from seamlore.steps.cutting.of_plan import cut_plan
from seamlore.steps.cutting.words import cuts_in_words
from seamlore.steps.make import as_record
from tests.packing.replay import by_the_words, cut_apart
from tests.reckoning.cloth import WIDTH, eighths, strips
from tests.reckoning.described import QUILTS, draft_file
from tests.reckoning.reckon import reckon
from tests.reckoning.test_catalogue import COLUMNS, ROWS, drawn
from tests.reckoning.yardage import told

# Borders and whatever is longer than the fabric is wide are cut 2 in too long (common practice, no source).
OVER = 2.0
SIZES = (6, 8, 9, 12, 15.75)


def no_block(name):
    raise AssertionError(f"{name} is drawn in the file")


def wanted(cuts, fallen, bordering):
    """The rectangles that must fall for what is cut of a fabric: long ones along it, or from joined strips if such fell."""
    found, runs = Counter(), defaultdict(list)
    for shape, one, two, count in cuts:
        trimmed = shape in ("rectangle", "mitered") and bordering
        if one > WIDTH:
            runs[round(two, 4)] += [one + OVER] * count
        else:
            found[round(min(one + OVER, WIDTH) if trimmed else one, 4), round(two, 4)] += count
    for deep, pieces in runs.items():
        if fallen[WIDTH, deep]:
            # Joined end to end, each join takes two seams of 1/4 in.
            found[WIDTH, deep] += ceil((sum(pieces) - 0.5) / (WIDTH - 0.5) - 1e-9)
        else:
            found.update((round(one, 4), deep) for one in pieces)
    return found


def follow(made, cuts_of, borders=()):
    """Follow the plan of each fabric; `cuts_of` are the reckoned cuts by fabric, `borders` the fabrics of straight borders."""
    planned = cut_plan(made)
    for line, each in zip(as_record(made, planned)["fabrics"], planned, strict=True):
        fabric = line["fabric"]
        assert cut_apart(line["places"], line["width"], line["length"]), fabric
        said = by_the_words(cuts_in_words(each.cut), Fraction(line["width"]), each.cut.length.inches)
        assert said == Counter(place["piece"] for place in line["places"]), fabric
        fallen = Counter(
            tuple(sorted((round(p["width"], 4), round(p["height"], 4)), reverse=True)) for p in line["places"]
        )
        assert line["buy"] == f"{eighths(line['length'])} yd"
        reckoned = cuts_of[fabric]
        if any(shape == "template" for shape, *_ in reckoned):
            continue
        assert fallen == wanted(reckoned, fallen, fabric in borders), fabric
        area = sum(one * two * count for (one, two), count in fallen.items())
        assert area / WIDTH <= line["least_length"] + 1e-3
        assert line["least_length"] <= line["length"]
        plain = strips([(shape, one + OVER * (one > WIDTH), two, count) for shape, one, two, count in reckoned])
        # Nor is more bought than strips of one kind each take, by more than the twentieth that few settings may cost.
        assert ceil(line["length"] / 4.5 - 1e-9) <= ceil(max(plain, 1.05 * line["least_length"]) / 4.5 - 1e-9) + 1


# Every quilt and every block has its sums held against the reckoning; so many of them are also laid out and followed cut by
# cut, others each time a number is drawn: SEAMLORE_FOLLOW=all follows all of them, in some minutes.
ALL = os.environ.get("SEAMLORE_FOLLOW") == "all"
FOLLOWED = sorted(QUILTS) if ALL else sorted(random.Random(23).sample(sorted(QUILTS), 10))


def borders_of(quilt):
    return {side.fabric for border in quilt.borders for side in border.sides} | {"strip"}


@pytest.mark.parametrize("name", FOLLOWED)
def test_a_quilt_is_cut_into_what_is_reckoned(name):
    quilt = QUILTS[name]
    follow(plan(read_quilt(draft_file(quilt), find_block=no_block)), reckon(quilt).cuts(), borders_of(quilt))


@pytest.mark.parametrize("name", QUILTS)
def test_the_yardage_of_every_quilt_is_that_of_its_strips(name):
    cuts = reckon(QUILTS[name]).cuts()
    for need in plan(read_quilt(draft_file(QUILTS[name]), find_block=no_block)).fabrics:
        told(need, cuts[need.fabric])


BLOCKS = list(all_blocks()) if ALL else random.Random(23).sample(list(all_blocks()), 20)


@pytest.mark.parametrize("number", range(len(BLOCKS)), ids=[block.name for block in BLOCKS])
def test_a_block_of_the_catalogue_is_cut_into_what_is_reckoned(number):
    # The sizes in turn.
    block, side = BLOCKS[number], SIZES[number % len(SIZES)]
    letters = {each: each for each in block.places}
    quilt = repeated("q", block, inches(Fraction(side)), inches(Fraction(side)), ROWS, COLUMNS, fabrics=letters)
    try:
        made = plan(quilt)
    except PlanError:
        return  # a patch narrower than its seam, as `test_catalogue` sees
    follow(made, drawn(block, side))


def test_a_block_cut_too_small_or_too_seldom_is_seen():
    made = plan(repeated("q", next(iter(all_blocks())), inches(9), inches(9), ROWS, COLUMNS, fabrics=None))
    reckoned = {
        need.fabric: [(cut.shape, *(side.inches_float for side in cut.size), cut.count) for cut in need.cuts]
        for need in made.fabrics
    }
    fabric, cuts = next(iter(reckoned.items()))
    for wrong in (
        (cuts[0][0], cuts[0][1], cuts[0][2], cuts[0][3] + 1),
        (cuts[0][0], cuts[0][1] + 0.125, *cuts[0][2:]),
    ):
        with pytest.raises(AssertionError):
            follow(made, {**reckoned, fabric: [wrong, *cuts[1:]]})
