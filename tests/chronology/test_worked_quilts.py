"""Twelve quilts worked through: what was seen, and what a careful historian would accept.

Each is made up for this test from how quilts of its time were made (features and years as in the table of clues, with
their sources there); no real quilt and no real person stands behind them. The years accepted are what the handbooks'
way of dating gives: the newest secure feature of each part bounds it, the usual years say where within.
"""

from __future__ import annotations

import pytest

from seamlore.steps.date import date

ALL = 'parts = ["blocks", "setting", "backing", "filling", "quilting", "edge finish"]\n'


def quilt(*seen, head=""):
    """Date a quilt from (part, clue), (part, clue, words) and ready entries."""
    entries = []
    for each in seen:
        part, key, *words = each
        entries.append(f'[[evidence]]\npart = "{part}"\nclue = "{key}"\n' + "".join(f"{word}\n" for word in words))
    dating = date("usual_order = true\n" + head + "".join(entries), this_year=2026)
    return dating, {each.part: each for each in dating.answers}


def lies(answer, first, last, *, wide=60):
    """The middle lies in the years accepted, and the range of 9 in 10 is no wider than useful."""
    assert first <= answer.median <= last, (answer.part, answer.median, answer.most)
    assert answer.most[1] - answer.most[0] <= wide, (answer.part, answer.most)


def test_1800_a_framed_center_of_cut_out_chintz_with_a_fringe():
    _, found = quilt(
        ("blocks", "cut-out chintz"),
        ("blocks", "medallion"),
        ("blocks", "copperplate print"),
        ("quilting", "linen thread"),
        ("edge finish", "fringe"),
        head=ALL,
    )
    lies(found["blocks"], 1785, 1825)
    lies(found["quilting"], 1785, 1830)
    assert found["edge finish"].most[1] < 1865


def test_1840_an_album_with_prussian_blue_and_a_tape_edge():
    _, found = quilt(
        ("blocks", "prussian blue"),
        ("blocks", "inked signature"),
        ("blocks", "turkey red print"),
        ("edge finish", "tape binding"),
    )
    lies(found["blocks"], 1838, 1858, wide=45)
    lies(found["edge finish"], 1838, 1862, wide=50)


def test_1875_madder_browns_in_a_log_cabin_sewn_by_machine():
    _, found = quilt(
        ("blocks", "madder brown"),
        ("blocks", "log cabin"),
        ("blocks", "lockstitch"),
        ("blocks", "centennial print"),
        ("backing", "shirting"),
    )
    lies(found["blocks"], 1874, 1890, wide=40)
    assert found["blocks"].most[0] >= 1870


def test_1895_a_crazy_throw_of_silks_with_a_bought_lining():
    _, found = quilt(
        ("blocks", "crazy quilt"),
        ("blocks", "weighted silk"),
        ("blocks", "silk embroidery"),
        ("backing", "bought quilted lining"),
    )
    lies(found["blocks"], 1880, 1900, wide=35)
    lies(found["backing"], 1880, 1905, wide=45)


def test_1918_shirtings_claret_and_black_with_outline_embroidery():
    _, found = quilt(
        ("blocks", "redwork"),
        ("blocks", "claret"),
        ("blocks", "mourning print"),
        ("blocks", "shirting"),
        ("backing", "width 36 to 39"),
        ("quilting", "mercerised thread"),
    )
    lies(found["blocks"], 1893, 1922, wide=45)
    assert found["quilting"].most[0] >= 1888


def test_1933_pastel_wedding_rings_on_nile_green():
    _, found = quilt(
        ("blocks", "double wedding ring"),
        ("blocks", "pastel print"),
        ("blocks", "nile green"),
        ("edge finish", "bought bias tape"),
        ("edge finish", "scalloped edge"),
        head=ALL,
    )
    lies(found["blocks"], 1928, 1942, wide=35)
    lies(found["edge finish"], 1928, 1945, wide=45)
    # Of the parts that nobody looked at, none drifts off.
    assert all(each.most[1] < 1985 for each in found.values())


def test_1950_printed_sacks_backed_with_sacks():
    _, found = quilt(
        ("blocks", "printed sack"),
        ("blocks", "zigzag", "sure = 0.7"),
        ("backing", "printed sack"),
        ("backing", "selvage slogan", "sure = 0.7"),
        ("filling", "cotton batting"),
    )
    lies(found["blocks"], 1932, 1960, wide=50)
    assert found["blocks"].most[0] >= 1924


def test_1976_old_blocks_set_new_and_quilted_for_the_bicentennial():
    dating, found = quilt(
        ("blocks", "madder brown"),
        ("blocks", "double pink"),
        ("blocks", "shirting"),
        ("setting", "bicentennial print"),
        ("setting", "polyester cloth"),
        ("filling", "polyester batting"),
        ("backing", "sheet backing"),
    )
    lies(found["blocks"], 1865, 1905)
    lies(found["setting"], 1974, 1985, wide=30)
    lies(found["quilting"] if "quilting" in found else found["filling"], 1974, 1990, wide=35)
    assert any(each.kind == "set later" and "old blocks set new" in each.sentence for each in dating.readings)


def test_a_married_quilt_whose_blocks_are_younger_than_the_setting_around_them():
    dating, found = quilt(
        ("blocks", "pastel print"),
        ("blocks", "dresden plate"),
        ("setting", "red and white"),
        ("setting", "chain stitch"),
        ("setting", "paper templates"),
        ("edge finish", "tape binding"),
    )
    lies(found["blocks"], 1925, 1945, wide=40)
    lies(found["setting"], 1870, 1900, wide=50)
    assert any(each.kind == "married" and each.chance > 0.9 for each in dating.readings)


def test_a_reproduction_in_old_colors_with_new_threads():
    dating, found = quilt(
        ("blocks", "turkey red"),
        ("blocks", "double pink", "sure = 0.7"),
        ("blocks", "rotary cut"),
        ("blocks", "polyester thread"),
        ("backing", "selvage designer"),
        ("quilting", "long-arm pattern"),
        ("filling", "needled cotton batting"),
    )
    assert found["blocks"].median >= 1985
    assert found["quilting"].median >= 1990
    assert any(each.kind == "reproduction" for each in dating.readings)


def test_a_top_of_the_1890s_quilted_a_generation_later():
    dating, found = quilt(
        ("top", "cadet blue"),
        ("top", "neon print"),
        ("top", "madder brown"),
        ("backing", "nile green"),
        ("backing", "printed sack"),
        ("quilting", "fan quilting"),
        ("edge finish", "bought bias tape"),
    )
    lies(found["top"], 1880, 1905, wide=45)
    lies(found["quilting"], 1920, 1950, wide=60)
    assert any(each.kind == "quilted later" for each in dating.readings)
    assert dating.for_label.startswith("pieced about 19") or dating.for_label.startswith("pieced about 18")
    assert "quilted" in dating.for_label


def test_contradictions_are_named_and_not_averaged():
    dating, found = quilt(
        ("blocks", "block date name", 'when = "1842"'),
        ("blocks", "polyester thread"),
        ("blocks", "printed sack"),
    )
    assert any("cannot both be right" in each.sentence for each in dating.contradictions)
    # Not a year in the middle, which nothing speaks for.
    p = dating.dates.of("blocks")
    years = dating.dates.problem.years
    between = p[(years > 1860) & (years < 1915)].sum()
    assert between < 0.1
    assert found["blocks"].median > 1920 or found["blocks"].median < 1860


@pytest.mark.parametrize("part", ["blocks", "setting", "backing", "filling", "quilting", "edge finish"])
def test_every_part_of_a_quilt_of_1933_lies_near_it(part):
    _, found = quilt(("blocks", "pastel print"), ("blocks", "nile green"), ("blocks", "flower garden"), head=ALL)
    assert 1925 <= found[part].median <= 1950
