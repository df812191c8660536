"""The launchers that start.py leaves: one double click opens the table, on each system.

Checked against the Desktop Entry Specification 1.5 (freedesktop.org) and by running what can be run here.
"""

from __future__ import annotations

import importlib.util
import os
import shlex
import subprocess
import sys
from pathlib import Path

import pytest

_SPEC = importlib.util.spec_from_file_location("start", Path(__file__).parents[1] / "start.py")
assert _SPEC is not None
assert _SPEC.loader is not None
start = importlib.util.module_from_spec(_SPEC)
_SPEC.loader.exec_module(start)


@pytest.fixture
def odd_folder(tmp_path):
    folder = tmp_path / "Grandma's 100% $quilts"
    folder.mkdir()
    (folder / "start.py").write_text("import sys; print(sys.argv[1:])")
    return folder


def test_the_linux_launcher_is_a_desktop_entry_that_calls_open(tmp_path):
    place = start.leave_launcher("linux", tmp_path)
    lines = place.read_text().splitlines()
    assert place.name == "Seamlore.desktop"
    assert lines[0] == "[Desktop Entry]"
    given = dict(line.split("=", 1) for line in lines[1:])
    assert given["Type"] == "Application"
    assert shlex.split(given["Exec"]) == [sys.executable, str(tmp_path / "start.py"), "open"]
    assert os.access(place, os.X_OK)


def test_signs_in_a_folder_name_are_quoted_as_the_specification_says(odd_folder):
    command = start.leave_launcher("linux", odd_folder).read_text().split("Exec=")[1].splitlines()[0]
    # Section 7: the percent sign is doubled, the dollar sign escaped, and the escape itself escaped (section 4).
    assert "100%% \\\\$quilts" in command


@pytest.mark.skipif(os.name == "nt", reason="a shell script")
def test_the_macos_launcher_runs_from_anywhere_and_passes_open_on(odd_folder, tmp_path):
    place = start.leave_launcher("darwin", odd_folder)
    assert place.name == "Seamlore.command"
    done = subprocess.run([str(place)], cwd=tmp_path, capture_output=True, text=True, check=True)
    assert done.stdout == "['open']\n"


def test_the_windows_launcher_is_a_batch_file_with_its_own_line_ends(tmp_path):
    text = start.leave_launcher("win32", tmp_path).read_bytes()
    assert text.count(b"\r\n") == text.count(b"\n") == 4
    assert b'"%~dp0start.py" open' in text
    assert sys.executable.encode() in text


def test_a_launcher_left_twice_is_the_same(tmp_path):
    first = start.leave_launcher("linux", tmp_path).read_bytes()
    assert start.leave_launcher("linux", tmp_path).read_bytes() == first
