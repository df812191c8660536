r"""The block designs that test quilts are made of: traditional blocks under their general names.

Two lists that share no design: whoever works on the reader may look at `TUNING`; `JUDGING` is rendered only to report.
Values are left to the generator, so each design here gives only its places.
"""

from __future__ import annotations

from functools import cache

from judging.rendering.chance import chance_text, is_chance
from seamlore.draft.block import Block
from seamlore.draft.catalogue import find
from seamlore.draft.text.notation import read_block

TUNING: dict[str, str] = {
    "Shoo Fly": r"""
A/B A B\A
A   B A
A\B A B/A""",
    "Nine Patch": """
B A B
A B A
B A B""",
    "Ohio Star": r"""
A           (B\A)/(C\B) A
(A\B)/(B\C) B           (C\B)/(B\A)
A           (B\C)/(A\B) A""",
    "Pinwheel": r"""
A\B A/B
B/A B\A""",
    "Churn Dash": r"""
A/B A-B B\A
A|B A   B|A
A\B B-A B/A""",
    "Bow Tie": """
divisions 4
patch A 0,0 2,0 2,1 1,2 0,2
patch A 2,3 3,2 4,2 4,4 2,4
patch B 2,0 4,0 4,2 3,2 2,1
patch B 0,2 1,2 2,3 2,4 0,4
patch B 2,1 3,2 2,3 1,2""",
    "Rail Fence": """
A|C|B""",
    "Four Patch": """
B A
A B""",
    "Log Cabin": """
A6 A6 A6 A6 A6 A6 B6
A5 A4 A4 A4 A4 B4 B6
A5 A3 A2 A2 B2 B4 B6
A5 A3 A1 C  B2 B4 B6
A5 A3 B1 B1 B2 B4 B6
A5 B3 B3 B3 B3 B4 B6
B5 B5 B5 B5 B5 B5 B6""",
    "Flying Geese": """
divisions 4
patch B 0,1 2,0 4,1
patch A 0,0 2,0 0,1
patch A 2,0 4,0 4,1
patch B 0,2 2,1 4,2
patch A 0,1 2,1 0,2
patch A 2,1 4,1 4,2
patch B 0,3 2,2 4,3
patch A 0,2 2,2 0,3
patch A 2,2 4,2 4,3
patch B 0,4 2,3 4,4
patch A 0,3 2,3 0,4
patch A 2,3 4,3 4,4""",
    "Square in a Square": """
divisions 4
patch B 0,0 2,0 0,2
patch B 2,0 4,0 4,2
patch B 4,2 4,4 2,4
patch B 0,2 2,4 0,4
patch A 2,0 3,1 1,1
patch A 4,2 3,3 3,1
patch A 2,4 1,3 3,3
patch A 0,2 1,1 1,3
patch C 1,1 3,1 3,3 1,3""",
    "Snowball": """
divisions 3
patch B 0,0 1,0 0,1
patch B 2,0 3,0 3,1
patch B 3,2 3,3 2,3
patch B 0,2 1,3 0,3
patch A 1,0 2,0 3,1 3,2 2,3 1,3 0,2 0,1""",
    "Bear's Paw": r"""
A   A/B A/B A1 B\A B\A A
A/B B1  B1  A1 B2  B2  B\A
A/B B1  B1  A1 B2  B2  B\A
A2  A2  A2  B  A3  A3  A3
A\B B3  B3  A4 B4  B4  B/A
A\B B3  B3  A4 B4  B4  B/A
A   A\B A\B A4 B/A B/A A""",
    "Puss in the Corner": """
columns 1 2 1
rows 1 2 1
B A B
A C A
B A B""",
    "Birds in the Air": """
divisions 3
patch C 3,0 3,3 0,3
patch B 0,0 1,0 0,1
patch B 1,0 2,0 1,1
patch B 2,0 3,0 2,1
patch B 0,1 1,1 0,2
patch B 1,1 2,1 1,2
patch B 0,2 1,2 0,3
patch A 1,0 1,1 0,1
patch A 2,0 2,1 1,1
patch A 1,1 1,2 0,2""",
    "One Patch": """
A""",
}
JUDGING: dict[str, str] = {
    "Friendship Star": r"""
A   A/B A
A\B B   B\A
A   B/A A""",
    "Sawtooth Star": r"""
A    B\A1 A1/B A
A2\B C1   C1   B/A3
A2/B C1   C1   B\A3
A    B/A4 A4\B A""",
    "Courthouse Steps": """
A5 A5 A5 A5 A5 A5 A5
B5 A3 A3 A3 A3 A3 B6
B5 B3 A1 A1 A1 B4 B6
B5 B3 B1 C  B2 B4 B6
B5 B3 A2 A2 A2 B4 B6
B5 A4 A4 A4 A4 A4 B6
A6 A6 A6 A6 A6 A6 A6""",
    "Dutchman's Puzzle": """
divisions 4
patch B 0,1 1,0 2,1
patch A 0,0 1,0 0,1
patch A 1,0 2,0 2,1
patch C 0,2 1,1 2,2
patch A 0,1 1,1 0,2
patch A 1,1 2,1 2,2
patch C 2,0 3,1 2,2
patch A 2,0 3,0 3,1
patch A 3,1 3,2 2,2
patch B 3,0 4,1 3,2
patch A 3,0 4,0 4,1
patch A 4,1 4,2 3,2
patch C 2,2 4,2 3,3
patch A 2,2 3,3 2,3
patch A 4,2 4,3 3,3
patch B 2,3 4,3 3,4
patch A 2,3 3,4 2,4
patch A 4,3 4,4 3,4
patch B 1,2 1,4 0,3
patch A 0,2 1,2 0,3
patch A 0,3 1,4 0,4
patch C 2,2 2,4 1,3
patch A 1,2 2,2 1,3
patch A 1,3 2,4 1,4""",
    "Hourglass": r"""
(A\B)/(B\A)""",
    "Double Four Patch": """
B  A  C1 C1
A  B  C1 C1
C2 C2 B  A
C2 C2 A  B""",
    "Spools": """
divisions 4
patch B 0,0 4,0 3,1 1,1
patch B 1,3 3,3 4,4 0,4
patch A 0,0 1,1 1,3 0,4
patch A 3,1 4,0 4,4 3,3
patch C 1,1 3,1 3,3 1,3""",
    "Attic Windows": """
divisions 3
patch C 1,0 3,0 3,2 1,2
patch A 0,0 1,0 1,2 0,3
patch B 1,2 3,2 3,3 0,3""",
    "Double Nine Patch": """
B A B C1 C1 C1 B A B
A B A C1 C1 C1 A B A
B A B C1 C1 C1 B A B
C2 C2 C2 B A B C3 C3 C3
C2 C2 C2 A B A C3 C3 C3
C2 C2 C2 B A B C3 C3 C3
B A B C4 C4 C4 B A B
A B A C4 C4 C4 A B A
B A B C4 C4 C4 B A B""",
    "Roman Stripe": """
divisions 4
patch A 0,0 4,0 0,4
patch B 4,0 4,1 1,4 0,4
patch C 4,1 4,2 2,4 1,4
patch B 4,2 4,3 3,4 2,4
patch C 4,3 4,4 3,4""",
    "Sixteen Patch": """
B A B A
A B A B
B A B A
A B A B""",
    "Half Log Cabin": """
C  A1 A2 A3 A4
B1 B1 A2 A3 A4
B2 B2 B2 A3 A4
B3 B3 B3 B3 A4
B4 B4 B4 B4 B4""",
    "Buckeye Beauty": r"""
(B-A)|(A-B) A\B
A\B         (B-A)|(A-B)""",
    "Schoolhouse": """
divisions 8
patch A 0,0 1,0 1,1 0,1
patch B 1,0 2,0 2,1 1,1
patch A 2,0 5,0 5,1 2,1
patch B 5,0 6,0 6,1 5,1
patch A 6,0 8,0 8,1 6,1
patch A 0,1 2,1 0,4
patch B 2,1 4,4 0,4
patch C 2,1 6,1 8,4 4,4
patch A 6,1 8,1 8,4
patch B 0,4 1,4 1,8 0,8
patch A 1,4 3,4 3,8 1,8
patch B 3,4 4,4 4,8 3,8
patch B 4,4 8,4 8,5 4,5
patch B 4,5 5,5 5,8 4,8
patch A 5,5 7,5 7,7 5,7
patch B 5,7 7,7 7,8 5,8
patch B 7,5 8,5 8,8 7,8""",
    "Broken Dishes": r"""
A\B B/A
B/A A\B""",
    "Half-Square Triangle": """
A/B""",
}


@cache
def design(name: str) -> Block:
    """Read one design of either list, of the catalogue, or made up by chance: first place light, then dark, medium."""
    text = (TUNING | JUDGING).get(name)
    if text is None and not is_chance(name):
        return find(name)
    text = text or chance_text(name)
    values = {"A": "light", "B": "dark", "C": "medium"}
    places = "".join(f"{place} {value}\n" for place, value in values.items() if any(_uses(text, place)))
    return read_block(f"block {name}\n{places}\n{text.strip()}\n")


def _uses(text: str, place: str) -> list[bool]:
    return [place in line.replace("patch", "") for line in text.splitlines()]
