"""What each of the two networks for whole quilts is taught, and how it does on pictures held out.

Needs PyTorch, which nothing else in this project does; see `judging.training.train`.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

import torch
from torch import Tensor
from torch.nn import functional as F  # noqa: N812 -- as everyone who knows PyTorch reads it

from judging.training.courses import BATCH
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
from judging.training.networks import Edges, Eye
from judging.training.pictures import Arrays
from judging.training.samples import LIES_PX, MOST, SIDE_PX

_SQUARE = (SIDE_PX, SIDE_PX, 3)


class Stock:
    """All pictures on the card, filled as they are made."""

    def __init__(self, most: int, shapes: dict[str, tuple[tuple[int, ...], torch.dtype]], device: str) -> None:
        self.of = {
            name: torch.zeros((most, *shape), dtype=kind, device=device) for name, (shape, kind) in shapes.items()
        }
        self.most, self.count = most, 0

    def add(self, chunk: Arrays) -> None:
        """Take in a chunk, as far as there is room."""
        start = self.count
        more = min(len(next(iter(chunk.values()))), self.most - start)
        for name, tensor in self.of.items():
            tensor[start : start + more] = torch.from_numpy(chunk[name][:more]).to(tensor)
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
    with torch.autocast(x.device.type, dtype=torch.bfloat16):
        said = net(_fast(x))
    return loss_of(said, told, maps, some["setting"])


def _edges_loss(net: Any, some: dict[str, Tensor], gen: torch.Generator) -> Tensor:
    with torch.no_grad():
        x, at = framed(some["photo"], some["photo_aspect"], some["lies"], gen)
        told = edge_targets(at)
    with torch.autocast(x.device.type, dtype=torch.bfloat16):
        said = net(_fast(x))
    return edge_loss(said, told)


def _eye_judged(net: Any, held: Stock) -> str:
    parts = []
    for start in range(0, held.count, BATCH):
        some = held.some(slice(start, min(start + BATCH, held.count)))
        x = prepared(some["pixels"].permute(0, 3, 1, 2).float() / 255, some["aspect"])
        with torch.autocast(x.device.type, dtype=torch.bfloat16):
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
        with torch.autocast(x.device.type, dtype=torch.bfloat16):
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


LESSONS: dict[str, Lesson] = {
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
