"""Pictures as SVG."""

import re
import xml.etree.ElementTree as ET

import numpy as np
from numpy.testing import assert_allclose

from seamlore.drawing.picture import picture
from seamlore.drawing.shapes import (
    Area,
    Group,
    Image,
    ImageFile,
    Line,
    Swatch,
    Text,
    box,
    circle,
    gathered,
    moved,
    ring,
)
from seamlore.drawing.svg import path, to_svg
from seamlore.wording import speaking

SVG = "{http://www.w3.org/2000/svg}"


def _everything():
    file = ImageFile("quilt.jpg", "image/jpeg", b"\xff\xd8\xff\xd9")
    shapes = [
        Area((box(0, 0, 40, 30), circle(20, 15, 5)), "#efe7d6", "#2b2622", 0.3),
        Line((ring([(0, 0), (40, 30)]),), "#8a3b35", 0.5, (2, 1), "round"),
        Text(20, 15, 'Tom & "Jerry" <b> 3 1/2 in', 9, "middle", True, "bold", True, "#2b2622", 30, "#ffffff"),
        Area((box(5, 5, 9, 9),), Swatch(file, 3, 3)),
        moved([Image(file, 1, 2, 3, 4)], 5, 6, name="photo"),
        Group((Area((box(0, 0, 9, 9),), "#34466b"),), clip=(1, 1, 2, 2), opacity=0.5),
    ]
    return picture(40, 30, shapes, title="All <shapes>", description="One of each & more.")


def test_every_kind_of_shape_is_well_formed_xml():
    root = ET.fromstring(to_svg(_everything()))
    kinds = [each.tag.removeprefix(SVG) for each in root.iter()]
    for kind in ("path", "text", "tspan", "image", "g", "clipPath", "pattern", "title", "desc"):
        assert kind in kinds


def test_size_on_paper_is_written_in_millimeters_and_the_view_is_the_same():
    root = ET.fromstring(to_svg(_everything()))
    assert (root.get("width"), root.get("height"), root.get("viewBox")) == ("40mm", "30mm", "0 0 40 30")


def test_words_come_back_as_they_were_given():
    root = ET.fromstring(to_svg(_everything()))
    assert root.findtext(f"{SVG}title") == "All <shapes>"
    text = root.find(f"{SVG}text")
    assert text is not None
    assert "".join(text.itertext()).replace("\u00a0", " ") == 'Tom & "Jerry" <b> 3 1/2 in'


def test_a_script_in_a_name_stays_text():
    bad = '"><script>alert(1)</script>'
    shapes = [Text(0, 0, bad), Group((), name=bad), Image(ImageFile(bad, "image/png", b""), 0, 0, 1, 1)]
    root = ET.fromstring(to_svg(picture(1, 1, shapes, title=bad, description=bad), link=lambda file: file.name))
    assert not [each for each in root.iter() if "script" in each.tag]


def test_ids_of_two_pictures_on_one_page_differ():
    other = picture(1, 1, [Group((), clip=(0, 0, 1, 1))], title="Other", description="Another.")
    ids = [set(re.findall(r' id="([^"]+)"', to_svg(each))) for each in (_everything(), other)]
    assert ids[0]
    assert ids[1]
    assert not ids[0] & ids[1]


def test_every_reference_points_to_an_id_that_is_there():
    svg = to_svg(_everything())
    ids = re.findall(r' id="([^"]+)"', svg)
    assert len(ids) == len(set(ids))
    references = re.findall(r"url\(#([^)]+)\)", svg) + re.findall(r'labelledby="([^"]+)"', svg)[0].split()
    assert references
    assert set(references) <= set(ids)


def test_fading_inside_fading_multiplies():
    inner = Group((), opacity=0.5)
    svg = to_svg(picture(1, 1, [Group((inner,), opacity=0.5)], title="t", description="d"))
    assert re.findall(r'fill-opacity="([^"]+)"', svg) == ["0.5", "0.25"]


def test_images_are_linked_when_asked_and_else_written_in():
    assert 'href="data:image/jpeg;base64,/9j/2Q=="' in to_svg(_everything())
    assert 'href="/photo/quilt.jpg"' in to_svg(_everything(), link=lambda file: f"/photo/{file.name}")


def test_a_path_keeps_its_corners():
    given = [(1.25, -3.5), (100.125, 0), (0.001, 7)]
    numbers = [float(each) for each in re.findall(r"-?[\d.]+", path([ring(given)], closed=True))]
    assert_allclose(np.array(numbers).reshape(-1, 2), given, atol=5e-4)


def test_18000_patches_of_seven_colors_are_seven_paths():
    painted = [(box(i % 150, i // 150, 1, 1), f"#{i % 7:02x}4060") for i in range(18_000)]
    svg = to_svg(picture(150, 120, gathered(painted), title="Postage stamp", description="Squares."))
    assert svg.count("<path") == 7
    assert svg.count("Z") == 18_000


def test_words_of_a_picture_are_in_the_wording_that_is_spoken():
    drawn = picture(9, 9, [Text(1, 1, "gray center of Gray Ladies", 9)], title="Colors", description="One gray box.")
    with speaking("british", keep=["Gray Ladies"]):
        root = ET.fromstring(to_svg(drawn, ids="a"))
    said = [root.find(f"{SVG}{kind}") for kind in ("title", "desc", "text")]
    assert ["".join(each.itertext()) for each in said] == ["Colours", "One grey box.", "grey centre of Gray Ladies"]
