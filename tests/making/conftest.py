"""What the tests of making share: tables of check values beside the tests."""

import csv
import tomllib
from pathlib import Path

DATA = Path(__file__).parent.parent / "data"


def rows(name):
    """The rows of a table, its comment lines left out."""
    lines = (DATA / name).read_text(encoding="utf-8").splitlines()
    return list(csv.DictReader(line for line in lines if not line.startswith("#")))


def cases(name, key="case"):
    """The cases of a TOML file."""
    return tomllib.loads((DATA / name).read_text(encoding="utf-8"))[key]


def pytest_generate_tests(metafunc):
    """Give each test that is marked with a table one row at a time, as `row`."""
    marker = metafunc.definition.get_closest_marker("table")
    if marker is not None:
        name, *key = marker.args
        found = cases(name, *key) if name.endswith(".toml") else rows(name)
        metafunc.parametrize("row", found, ids=lambda row: " ".join(str(each) for each in list(row.values())[:4]))


def pytest_configure(config):
    config.addinivalue_line("markers", "table(name, key): run once for each row of a table of check values")
