"""How much is taken: how long a text, how many digits, how many rows. One set, for screen, command line and files.

Each limit lies well beyond what a quilt needs and well below what would keep the machine busy. Typed text is never
cut to fit: what is too long is refused and says so.
"""

from __future__ import annotations

import re
import unicodedata
from fractions import Fraction

from seamlore.errors import SeamloreError

# Lengths. A figure with more digits, or beyond the longest bolt, is a slip; a thousandth of an inch is thinner than thread.
DIGITS = 20
LONGEST_IN = 100_000
SHORTEST_IN_PARTS = 1000

# Texts, in characters: a name, some words on a label, a line that is typed, a story, a whole block file, draft file or evidence file.
NAME = 120
FABRIC_NAME = 80
WORDS = 200
LINE = 500
# Words that quilts are looked for by, each looked up by itself.
FIND_WORDS = 12
STORY = 5_000
TEXT = 200_000
# What a file may hold when it is a reading as `look --json` prints it, in bytes.
FILE_BYTES = 20_000_000
# A correction as the page sends it: a handful of numbers, in pixels of the photograph or parts of the quilt.
CORRECTION = 2_000
LARGEST_NUMBER = 1_000_000

# Counts. A whole number has at most so many digits, wherever one is read.
WHOLE_DIGITS = 9
ROWS = 500
TAPE_ROWS = 200
PAGE_ROWS = 60
BLOCKS = 10_000
DIVISIONS = 64
PAGE_DIVISIONS = 16
# Patches that one block may have: sixty-four squares a side of four parts each.
PARTS = 16_384
BRACKETS_DEEP = 8
STRIPS = 16
# Sizes of one block that a lesson shows side by side.
SIZES = 4
FABRICS = 2_000
BORDERS = 20
# A border wider than this is wider than a quilt for the widest bed: a slip of the pen, such as 900 in for 9 in.
BORDER_IN = 120
# Cutting lists: rows, pieces in all, and the finest parts that a fabric's width is reckoned in.
CUTTING_ROWS = 200
PIECES = 1_000_000
PARTS_ACROSS = 8_000
# Fabric at hand: lengths, squares, strips and scraps, each counted.
STASH_PIECES = 500


def whole_number(text: str) -> int | None:
    """Read a whole number of 0 or more, written in the digits 0 to 9; None when it is none.

    Parameters
    ----------
    text : str
        Any text. A digit of another script or a superscript is none of ours.

    Returns
    -------
    int or None
        At most 999,999,999.

    Examples
    --------
    >>> whole_number("12"), whole_number("²"), whole_number("9" * 5000), whole_number("")
    (12, None, None, None)
    """
    return int(text) if re.fullmatch(rf"[0-9]{{1,{WHOLE_DIGITS}}}", text) else None


def percent(text: str) -> Fraction | None:
    """Read a share in percent, with its sign or without, as a part of the whole; None when it is none.

    Examples
    --------
    >>> percent("5%"), percent("2.5 %"), percent("five"), percent("-1")
    (Fraction(1, 20), Fraction(1, 40), None, None)
    """
    found = re.fullmatch(rf"([0-9]{{1,{WHOLE_DIGITS}}}(?:\.[0-9]{{1,4}})?)\s*%?", text.strip())
    return Fraction(found[1]) / 100 if found else None


def checked_text(text: str, what: str, most: int, *, source: str = "") -> str:
    """Give a text back when it can be kept and printed as it is.

    Parameters
    ----------
    text : str
    what : str
        What it is called in the message.
    most : int
        So many characters at most.
    source : str
        The file's name with a comma, or nothing; the line is put behind it in messages.

    Raises
    ------
    SeamloreError
        When it is too long, or holds a control character, which no page or printer can show.

    Examples
    --------
    >>> checked_text("Blue star", "the name", NAME)
    'Blue star'
    >>> checked_text("Blue star", "the name", 4)
    Traceback (most recent call last):
        ...
    seamlore.errors.SeamloreError: the name of 9 characters: at most 4 are taken; write it shorter
    """
    if len(text) > most:
        raise SeamloreError(
            f"{what} of {len(text):,} characters",
            f"at most {most:,} are taken",
            "write it shorter",
            where=source[:-2],
        )
    for number, line in enumerate(text.split("\n"), start=1):
        if not line.isprintable() and (found := next(filter(_unprintable, line), None)) is not None:
            raise SeamloreError(
                f"{what}, with {ascii(found)[1:-1]} in it",
                "a text holds no control characters",
                "take it out",
                where=f"{source}line {number}" if source or "\n" in text else "",
            )
    return text


def _unprintable(sign: str) -> bool:
    """Whether a character can be neither shown nor written into a file of marked-up text."""
    return sign not in "\t\r\f\v\x85" and (unicodedata.category(sign) in ("Cc", "Cs") or sign in "\ufffe\uffff")
