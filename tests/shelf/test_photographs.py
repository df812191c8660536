"""Photographs on the shelf."""

from __future__ import annotations

import pytest

from seamlore.shelf.change import ShelfError
from seamlore.shelf.photographs import find, keep, write_whole
from seamlore.shelf.shelf import Shelf


@pytest.fixture
def shelf(tmp_path):
    with Shelf(tmp_path / "shelf") as opened:
        yield opened


def test_the_same_photograph_is_kept_once_and_found_again(shelf):
    first = shelf.add_photograph(b"not looked into", "jpg")
    assert shelf.add_photograph(b"not looked into", "JPG") == first
    assert shelf.photograph(first).read_bytes() == b"not looked into"


@pytest.mark.parametrize("reference", ["../../etc/passwd", "a.jpg", "", "0" * 64 + ".jpg/../x"])
def test_a_path_from_outside_is_no_photograph(shelf, reference):
    with pytest.raises(ShelfError):
        shelf.photograph(reference)


def test_a_file_is_written_whole_and_nothing_is_left_beside_it(tmp_path):
    write_whole(tmp_path / "a.jpg", b"first")
    write_whole(tmp_path / "a.jpg", b"second")
    assert (tmp_path / "a.jpg").read_bytes() == b"second"
    assert [each.name for each in tmp_path.iterdir()] == ["a.jpg"]


def test_a_photograph_that_was_taken_out_of_the_folder_is_missed_by_name(tmp_path):
    reference = keep(tmp_path, b"a picture", "png")
    find(tmp_path, reference).unlink()
    with pytest.raises(ShelfError, match="no longer in the folder"):
        find(tmp_path, reference)
