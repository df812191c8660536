"""Processor time of every page and command, on the demo study: `python -m judging.timing.pages`.

Processor time, not the clock, so that two states of the code can be set beside each other on a machine that does other work
too. A page is fetched once unmeasured and then several times over; of each the least is printed, for what else the machine
does only adds. A command is a process of its own, its start and libraries included.
"""

from __future__ import annotations

import resource
import subprocess
import sys
import tempfile
import time
from pathlib import Path

from starlette.applications import Starlette
from starlette.testclient import TestClient

# As the program itself is started, before any library of arrays is imported.
import seamlore.cli.main  # noqa: F401
from judging.timing.table import put_demo
from seamlore.shelf.shelf import Shelf
from seamlore.steps.order import STEPS
from seamlore.web.app import make_app

ADDRESS = "http://127.0.0.1:4000"
TIMES, COMMAND_TIMES = 15, 3
DEMO = Path(__file__).resolve().parents[2] / "src" / "seamlore" / "demo" / "demo.jpg"
QUILT = ("--size", "9in", "--rows", "8", "--columns", "7", "--sashing", "2in")
EVIDENCE = """horizon = "1800/2026"
[[evidence]]
part = "blocks"
says = "double pinks"
when = "1860/1890"
trust = 0.8
"""
COMMANDS: dict[str, tuple[str, ...]] = {
    "seamlore --help": ("--help",),
    "seamlore draft BLOCK": ("draft", "birds in the air"),
    "seamlore draft BLOCK as a quilt": ("draft", "birds in the air", *QUILT, "--json"),
    "seamlore make BLOCK": ("make", "birds in the air", *QUILT, "--json"),
    "seamlore date EVIDENCE": ("date", "evidence.toml", "--json"),
    "seamlore look PHOTO": ("look", str(DEMO), "--size", "74.5x89.5in", "--json"),
}


def pages_ms() -> dict[str, float]:
    """Milliseconds of processor time to make each page of the demo study, all that it rests on worked out before."""
    found = {}
    with tempfile.TemporaryDirectory() as folder, Shelf(Path(folder)) as shelf:
        app = make_app(shelf)
        inner = app.app
        assert isinstance(inner, Starlette)
        number = put_demo(shelf)
        cookies = dict([app.doors.cookie(4000).split("=", 1)])
        client = TestClient(app, base_url=ADDRESS, headers={"origin": ADDRESS}, cookies=cookies)
        # The photograph is read once, and every page asked for once, before any is measured.
        assert inner.state.desk.study(number).job.reading
        for name in (step.name for step in STEPS):
            address = f"/study/{number}/{name}"
            assert client.get(address).status_code == 200
            took = []
            for _ in range(TIMES):
                began = time.process_time()
                assert client.get(address).status_code == 200
                took.append(time.process_time() - began)
            found[f"page: {name}"] = 1000 * min(took)
    return found


def commands_ms() -> dict[str, float]:
    """Milliseconds of processor time of each command, its children's included."""
    found = {}
    with tempfile.TemporaryDirectory() as folder:
        (Path(folder) / "evidence.toml").write_text(EVIDENCE, encoding="utf-8")
        for name, words in COMMANDS.items():
            took = []
            for _ in range(COMMAND_TIMES):
                before = resource.getrusage(resource.RUSAGE_CHILDREN)
                call = [sys.executable, "-m", "seamlore.cli.main", *words]
                subprocess.run(call, cwd=folder, check=True, capture_output=True)
                after = resource.getrusage(resource.RUSAGE_CHILDREN)
                took.append(after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime)
            found[name] = 1000 * min(took)
    return found


def main() -> None:
    """Print the table."""
    print(f"{'page or command':40s} {'cpu ms':>7s}")
    for name, took in {**pages_ms(), **commands_ms()}.items():
        print(f"{name:40s} {took:7.0f}")


if __name__ == "__main__":
    main()
