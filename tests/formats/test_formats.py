"""Each open format against its published schema and a maintained parser; what is not known is not written.

LIDO 1.1: the schema of ICOM-CIDOC's LIDO Working Group (CC BY 4.0), in tests/data/lido. IIIF Presentation 3: its JSON Schema, which
has no license stated and is not carried along; it is read where SEAMLORE_SCHEMAS says. JSON-LD: pyld. DXF: ezdxf.
"""

from __future__ import annotations

import csv
import io
import json
import os
from pathlib import Path

import numpy as np
import pytest

from seamlore.errors import ShapeError
from seamlore.formats.dxf import CUT, SEAM, Template, to_dxf
from seamlore.formats.iiif import to_manifest
from seamlore.formats.lido import LIDO, to_lido
from seamlore.formats.linked import to_dublin_core, to_schema_org
from seamlore.formats.record import Noted, PartYears, Photo, QuiltRecord
from seamlore.formats.table import to_csv

DATA = Path(__file__).parent.parent / "data"
SCHEMAS = Path(os.environ.get("SEAMLORE_SCHEMAS", Path(__file__).parents[3] / "shared" / "schemas"))
FULL = QuiltRecord(
    "0123456789abcdef0123456789abcdef",
    'Star & "Ladder" <x> é',
    lead="63 blocks of 8 in.",
    story="Told.",
    maker="Ada",
    place="by the lake",
    made="about 1890",
    accession="2019.4",
    acquired="bought May 2019",
    owner="the owner",
    blocks=("Shoo Fly", "Nine Patch"),
    setting="straight",
    size=(70.5, 88.0),
    size_known="by tape",
    block_size=(8.0, 8.0),
    sashing=(3.0, 3.0),
    fabrics=("double pink", "shirting"),
    tags=("worn",),
    headline="Pieced about 1885 to 1895.",
    years=(PartYears("blocks", 1885, 1890, 1895, "1885/1895", "a printed sack"),),
    condition="fragile",
    decision="keep as found",
    made_of=(("f" * 32, "an older top"),),
    photos=(Photo("photographs/a.jpg", "image/jpeg", 900, 1200, "front", "2024-05-02"), Photo("b.png", "image/png", 80, 90, "back")),
    notes=(Noted("n1", "photographs/a.jpg", "tear", "old mend", ((1.0, 2.0), (30.0, 4.0), (20.0, 50.0))),),
    noticed=("4 of 56 blocks lie turned.",),
    figures={"contrast": 57.0},
    changed="2026-11-30T12:00:00.000+00:00",
)  # fmt: skip
BARE = QuiltRecord("f" * 32, "Bare")
BOTH = (FULL, BARE)
IDS = ("full", "bare")


@pytest.fixture(scope="module")
def lido_by_libxml2():
    etree = pytest.importorskip("lxml.etree", reason="lxml is not installed")
    return etree.XMLSchema(etree.parse(str(DATA / "lido" / "lido-v1.1.xsd")))


def faults(schema, text):
    from lxml import etree

    schema.validate(etree.fromstring(text))
    return [str(each) for each in schema.error_log]


@pytest.mark.parametrize("records", [[FULL], [BARE], list(BOTH)], ids=[*IDS, "both"])
def test_lido_is_valid_by_the_published_schema(lido_by_libxml2, records):
    assert faults(lido_by_libxml2, to_lido(records, address="https://quilts.invalid/x/")) == []


def test_lido_that_is_not_valid_is_found_out(lido_by_libxml2):
    spoiled = to_lido([FULL]).replace(b"lido:objectWorkTypeWrap", b"lido:objectWorkWrap")
    assert faults(lido_by_libxml2, spoiled)


def test_lido_is_valid_by_a_second_reader_of_schemas_and_says_what_was_told():
    xmlschema = pytest.importorskip("xmlschema", reason="xmlschema is not installed")
    # Lax: a type of GML that LIDO brings in and nothing here uses is no lawful restriction (libxml2 lets it pass).
    schema = xmlschema.XMLSchema(str(DATA / "lido" / "lido-v1.1.xsd"), validation="lax")
    text = to_lido([FULL])
    schema.validate(io.BytesIO(text))
    from xml.etree import ElementTree

    top = ElementTree.fromstring(text)

    def said(name):
        return [each.text for each in top.iter(f"{{{LIDO}}}{name}")]

    assert FULL.name in said("appellationValue")
    assert said("earliestDate") == ["1885", "1885"]
    assert said("measurementValue") == ["70.5", "88", "8", "8", "3", "3"]


def expanded(text):
    pyld = pytest.importorskip("pyld", reason="pyld is not installed")

    def none(url, options):
        raise AssertionError(f"{url} was to be looked up")

    return pyld.jsonld.expand(json.loads(text), {"documentLoader": none})


@pytest.mark.parametrize("make", [to_dublin_core, to_schema_org])
def test_linked_data_expands_without_looking_anything_up_and_loses_nothing(make):
    pyld = pytest.importorskip("pyld", reason="pyld is not installed")
    told = json.loads(make(BOTH))
    first, bare = expanded(make(BOTH))
    assert first["@id"] == "urn:uuid:01234567-89ab-cdef-0123-456789abcdef"
    title = "http://purl.org/dc/terms/title" if make is to_dublin_core else "https://schema.org/name"
    assert first[title] == [{"@value": FULL.name}]
    assert len(bare) <= 6
    # Every key that was written is a term of the vocabulary, and goes into triples and comes back.
    assert len(first) == len(told["@graph"][0])
    quads = pyld.jsonld.to_rdf(json.loads(make([FULL])), {"format": "application/n-quads"})
    back = pyld.jsonld.compact(pyld.jsonld.from_rdf(quads), told["@context"])
    assert FULL.name in json.dumps(back, ensure_ascii=False).replace('\\"', '"')


def test_years_are_edtf_that_a_general_library_reads():
    edtf = pytest.importorskip("edtf", reason="edtf is not installed")
    (first,) = expanded(to_dublin_core([FULL]))
    (years,) = (each for each in first["http://purl.org/dc/terms/created"] if each.get("@type"))
    assert years["@type"] == "http://id.loc.gov/datatypes/edtf/EDTF"
    read = edtf.parse_edtf(years["@value"])
    assert (read.lower_strict().tm_year, read.upper_strict().tm_year) == (1885, 1895)


def test_iiif_manifest_is_valid_by_its_published_schema():
    jsonschema = pytest.importorskip("jsonschema", reason="jsonschema is not installed")
    path = SCHEMAS / "iiif" / "iiif_3_0.json"
    if not path.is_file():
        pytest.skip("the JSON Schema of IIIF Presentation 3 is not there: it may not be carried along")
    schema = json.loads(path.read_text(encoding="utf-8"))
    told = json.loads(to_manifest(FULL))
    check = jsonschema.validators.validator_for(schema)(schema)
    assert [each.message for each in check.iter_errors(told)] == []
    plain = QuiltRecord("0" * 32, "Bare", photos=FULL.photos)
    assert [each.message for each in check.iter_errors(json.loads(to_manifest(plain)))] == []
    del told["items"][0]["width"]
    assert list(check.iter_errors(told))


def test_iiif_manifest_has_each_photograph_at_its_size_and_its_notes_on_it():
    told = json.loads(to_manifest(FULL, address="https://my.example/star/"))
    first, second = told["items"]
    assert (first["width"], first["height"]) == (900, 1200)
    assert first["items"][0]["items"][0]["body"]["id"] == "https://my.example/star/photographs/a.jpg"
    (note,) = first["annotations"][0]["items"]
    assert note["body"]["value"] == "tear: old mend"
    assert note["target"]["source"] == first["id"]
    assert "1.0,2.0 30.0,4.0 20.0,50.0" in note["target"]["selector"]["value"]
    assert "annotations" not in second
    ids = [each["id"] for each in (told, first, second, first["items"][0], first["annotations"][0], note)]
    assert len(set(ids)) == len(ids)
    with pytest.raises(ValueError, match="photograph"):
        to_manifest(BARE)


def test_csv_is_read_back_by_a_general_reader_and_holds_no_formula():
    tricky = QuiltRecord("1" * 32, "=HYPERLINK(1)", story="x", tags=('a,"b"', "c\nd"))
    rows = list(csv.DictReader(io.StringIO(to_csv([FULL, BARE, tricky]).decode(), newline="")))
    assert [row["name"] for row in rows] == [FULL.name, "Bare", "'=HYPERLINK(1)"]
    assert rows[0]["width_in"] == "70.5"
    assert (rows[0]["contrast"], rows[1]["contrast"]) == ("57", "")
    assert rows[2]["tags"] == 'a,"b"; c\nd'
    assert rows[1]["first_year"] == ""


TRIANGLE = Template("A", np.array([[0, 0], [3, 0], [0, 3]], dtype=float), ("cut 12",), 90.0)
SQUARE = Template("B", np.array([[0, 0], [2, 0], [2, 2], [0, 2]], dtype=float))


@pytest.mark.parametrize(("unit", "scale", "code"), [("in", 1.0, 1), ("mm", 25.4, 4)])
def test_dxf_read_by_its_own_library_has_seam_and_cut_at_true_scale(unit, scale, code):
    ezdxf = pytest.importorskip("ezdxf", reason="ezdxf is not installed")
    text = to_dxf([TRIANGLE, SQUARE], 0.25, unit=unit)
    drawing = ezdxf.read(io.StringIO(text.decode()))
    assert drawing.audit().errors == []
    assert drawing.header["$INSUNITS"] == code
    space = drawing.modelspace()

    def outlines(layer):
        return [np.array(each.get_points("xy")) for each in space.query(f'LWPOLYLINE[layer=="{layer}"]')]

    seam = outlines(SEAM)[0]
    assert np.allclose(np.ptp(seam, axis=0), (3 * scale, 3 * scale))
    cut = outlines(CUT)
    # A square of 2 in with 1/4 in all round.
    assert np.allclose(np.ptp(cut[1], axis=0), (2.5 * scale, 2.5 * scale))
    # None lies on another.
    assert cut[0][:, 0].max() < cut[1][:, 0].min()
    assert not any(text.dxf.layer in (CUT, SEAM) for text in space.query("TEXT"))
    # The right angle of the triangle lies at its top left, as drawn: y runs up.
    assert np.allclose(seam[0], (seam[:, 0].min(), seam[:, 1].max()))
    assert to_dxf([TRIANGLE, SQUARE], 0.25, unit=unit) == text


def test_a_drawing_without_a_template_is_refused():
    pytest.importorskip("ezdxf", reason="ezdxf is not installed")
    with pytest.raises(ShapeError, match="one at least"):
        to_dxf([], 0.25)
