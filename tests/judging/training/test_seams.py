"""The training of the seam network at a tiny size, where PyTorch is installed, and the network that is kept."""

from __future__ import annotations

from pathlib import Path

import cv2
import numpy as np
import pytest

ROOT = Path(__file__).parents[3]
NETWORK = ROOT / "src/seamlore/photo/block/network.onnx"
# What PyTorch (a general library) gave for one input when the network was written, at every eighth pixel.
CHECK = ROOT / "tests/photo/block/network.check.npz"


def _run(path: Path, planes: np.ndarray) -> np.ndarray:
    net = cv2.dnn.readNetFromONNX(str(path))
    net.setInput(planes)
    return np.asarray(net.forward())


def _probe() -> np.ndarray:
    return np.linspace(-1, 1, 3 * 128 * 128, dtype=np.float32).reshape(1, 3, 128, 128)


@pytest.mark.skipif(not (NETWORK.exists() and CHECK.exists()), reason="the network is not there")
def test_the_image_library_gives_what_the_network_gave_where_it_was_trained() -> None:
    with np.load(CHECK) as told:
        assert told["seams"].shape == (1, 6, 16, 16)
        np.testing.assert_allclose(_run(NETWORK, _probe())[..., ::8, ::8], told["seams"], atol=5e-3)


@pytest.mark.skipif(not NETWORK.exists(), reason="the network is not there")
def test_the_network_that_is_kept_sees_the_seams_of_windows_it_never_saw() -> None:
    from judging.training.patchwork.windows import draw_chunk

    # Far from those of all trainings.
    chunk = draw_chunk(9_000_000, 6)
    said = _run(NETWORK, chunk["pixels"].transpose(0, 3, 1, 2).astype(np.float32) / 127.5 - 1)
    here, there, judged = said[:, 0] > 0, chunk["seams"] > 127, chunk["weight"] > 55
    near = np.stack([cv2.dilate(each.astype(np.uint8), np.ones((3, 3), np.uint8)) > 0 for each in there])
    close = np.stack([cv2.dilate(each.astype(np.uint8), np.ones((3, 3), np.uint8)) > 0 for each in here])
    precision = (here & near & judged).sum() / (here & judged).sum()
    recall = (there & close & judged).sum() / (there & judged).sum()
    assert precision > 0.9
    assert recall > 0.9
    # Of those seen and there, the way that is told is the one that is seen most.
    both = here & there & judged
    assert (said[:, 1:].argmax(axis=1) + 1 == chunk["ways"])[both].mean() > 0.85


@pytest.mark.timeout(900)
def test_the_course_runs_small_and_the_image_library_gives_what_was_written_beside_it(tmp_path: Path) -> None:
    pytest.importorskip("torch")
    pytest.importorskip("onnx")
    from judging.training.seams import main

    out = tmp_path / "seams.onnx"
    main(["--out", str(out), "--small", "--processes", "1"])
    with np.load(out.with_suffix(".check.npz")) as told:
        np.testing.assert_allclose(_run(out, _probe())[..., ::8, ::8], told["seams"], atol=5e-3)


def test_ways_follow_their_windows_when_they_are_turned_and_mirrored() -> None:
    torch = pytest.importorskip("torch")
    from judging.training.patchwork.windows import SIDE, WAYS
    from judging.training.seams import moved

    flat = torch.zeros((2, SIDE, SIDE), dtype=torch.uint8)
    # Each way as a line of its own, in a window of its own: across in the first, rising in the second.
    ways = flat.clone()
    ways[0, 40] = 1
    for k in range(SIDE):
        ways[1, SIDE - 1 - k, k] = 3
    some = {"pixels": flat.unsqueeze(-1).repeat(1, 1, 1, 3), "seams": flat, "ways": ways, "weight": flat}
    gen = torch.Generator().manual_seed(0)
    seen = set()
    for _ in range(40):
        first, second = moved(some, gen)["ways"]
        at, slant = first.nonzero(), second.nonzero()
        lies = "across" if len(at[:, 0].unique()) == 1 else "down"
        runs = "falling" if bool((slant[:, 0] == slant[:, 1]).all()) else "rising"
        assert set(first.unique().tolist()) == {0, 1 if lies == "across" else 2}
        assert set(second.unique().tolist()) == {0, 4 if runs == "falling" else 3}
        seen.add((lies, runs))
    assert len(seen) == 4
    assert WAYS == 5
