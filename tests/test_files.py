"""Files written whole or not at all; links followed, modes kept, devices never replaced; files read within limits."""

from __future__ import annotations

import os
import stat
import threading

import pytest

from seamlore import files
from seamlore.errors import SeamloreError
from seamlore.files import Written, read_text, write


def put(path, data="new", **more):
    write([Written(path, data, "the picture")], **more)


def names(folder):
    return sorted(each.name for each in folder.iterdir())


def test_a_new_file_has_the_mode_that_files_have_here(tmp_path):
    (tmp_path / "usual").write_text("")
    put(tmp_path / "made.svg")
    assert (tmp_path / "made.svg").read_text() == "new"
    assert (tmp_path / "made.svg").stat().st_mode == (tmp_path / "usual").stat().st_mode
    assert names(tmp_path) == ["made.svg", "usual"]


def test_a_replaced_file_keeps_its_mode(tmp_path):
    path = tmp_path / "old.svg"
    path.write_text("old")
    path.chmod(0o640)
    put(path)
    assert (path.read_text(), stat.S_IMODE(path.stat().st_mode)) == ("new", 0o640)


def test_a_link_is_followed_and_stays_a_link(tmp_path):
    (tmp_path / "far").mkdir()
    (tmp_path / "far" / "real.svg").write_text("old")
    link, hanging = tmp_path / "link.svg", tmp_path / "hanging.svg"
    link.symlink_to(tmp_path / "far" / "real.svg")
    hanging.symlink_to(tmp_path / "far" / "made.svg")
    put(link)
    put(hanging)
    assert link.is_symlink()
    assert hanging.is_symlink()
    assert (tmp_path / "far" / "real.svg").read_text() == "new"
    assert names(tmp_path / "far") == ["made.svg", "real.svg"]


def test_a_device_is_written_into_and_never_replaced(tmp_path, device):
    null = files.Path(device("null"))
    before = null.stat()
    put(null)
    (tmp_path / "link").symlink_to(null)
    put(tmp_path / "link")
    assert stat.S_ISCHR(null.stat().st_mode)
    assert null.stat().st_ino == before.st_ino


def test_a_pipe_that_somebody_reads_gets_the_file(tmp_path):
    os.mkfifo(tmp_path / "pipe")
    got = []
    reading = threading.Thread(target=lambda: got.append((tmp_path / "pipe").read_text()))
    reading.start()
    # Until somebody reads, it is refused.
    for _ in range(500):
        try:
            put(tmp_path / "pipe", "x" * 200_000)
            break
        except SeamloreError:
            threading.Event().wait(0.01)
    reading.join(10)
    assert got == ["x" * 200_000]
    assert stat.S_ISFIFO((tmp_path / "pipe").stat().st_mode)


def test_a_pipe_that_nobody_reads_is_refused_at_once(tmp_path):
    os.mkfifo(tmp_path / "pipe")
    with pytest.raises(SeamloreError, match="the picture cannot be written"):
        put(tmp_path / "pipe")


def test_a_full_device_is_refused(device):
    with pytest.raises(SeamloreError, match="no space left on device"):
        put(files.Path(device("full")))


def test_a_file_marked_read_only_stays(tmp_path):
    path = tmp_path / "kept.svg"
    path.write_text("old")
    path.chmod(0o444)
    with pytest.raises(SeamloreError, match="it is read-only"):
        put(path)
    assert (path.read_text(), names(tmp_path)) == ("old", ["kept.svg"])


def test_a_folder_is_refused(tmp_path):
    with pytest.raises(SeamloreError, match="it is a folder"):
        put(tmp_path)


@pytest.mark.parametrize("name", ["n" * 256, "a\0b", "no/such/folder/x", "n" * 5000])
def test_a_name_that_no_file_can_have_is_refused(tmp_path, name):
    with pytest.raises(SeamloreError, match="the picture cannot be written"):
        put(tmp_path / name)
    assert names(tmp_path) == []


def test_the_longest_name_that_a_file_can_have_is_written(tmp_path):
    put(tmp_path / ("n" * 255))
    assert names(tmp_path) == ["n" * 255]


def test_what_is_read_is_never_written_over(tmp_path):
    path = tmp_path / "my.block"
    path.write_text("block X")
    (tmp_path / "same").symlink_to(path)
    for each in (path, tmp_path / "same"):
        with pytest.raises(SeamloreError, match="it is read here"):
            put(each, inputs=[path])
    assert path.read_text() == "block X"


def test_two_results_do_not_go_into_one_file(tmp_path):
    both = [Written(tmp_path / "one", "1", "the picture"), Written(tmp_path / "one", "2", "the assignment")]
    with pytest.raises(SeamloreError, match="something else is written there"):
        write(both)
    assert names(tmp_path) == []


def test_of_several_files_none_is_written_when_one_cannot_be(tmp_path):
    (tmp_path / "one").write_text("old")
    with pytest.raises(SeamloreError, match="the assignment cannot be written"):
        write(
            [
                Written(tmp_path / "one", "new", "the picture"),
                Written(tmp_path / "nowhere" / "two", "new", "the assignment"),
            ]
        )
    assert (names(tmp_path), (tmp_path / "one").read_text()) == (["one"], "old")


def test_a_fault_in_the_middle_leaves_no_part_behind(tmp_path, monkeypatch):
    (tmp_path / "one").write_text("old")

    def stopped(self, mode):
        raise KeyboardInterrupt

    monkeypatch.setattr(files.Path, "chmod", stopped)
    with pytest.raises(KeyboardInterrupt):
        put(tmp_path / "one")
    assert (names(tmp_path), (tmp_path / "one").read_text()) == (["one"], "old")


def test_a_text_is_read_with_any_line_ends_and_mark(tmp_path):
    (tmp_path / "t").write_bytes(b"\xef\xbb\xbfone\r\ntwo\rthree\n")
    assert read_text(tmp_path / "t", "a file") == "one\ntwo\nthree\n"


def test_a_file_without_end_is_refused():
    with pytest.raises(SeamloreError, match="at most 1,000 bytes"):
        read_text(files.Path("/dev/zero"), "a block file", most=1000)


@pytest.mark.parametrize("name", ["nowhere", "n" * 300, "a\0b", "."])
def test_what_is_no_file_is_refused(tmp_path, name):
    with pytest.raises(SeamloreError, match="a block file cannot be read"):
        read_text(tmp_path / name, "a block file")
