"""Pictures as fragments of a page."""

from seamlore.drawing.picture import picture
from seamlore.drawing.shapes import Area, Group, Image, ImageFile, Line, Swatch, Text, box
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


def test_a_line_has_its_width_its_dashes_and_round_ends_only_where_asked():
    (plain,) = _fragment(Line((((0, 0), (1, 2)),), "#102030", 0.25))
    assert plain == 'put(curve(stroke: (paint: rgb("#102030ff"), thickness: 0.25mm), m((0mm,0mm)),l((1mm,2mm))))'
    (round_,) = _fragment(Line((((0, 0), (1, 2)),), "#102030", 0.25, cap="round"))
    assert 'thickness: 0.25mm, join: "round", cap: "round"), m(' in round_
    (dashed,) = _fragment(Line((((0, 0), (1, 2)), ((3, 3), (4, 4))), "#102030", 0.25, (2.0, 1.5), cap="round"))
    assert 'join: "round", dash: (2mm,1.5mm,)), m((0mm,0mm)),l((1mm,2mm)),m((3mm,3mm)),l((4mm,4mm))))' in dashed
    assert "cap:" not in dashed


def test_an_area_is_closed_filled_even_odd_and_outlined():
    rings = (box(0, 0, 4, 4), box(1, 1, 2, 2))
    (filled,) = _fragment(Area(rings, "#ffffff"))
    assert filled.startswith('put(curve(fill: rgb("#ffffffff"), fill-rule: "even-odd", m((0mm,0mm)),l((4mm,0mm)),')
    assert filled.count(",z") == 2
    (outlined,) = _fragment(Area(rings[:1], None, "#102030", 0.3, (1.0, 1.0)))
    assert outlined == (
        'put(curve(stroke: (paint: rgb("#102030ff"), thickness: 0.3mm, join: "round", dash: (1mm,1mm,)), '
        "m((0mm,0mm)),l((4mm,0mm)),l((4mm,4mm)),l((0mm,4mm)),z))"
    )
    (curved,) = _fragment(Area((((0, 0), (1, 0, 2, 1, 3, 3)),), "#ffffff"))
    assert "m((0mm,0mm)),c((1mm,0mm),(2mm,1mm),(3mm,3mm)),z" in curved


def test_an_image_and_a_swatch_keep_their_size_whatever_their_pixels():
    file = ImageFile("a.png", "image/png", b"")
    (shown,) = _fragment(Image(file, 1, 2, 30, 20))
    assert shown == 'put(dx: 1mm, dy: 2mm, image("a-2e-png.png", width: 30mm, height: 20mm, fit: "stretch"))'
    (cloth,) = _fragment(Area((box(0, 0, 4, 4),), Swatch(file, 12, 8)))
    assert cloth.startswith(
        'put(curve(fill: tiling(size: (12mm, 8mm), relative: "parent", image("a-2e-png.png", width: 12mm, '
        'height: 8mm, fit: "stretch")), fill-rule: "even-odd", m((0mm,0mm))'
    )


def test_words_stand_where_they_are_put_at_their_size_and_turn():
    (plain,) = _fragment(Text(1, 2, "A", 7))
    assert plain == 'held(1mm, 2mm, 0, 0deg, text(size: 7pt, weight: 400, fill: rgb("#000000ff"), {"A"}))'
    for anchor, share in (("start", "0"), ("middle", "0.5"), ("end", "1")):
        (line,) = _fragment(Text(1, 2, "A", anchor=anchor, turn_deg=30))
        assert line.startswith(f"held(1mm, 2mm, {share}, 30deg, ")
    for weight, number in (("regular", 400), ("semibold", 600), ("bold", 700)):
        (line,) = _fragment(Text(1, 2, "A", weight=weight, italic=weight == "bold"))
        assert f"weight: {number}" in line
        assert ('style: "italic"' in line) == (weight == "bold")
    # A halo's width follows the size of the letters: 0.28 of it (1 pt is 25.4 / 72 mm).
    halo, _ = _fragment(Text(1, 2, "A", 10, halo="#fefefe"))
    assert '(paint: rgb("#fefefeff"), thickness: 0.988mm, join: "round")' in halo
    (dropped,) = _fragment(Text(1, 2, "A", 10, middle=True))
    assert "move(dy: " in dropped


def test_a_group_is_moved_turned_about_its_own_zero_and_clipped_where_it_says():
    dot = Area((box(0, 0, 1, 1),), "#ffffff")
    moved = "\n".join(_fragment(Group((dot,), 3, 4)))
    assert moved.startswith("put(dx: 3mm, dy: 4mm, box(width: 0pt, height: 0pt, {\nput(curve(")
    assert "rotate" not in moved
    assert "clip" not in moved
    turned = "\n".join(_fragment(Group((dot,), 3, 4, 15)))
    assert "rotate(15deg, origin: top + left, box(width: 0pt, height: 0pt, {" in turned
    clipped = "\n".join(_fragment(Group((dot,), 0, 0, 0, (1, 2, 5, 6))))
    assert "put(dx: 1mm, dy: 2mm, box(width: 5mm, height: 6mm, clip: true, put(dx: -1mm, dy: -2mm, box(" in clipped
    assert _fragment(Group((Group(()),), 1, 1)) == []


def test_a_fragment_is_as_large_as_its_picture():
    assert to_typst(picture(12.3456, 7, [], title="t", description="d")).startswith("drawn(12.346mm, 7mm, {")
    (half,) = _fragment(Line((((0, 0), (1, 2)),), "#000000"))
    assert 'rgb("#000000ff")' in half
    assert any(
        'rgb("#00000080")' in line for line in _fragment(Group((Line((((0, 0), (1, 2)),), "#000000"),), opacity=0.5))
    )
