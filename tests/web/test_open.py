"""`seamlore open` listens on this machine only, at the same place each time."""

from __future__ import annotations

import pytest

from seamlore.cli.open import USUAL_PORT, _listening
from seamlore.errors import SeamloreError


def test_it_listens_on_the_loopback_address_only():
    with _listening(0) as listener:
        assert listener.getsockname()[0] == "127.0.0.1"


def test_a_port_that_is_taken_is_refused_when_it_was_asked_for():
    with _listening(0) as first, pytest.raises(SeamloreError, match="another program uses it"):
        _listening(first.getsockname()[1])


def test_without_a_wish_a_second_table_finds_another_port():
    with _listening(None) as first, _listening(None) as second:
        assert first.getsockname()[1] != second.getsockname()[1]
        assert second.getsockname()[1] != USUAL_PORT
