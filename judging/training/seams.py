"""Train the network that tells seams from prints: ``python -m judging.training.seams --out seams.onnx``.

Needs PyTorch, onnx and a graphics card, which nothing else in this project does. Windows are drawn by
`judging.training.patchwork` in as many processes as there are; how many of them a step sees, and in which order, depends on
the step alone (`judging.training.courses`). All windows lie on the card, 0.1 MB each.

    python -m judging.training.seams --out seams.onnx
    python -m judging.training.seams --out tiny.onnx --small     # whether it runs: a few windows and steps
"""

from __future__ import annotations

import argparse
import multiprocessing
import os
import time
from collections.abc import Iterable, Iterator, Sequence
from itertools import pairwise
from pathlib import Path

import numpy as np
import torch
from torch import Tensor, nn
from torch.nn import functional as F  # noqa: N812 -- as everyone who knows PyTorch reads it

from judging.training import networks
from judging.training.courses import COURSES, Training
from judging.training.patchwork.windows import SIDE, WAYS, draw_chunk
from judging.training.pictures import Arrays
from judging.training.subjects import Stock

SHAPES = {
    "pixels": ((SIDE, SIDE, 3), torch.uint8),
    "seams": ((SIDE, SIDE), torch.uint8),
    "ways": ((SIDE, SIDE), torch.uint8),
    "weight": ((SIDE, SIDE), torch.uint8),
}
# Which ways of seams change places when a window is turned by a quarter, and when it is mirrored left to right.
_TURNED, _MIRRORED = ((1, 2), (3, 4)), ((3, 4),)
_SAID_EVERY = 500
_WRITTEN_EVERY = 2000
_JUDGED_AT_ONCE = 128
_TAKEN_UP_BY = 256  # windows by which norms are set again
_SEEN = 0.15  # least weight of a pixel that is judged


class Twice(nn.Module):
    """Two convolutions."""

    def __init__(self, into: int, out: int) -> None:
        super().__init__()
        self.one, self.norm_one = nn.Conv2d(into, out, 3, padding=1, bias=False), nn.BatchNorm2d(out)
        self.two, self.norm_two = nn.Conv2d(out, out, 3, padding=1, bias=False), nn.BatchNorm2d(out)

    def forward(self, x: Tensor) -> Tensor:
        return F.relu(self.norm_two(self.two(F.relu(self.norm_one(self.one(x))))))


class Seams(nn.Module):
    """From a window of patchwork, (b, 3, h, w) in -1..1, sides in sixteens, to (b, 6, h, w).

    Logits that a seam runs there; and that one runs across, down, rising, falling, another way.
    """

    def __init__(self, widths: tuple[int, ...] = (16, 40, 80, 128, 160)) -> None:
        super().__init__()
        self.down = nn.ModuleList(Twice(a, b) for a, b in zip((3, *widths[:-1]), widths, strict=True))
        self.up = nn.ModuleList(nn.Conv2d(b, a, 1) for a, b in pairwise(widths))
        self.join = nn.ModuleList(Twice(a, a) for a in widths[:-1])
        self.said = nn.Conv2d(widths[0], 1 + WAYS, 1)

    def forward(self, x: Tensor) -> Tensor:
        kept = []
        for number, layer in enumerate(self.down):
            x = layer(x if number == 0 else F.max_pool2d(x, 2))
            kept.append(x)
        for number in range(len(self.up) - 1, -1, -1):
            wide = F.interpolate(self.up[number](x), scale_factor=2.0, mode="nearest")
            x = self.join[number](kept[number] + wide)
        said: Tensor = self.said(x)
        return said


def _swapped(ways: Tensor, pairs: Iterable[tuple[int, int]]) -> Tensor:
    out = ways.clone()
    for a, b in pairs:
        out[ways == a], out[ways == b] = b, a
    return out


def moved(some: dict[str, Tensor], gen: torch.Generator) -> dict[str, Tensor]:
    """Turn windows by quarters and mirror them by chance, all alike."""
    turn = int(torch.randint(4, (1,), generator=gen, device=gen.device))
    if turn:
        some = {name: torch.rot90(each, turn, (1, 2)) for name, each in some.items()}
        if turn % 2:
            some["ways"] = _swapped(some["ways"], _TURNED)
    if torch.rand(1, generator=gen, device=gen.device) < 0.5:
        some = {name: each.flip(2) for name, each in some.items()}
        some["ways"] = _swapped(some["ways"], _MIRRORED)
    return some


def recolored(x: Tensor, gen: torch.Generator) -> Tensor:
    """Change the light and the strength of the colors of pictures in 0..1, (b, 3, h, w), by chance, each its own way."""

    def chance(low: float, high: float, *shape: int) -> Tensor:
        return low + (high - low) * torch.rand(len(x), *shape, generator=gen, device=x.device)

    x = x * chance(0.8, 1.2, 1, 1, 1) * chance(0.92, 1.08, 3, 1, 1) + chance(-0.08, 0.08, 1, 1, 1)
    gray = x.mean(dim=1, keepdim=True)
    return (gray + (x - gray) * chance(0.5, 1.3, 1, 1, 1)).clamp(0, 1)


def prepared(some: dict[str, Tensor], gen: torch.Generator | None) -> tuple[Tensor, Tensor, Tensor]:
    """Give windows as the network sees them, its targets and their weights; changed by chance where a generator is given."""
    if gen is not None:
        some = moved(some, gen)
    x = some["pixels"].permute(0, 3, 1, 2).float() / 255
    if gen is not None:
        x = recolored(x, gen)
    told = some["seams"].float() / 255
    each = [told] + [told * (some["ways"] == way) for way in range(1, WAYS + 1)]
    return 2 * x - 1, torch.stack(each, dim=1), (some["weight"].float() / 255).unsqueeze(1)


def loss_of(said: Tensor, told: Tensor, weight: Tensor) -> Tensor:
    """Give how far off it is: cross entropy, all ways together counting 5/4 of the seam itself."""
    each = F.binary_cross_entropy_with_logits(said.float(), told, reduction="none") * weight
    return each[:, 0].mean() + 0.5 * each[:, 1:].mean() * WAYS / 2


def _said(net: nn.Module, x: Tensor) -> Tensor:
    with torch.autocast(x.device.type, dtype=torch.bfloat16):
        said: Tensor = net(x.contiguous(memory_format=torch.channels_last))
    return said


def judged(net: nn.Module, held: Stock) -> str:
    """Give how it does on windows held out: cross entropy, and of seam pixels how many are right within a pixel.

    Within a pixel across, down or aslant; where a seam has the same fabric on both sides nothing is judged.
    """
    lost, right, here_all, met, there_all = 0.0, 0.0, 0.0, 0.0, 0.0
    with torch.no_grad():
        for start in range(0, held.count, _JUDGED_AT_ONCE):
            some = held.some(slice(start, min(start + _JUDGED_AT_ONCE, held.count)))
            x, told, weight = prepared(some, None)
            said = _said(net, x)
            lost += float(loss_of(said, told, weight)) * len(x)
            here, there = said[:, :1].float() > 0, told[:, :1] > 0.5
            seen = weight > _SEEN
            right += float((here & _about(there) & seen).sum())
            here_all += float((here & seen).sum())
            met += float((there & _about(here) & seen).sum())
            there_all += float((there & seen).sum())
    precision, recall = right / max(here_all, 1), met / max(there_all, 1)
    return f"loss {lost / held.count:.4f}, precision {precision:.3f}, recall {recall:.3f}"


def _about(where: Tensor) -> Tensor:
    return F.max_pool2d(where.float(), 3, 1, 1) > 0


def export(net: Seams, path: Path) -> None:
    """Write the network as an open network file (ONNX), and what it gives for a window that is none beside it."""
    plain = net.eval().cpu().float()
    example = torch.zeros(1, 3, SIDE, SIDE)
    axes = {0: "windows", 2: "tall", 3: "wide"}
    torch.onnx.export(
        plain, (example,), str(path), input_names=["window"], output_names=["seams"], opset_version=17, dynamo=False,
        dynamic_axes={"window": axes, "seams": axes},
    )  # fmt: skip
    probe = torch.linspace(-1, 1, 3 * SIDE * SIDE).reshape(1, 3, SIDE, SIDE)
    with torch.no_grad():
        said = plain(probe).numpy()
    np.savez_compressed(path.with_suffix(".check.npz"), allow_pickle=False, seams=said[..., ::8, ::8])


def _drawn(job: tuple[int, int]) -> Arrays:
    import cv2

    cv2.setNumThreads(1)
    return {**draw_chunk(*job)}


def take_up(net: Seams, path: Path, windows: Tensor) -> None:
    """Put the weights of a network that was written before back into a new one, to train it further.

    Norms were merged into the convolutions before them. They come back by what they meet in some windows, so that the
    network gives the same while it is trained, too.

    Parameters
    ----------
    net : Seams
    path : Path
        Of the network's file.
    windows : Tensor
        As the network sees them, (b, 3, h, w); some hundred will do.
    """
    networks.take_up(net, path)
    net.eval()
    norms = [each for each in net.modules() if isinstance(each, nn.BatchNorm2d)]
    met: dict[nn.Module, Tensor] = {}
    hooks = [each.register_forward_pre_hook(lambda norm, given: met.__setitem__(norm, given[0])) for each in norms]
    with torch.no_grad():
        net(windows)
        for norm in norms:
            assert norm.running_mean is not None
            assert norm.running_var is not None
            var, mean = torch.var_mean(met[norm].float(), dim=(0, 2, 3))
            norm.bias += mean
            norm.weight.copy_(torch.sqrt(var + norm.eps))
            norm.running_mean.copy_(mean)
            norm.running_var.copy_(var)
    for hook in hooks:
        hook.remove()
    net.train()


class _Slow:
    """The slow average of a network's weights."""

    def __init__(self, net: Seams) -> None:
        self.of = {name: value.detach().clone() for name, value in net.state_dict().items()}

    def follow(self, net: Seams, step: int) -> None:
        """Move toward the weights after a step."""
        with torch.no_grad():
            for name, value in net.state_dict().items():
                if value.dtype.is_floating_point:
                    self.of[name].lerp_(value, 0.002 if step > 500 else 0.02)
                else:
                    self.of[name].copy_(value)

    def net(self, device: str) -> Seams:
        """Give a network with the weights as they are now."""
        kept = Seams()
        kept.load_state_dict(self.of)
        kept.to(device).eval()
        return kept


def train(training: Training, out: Path, processes: int, device: str, before: Path | None = None) -> str:
    """Train once; writes the slow average, on the way too, and gives how it does on windows held out.

    Goes on from the network `before`, where one is given.
    """
    chunks = training.chunks()
    # Each begins afresh, since this one holds a graphics card.
    with multiprocessing.get_context("spawn").Pool(processes) as pool:
        jobs = [(start, training.chunk) for start, _ in chunks]
        drawn = zip((held for _, held in chunks), pool.imap(_drawn, jobs), strict=True)
        return _train(training, drawn, out, device, before)


def _train(
    training: Training, drawn: Iterator[tuple[bool, Arrays]], out: Path, device: str, before: Path | None
) -> str:
    torch.manual_seed(training.seed)
    gen = torch.Generator(device=device).manual_seed(training.seed)
    net = Seams().to(device, memory_format=torch.channels_last)
    best = torch.optim.AdamW(net.parameters(), weight_decay=1e-3)
    plan = torch.optim.lr_scheduler.OneCycleLR(best, max_lr=training.rate, total_steps=training.steps, pct_start=0.1)
    held, stock = Stock(training.held, SHAPES, device), Stock(training.pictures, SHAPES, device)
    slow: _Slow | None = None
    taken, began = 0, time.monotonic()
    for step in range(training.steps):
        for _ in range(training.chunks_by(step) - taken):
            is_held, chunk = next(drawn)
            (held if is_held else stock).add(chunk)
            taken += 1
        if step == 0 and before is not None:
            take_up(net, before, prepared(held.some(slice(0, _TAKEN_UP_BY)), None)[0])
            print(f"as it was: {judged(net.eval(), held)}", flush=True)
            net.train()
        chosen = torch.randint(stock.count, (training.batch,), generator=gen, device=device)
        x, told, weight = prepared(stock.some(chosen), gen)
        loss = loss_of(_said(net, x), told, weight)
        best.zero_grad(set_to_none=True)
        loss.backward()
        nn.utils.clip_grad_norm_(net.parameters(), 2.0)
        best.step()
        plan.step()
        slow = slow or _Slow(net)
        slow.follow(net, step)
        done = step + 1
        if done % _SAID_EVERY == 0:
            told_now = f"step {done}, {stock.count} windows, {time.monotonic() - began:.0f} s"
            print(f"{told_now}: {judged(slow.net(device), held)}", flush=True)
        if done % _WRITTEN_EVERY == 0:
            export(slow.net(device), out)
    if slow is None:
        raise SystemExit("no step was asked for: give a training of one at least")
    said = judged(slow.net(device), held)
    export(slow.net(device), out)
    return said


def main(words: Sequence[str] | None = None) -> None:
    """Train as asked."""
    parser = argparse.ArgumentParser(
        prog="python -m judging.training.seams",
        description=__doc__,
        formatter_class=argparse.RawDescriptionHelpFormatter,
    )
    parser.add_argument("--out", type=Path, required=True, help="file for the network")
    parser.add_argument("--small", action="store_true", help="a few windows and steps, to see that it runs")
    parser.add_argument(
        "--before", type=Path, help="a network to go on from, by the last training of the course alone"
    )
    parser.add_argument("--processes", type=int, default=max(1, (os.cpu_count() or 2) - 1))
    given = parser.parse_args(words)
    device = "cuda" if torch.cuda.is_available() else "cpu"
    before = given.before
    for training in COURSES["seams"] if before is None else COURSES["seams"][-1:]:
        one = training.small() if given.small else training
        print(f"held out: {train(one, given.out, given.processes, device, before)}")
        before = given.out


if __name__ == "__main__":
    main()
