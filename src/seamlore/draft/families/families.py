"""Drawings of which one is like the next but for a number: log cabins of so many rounds, rail fences of so many strips.

Such drawings are one entry of the catalogue. A few of them, those that are common, are held side by side with every
block that is to be named; any other is drawn when it is asked for by its number.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from functools import cache

from seamlore.draft.block import Block
from seamlore.draft.families import drawings as drawn
from seamlore.draft.families import stars
from seamlore.draft.text.notation import read_block

_WORDS = (
    "zero", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten", "eleven", "twelve",
    "thirteen", "fourteen", "fifteen", "sixteen",
)  # fmt: skip


@dataclass(frozen=True, slots=True)
class Family:
    """Drawings that differ in a number.

    Parameters
    ----------
    name : str
        What all of them are called.
    part : str
        What is counted, one of it: "round".
    numbers : sequence of int
        The numbers that can be drawn.
    usual : int
        The number that is meant when none is said.
    common : tuple of int
        The numbers that blocks to be named are held against; not those that only a whole quilt has.
    kind : str
        What kind of block they are.
    draw : callable
        The lines of a block file from the places on, for a number.
    notes : tuple of str
        What is good to know when sewing any of them.
    also : tuple of str
        Further names of all of them.
    titles : mapping of int to str
        What one of them is called, where the trade has a name of its own for it.
    called : mapping of int to tuple of str
        Further names of one of them.
    """

    name: str
    part: str
    numbers: Sequence[int]
    usual: int
    common: tuple[int, ...]
    kind: str
    draw: Callable[[int], str]
    notes: tuple[str, ...]
    also: tuple[str, ...] = ()
    titles: Mapping[int, str] = field(default_factory=dict)
    called: Mapping[int, tuple[str, ...]] = field(default_factory=dict)

    def title(self, number: int) -> str:
        """What the drawing of a number is called.

        Examples
        --------
        >>> rails = next(each for each in FAMILIES if each.name == "Rail Fence")
        >>> rails.title(3), rails.title(5)
        ('Rail Fence', 'Five-Strip Rail Fence')
        """
        if number in self.titles:
            return self.titles[number]
        return self.name if number == self.usual else f"{_WORDS[number].title()}-{self.part.title()} {self.name}"

    def names(self, number: int) -> tuple[str, ...]:
        """All names of the drawing of a number, its own first."""
        title = self.title(number)
        shared = (self.name, *self.also) if title != self.name else self.also
        return tuple(dict.fromkeys([title, *self.called.get(number, ()), *shared]))

    def asked_by(self, number: int) -> tuple[str, ...]:
        """The ways in which a drawing may be asked for by its number."""
        few, many = self.part, f"{self.part}s"
        ways = [f"{said} {few} {self.name}" for said in (_WORDS[number], number)]
        return (
            *ways,
            *(f"{self.name} of {said} {many}" for said in (_WORDS[number], number)),
            f"{self.name} {number}",
        )

    @property
    def span(self) -> str:
        """The numbers in words, such as "1 to 12 rounds"."""
        low, high = min(self.numbers), max(self.numbers)
        every = len(self.numbers) == high - low + 1
        listed = f"{low} to {high}" if every else ", ".join(map(str, self.numbers))
        return f"{listed} {self.part}s"


def member(family: Family, number: int) -> Block:
    """Draw one of a family.

    Examples
    --------
    >>> rounds = next(each for each in FAMILIES if each.name == "Log Cabin")
    >>> member(rounds, 6).name, len(member(rounds, 6).patches)
    ('Six-Round Log Cabin', 25)
    """
    return _member(FAMILIES.index(family), number)


@cache
def _member(family: int, number: int) -> Block:
    of = FAMILIES[family]
    title, *others = of.names(number)
    lines = [f"block {title}"]
    if others:
        lines.append("also " + ", ".join(others))
    lines += [f"family {of.kind}", *(f"note {note}" for note in of.notes)]
    return read_block("\n".join(lines) + "\n" + of.draw(number), source=title)


FAMILIES: tuple[Family, ...] = (
    Family(
        "Log Cabin", "round", range(1, 13), 3, (2, 3, 4, 5), "log cabin", drawn.log_cabin,
        ("Begin with the middle square; add two light logs, then two dark ones, round after round.",
         "Measure after each round: a log cabin grows when its seams are narrow and shrinks when they are wide."),
        called={2: ("Small Log Cabin",)},
    ),
    Family(
        "Courthouse Steps", "round", range(1, 13), 3, (2, 3, 4), "log cabin", drawn.courthouse_steps,
        ("Logs are added to opposite sides: top and bottom in light, then both sides in dark.",),
        called={2: ("Small Courthouse Steps",)},
    ),
    Family(
        "Housetop", "round", range(2, 13), 3, (2, 3, 4), "log cabin", drawn.housetop,
        ("All four logs of a round are of one fabric; change the fabric with each round.",),
        called={2: ("Small Housetop",)},
    ),
    Family(
        "Quarter Log Cabin", "round", range(2, 13), 4, (3, 4, 5), "log cabin", drawn.quarter_log_cabin,
        ("Begins in one corner and grows on two sides only.",),
        also=("Chevron Log Cabin",),
        called={3: ("Small Quarter Log Cabin",), 5: ("Large Quarter Log Cabin",)},
    ),
    Family(
        "Cornerstone Log Cabin", "round", range(1, 13), 3, (2, 3), "log cabin", drawn.cornerstone_log_cabin,
        ("Logs of one round are all of one length, with a square at the ends of two of them: sew the other two first.",
         "The squares make chains from corner to corner."),
        also=("Log Cabin with Cornerstones",),
    ),
    Family(
        "Pineapple", "round", range(2, 9), 4, (3, 4), "log cabin", stars.pineapple,
        ("Every round has four straight strips and four slanting ones, all of one width.",
         "Sewn on a foundation, or every round trimmed square with a ruler before the next is added."),
        also=("Windmill Blades",),
    ),
    Family(
        "Checkerboard", "square", range(2, 17), 8, (2, 3, 4, 5, 6, 7, 8, 9, 10), "patchwork", drawn.checkerboard,
        ("Two strip sets, cut apart and turned by turns; press one set in, the other out.",),
        titles={2: "Four Patch", 3: "Nine Patch", 4: "Sixteen Patch", 5: "Twenty-Five Patch", 6: "Thirty-Six Patch",
                7: "Forty-Nine Patch", 8: "Sixty-Four Patch", 9: "Eighty-One Patch", 10: "Hundred Patch"},
    ),
    Family(
        "Rail Fence", "strip", range(2, 9), 3, (2, 3, 4, 5), "strips", drawn.rail_fence,
        ("One strip set from light to dark, cut into squares; every other square is turned.",),
        also=("Fence Rail",),
        called={2: ("London Stairs",), 3: ("Roman Square",)},
    ),
    Family(
        "Roman Stripe", "strip", range(2, 9), 4, (3, 4, 5), "strips", drawn.roman_stripe,
        ("A strip set cut into triangles, each joined to a plain triangle. The long side of the striped half is on the "
         "straight grain, its short sides on the bias.",),
    ),
    Family(
        "Basket Weave", "strip", (3, 5, 7), 3, (3, 5), "strips", drawn.basket_weave,
        ("A strip set of dark, light, dark; every other square is turned, and the strips seem to go over and under.",),
    ),
    Family(
        "String Block", "strip", (5, 7, 9, 11), 7, (5, 7, 9), "strips", drawn.string_block,
        ("Strips of any width are sewn across a foundation from corner to corner; then it is trimmed square.",),
        also=("String Quilt", "String Piecing"),
    ),
    Family(
        "Birds in the Air", "row", range(2, 9), 3, (3, 4), "triangles", drawn.birds_in_the_air,
        ("Rows of small triangles make one half, a large triangle the other.",
         "The long seam is on the bias: sew the small half first and measure it, then cut the large triangle."),
        also=("Flying Birds",),
    ),
    Family(
        "Sawtooth", "row", range(2, 9), 4, (3, 4), "triangles", drawn.sawtooth,
        ("Half-square triangles that all look the same way; sew by rows.",),
        also=("Triangle Tiles",),
    ),
    Family(
        "Thousand Pyramids", "row", range(2, 9), 4, (3, 4), "triangles", drawn.thousand_pyramids,
        ("Rows of triangles that stand up and hang down by turns; their slanting sides are on the bias.",),
        also=("Pyramids",),
    ),
    Family(
        "Trip Around the World", "ring", range(2, 8), 3, (2, 3, 4), "chain", drawn.trip_around_the_world,
        ("Rings of squares set cornerwise round the middle. Sew by rows; the colors move along by one square from row "
         "to row.",),
        called={2: ("Small Trip Around the World",), 3: ("Sunshine and Shadow",), 4: ("Large Trip Around the World",)},
    ),
    Family(
        "Irish Chain", "chain", (2, 3, 4), 2, (2, 3), "chain", drawn.irish_chain,
        ("Takes turns with the alternate block; the two must finish at exactly the same size, so measure before you "
         "join them.",),
        titles={2: "Double Irish Chain", 3: "Triple Irish Chain", 4: "Quadruple Irish Chain"},
    ),
    Family(
        "Irish Chain Alternate", "chain", (2, 3), 2, (2, 3), "chain", drawn.irish_chain_alternate,
        ("The plain partner of the Irish chain, with the ends of the outer chains in its corners. Small squares may be "
         "laid on and turned under instead of pieced.",),
        titles={2: "Double Irish Chain Alternate", 3: "Triple Irish Chain Alternate"},
    ),
    Family(
        "Snowball", "part", range(3, 9), 3, (3, 4), "nine patch", drawn.snowball,
        ("An octagon: sew a small square across each corner of a large one, fold back and trim.",),
        also=("Octagon",),
        called={4: ("Snowball with Small Corners",)},
    ),
    Family(
        "Attic Windows", "part", range(3, 9), 3, (3, 4), "strips", drawn.attic_windows,
        ("Two strips meet in a mitered corner like the frame of a window; sew up to the seam allowance of the corner, "
         "not through it.",),
        called={4: ("Attic Windows with Narrow Frame",)},
    ),
    Family(
        "Lone Star", "diamond", range(2, 9), 4, (2, 3), "eight-pointed star", stars.lone_star,
        ("One block is the whole quilt: each point is a large diamond of small ones, sewn in diagonal rows from strip "
         "sets.", "The long sides of the points are on the bias; set in the corner squares and side triangles last."),
        also=("Star of Bethlehem", "Mathematical Star"),
        called={2: ("Blazing Star", "Virginia Star")},
    ),
    Family(
        "Broken Star", "diamond", range(2, 6), 3, (), "eight-pointed star", stars.broken_star,
        ("One block is the whole quilt: a star, a ring of squares, and twenty-four more large diamonds of small ones.",
         "All large diamonds are alike; the squares and the corners are set in between them."),
    ),
)  # fmt: skip
