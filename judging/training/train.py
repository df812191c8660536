"""Train one of the two networks: ``python -m judging.training.train eye`` or ``python -m judging.training.train edges``.

Needs PyTorch and a graphics card, which nothing else in this project does; what is trained is a file of the project and
runs without either. Pictures are made by `judging.training.samples` in as many processes as there are, while the training
already runs on those that are there. Two trainings can share the pictures: one makes them, the other, started with
``--processes 0`` and the same folder, takes them as they come.

    python -m judging.training.train eye --pictures 30000 --seconds 1400 --work DIR --further eye.onnx --out DIR/eye.onnx
    python -m judging.training.train edges --pictures 30000 --seconds 1400 --work DIR --processes 0 --out DIR/edges.onnx
"""

from __future__ import annotations

import argparse
import copy
import json
import math
import multiprocessing
import os
import time
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import numpy as np
import torch
from torch import Tensor, nn
from torch.nn import functional as F  # noqa: N812 -- as everyone who knows PyTorch reads it

from judging.training.lessons import (
    EDGES_PX,
    edge_loss,
    edge_targets,
    exact,
    framed,
    loss_of,
    prepared,
    targets,
    warped,
)
from judging.training.networks import Edges, Eye, as_told, export, take_up
from judging.training.samples import LIES_PX, MOST, SIDE_PX, make_sample

CHUNK = 64
HELD = 12 * CHUNK
BATCH = 64
_SQUARE = (SIDE_PX, SIDE_PX, 3)


def _chunk(job: tuple[Path, int, int, bool]) -> None:
    """Make one chunk of pictures and keep it in a file."""
    import cv2

    cv2.setNumThreads(1)
    folder, number, first, photographed = job
    made: dict[str, list[Any]] = {}
    # What is held out stays the same whatever the first picture is.
    start = number * CHUNK + (first if number >= HELD // CHUNK else 0)
    for k in range(start, start + CHUNK):
        try:
            sample = make_sample(k, photographed=photographed)
        except Exception as fault:
            # One picture of many thousands is passed over, and told.
            print(f"picture {k} left out: {type(fault).__name__}: {fault}", flush=True)
            continue
        lines = np.full((2, 2, MOST), np.nan, np.float32)
        for axis, spans in enumerate((sample.columns, sample.rows)):
            lines[axis, :, : len(spans)] = spans.T
        for name in ("pixels", "aspect", "setting", "photo", "photo_aspect", "lies"):
            made.setdefault(name, []).append(getattr(sample, name))
        made.setdefault("lines", []).append(lines)
    path = folder / f"chunk_{number:05d}.npz"
    part = path.with_suffix(".part")
    with part.open("wb") as out:
        np.savez(out, **{name: np.stack(each) for name, each in made.items()})  # type: ignore[arg-type]
    part.rename(path)


class Stock:
    """All pictures on the card, filled as they are made."""

    def __init__(self, most: int, shapes: dict[str, tuple[tuple[int, ...], torch.dtype]], device: str) -> None:
        self.of = {
            name: torch.zeros((most, *shape), dtype=kind, device=device) for name, (shape, kind) in shapes.items()
        }
        self.most, self.count = most, 0

    def add(self, path: Path) -> None:
        """Take in a chunk, as far as there is room."""
        with np.load(path) as z:
            start = self.count
            more = min(len(z["aspect"]), self.most - start)
            for name, tensor in self.of.items():
                tensor[start : start + more] = torch.from_numpy(z[name][:more]).to(tensor)
            self.count = start + more

    def some(self, chosen: Tensor | slice) -> dict[str, Tensor]:
        """Give some of the pictures."""
        return {name: tensor[chosen] for name, tensor in self.of.items()}


@dataclass(frozen=True)
class Lesson:
    """What one network is taught: by what, how far off it is, and how it does on pictures held out."""

    net: Callable[[], Eye | Edges]
    shapes: dict[str, tuple[tuple[int, ...], torch.dtype]]
    loss: Callable[[Any, dict[str, Tensor], torch.Generator], Tensor]
    judge: Callable[[Any, Stock], str]


def _fast(x: Tensor) -> Tensor:
    return x.contiguous(memory_format=torch.channels_last)


def _eye_loss(net: Any, some: dict[str, Tensor], gen: torch.Generator) -> Tensor:
    with torch.no_grad():
        x, lines = warped(some["pixels"], some["aspect"], some["lines"], gen)
        told, maps = targets(lines, some["setting"])
    with torch.autocast("cuda", dtype=torch.bfloat16):
        said = net(_fast(x))
    return loss_of(said, told, maps, some["setting"])


def _edges_loss(net: Any, some: dict[str, Tensor], gen: torch.Generator) -> Tensor:
    with torch.no_grad():
        x, at = framed(some["photo"], some["photo_aspect"], some["lies"], gen)
        told = edge_targets(at)
    with torch.autocast("cuda", dtype=torch.bfloat16):
        said = net(_fast(x))
    return edge_loss(said, told)


def _eye_judged(net: Any, held: Stock) -> str:
    parts = []
    for start in range(0, held.count, BATCH):
        some = held.some(slice(start, min(start + BATCH, held.count)))
        x = prepared(some["pixels"].permute(0, 3, 1, 2).float() / 255, some["aspect"])
        with torch.autocast("cuda", dtype=torch.bfloat16):
            lines, kind, _ = net(_fast(x))
        parts.append((lines, kind))
    lines, kind = torch.cat([p[0] for p in parts]), torch.cat([p[1] for p in parts])
    some = held.some(slice(0, held.count))
    a, b, c = exact(lines, kind, some["lines"], some["setting"])
    return f"setting {a:.3f}, counts {b:.3f}, none {c:.3f}"


def _edges_judged(net: Any, held: Stock) -> str:
    """Give how much is covered alike by quilt as told and as it is, and how near the edges' ridges lie in pixels."""
    alike, off, lost = [], [], []
    for start in range(0, held.count, BATCH):
        some = held.some(slice(start, min(start + BATCH, held.count)))
        x = prepared(some["photo"].permute(0, 3, 1, 2).float() / 255, some["photo_aspect"])
        with torch.autocast("cuda", dtype=torch.bfloat16):
            said = torch.sigmoid(net(_fast(x)).float())
        at = F.interpolate(
            some["lies"].permute(0, 3, 1, 2).float(), (EDGES_PX, EDGES_PX), mode="bilinear", align_corners=False
        )
        told = edge_targets(at)
        here, there = said[:, 0] > 0.5, told[:, 0] > 0.5
        alike.append((here & there).sum(dim=(1, 2)) / (here | there).sum(dim=(1, 2)).clamp(min=1))
        for side in range(4):
            along = 2 if side % 2 else 1
            top, place = told[:, 1 + side].max(dim=along)
            found = said[:, 1 + side].argmax(dim=along)
            away = (found - place).abs().float()[top > 0.9]
            off.append(away)
            lost.append(away > 3)
    gone = torch.cat(lost).float().mean()
    return f"covered alike {torch.cat(alike).mean():.4f}, edges off {torch.cat(off).mean():.2f} px, lost {gone:.4f}"


LESSONS = {
    "eye": Lesson(
        Eye,
        {
            "pixels": (_SQUARE, torch.uint8),
            "aspect": ((), torch.float32),
            "setting": ((), torch.long),
            "lines": ((2, 2, MOST), torch.float32),
        },
        _eye_loss,
        _eye_judged,
    ),
    "edges": Lesson(
        Edges,
        {
            "photo": (_SQUARE, torch.uint8),
            "photo_aspect": ((), torch.float32),
            "lies": ((LIES_PX, LIES_PX, 2), torch.float16),
        },
        _edges_loss,
        _edges_judged,
    ),
}


def _given() -> argparse.Namespace:
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("what", choices=sorted(LESSONS))
    parser.add_argument("--pictures", type=int, default=30000)
    parser.add_argument("--first", type=int, default=0, help="number of the first picture; others were seen before")
    parser.add_argument("--flat-only", action="store_true", help="make no photographs; the eye needs none")
    parser.add_argument("--seed", type=int, default=0, help="of the order in which pictures are shown")
    parser.add_argument("--seconds", type=float, default=1400)
    parser.add_argument("--work", type=Path, required=True, help="folder for the pictures")
    parser.add_argument("--out", type=Path, required=True)
    parser.add_argument("--further", type=Path, help="what was written before, to train it further; norms stay")
    parser.add_argument("--rate", type=float, default=1.5e-3)
    parser.add_argument("--processes", type=int, default=max(1, (os.cpu_count() or 2) - 1))
    return parser.parse_args()


def _begin(given: argparse.Namespace, lesson: Lesson) -> Any:
    net = lesson.net()
    if given.further:
        take_up(net, given.further)
        off = as_told(net, given.further)
        print(f"{given.further.name} taken up, off by {off:.1e}", flush=True)
        if off > 2e-3:
            raise SystemExit("that is too much: the network is not the one that was written")
    return net.to("cuda", memory_format=torch.channels_last)


def main() -> None:
    """Train."""
    began = time.monotonic()
    given = _given()
    lesson = LESSONS[given.what]
    given.work.mkdir(parents=True, exist_ok=True)
    torch.backends.cuda.matmul.allow_tf32 = True
    torch.backends.cudnn.benchmark = True
    torch.manual_seed(given.seed)
    if given.processes:
        # Begun before the card is touched, so that the processes can be copies of this one.
        jobs = [
            (given.work, k, given.first, not given.flat_only)
            for k in range((given.pictures + HELD) // CHUNK)
            if not (given.work / f"chunk_{k:05d}.npz").exists()
        ]
        pool = multiprocessing.get_context("fork").Pool(given.processes)
        making = pool.map_async(_chunk, jobs, chunksize=1)
    stock, held = Stock(given.pictures, lesson.shapes, "cuda"), Stock(HELD, lesson.shapes, "cuda")
    net = _begin(given, lesson)
    print(f"{sum(p.numel() for p in net.parameters()) / 1e6:.2f} M weights", flush=True)
    best = torch.optim.AdamW(net.parameters(), lr=given.rate, weight_decay=0.02)
    slow = {name: value.detach().clone() for name, value in net.state_dict().items()}
    slow_net: Any = lesson.net().to("cuda", memory_format=torch.channels_last)
    gen = torch.Generator(device="cuda")
    gen.manual_seed(given.seed + 1)
    taken: set[str] = set()

    def take(most: int) -> None:
        """Take in chunks that have been made since."""
        waiting = sorted(path for path in given.work.glob("chunk_*.npz") if path.name not in taken)
        for path in waiting[:most]:
            taken.add(path.name)
            (held if int(path.stem.split("_")[1]) < HELD // CHUNK else stock).add(path)

    def left() -> float:
        return float(given.seconds - (time.monotonic() - began))

    def judged() -> str:
        slow_net.load_state_dict(slow)
        slow_net.eval()
        with torch.no_grad():
            return lesson.judge(slow_net, held)

    while stock.count < min(1024, given.pictures // 2) and left() > 30:
        take(16)
        time.sleep(0.2)
        if given.processes and making.ready():
            making.get()
    print(f"begins with {stock.count} pictures after {time.monotonic() - began:.0f} s", flush=True)
    net.train()
    if given.further:
        for part in net.modules():
            if isinstance(part, nn.BatchNorm2d):
                part.eval()
    steps, seen_loss, last = 0, 0.0, time.monotonic()
    first = last
    while left() > 20:
        if steps % 16 == 0:
            take(4)
        done = min(1.0, (time.monotonic() - first) / (given.seconds - 20 - (first - began)))
        warm = min(1.0, (steps + 1) / 200)
        for group in best.param_groups:
            group["lr"] = given.rate * warm * (0.02 + 0.98 * 0.5 * (1 + math.cos(math.pi * done)))
        chosen = torch.randint(stock.count, (BATCH,), generator=gen, device="cuda")
        loss = lesson.loss(net, stock.some(chosen), gen)
        best.zero_grad(set_to_none=True)
        loss.backward()
        nn.utils.clip_grad_norm_(net.parameters(), 1.0)
        best.step()
        steps += 1
        if steps % 4 == 0:
            keep = min(0.996, 1 - 1 / (steps / 4 + 1))
            with torch.no_grad():
                for name, value in net.state_dict().items():
                    if value.dtype.is_floating_point:
                        slow[name].lerp_(value, 1 - keep)
                    else:
                        slow[name].copy_(value)
        seen_loss += float(loss.detach()) if steps % 10 == 0 else 0.0
        if steps % 400 == 0:
            now = time.monotonic()
            print(
                f"step {steps}, {400 / (now - last):.1f}/s, {stock.count} pictures, loss {seen_loss / 40:.4f}, "
                f"held out: {judged()}, {now - began:.0f} s",
                flush=True,
            )
            seen_loss, last = 0.0, now
        if steps % 3000 == 0:
            # What was learned so far is not lost with the machine.
            given.out.parent.mkdir(parents=True, exist_ok=True)
            export(copy.deepcopy(slow_net), given.out)
    print(f"held out: {judged()}, {steps} steps, {stock.count} pictures", flush=True)
    given.out.parent.mkdir(parents=True, exist_ok=True)
    export(slow_net, given.out)
    given.out.with_suffix(".json").write_text(json.dumps({"pictures": stock.count, "steps": steps}) + "\n")
    if given.processes:
        pool.terminate()
    print(f"wrote {given.out.name} after {time.monotonic() - began:.0f} s", flush=True)


if __name__ == "__main__":
    main()
