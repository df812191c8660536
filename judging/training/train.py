"""Train one of the two networks anew: ``python -m judging.training.train eye`` or ``... edges``.

Needs PyTorch, onnx and a graphics card, which nothing else in this project does; what is trained is a file of the
project and runs without any of them. What is done in which order is written in `judging.training.courses`: the same
pictures, steps and seeds give the same network on the same card and release of PyTorch. All pictures of one training lie
on the card, 0.8 MB each.

    python -m judging.training.train eye --work DIR --out eye.onnx             # the whole course, in order
    python -m judging.training.train edges --work DIR --out edges.onnx
    python -m judging.training.train eye --work DIR --out new.onnx --further eye.onnx --only 5       # one of it, numbered from 0
    python -m judging.training.train eye --work DIR --out new.onnx --processes 0     # another training makes its pictures
    python -m judging.training.train eye --work DIR --judge eye.onnx           # how one does on pictures held out
    python -m judging.training.train eye --work DIR --out tiny.onnx --small    # whether it runs: a few pictures and steps
"""

from __future__ import annotations

import argparse
import json
import os
import time
from collections.abc import Sequence
from pathlib import Path
from typing import Any

import torch
from torch import nn

from judging.training.courses import COURSES, Training
from judging.training.networks import as_told, export, take_up
from judging.training.pictures import Pictures
from judging.training.subjects import LESSONS, Lesson, Stock

_SAID_EVERY = 400


def _begin(lesson: Lesson, before: Path | None, device: str) -> Any:
    net = lesson.net()
    if before:
        take_up(net, before)
        off = as_told(net, before)
        print(f"{before.name} taken up, off by {off:.1e}", flush=True)
        if off > 2e-3:
            raise SystemExit("that is too much: the network is not the one that was written")
    return net.to(device, memory_format=torch.channels_last)


def train(
    what: str, training: Training, work: Path, out: Path, before: Path | None, processes: int, device: str
) -> str:
    """Train one network once; writes it, and what was done beside it, and gives how it does on pictures held out."""
    lesson = LESSONS[what]
    torch.manual_seed(training.seed)
    pictures = Pictures(training, work, processes)
    stock = Stock(training.pictures, lesson.shapes, device)
    held = Stock(training.held, lesson.shapes, device)
    net = _begin(lesson, before, device)
    best = torch.optim.AdamW(net.parameters(), lr=training.rate, weight_decay=0.02)
    slow = {name: value.detach().clone() for name, value in net.state_dict().items()}
    slow_net: Any = lesson.net().to(device, memory_format=torch.channels_last)
    gen = torch.Generator(device=device)
    gen.manual_seed(training.seed + 1)

    def judged() -> str:
        slow_net.load_state_dict(slow)
        slow_net.eval()
        with torch.no_grad():
            return lesson.judge(slow_net, held)

    net.train()
    if before:
        for part in net.modules():
            if isinstance(part, nn.BatchNorm2d):
                part.eval()
    began = time.monotonic()
    seen_loss = 0.0
    for step in range(training.steps):
        for is_held, chunk in pictures.due(step):
            (held if is_held else stock).add(chunk)
        for group in best.param_groups:
            group["lr"] = training.rate_at(step)
        chosen = torch.randint(stock.count, (training.batch,), generator=gen, device=device)
        loss = lesson.loss(net, stock.some(chosen), gen)
        best.zero_grad(set_to_none=True)
        loss.backward()
        nn.utils.clip_grad_norm_(net.parameters(), 1.0)
        best.step()
        done = step + 1
        if done % 4 == 0:
            keep = min(0.996, 1 - 1 / (done / 4 + 1))
            with torch.no_grad():
                for name, value in net.state_dict().items():
                    if value.dtype.is_floating_point:
                        slow[name].lerp_(value, 1 - keep)
                    else:
                        slow[name].copy_(value)
        seen_loss += float(loss.detach()) if done % 10 == 0 else 0.0
        if done % _SAID_EVERY == 0:
            said = f"step {done}, {stock.count} pictures, loss {seen_loss / (_SAID_EVERY / 10):.4f}, held out: {judged()}"
            print(f"{said}, {done / (time.monotonic() - began):.1f} steps/s", flush=True)
            seen_loss = 0.0
    pictures.close()
    told = judged()
    out.parent.mkdir(parents=True, exist_ok=True)
    export(slow_net, out)
    record = {"pictures": stock.count, "steps": training.steps, "held out": told}
    out.with_suffix(".json").write_text(json.dumps(record) + "\n")
    return told


def judge(what: str, training: Training, work: Path, written: Path, processes: int, device: str) -> str:
    """Tell how a network that was written does on the pictures held out."""
    lesson = LESSONS[what]
    net = _begin(lesson, written, device).eval()
    pictures = Pictures(training, work, processes)
    held = Stock(training.held, lesson.shapes, device)
    for _ in range(len(range(0, training.held, training.chunk))):
        held.add(pictures.take()[1])
    pictures.close()
    with torch.no_grad():
        return lesson.judge(net, held)


def _arguments(words: Sequence[str] | None) -> argparse.Namespace:
    parser = argparse.ArgumentParser(
        prog="python -m judging.training.train",
        description=__doc__,
        formatter_class=argparse.RawDescriptionHelpFormatter,
    )
    parser.add_argument("what", choices=sorted(LESSONS))
    parser.add_argument(
        "--work", type=Path, required=True, help="folder for the pictures and the networks on the way"
    )
    parser.add_argument("--out", type=Path, help="file for the network")
    parser.add_argument("--only", type=int, help="one training of the course, numbered from 0")
    parser.add_argument("--further", type=Path, help="what was written before, which --only goes on from")
    parser.add_argument("--judge", type=Path, help="a network to judge instead of training one")
    parser.add_argument("--small", action="store_true", help="a few pictures and steps, to see that it runs")
    parser.add_argument("--processes", type=int, default=max(1, (os.cpu_count() or 2) - 1))
    given = parser.parse_args(words)
    if (given.out is None) == (given.judge is None):
        parser.error("give --out or --judge")
    return given


def main(words: Sequence[str] | None = None) -> None:
    """Train or judge."""
    given = _arguments(words)
    device = "cuda" if torch.cuda.is_available() else "cpu"
    # The same sums in the same order each time.
    os.environ.setdefault("CUBLAS_WORKSPACE_CONFIG", ":4096:8")
    torch.use_deterministic_algorithms(True, warn_only=True)
    torch.backends.cuda.matmul.allow_tf32 = True
    course = [each.small() for each in COURSES[given.what]] if given.small else list(COURSES[given.what])
    if given.judge:
        print(f"held out: {judge(given.what, course[0], given.work, given.judge, given.processes, device)}")
        return
    before: Path | None = given.further
    for number, training in enumerate(course):
        if given.only is not None and number != given.only:
            continue
        last = given.only is not None or number + 1 == len(course)
        out = given.out if last else given.work / f"{given.what}_{number}.onnx"
        if last or not out.exists():
            # What was trained before the machine stopped is not trained again.
            told = train(given.what, training, given.work, out, before, given.processes, device)
            print(f"training {number} of {given.what}: held out: {told}", flush=True)
        before = out


if __name__ == "__main__":
    main()
