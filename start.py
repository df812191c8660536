#!/usr/bin/env python3
"""Set Seamlore up in this folder and run it.

    python3 start.py demo              the whole job, once, on the demo quilt
    python3 start.py test [ARG ...]    every check of the project (arguments go to pytest)
    python3 start.py ARG ...           any seamlore command, for example: look photo.jpg --size 74x88in

After that a launcher lies beside this file: a double click on it opens the table in the browser.

Only Python 3.11 or later is needed beforehand. Everything is installed into the folder .venv beside this
file, each package pinned by its hash; nothing else on the machine is touched.
"""

from __future__ import annotations

import hashlib
import os
import shlex
import shutil
import subprocess
import sys
from pathlib import Path

HERE = Path(__file__).resolve().parent
VENV = HERE / ".venv"
BIN = VENV / ("Scripts" if os.name == "nt" else "bin")
PYTHON = BIN / ("python.exe" if os.name == "nt" else "python")
OLDEST = (3, 11)


def stop(sentence: str) -> None:
    """Print one sentence that says what is wrong and what to do, and leave with exit code 2."""
    print(sentence, file=sys.stderr)
    sys.exit(2)


def stamp_of(lock: Path) -> str:
    """Name the state that the folder .venv must be in: this Python, this lock, this project file."""
    parts = [
        sys.version.encode(),
        str(HERE).encode(),
        lock.read_bytes(),
        (HERE / "pyproject.toml").read_bytes(),
    ]
    return hashlib.sha256(b"\0".join(parts)).hexdigest()


def call(*words: str) -> None:
    """Run one set-up command quietly; show all it printed only if it fails."""
    done = subprocess.run(words, cwd=HERE, stdout=subprocess.PIPE, stderr=subprocess.STDOUT, text=True, check=False)
    if done.returncode:
        print(done.stdout, file=sys.stderr)
        stop(f"Set-up stopped at: {' '.join(words[:6])} ... Its own words are above; mend that and start again.")


def set_up(lock: Path) -> None:
    """Make .venv hold exactly what the lock names; do nothing when it already does."""
    stamp = VENV / "seamlore-stamp"
    wanted = stamp_of(lock)
    # The test set holds everything that the plain set holds, so a plain command need not undo it.
    if stamp.exists() and stamp.read_text(encoding="ascii") in {
        wanted,
        stamp_of(HERE / "requirements-test.lock"),
    }:
        return
    print("Setting up (once; this takes a minute or less) ...", file=sys.stderr, flush=True)
    if VENV.exists():
        shutil.rmtree(VENV)
    try:
        import ensurepip  # noqa: F401
        import venv  # noqa: F401
    except ImportError:
        stop("This Python cannot make virtual environments. On Debian or Ubuntu: sudo apt install python3-venv")
    call(sys.executable, "-m", "venv", str(VENV))
    pip = (str(PYTHON), "-m", "pip", "--disable-pip-version-check", "install", "--quiet")
    call(*pip, "--require-hashes", "--only-binary=:all:", "-r", str(lock))
    call(*pip, "--no-deps", "--no-build-isolation", "-e", str(HERE))
    stamp.write_text(wanted, encoding="ascii")
    launcher = leave_launcher(sys.platform, HERE)
    print(f"From now on a double click on {launcher.name} opens Seamlore.", file=sys.stderr, flush=True)


def leave_launcher(platform: str, folder: Path) -> Path:
    """Leave a file in a folder that opens the table by a double click, and give its path.

    `platform` is named as `sys.platform` names it; `folder` is the one that this file lies in.
    """
    python = sys.executable
    if platform == "win32":
        # %~dp0 is the launcher's own folder, so that the folder may be moved; in a batch file % is doubled.
        place, text = (
            folder / "Seamlore.bat",
            (
                "@echo off\r\ntitle Seamlore\r\n"
                f'"{python.replace("%", "%%")}" "%~dp0start.py" open\r\nif errorlevel 1 pause\r\n'
            ),
        )
    elif platform == "darwin":
        place, text = (
            folder / "Seamlore.command",
            (f'#!/bin/sh\ncd "$(dirname "$0")" || exit 1\nexec {shlex.quote(python)} start.py open\n'),
        )
    else:
        # A desktop entry knows no folder of its own, so its paths are whole.
        words = " ".join(desktop_word(word) for word in (python, str(folder / "start.py"), "open"))
        icon = folder / "src" / "seamlore" / "web" / "static" / "mark.svg"
        place, text = (
            folder / "Seamlore.desktop",
            (
                "[Desktop Entry]\nType=Application\nVersion=1.5\nName=Seamlore\n"
                f"Comment=Read an old quilt and make the next one\nExec={words}\n"
                f"Path={desktop_string(str(folder))}\nIcon={desktop_string(str(icon))}\n"
                "Terminal=true\nCategories=Graphics;\n"
            ),
        )
    place.write_bytes(text.encode())
    if platform != "win32":
        place.chmod(0o755)
    return place


def desktop_string(text: str) -> str:
    """Write text as a value of a desktop entry (freedesktop.org, Desktop Entry Specification 1.5, section 4)."""
    return text.replace("\\", "\\\\").replace("\n", "\\n")


def desktop_word(word: str) -> str:
    """Write one word of a command of a desktop entry: quoted, its percent signs doubled (section 7)."""
    quoted = "".join("\\" + sign if sign in '"`$\\' else sign for sign in word)
    return desktop_string('"' + quoted.replace("%", "%%") + '"')


def check(pytest_words: list[str]) -> int:
    """Run every check of the project, and go on after a failure so that all is seen."""
    ours = ["src", "tests", "judging", "tools", "start.py"]
    ours = [place for place in ours if (HERE / place).exists()]
    # Each takes a stretch of neighbors, so that what a module works out once is worked out once; who is done takes over the rest.
    workers = ["-n", str(min(4, os.cpu_count() or 1)), "--dist", "worksteal"]
    checks = {
        "format": ["ruff", "format", "--check", "--quiet", *ours],
        "lint": ["ruff", "check", "--quiet", *ours],
        "tests": ["pytest", "-q", *workers, *pytest_words],
        "types": ["mypy"],
        "rooms": ["lint-imports", "--no-cache"],
    }
    # Tests start the program again and again: its modules are compiled once, not each time.
    room = {name: value for name, value in os.environ.items() if name != "PYTHONDONTWRITEBYTECODE"}
    suffix = ".exe" if os.name == "nt" else ""
    calls = {name: [str(BIN / (program + suffix)), *words] for name, (program, *words) in checks.items()}
    # These two keep one processor each and have little to say: they run while the tests are gathered and run.
    aside = {
        name: subprocess.Popen(
            calls[name], cwd=HERE, env=room, stdout=subprocess.PIPE, stderr=subprocess.STDOUT, text=True
        )
        for name in ("types", "rooms")
    }
    failed = []
    for name, words in calls.items():
        print(f"== {name}", flush=True)
        if name in aside:
            print(aside[name].communicate()[0], end="", flush=True)
            code = aside[name].returncode
        else:
            code = subprocess.run(words, cwd=HERE, env=room, check=False).returncode
        failed += [name] * bool(code)
    print("All checks passed." if not failed else f"Failed: {', '.join(failed)}", flush=True)
    return 1 if failed else 0


def main(words: list[str]) -> int:
    """Set up what the words need and hand over."""
    if sys.version_info < OLDEST:
        stop(
            f"Seamlore needs Python {OLDEST[0]}.{OLDEST[1]} or later; this is {sys.version.split()[0]}. "
            "Install a newer Python and start again."
        )
    if not words or words[0] in {"-h", "--help"}:
        print(__doc__)
        return 0
    testing = words[0] == "test"
    set_up(HERE / ("requirements-test.lock" if testing else "requirements.lock"))
    if testing:
        return check(words[1:])
    return subprocess.run([str(PYTHON), "-m", "seamlore.cli.main", *words], check=False).returncode


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
