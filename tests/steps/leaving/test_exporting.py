"""Quilts of the shelf in every open format: what is told is there, what is private is not."""

from __future__ import annotations

import io
import json

import pytest

from seamlore.errors import SeamloreError
from seamlore.photo.files.encoding import to_jpeg
from seamlore.shelf.collection import Collection
from seamlore.shelf.shelf import Shelf
from seamlore.steps.leaving.exporting import FORMATS, export
from seamlore.steps.leaving.private import PRIVATE
from seamlore.steps.leaving.record import told_of
from seamlore.steps.shelf.working import work_out_all
from seamlore.steps.study.kept import changes_for
from seamlore.steps.study.sections import About, Choice, Evidence, Keeping, LabelWords
from seamlore.steps.study.tape import Tape

SECRETS = ("Ida Roe", "Nora Finch", "90 dollars", "1 Elm Street", "box 3")
EVIDENCE = '[[evidence]]\npart = "blocks"\nsays = "Ida Roe pieced it"\nwhen = "1885/1895"\ntrust = 0.9\n'


@pytest.fixture(scope="module")
def shelf(tmp_path_factory):
    with Shelf(tmp_path_factory.mktemp("shelf")) as opened:
        for name in ("Star", "Ladder"):
            sections = (
                About(story="From Ida Roe."),
                Tape(width="56 in", height="72 in", block="8 in", columns=7, rows=9),
                Choice(block="shoo fly", fabrics={"A": "double pink"}),
                LabelWords(maker="Ida Roe", place="Ohio", now_with="Nora Finch"),
                Evidence(text=EVIDENCE),
                Keeping(
                    accession="7", owner="Nora Finch", price="90 dollars", address="1 Elm Street", kept_at="box 3"
                ),
            )
            opened.create(name, changes_for([(each, 0, "entered") for each in sections], None))
        opened.create("Begun")
        work_out_all(opened)
        yield opened


@pytest.mark.parametrize("name", [name for name in FORMATS if name not in ("iiif", "dxf")])
def test_nothing_private_stands_in_any_format_unless_it_is_chosen(shelf, name):
    data, _ = export(shelf, [1], name)
    assert not [secret for secret in SECRETS if secret.encode() in data]
    assert b"Star" in data
    if name not in ("svg",):
        told, _ = export(shelf, [1], name, ("owner", "names"))
        assert b"Ida Roe" in told
        assert b"Nora Finch" in told


def test_a_living_name_leaves_in_no_file_wherever_it_stands(tmp_path):
    import datetime
    import zipfile

    from seamlore.sheets.talk import talk
    from seamlore.steps.leaving.private import told
    from seamlore.steps.leaving.sending import send
    from seamlore.steps.leaving.talk import talk_content
    from seamlore.steps.leaving.web import web_folder
    from seamlore.steps.study.job import Job
    from seamlore.steps.study.kept import read_study
    from seamlore.steps.study.sections import Noticed

    day, who = datetime.date(2026, 11, 30), "Ida Roe"
    with Shelf(tmp_path / "shelf") as shelf:
        mother = Keeping(names="some living", living=(who,))
        shelf.create(f"{who}'s mother quilt", changes_for([(mother, 0, "entered")], None))
        sections = (
            About(name=who, story=f"Told by\n{who}."),
            Tape(width="70 in", height="90 in", block="8 in", sashing="4 in", columns=7, rows=9),
            Choice(block="shoo fly", fabrics={"A": f"{who}'s apron", "sashing": f"{who}'s sheet"}),
            LabelWords(maker=who, place=f"{who}'s farm", now_with=who),
            Evidence(text=EVIDENCE + f'[[evidence]]\npart = "blocks"\nsays = "{who} says so"\nwhen = "1890"\ntrust = 0.5\n'),
            Keeping(
                tags=(f"for {who}",), acquired=f"from {who}", acquired_from=who, names="some living", living=(who,),
                made_of=(Collection(shelf).identity(1),),
            ),
            Noticed(said={"proportion": f"{who} liked it narrow."}, own=(f"{who} left the knots.",)),
        )  # fmt: skip
        shelf.create(f"Star of {who}", changes_for([(each, 0, "entered") for each in sections], None))
        work_out_all(shelf)
        files = {name: export(shelf, [2], name)[0] for name in FORMATS if name != "iiif"}
        files |= web_folder(shelf, [1, 2], made=day)
        with zipfile.ZipFile(io.BytesIO(send(shelf, 2).data)) as packed:
            files |= {name: packed.read(name) for name in packed.namelist()}
        job, _ = told(Job(read_study(shelf.standing(2), shelf.read_photograph).inputs))
        content = talk_content([(2, job)], shelf, printed=day, chosen=frozenset())
        files |= {"sections": repr(job.inputs).encode(), "talk": repr(talk(content)).encode()}
        with_names = repr(talk(talk_content([(2, job)], shelf, printed=day)))
    assert [name for name, data in files.items() if who.encode() in data or b"ida-roe" in name.encode()] == []
    assert b"name withheld" in files["csv"]
    assert who in with_names


def test_price_address_and_storage_stand_in_no_format_at_all(shelf):
    for name in ("csv", "lido", "dublin-core", "schema-org"):
        data, _ = export(shelf, [1], name, PRIVATE)
        assert not [secret for secret in SECRETS[2:] if secret.encode() in data]


def test_what_was_worked_out_is_told(shelf):
    record = told_of(shelf, 1).record
    assert (record.blocks, record.size, record.size_known) == (("Shoo Fly",), (56.0, 72.0), "by tape")
    assert record.place == "Ohio"
    (part,) = record.years
    assert (part.first <= 1885, part.last >= 1895, part.reason) == (True, True, "")
    assert "Ida Roe" in told_of(shelf, 1, ["names"]).record.years[0].reason


def test_several_go_into_one_file_where_the_format_holds_several(shelf):
    data, _ = export(shelf, [1, 2, 3], "schema-org", address="https://my.example")
    told = json.loads(data)["@graph"]
    assert [each["name"] for each in told] == ["Star", "Ladder", "Begun"]
    assert told[0]["@id"].startswith("https://my.example/")
    for name in ("svg", "dxf", "iiif"):
        with pytest.raises(SeamloreError, match="one file holds one quilt"):
            export(shelf, [1, 2], name)


@pytest.mark.parametrize(
    ("numbers", "name", "says"),
    [
        ([], "csv", "0 quilts"),
        ([1], "cvs", "did you mean"),
        ([3], "svg", "no draft yet"),
        ([3], "dxf", "no draft yet"),
    ],
)
def test_what_cannot_be_written_is_refused(shelf, numbers, name, says):
    with pytest.raises(SeamloreError, match=says):
        export(shelf, numbers, name)


def test_a_quilt_without_a_photograph_has_no_manifest_and_one_with_has_its_size(tmp_path):
    import numpy as np

    from seamlore.steps.study.sections import Photograph, Photographs

    with Shelf(tmp_path / "shelf") as shelf:
        shelf.create("one")
        with pytest.raises(SeamloreError, match="shows photographs"):
            export(shelf, [1], "iiif")
        reference = shelf.add_photograph(to_jpeg(np.full((90, 120, 3), 90, np.uint8)), "jpg")
        photographs = Photographs(photographs=(Photograph(reference=reference, size=(120, 90)),))
        shelf.apply_all(1, changes_for([(photographs, 0, "added")], None))
        told = json.loads(export(shelf, [1], "iiif")[0])
        assert (told["items"][0]["width"], told["items"][0]["height"]) == (120, 90)
        told = told_of(shelf, 1, pictures=True)
        assert list(told.photographs) == [told.record.photos[0].file]


def test_templates_of_the_draft_go_to_the_machine_at_their_size(shelf):
    ezdxf = pytest.importorskip("ezdxf", reason="ezdxf is not installed")
    import numpy as np

    data, _ = export(shelf, [1], "dxf")
    seams = ezdxf.read(io.StringIO(data.decode())).modelspace().query('LWPOLYLINE[layer=="SEAM"]')
    sides = {tuple(np.round(np.ptp(np.array(each.get_points("xy")), axis=0), 3)) for each in seams}
    # A shoo fly of 8 in on three divisions: squares and half-square triangles of 8/3 in.
    assert sides == {(2.667, 2.667)}


def test_notes_drawn_on_a_photograph_lie_on_its_canvas_and_their_words_stay_at_home(tmp_path):
    import numpy as np
    from PIL import Image

    from seamlore.condition.annotation import to_annotation
    from seamlore.condition.notes import Note
    from seamlore.steps.leaving.web import web_folder
    from seamlore.steps.study.condition import Notes
    from seamlore.steps.study.sections import Photograph, Photographs

    exif = Image.Exif()
    exif[0x010F] = "Camera Maker"
    file = io.BytesIO()
    Image.fromarray(np.full((900, 3200, 3), 90, np.uint8)).save(file, "JPEG", exif=exif)
    with Shelf(tmp_path / "shelf") as shelf:
        reference = shelf.add_photograph(file.getvalue(), "jpg")
        note = Note("urn:uuid:1", reference[:64], "tear", ((100, 200), (300, 200), (300, 400)), 3, says="by Ida Roe")
        sections = (
            Photographs(photographs=(Photograph(reference=reference, size=(3200, 900), shows="back"),)),
            Notes(annotations=(to_annotation(note),)),
        )
        shelf.create("one", changes_for([(each, 0, "entered") for each in sections], None))
        told = json.loads(export(shelf, [1], "iiif")[0])
        (canvas,) = told["items"]
        (drawn,) = canvas["annotations"][0]["items"]
        assert "100.0,200.0 300.0,200.0 300.0,400.0" in drawn["target"]["selector"]["value"]
        assert drawn["body"]["value"] == "tear"
        assert "Ida Roe" in export(shelf, [1], "iiif", ["names"])[0].decode()
        # Its file is called as it is once the camera's data are taken out.
        body = canvas["items"][0]["items"][0]["body"]["id"]
        assert reference[:64] not in body
        (file_name,) = told_of(shelf, 1, pictures=True).photographs
        assert body.endswith(file_name)
        # On a page it is half as large.
        import datetime

        pages = web_folder(shelf, [1], made=datetime.date(2026, 11, 30))
        assert b"50.0,100.0 150.0,100.0 150.0,200.0" in pages["index-manifest.json"]
