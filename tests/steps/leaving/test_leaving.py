"""A study leaves as one zip and comes back identical; what is private stays; what is no study is refused in a sentence."""

from __future__ import annotations

import io
import json
import zipfile

import numpy as np
import pytest
from PIL import Image

from seamlore.errors import SeamloreError
from seamlore.photo.files.encoding import to_jpeg
from seamlore.photo.files.stripped import stripped
from seamlore.shelf.change import Change
from seamlore.shelf.collection import Collection
from seamlore.shelf.shelf import Shelf
from seamlore.steps.leaving.private import PRIVATE, WITHHELD, for_leaving
from seamlore.steps.leaving.sending import send, take
from seamlore.steps.leaving.zipped import RECORD, Packed, ZipError, pack, schema, unpack
from seamlore.steps.study.kept import changes_for
from seamlore.steps.study.sections import About, Corrections, Evidence, Keeping, LabelWords, Photograph, Photographs
from seamlore.steps.study.tape import Tape
from seamlore.steps.study.versions import decode, encode

PLAIN = to_jpeg(np.random.default_rng(5).integers(0, 255, (90, 120, 3), dtype=np.uint8))
EVIDENCE = """# Ida told me
usual_order = true
[[evidence]]
part = "blocks"
says = "Ida Roe's mother pieced it"
when = "1890~"
trust = 0.5
source = "Ida Roe"
[[evidence]]
part = "backing"
clue = "printed sack"
"""


def camera_picture():
    """A photograph that says where it was taken and by which camera, and lies on its side (Exif 2.32)."""
    exif = Image.Exif()
    exif[0x010F], exif[0x0112] = "Camera Maker", 6
    exif.get_ifd(0x8825)[2] = (51.0, 30.0, 0.0)
    file = io.BytesIO()
    Image.open(io.BytesIO(PLAIN)).save(file, "JPEG", exif=exif, comment=b"taken at home", quality=95)
    return file.getvalue()


@pytest.fixture
def shelves(tmp_path):
    with Shelf(tmp_path / "one") as one, Shelf(tmp_path / "two") as two:
        yield one, two


@pytest.fixture
def study(shelves):
    shelf, _ = shelves
    reference = shelf.add_photograph(camera_picture(), "jpg")
    sections = (
        About(story="From Ida Roe, who lives on Elm Street."),
        Photographs(photographs=(Photograph(reference=reference, name="at Ida Roe's.jpg", size=(90, 120)),)),
        Tape(width="70 1/2 in"),
        LabelWords(maker="Ida Roe", now_with="Nora Finch"),
        Evidence(text=EVIDENCE),
        Keeping(accession="12", owner="Nora Finch", price="90 dollars", address="1 Elm Street", kept_at="box 3"),
    )
    changes = changes_for([(each, 0, "entered") for each in sections], None)
    front = sections[1].front
    return shelf.create("Star of Ida Roe", changes + changes_for([(Corrections(rows=7), 0, "set right")], front))


def kept(shelf, number):
    return {name: each.value for name, each in shelf.read_all(number).items()}


def test_with_all_that_is_private_a_study_comes_back_the_very_same(shelves, study):
    one, two = shelves
    sent = send(one, study, PRIVATE)
    assert sent.left_out == ()
    taken = take(two, sent.data)
    assert kept(two, taken.number) == kept(one, study)
    assert Collection(two).identity(taken.number) == Collection(one).identity(study)
    (photograph,) = (two.folder / "photographs").glob("*.jpg")
    assert photograph.read_bytes() == camera_picture()
    assert send(two, taken.number, PRIVATE).data == sent.data


def test_the_whole_history_comes_along_and_is_undone_redone_and_looked_at_as_at_home(shelves, study):
    one, two = shelves
    tape = one.read(study, "tape")
    one.apply(study, Change("tape", tape.revision, encode(Tape(width="71 in")), "measured again"))
    one.rename(study, "Star found again")
    one.undo(study)
    one.undo(study)
    one.apply(study, Change("tape", one.read(study, "tape").revision, encode(Tape(width="72 in")), "measured thrice"))
    one.undo(study)
    taken = take(two, send(one, study, PRIVATE).data).number
    assert Collection(two).past(taken) == Collection(one).past(study)
    assert {name: each.revision for name, each in two.read_all(taken).items()} == {
        name: each.revision for name, each in one.read_all(study).items()
    }
    assert two.history(taken) == one.history(study)
    assert two.redo(taken).says == "measured thrice"
    assert decode(Tape, two.read(taken, "tape").value).width == "72 in"
    assert Collection(two).sections_at(taken, 0)[1] == {}
    while two.undo(taken):
        pass
    assert kept(two, taken) == dict.fromkeys(kept(two, taken))
    two.close()
    with Shelf(two.folder) as again:
        assert again.entry(taken).name == "Star of Ida Roe"


def test_a_photograph_that_was_taken_away_again_comes_with_the_history(shelves, study):
    one, two = shelves
    section = one.read(study, "photographs")
    one.apply(study, Change("photographs", section.revision, encode(Photographs()), "took the photograph away"))
    taken = take(two, send(one, study, PRIVATE).data).number
    two.undo(taken)
    front = decode(Photographs, two.read(taken, "photographs").value).front
    assert two.read_photograph(front.reference) == camera_picture()


def test_without_everything_chosen_no_history_leaves_and_that_is_said(shelves, study):
    one, two = shelves
    sent = send(one, study, [each for each in PRIVATE if each != "price"])
    assert sent.left_out == ("the price", "the history of its changes")
    assert len(two.history(take(two, sent.data).number)) == 1


@pytest.mark.parametrize("wrong", ["after", "number", "position", "revisions"])
def test_a_history_that_does_not_lead_to_what_the_study_holds_is_refused(shelves, study, wrong):
    one, two = shelves

    def spoil(record):
        if wrong == "position":
            record["history"]["position"] = 5
        elif wrong == "revisions":
            record["history"]["revisions"].pop("tape")
        else:
            change = next(each for each in record["history"]["changes"] if each["section"] == "tape")
            change[wrong] = {"after": "{}", "number": 3}[wrong]
        return record

    with pytest.raises(ZipError, match="history does not lead"):
        take(two, rewritten(send(one, study, PRIVATE).data, spoil))
    assert two.studies() == ()


def rewritten(data, change):
    """A study's zip with its record changed."""
    file = io.BytesIO()
    with zipfile.ZipFile(io.BytesIO(data)) as packed, zipfile.ZipFile(file, "w") as made:
        for name in packed.namelist():
            content = packed.read(name)
            if name == "study.json":
                content = json.dumps(change(json.loads(content))).encode()
            made.writestr(name, content)
    return file.getvalue()


def test_what_leaves_without_it_is_the_same_each_time_it_goes_round(shelves, study):
    one, two = shelves
    sent = send(one, study)
    taken = take(two, sent.data)
    again = send(two, taken.number).data
    assert unpack(again).sections == unpack(sent.data).sections
    assert list(unpack(again).photographs) == list(unpack(sent.data).photographs)


@pytest.mark.parametrize("secret", ["Ida", "Nora", "Elm", "dollars", "box 3", "Camera", "at home"])
def test_nothing_private_leaves_unless_it_is_chosen(shelves, study, secret):
    one, _ = shelves
    one.rename(study, "Star")
    data = send(one, study).data
    with zipfile.ZipFile(io.BytesIO(data)) as packed:
        content = b"\n".join(packed.read(name) for name in packed.namelist() if not name.endswith("schema.json"))
    assert secret.encode() not in content
    with zipfile.ZipFile(io.BytesIO(send(one, study, PRIVATE).data)) as packed:
        assert secret.encode() in b"\n".join(packed.read(name) for name in packed.namelist())


def test_the_corrections_still_belong_to_the_photograph_that_leaves(shelves, study):
    one, two = shelves
    taken = take(two, send(one, study).data)
    corrections, photographs = (
        decode(kind, two.read(taken.number, name).value)
        for kind, name in ((Corrections, "corrections"), (Photographs, "photographs"))
    )
    assert corrections.of == photographs.front.reference
    assert (photographs.front.name, corrections.rows) == ("photograph 1.jpg", 7)


def test_names_of_living_people_are_taken_out_wherever_they_stand_and_the_rest_stays():
    sections = {
        "about": encode(About(story="Ida  Roe gave it; idaho is no name.")),
        "label": encode(LabelWords(maker="ida roe", place="Elm Street")),
        "evidence": encode(Evidence(text=EVIDENCE)),
        "keeping": encode(Keeping(names="some living", living=("Ida Roe",))),
    }
    left = for_leaving("Star of Ida Roe", sections)
    assert left.name == f"Star of {WITHHELD}"
    assert decode(About, left.sections["about"]).story == f"{WITHHELD} gave it; idaho is no name."
    assert decode(LabelWords, left.sections["label"]).maker == WITHHELD
    assert "Roe" not in decode(Evidence, left.sections["evidence"]).text
    assert "Roe" not in left.sections["keeping"]


@pytest.mark.parametrize(
    "written",
    [
        "told by\nIda Roe and others",  # a line of a story begins with it, which JSON writes as \\n
        "Ida\nRoe",
        "ida_roe-front.jpg",
        "IDA  ROE's",
        'Mrs. "Ida" O\u2019Roe of Dover',
        "Jose\u0301 Roe",
    ],
)
def test_a_name_is_found_however_it_is_written(written):
    living = ("Ida Roe", 'Mrs. "Ida" O\'Roe', "Jos\u00e9 Roe")
    kept = {"keeping": encode(Keeping(names="some living", living=living)), "about": encode(About(story=written))}
    kept["evidence"] = encode(Evidence(text=f"[[evidence]]\nsays = {json.dumps(written, ensure_ascii=False)}\n"))
    left = for_leaving("Star", kept).sections
    for text in (decode(About, left["about"]).story, decode(Evidence, left["evidence"]).text):
        assert WITHHELD in text
        assert "roe" not in text.replace("Rover", "").lower()


def test_a_name_within_another_word_is_none():
    kept = {
        "keeping": encode(Keeping(names="some living", living=("Ida Roe",))),
        "about": encode(About(story="Frida Roebuck")),
    }
    assert decode(About, for_leaving("Star", kept).sections["about"]).story == "Frida Roebuck"


def test_what_cloth_costs_leaves_with_prices_alone():
    from seamlore.steps.study.sections import Making

    making = Making(price="66.66", batting_price="9.10", stash="A: 3 fat quarters\nA: buy at 11.50 a yard\n")
    left = decode(Making, for_leaving("Star", {"making": encode(making)}).sections["making"])
    assert (left.price, left.batting_price, left.stash) == ("", "", "A: 3 fat quarters\n")
    assert decode(Making, for_leaving("Star", {"making": encode(making)}, ["price"]).sections["making"]) == making


def test_evidence_without_its_words_is_weighed_the_same():
    from seamlore.steps.date import date

    left = for_leaving("Star", {"evidence": encode(Evidence(text=EVIDENCE))})
    text = decode(Evidence, left.sections["evidence"]).text
    assert "Ida" not in text
    before, after = (date(each, this_year=2026) for each in (EVIDENCE, text))
    assert [each.most for each in before.answers] == [each.most for each in after.answers]


def test_what_a_later_version_keeps_leaves_only_with_everything():
    sections = {"of a room to come": '{"version":1,"secret":"x"}'}
    assert for_leaving("Star", sections).sections == {}
    assert for_leaving("Star", sections, PRIVATE).sections == sections


def test_a_stripped_photograph_is_the_same_picture_the_same_way_up():
    clean, suffix = stripped(camera_picture())
    before, after = (Image.open(io.BytesIO(each)) for each in (camera_picture(), clean))
    assert suffix == "jpg"
    assert np.array_equal(np.asarray(before), np.asarray(after))
    assert dict(after.getexif()) == {0x0112: 6}
    assert after.info.get("comment") is None


@pytest.mark.parametrize("kind", ["PNG", "WEBP", "TIFF"])
def test_a_photograph_of_another_kind_loses_the_cameras_data_too(kind):
    exif = Image.Exif()
    exif[0x010F] = "Camera Maker"
    file = io.BytesIO()
    Image.open(io.BytesIO(PLAIN)).save(file, kind, exif=exif)
    assert b"Camera Maker" in file.getvalue()
    clean, _ = stripped(file.getvalue())
    assert b"Camera Maker" not in clean
    assert Image.open(io.BytesIO(clean)).size == (120, 90)


# What is no study


def zipped(files, how=zipfile.ZIP_DEFLATED):
    file = io.BytesIO()
    with zipfile.ZipFile(file, "w", how) as packed:
        for name, data in files.items():
            packed.writestr(name, data)
    return file.getvalue()


def record(**fields):
    told = {"format": "seamlore study", "version": 1, "identity": "a" * 32, "name": "Star", "sections": {}} | fields
    return json.dumps(told)


GOOD = pack(Packed("a" * 32, "Star", {"tape": encode(Tape(width="7 in"))}, {}))
PICTURE = "0" * 64 + ".jpg"
BAD = {
    "climbs out": (zipped({RECORD: record(), "../../evil.txt": "x"}), "which no study has"),
    "absolute": (zipped({RECORD: record(), "/etc/evil": "x"}), "which no study has"),
    "climbs out of the photographs": (
        zipped({RECORD: record(), "photographs/../evil.jpg": "x"}),
        "which no study has",
    ),
    "bomb": (zipped({RECORD: b"[" + b" " * 60_000_000 + b"]"}), "unpacks to"),
    "many": (zipped({f"{n}": "" for n in range(600)}), "holds 600 files"),
    "no zip": (b"these are words", "no zip file"),
    "cut": (GOOD[: len(GOOD) // 2], "no zip file"),
    "empty": (b"", "no zip file"),
    "nothing in it": (zipped({}), "holds no study.json"),
    "not JSON": (zipped({RECORD: "{"}), "cannot be read"),
    "deep": (zipped({RECORD: "[" * 100_000}), "cannot be read"),
    "other record": (zipped({RECORD: '{"format": "other"}'}), "cannot be read"),
    "later version": (zipped({RECORD: record(version=2)}), "of version 2, and this Seamlore knows up to 1"),
    "earlier version": (zipped({RECORD: record(version=0)}), "version 0"),
    "later section": (zipped({RECORD: record(sections={"tape": {"version": 99}})}), "a later Seamlore wrote it"),
    "broken section": (zipped({RECORD: record(sections={"tape": {"version": 2, "rows": "x"}})}), "cannot be read"),
    "no identity": (zipped({RECORD: record(identity="../x")}), "cannot be read"),
    "name with a control": (zipped({RECORD: record(name="a\x1b[31m")}), "name cannot be shown"),
    "missing photograph": (zipped({RECORD: record(photographs=[PICTURE])}), "is missing from it"),
    "changed photograph": (
        zipped({RECORD: record(photographs=[PICTURE]), f"photographs/{PICTURE}": b"other"}),
        "is not the one that was put in",
    ),
    "unnamed photograph": (zipped({RECORD: record(), f"photographs/{PICTURE}": b"x"}), "does not name"),
    "photograph of a section alone": (
        zipped({RECORD: record(sections={"photographs": {"version": 2, "photographs": [{"reference": PICTURE}]}})}),
        "is missing from it",
    ),
}


@pytest.mark.parametrize("name", BAD)
def test_a_zip_that_is_no_study_is_refused_in_a_sentence_and_the_shelf_is_as_it_was(name, shelves):
    shelf, _ = shelves
    data, says = BAD[name]
    before = sorted(path.name for path in shelf.folder.rglob("*"))
    with pytest.raises(ZipError, match=says):
        take(shelf, data, source=f"{name}.zip")
    assert shelf.studies() == ()
    assert sorted(path.name for path in shelf.folder.rglob("*")) == before


def test_a_name_twice_and_a_link_in_a_zip_are_refused():
    file = io.BytesIO()
    with zipfile.ZipFile(file, "w") as packed:
        packed.writestr(RECORD, record())
        with pytest.warns(UserWarning, match="Duplicate name"):
            packed.writestr(RECORD, record())
    with pytest.raises(ZipError, match="twice"):
        unpack(file.getvalue())
    file = io.BytesIO()
    with zipfile.ZipFile(file, "w") as packed:
        entry = zipfile.ZipInfo(RECORD)
        entry.external_attr = 0o120777 << 16
        packed.writestr(entry, "/etc/passwd")
    with pytest.raises(ZipError, match="link to elsewhere"):
        unpack(file.getvalue())


def test_a_size_that_lies_is_found_out_while_it_is_unpacked():
    data = bytearray(zipped({RECORD: record(story="x" * 5000)}, zipfile.ZIP_STORED))
    size = len(record(story="x" * 5000))
    # The size stands in the local header and in the central directory (PKWARE APPNOTE 4.3.7, 4.3.12).
    for at in (22, data.rindex(b"PK\x01\x02") + 24):
        data[at : at + 4] = (size - 4000).to_bytes(4, "little")
    with pytest.raises(ZipError):
        unpack(bytes(data))


def test_a_study_whose_photograph_is_missing_does_not_leave(shelves, study):
    shelf, _ = shelves
    for path in (shelf.folder / "photographs").glob("*.jpg"):
        path.unlink()
    with pytest.raises(SeamloreError, match="no longer in the folder"):
        send(shelf, study)


def test_what_cannot_be_chosen_is_refused(shelves, study):
    with pytest.raises(SeamloreError, match="did you mean"):
        send(shelves[0], study, ["prize"])


def test_the_record_is_as_its_schema_says(shelves, study):
    jsonschema = pytest.importorskip("jsonschema", reason="jsonschema is not installed")
    with zipfile.ZipFile(io.BytesIO(send(shelves[0], study).data)) as packed:
        told = json.loads(packed.read("study.schema.json"))
        assert told == json.loads(json.dumps(schema()))
        found = json.loads(packed.read(RECORD))
    jsonschema.Draft202012Validator.check_schema(told)
    jsonschema.validate(found, told)
    found["sections"]["tape"]["width"] = 7
    with pytest.raises(jsonschema.ValidationError):
        jsonschema.validate(found, told)


def test_unknown_sections_come_back_as_they_were(shelves):
    one, two = shelves
    number = one.create("Star", [Change("of a room to come", 0, '{"version":7,"x":[1.5,"é"]}', "kept")])
    taken = take(two, send(one, number, PRIVATE).data)
    assert kept(two, taken.number) == kept(one, number)
