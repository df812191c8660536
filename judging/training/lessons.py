"""What the networks are shown while they are trained, and what they should say of it.

Needs PyTorch, which nothing else in this project does; see `judging.training.train`.
"""

from __future__ import annotations

import torch
from torch import Tensor
from torch.nn import functional as F  # noqa: N812 -- as everyone who knows PyTorch reads it

from judging.training.networks import BINS
from judging.training.samples import LIES_PX, SIDE_PX

# The network says of each edge how near it is, on a picture of this side; this wide in its pixels.
EDGES_PX = SIDE_PX // 2
EDGE_WIDE = 1.0


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
    return prepared(in_any_light(x, gen), aspect), lines


def in_any_light(x: Tensor, gen: torch.Generator) -> Tensor:
    """Change light, color, haze, softness and noise of pictures of 0..1, shape (b, 3, SIDE_PX, SIDE_PX)."""
    b, device = len(x), x.device

    def uniform(*shape: int, low: float = 0.0, high: float = 1.0) -> Tensor:
        return torch.rand(*shape, generator=gen, device=device) * (high - low) + low

    x = x.clamp(1e-4, 1) ** torch.exp(0.3 * torch.randn(b, 1, 1, 1, generator=gen, device=device))
    x = x * torch.exp(0.08 * torch.randn(b, 3, 1, 1, generator=gen, device=device))
    low, high = uniform(b, 1, 1, 1, low=0, high=0.2), uniform(b, 1, 1, 1, low=0.8, high=1.05)
    x = low + (high - low) * x
    gray = x.mean(dim=1, keepdim=True)
    keep = torch.where(
        uniform(b, 1, 1, 1) < 0.12, torch.zeros(b, 1, 1, 1, device=device), uniform(b, 1, 1, 1, low=0.4, high=1.3)
    )
    x = gray + (x - gray) * keep
    soft = F.interpolate(
        F.interpolate(x, size=(int(SIDE_PX * 0.55),) * 2, mode="bilinear", antialias=True, align_corners=False),
        size=(SIDE_PX, SIDE_PX),
        mode="bilinear",
        align_corners=False,
    )
    mix = uniform(b, 1, 1, 1) * (uniform(b, 1, 1, 1) < 0.35)
    x = x + mix * (soft - x)
    x = x + 0.03 * uniform(b, 1, 1, 1) * torch.randn(x.shape, generator=gen, device=device)
    return x.clamp(0, 1)


def prepared(x: Tensor, aspect: Tensor) -> Tensor:
    """Center a picture, and add its proportion as a fourth plane."""
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


def loss_of(said: tuple[Tensor, Tensor, Tensor], told: Tensor, maps: Tensor, setting: Tensor) -> Tensor:
    """Give how far what the eye says is from what is so."""
    lines, kind, seams = (each.float() for each in said)
    weight = torch.tensor([6.0, 6.0, 1.0], device=lines.device)
    by_line = F.binary_cross_entropy_with_logits(lines, told, pos_weight=weight, reduction="none").mean(dim=(0, 1))
    by_seam = F.binary_cross_entropy_with_logits(seams, maps, pos_weight=torch.tensor(3.0, device=lines.device))
    return by_line[0] + by_line[1] + 0.5 * by_line[2] + 0.3 * F.cross_entropy(kind, setting) + by_seam


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


def framed(pixels: Tensor, aspect: Tensor, lies: Tensor, gen: torch.Generator) -> tuple[Tensor, Tensor]:
    """Give photographs as they may be framed, lit and covered, and where each spot then lies in the quilt.

    `lies` comes in as (b, LIES_PX, LIES_PX, 2) and goes out as (b, 2, EDGES_PX, EDGES_PX).
    """
    b, device = len(pixels), pixels.device

    def uniform(*shape: int, low: float = 0.0, high: float = 1.0) -> Tensor:
        return torch.rand(*shape, generator=gen, device=device) * (high - low) + low

    x = pixels.permute(0, 3, 1, 2).float() / 255
    at = lies.permute(0, 3, 1, 2).float()
    for axis, dim in ((0, 3), (1, 2)):
        flip = (uniform(b) < 0.5)[:, None, None, None]
        x = torch.where(flip, x.flip(dim), x)
        mirrored = at.flip(dim).clone()
        mirrored[:, axis] = 1 - mirrored[:, axis]
        at = torch.where(flip, mirrored, at)
    swap = uniform(b) < 0.5
    x = torch.where(swap[:, None, None, None], x.transpose(2, 3), x)
    at = torch.where(swap[:, None, None, None], at.transpose(2, 3).flip(1), at)
    aspect = torch.where(swap, 1 / aspect, aspect)
    # Some are a part of the picture, so that edges may lie beyond it.
    part = torch.where(uniform(b, 2) < 0.35, uniform(b, 2, low=0.6), torch.ones(b, 2, device=device))
    start = uniform(b, 2) * (1 - part)
    aspect = aspect * part[:, 0] / part[:, 1]

    def window(side: int) -> Tensor:
        run = (torch.arange(side, device=device) + 0.5) / side
        across = (start[:, 0:1] + part[:, 0:1] * run)[:, None, :].expand(b, side, side)
        down = (start[:, 1:2] + part[:, 1:2] * run)[:, :, None].expand(b, side, side)
        return torch.stack([across, down], dim=-1) * 2 - 1

    x = F.grid_sample(x, window(SIDE_PX), mode="bilinear", padding_mode="border", align_corners=False)
    # Between the spots that are known it is smooth; beyond the last of them it goes on as before.
    wide = torch.cat([2 * at[..., :1] - at[..., 1:2], at, 2 * at[..., -1:] - at[..., -2:-1]], dim=3)
    wide = torch.cat([2 * wide[:, :, :1] - wide[:, :, 1:2], wide, 2 * wide[:, :, -1:] - wide[:, :, -2:-1]], dim=2)
    at = F.grid_sample(wide, window(EDGES_PX) * (LIES_PX / (LIES_PX + 2)), mode="bilinear", align_corners=False)
    # Something may lie over an edge, or anywhere.
    run = (torch.arange(SIDE_PX, device=device) + 0.5) / SIDE_PX
    gx, gy = run[None, None, :], run[None, :, None]
    for _ in range(3):
        middle, half = uniform(b, 2, 1, 1), uniform(b, 2, 1, 1, low=0.01, high=0.1)
        away_x, away_y = (gx - middle[:, 0]).abs() / half[:, 0], (gy - middle[:, 1]).abs() / half[:, 1]
        over = torch.where(uniform(b, 1, 1) < 0.5, torch.maximum(away_x, away_y), torch.hypot(away_x, away_y)) < 1
        over = over & (uniform(b, 1, 1) < 0.2)
        x = torch.where(over[:, None], uniform(b, 3, 1, 1), x)
    return prepared(in_any_light(x, gen), aspect), at


def edge_targets(at: Tensor) -> Tensor:
    """Give what the network should say of each spot: (b, 5, EDGES_PX, EDGES_PX), each 0..1.

    First how much of it the quilt covers; then how near the top, right, bottom and left edge is.
    """

    def slope(each: Tensor) -> Tensor:
        down, across = torch.gradient(each, dim=(1, 2))
        return torch.hypot(down, across).clamp(min=1e-5)

    u, v = at[:, 0], at[:, 1]
    # In pixels inward from each edge.
    by_u, by_v = slope(u), slope(v)
    inward = [v / by_v, (1 - u) / by_u, (1 - v) / by_v, u / by_u]
    covered = (torch.stack(inward).amin(dim=0) + 0.5).clamp(0, 1)
    along = [
        torch.minimum(u / by_u, (1 - u) / by_u),
        torch.minimum(v / by_v, (1 - v) / by_v),
    ]
    near = [
        torch.exp(-0.5 * (each / EDGE_WIDE) ** 2) * (along[side % 2] + 1).clamp(0, 1)
        for side, each in enumerate(inward)
    ]
    return torch.stack([covered, *near], dim=1)


def edge_loss(said: Tensor, told: Tensor) -> Tensor:
    """Give how far what is said of the edges is from what is so."""
    said = said.float()
    covered = F.binary_cross_entropy_with_logits(said[:, 0], told[:, 0])
    near = F.binary_cross_entropy_with_logits(
        said[:, 1:], told[:, 1:], pos_weight=torch.tensor(5.0, device=said.device)
    )
    return covered + 4 * near
