"""What lies beside the tests of the copy that is changed: its settings, its conftest, the examples as tests."""

from __future__ import annotations

import json

from wrong_changes.rooms import Room

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


def settings(room: Room) -> str:
    """Give what is added to the project's settings."""
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
