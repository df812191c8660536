"""Photographs on the shelf."""

from __future__ import annotations

import os
import stat
from pathlib import Path

import pytest

from seamlore.shelf.change import ShelfError
from seamlore.shelf.files import write_whole
from seamlore.shelf.photographs import find, keep, read
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


@pytest.mark.skipif(os.name == "nt", reason="Windows opens no folder")
def test_the_folder_is_synchronized_after_a_photograph_has_its_name(tmp_path, monkeypatch):
    told = []
    real_fsync, real_replace = os.fsync, Path.replace

    def fsync(number):
        told.append("folder" if stat.S_ISDIR(os.fstat(number).st_mode) else "file")
        real_fsync(number)

    def replace(path, target):
        told.append("named")
        return real_replace(path, target)

    monkeypatch.setattr(os, "fsync", fsync)
    monkeypatch.setattr(Path, "replace", replace)
    keep(tmp_path, b"a picture", "png")
    assert told == ["file", "named", "folder"]


def test_what_lies_under_a_photographs_name_is_believed_only_after_a_look_at_it(tmp_path):
    reference = keep(tmp_path, b"a picture", "png")
    (tmp_path / reference).write_bytes(b"half a pi")
    assert keep(tmp_path, b"a picture", "png") == reference
    assert read(tmp_path, reference) == b"a picture"
