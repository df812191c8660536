"""The one error family: one line, with its parts kept."""

from __future__ import annotations

import pytest

from seamlore import errors
from seamlore.errors import SeamloreError, nearest

KINDS = [kind for kind in vars(errors).values() if isinstance(kind, type) and issubclass(kind, SeamloreError)]


@pytest.mark.parametrize("kind", KINDS)
def test_every_kind_is_of_the_family_and_says_what_was_given_the_limit_and_what_to_do(kind):
    fault = kind("a width of 0 in", "it must be more than 0", "measure it", where="line 3")
    assert isinstance(fault, SeamloreError)
    assert str(fault) == "line 3: a width of 0 in: it must be more than 0; measure it"
    assert (fault.given, fault.limit, fault.remedy, fault.where) == fault.args


def test_the_nearest_name_is_offered_in_its_own_spelling():
    assert nearest("SHOFLY", ["Shoo Fly", "Bow Tie"]) == 'did you mean "Shoo Fly"?'


def test_where_nothing_is_near_all_names_are_offered():
    assert nearest("zzz", ["b", "a"]) == "choose one of: a, b"
