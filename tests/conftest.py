"""What the tests of every room may ask for."""

from __future__ import annotations

import os
import stat

import pytest
from hypothesis import HealthCheck, settings

# No verdict hangs on the clock, nor on the luck of the draw: a loaded machine is no fault of the code, nor is it that few of
# the first examples drawn could be used.
settings.register_profile(
    "house", deadline=None, suppress_health_check=[HealthCheck.too_slow, HealthCheck.filter_too_much]
)
settings.load_profile("house")

_NUMBERS = {"null": (1, 3), "full": (1, 7)}


@pytest.fixture(scope="session")
def device(tmp_path_factory):
    """Give a device that a wrong change may replace without harm to the machine: `device("full")`.

    Who may write into /dev gets one of their own; everybody else cannot harm those of the machine.
    """
    folder = tmp_path_factory.mktemp("devices")

    def made(name: str) -> str:
        if not os.access("/dev", os.W_OK):
            return f"/dev/{name}"
        path = folder / name
        if not path.exists():
            try:
                os.mknod(path, stat.S_IFCHR | 0o666, os.makedev(*_NUMBERS[name]))
                path.open("wb").close()
            except OSError:
                pytest.skip("no device of one's own can be made here")
        return str(path)

    return made
