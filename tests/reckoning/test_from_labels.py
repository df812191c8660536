"""Quilts labeled from photographs, entered from their labels: counts equal the labels' own, nothing is made of the unseen."""

from collections import Counter

import pytest

from judging.scoring.from_labels import counted, followed, labels, made

LABELS = labels()


@pytest.mark.skipif(not LABELS, reason="the labels do not lie beside the project")
@pytest.mark.parametrize("label", LABELS, ids=[label["file"] for label in LABELS])
def test_a_labelled_quilt_is_made_as_its_label_counts(label):
    quilt, content = followed(label)
    assert made(content) == counted(label)
    unseen = sum(not (cell and cell["visible"]) for row in label["cells"] for cell in row)
    assert len(quilt.not_read) == unseen
    patches = Counter()
    for row in quilt.cells:
        for cell in row:
            if cell.read:
                patches[cell.kind] += len(quilt.kind(cell.kind).block.patches)
    assert all(patches[name] == label["kinds"][name]["patches"] * number for name, number in counted(label).items())
