"""Change the code in small wrong ways, one at a time, and count how many changes the tests notice.

    python tools/mutation.py                          the whole sample, 150 changes in each room
    python tools/mutation.py --rooms lengths,shelf --each 40

The changes are made by the mutation tester (mutmut) in a copy of the tracked files; which of them are tried is drawn with
a seed, so that two runs on one state of the code try the same. Prints a table, and writes the changes that no test
noticed to build/mutation/ROOM.txt. Refusals (`raise` statements) are not changed: what their sentences say is held by
the tests of bad input, and a sentence worded otherwise is no wrong answer.
"""

from __future__ import annotations

import argparse
import json
import os
import random
import shutil
import subprocess
import sys
from dataclasses import dataclass
from pathlib import Path

ROOT = Path(__file__).resolve().parent.parent
KILLED = {1, 3}  # pytest failed, or broke off
TIMEOUT = {-24, 24, 36, 152, 255, -9}
NO_TESTS = {5, 33}


@dataclass(frozen=True)
class Room:
    """What is changed, and the tests that should notice.

    Attributes
    ----------
    code
        Globs of the modules that are changed, from the project's folder.
    tests
        The tests that are run, files or folders.
    """

    code: tuple[str, ...]
    tests: tuple[str, ...]


ROOMS = {
    "lengths": Room(("src/seamlore/lengths.py",), ("tests/test_lengths.py",)),
    "draft": Room(("src/seamlore/draft/*.py",), ("tests/draft",)),
    "placing": Room(("src/seamlore/placing/*.py",), ("tests/placing",)),
    "making": Room(("src/seamlore/making/*.py",), ("tests/making",)),
    "study": Room(("src/seamlore/study/*.py",), ("tests/study",)),
    "chronology": Room(("src/seamlore/chronology/*.py",), ("tests/chronology",)),
    "shelf": Room(("src/seamlore/shelf/*.py",), ("tests/shelf",)),
    "edit": Room(("src/seamlore/steps/edit/*.py",), ("tests/steps",)),
    "scale": Room(
        ("src/seamlore/printing/*.py", "src/seamlore/drawing/tiling.py", "src/seamlore/sheets/template_pages.py"),
        ("tests/printing", "tests/drawing", "tests/sheets"),
    ),
    "geometry": Room(
        (
            *(f"src/seamlore/photo/{name}.py" for name in ("alignment", "bows", "flatten", "frame", "perspective")),
            "src/seamlore/photo/edges/framing.py",
            "src/seamlore/plane/*.py",
        ),
        ("tests/photo", "tests/plane"),
    ),
}


def _settings(room: Room) -> str:
    return "\n".join(
        [
            "",
            "[tool.mutmut]",
            'source_paths = ["src/"]',
            f"only_mutate = {json.dumps(list(room.code))}",
            'also_copy = ["docs", "judging", "tools", "README.md", "start.py"]',
            f"pytest_add_cli_args = {json.dumps(['-p', 'no:xdist', '-p', 'no:randomly', '--timeout=0', '-x'])}",
            f"pytest_add_cli_args_test_selection = {json.dumps(list(room.tests))}",
            f"do_not_mutate_patterns = {json.dumps([r'^ *raise '])}",
            "use_git_change_detection = false",
            "timeout_multiplier = 8.0",
            "timeout_constant = 4.0",
            "",
        ]
    )


def _mutmut(folder: Path, *words: str) -> subprocess.CompletedProcess[str]:
    program = Path(sys.executable).with_name("mutmut")
    room = {**os.environ, "OMP_NUM_THREADS": "1", "OPENBLAS_NUM_THREADS": "1", "PYTHONPATH": ""}
    return subprocess.run([str(program), *words], cwd=folder, env=room, capture_output=True, text=True, check=False)


def _verdicts(folder: Path) -> dict[str, int | None]:
    told: dict[str, int | None] = {}
    for path in sorted((folder / "mutants").rglob("*.py.meta")):
        told |= json.loads(path.read_text(encoding="utf-8"))["exit_code_by_key"]
    return told


def try_room(name: str, each: int, seed: int, workers: int, work: Path) -> dict[str, tuple[str, str]]:
    """Try a sample of changes in one room.

    Parameters
    ----------
    name
        Of the room, in `ROOMS`.
    each
        How many changes, at most.
    seed
        Of the sample.
    workers
        Processes at once.
    work
        Folder in which the copy is laid; what lies there under the room's name goes.

    Returns
    -------
    dict
        For each change by its name: "noticed", "unnoticed", or "without a test", and its lines.
    """
    folder = work / name
    shutil.rmtree(folder, ignore_errors=True)
    tracked = subprocess.run(["git", "ls-files", "-z"], cwd=ROOT, capture_output=True, text=True, check=True).stdout
    for file in filter(None, tracked.split("\0")):
        if (ROOT / file).is_file():
            (folder / file).parent.mkdir(parents=True, exist_ok=True)
            shutil.copy2(ROOT / file, folder / file)
    with (folder / "pyproject.toml").open("a", encoding="utf-8") as file_of_settings:
        file_of_settings.write(_settings(ROOMS[name]))
    # A name that fits no change: all changes are made and the tests timed, and none is tried.
    first = _mutmut(folder, "run", "--max-children", str(workers), "no change is called so")
    every = sorted(_verdicts(folder))
    if not every or "nothing matches" not in first.stderr + first.stdout:
        raise SystemExit(f"{name}: the tests did not pass unchanged:\n{first.stdout[-3000:]}\n{first.stderr[-3000:]}")
    tests = json.loads((folder / "mutants" / "mutmut-stats.json").read_text(encoding="utf-8"))
    tested = set(tests["tests_by_mangled_function_name"])
    chosen = sorted(random.Random(seed).sample(every, min(each, len(every))))
    bare = [change for change in chosen if change.rpartition("__mutmut_")[0] not in tested]
    tried = [change for change in chosen if change not in set(bare)]
    if tried:
        run = _mutmut(folder, "run", "--max-children", str(workers), *tried)
        told = _verdicts(folder)
        if all(told[change] is None for change in tried):
            raise SystemExit(f"{name}: the changes were not tried:\n{run.stdout[-3000:]}\n{run.stderr[-3000:]}")
    else:
        told = {}
    result = dict.fromkeys(bare, ("without a test", ""))
    for change in tried:
        noticed = told[change] in KILLED | TIMEOUT
        result[change] = ("noticed" if noticed else "without a test" if told[change] in NO_TESTS else "unnoticed", "")
    for change, (verdict, _) in result.items():
        if verdict != "noticed":
            shown = _mutmut(folder, "show", change).stdout
            result[change] = (verdict, shown)
    return result


def main() -> int:
    """Try the rooms asked for and print the table."""
    words = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    words.add_argument("--rooms", default=",".join(ROOMS), help="with commas between")
    words.add_argument("--each", type=int, default=150, help="changes in each room")
    words.add_argument("--seed", type=int, default=1)
    words.add_argument("--workers", type=int, default=os.cpu_count() or 2)
    words.add_argument("--work", type=Path, default=ROOT / "build" / "mutation")
    asked = words.parse_args()
    asked.work.mkdir(parents=True, exist_ok=True)
    total = noticed = 0
    print(f"{'room':12s} {'changes':>8s} {'noticed':>8s} {'share':>7s}", flush=True)
    for name in asked.rooms.split(","):
        result = try_room(name, asked.each, asked.seed, asked.workers, asked.work)
        here = sum(verdict == "noticed" for verdict, _ in result.values())
        total, noticed = total + len(result), noticed + here
        left = [
            f"{verdict}: {change}\n{shown}" for change, (verdict, shown) in result.items() if verdict != "noticed"
        ]
        (asked.work / f"{name}.txt").write_text("\n".join(left), encoding="utf-8")
        print(f"{name:12s} {len(result):8d} {here:8d} {100 * here / max(len(result), 1):6.1f} %", flush=True)
    print(f"{'all':12s} {total:8d} {noticed:8d} {100 * noticed / max(total, 1):6.1f} %", flush=True)
    return 0


if __name__ == "__main__":
    sys.exit(main())
