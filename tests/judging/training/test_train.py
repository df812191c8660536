"""A training at a tiny size, where PyTorch is installed: it writes a network that can be trained further."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

pytest.importorskip("torch")
pytest.importorskip("onnx")


@pytest.mark.timeout(900)
@pytest.mark.parametrize("what", ["edges", "eye"])
def test_a_whole_course_runs_small(what: str, tmp_path: Path) -> None:
    from judging.training.courses import COURSES
    from judging.training.train import main

    out = tmp_path / "net.onnx"
    main([what, "--work", str(tmp_path), "--out", str(out), "--small", "--processes", "1"])
    assert json.loads(out.with_suffix(".json").read_text())["steps"] == 4
    assert len(list(tmp_path.glob("*.onnx"))) == len(COURSES[what])
    assert out.with_suffix(".check.npz").exists()
