"""Pictures as fragments of a page."""

from seamlore.drawing.picture import picture
from seamlore.drawing.shapes import Area, Group, Line, Text, box
from seamlore.printing.fragment import file_name, to_typst


def _fragment(*shapes):
    return to_typst(picture(10, 10, shapes, title="t", description="d")).splitlines()[1:-1]


def test_places_are_kept_to_a_micrometer():
    (line,) = _fragment(Line((((25.4 / 3, 0), (1, 2)),), "#000000"))
    assert "m((8.467mm,0mm)),l((1mm,2mm))" in line


def test_fading_inside_fading_multiplies():
    inner = Group((Area((box(0, 0, 1, 1),), "#ffffff"),), opacity=0.5)
    assert any('rgb("#ffffff40")' in line for line in _fragment(Group((inner,), opacity=0.5)))


def test_a_halo_lies_under_its_letters():
    first, second = _fragment(Text(1, 2, "A", halo="#ffffff"))
    assert "stroke: (paint" in first
    assert "stroke: (paint" not in second


def test_no_fragment_holds_a_scale():
    shapes = [Group((Text(0, 0, "A", middle=True, turn_deg=30),), 1, 2, 15, (0, 0, 5, 5))]
    assert "scale(" not in "\n".join(_fragment(*shapes))


def test_image_names_cannot_leave_the_folder_or_meet():
    names = [file_name(name, "image/png") for name in ("../a", "..-a", "a/b", "a b", "ä")]
    assert len(set(names)) == 5
    assert not any("/" in name or ".." in name for name in names)
