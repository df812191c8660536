"""Change the code in small wrong ways, one at a time, and count how many changes the tests notice.

    python tools/mutation.py                          the whole sample, 1,500 changes in ten rooms
    python tools/mutation.py --rooms lengths,shelf --each 40
    python tools/mutation.py --list docs/accuracy/unnoticed.txt > docs/accuracy/mutation.txt

The changes are made by the mutation tester (mutmut) in a copy of the tracked files; which of them are tried is drawn with
a seed, so that two runs on one state of the code try the same. Prints a table, writes the changes that no test noticed to
build/mutation/ROOM.txt, and with --list one line for each, with the kind of reason for which it went unnoticed. Refusals (`raise` statements) are not changed: what their sentences say is held by
the tests of bad input, and a sentence worded otherwise is no wrong answer. Nor are `strict=` and `encoding=`: the first
only asks whether two rows are equally long, the second names what is usual anyway; nor the case of letters in a query,
which the database does not look at.
"""

from __future__ import annotations

import argparse
import ast
import difflib
import json
import os
import random
import re
import shutil
import subprocess
import sys
import textwrap
from dataclasses import dataclass
from pathlib import Path

ROOT = Path(__file__).resolve().parent.parent
KILLED = {1, 3}  # pytest failed, or broke off
TIMEOUT = {-24, 24, 36, 152, 255, -9}
NO_TESTS = {5, 33}


# Lies beside the tests of the copy: the quick ones come first, a property that fails is not made small, and the
# examples in the room's docstrings are tests as they are in the whole run (there they are collected from the modules,
# which here hold every change as a function of its own). What functions remember is emptied before a change is tried,
# for it was worked out without the change; and a fixture that several tests share is worked out with the first of them
# alone, but noticed in all: so it is added to each. A change that runs on and on is ended by its own processor time, not
# by the clock, which other work on the machine would make go faster.
CONFTEST = """
import json
import os
import resource
import sys
import time
from pathlib import Path

import pytest
from hypothesis import Phase, settings

settings.register_profile("changes", phases=(Phase.explicit, Phase.generate), derandomize=True, deadline=None)
settings.load_profile("changes")
SHARED = {}
TOOK = {}
# Read anew for each test it would take longer than all tests together; who tests it reads it.
ONE_IN = {blocks}
CATALOGUE = tuple(f"seamlore.draft.{name}" for name in ("catalogue", "naming.index", "families.families"))


def _now():
    return os.environ.get("MUTANT_UNDER_TEST", "")


def _touched():
    from mutmut.state import state

    return state()._stats


def _forget(kept=()):
    for name, module in list(sys.modules.items()):
        if name.partition(".")[0] in ("seamlore", "tests", "judging"):
            for value in list(vars(module).values()):
                if hasattr(value, "cache_clear") and not isinstance(value, type):
                    if getattr(value, "__module__", "") not in kept:
                        value.cache_clear()


def pytest_collection_modifyitems(items):
    met = {}

    def run(item):
        given = getattr(item, "callspec", None)
        if not given or not any(type(each).__name__ == "Block" for each in given.params.values()):
            return True
        met[item.originalname] = met.get(item.originalname, -1) + 1
        return met[item.originalname] % ONE_IN == 0

    items[:] = [item for item in items if run(item)]
    stats = Path("mutmut-stats.json")
    took = json.loads(stats.read_text(encoding="utf-8"))["duration_by_test"] if stats.is_file() else {}
    items.sort(key=lambda item: took.get(item.nodeid, 0))
    TOOK.update(took)
    if "__mutmut_" in _now():
        _forget()


@pytest.hookimpl(wrapper=True)
def pytest_fixture_setup(fixturedef, request):
    if _now() != "stats" or fixturedef.scope == "function":
        return (yield)
    before = set(_touched())
    _touched().clear()
    _forget(CATALOGUE)
    try:
        return (yield)
    finally:
        SHARED[fixturedef] = set(_touched())
        _touched().update(before)


@pytest.hookimpl(tryfirst=True)
def pytest_runtest_setup(item):
    if _now() == "stats":
        _forget(CATALOGUE)
    elif "__mutmut_" in _now():
        limit = int(time.process_time() + 15 + 10 * TOOK.get(item.nodeid, 0))
        hard = resource.getrlimit(resource.RLIMIT_CPU)[1]
        resource.setrlimit(resource.RLIMIT_CPU, (min(limit, hard) if hard > 0 else limit, hard))


@pytest.hookimpl(tryfirst=True)
def pytest_runtest_teardown(item):
    if _now() == "stats":
        for name in item.fixturenames:
            for fixture in item._fixtureinfo.name2fixturedefs.get(name, ()):
                _touched().update(SHARED.get(fixture, ()))
"""
EXAMPLES = """
import ast
import doctest
import importlib
from pathlib import Path

import pytest

FOLDER = Path(__file__).resolve().parents[2]


def examples():
    for pattern in {globs}:
        for path in sorted(FOLDER.glob(pattern)):
            module = ".".join(path.relative_to(FOLDER / "src").with_suffix("").parts).removesuffix(".__init__")
            tree = ast.parse(path.read_text(encoding="utf-8"))
            for node in ast.walk(tree):
                if isinstance(node, ast.FunctionDef | ast.ClassDef | ast.Module):
                    text = ast.get_docstring(node)
                    if text and ">>>" in text:
                        yield pytest.param(module, text, id=f"{{module}}-{{getattr(node, 'name', 'module')}}")


@pytest.mark.parametrize(("module", "text"), list(examples()))
def test_an_example_says_what_happens(module, text):
    names = dict(vars(importlib.import_module(module)))
    case = doctest.DocTestParser().get_doctest(text, names, module, None, 0)
    flags = doctest.ELLIPSIS | doctest.NORMALIZE_WHITESPACE
    assert doctest.DocTestRunner(optionflags=flags).run(case).failed == 0
"""


@dataclass(frozen=True)
class Room:
    """What is changed, and the tests that should notice.

    Attributes
    ----------
    code
        Globs of the modules that are changed, from the project's folder.
    tests
        The tests that are run, files or folders.
    without
        Tests among them that are left out: hundreds of simulated quilts take seconds for every change that nothing
        else notices. What they alone would notice counts as unnoticed.
    each
        How many changes are tried: more where tests are quick.
    blocks
        Of tests that are made for every block of the catalogue, those of one in so many are run: a change that nothing
        notices takes all of them. What only others would notice counts as unnoticed.
    """

    code: tuple[str, ...]
    tests: tuple[str, ...]
    without: tuple[str, ...] = ()
    each: int = 150
    blocks: int = 1


ROOMS = {
    "lengths": Room(("src/seamlore/lengths/*.py",), ("tests/lengths",), each=250),
    "draft": Room(("src/seamlore/draft/*.py", "src/seamlore/draft/*/*.py"), ("tests/draft",), each=100, blocks=10),
    "placing": Room(("src/seamlore/placing/*.py",), ("tests/placing",), each=100),
    "making": Room(("src/seamlore/making/*.py",), ("tests/making",), each=200),
    "study": Room(
        ("src/seamlore/study/*.py",),
        ("tests/study",),
        (
            "tests/study/test_adjustment.py::test_the_true_cause_is_found_as_often_as_is_claimed",
            "tests/study/test_fit.py::test_evidence_of_a_slip_agrees_with_numerical_integration",
            "tests/study/test_sums.py::test_what_is_said_of_a_simulated_quilt_never_contradicts_itself",
        ),
    ),
    "chronology": Room(("src/seamlore/chronology/*.py",), ("tests/chronology",)),
    # Programs that are killed at random moments are left out: each takes seconds, and what they show is not in one line.
    "shelf": Room(
        ("src/seamlore/shelf/*.py",),
        tuple(f"tests/shelf/test_{name}.py" for name in ("shelf", "photographs", "faults", "collection", "lists")),
        each=100,
    ),
    "edit": Room(("src/seamlore/steps/edit/*.py",), ("tests/steps/edit",), each=200),
    "scale": Room(
        (
            "src/seamlore/printing/pages.py",
            "src/seamlore/printing/fragment.py",
            "src/seamlore/drawing/tiling.py",
            "src/seamlore/sheets/template_pages.py",
        ),
        ("tests/printing", "tests/drawing/test_tiling.py", "tests/sheets/test_template_pages.py"),
        each=150,
    ),
    "geometry": Room(
        (
            *(f"src/seamlore/photo/{name}.py" for name in ("alignment", "bows", "flatten", "frame", "perspective")),
            "src/seamlore/photo/edges/framing.py",
            "src/seamlore/plane/*.py",
        ),
        (
            *(f"tests/photo/test_{name}.py" for name in ("alignment", "bows", "flatten", "frame", "perspective")),
            "tests/photo/edges/test_tracing.py",
            "tests/plane",
        ),
        each=100,
    ),
}


def _settings(room: Room) -> str:
    words = [
        "-p",
        "no:xdist",
        "-p",
        "no:randomly",
        "--timeout=0",
        "-x",
        *(f"--deselect={each}" for each in room.without),
    ]
    return "\n".join(
        [
            "",
            "[tool.mutmut]",
            'source_paths = ["src/"]',
            f"only_mutate = {json.dumps(list(room.code))}",
            'also_copy = ["docs", "judging", "tools", "README.md", "start.py", "conftest.py"]',
            f"pytest_add_cli_args = {json.dumps(words)}",
            f"pytest_add_cli_args_test_selection = {json.dumps([*room.tests, 'tests/test_examples.py'])}",
            "use_git_change_detection = false",
            # So that a test that fails unchanged is named.
            "debug = true",
            # From a process in which no test has run: threads of a library that were at work there are missing in its copy,
            # which would wait for them for ever.
            'process_isolation = "forkserver"',
            # By the clock, only what waits for ever is ended.
            "timeout_multiplier = 40.0",
            "timeout_constant = 5.0",
            "",
        ]
    )


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


def _raises(body: str) -> set[int]:
    """Which lines of a function refuse."""
    nodes = [node for node in ast.walk(ast.parse(textwrap.dedent(body))) if isinstance(node, ast.Raise)]
    return {line - 1 for node in nodes for line in range(node.lineno, (node.end_lineno or node.lineno) + 1)}


def _lines(body: str, changed: str) -> set[int]:
    """Which lines of a function are changed."""
    steps = difflib.SequenceMatcher(None, body.splitlines(), changed.splitlines(), autojunk=False).get_opcodes()
    return {line for tag, low, high, _, _ in steps if tag != "equal" for line in range(low, max(high, low + 1))}


def _bare(body: str) -> str:
    queries = r'"[^"]*\b(SELECT|INSERT|UPDATE|DELETE|PRAGMA)\b[^"]*"'
    told = re.sub(queries, lambda found: found[0].casefold(), body, flags=re.IGNORECASE)
    return re.sub(r"[\s,]+|(strict|encoding)=[^,)]*", "", told)


def _changes(folder: Path) -> list[str]:
    """All changes that may be tried, by their names."""
    found = []
    for path in sorted((folder / "mutants").rglob("*.py.spans")):
        spans = json.loads(path.read_text(encoding="utf-8"))["spans"]
        text = path.with_suffix("").read_text(encoding="utf-8").splitlines(keepends=True)
        module = ".".join(path.relative_to(folder / "mutants" / "src").with_suffix("").with_suffix("").parts)
        refusing: dict[str, set[int]] = {}
        for name, (first, last) in spans.items():
            function, _, which = name.rpartition("__mutmut_")
            if which == "orig":
                continue
            begin, end = spans[f"{function}__mutmut_orig"]
            body, changed = (
                "".join(text[low - 1 : high]).strip("\n").replace(f"{function}__mutmut_{each}(", f"{function}(")
                for low, high, each in ((begin, end, "orig"), (first, last, which))
            )
            if function not in refusing:
                refusing[function] = _raises(body)
            if _bare(body) == _bare(changed) or _lines(body, changed) <= refusing[function]:
                continue
            found.append(f"{module.removesuffix('.__init__')}.{name}")
    return sorted(found)


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
    (folder / "conftest.py").write_text(CONFTEST.replace("{blocks}", str(ROOMS[name].blocks)), encoding="utf-8")
    examples = EXAMPLES.format(globs=ROOMS[name].code)
    (folder / "tests" / "test_examples.py").write_text(examples, encoding="utf-8")
    # There from the beginning: Python remembers of a folder on its path that it is missing.
    (folder / "mutants" / "src").mkdir(parents=True)
    # A name that fits no change: all changes are made and the tests timed, and none is tried.
    first = _mutmut(folder, "run", "--max-children", str(workers), "no change is called so")
    every = _changes(folder)
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


def why(verdict: str, shown: str) -> tuple[str, str]:
    """Give the lines that a change exchanges, and for what kind of reason no test noticed.

    Parameters
    ----------
    verdict : str
    shown : str
        The change as a diff.

    Examples
    --------
    >>> why("unnoticed", "-    if a < 3:\\n+    if a <= 3:")
    ('if a < 3: -> if a <= 3:', 'a limit: no test stands just there')
    >>> why("unnoticed", '-    say("no")\\n+    say("NO")')[1]
    'words: what they say is not held letter by letter'
    """
    told = [line for line in shown.splitlines() if not line.startswith(("---", "+++"))]
    old, new = (" ".join(line[1:].strip() for line in told if line.startswith(sign)) for sign in "-+")
    steps = difflib.SequenceMatcher(None, old, new, autojunk=False).get_opcodes()
    gone = "".join(old[low:high] for tag, low, high, _, _ in steps if tag != "equal")
    come = "".join(new[low:high] for tag, _, _, low, high in steps if tag != "equal")
    if verdict == "without a test":
        reason = "no test of this room comes here; tests of rooms above do"
    elif gone.casefold() == come.casefold() or "XX" in come:
        reason = "words: what they say is not held letter by letter"
    elif re.fullmatch("=|[0-9.]*", gone + come):
        reason = "a limit: no test stands just there"
    elif "None" in come or not come:
        reason = "left out or None: what is used otherwise does the same in the cases tested"
    elif "True" in come or "False" in come or come in ("or", "and"):
        reason = "a case taken always or never: the other way leads to the same in the cases tested"
    else:
        reason = "another sum or sign: the cases tested come to the same"
    return f"{old} -> {new}", reason


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
