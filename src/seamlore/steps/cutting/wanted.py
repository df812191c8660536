"""What is to be cut, and how it is wanted: pieces, the stash, how much more fabric few settings of the ruler may take."""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from fractions import Fraction
from typing import Literal

from seamlore.errors import PlanError
from seamlore.fabric.shop import checked_shrinkage
from seamlore.fabric.stash import Stash
from seamlore.lengths import Length
from seamlore.packing.cuts import LAYERS
from seamlore.packing.plan import SHARE, THOROUGH, Effort

Which = Literal["simple", "frugal", "fitting"]
MOST_SHARE = 0.5
MOST_LAYERS = 12


@dataclass(frozen=True, slots=True)
class Piece:
    """Equal pieces to cut.

    Parameters
    ----------
    name : str
    width, height : Length
        Cut sizes, across the fabric and along it.
    count : int
    may_turn : bool
        Whether they may also lie the other way round: not with a one-way print, nor where the grain matters.
    repeat : tuple of Length or None
        How far apart the motifs stand, across and along, that these are cut around.
    where : str
        Where they were asked for, for messages.
    """

    name: str
    width: Length
    height: Length
    count: int
    may_turn: bool
    repeat: tuple[Length, Length] | None = None
    where: str = ""

    def like(self, other: Piece) -> bool:
        """Whether both are one kind, however many of each are wanted."""
        return replace(self, count=1, where="") == replace(other, count=1, where="")

    def times(self, count: int) -> Piece:
        """Give the same kind, so many of it."""
        return replace(self, count=count)


@dataclass(frozen=True, slots=True)
class Wishes:
    """How cutting is wanted.

    Parameters
    ----------
    which : str
        Which plan is followed: that with the fewest settings of the ruler, that with the least fabric, or one between:
        few settings, but no more bought than for the frugal one as shops round it, or than plain strips take.
    share : float
        How much more fabric the simple plan may take, as a part of the frugal one.
    stash : Stash
        Used first.
    buying : bool
        Whether more can be bought.
    shrinkage : Fraction
        Which part of its width and length bought fabric loses when it is washed before it is cut.
    layers : int
        How many are cut at once.
    effort : Effort
        How long a short layout is looked for.
    plain : Length or None
        What strips reckoned kind by kind take, where that is known.
    """

    which: Which = "fitting"
    share: float = SHARE
    stash: Stash = field(default_factory=Stash)
    buying: bool = True
    shrinkage: Fraction = Fraction(0)
    layers: int = LAYERS
    effort: Effort = THOROUGH
    plain: Length | None = None


def wishes_for(
    which: Which | str,
    *,
    stash: Stash | None = None,
    buying: bool = True,
    share: float | Fraction = SHARE,
    shrinkage: float | Fraction = 0,
    layers: int = LAYERS,
    effort: Effort = THOROUGH,
) -> Wishes:
    """Put wishes together, each checked.

    Parameters
    ----------
    which, stash, buying, share, shrinkage, layers, effort
        As `Wishes` takes them.

    Raises
    ------
    PlanError
        When one of them is beyond what can be cut.

    Examples
    --------
    >>> wishes_for("simple", shrinkage=Fraction(3, 100)).shrinkage
    Fraction(3, 100)
    """
    return Wishes(
        which,  # type: ignore[arg-type]
        checked_share(float(share)),
        stash or Stash(),
        buying,
        checked_shrinkage(Fraction(shrinkage)),
        checked_layers(layers),
        effort,
    )


def checked_share(share: float) -> float:
    """Give the share of extra fabric back, or refuse one that no plan needs.

    Examples
    --------
    >>> checked_share(0.05)
    0.05
    >>> checked_share(-0.01)
    Traceback (most recent call last):
        ...
    seamlore.errors.PlanError: -1 % of extra fabric: it is 0 to 50 %; 5 % is the usual
    """
    if not 0 <= share <= MOST_SHARE:
        raise PlanError(
            f"{share * 100:g} % of extra fabric", f"it is 0 to {MOST_SHARE * 100:g} %", "5 % is the usual"
        )
    return share


def checked_layers(layers: int) -> int:
    """Give the number of layers back, or refuse one that no blade goes through.

    Examples
    --------
    >>> checked_layers(4)
    4
    >>> checked_layers(0)
    Traceback (most recent call last):
        ...
    seamlore.errors.PlanError: 0 layers: a blade goes through 1 to 12; 4 are usual
    """
    if not 1 <= layers <= MOST_LAYERS:
        raise PlanError(f"{layers} layers", f"a blade goes through 1 to {MOST_LAYERS}", "4 are usual")
    return layers
