"""How wide words are in the house type, for breaking and placing lines of a drawing."""

from __future__ import annotations

from typing import Literal

from seamlore.drawing.words import runs

# Advance widths of Source Sans 3 regular in thousandths of the type size, read from the font that is printed with.
_LETTERS: dict[int, str] = {
    200: " \xa0",
    241: "|¦",
    246: "į",
    247: "ijìíîïĩīĭıĵ",
    249: "',.:;·‘’",
    255: "lĺļ",
    263: "IÌÍÎÏĨĪĬĮİ",
    265: "ľ",
    271: "ſ",
    289: "!¡",
    292: "f",
    298: "ł",
    303: "()[]{}",
    304: "•",
    311: "-",
    331: "°",
    338: "tţťŧ",
    345: "ª",
    347: "rŕŗř",
    350: "/\\",
    362: "ŀ",
    365: "º",
    367: "²³¹",
    418: "*",
    419: "sśŝşš",
    423: "®",
    425: "?z¿źżž",
    426: '"“”',
    429: "«»",
    446: "x",
    456: "cçćĉċč",
    467: "vyýÿŷ",
    476: "YÝŶŸ",
    479: "JĴ",
    480: "–",
    486: "LĹĻĽĿ",
    493: "ĳ",
    494: "F",
    495: "kķĸ",
    496: "eèéêëēĕėęě",
    497: "#$+0123456789<=>^~¢£¤¥§¬±×÷",
    500: "_Ł",
    504: "agàáâãäåāăąĝğġģ",
    513: "X",
    515: "V",
    526: "Ĳ",
    527: "EÈÉÊËĒĔĖĘĚ",
    534: "SŚŜŞŠ",
    536: "TŢŤŦ",
    539: "ZŹŻŽ",
    542: "`o¨¯´¸òóôõöøōŏő",
    543: "AÀÁÂÃÄÅĀĂ",
    544: "huðùúûüĄĥũūŭůűų",
    547: "nñńņňŋ",
    553: "b",
    555: "dpqþď",
    557: "ħ",
    560: "¶",
    562: "µđ",
    566: "P",
    569: "RŔŖŘ",
    571: "CÇĆĈĊČ",
    576: "ß",
    579: "KĶ",
    583: "Þ",
    588: "B",
    609: "&",
    615: "DĎ",
    617: "GĜĞĠĢ",
    635: "Ŋ",
    639: "ÐĐ",
    645: "UÙÚÛÜŨŪŬŮŰŲ",
    647: "NÑŃŅŇ",
    652: "HĤ",
    664: "OQÒÓÔÕÖØŌŎŐ",
    692: "Ħ",
    719: "wŵ",
    727: "M",
    744: "©",
    769: "ŉ",
    778: "æ",
    781: "¼",
    786: "WŴ",
    796: "¾",
    800: "—",
    808: "½",
    822: "Æ",
    824: "%",
    829: "m",
    839: "œ",
    847: "@Œ",
    948: "…",
}
_WIDTHS = {letter: width for width, letters in _LETTERS.items() for letter in letters}
_OTHER = 540
# Heavier letters are wider; the mean of the printable ASCII letters, read from the same fonts.
_HEAVIER = {"regular": 1.0, "semibold": 1.040, "bold": 1.078}
# A fraction is set from smaller figures.
_FRACTION = 0.6


def width_em(words: str, weight: Literal["regular", "semibold", "bold"] = "regular") -> float:
    """Give the width of a line of words in parts of the type size, without kerning.

    Examples
    --------
    >>> round(width_em("mm"), 3), width_em("")
    (1.658, 0.0)
    >>> width_em("1/2") < width_em("1-2")
    True
    """
    total = 0.0
    for stretch, fraction in runs(words):
        wide = sum(_WIDTHS.get(letter, _OTHER) for letter in stretch)
        total += wide * (_FRACTION if fraction else 1.0)
    return total / 1000 * _HEAVIER[weight]


def broken(words: str, width_em_most: float, weight: Literal["regular", "semibold", "bold"] = "regular") -> list[str]:
    """Break words into lines no wider than a width in parts of the type size.

    A word that is wider by itself stands alone and is not broken.

    Examples
    --------
    >>> broken("made by an unknown maker", 7)
    ['made by an', 'unknown maker']
    >>> broken("", 7)
    []
    """
    lines: list[str] = []
    for word in words.split():
        longer = f"{lines[-1]} {word}" if lines else word
        if lines and width_em(longer, weight) <= width_em_most:
            lines[-1] = longer
        else:
            lines.append(word)
    return lines
