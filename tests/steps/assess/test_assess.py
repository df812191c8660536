"""From an outline on a photograph to areas on the quilt: perspective, bowed edges, the back mirrored, photographs by date."""

from __future__ import annotations

from dataclasses import replace

import msgspec
import numpy as np
import pytest

from seamlore.condition.annotation import to_annotation, to_note
from seamlore.condition.kinds import NOT_TOLD
from seamlore.condition.notes import Note
from seamlore.errors import SeamloreError
from seamlore.photo.frame import Frame
from seamlore.steps.assess.assess import assess, dates, holding, since, without
from seamlore.steps.assess.frames import LaidPhotograph, placed
from seamlore.steps.assess.words import answer, percent, record
from seamlore.steps.demo import demo_inputs
from seamlore.steps.edit.photographs import added, changed, removed
from seamlore.steps.leaving.private import for_leaving
from seamlore.steps.study.condition import Condition, Notes, Said
from seamlore.steps.study.job import Job
from seamlore.steps.study.sections import Photograph, Photographs
from seamlore.steps.study.versions import decode, encode
from tests.once import MEMO

FRONT = Photograph(reference="a" * 64 + ".jpg", size=(1740, 2320), taken="2026-11-30")
BACK = Photograph(
    reference="b" * 64 + ".jpg", size=(1000, 1200), shows="back", corners=((0, 0), (999, 0), (999, 1199), (0, 1199))
)


def job_of(notes=(), photographs=(FRONT,), **condition):
    inputs = replace(
        demo_inputs(),
        photographs=Photographs(photographs=photographs),
        notes=Notes(annotations=tuple(to_annotation(each) for each in notes)),
        condition=Condition(**condition),
    )
    return Job(inputs, memo=MEMO)


@pytest.fixture(scope="module")
def demo():
    job = job_of()
    job.look  # noqa: B018 - read once for all
    return job


def note(outline, sha=FRONT.sha, kind="hole", severity=4, **given):
    points = tuple((float(x), float(y)) for x, y in np.round(outline, 1))
    return Note(
        f"urn:uuid:{abs(hash((points, kind, sha)))}",
        sha,
        kind,
        points,
        severity,
        noted="2026-11-30T10:00:00Z",
        **given,
    )


def box(x, y, w, h):
    return np.array([[x, y], [x + w, y], [x + w, y + h], [x, y + h]], dtype=float)


def test_a_square_drawn_in_perspective_has_the_area_that_it_has_on_the_quilt(demo):
    here = placed(demo)[FRONT.sha]
    for side in (3.0, 12.0, 40.0):
        drawn = here.to_photo(box(20, 30, side, side))
        found = assess(job_of([note(drawn)]))
        # Corners are kept to a tenth of a pixel.
        assert found.survey.areas[0] == pytest.approx(side**2, rel=1e-3 if side > 10 else 6e-3)


@pytest.mark.parametrize("bow", [(), (0.0, 0.03, 0.05, 0.03, 0.0)])
def test_a_bowed_edge_bends_an_outline_with_it(bow):
    """Against the area of the same outline cut into ten times as many parts."""
    frame = Frame(((100, 80), (900, 130), (870, 1100), (60, 1000)), (70, 80), ((), bow, (), bow))
    here = LaidPhotograph(FRONT, frame)
    drawn = np.array([[200, 300], [800, 320], [780, 900], [220, 850]], dtype=float)
    ends = np.roll(drawn, -1, axis=0)
    fine = (drawn[:, None] + np.linspace(0, 1, 400, endpoint=False)[None, :, None] * (ends - drawn)[:, None]).reshape(
        -1, 2
    )

    def area(points):
        x, y = points.T
        return abs(np.dot(x, np.roll(y, -1)) - np.dot(y, np.roll(x, -1))) / 2

    assert area(here.to_quilt(drawn)) == pytest.approx(area(frame.to_quilt(fine)), rel=1e-3)


def test_what_is_seen_on_the_left_of_the_back_lies_at_the_right_of_the_front(demo):
    width, height = demo.reading.size
    left = note(box(10, 10, 100, 120), BACK.sha, "stain", 2)
    found = assess(job_of([left], (FRONT, BACK)))
    (laid,) = found.laid
    assert laid.behind
    middle = laid.outline.mean(axis=0)
    assert middle[0] == pytest.approx(width * (1 - 60 / 999), rel=1e-3)
    assert middle[1] == pytest.approx(height * 70 / 1199, rel=1e-3)
    assert found.survey.on_block[0].startswith("row 1, column 7")
    assert {each.of: each.affected > 0 for each in found.survey.parts}["backing"]


def test_a_detail_lies_on_the_blocks_that_it_shows(demo):
    detail = Photograph(reference="c" * 64 + ".jpg", size=(800, 800))
    photographs, _ = added(job_of(), detail, "detail", "")
    corners = [[0, 0], [799, 0], [799, 799], [0, 799]]
    blocks = {"row_from": "2", "row_to": "3", "column_from": "3", "column_to": "4"}
    job = job_of(photographs=photographs.photographs)
    laid, says = changed(job, detail.sha, {"shows": "detail", **blocks}, corners)
    assert says == "laid a photograph on the quilt"
    found = assess(job_of([note(box(100, 100, 100, 100), detail.sha)], laid.photographs))
    assert found.survey.on_block == ("row 2, column 3",)
    with pytest.raises(SeamloreError, match='row "9": there are 8 rows'):
        changed(job, detail.sha, {**blocks, "row_to": "9"}, corners)
    with pytest.raises(SeamloreError, match=r"four different corners|nearly on one line|in one place"):
        changed(job, detail.sha, {}, [[0, 0], [0, 0], [799, 799], [0, 799]])
    assert len(removed(job, detail.sha)[0].photographs) == 1
    with pytest.raises(SeamloreError, match="the front that is read"):
        removed(job, FRONT.sha)
    with pytest.raises(SeamloreError, match="here already"):
        added(job, detail, "detail", "")


def test_a_note_on_a_photograph_that_was_not_laid_is_kept_and_has_no_area(demo):
    loose = Photograph(reference="d" * 64 + ".jpg", size=(100, 100), shows="detail")
    found = assess(job_of([note(box(1, 1, 9, 9), loose.sha)], (FRONT, loose)))
    assert (len(found.notes), found.laid) == (1, ())


def test_the_answer_and_the_record_follow_the_notes(demo):
    assert answer(assess(demo)).startswith("Nothing is noted yet")
    here = placed(demo)[FRONT.sha]
    lost = here.to_photo(box(12, 12, 6, 6))
    torn = np.round(here.to_photo(box(30, 30, 2, 2)), 1)
    thread = note(torn[:1] + 1, kind="hand test", severity=0, result="weak", of="brown sprig")
    marked = note(box(50, 50, 40, 20), kind="inscription", severity=0, says="M. [S?] 1871", of="back corner")
    job = job_of(
        [note(lost), note(torn, kind="tear", severity=3), thread, marked],
        object="quilt",
        blocks={"7,6": Said(verdict="lost")},
    )
    found = assess(job)
    assert len(found.suspects) == 1
    headings = {each.name: " ".join(each.lines) for each in record(job)}
    assert "every patch of it is suspect" in headings["Weak cloth"]
    assert headings["Inscriptions and marks"] == 'Back corner: "M. [S?] 1871"; 1 letter doubtful'
    assert "36 sq in" in headings["Condition"]
    assert "row 8, column 7 (as she judged it)" in headings["Condition"]
    counts = [found.survey.count(verdict) for verdict in ("sound", "doubtful", "lost")]
    assert answer(found).startswith(f"Of 56 blocks {counts[0]} sound, {counts[1]} doubtful, {counts[2]} lost")
    assert counts[2] == 2
    assert counts[1] >= found.suspects[0].blocks - 2 > 0


def test_ties_at_every_crossing_and_what_a_filling_needs(demo):
    assert holding(demo) is None
    wide = holding(job_of(ties="centers", filling="wool batting"))
    assert not wide.enough
    assert len(wide.missing) >= wide.fewest
    assert holding(job_of(ties="centers", filling="wool batting", apart="30 in")).enough
    headings = {each.name: each.lines for each in record(job_of(ties="centers", filling="blanket"))}
    assert "usual every 4 to 5 in" in " ".join(headings["What holds it"])
    with pytest.raises(SeamloreError, match="no distance was entered"):
        holding(job_of(ties="grid"))


def test_at_two_dates_what_is_new_and_what_has_grown(demo):
    here = placed(demo)[FRONT.sha]
    early = Photograph(
        reference="e" * 64 + ".jpg",
        size=FRONT.size,
        shows="stage",
        taken="2020-05-01",
        corners=tuple(demo.flat.frame.corners),
    )
    old = note(here.to_photo(box(20, 20, 2, 2)), early.sha, "tear", 2)
    new = [
        note(here.to_photo(box(20, 20, 4, 4)), kind="tear"),
        note(here.to_photo(box(50, 50, 3, 3)), kind="stain", severity=1),
    ]
    job = job_of([old, *new], (FRONT, early))
    assert dates(job) == ("2020-05-01", "2026-11-30")
    found = {each.kind: each for each in since(job, "2020-05-01")}
    assert found["tear"].before == pytest.approx(4, rel=0.02)
    assert found["tear"].after == pytest.approx(16, rel=0.02)
    assert (found["tear"].new, found["stain"].new) == (0, 1)


def test_a_top_has_no_backing_and_a_part_that_is_there_all_the_same_is_said():
    assert "backing" in without(Condition(object="top"))
    assert "backing" not in without(Condition(object="top", parts={"backing": "there"}))
    assert percent(0.00001) == "less than 0.1 %"


def test_sections_come_back_as_they_were_written():
    kept = Condition(
        object="comforter", ties="grid", tie_every="4 in", blocks={"0,3": Said(verdict="lost", why="burnt")}
    )
    assert decode(Condition, encode(kept)) == kept
    notes = Notes(annotations=(to_annotation(note(box(1, 1, 5, 5))),))
    assert decode(Notes, encode(notes)) == notes
    assert msgspec.json.decode(encode(notes))["annotations"][0]["@context"] == "http://www.w3.org/ns/anno.jsonld"
    older = '{"version":2,"photographs":[{"reference":"x.jpg","shows":"back"}]}'
    assert decode(Photographs, older).photographs[0].part == (0, 0, 1, 1)


def test_a_study_that_leaves_keeps_its_notes_and_loses_what_may_name_somebody():
    from seamlore.steps.leaving.private import for_leaving
    from seamlore.steps.study.sections import Keeping

    marked = note(box(1, 1, 5, 5), kind="inscription", severity=0, says="Ada Roe 1871", of="corner")
    kept = {
        "notes": encode(Notes(annotations=(to_annotation(marked),))),
        "condition": encode(
            Condition(examined_by="Ada Roe", blocks={"0,0": Said(verdict="lost", why="Ada Roe cut it")})
        ),
        "keeping": encode(Keeping()),
    }
    left = for_leaving("Star", kept, ()).sections
    assert "Roe" not in left["notes"] + left["condition"]
    assert decode(Notes, left["notes"]).annotations[0].target == to_annotation(marked).target
    assert decode(Condition, left["condition"]).blocks["0,0"].verdict == "lost"
    some = {**kept, "keeping": encode(Keeping(names="some living", living=("Ada Roe",)))}
    assert "1871" in for_leaving("Star", some, ()).sections["notes"]
    assert "Roe" not in for_leaving("Star", some, ()).sections["notes"]


def test_a_file_of_notes_and_a_reading_give_the_areas_of_the_page(demo):
    """Bowed edges travel with the reading: without them areas of the command would be other ones than those of the page."""
    import json

    import msgspec

    from seamlore.steps.assess.record import from_files, notes_page

    here = placed(demo)[FRONT.sha]
    job = job_of([note(here.to_photo(box(x, 40, 6, 5))) for x in (2.0, 30.0, 64.0)])
    assert max(abs(each) for bow in demo.reading.bows for each in bow) > 0.001
    found = from_files(json.dumps(notes_page(job)), msgspec.json.encode(demo.reading).decode()).found
    np.testing.assert_allclose(found.survey.areas, assess(job).survey.areas, rtol=1e-9)


def test_how_well_areas_are_known_where_edges_bow_is_said():
    """Edges bowed outward by a twentieth each way: the middle would be a tenth smaller by the straight lines alone."""
    bow = (0.05,) * 3
    frame = Frame(((0, 0), (1000, 0), (1000, 1000), (0, 1000)), (100, 100), (bow, (), bow, ()))
    here = LaidPhotograph(FRONT, frame)
    middle = here.to_photo(box(49, 49, 2, 2))
    assert here.bending([middle]) == pytest.approx(0.1, rel=0.03)
    assert LaidPhotograph(FRONT, frame.straightened()).bending([middle]) == 0
    assert here.bending([]) == 0


def test_writing_is_listed_block_by_block_with_its_doubtful_letters(demo):
    from seamlore.steps.assess.words import inscriptions, inscriptions_marked

    here = placed(demo)[FRONT.sha]

    def written(row, column, says, of=""):
        middle = demo.look.cells_quilt[row, column].mean(axis=0)
        return note(here.to_photo(box(*(middle - 1), 2, 2)), kind="inscription", severity=0, says=says, of=of)

    found = assess(job_of([written(4, 2, ""), written(1, 5, "E[m]ma 18[91]", "corner"), written(1, 0, "plain")]))
    assert inscriptions(found) == (
        ("Row 2, column 1", '"plain"'),
        ("Row 2, column 6 (corner)", '"E[m]ma 18[91]"; 3 letters doubtful'),
        ("Row 5, column 3", "not transcribed yet"),
    )
    kept = encode(Notes(annotations=tuple(map(to_annotation, found.notes))))
    left = decode(Notes, for_leaving("Quilt", {"notes": kept}).sections["notes"]).annotations
    assert [words for _, words in inscriptions(assess(job_of(map(to_note, left))))] == [
        NOT_TOLD,
        NOT_TOLD,
        "not transcribed yet",
    ]
    marked = [part for _, parts in inscriptions_marked(found) for part in parts if part[1]]
    assert marked == [("m", True), ("91", True)]
    lines = {each.name: each.lines for each in record(job_of([written(1, 0, "plain")]))}
    assert lines["Inscriptions and marks"] == ('Row 2, column 1: "plain"',)


@pytest.mark.parametrize("says", ["E[mma", "E]mma", "E[m[m]a"])
def test_a_doubtful_letter_stands_between_brackets(says):
    from seamlore.steps.edit.condition import noted

    drawn = [[500, 600], [620, 600], [620, 700]]
    with pytest.raises(SeamloreError, match=r"each doubtful letter stands between \[ and \]"):
        noted(job_of(), FRONT.sha, {"kind": "inscription", "says": says}, drawn, "2026-11-30T10:00:00Z")


def test_a_part_is_there_or_none_or_not_known():
    from seamlore.steps.assess.assess import parts_of

    quilt = parts_of(Condition(object="quilt", parts={"border": "none", "filling": "not known"}))
    assert quilt == {
        "setting": "not known", "border": "none", "backing": "there", "filling": "not known",
        "quilting": "there", "ties": "none", "edge finish": "there",
    }  # fmt: skip
    assert set(parts_of(Condition()).values()) == {"not known"}
    assert set(parts_of(Condition(object="blocks")).values()) == {"none"}


def test_a_top_seen_from_behind_is_the_top_and_a_backing_is_not(demo):
    behind = msgspec.structs.replace(BACK, shows="behind")
    spot = note(box(10, 10, 100, 120), BACK.sha, "stain", 2)
    (top,) = assess(job_of([spot], (FRONT, behind), object="top")).laid
    (backed,) = assess(job_of([spot], (FRONT, BACK))).laid
    assert (top.behind, backed.behind) == (False, True)
    np.testing.assert_allclose(top.outline, backed.outline)


def test_a_hand_test_on_the_backing_condemns_no_fabric_of_the_front(demo):
    width, height = demo.reading.size
    ground = assess(job_of()).ground
    # Not of the outermost columns, which the edge cuts.
    index = next(at for at, each in enumerate(ground.where) if each.column == 3 and ground.fabric[at] >= 0)
    patch = ground.outlines[index].mean(axis=0)
    at = np.array([[999 * (1 - patch[0] / width), 1199 * patch[1] / height]])
    test = note(at, BACK.sha, "hand test", 0, result="weak")
    found = assess(job_of([test], (FRONT, BACK)))
    assert found.suspects == ()
    assert [each.of for each in found.tests] == ["backing"]
    of_top = assess(job_of([test], (FRONT, msgspec.structs.replace(BACK, shows="behind")), object="top"))
    assert len(of_top.suspects) == 1


def test_a_tie_off_the_quilt_is_refused(demo):
    from seamlore.steps.assess.record import from_files, notes_page
    from seamlore.steps.edit.condition import noted

    here, (width, height) = placed(demo)[FRONT.sha], demo.reading.size
    ((x, y),) = here.to_photo([[-3.0, height / 2]])
    with pytest.raises(SeamloreError, match="it lies off the quilt; put it inside"):
        noted(job_of(), FRONT.sha, {"kind": "tie"}, [[x, y]], "2026-11-30T10:00:00Z")
    ((x, y),) = here.to_photo([[width / 2, height / 2]])
    notes, _, _ = noted(job_of(), FRONT.sha, {"kind": "tie"}, [[x, y]], "2026-11-30T10:00:00Z")
    assert len(notes.annotations) == 1
    import json

    import msgspec as spec

    off = job_of([note(here.to_photo([[-3.0, height / 2]]), kind="tie", severity=0)])
    with pytest.raises(SeamloreError, match="off the quilt"):
        from_files(json.dumps(notes_page(off)), spec.json.encode(demo.reading).decode())


def test_where_too_many_ties_are_missing_none_are_promised_to_hold_it(demo):
    from seamlore.steps.assess.words import held_words

    job = job_of(ties="centers", filling="not known", apart="1 in")
    words = " ".join(held_words(job, holding(job)))
    assert "More than 2,000 more ties would be needed" in words
    assert "would hold it" not in words
