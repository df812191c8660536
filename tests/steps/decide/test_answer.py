"""What the page on deciding says first."""

from types import SimpleNamespace

import pytest

from seamlore.steps.decide.ways import answer


@pytest.mark.parametrize(
    ("notes", "said"),
    [
        ((), "Not decided yet. It could give 2 whole sound blocks, if nothing is damaged: nothing is noted yet"),
        (({"id": "1"},), "Not decided yet. It could give 2 whole sound blocks"),
    ],
)
def test_blocks_are_called_sound_outright_only_once_the_quilt_was_looked_over(notes, said):
    inputs = SimpleNamespace(decision=SimpleNamespace(way=""), notes=SimpleNamespace(annotations=notes))
    basis = SimpleNamespace(given=SimpleNamespace(whole=(0, 1)))
    assert answer(SimpleNamespace(inputs=inputs), basis) == said
