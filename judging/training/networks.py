"""The two networks that are trained: the eye, and the one that finds a quilt's edges in a photograph.

Needs PyTorch, which nothing else in this project does; see `judging.training.train`.
"""

from __future__ import annotations

import math
from pathlib import Path

import numpy as np
import torch
from numpy.typing import NDArray
from torch import Tensor, nn
from torch.nn import functional as F  # noqa: N812 -- as everyone who knows PyTorch reads it

from judging.training.samples import SIDE_PX

BINS = 256
DIM = 128


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
        # In this order what runs the network adds all of it up while it convolves.
        kept = x + self.row(x.mean(dim=3, keepdim=True)) + self.column(x.mean(dim=2, keepdim=True))
        y = F.relu(self.norm_one(self.one(x)))
        return F.relu(self.norm_two(self.two(y)) + kept)


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
        # Scaled while it is small.
        weight = torch.softmax((ask / math.sqrt(d // self.heads)) @ key.permute(0, 1, 3, 2), dim=-1)
        x = x + self.out((weight @ value).permute(0, 2, 1, 3).reshape(b, n, d))
        x = x + self.near(x.permute(0, 2, 1)).permute(0, 2, 1)
        return x + self.back(F.relu(self.into(self.norm_two(x))))


class Trunk(nn.Module):
    """What both networks see with: three scales of the picture, joined again; gives (fine, middle, deepest)."""

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

    def scales(self, x: Tensor) -> tuple[Tensor, Tensor, Tensor]:
        """See a picture at three scales: a half, a quarter and an eighth of its side."""
        fine = self.stem(x)
        mid = self.middle(fine)
        deep = self.deepest(mid)
        mid = self.join_one(mid + F.interpolate(self.up_one(deep), scale_factor=2.0, mode="nearest"))
        fine = self.join_two(fine + F.interpolate(self.up_two(mid), scale_factor=2.0, mode="nearest"))
        return fine, mid, deep


class Eye(Trunk):
    """From a picture to where columns and rows begin and end; see `seamlore.photo.grid.network`."""

    def __init__(self, widths: tuple[int, int, int] = (32, 64, 128)) -> None:
        super().__init__(widths)
        _, b, c = widths
        self.seams = nn.Conv2d(b, 4, 1)
        self.token = nn.Linear(64 + b, DIM)
        self.whole = nn.Linear(c, DIM)
        self.place = nn.Parameter(torch.randn(1, BINS, DIM) * 0.02)
        self.axis = nn.Parameter(torch.randn(2, 1, DIM) * 0.02)
        self.mixing = nn.ModuleList(Mixing(DIM, 4) for _ in range(4))
        self.norm = nn.LayerNorm(DIM)
        self.lines, self.setting = nn.Linear(DIM, 3), nn.Linear(DIM, 3)

    def forward(self, x: Tensor) -> tuple[Tensor, Tensor, Tensor]:
        fine, mid, deep = self.scales(x)
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


class Edges(Trunk):
    """From a photograph to where the quilt and its four edges lie; see `seamlore.photo.edges.network`.

    Gives (b, 5, 256, 256): the quilt itself, then its top, right, bottom and left edge.
    """

    def __init__(self, widths: tuple[int, int, int] = (32, 64, 128)) -> None:
        super().__init__(widths)
        self.said = nn.Conv2d(32, 5, 1)

    def forward(self, x: Tensor) -> Tensor:
        fine, _, _ = self.scales(x)
        said: Tensor = self.said(fine)
        return said


class Plain(nn.Module):
    """The eye without what it needs only while it is trained."""

    def __init__(self, eye: Eye) -> None:
        super().__init__()
        self.eye = eye

    def forward(self, x: Tensor) -> tuple[Tensor, Tensor]:
        lines, setting, _ = self.eye(x)
        return lines, setting


# What each network gives, by name.
OUTPUTS: dict[type[nn.Module], tuple[str, ...]] = {Eye: ("lines", "setting"), Edges: ("edges",)}


def take_up(eye: nn.Module, path: Path) -> None:
    """Put the weights of a network that was written before back into a new one, to train it further.

    Norms were merged into the convolutions before them; they come back as such that change nothing.
    """
    import onnx
    from onnx import numpy_helper

    graph = onnx.load(str(path)).graph
    stored = {each.name: torch.from_numpy(numpy_helper.to_array(each).copy()) for each in graph.initializer}
    found = {name.removeprefix("eye."): value for name, value in stored.items()}
    axes: list[Tensor] = []
    for node in graph.node:
        parts = node.name.strip("/").removeprefix("eye/").split("/")[:-1]
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
    if axes and "axis" not in found:
        found["axis"] = torch.stack(axes)
    kept = eye.state_dict()
    missing = [name for name in kept if name not in found and not name.startswith("seams.")]
    if missing:
        raise SystemExit(f"{path.name} lacks {missing}")
    eye.load_state_dict({name: found.get(name, value) for name, value in kept.items()})


def probe() -> Tensor:
    """Give a picture that is none, to tell by it whether a network is the one that was written."""
    return torch.linspace(-1, 1, 4 * SIDE_PX * SIDE_PX).reshape(1, 4, SIDE_PX, SIDE_PX)


def as_told(net: Eye | Edges, path: Path) -> float:
    """Give the greatest difference from what was written beside a network."""
    with torch.no_grad(), np.load(path.with_suffix(".check.npz")) as told:
        said = _plain(net).eval()(probe())
        name = OUTPUTS[type(net)][0]
        first = said[0] if isinstance(said, tuple) else said
        return float(np.abs(_kept(first) - told[name]).max())


def _kept(said: Tensor) -> NDArray[np.float32]:
    """Give what is written down of what was said: of a map every eighth spot."""
    every: NDArray[np.float32] = said.numpy()
    return every[..., ::8, ::8] if every.ndim == 4 else every


def _plain(net: Eye | Edges) -> nn.Module:
    return Plain(net) if isinstance(net, Eye) else net


def export(net: Eye | Edges, path: Path) -> None:
    """Write a network as an open network file (ONNX), and what it gives for a picture that is none beside it."""
    plain = _plain(net).eval().cpu().float()
    example = torch.zeros(1, 4, SIDE_PX, SIDE_PX)
    names = OUTPUTS[type(net)]
    torch.onnx.export(
        plain, (example,), str(path), input_names=["picture"], output_names=list(names), opset_version=17, dynamo=False,
    )  # fmt: skip
    with torch.no_grad():
        said = plain(probe())
    each = said if isinstance(said, tuple) else (said,)
    kept = {name: _kept(part) for name, part in zip(names, each, strict=True)}
    np.savez_compressed(path.with_suffix(".check.npz"), allow_pickle=False, **kept)
