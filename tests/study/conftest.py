"""What the tests of the study share."""

import importlib.util
import sys
from pathlib import Path

import pytest


@pytest.fixture(scope="session")
def simulated():
    """The simulated quilts, loaded by path since the tests are no package."""
    spec = importlib.util.spec_from_file_location("simulated_quilts", Path(__file__).with_name("simulated.py"))
    module = importlib.util.module_from_spec(spec)
    sys.modules[spec.name] = module
    spec.loader.exec_module(module)
    return module
