"""What `seamlore draft` draws: a block, a quilt, units, names, sizes side by side, placed fabrics."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING

from seamlore.draft.block import Block, Value
from seamlore.draft.naming.naming import Match
from seamlore.draft.quilt import Quilt
from seamlore.drawing.picture import Picture, picture
from seamlore.drawing.shapes import Area, Color, Shape, box, moved
from seamlore.errors import ShapeError, nearest
from seamlore.pictures.blocks import block_picture
from seamlore.pictures.names import names_picture
from seamlore.pictures.palette import SEAM, place_cloths
from seamlore.pictures.quilts import quilt_picture
from seamlore.pictures.tiles import Tile, tiles
from seamlore.pictures.units import units_picture
from seamlore.pictures.variants import variants_picture
from seamlore.steps.draft.understand import BlockFacts, differs_words, match_words
from seamlore.steps.draft.vary import Tried, tried_notes
from seamlore.steps.edit.recolor import grays

if TYPE_CHECKING:
    from seamlore.steps.fabrics.place import FabricsPlaced  # the optimizer

_WIDTH_MM, _HEIGHT_MM = 180.0, 240.0
_BLOCK_MM = 90.0
_SWATCH_MM = 9.0


def drawn(
    given: Block | Quilt,
    colors: Mapping[str, Color] | None = None,
    *,
    gray: bool = False,
    values: Mapping[str, Value] | None = None,
) -> Picture:
    """Draw a block with its letters, or a quilt with its sizes.

    Parameters
    ----------
    given : Block or Quilt
    colors : mapping of str to str, optional
        By place or by fabric; the rest is chosen.
    gray : bool
        By value only, as one squints to see light and dark.
    values : mapping of str to {"light", "medium", "dark"}, optional
        Values of what is not a place, for `gray`.

    Examples
    --------
    >>> from seamlore.draft.catalogue import find
    >>> drawn(find("shoo fly")).description
    'Shoo Fly block, 3 divisions, 13 patches: A light, B dark.'
    """
    tones = grays(given, values) if gray else None
    if isinstance(given, Block):
        cloths = tones if isinstance(tones, dict) else block_cloths(given, colors)
        return block_picture(given, _BLOCK_MM, cloths, letters=True)
    return quilt_picture(given, _WIDTH_MM, _HEIGHT_MM, colors, coloring=tones if isinstance(tones, tuple) else None)


def block_cloths(block: Block, colors: Mapping[str, Color] | None) -> dict[str, Color] | None:
    """Give every place of a block its cloth, the given colors first; None leaves it to the picture.

    Examples
    --------
    >>> from seamlore.draft.catalogue import find
    >>> sorted(block_cloths(find("shoo fly"), {"A": "#ffffff"})), block_cloths(find("shoo fly"), {})
    (['A', 'B'], None)
    """
    return {**place_cloths(block.places), **colors} if colors else None


def units_drawn(facts: BlockFacts, only: str = "", colors: Mapping[str, Color] | None = None) -> Picture:
    """Draw the units of a block with the rest dimmed: each kind once, or one unit alone.

    Parameters
    ----------
    facts : BlockFacts
    only : str
        The number of one unit, from 1 in reading order, or a kind of unit; all kinds when empty.
    colors : mapping of str to str, optional

    Raises
    ------
    ShapeError
        When the block has no such unit.

    Examples
    --------
    >>> from seamlore.draft.catalogue import find
    >>> from seamlore.steps.draft.understand import of_block
    >>> facts = of_block(find("jacob's ladder"))
    >>> units_drawn(facts, "1").title
    "Jacob's Ladder: unit 1, four patch"
    >>> units_drawn(facts, "geese")
    Traceback (most recent call last):
        ...
    seamlore.errors.ShapeError: "geese" in Jacob's Ladder: it has 9 units; choose one of: 1, 2, ...
    """
    block, found = facts.block, facts.units
    cloths = block_cloths(block, colors)
    if not only or only == "all":
        return units_picture(block, found, _WIDTH_MM, cloths)
    kinds = {unit.kind for unit in found}
    if only in kinds:
        same = [index for unit in found if unit.kind == only for index in unit.patches]
        return block_picture(block, _BLOCK_MM, cloths, only=same, title=f"{block.name}: {only}")
    numbers = [str(number) for number in range(1, len(found) + 1)]
    if only not in numbers:
        known = [*numbers, *sorted(kinds)]
        raise ShapeError(
            f'"{only}" in {block.name}',
            f"it has {len(found)} unit{'s' * (len(found) != 1)}",
            nearest(only, known) if known else "draw the block itself",
        )
    unit = found[int(only) - 1]
    return block_picture(block, _BLOCK_MM, cloths, only=unit.patches, title=f"{block.name}: unit {only}, {unit.kind}")


def names_drawn(facts: BlockFacts, colors: Mapping[str, Color] | None = None) -> Picture:
    """Draw a block beside the entries of the catalogue that it is or comes near to.

    Examples
    --------
    >>> from seamlore.draft.catalogue import find
    >>> from seamlore.steps.draft.understand import of_block
    >>> names_drawn(of_block(find("pinwheel"))).title
    'Names for Pinwheel'
    """

    def words(match: Match) -> list[str]:
        also = f"also {', '.join(match.names[1:])}" if match.names[1:] else ""
        ways = match_words(match).partition(": ")[2]
        return [part for part in (match.names[0], also, ways, differs_words(match)) if part]

    return names_picture(facts.block, facts.matches, _WIDTH_MM, block_cloths(facts.block, colors), words=words)


def tried_drawn(tried: Sequence[Tried], colors: Mapping[str, Color] | None = None) -> Picture:
    """Draw variants side by side at one scale, with their proportions under them.

    Examples
    --------
    >>> from seamlore.draft.catalogue import find
    >>> from seamlore.draft.repeated import repeated
    >>> from seamlore.lengths import inches
    >>> from seamlore.steps.draft.vary import try_sizes
    >>> quilt = repeated("Porch", find("shoo fly"), inches(9), inches(9), 2, 2)
    >>> tried_drawn(try_sizes(quilt, ["sashing 1in 2in"])).title
    'Porch, 2 ways'
    """
    return variants_picture([each.variant for each in tried], _WIDTH_MM, colors, notes=tried_notes(tried))


def placed_drawn(placed: FabricsPlaced) -> Picture:
    """Draw a quilt with its fabrics placed, and under it a swatch of each fabric and how many patches it gave.

    Examples
    --------
    >>> from seamlore.draft.catalogue import find
    >>> from seamlore.draft.repeated import repeated
    >>> from seamlore.lengths import inches
    >>> from seamlore.steps.draft.words import scrappy
    >>> from seamlore.steps.fabrics.place import place
    >>> from seamlore.steps.fabrics.table import read_fabrics
    >>> quilt = repeated("Porch", scrappy(find("four patch"), "B"), inches(4), inches(4), 2, 2)
    >>> table = "fabric,value,patches\\np,dark,4\\nq,dark,4\\n"
    >>> placed_drawn(place(quilt, read_fabrics(table))).description
    'Porch: 2 rows of 2 Four Patch blocks, 8 x 8 in finished. Fabrics: p, 4 patches; q, 4 patches.'
    """
    whole = quilt_picture(placed.quilt, _WIDTH_MM - 0.8, _HEIGHT_MM * 0.8, coloring=placed.coloring)
    used = placed.placement.used
    said = [(fabric.cloth.name, used.get(fabric.cloth.name, 0)) for fabric in placed.fabrics]
    swatches = [
        Tile(_swatch(placed.swatches[name]), 24, _SWATCH_MM, (name, f"{count} patch{'es' * (count != 1)}"))
        for name, count in said
    ]
    legend = tiles(swatches, _WIDTH_MM, title="Fabrics", description="Fabrics.")
    listed = "; ".join(f"{name}, {count} patch{'es' * (count != 1)}" for name, count in said)
    left = (_WIDTH_MM - whole.width_mm) / 2
    return picture(
        _WIDTH_MM,
        whole.height_mm + 5 + legend.height_mm,
        [moved(whole.shapes, left, 0), moved(legend.shapes, 0, whole.height_mm + 5)],
        title=placed.quilt.name,
        description=f"{whole.description} Fabrics: {listed}.",
    )


def _swatch(color: Color) -> tuple[Shape, ...]:
    return (Area((box(0, 0, _SWATCH_MM * 1.6, _SWATCH_MM),), color, SEAM, 0.15),)
