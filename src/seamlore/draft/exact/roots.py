"""Exact numbers for drafting: fractions, and fractions with a part of the square root of two.

An eight-pointed star cannot be drafted on a grid: where its points touch the edge, the side is divided 1 : sqrt 2 : 1.
Such numbers make a field of their own, so that blocks drafted with them are as exact as any other. A number with no
root part is always a plain `Fraction`, which stays as quick as it was.
"""

from __future__ import annotations

from collections.abc import Iterable
from fractions import Fraction
from functools import lru_cache
from math import gcd, isqrt, sqrt
from typing import Final

Rational = int | Fraction


class Root2:
    """An exact number (p + q sqrt 2) / denominator whose root part is not 0.

    Parameters
    ----------
    p, q, denominator : int
        Without a common divisor; q is not 0, the denominator is more than 0. Made by arithmetic from `SQRT2`, or by `exact`.

    Examples
    --------
    >>> SQRT2 * SQRT2, (1 + SQRT2) * (SQRT2 - 1)
    (Fraction(2, 1), Fraction(1, 1))
    >>> 1 / (2 + SQRT2)
    Root2('1-sqrt2/2')
    >>> 1 < SQRT2 < Fraction(3, 2), SQRT2 == 1 + SQRT2 - 1
    (True, True)
    """

    __slots__ = ("_float", "_hash", "denominator", "p", "q")

    def __init__(self, p: int, q: int, denominator: int = 1) -> None:
        self.p, self.q, self.denominator = p, q, denominator
        self._hash = -1
        self._float: float | None = None

    def __add__(self, other: Exact | int) -> Exact:
        if isinstance(other, Root2):
            return _made(
                self.p * other.denominator + other.p * self.denominator,
                self.q * other.denominator + other.q * self.denominator,
                self.denominator * other.denominator,
            )
        if not other:
            return self
        if isinstance(other, Rational):
            below = other.denominator
            return _made(
                self.p * below + other.numerator * self.denominator, self.q * below, self.denominator * below
            )
        return NotImplemented

    __radd__ = __add__

    def __neg__(self) -> Root2:
        return Root2(-self.p, -self.q, self.denominator)

    def __sub__(self, other: Exact | int) -> Exact:
        if isinstance(other, Root2):
            return _made(
                self.p * other.denominator - other.p * self.denominator,
                self.q * other.denominator - other.q * self.denominator,
                self.denominator * other.denominator,
            )
        return self + -other

    def __rsub__(self, other: Rational) -> Exact:
        return -self + other

    def __mul__(self, other: Exact | int) -> Exact:
        if isinstance(other, Root2):
            p, q = self.p * other.p + 2 * self.q * other.q, self.p * other.q + self.q * other.p
            return _made(p, q, self.denominator * other.denominator)
        # Most lines run along the edges or at half a right angle to them.
        if other == 1:
            return self
        if isinstance(other, Rational):
            return _made(self.p * other.numerator, self.q * other.numerator, self.denominator * other.denominator)
        return NotImplemented

    __rmul__ = __mul__

    def __truediv__(self, other: Exact | int) -> Exact:
        if isinstance(other, Root2):
            return self * other._inverse()
        if isinstance(other, Rational):
            return self * Fraction(other.denominator, other.numerator)
        return NotImplemented

    def __rtruediv__(self, other: Rational) -> Exact:
        return self._inverse() * other

    def _inverse(self) -> Root2:
        # Never 0: twice a square is no square.
        below = self.p * self.p - 2 * self.q * self.q
        return _lowest(self.denominator * self.p, -self.denominator * self.q, below)

    def __pow__(self, power: int) -> Exact:
        found: Exact = Fraction(1)
        for _ in range(abs(power)):
            found = found * self
        return found if power >= 0 else 1 / found

    def __abs__(self) -> Root2:
        return self if self._sign() > 0 else -self

    def __bool__(self) -> bool:
        return True

    def _sign(self) -> int:
        """1 or -1: which of its two parts weighs more."""
        p, q = self.p, self.q
        if p >= 0 and q > 0:
            return 1
        if p <= 0 and q < 0:
            return -1
        return 1 if (p * p > 2 * q * q) == (p > 0) else -1

    def __eq__(self, other: object) -> bool:
        if isinstance(other, Root2):
            return self.p == other.p and self.q == other.q and self.denominator == other.denominator
        return False if isinstance(other, Rational) else NotImplemented

    def __hash__(self) -> int:
        if self._hash == -1:
            self._hash = hash((self.p, self.q, self.denominator))
        return self._hash

    def _compared(self, other: Exact | int) -> int:
        """The sign of the difference to another number."""
        # Floats tell most numbers apart; the exact difference is only worked out where they are nearly the same.
        here = self._float
        if here is None:
            here = float(self)
        there = float(other)
        off = here - there
        near = 1e-9 * (abs(here) + abs(there))
        if off > near:
            return 1
        if off < -near:
            return -1
        if isinstance(other, Root2) and self == other:
            return 0
        left = self - other
        return left._sign() if isinstance(left, Root2) else (left > 0) - (left < 0)

    def __lt__(self, other: Exact | int) -> bool:
        return self._compared(other) < 0

    def __le__(self, other: Exact | int) -> bool:
        return self._compared(other) <= 0

    def __gt__(self, other: Exact | int) -> bool:
        return self._compared(other) > 0

    def __ge__(self, other: Exact | int) -> bool:
        return self._compared(other) >= 0

    def __float__(self) -> float:
        if self._float is None:
            self._float = self._as_float()
        return self._float

    def _as_float(self) -> float:
        if abs(self.p) < 2**40 and abs(self.q) < 2**40:
            # Where the two parts all but cancel, floats would lose what is left of them.
            if (self.p < 0) == (self.q < 0):
                return (self.p + self.q * sqrt(2)) / self.denominator
            below = self.p - self.q * sqrt(2)
            return (self.p * self.p - 2 * self.q * self.q) / below / self.denominator
        return float(Fraction(self._floor(2**64), 2**64))

    def _floor(self, parts: int = 1) -> int:
        """How many whole parts fit, when 1 is so many parts."""
        p, q = self.p * parts, self.q * parts
        root = isqrt(2 * q * q)
        return (p + (root if q > 0 else -root - 1)) // self.denominator

    def __floor__(self) -> int:
        return self._floor()

    def __ceil__(self) -> int:
        return self._floor() + 1

    def __round__(self, _digits: None = None) -> int:
        return (self + Fraction(1, 2)).__floor__()

    def __repr__(self) -> str:
        return f"Root2({str(self)!r})"

    def __str__(self) -> str:
        return written(self)


# A coordinate of a draft.
Exact = Fraction | Root2
SQRT2: Final = Root2(0, 1)


def _made(p: int, q: int, d: int) -> Exact:
    return Fraction(p, d) if q == 0 else _lowest(p, q, d)


def _lowest(p: int, q: int, d: int) -> Root2:
    common = gcd(p, q, d)
    if d < 0:
        common = -common
    return Root2(p // common, q // common, d // common) if common != 1 else Root2(p, q, d)


def exact(number: Exact | int) -> Exact:
    """Give a whole number, a fraction or a number with a root as what a draft counts with.

    Examples
    --------
    >>> exact(3), exact(SQRT2)
    (Fraction(3, 1), Root2('sqrt2'))
    """
    return number if isinstance(number, Fraction | Root2) else Fraction(number)


def parts_of(number: Exact | int) -> tuple[Fraction, Fraction]:
    """Part a number into its plain part and how often it has the root.

    Examples
    --------
    >>> parts_of(1 + SQRT2 / 2)
    (Fraction(1, 1), Fraction(1, 2))
    """
    if isinstance(number, Root2):
        return Fraction(number.p, number.denominator), Fraction(number.q, number.denominator)
    return Fraction(number), Fraction(0)


def absolute(number: Exact) -> Exact:
    """Give a number without its sign.

    Examples
    --------
    >>> absolute(1 - SQRT2), absolute(Fraction(-1, 2))
    (Root2('sqrt2-1'), Fraction(1, 2))
    """
    return -number if number < 0 else number


def total(numbers: Iterable[Exact]) -> Exact:
    """Add numbers up.

    Examples
    --------
    >>> total([Fraction(1), SQRT2]), total([])
    (Root2('1+sqrt2'), Fraction(0, 1))
    """
    found: Exact = Fraction(0)
    for number in numbers:
        found = found + number
    return found


def root(square: Exact) -> Exact | None:
    """Take a square root where it is one of these numbers.

    Examples
    --------
    >>> root(Fraction(9, 4)), root(Fraction(1, 2)), root(3 - 2 * SQRT2)
    (Fraction(3, 2), Root2('sqrt2/2'), Root2('sqrt2-1'))
    >>> root(Fraction(3)) is None, root(2 + SQRT2) is None
    (True, True)
    """
    if isinstance(square, Fraction):
        plain = _plain_root(square)
        if plain is not None:
            return plain
        half = _plain_root(square / 2)
        return None if half is None else half * SQRT2
    # (x + y sqrt 2) squared has x x + 2 y y and 2 x y; x x is then half of the plain part more or less this.
    a, b = parts_of(square)
    norm = _plain_root(a * a - 2 * b * b) if a * a >= 2 * b * b else None
    for half in () if norm is None or a < 0 else ((a + norm) / 2, (a - norm) / 2):
        x = _plain_root(half)
        if x:
            return absolute(x + b / (2 * x) * SQRT2)
    return None


def _plain_root(square: Fraction) -> Fraction | None:
    if square < 0:
        return None
    top, bottom = isqrt(square.numerator), isqrt(square.denominator)
    whole = top * top == square.numerator and bottom * bottom == square.denominator
    return Fraction(top, bottom) if whole else None


def above(number: Exact) -> Fraction:
    """Give the fraction itself, or one a trifle too large (less than a millionth of a millionth) for a number with a root.

    Examples
    --------
    >>> above(Fraction(1, 3)), float(above(SQRT2) - Fraction("1.41421356237")) < 1e-11
    (Fraction(1, 3), True)
    """
    return Fraction(number._floor(10**12) + 1, 10**12) if isinstance(number, Root2) else number


@lru_cache(maxsize=4096)
def written(number: Exact) -> str:
    """Write a number as a block file has it.

    Examples
    --------
    >>> written(Fraction(3, 2)), written(1 + SQRT2 / 2), written(-3 * SQRT2), written(Fraction(1, 3))
    ('1.5', '1+sqrt2/2', '-3sqrt2', '1/3')
    """
    plain, times = parts_of(number)
    decimal = f"{float(plain):.4f}".rstrip("0").rstrip(".")
    text = decimal if Fraction(decimal) == plain else str(plain)
    if not times:
        return text
    many = "" if abs(times.numerator) == 1 else str(abs(times.numerator))
    under = "" if times.denominator == 1 else f"/{times.denominator}"
    term = f"{many}sqrt2{under}"
    if plain < 0 < times:
        return term + text
    return (text if plain else "") + ("-" if times < 0 else "+" if plain else "") + term
