"""Pictures of blocks."""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from functools import lru_cache

from seamlore.draft.block import Block, Patch
from seamlore.drawing.picture import Picture, picture
from seamlore.drawing.shapes import Area, Group, Paint, Shape, Text, box, gathered, moved, ring
from seamlore.errors import ShapeError
from seamlore.pictures.lettering import heart
from seamlore.pictures.palette import SEAM, place_cloths, written_on

_DIMMED = 0.16


def block_picture(
    block: Block,
    side_mm: float,
    cloths: Mapping[str, Paint] | None = None,
    *,
    only: Collection[int] | None = None,
    letters: bool = False,
    title: str = "",
) -> Picture:
    """Draw a block.

    Parameters
    ----------
    block : Block
    side_mm : float
        Side of the block on paper.
    cloths : mapping of str to paint, optional
        Cloth of each place; by value when not given (`palette.block_grays` for grays).
    only : collection of int, optional
        Indices of the patches that are shown; the rest stays as a shadow.
    letters : bool
        Letter each patch with its place.
    title : str
        The block's name when not given.

    Raises
    ------
    ShapeError
        When `only` names a patch that the block has not.

    Examples
    --------
    >>> from seamlore.draft.text.notation import read_block
    >>> four = read_block("block Four Patch\\nA dark\\nB light\\n\\nA B\\nB A")
    >>> block_picture(four, 40).description
    'Four Patch block, 2 divisions, 4 patches: A dark, B light.'
    >>> block_picture(four, 40, only=[7])
    Traceback (most recent call last):
        ...
    seamlore.errors.ShapeError: block Four Patch: patch 8: it has 4 patches; ...
    """
    margin = 0.3
    shapes = block_shapes(block, side_mm, cloths, only=only, letters=letters)
    size = side_mm + 2 * margin
    return picture(
        size,
        size,
        [moved(shapes, margin, margin)],
        title=title or block.name,
        description=describe(block),
    )


def describe(block: Block) -> str:
    """Say what a block looks like, for who cannot see it."""
    places = ", ".join(f"{letter} {place.value}" for letter, place in sorted(block.places.items()))
    divisions = f"{block.divisions} division{'s' if block.divisions != 1 else ''}"
    count = f"{len(block.patches)} patch{'es' if len(block.patches) != 1 else ''}"
    return f"{block.name} block, {divisions}, {count}: {places}."


def block_shapes(
    block: Block,
    side_mm: float,
    cloths: Mapping[str, Paint] | None = None,
    *,
    only: Collection[int] | None = None,
    letters: bool = False,
    seam_mm: float = 0.15,
) -> list[Shape]:
    """Draw the shapes of a block with its top left corner at 0, 0; as `block_picture`."""
    unknown = sorted(set(only or ()) - set(range(len(block.patches))))
    if unknown:
        raise ShapeError(
            f"patch {unknown[0] + 1}",
            f"it has {len(block.patches)} patches",
            "count patches from the top left, row by row",
            where=f"block {block.name}",
        )
    paints = cloths or place_cloths(block.places)
    shapes = patch_shapes(block.patches, side_mm, paints, only=only, letters=letters, seam_mm=seam_mm)
    if only is None:
        # The edge lies under the letters.
        under = len(shapes) - (len(block.patches) if letters else 0)
        shapes.insert(under, Area((box(0, 0, side_mm, side_mm),), None, SEAM, 2 * seam_mm))
    return shapes


def patch_shapes(
    patches: Sequence[Patch],
    side_mm: float,
    paints: Mapping[str, Paint],
    *,
    only: Collection[int] | None = None,
    letters: bool = False,
    labels: Sequence[str] = (),
    seam_mm: float = 0.15,
) -> list[Shape]:
    """Draw the shapes of patches, such as what the edge has left of a block, in a square of `side_mm`."""
    shown = [index for index in range(len(patches)) if only is None or index in only]
    shapes: list[Shape] = []
    if only is not None:
        rest = [each for index, each in enumerate(patches) if index not in only]
        shapes.append(Group(tuple(_sewn(rest, side_mm, paints, seam_mm)), opacity=_DIMMED))
    shapes += _sewn([patches[index] for index in shown], side_mm, paints, seam_mm)
    if letters:
        said = labels or [each.place for each in patches]
        shapes += [_letter(patches[index], said[index], side_mm, paints[patches[index].place]) for index in shown]
    return shapes


def patches_picture(
    patches: Sequence[Patch],
    side_mm: float,
    cloths: Mapping[str, Paint],
    *,
    only: Collection[int] | None = None,
    letters: bool = False,
    labels: Sequence[str] = (),
    title: str,
) -> Picture:
    """Draw patches that are sewn together, whatever outline they have together.

    Parameters
    ----------
    patches : sequence of Patch
        In parts of the square that they are drawn in, as `draft.groups.Group.patches` has them.
    side_mm : float
        Side of that square on paper; the picture is cut down to the patches.
    cloths : mapping of str to paint
        Cloth of each place.
    only, letters : as in `block_picture`
    labels : sequence of str
        What each patch is lettered with in the place of its letter, such as "A1".
    title : str

    Examples
    --------
    >>> from seamlore.draft.text.notation import read_block
    >>> two = read_block("block Two\\nA dark\\nB light\\n\\nA|B")
    >>> drawn = patches_picture(two.patches[:1], 40, place_cloths(two.places), title="half of Two")
    >>> drawn.width_mm, drawn.height_mm, drawn.description
    (20.6, 40.6, 'half of Two, 1 patch.')
    """
    margin = 0.3
    lefts, tops, rights, bottoms = zip(*(each.bounds for each in patches), strict=True)
    left, top = float(min(lefts)) * side_mm, float(min(tops)) * side_mm
    width, height = float(max(rights)) * side_mm - left, float(max(bottoms)) * side_mm - top
    shapes = patch_shapes(patches, side_mm, cloths, only=only, letters=letters, labels=labels)
    count = f"{len(patches)} patch{'es' * (len(patches) != 1)}"
    return picture(
        width + 2 * margin,
        height + 2 * margin,
        [moved(shapes, margin - left, margin - top)],
        title=title,
        description=f"{title}, {count}.",
    )


def _sewn(patches: Sequence[Patch], side: float, paints: Mapping[str, Paint], seam_mm: float) -> list[Shape]:
    rings = [(ring(each.points * side), paints[each.place]) for each in patches]
    shapes: list[Shape] = list(gathered(rings))
    if rings:
        shapes.append(Area(tuple(outline for outline, _ in rings), None, SEAM, seam_mm))
    return shapes


def _letter(patch: Patch, said: str, side_mm: float, paint: Paint) -> Text:
    x, y, clearance = _heart_of(patch, side_mm)
    size = max(4.5 if len(said) == 1 else 3.6, min(11.0, clearance * 2.2 * 1.6 / (0.6 + len(said))))
    ink, halo = written_on(paint)
    return Text(x, y, said, size, "middle", True, "semibold", fill=ink, halo=halo)


# Most patches of a block stay as they are from one edit to the next.
@lru_cache(maxsize=2048)
def _heart_of(patch: Patch, side_mm: float) -> tuple[float, float, float]:
    return heart(patch.points * side_mm)
