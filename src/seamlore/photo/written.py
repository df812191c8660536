"""A reading written down: what was seen in pixels, in the unit of the quilt's size, with how sure each length is."""

from __future__ import annotations

from dataclasses import asdict
from typing import Literal

import numpy as np

from seamlore.photo.block.bearing_out import DOUBTFUL_GRID as WAITS
from seamlore.photo.block.patches import BlockReading
from seamlore.photo.edges.corners import FoundCorners
from seamlore.photo.flatten import Flat
from seamlore.photo.frame import Frame
from seamlore.photo.grid.grid import Grid
from seamlore.photo.opening import Photo
from seamlore.photo.reading import Confidence, Edge, Pair, Reading, SecondGrid, Uncertainty
from seamlore.photo.warnings import SURE, remarks, weightiest

UnitName = Literal["in", "cm", "width"]

# Corners given by hand are off by a few pixels: so many parts of the quilt's width (own judgement, checked on rendered
# quilts). Corners found are as good as their confidence says.
_GIVEN_SIGMA = 0.002
_FOUND_SIGMA = 0.004
# What drape and lens leave of unevenness in a picture flattened by straight edges, and by edges that were followed:
# standard deviation of the pitch, in parts of it, over rendered quilts.
_STRAIGHT_SIGMA = 0.006
_FOLLOWED_SIGMA = 0.003
# Between a block and its sashing a seam is a ridge with a shadow: together the two sides of a block are placed this well,
# in pixels of the flattened picture (root mean square over sashed quilts of the tuning set: 0.92). All four are measured
# anew by `python -m judging.fitting.lengths`, but for what hands do.
_SASHED_SIDES_PX = 1.0


def reading_of(
    photo: Photo,
    frame: Frame,
    from_where: Literal["given", "found"],
    found: FoundCorners | None,
    grid: Grid,
    blocks: BlockReading | None,
    unit: UnitName,
    flat: Flat,
    seen: float | None,
    *,
    counted: bool = False,
) -> Reading:
    """Write down what was seen as a reading, in the unit of the quilt's size.

    Parameters
    ----------
    photo : Photo
        The photograph.
    frame : Frame
        Where the quilt lies in it.
    from_where : str
        Whether its corners were given or found.
    found : FoundCorners or None
        What was found of them.
    grid : Grid
        The block grid, in pixels of the flattened picture.
    blocks : BlockReading or None
        What the blocks say together.
    unit : str
        "in", "cm" or "width".
    flat : Flat
        The flattened quilt.
    seen : float or None
        How many times as wide as tall the quilt looks in the photograph, when its size was given.
    counted : bool
        Whether she has counted rows and columns, so that they are no longer in doubt.

    Returns
    -------
    Reading
    """
    per_unit = flat.px_per_unit
    # A block on point runs both ways at once.
    across, down = flat.scale if grid.setting == "straight" else (per_unit, per_unit)
    size = (float(frame.size[0]), float(frame.size[1]))
    sigma = uncertainty_of(grid, frame, from_where, per_unit)
    block = (grid.block[0] / across, grid.block[1] / down)
    edge = tuple(each / scale for each, scale in zip(grid.edge, (across, down, across, down), strict=True))
    about_grid = remarks(
        grid,
        size=size,
        unit=unit,
        per_unit=per_unit,
        edge_sigma=sigma.edge,
        proportion=seen,
        waits=blocks is not None and WAITS in blocks.warnings,
        counted=counted,
    )
    said = weightiest(
        found.warnings if from_where == "found" and found is not None else (),
        about_grid[:1],
        photo.notes,
        _about_blocks(blocks, doubtful=grid.confidence < SURE and not counted),
        about_grid[1:],
    )
    no_grid = grid.setting == "none"

    def spans(of: tuple[tuple[float, float], ...], scale: float) -> tuple[Pair, ...]:
        return tuple((a / scale, b / scale) for a, b in of)

    return Reading(
        photo_size=photo.size_px,
        corners=frame.corners,
        corners_from=from_where,
        unit=unit,
        size=size,
        setting=grid.setting,
        rows=None if no_grid else grid.rows,
        columns=None if no_grid else grid.columns,
        block_size=None if no_grid else block,
        sashing=None if no_grid else (grid.sashing[0] / across, grid.sashing[1] / down),
        edge=None if no_grid else Edge(left=edge[0], top=edge[1], right=edge[2], bottom=edge[3]),
        row_spans=None if no_grid else spans(grid.row_spans, flat.scale[1]),
        column_spans=None if no_grid else spans(grid.column_spans, flat.scale[0]),
        uncertainty=None if no_grid else sigma,
        block=blocks.block if blocks is not None else None,
        kinds=blocks.kinds if blocks is not None else None,
        blocks=blocks.blocks if blocks is not None else None,
        between=blocks.between if blocks is not None else None,
        fabrics=blocks.fabrics if blocks is not None else None,
        second_grid=None if grid.second is None else SecondGrid(**asdict(grid.second)),
        confidence=Confidence(grid=grid.confidence, block=blocks.confidence if blocks is not None else 0.0),
        warnings=said,
        bows=frame.bows,
    )


def _about_blocks(blocks: BlockReading | None, *, doubtful: bool) -> tuple[str, ...]:
    """What there is to say of the blocks: nothing where the grid comes first, or where each is one piece of cloth."""
    if blocks is None or (doubtful and WAITS in blocks.warnings):
        return ()
    read = {each.kind for each in (*blocks.blocks, *(blocks.between or ()))}
    plain = all(len(kind.patches) == 1 for kind in blocks.kinds)
    return () if plain and None not in read else blocks.warnings


def uncertainty_of(grid: Grid, frame: Frame, from_where: Literal["given", "found"], per_unit: float) -> Uncertainty:
    """Join how well the grid is known with how well the corners and the edges between them are.

    Parameters
    ----------
    grid : Grid
    frame : Frame
    from_where : str
        Whether the corners were given or found.
    per_unit : float
        Pixels of the flattened picture in one unit.

    Returns
    -------
    Uncertainty
        In the unit.
    """
    followed = sum(bool(bow) for bow in frame.bows) / 4
    shape = followed * _FOLLOWED_SIGMA + (1 - followed) * _STRAIGHT_SIGMA
    at_corners = _GIVEN_SIGMA if from_where == "given" else _FOUND_SIGMA
    stretch = float(np.hypot(shape, at_corners))
    width = max(frame.size)
    # Where blocks touch, one seam is the side of both and nothing is gained or lost between them.
    sides = [_SASHED_SIDES_PX if gap > 0 else 0.0 for gap in grid.sashing]

    def joined(lengths: tuple[float, float], sigmas: tuple[float, float]) -> Pair:
        both = [
            float(np.sqrt(s**2 + side**2 + (stretch * length) ** 2)) / per_unit
            for length, s, side in zip(lengths, sigmas, sides, strict=True)
        ]
        return both[0], both[1]

    return Uncertainty(
        block_size=joined(grid.block, grid.block_sigma),
        sashing=joined(grid.sashing, grid.sashing_sigma),
        edge=float(np.hypot(grid.edge_sigma / per_unit, stretch * width)),
    )
