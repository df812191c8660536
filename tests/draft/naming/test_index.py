"""The catalogue's index as it lies in the package, against the index made anew of the block files."""

import numpy as np
import pytest
from numpy.testing import assert_allclose, assert_array_equal

from seamlore.draft import catalogue
from seamlore.draft.naming import index as module
from seamlore.draft.naming.index import Each, catalogue_index, from_file, index_of, to_file
from seamlore.draft.naming.naming import name_block

ANEW = "run: python tools/naming_index.py"


@pytest.fixture(scope="module")
def anew():
    return index_of(catalogue.all_blocks())


def test_the_index_in_the_package_is_that_of_the_block_files(anew):
    kept = from_file(module._KEPT.read_bytes())
    assert kept is not None, ANEW
    assert list(kept.marks.items()) == list(anew.marks.items()), ANEW
    assert_allclose(kept.sizes, anew.sizes, rtol=0, atol=1e-12, err_msg=ANEW)
    assert_allclose(kept.full_pieces, anew.full_pieces, rtol=0, atol=1e-12, err_msg=ANEW)
    assert_allclose(kept.visible_pieces, anew.visible_pieces, rtol=0, atol=1e-12, err_msg=ANEW)
    for one, other in zip(kept.totals, anew.totals, strict=True):
        assert_allclose(one, other, rtol=0, atol=1e-12, err_msg=ANEW)


def test_what_follows_from_a_block_alone_is_made_when_asked_for(anew):
    kept = from_file(to_file(anew))
    for row in range(0, len(anew.blocks), 7):
        assert kept.blocks[row] == anew.blocks[row]
        assert kept.full[row] == anew.full[row]
        assert_array_equal(kept.inner[row], anew.inner[row])


def test_a_block_has_one_name_by_the_index_of_the_package_and_by_one_made_anew(anew, monkeypatch):
    given = [each.moved(90, mirrored=True) for each in catalogue.all_blocks()[::9]]
    kept = [name_block(each) for each in given]
    monkeypatch.setattr("seamlore.draft.naming.naming.catalogue_index", lambda: anew)
    assert kept == [name_block(each) for each in given]


def test_an_index_of_other_block_files_is_not_believed(anew, monkeypatch):
    kept = to_file(anew)
    monkeypatch.setattr(module, "fingerprint", lambda: "another")
    assert from_file(kept) is None


def test_an_index_of_other_drawings_is_not_believed(anew, monkeypatch):
    kept = to_file(anew)
    monkeypatch.setattr(module, "headings", lambda: catalogue.headings()[1:])
    assert from_file(kept) is None


def test_without_its_file_the_index_is_made_of_the_blocks(monkeypatch, tmp_path):
    monkeypatch.setattr(module, "_KEPT", tmp_path / "none.npz")
    monkeypatch.setattr(module, "all_blocks", lambda: (catalogue.find("Four Patch"),))
    catalogue_index.cache_clear()
    try:
        assert np.allclose(catalogue_index().totals[0], [2.0])
    finally:
        catalogue_index.cache_clear()


def test_values_made_when_asked_for_are_counted_from_either_end():
    made = []
    each = Each(3, lambda number: made.append(number) or number * 10)
    assert (each[-1], each[2], each[0], list(each), each[1:]) == (20, 20, 0, [0, 10, 20], [10, 20])
    assert made == [2, 0, 1]
    with pytest.raises(IndexError):
        each[3]
