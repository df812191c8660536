"""What a draft is made of: borders at each side, what is cut off, what was assumed, and what the record keeps of it."""

import pytest

from seamlore.draft.setting.setting import STRAIGHT
from seamlore.draft.text.notation import read_block
from seamlore.errors import MeasureError, SeamloreError
from seamlore.lengths import centimeters, inches
from seamlore.photo.reading import BlockAt, Edge, Reading, SeenFabric, SeenKind, SeenPatch, Uncertainty
from seamlore.study.adjustment import adjust
from seamlore.study.drafting import as_drafted
from seamlore.study.measured import Known, What, taken
from seamlore.study.measurements import measurements
from seamlore.study.record import decisions, study_of
from seamlore.study.seen_cells import drafted_cells
from seamlore.study.snapping import snap
from seamlore.study.sums import sums

PLAIN = read_block("block Plain\nA light\n\nA")
CROOKED = read_block("block Crooked\nA light\nB dark\nC medium\n\nA B\nC A/B")
FOUR = read_block("block Four Patch\nA dark\nB light\n\nA B\nB A")


def found(width, height, *more, **counts):
    """Of 7 x 8 blocks of 8 in with sashing of 3 in: 74 x 85 in without a border."""
    tape = [taken(What.BLOCK, inches(8)), taken(What.SASHING, inches(3)), *more]
    tape += [taken(What.OVERALL, inches(size), along) for size, along in ((width, "across"), (height, "down"))]
    return adjust(measurements(tape, **{"columns": 7, "rows": 8, **counts}))


def border(size, along, side=""):
    return taken(What.BORDER, inches(size), along, side=side)


@pytest.mark.parametrize(
    ("taped", "names"),
    [
        (found(84, 95, border(5, "both")), {"border": "5 in"}),
        (
            found(84, 93, border(5, "across"), border(4, "down")),
            {"border at the sides": "5 in", "border at top and bottom": "4 in"},
        ),
        (
            found(83, 85, border(5, "across", "left"), border(4, "across", "right")),
            {"border at the left": "5 in", "border at the right": "4 in"},
        ),
        # Equal at two sides only: it is not a border all round.
        (found(82, 85, border(4, "across")), {"border at the sides": "4 in"}),
    ],
)
def test_equal_borders_are_listed_once_and_unequal_ones_by_their_side(taped, names):
    drafted = as_drafted(taped, block_drawn=PLAIN)
    assert {each.what: str(each.chosen) for each in drafted.snaps if "border" in each.what} == names


def test_a_border_that_the_user_tells_is_drafted_as_told():
    drafted = as_drafted(found(84, 95, border(5, "both")), block_drawn=PLAIN, told={"border": inches("5.5")})
    (width,) = (each for each in drafted.snaps if each.what == "border")
    assert (width.chosen, width.known) == (inches("5.5"), Known.TOLD)
    assert width.reason == "as you say; the measurements come to 5 in ± 3/16 in"
    assert drafted.quilt.finished_size == (inches(85), inches(96))


def test_only_what_is_gone_is_cut_off():
    # 74 - 70 1/2 = 3 1/2 across; nothing down.
    cut = as_drafted(found("70.5", 85), block_drawn=PLAIN).as_found.cut
    assert [str(each) for each in (cut.left, cut.top, cut.right, cut.bottom)] == [
        "1 3/4 in",
        "0 in",
        "1 3/4 in",
        "0 in",
    ]
    assert as_drafted(found(74, 85), block_drawn=PLAIN).as_found.cut is None


@pytest.mark.parametrize(("counts", "missing"), [({"columns": None}, "columns"), ({"rows": None}, "rows")])
def test_a_draft_without_a_count_asks_for_it(counts, missing):
    with pytest.raises(MeasureError, match=f"^no count of {missing}: .*count the {missing}$"):
        as_drafted(found(74, 85, **counts), block_drawn=PLAIN)


def test_a_size_with_one_mark_only_names_no_other():
    said = str(snap("block width", inches(8), inches(0), None))
    assert said == "block width: found 8 in ± 0 in, drafted 8 in (a whole inch within what was measured)"


@pytest.mark.parametrize(("size", "mark"), [("15.23", "15.2"), ("15.26", "15.3")])
def test_a_metric_size_far_from_any_half_goes_to_the_nearest_millimeter(size, mark):
    # A sixteenth of an inch is 1.6 mm: 15 and 15.5 cm are both farther away.
    made = snap("sashing", centimeters(size), centimeters(0), None)
    assert (made.chosen, made.reason) == (centimeters(mark), "a millimeter within what was measured")


def seen_kind(block, name=None, shift=0.0):
    patches = tuple(
        SeenPatch(
            outline=tuple((min(float(x) + shift * (0 < x < 1), 1.0), float(y)) for x, y in each.outline),
            place=each.place,
            value=block.places[each.place].value,
        )
        for each in block.patches
    )
    return SeenKind(divisions=block.divisions, patches=patches, count=1, confidence=0.9, name=name)


def reading(kinds, blocks, fabrics=None):
    return Reading(
        photo_size=(3000, 4000),
        corners=((0, 0), (2999, 0), (2999, 3999), (0, 3999)),
        corners_from="given",
        unit="in",
        size=(16.0, 16.0),
        setting="straight",
        rows=2,
        columns=2,
        block_size=(8.0, 8.0),
        edge=Edge(left=0, top=0, right=0, bottom=0),
        uncertainty=Uncertainty(block_size=(0.05, 0.05), sashing=(0.05, 0.05), edge=0.12),
        kinds=tuple(kinds),
        blocks=tuple(blocks),
        fabrics=fabrics,
    )


def each_of(*kinds):
    return [BlockAt(row=at // 2, column=at % 2, kind=kind) for at, kind in enumerate(kinds)]


def test_two_kinds_of_one_name_are_numbered_and_have_signs_of_their_own():
    seen = reading([seen_kind(CROOKED, "Wheel"), seen_kind(FOUR, "Wheel"), seen_kind(PLAIN)], each_of(0, 1, 1, 2))
    kinds, cells = drafted_cells(STRAIGHT, 2, 2, seen, None, [])
    assert [kind.block.name for kind in kinds] == ["Wheel", "Wheel 2", "plain"]
    assert len({kind.name for kind in kinds}) == 3
    assert [cell.kind for row in cells for cell in row] == [kinds[at].name for at in (0, 1, 1, 2)]


def test_a_kind_that_cannot_be_drawn_exactly_is_not_read_and_the_only_one_is_refused():
    # 0.62 of the side is a fifth of a division and more from every half of one.
    off = seen_kind(FOUR, shift=0.12)
    with pytest.raises(SeamloreError, match="corners lie on 2 divisions or half-way between"):
        drafted_cells(STRAIGHT, 2, 2, reading([off], each_of(0, 0, 0, 0)), None, [])
    kinds, cells = drafted_cells(
        STRAIGHT, 2, 2, reading([off, seen_kind(CROOKED, "Wheel")], each_of(0, 1, 1, 1)), None, []
    )
    assert [kind.block.name for kind in kinds] == ["Wheel"]
    assert [cell.read for row in cells for cell in row] == [False, True, True, True]


def test_a_place_of_many_fabrics_is_drafted_scrappy():
    fabrics = tuple(
        SeenFabric(id=f"F{at}", srgb="#112233", value="dark", patches=((at // 2, at % 2, 0), (at // 2, at % 2, 3)))
        for at in range(4)
    )
    light = SeenFabric(
        id="L",
        srgb="#eeeeee",
        value="light",
        patches=tuple((at // 2, at % 2, patch) for at in range(4) for patch in (1, 2)),
    )
    kinds, _ = drafted_cells(
        STRAIGHT, 2, 2, reading([seen_kind(FOUR, "Four")], each_of(0, 0, 0, 0), (*fabrics, light)), None, []
    )
    assert {letter: place.scrappy for letter, place in kinds[0].block.places.items()} == {"A": True, "B": False}


def test_what_was_assumed_is_said_in_whole_sentences():
    notes = []
    drafted_cells(STRAIGHT, 2, 2, reading([seen_kind(CROOKED)], each_of(0, 0, 0, 0)), FOUR, notes)
    assert notes == ["The block drawn is not the block on the photograph; turns are kept as they were seen."]
    notes.clear()
    drafted_cells(STRAIGHT, 2, 3, reading([seen_kind(CROOKED)], each_of(0, 0, 0, 0)), None, notes)
    assert notes == ["Turned blocks are left out: the photograph shows another number of blocks than the draft has."]


def test_the_record_keeps_what_was_decided_and_which_account_is_followed():
    taped = found("70.5", 85)
    other = taped.explanations[1]
    drafted = as_drafted(taped, explanation=other, block_drawn=PLAIN)
    study = study_of("q", taped, drafted=drafted, chosen=other)
    assert [each.what for each in study.decisions] == [each.what for each in drafted.snaps]
    assert study.decisions == decisions(drafted)
    first = study.decisions[0]
    assert (first.choice, first.reason) == (str(drafted.snaps[0].chosen), drafted.snaps[0].reason)
    assert [each.chosen for each in study.explanations] == [each is other for each in taped.explanations]


def test_what_is_not_known_is_said_in_whole_sentences():
    photo = [taken(What.BLOCK, inches(8), known=Known.PHOTO)]
    alone = study_of("q", adjust(measurements(photo, columns=2, rows=2)), reading=reading([], []))
    assert alone.not_known == (
        "Who made it is not known.",
        "Where it was made is not known.",
        "When it was made is not known until it is dated.",
        "Nothing tests the count and the block yet: the size of the whole quilt was not measured.",
        "No block was measured by tape: a photograph alone does not tell 12 in from 12 1/8 in.",
    )
    cut = study_of("q", found("70.5", 85), story="Told by Ada.").not_known
    assert cut[-1] == "How much is gone from each single side is not known, only how much in all."


def test_one_borders_doubt_counts_at_both_sides():
    # JCGM 100:2008, 5.2.2: what is fully correlated adds as it is, not by its square. A border taped once, ± 1/8 in, that
    # is a standard uncertainty of 1/16 in, lies at both sides: 1/8 in together.
    without = sums(found(82, 93).measured)[0].sigma_in
    with_it = sums(found(82, 93, border(4, "both")).measured)[0].sigma_in
    assert with_it**2 - without**2 == pytest.approx(0.125**2)


def test_a_prediction_without_a_constant_adds_nothing():
    fit = found(74, 85).explanations[0].fit
    assert fit.predict({"block": 2.0})[0] == pytest.approx(16)
