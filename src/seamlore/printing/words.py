"""Words as the document engine takes them: every sign safe, fractions set as fractions."""

from __future__ import annotations

import re

from seamlore.drawing.words import runs
from seamlore.printing.content import Span, Words
from seamlore.wording import reworded

_STYLES = {
    "strong": "text(weight: 600, {})",
    "italic": 'text(style: "italic", {})',
    "quiet": "text(fill: quiet, {})",
    "small": "small({})",
}
# Controls that no page shows; line ends and tabs become spaces.
_CONTROLS = re.compile("[\x00-\x08\x0b\x0c\x0e-\x1f\x7f\u200b-\u200f\u202a-\u202e\u2066-\u2069\ufeff\ufffe\uffff]")
# What `words` writes with: a fraction, and the narrow space before it. They stand before the first words of a document,
# which its title already are.
WORDS_NEED = ('#let fr(body) = text(features: ("frac",), body)', "#let nb = text(spacing: 34%)[~]")


def literal(text: str) -> str:
    """Write a text as a string of the document engine.

    Examples
    --------
    >>> literal('say "hi" \\\\ #let')
    '"say \\\\"hi\\\\" \\\\\\\\ #let"'
    >>> literal("")
    '""'
    """
    plain = re.sub(r"[\r\n\t]+", " ", _CONTROLS.sub("", text))
    return '"' + plain.replace("\\", "\\\\").replace('"', '\\"') + '"'


def words(given: Words) -> str:
    """Write words as one expression of the document engine.

    Examples
    --------
    >>> words("cut 3 1/2 in")
    '{"cut 3"; nb; fr("1/2"); "\\xa0in"}'
    >>> words(("by ", Span("tape", "strong")))
    '{"by "; text(weight: 600, {"tape"})}'
    >>> words("")
    '{}'
    """
    if isinstance(given, str):
        return "{" + "; ".join(_plain(given)) + "}"
    if isinstance(given, Span):
        return _STYLES[given.style].format(words(given.text))
    parts: list[str] = []
    for part in given:
        parts += _plain(part) if isinstance(part, str) else [words(part)]
    return "{" + "; ".join(parts) + "}"


def _plain(text: str) -> list[str]:
    parts = []
    for stretch, fraction in runs(typographic(reworded(text))):
        if fraction:
            parts.append(f"fr({literal(stretch)})")
        elif stretch.endswith("\u00a0"):
            parts += [literal(stretch[:-1]), "nb"]
        else:
            parts.append(literal(stretch))
    return parts


def typographic(text: str) -> str:
    """Turn typewriter apostrophes and quotation marks into printed ones; marks of feet and inches stay.

    A figure and its unit are joined by a space that does not break.

    Examples
    --------
    >>> typographic("the maker's \\"album\\", 9\\" wide")
    'the maker’s “album”, 9" wide'
    >>> typographic("")
    ''
    """
    text = re.sub(r"(?<=\d) (?=(?:in|yd|ft|cm|mm|m|pt|%)(?!\w))", "\u00a0", text)
    text = re.sub(r"(?<=\w)'(?=\w)|(?<=[a-z])'", "’", text)
    return re.sub(r'(?<![\w"])"([^"\n]*[^\s"])"(?!\w)', r"“\1”", text)


def yes(given: bool) -> str:
    """Write yes or no as the document engine has it.

    Examples
    --------
    >>> yes(True), yes(False)
    ('true', 'false')
    """
    return "true" if given else "false"
