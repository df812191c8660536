"""Change the code in small wrong ways, one at a time, and count how many changes the tests notice.

    python tools/mutation.py                          the whole sample, 1,500 changes in ten rooms
    python tools/mutation.py --rooms lengths,shelf --each 40
    python tools/mutation.py --list docs/accuracy/unnoticed.txt > docs/accuracy/mutation.txt

The changes are made by the mutation tester (mutmut) in a copy of the tracked files; which of them are tried is drawn with
a seed, so that two runs on one state of the code try the same. Prints a table, writes the changes that no test noticed to
build/mutation/ROOM.txt, and with --list one line for each, with the kind of reason for which it went unnoticed. Which rooms
there are, and which tests should notice, says wrong_changes/rooms.py.

Refusals (`raise` statements) are not changed: what their sentences say is held by the tests of bad input, and a sentence
worded otherwise is no wrong answer. Nor are `strict=` and `encoding=`: the first only asks whether two rows are equally
long, the second names what is usual anyway; nor the case of letters in a query, which the database does not look at.
"""

from __future__ import annotations

import argparse
import json
import os
import random
import re
import shutil
import subprocess
import sys
from pathlib import Path

from wrong_changes.beside import CONFTEST, EXAMPLES, settings
from wrong_changes.reasons import changes, why
from wrong_changes.rooms import ROOMS

ROOT = Path(__file__).resolve().parent.parent
KILLED = {1, 3}  # pytest failed, or broke off
TIMEOUT = {-24, 24, 36, 152, 255, -9}
NO_TESTS = {5, 33}


def _mutmut(folder: Path, *words: str) -> subprocess.CompletedProcess[str]:
    program = Path(sys.executable).with_name("mutmut")
    # A test that starts another program starts it with the changed code too.
    path = str(folder / "mutants" / "src")
    room = {**os.environ, "OMP_NUM_THREADS": "1", "OPENBLAS_NUM_THREADS": "1", "PYTHONPATH": path}
    return subprocess.run([str(program), *words], cwd=folder, env=room, capture_output=True, text=True, check=False)


def _said(run: subprocess.CompletedProcess[str]) -> str:
    """What a run said, without its turning wheel."""
    lines = re.split(r"[\r\n]+", run.stdout + run.stderr)
    return "\n".join(line for line in lines if line and not "\u2800" <= line[0] <= "\u28ff")[-3000:]


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
        file_of_settings.write(settings(ROOMS[name]))
    (folder / "conftest.py").write_text(CONFTEST.replace("{blocks}", str(ROOMS[name].blocks)), encoding="utf-8")
    examples = EXAMPLES.format(globs=ROOMS[name].code)
    (folder / "tests" / "test_examples.py").write_text(examples, encoding="utf-8")
    # There from the beginning: Python remembers of a folder on its path that it is missing.
    (folder / "mutants" / "src").mkdir(parents=True)
    # A name that fits no change: all changes are made and the tests timed, and none is tried.
    first = _mutmut(folder, "run", "--max-children", str(workers), "no change is called so")
    every = changes(folder)
    if not every or "nothing matches" not in first.stderr + first.stdout:
        raise SystemExit(f"{name}: the tests did not pass unchanged:\n{_said(first)}")
    tests = json.loads((folder / "mutants" / "mutmut-stats.json").read_text(encoding="utf-8"))
    tested = set(tests["tests_by_mangled_function_name"])
    chosen = sorted(random.Random(seed).sample(every, min(each, len(every))))
    bare = [change for change in chosen if change.rpartition("__mutmut_")[0] not in tested]
    tried = [change for change in chosen if change not in set(bare)]
    if tried:
        run = _mutmut(folder, "run", "--max-children", str(workers), *tried)
        told = _verdicts(folder)
        if all(told[change] is None for change in tried):
            raise SystemExit(f"{name}: the changes were not tried:\n{_said(run)}")
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
    words.add_argument("--each", type=int, help="changes in each room, in place of its own number")
    words.add_argument("--seed", type=int, default=1)
    words.add_argument("--workers", type=int, default=os.cpu_count() or 2)
    words.add_argument("--work", type=Path, default=ROOT / "build" / "mutation")
    words.add_argument("--list", type=Path, help="a file for the changes that went unnoticed, one in a line")
    asked = words.parse_args()
    listed = []
    asked.work.mkdir(parents=True, exist_ok=True)
    total = noticed = 0
    print(f"{'room':12s} {'changes':>8s} {'noticed':>8s} {'share':>7s}", flush=True)
    for name in asked.rooms.split(","):
        result = try_room(name, asked.each or ROOMS[name].each, asked.seed, asked.workers, asked.work)
        here = sum(verdict == "noticed" for verdict, _ in result.values())
        total, noticed = total + len(result), noticed + here
        left = [
            f"{verdict}: {change}\n{shown}" for change, (verdict, shown) in result.items() if verdict != "noticed"
        ]
        for change, (verdict, shown) in result.items():
            if verdict != "noticed":
                lines, reason = why(verdict, shown)
                listed.append(f"{change.rpartition('__mutmut_')[0].removeprefix('seamlore.')}: {lines}\n    {reason}")
        (asked.work / f"{name}.txt").write_text("\n".join(left), encoding="utf-8")
        print(f"{name:12s} {len(result):8d} {here:8d} {100 * here / max(len(result), 1):6.1f} %", flush=True)
    if asked.list:
        asked.list.write_text("\n".join(listed) + "\n", encoding="utf-8")
    print(f"{'all':12s} {total:8d} {noticed:8d} {100 * noticed / max(total, 1):6.1f} %", flush=True)
    return 0


if __name__ == "__main__":
    sys.exit(main())
