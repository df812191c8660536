"""What a quilt is made of: its fabrics as the photograph tells them apart, and how well it can."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from seamlore.color.difference import delta_e_2000
from seamlore.color.lab import srgb_to_lab
from seamlore.photo.fabric.linkage import average_linkage
from seamlore.photo.reading import Reading, SeenFabric

# Two fabrics whose colors differ by less may be one, faded or in shade in one place. Our own judgement: on the demo
# quilt, of 46 fabrics, it leaves 32 of the 51 that are told apart; no published figure was found.
_MAYBE_ONE = 5.0


@dataclass(frozen=True, slots=True)
class FabricFacts:
    """One fabric as seen.

    Parameters
    ----------
    fabric : SeenFabric
    patches, blocks : int
        How many patches are cut from it, and in how many blocks they lie.
    """

    fabric: SeenFabric
    patches: int
    blocks: int

    @property
    def words(self) -> str:
        """How often it comes.

        Examples
        --------
        >>> seen = SeenFabric(id="F1", srgb="#e5d8c2", value="light", patches=((0, 0, 1), (0, 0, 2), (3, 1, 0)))
        >>> fabric_facts([seen])[0].words
        '3 patches in 2 blocks'
        """
        patches = f"{self.patches} patch{'es' * (self.patches != 1)}"
        return f"{patches} in {self.blocks} block{'s' * (self.blocks != 1)}"


def fabric_facts(fabrics: Sequence[SeenFabric]) -> tuple[FabricFacts, ...]:
    """Count each fabric's patches and blocks, the commonest first."""
    facts = [
        FabricFacts(each, len(each.everywhere), len({tuple(at) for *at, _ in each.everywhere})) for each in fabrics
    ]
    return tuple(sorted(facts, key=lambda each: (-each.patches, -each.blocks)))


def called(fabrics: Sequence[SeenFabric]) -> list[str]:
    """Say what each fabric is called, in the order given: by its name, or by its place among all.

    Examples
    --------
    >>> two = SeenFabric(id="F1", srgb="#33456a", value="dark", patches=((0, 0, 0), (0, 0, 1)))
    >>> one = SeenFabric(id="F2", srgb="#efe7d7", value="light", patches=((0, 0, 2),), name="old muslin")
    >>> called([one, two])
    ['old muslin', 'Fabric 1']
    """
    order = {id(each.fabric): number for number, each in enumerate(fabric_facts(fabrics), start=1)}
    return [each.name or f"Fabric {order[id(each)]}" for each in fabrics]


def fewest(fabrics: Sequence[SeenFabric]) -> int:
    """Count fabrics when those of nearly one color are taken for one.

    Parameters
    ----------
    fabrics : sequence of SeenFabric

    Returns
    -------
    int
        At least 1 when there is a fabric; two prints of one color are then counted as one.

    Examples
    --------
    >>> colors = ("#33456a", "#34466b", "#efe7d7")
    >>> fewest([SeenFabric(id=color, srgb=color, value="dark", patches=((0, 0, 0),)) for color in colors])
    2
    >>> fewest([])
    0
    """
    return len(set(maybe_one(fabrics)))


def maybe_one(fabrics: Sequence[SeenFabric]) -> list[int]:
    """Give each fabric the number of the first of those that may be one with it, apart only in light or wear.

    Examples
    --------
    >>> colors = ("#efe7d7", "#33456a", "#34466b")
    >>> maybe_one([SeenFabric(id=color, srgb=color, value="dark", patches=((0, 0, 0),)) for color in colors])
    [0, 1, 1]
    """
    if not fabrics:
        return []
    sizes = np.array([len(each.everywhere) for each in fabrics], dtype=np.float64)
    label = average_linkage(_apart(fabrics).astype(np.float32), sizes, _MAYBE_ONE).tolist()
    return [label.index(each) for each in label]


def alike(fabrics: Sequence[SeenFabric]) -> list[list[int]]:
    """List for each fabric those of nearly its color, the nearest first, by their place in the list.

    Examples
    --------
    >>> colors = ("#33456a", "#34466b", "#efe7d7")
    >>> alike([SeenFabric(id=color, srgb=color, value="dark", patches=((0, 0, 0),)) for color in colors])
    [[1], [0], []]
    >>> alike([])
    []
    """
    if not fabrics:
        return []
    near = [(row, np.flatnonzero(row < _MAYBE_ONE)) for row in _apart(fabrics)]
    return [[int(other) for other in sorted(others, key=lambda other: row[other])] for row, others in near]


def _apart(fabrics: Sequence[SeenFabric]) -> NDArray[np.float64]:
    """How far every two fabrics differ in color, CIEDE2000; a fabric from itself without end."""
    lab = srgb_to_lab([[int(each.srgb[at : at + 2], 16) / 255 for at in (1, 3, 5)] for each in fabrics])
    apart = np.asarray(delta_e_2000(lab[:, None], lab[None]), dtype=np.float64)
    np.fill_diagonal(apart, np.inf)
    return apart


def answer(reading: Reading) -> str:
    """Say how many fabrics there are, and how sure that is.

    Examples
    --------
    >>> bare = dict(photo_size=(9, 9), corners=((0, 0), (9, 0), (9, 9), (0, 9)), corners_from="given", size=(70, 80))
    >>> answer(Reading(**bare, unit="in", setting="none"))
    'No fabrics were told apart: that takes a block that repeats.'
    >>> one = SeenFabric(id="F1", srgb="#33456a", value="dark", patches=((0, 0, 0),))
    >>> answer(Reading(**bare, unit="in", setting="straight", fabrics=(one,)))
    'One fabric, as far as a photograph can tell'
    """
    fabrics = reading.fabrics or ()
    if not fabrics:
        return "No fabrics were told apart: that takes a block that repeats."
    if len(fabrics) == 1:
        return "One fabric, as far as a photograph can tell"
    repeated = sum(len(each.everywhere) > 1 for each in fabrics)
    # No bound: a cloth faded in one place counts twice, and two prints that look alike count once.
    return f"{len(fabrics)} fabrics told apart; {repeated} of them come more than once"
