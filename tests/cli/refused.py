"""What every refusal on the command line has in common."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from pathlib import Path

from seamlore.cli.main import run


def put(folder: Path, files: Mapping[str, str | bytes]) -> Path:
    """Lay files in a folder."""
    for name, content in files.items():
        (folder / name).write_bytes(content.encode() if isinstance(content, str) else content)
    return folder


def as_it_was(folder: Path) -> dict[str, int]:
    """When each file in a folder was last written."""
    return {each.name: each.stat().st_mtime_ns for each in folder.iterdir()}


def assert_refused(capsys, folder: Path, words: Sequence[str], message: str) -> None:
    """One short line that can be shown and holds the message, exit 2, nothing on the output, no file written."""
    before = as_it_was(folder)
    code = run(list(words))
    out, err = capsys.readouterr()
    assert (code, out) == (2, "")
    assert err.count("\n") == 1
    assert err[:-1].isprintable()
    assert len(err) < 1000
    assert message in err
    assert as_it_was(folder) == before
