"""Train the eye that sees where columns and rows of blocks begin and end: ``python -m judging.train_eye``.

Needs PyTorch and a graphics card, which nothing else in this project does; the trained eye itself is a file of the
project and runs without either. Pictures are made by `judging.training` in as many processes as there are, while the
training already runs on those that are there.

    python -m judging.train_eye --pictures 30000 --seconds 560 --work DIR [--resume] [--out eye.onnx]
"""

from __future__ import annotations

import argparse
import json
import math
import multiprocessing
import os
import time
from pathlib import Path
from typing import Any

import numpy as np
import torch
from numpy.typing import NDArray
from torch import Tensor, nn
from torch.nn import functional as F  # noqa: N812 -- as everyone who knows PyTorch reads it

from judging.training import MOST, SIDE_PX, make_sample

BINS = 256
DIM = 128
CHUNK = 64
HELD = 12 * CHUNK
Made = tuple[NDArray[np.uint8], float, int, NDArray[np.float32]]


def _chunk(job: tuple[Path, int]) -> Path:
    """Make one chunk of pictures and keep it in a file."""
    import cv2

    cv2.setNumThreads(1)
    folder, number = job
    made: list[Made] = []
    for k in range(number * CHUNK, (number + 1) * CHUNK):
        try:
            sample = make_sample(k)
        except Exception as fault:
            # One picture of many thousands is passed over, and told.
            print(f"picture {k} left out: {type(fault).__name__}: {fault}", flush=True)
            continue
        lines = np.full((2, 2, MOST), np.nan, np.float32)
        for axis, spans in enumerate((sample.columns, sample.rows)):
            lines[axis, :, : len(spans)] = spans.T
        made.append((sample.pixels, sample.aspect, sample.setting, lines))
    pixels, aspect, setting, lined = zip(*made, strict=True)
    path = folder / f"chunk_{number:05d}.npz"
    part = path.with_suffix(".part")
    with part.open("wb") as out:
        np.savez(
            out,
            pixels=np.stack(pixels),
            aspect=np.array(aspect, np.float32),
            setting=np.array(setting),
            lines=np.stack(lined),
        )
    part.rename(path)
    return path


class Stock:
    """All pictures on the card, filled as they are made; what is made is also kept in a folder."""

    def __init__(self, most: int, device: str) -> None:
        self.pixels = torch.zeros((most, SIDE_PX, SIDE_PX, 3), dtype=torch.uint8, device=device)
        self.aspect = torch.zeros(most, device=device)
        self.setting = torch.zeros(most, dtype=torch.long, device=device)
        self.lines = torch.full((most, 2, 2, MOST), math.nan, device=device)
        self.count = 0

    def add(self, path: Path) -> None:
        """Take in a chunk, as far as there is room."""
        with np.load(path) as z:
            n, device = self.count, self.pixels.device
            m = min(len(z["aspect"]), len(self.pixels) - n)
            put = slice(n, n + m)
            for name in ("pixels", "aspect", "setting", "lines"):
                getattr(self, name)[put] = torch.from_numpy(z[name][:m]).to(device)
            self.count = n + m


class Block(nn.Module):
    """Two convolutions, and what the whole row and the whole column show, added to what was there."""

    def __init__(self, width: int) -> None:
        super().__init__()
        self.one = nn.Conv2d(width, width, 3, padding=1, bias=False)
        self.norm_one = nn.BatchNorm2d(width)
        self.two = nn.Conv2d(width, width, 3, padding=1, bias=False)
        self.norm_two = nn.BatchNorm2d(width)
        self.row = nn.Conv2d(width, width, 1)
        self.column = nn.Conv2d(width, width, 1)

    def forward(self, x: Tensor) -> Tensor:
        y = F.relu(self.norm_one(self.one(x)))
        y = self.norm_two(self.two(y))
        # Spread out by name: what runs the trained eye adds only like to like.
        y = (
            y
            + self.row(x.mean(dim=3, keepdim=True)).expand_as(y)
            + self.column(x.mean(dim=2, keepdim=True)).expand_as(y)
        )
        return F.relu(x + y)


class Mixing(nn.Module):
    """One layer of attention over all columns, all rows and the whole."""

    def __init__(self, dim: int, heads: int) -> None:
        super().__init__()
        self.heads = heads
        self.norm_one, self.norm_two = nn.LayerNorm(dim), nn.LayerNorm(dim)
        self.ask, self.key, self.value, self.out = (nn.Linear(dim, dim) for _ in range(4))
        self.near = nn.Conv1d(dim, dim, 7, padding=3, groups=dim)
        self.into, self.back = nn.Linear(dim, 2 * dim), nn.Linear(2 * dim, dim)

    def forward(self, x: Tensor) -> Tensor:
        b, n, d = x.shape
        h = self.norm_one(x)
        ask, key, value = (
            part(h).reshape(b, n, self.heads, d // self.heads).permute(0, 2, 1, 3)
            for part in (self.ask, self.key, self.value)
        )
        weight = torch.softmax(ask @ key.permute(0, 1, 3, 2) / math.sqrt(d // self.heads), dim=-1)
        x = x + self.out((weight @ value).permute(0, 2, 1, 3).reshape(b, n, d))
        x = x + self.near(x.permute(0, 2, 1)).permute(0, 2, 1)
        return x + self.back(F.relu(self.into(self.norm_two(x))))


class Eye(nn.Module):
    """From a picture to where columns and rows begin and end; see `seamlore.photo.eye`."""

    def __init__(self, widths: tuple[int, int, int] = (32, 64, 128)) -> None:
        super().__init__()
        a, b, c = widths
        self.stem = nn.Sequential(nn.Conv2d(4, a, 5, stride=2, padding=2), nn.ReLU(), Block(a))
        self.middle = nn.Sequential(nn.Conv2d(a, b, 3, stride=2, padding=1), nn.ReLU(), Block(b), Block(b))
        self.deepest = nn.Sequential(
            nn.Conv2d(b, c, 3, stride=2, padding=1), nn.ReLU(), Block(c), Block(c), Block(c), Block(c)
        )
        self.up_one, self.join_one = nn.Conv2d(c, b, 1), Block(b)
        self.up_two, self.join_two = (
            nn.Conv2d(b, a, 1),
            nn.Sequential(Block(a), nn.Conv2d(a, 32, 3, padding=1), nn.ReLU()),
        )
        self.seams = nn.Conv2d(b, 4, 1)
        self.token = nn.Linear(64 + b, DIM)
        self.whole = nn.Linear(c, DIM)
        self.place = nn.Parameter(torch.randn(1, BINS, DIM) * 0.02)
        self.axis = nn.Parameter(torch.randn(2, 1, DIM) * 0.02)
        self.mixing = nn.ModuleList(Mixing(DIM, 4) for _ in range(4))
        self.norm = nn.LayerNorm(DIM)
        self.lines, self.setting = nn.Linear(DIM, 3), nn.Linear(DIM, 3)

    def forward(self, x: Tensor) -> tuple[Tensor, Tensor, Tensor]:
        fine = self.stem(x)
        mid = self.middle(fine)
        deep = self.deepest(mid)
        mid = self.join_one(mid + F.interpolate(self.up_one(deep), scale_factor=2.0, mode="nearest"))
        fine = self.join_two(fine + F.interpolate(self.up_two(mid), scale_factor=2.0, mode="nearest"))
        tokens = []
        for number, along in enumerate((2, 3)):
            both = torch.cat([fine.mean(dim=along), fine.amax(dim=along)], dim=1)
            coarse = mid.mean(dim=along)
            coarse = coarse.unsqueeze(-1).expand(-1, -1, -1, 2).reshape(coarse.shape[0], coarse.shape[1], BINS)
            token = self.token(torch.cat([both, coarse], dim=1).permute(0, 2, 1))
            tokens.append(token + self.place + self.axis[number])
        whole = self.whole(deep.mean(dim=(2, 3))).unsqueeze(1)
        y = torch.cat([*tokens, whole], dim=1)
        for layer in self.mixing:
            y = layer(y)
        y = self.norm(y)
        lines = self.lines(y[:, : 2 * BINS])
        setting = self.setting(y[:, 2 * BINS])
        return lines, setting, self.seams(mid)


class Plain(nn.Module):
    """The eye without what it needs only while it is trained."""

    def __init__(self, eye: Eye) -> None:
        super().__init__()
        self.eye = eye

    def forward(self, x: Tensor) -> tuple[Tensor, Tensor]:
        lines, setting, _ = self.eye(x)
        return lines, setting


def warped(pixels: Tensor, aspect: Tensor, lines: Tensor, gen: torch.Generator) -> tuple[Tensor, Tensor]:
    """Give the eye's input, as a hand-held camera and corners a little off would, and the lines moved with it."""
    b, device = len(pixels), pixels.device

    def uniform(*shape: int, low: float = 0.0, high: float = 1.0) -> Tensor:
        return torch.rand(*shape, generator=gen, device=device) * (high - low) + low

    x = pixels.permute(0, 3, 1, 2).float() / 255
    lines = lines.clone()
    # Mirror and transpose.
    for axis, dim in ((0, 3), (1, 2)):
        flip = uniform(b) < 0.5
        x = torch.where(flip[:, None, None, None], x.flip(dim), x)
        lines[:, axis] = torch.where(flip[:, None, None], (1 - lines[:, axis]).flip(1), lines[:, axis])
    swap = uniform(b) < 0.5
    x = torch.where(swap[:, None, None, None], x.transpose(2, 3), x)
    lines = torch.where(swap[:, None, None, None], lines.flip(1), lines)
    aspect = torch.where(swap, 1 / aspect, aspect)
    # Corners off, edges bowed, cloth drawn out of true.
    reach = 0.004 * torch.exp(torch.randn(b, 1, 1, generator=gen, device=device) * 0.6)
    corners = torch.randn(b, 4, 2, generator=gen, device=device) * reach
    at = (torch.arange(SIDE_PX, device=device) + 0.5) / SIDE_PX
    gx, gy = at[None, None, :], at[None, :, None]
    tl, tr, br, bl = (corners[:, k, :, None, None] for k in range(4))
    off = (1 - gy)[:, None] * ((1 - gx)[:, None] * tl + gx[:, None] * tr) + gy[:, None] * (
        (1 - gx)[:, None] * bl + gx[:, None] * br
    )
    # Cloth hangs and lies: lines bow, most of all far from the edges that were followed.
    bow = 0.005 * torch.randn(b, 2, generator=gen, device=device)
    inner = 4 * gx * (1 - gx) * 4 * gy * (1 - gy)
    off = off + bow[:, :, None, None] * inner[:, None]
    for _ in range(2):
        size = -0.0016 * torch.log(uniform(b, 2, 1, 1, low=0.01))
        wave = uniform(b, 2, 2, 1, 1, low=-9, high=9)
        phase = uniform(b, 2, 1, 1, high=6.3)
        off = off + size * torch.sin(wave[:, :, 0] * gx[:, None] + wave[:, :, 1] * gy[:, None] + phase)
    src = torch.stack([gx.expand(b, SIDE_PX, SIDE_PX), gy.expand(b, SIDE_PX, SIDE_PX)], dim=1) + off
    fine = src.permute(0, 2, 3, 1) * 2 - 1
    seen = F.grid_sample(x, fine, mode="bilinear", padding_mode="border", align_corners=False)
    outside = ((src < 0) | (src > 1)).any(dim=1, keepdim=True)
    ground = uniform(b, 3, 1, 1) + 0.1 * torch.randn(b, 3, SIDE_PX, SIDE_PX, generator=gen, device=device)
    x = torch.where(outside, ground.clamp(0, 1), seen)
    # A line at p of the quilt is seen where src = p: on the mean over the line, src(t) = t + d0 + (d1 - d0) t.
    d = torch.stack(
        [
            torch.stack([(tl + bl)[:, 0, 0, 0] / 2, (tr + br)[:, 0, 0, 0] / 2], dim=1),
            torch.stack([(tl + tr)[:, 1, 0, 0] / 2, (bl + br)[:, 1, 0, 0] / 2], dim=1),
        ],
        dim=1,
    )
    first, last = d[:, :, 0, None, None], d[:, :, 1, None, None]
    lines = ((lines - first) / (1 + last - first)).clamp(0, 1)
    # Something may lie on the quilt.
    for _ in range(2):
        middle, half = uniform(b, 2, 1, 1), uniform(b, 2, 1, 1, low=0.01, high=0.09)
        over = ((gx - middle[:, 0]).abs() < half[:, 0]) & ((gy - middle[:, 1]).abs() < half[:, 1])
        over = over & (uniform(b, 1, 1) < 0.15)
        x = torch.where(over[:, None], uniform(b, 3, 1, 1), x)
    # Light, colour, haze, softness, noise.
    x = x.clamp(1e-4, 1) ** torch.exp(0.3 * torch.randn(b, 1, 1, 1, generator=gen, device=device))
    x = x * torch.exp(0.08 * torch.randn(b, 3, 1, 1, generator=gen, device=device))
    low, high = uniform(b, 1, 1, 1, low=0, high=0.2), uniform(b, 1, 1, 1, low=0.8, high=1.05)
    x = low + (high - low) * x
    grey = x.mean(dim=1, keepdim=True)
    keep = torch.where(
        uniform(b, 1, 1, 1) < 0.12, torch.zeros(b, 1, 1, 1, device=device), uniform(b, 1, 1, 1, low=0.4, high=1.3)
    )
    x = grey + (x - grey) * keep
    soft = F.interpolate(
        F.interpolate(x, size=(int(SIDE_PX * 0.55),) * 2, mode="bilinear", antialias=True, align_corners=False),
        size=(SIDE_PX, SIDE_PX),
        mode="bilinear",
        align_corners=False,
    )
    mix = uniform(b, 1, 1, 1) * (uniform(b, 1, 1, 1) < 0.35)
    x = x + mix * (soft - x)
    x = x + 0.03 * uniform(b, 1, 1, 1) * torch.randn(x.shape, generator=gen, device=device)
    return prepared(x.clamp(0, 1), aspect), lines


def prepared(x: Tensor, aspect: Tensor) -> Tensor:
    """Centre a picture, and add its proportion as a fourth plane."""
    shape = torch.log(aspect)[:, None, None, None].expand(-1, 1, SIDE_PX, SIDE_PX)
    return torch.cat([(x - 0.5) * 4, shape], dim=1)


def targets(lines: Tensor, setting: Tensor) -> tuple[Tensor, Tensor]:
    """Give what the eye should say: beginnings, ends and field, shape (b, 2 * BINS, 3), and seams (b, 4, 128, 128)."""
    device = lines.device
    at = (torch.arange(BINS, device=device) + 0.5) / BINS

    def heat(places: Tensor, here: Tensor, wide: float) -> Tensor:
        away = (here - places[..., None]) / wide
        return torch.nan_to_num(torch.exp(-0.5 * away * away), nan=0.0).amax(dim=-2)

    both = heat(lines, at, 0.75 / BINS)
    first, last = lines[:, :, 0, 0], torch.nan_to_num(lines[:, :, 1], nan=-1.0).amax(dim=-1)
    field = ((at >= first[..., None]) & (at <= last[..., None])).float()
    told = torch.stack([both[:, :, 0], both[:, :, 1], field], dim=-1).reshape(len(lines), 2 * BINS, 3)
    n = 128
    small = (torch.arange(n, device=device) + 0.5) / n
    upright = heat(lines[:, 0].flatten(1), small, 0.8 / n)
    level = heat(lines[:, 1].flatten(1), small, 0.8 / n)
    in_x = ((small >= first[:, 0:1]) & (small <= last[:, 0:1])).float()
    in_y = ((small >= first[:, 1:2]) & (small <= last[:, 1:2])).float()
    straight, point = (setting == 0).float()[:, None, None], (setting == 1).float()[:, None, None]
    maps = [
        upright[:, None, :] * in_y[:, :, None] * straight,
        level[:, :, None] * in_x[:, None, :] * straight,
    ]
    middle = torch.nanmean(lines, dim=2)
    count = (~torch.isnan(lines[:, :, 0])).sum(dim=-1).clamp(min=1)
    start = middle[:, :, 0]
    end = torch.gather(middle, 2, (count - 1)[..., None])[..., 0]
    span = torch.nan_to_num(lines[:, :, 1, 0] - lines[:, :, 0, 0], nan=1.0)
    pitch = torch.where(count > 1, (end - start) / (count - 1).clamp(min=1), span).clamp(min=1e-3)
    half = span / pitch / 2
    a = (small - start[:, 0:1]) / pitch[:, 0:1]
    c = (small - start[:, 1:2]) / pitch[:, 1:2]
    for sign in (1, -1):
        u = a[:, None, :] + sign * c[:, :, None]
        s = half[:, 0][:, None, None]
        away = torch.minimum((u - s - torch.round(u - s)).abs(), (u + s - torch.round(u + s)).abs())
        away = away * pitch[:, 0][:, None, None] * n / 1.414
        line = torch.nan_to_num(torch.exp(-0.5 * (away / 0.8) ** 2), nan=0.0)
        maps.append(line * in_x[:, None, :] * in_y[:, :, None] * point)
    return told, torch.stack(maps, dim=1)


def loss_of(
    said: tuple[Tensor, Tensor, Tensor], told: Tensor, maps: Tensor, setting: Tensor, by_seams: float
) -> Tensor:
    """Give how far what the eye says is from what is so."""
    lines, kind, seams = (each.float() for each in said)
    weight = torch.tensor([6.0, 6.0, 1.0], device=lines.device)
    by_line = F.binary_cross_entropy_with_logits(lines, told, pos_weight=weight, reduction="none").mean(dim=(0, 1))
    by_seam = F.binary_cross_entropy_with_logits(seams, maps, pos_weight=torch.tensor(3.0, device=lines.device))
    return by_line[0] + by_line[1] + 0.5 * by_line[2] + 0.3 * F.cross_entropy(kind, setting) + by_seams * by_seam


@torch.no_grad()
def exact(lines: Tensor, setting: Tensor, truth: Tensor, kind: Tensor) -> tuple[float, float, float]:
    """Give the parts of pictures whose setting is right, whose counts are right, and both, by counting peaks."""
    starts = torch.sigmoid(lines.float()).reshape(len(lines), 2, BINS, 3)
    good = torch.ones(len(lines), dtype=torch.bool, device=lines.device)
    for which in (0, 1):
        profile = F.pad(starts[..., which], (2, 2))
        top = F.max_pool1d(profile, 3, stride=1, padding=1)
        peak = (profile == top) & (profile > 0.5)
        good &= (peak.sum(dim=-1) == (~torch.isnan(truth[:, :, which])).sum(dim=-1)).all(dim=1)
    right = setting.argmax(dim=1) == kind
    grid = kind < 2
    none_right = float(right[~grid].float().mean())
    return float(right.float().mean()), float(good[grid].float().mean()), none_right


def take_up(eye: Eye, path: Path) -> None:
    """Put the weights of an eye that was written before back into a new one, to train it further.

    Norms were merged into the convolutions before them; they come back as such that change nothing.
    """
    import onnx
    from onnx import numpy_helper

    graph = onnx.load(str(path)).graph
    stored = {each.name: torch.from_numpy(numpy_helper.to_array(each).copy()) for each in graph.initializer}
    found = {name.removeprefix("eye."): value for name, value in stored.items() if name.startswith("eye.")}
    axes: list[Tensor] = []
    for node in graph.node:
        parts = node.name.strip("/").split("/")[1:-1]
        name = ".".join(
            part for k, part in enumerate(parts) if k + 1 == len(parts) or not parts[k + 1].startswith(part + ".")
        )
        own = [stored[each] for each in node.input if each in stored]
        if node.op_type == "Conv" and name.endswith((".one", ".two")):
            found[f"{name}.weight"] = own[0]
            stem, which = name.rsplit(".", 1)
            norm = f"{stem}.norm_{which}"
            found[f"{norm}.weight"], found[f"{norm}.bias"] = torch.ones(len(own[1])), own[1]
            found[f"{norm}.running_mean"] = torch.zeros(len(own[1]))
            found[f"{norm}.running_var"] = torch.full((len(own[1]),), 1 - 1e-5)
            found[f"{norm}.num_batches_tracked"] = torch.tensor(1)
        elif node.op_type == "MatMul" and own:
            found[f"{name.split('_1')[0]}.weight"] = own[0].T
        elif node.op_type == "Add" and own and own[0].shape == (1, DIM):
            axes.append(own[0])
    if "axis" not in found:
        found["axis"] = torch.stack(axes)
    kept = eye.state_dict()
    missing = [name for name in kept if name not in found and not name.startswith("seams.")]
    if missing:
        raise SystemExit(f"{path.name} lacks {missing}")
    eye.load_state_dict({name: found.get(name, value) for name, value in kept.items()})


def as_told(eye: Eye, path: Path) -> float:
    """Give the greatest difference from what was written beside an eye."""
    with torch.no_grad(), np.load(path.with_suffix(".check.npz")) as told:
        probe = torch.linspace(-1, 1, 4 * SIDE_PX * SIDE_PX).reshape(1, 4, SIDE_PX, SIDE_PX)
        lines, _ = Plain(eye).eval()(probe)
        return float(np.abs(lines.numpy() - told["lines"]).max())


def export(eye: Eye, path: Path) -> None:
    """Write the eye as an open network file (ONNX)."""
    plain = Plain(eye).eval().cpu().float()
    example = torch.zeros(1, 4, SIDE_PX, SIDE_PX)
    torch.onnx.export(
        plain, (example,), str(path), input_names=["picture"], output_names=["lines", "setting"], opset_version=17,
        dynamo=False,
    )  # fmt: skip
    with torch.no_grad():
        probe = torch.linspace(-1, 1, 4 * SIDE_PX * SIDE_PX).reshape(1, 4, SIDE_PX, SIDE_PX)
        lines, setting = plain(probe)
    np.savez(path.with_suffix(".check.npz"), lines=lines.numpy(), setting=setting.numpy())


def main() -> None:
    """Train."""
    began = time.monotonic()
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--pictures", type=int, default=30000)
    parser.add_argument("--seconds", type=float, default=560)
    parser.add_argument(
        "--whole", type=float, default=None, help="seconds of all runs together, for the learning rate"
    )
    parser.add_argument("--work", type=Path, required=True)
    parser.add_argument("--resume", action="store_true")
    parser.add_argument("--out", type=Path, default=Path("eye.onnx"))
    parser.add_argument("--batch", type=int, default=64)
    parser.add_argument("--compile", action="store_true", help="let PyTorch compile the eye first")
    parser.add_argument(
        "--further", type=Path, help="an eye written before, to train further; its norms stay as they are"
    )
    parser.add_argument("--rate", type=float, default=1.5e-3)
    parser.add_argument("--processes", type=int, default=max(1, (os.cpu_count() or 2) - 1))
    given = parser.parse_args()
    given.work.mkdir(parents=True, exist_ok=True)
    device = "cuda"
    torch.backends.cuda.matmul.allow_tf32 = True
    torch.backends.cudnn.benchmark = True
    torch.manual_seed(0)
    # What cannot be compiled runs as it is.
    torch._dynamo.config.suppress_errors = True
    chunks = sorted(given.work.glob("chunk_*.npz"))
    known = {path.name for path in chunks}
    jobs = [(given.work, k) for k in range((given.pictures + HELD) // CHUNK) if f"chunk_{k:05d}.npz" not in known]
    # Begun before the card is touched, so that the processes can be copies of this one.
    pool = multiprocessing.get_context("fork").Pool(given.processes)
    results = pool.imap_unordered(_chunk, jobs)
    stock, held = Stock(given.pictures, device), Stock(HELD, device)
    new = Eye()
    if given.further:
        take_up(new, given.further)
        off = as_told(new, given.further)
        print(f"{given.further.name} taken up, off by {off:.1e}", flush=True)
        if off > 2e-3:
            raise SystemExit("that is too much: the eye is not the one that was written")
    eye: Any = new.to(device, memory_format=torch.channels_last)
    quick: Any = torch.compile(eye) if given.compile else eye
    print(f"{sum(p.numel() for p in eye.parameters()) / 1e6:.2f} M weights", flush=True)
    best = torch.optim.AdamW(eye.parameters(), lr=given.rate, weight_decay=0.02)
    slow = {name: value.detach().clone() for name, value in eye.state_dict().items()}
    spent, steps = 0.0, 0
    saved = given.work / "state.pt"
    if given.resume and saved.exists():
        state = torch.load(saved, weights_only=False)
        eye.load_state_dict(state["eye"])
        best.load_state_dict(state["best"])
        slow, spent, steps = state["slow"], state["spent"], state["steps"]

    def keep_chunk(path: Path) -> None:
        (held if int(path.stem.split("_")[1]) < HELD // CHUNK else stock).add(path)

    for chunk in chunks:
        keep_chunk(chunk)
    print(f"{stock.count} pictures at hand after {time.monotonic() - began:.0f} s", flush=True)
    gen = torch.Generator(device=device)
    gen.manual_seed(1 + steps)
    whole = given.whole or given.seconds
    seen_loss, last = 0.0, time.monotonic()

    def take(limit: int) -> None:
        for _ in range(limit):
            try:
                path = results.next(timeout=0.0005)
            except (multiprocessing.TimeoutError, StopIteration):
                return
            keep_chunk(path)

    def left() -> float:
        return float(given.seconds - (time.monotonic() - began))

    while stock.count < min(1024, given.pictures // 2) and left() > 30:
        take(16)
        time.sleep(0.05)
    print(f"begins with {stock.count} pictures after {time.monotonic() - began:.0f} s", flush=True)

    def judge(model: Any) -> str:
        model.eval()
        parts = []
        for start in range(0, held.count, 64):
            put = slice(start, start + 64)
            x = prepared(held.pixels[put].permute(0, 3, 1, 2).float() / 255, held.aspect[put])
            with torch.no_grad(), torch.autocast("cuda", dtype=torch.bfloat16):
                lines, kind, _ = model(x.contiguous(memory_format=torch.channels_last))
            parts.append((lines, kind))
        lines, kind = torch.cat([p[0] for p in parts]), torch.cat([p[1] for p in parts])
        a, b, c = exact(lines, kind, held.lines[: held.count], held.setting[: held.count])
        model.train()
        return f"held out: setting {a:.3f}, counts {b:.3f}, none {c:.3f}"

    slow_eye: Any = Eye().to(device, memory_format=torch.channels_last)
    eye.train()
    if given.further:
        for part in eye.modules():
            if isinstance(part, nn.BatchNorm2d):
                part.eval()
    while left() > 14:
        if steps % 8 == 0:
            take(2)
        done = min(1.0, (spent + time.monotonic() - began) / whole)
        warm = min(1.0, (steps + 1) / 200)
        for group in best.param_groups:
            group["lr"] = given.rate * warm * (0.02 + 0.98 * 0.5 * (1 + math.cos(math.pi * done)))
        chosen = torch.randint(stock.count, (given.batch,), generator=gen, device=device)
        with torch.no_grad():
            x, lines = warped(stock.pixels[chosen], stock.aspect[chosen], stock.lines[chosen], gen)
            kind = stock.setting[chosen]
            told, maps = targets(lines, kind)
        with torch.autocast("cuda", dtype=torch.bfloat16):
            said = quick(x.contiguous(memory_format=torch.channels_last))
        loss = loss_of(said, told, maps, kind, 0.0 if given.further else 1.0)
        best.zero_grad(set_to_none=True)
        loss.backward()
        nn.utils.clip_grad_norm_(eye.parameters(), 1.0)
        best.step()
        steps += 1
        if steps % 4 == 0:
            keep = min(0.996, 1 - 1 / (steps / 4 + 1))
            with torch.no_grad():
                for name, value in eye.state_dict().items():
                    if value.dtype.is_floating_point:
                        slow[name].lerp_(value, 1 - keep)
                    else:
                        slow[name].copy_(value)
        seen_loss += float(loss.detach()) if steps % 10 == 0 else 0.0
        if steps % 400 == 0:
            slow_eye.load_state_dict(slow)
            now = time.monotonic()
            print(
                f"step {steps}, {400 / (now - last):.1f}/s, {stock.count} pictures, loss {seen_loss / 40:.4f}, "
                f"{judge(slow_eye)}, {now - began:.0f} s",
                flush=True,
            )
            seen_loss, last = 0.0, now
    torch.save(
        {"eye": eye.state_dict(), "best": best.state_dict(), "slow": slow, "steps": steps,
         "spent": spent + time.monotonic() - began},
        saved,
    )  # fmt: skip
    slow_eye.load_state_dict(slow)
    print(judge(slow_eye), f"{steps} steps, {stock.count} pictures", flush=True)
    given.out.parent.mkdir(parents=True, exist_ok=True)
    export(slow_eye, given.out)
    given.out.with_suffix(".json").write_text(json.dumps({"pictures": stock.count, "steps": steps}) + "\n")
    pool.terminate()
    print(f"wrote {given.out.name} after {time.monotonic() - began:.0f} s", flush=True)


if __name__ == "__main__":
    main()
