"""Two to four quilts side by side: the same figures of each, and what they differ in."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

from seamlore.draft.catalogue import find
from seamlore.draft.text.quilt_file import read_quilt
from seamlore.drawing.picture import Picture, picture
from seamlore.drawing.shapes import moved
from seamlore.errors import SeamloreError
from seamlore.pictures.quilts import quilt_picture
from seamlore.shelf.shelf import Shelf
from seamlore.steps.shelf.figures import Figures
from seamlore.steps.shelf.find import Shown, shown
from seamlore.steps.shelf.measures import length_words, ratio, size_words

LEAST, MOST = 2, 4
_WIDE_MM, _HIGH_MM = 120.0, 150.0


@dataclass(frozen=True, slots=True)
class Row:
    """One line of the comparison: what it is, what it is of each quilt, how it is known."""

    what: str
    values: tuple[str, ...]
    known: str
    differs: bool


@dataclass(frozen=True, slots=True)
class Compared:
    """Quilts side by side: each as it stands in lists, as drafted at one scale (None where it has no draft), the lines."""

    quilts: tuple[Shown, ...]
    drafts: tuple[Picture | None, ...]
    rows: tuple[Row, ...]
    scale: str

    @property
    def says(self) -> str:
        """In how much they differ."""
        differ = [row.what for row in self.rows if row.differs]
        if not differ:
            return "Nothing that was measured tells them apart."
        return f"They differ in {', '.join(differ[:5])}{' and more' if len(differ) > 5 else ''}."


def compare(shelf: Shelf, numbers: Sequence[int]) -> Compared:
    """Set quilts side by side.

    Parameters
    ----------
    shelf : Shelf
    numbers : sequence of int
        Two to four; those not on the shelf are left out.
    """
    quilts = shown(shelf, numbers)
    sizes = [each.facts.figures.size for each in quilts if each.facts.figures and each.facts.figures.size]
    most = max((max(size) for size in sizes), default=0.0)
    drafts = tuple(draft_picture(each, most) for each in quilts)
    rows = tuple(row for what, known, say in ROWS if (row := _row(what, known, say, quilts)))
    scale = "All are drawn at one scale." if len([each for each in drafts if each]) > 1 else ""
    return Compared(quilts, drafts, rows, scale)


def draft_picture(
    quilt: Shown, most_in: float = 0.0, *, wide_mm: float = _WIDE_MM, high_mm: float = _HIGH_MM
) -> Picture | None:
    """Draw a quilt from what its card keeps; None where it has no draft.

    Parameters
    ----------
    quilt : Shown
    most_in : float
        The longest side of the largest quilt that it stands beside, in inches, so that both are drawn at one scale; 0
        draws it as large as goes.
    """
    figures = quilt.facts.figures
    if figures is None or not figures.draft or figures.size is None:
        return None
    try:
        drafted = read_quilt(figures.draft, find_block=find)
    except SeamloreError:
        # Written by a version that knew more blocks.
        return None
    if not most_in:
        return quilt_picture(drafted, wide_mm, high_mm, figures.cloths, dimensions=False, title=quilt.name)
    side = min(wide_mm, high_mm)
    own = [max(part / most_in, 0.05) * side for part in figures.size]
    drawn = quilt_picture(drafted, own[0], own[1], figures.cloths, dimensions=False, title=quilt.name)
    # On a ground of one size, so that pages that make it as wide as its place keep the scale.
    at = ((side - drawn.width_mm) / 2, side - drawn.height_mm)
    return picture(side, side, [moved(drawn.shapes, *at)], title=drawn.title, description=drawn.description)


def _row(what: str, known: str, say: Callable[[Shown, Figures], str], quilts: Sequence[Shown]) -> Row | None:
    values = tuple(say(each, each.facts.figures) if each.facts.figures else "" for each in quilts)
    if not any(values):
        return None
    told = [value for value in values if value]
    return Row(what, tuple(value or "not known" for value in values), known, len(set(told)) > 1)


def _percent(part: float | None) -> str:
    return "" if part is None else f"{100 * part:.0f} %"


def _lengths(pair: tuple[float, float] | None, unit: str) -> str:
    if pair is None:
        return ""
    return length_words(pair[0], unit) if pair[0] == pair[1] else size_words(pair, unit)


def _sashing(figures: Figures, unit: str) -> str:
    if figures.sashing is None:
        return ""
    return _lengths(figures.sashing, unit) if any(figures.sashing) else "none"


def _or_none(value: float | None, unit: str) -> str:
    if value is None:
        return ""
    return length_words(value, unit) if value else "none"


def _blocks(figures: Figures) -> str:
    counted = zip(figures.blocks, figures.counted, strict=False)
    return ", ".join(f"{name} ({count})" for name, count in counted)


def _number(value: float | None, unit: str = "") -> str:
    return "" if value is None else f"{value:.2g}{unit}"


# What is compared: what it is, how it is known, how it is said.
ROWS: tuple[tuple[str, str, Callable[[Shown, Figures], str]], ...] = (
    ("blocks", "drafted", lambda each, f: _blocks(f)),
    ("rows and columns", "drafted", lambda each, f: f"{f.rows} by {f.columns}" if f.rows else ""),
    ("setting", "drafted", lambda each, f: f.setting),
    ("size", "by tape", lambda each, f: size_words(f.measured, each.facts.unit) if f.measured else ""),
    ("size as drafted", "computed", lambda each, f: size_words(f.size, each.facts.unit) if f.size else ""),
    ("block", "finished, as drafted", lambda each, f: _lengths(f.block, each.facts.unit)),
    ("sashing", "finished, as drafted", lambda each, f: _sashing(f, each.facts.unit)),
    (
        "sashing to block",
        "computed",
        lambda each, f: f"1 to {1 / r:.1f}" if (r := ratio(f)) else "none" * bool(f.sashing),
    ),
    ("border", "as drafted", lambda each, f: _or_none(f.border, each.facts.unit)),
    ("fabrics told apart", "measured on the photograph", lambda each, f: str(f.fabrics) if f.fabrics else ""),
    ("the commonest fabric", "part of all patches", lambda each, f: _percent(f.commonest)),
    ("contrast", "L* of light over dark, on the photograph", lambda each, f: _number(f.contrast)),
    ("blocks that lie turned", "measured on the photograph", lambda each, f: _percent(f.turned)),
    ("blocks that differ", "measured on the photograph", lambda each, f: _percent(f.differing)),
    (
        "drift of the blocks",
        "root mean square, measured on the photograph",
        lambda each, f: length_words(f.drift, each.facts.unit) if f.drift is not None else "",
    ),
    ("cut down", "from the sums", lambda each, f: {True: "yes", False: "no", None: ""}[f.cut]),
    ("when", "dated from its evidence", lambda each, f: f.headline),
    ("condition", "as assessed", lambda each, f: each.facts.condition),
    ("decision", "hers", lambda each, f: each.facts.decision),
    ("acquired", "as told", lambda each, f: each.facts.acquired),
)
