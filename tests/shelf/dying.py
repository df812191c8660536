"""A program that works on a shelf and is killed at a chosen moment: python dying.py FOLDER ACTION MOMENT."""

from __future__ import annotations

import json
import os
import shutil
import signal
import sqlite3
import sys
import threading
from pathlib import Path

ARMED = [False]


def die(*_):
    os.kill(os.getpid(), signal.SIGKILL)


def at_statement(begins, nth):
    """Die before the nth statement that begins so."""
    seen = [0]

    def look(statement):
        text = "\n".join(line for line in statement.splitlines() if line.strip() and not line.startswith("--"))
        if ARMED[0] and text.startswith(begins):
            seen[0] += 1
            if seen[0] == nth:
                die()

    real = sqlite3.connect

    def connect(*given, **named):
        made = real(*given, **named)
        made.set_trace_callback(look)
        return made

    sqlite3.connect = connect


def at_operation(number):
    """Die in the midst of a statement: after so many operations of the database's machine."""
    real = sqlite3.connect

    def connect(*given, **named):
        made = real(*given, **named)
        made.set_progress_handler(lambda: die() if ARMED[0] else 0, number)
        return made

    sqlite3.connect = connect


def at_call(owner, name, nth, *, after=False):
    """Die before or after the nth call of a function."""
    real, seen = getattr(owner, name), [0]

    def call(*given, **named):
        if ARMED[0]:
            seen[0] += 1
        if ARMED[0] and seen[0] == nth and not after:
            die()
        done = real(*given, **named)
        if ARMED[0] and seen[0] == nth:
            die()
        return done

    setattr(owner, name, call)


def arm(moment):
    """Make ready to die: "statement:BEGIN:1", "operation:50", "fsync:1", "replace:1", "replaced:1", "time:0.01"."""
    kind, _, rest = moment.partition(":")
    if kind == "statement":
        begins, _, nth = rest.rpartition(":")
        at_statement(begins, int(nth))
    elif kind == "operation":
        at_operation(int(rest))
    elif kind == "fsync":
        at_call(os, "fsync", int(rest))
    elif kind in ("replace", "replaced"):
        at_call(Path, "replace", int(rest), after=kind == "replaced")
    elif kind in ("unlink", "unlinked"):
        at_call(Path, "unlink", int(rest), after=kind == "unlinked")


def main(folder, action, moment):
    arm(moment)
    from seamlore.shelf.shelf import Shelf

    sys.path.insert(0, str(Path(__file__).parent))
    from states import ACTIONS, snapshot, work

    if action in ("open", "first opening"):
        ARMED[0] = True
        Shelf(folder)
        sys.exit("the moment never came")
    shelf = Shelf(folder)
    if action == "delete":
        from seamlore.shelf.collection import Collection

        ARMED[0] = True
        Collection(shelf).delete(2)
        sys.exit("the moment never came")
    study = work(shelf)
    # What is printed was acknowledged.
    print(json.dumps(snapshot(shelf)), flush=True)
    shutil.copytree(folder, folder.with_name("before"))
    ARMED[0] = True
    if moment.startswith("time:"):
        threading.Timer(float(moment.partition(":")[2]), die).start()
        while True:
            ACTIONS["edit of two sections"](shelf, study)
            print(json.dumps(snapshot(shelf)), flush=True)
    ACTIONS[action](shelf, study)
    if moment == "done and not told":
        die()
    sys.exit("the moment never came")


if __name__ == "__main__":
    main(Path(sys.argv[1]), sys.argv[2], sys.argv[3])
