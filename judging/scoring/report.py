"""Scores put together: the table of what must be reached, confidence in ten bins, every miss on its own line."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from judging.scoring.measures import Score


@dataclass(frozen=True, slots=True)
class Row:
    """One line of the table: what was measured, what is wanted, what was reached over how many; None: nothing to judge."""

    name: str
    wanted: str
    reached: str
    count: int
    passed: bool | None


def _rate(name: str, hits: Sequence[bool], wanted: float, *, most: bool = False) -> Row:
    sign = "at most" if most else "at least"
    if not hits:
        return Row(name, f"{sign} {wanted:.0%}", "-", 0, None)
    rate = sum(hits) / len(hits)
    return Row(name, f"{sign} {wanted:.0%}", f"{rate:.1%}", len(hits), rate <= wanted if most else rate >= wanted)


def _level(name: str, values: Sequence[float], percentile: float, wanted: float) -> Row:
    text = f"at most {wanted:.1%}"
    if not values:
        return Row(name, text, "-", 0, None)
    reached = float(np.percentile(values, percentile))
    return Row(name, text, f"{reached:.2%}", len(values), reached <= wanted)


def table(scores: Sequence[Score]) -> list[Row]:
    """The table for rendered quilts: one row for each thing that must be reached.

    Seams and turns are measured with corners given, on pictures whose lattice was read right; the lattice, corners and
    "none" on all pictures.
    """
    given, found = ([each for each in scores if each.corners_from == way] for way in ("given", "found"))
    grids = {way: [each for each in of if each.has_grid] for way, of in (("given", given), ("found", found))}
    pitches = [error for each in grids["given"] for error in each.pitch_error]
    f1 = [each.seams[2] for each in grids["given"] if each.seams]
    turns = np.array([each.turns for each in grids["given"] if each.turns]).reshape(-1, 4).sum(axis=0)
    texel_hits = sum(each.texels[0] for each in grids["given"] if each.texels)
    texel_all = sum(each.texels[1] for each in grids["given"] if each.texels)
    off = [error for each in grids["given"] for error in each.texel_errors]
    rows = [
        _rate(
            "lattice right (rows, columns, setting), corners given",
            [bool(each.lattice) for each in grids["given"]],
            0.97,
        ),
        _rate(
            "lattice right (rows, columns, setting), corners found",
            [bool(each.lattice) for each in grids["found"]],
            0.92,
        ),
        _rate(
            "found corners within 1 % of the width",
            [each.corner_error <= 0.01 for each in found if each.corner_error is not None],
            0.9,
        ),
        _level("block pitch error, median", pitches, 50, 0.003),
        _level("block pitch error, 95th percentile", pitches, 95, 0.01),
        Row(
            "visible seams, mean F1",
            "at least 0.93",
            f"{np.mean(f1):.3f}" if f1 else "-",
            len(f1),
            bool(np.mean(f1) >= 0.93) if f1 else None,
        ),
        _share("visible turns found", turns[0], turns[1], 0.9),
        _share("false turns", turns[2], turns[3], 0.02, most=True),
    ]
    for way, of in (("given", given), ("found", found)):
        rows.append(
            _rate(
                f'"none" said where there is no grid, corners {way}',
                [not each.said_grid for each in of if each.has_grid is False],
                0.9,
            )
        )
        rows.append(
            _rate(
                f'"none" said where there is a grid, corners {way}',
                [not each.said_grid for each in grids[way]],
                0.02,
                most=True,
            )
        )
    _, error = calibration(scores)
    rows.append(
        Row(
            "expected calibration error of the grid's confidence",
            "at most 0.05",
            f"{error:.3f}",
            len(scores),
            error <= 0.05,
        )
    )
    by_change = [each.seams_by_change for each in grids["given"] if each.seams_by_change is not None]
    false_seams = [1 - each.seams[0] for each in grids["given"] if each.seams]
    rows += [
        Row("for scale: texel detection rate", "", f"{texel_hits / max(texel_all, 1):.1%}", int(texel_all), None),
        Row(
            "for scale: texel localization, median",
            "",
            f"{np.median(off):.2%} of a block" if off else "-",
            len(off),
            None,
        ),
        Row(
            "for scale: F1, seams sewn inside one fabric called false",
            "",
            f"{np.mean(by_change):.3f}" if by_change else "-",
            len(by_change),
            None,
        ),
        Row(
            "for scale: false seams, mean",
            "",
            f"{np.mean(false_seams):.1%}" if false_seams else "-",
            len(false_seams),
            None,
        ),
        Row(
            "for scale: corner error, median",
            "",
            _median([each.corner_error for each in found if each.corner_error is not None]),
            len(found),
            None,
        ),
        *fabric_rows([each.fabrics for each in grids["given"] if each.fabrics]),
    ]
    return rows


def fabric_rows(fabrics: Sequence[tuple[float, float, int, int]], of: str = "for scale") -> list[Row]:
    """Rows of how well patches are gathered into fabrics; nothing is wanted of them yet.

    Parameters
    ----------
    fabrics : sequence of (precision, recall, count, true count)
        Of pairs of patches said to be of one fabric, for each quilt.
    of : str, optional
        What the rows begin with.
    """
    many = len(fabrics)
    precision, recall, count, true = np.array(fabrics, dtype=np.float64).reshape(-1, 4).T
    off = np.abs(count / true - 1)
    return [
        Row(f"{of}: fabric pairs, precision, mean", "", f"{precision.mean():.3f}" if many else "-", many, None),
        Row(f"{of}: fabric pairs, recall, mean", "", f"{recall.mean():.3f}" if many else "-", many, None),
        Row(
            f"{of}: count of fabrics, relative error, median",
            "",
            f"{np.median(off):.1%}" if many else "-",
            many,
            None,
        ),
    ]


def _median(values: Sequence[float]) -> str:
    return f"{np.median(values):.2%} of the width" if values else "-"


def _share(name: str, part: int, whole: int, wanted: float, *, most: bool = False) -> Row:
    sign = "at most" if most else "at least"
    if not whole:
        return Row(name, f"{sign} {wanted:.0%}", "-", 0, None)
    rate = part / whole
    return Row(
        name, f"{sign} {wanted:.0%}", f"{rate:.1%}", int(whole), bool(rate <= wanted if most else rate >= wanted)
    )


def real_table(scores: Sequence[Score]) -> list[Row]:
    """The table for real photographs with a truth made by hand."""
    given = [each for each in scores if each.corners_from == "given" and each.has_grid]
    none = [not each.said_grid for each in scores if each.has_grid is False]
    corners = [each.corner_error <= 0.01 for each in scores if each.corner_error is not None]
    return [
        _rate("real photographs: rows and columns exact, corners given", [bool(each.lattice) for each in given], 0.8),
        Row(
            'real photographs: "none" said where there is no grid', "", f"{sum(none)} of {len(none)}", len(none), None
        ),
        Row(
            "real photographs: found corners within 1 %", "", f"{sum(corners)} of {len(corners)}", len(corners), None
        ),
    ]


@dataclass(frozen=True, slots=True)
class Bin:
    """One tenth of confidence: how many readings said so, what they said on average, how many were right."""

    low: float
    count: int
    said: float
    right: float


def calibration(scores: Sequence[Score]) -> tuple[list[Bin], float]:
    """Ten bins of the grid's confidence against how often it was right, and the expected calibration error.

    A reading that says "none" is right where there is no grid; its confidence is that of its "none".
    """
    known = [each for each in scores if each.has_grid is not None]
    said = np.array([each.confidence for each in known])
    right = np.array([bool(each.lattice) if each.said_grid else not each.has_grid for each in known], dtype=float)
    which = np.minimum((said * 10).astype(int), 9)
    bins, error = [], 0.0
    for number in range(10):
        inside = which == number
        count = int(inside.sum())
        mean, share = (float(said[inside].mean()), float(right[inside].mean())) if count else (0.0, 0.0)
        bins.append(Bin(number / 10, count, mean, share))
        error += count / max(len(known), 1) * abs(mean - share)
    return bins, error


def as_text(rows: Sequence[Row], *, markdown: bool = False) -> str:
    """Set rows as a table, for the screen or in Markdown."""
    heads = ("measure", "wanted", "reached", "n", "")
    marks = {True: "pass", False: "MISS", None: ""}
    cells = [heads, *((row.name, row.wanted, row.reached, str(row.count), marks[row.passed]) for row in rows)]
    widths = [max(len(line[column]) for line in cells) for column in range(len(heads))]
    lines = [" | ".join(cell.ljust(width) for cell, width in zip(line, widths, strict=True)) for line in cells]
    if markdown:
        lines = [f"| {line} |" for line in lines]
        lines.insert(1, "| " + " | ".join("-" * max(width, 3) for width in widths) + " |")
    return "\n".join(line.rstrip() for line in lines)


def bins_text(bins: Sequence[Bin], *, markdown: bool = False) -> str:
    """Set the confidence bins as a table."""
    rows = [
        f"{each.low:.1f} to {each.low + 0.1:.1f} | {each.count:4d} | {each.said:.2f} | {each.right:.2f}"
        for each in bins
    ]
    head = "confidence | n | said, mean | right"
    if markdown:
        return "\n".join([f"| {head} |", "| --- | --- | --- | --- |", *(f"| {row} |" for row in rows)])
    return "\n".join([head, *rows])


def misses(scores: Sequence[Score]) -> list[str]:
    """One line for each reading that is not right: what it is, what was read, how sure, and what was warned of."""
    lines = []
    for each in scores:
        wrong = (each.has_grid and not each.lattice) or (each.has_grid is False and each.said_grid)
        if wrong:
            said = f"; warned: {each.warnings[0]}" if each.warnings else ""
            lines.append(
                f"{each.name}, corners {each.corners_from}: {each.counts}, confidence {each.confidence:.2f}{_made(each)}{said}"
            )
        elif each.corner_error is not None and each.corner_error > 0.01:
            lines.append(f"{each.name}: corners off by {each.corner_error:.1%} of the width{_made(each)}")
    return lines


def _made(score: Score) -> str:
    told = [str(score.notes[key]) for key in ("kind", "design", "scrappiness", "ground") if key in score.notes]
    return f" ({', '.join(told)})" if told else ""
