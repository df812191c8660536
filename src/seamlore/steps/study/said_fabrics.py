"""What a user said of the fabrics that a photograph shows: their names, which are one cloth, which are two."""

from __future__ import annotations

from typing import Annotated

import msgspec

Spot = tuple[int, int]
Color = Annotated[str, msgspec.Meta(pattern="^#[0-9a-f]{6}$")]


class ClothPart(msgspec.Struct, frozen=True, kw_only=True):
    """Patches of one fabric as it was told apart, or some of them.

    Attributes
    ----------
    srgb
        The color of that fabric as it was read then.
    spots
        A point inside each patch, in pixels of the upright photograph, so that a corner that is moved does not move it.
    """

    srgb: Color
    spots: tuple[Spot, ...] = ()


class SaidFabric(msgspec.Struct, frozen=True, kw_only=True):
    """One fabric of which something was said.

    Attributes
    ----------
    name
        What it is called; empty where it was given no name.
    parts
        Of which fabrics told apart it was made, several where they were merged.
    by_hand
        Whether its patches were picked one by one out of a fabric told apart.
    """

    name: str = ""
    parts: tuple[ClothPart, ...] = ()
    by_hand: bool = False


class FoundFabrics(msgspec.Struct, frozen=True, kw_only=True):
    """All that was said of the fabrics of the photograph.

    Attributes
    ----------
    said
        The fabrics that were named, merged or split.
    others
        A point inside each patch of all other fabrics when that was said: where these lay, none of `said` did.
    of
        The reference of the photograph that it was said of; empty when it is of whichever is read.
    """

    said: tuple[SaidFabric, ...] = ()
    others: tuple[Spot, ...] = ()
    of: str = ""
