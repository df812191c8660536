"""The same quilt otherwise: other sizes side by side, other colors, other values."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from seamlore.draft.block import Value
from seamlore.draft.catalogue import find
from seamlore.draft.quilt import Quilt
from seamlore.draft.sizes.proportion import Proportions, proportions
from seamlore.draft.sizes.variants import Variant, variants, with_sizes
from seamlore.draft.text.quilt_file import write_quilt
from seamlore.errors import LengthError, NotationError, SeamloreError, UnknownNameError
from seamlore.lengths import Length, length

# A length with its unit: 2in, 1 1/2 in, 2.5cm.
_LENGTH = re.compile(
    r"(?:\d+(?:[\s-]+\d+/\d+)?|\d+/\d+|\d*\.\d+|\d+\.\d+)\s*(?:inches|inch|in\b|cm|mm|\"|″)", re.IGNORECASE
)


@dataclass(frozen=True, slots=True)
class Tried:
    """One variant and its proportions; None when it cannot be sewn so."""

    variant: Variant
    proportions: Proportions | None


def read_try(text: str) -> tuple[str, tuple[Length, ...]]:
    """Read which size to try otherwise, and the sizes to try.

    Parameters
    ----------
    text : str
        A name as `draft.sizes.variants.with_sizes` takes it, then lengths, each with its unit. A colon parts the
        two where the name ends in a number.

    Examples
    --------
    >>> read_try("sashing 1in 1 1/2 in, 2in")
    ('sashing', (Length('1 in'), Length('1 1/2 in'), Length('2 in')))
    >>> read_try("border 1: 3in")
    ('border 1', (Length('3 in'),))
    >>> read_try("sashing")
    Traceback (most recent call last):
        ...
    seamlore.errors.NotationError: --try: "sashing": no length with a unit follows; write: sashing 1in 2in 3in
    """
    name, colon, rest = text.partition(":")
    if not colon:
        start = re.search(r"[\d.]", text)
        name, rest = (text[: start.start()], text[start.start() :]) if start else (text, "")
    found = _LENGTH.findall(rest)
    left = _LENGTH.sub("", rest).replace(",", "").strip()
    if not found or left:
        why = f'"{left}" is no length with a unit' if left else "no length with a unit follows"
        raise NotationError(f'"{text}"', why, "write: sashing 1in 2in 3in", where="--try")
    return " ".join(name.split()), tuple(length(each) for each in found)


def try_sizes(quilt: Quilt, said: Sequence[str], values: Mapping[str, Value] | None = None) -> tuple[Tried, ...]:
    """Try every combination of some sizes, with the proportions of each.

    Parameters
    ----------
    quilt : Quilt
    said : sequence of str
        As `read_try` reads them, one for each size that is to be other.
    values : mapping of str to {"light", "medium", "dark"}, optional
        Values of what is not a place, such as the sashing.

    Raises
    ------
    SeamloreError
        When one cannot be read, the quilt has no such part, or there are more than 60 combinations.

    Examples
    --------
    >>> from seamlore.draft.repeated import repeated
    >>> from seamlore.lengths import inches
    >>> quilt = repeated("q", find("shoo fly"), inches(9), inches(9), 2, 2)
    >>> [each.variant.label for each in try_sizes(quilt, ["sashing 1in 2in"])]
    ['sashing 1 in', 'sashing 2 in']
    """
    sizes: dict[str, tuple[Length, ...]] = {}
    for text in said:
        name, lengths = read_try(text)
        if name in sizes:
            raise NotationError(
                f"{name} again", "each size is tried once", "give all its lengths together", where="--try"
            )
        sizes[name] = lengths
        _check_part(quilt, name, lengths[0])
    made = variants(quilt, sizes)
    if all(each.quilt is None for each in made):
        raise LengthError("sizes none of which can be sewn", made[0].why_not, "try others", where="--try")
    return tuple(Tried(each, proportions(each.quilt, values) if each.quilt else None) for each in made)


def _check_part(quilt: Quilt, name: str, size: Length) -> None:
    """Refuse a name that no part of the quilt has; what cannot be sewn is a variant's own matter."""
    try:
        with_sizes(quilt, {name: size})
    except UnknownNameError as fault:
        raise UnknownNameError(fault.given, fault.limit, fault.remedy, where="--try") from None
    except SeamloreError:
        return


def proportion_words(found: Proportions) -> list[str]:
    """Say the proportions of a quilt, computed from its draft, and how they lie to the customs of the trade.

    Examples
    --------
    >>> from seamlore.draft.repeated import repeated
    >>> from seamlore.lengths import inches
    >>> quilt = repeated("q", find("shoo fly"), inches(9), inches(9), 2, 2)
    >>> proportion_words(proportions(quilt))
    ['by area: light 67%, dark 33%', 'contrast along the seams: 0.85 (0 nothing differs, 1 all is light against dark)']
    """
    names = {"not said": "value not said"}
    shares = ", ".join(
        f"{names.get(value, value)} {round(100 * share)}%" for value, share in found.shares.items() if share
    )
    lines = [f"by area: {shares}"]
    if found.contrast is not None:
        lines.append(
            f"contrast along the seams: {found.contrast:.2f} (0 nothing differs, 1 all is light against dark)"
        )
    if found.border_share:
        lines.append(f"the borders are {round(100 * found.border_share)}% of the top")
    return [*lines, *map(str, found.customs)]


def tried_notes(tried: Sequence[Tried]) -> list[list[str]]:
    """Give the lines that stand under each variant on the picture: shares of value, and the first custom."""
    notes = []
    for each in tried:
        found = each.proportions
        lines = proportion_words(found)[:1] if found else []
        notes.append(
            [*lines, *(f"{custom.what} {float(custom.measured):.2f}" for custom in found.customs)] if found else []
        )
    return notes


def proportions_record(found: Proportions) -> dict[str, Any]:
    """Give proportions as plain data for JSON: `computed` from the draft, customs with how they are known."""
    return {
        "shares": {value: float(share) for value, share in found.shares.items()},
        "contrast": found.contrast,
        "border_share": float(found.border_share),
        "customs": [
            {
                "what": custom.what,
                "here": float(custom.measured),
                "usual_from": float(custom.low),
                "usual_to": float(custom.high),
                "usual": custom.usual,
                "source": custom.source,
                "text": str(custom),
            }
            for custom in found.customs
        ],
    }


def tried_record(tried: Sequence[Tried]) -> list[dict[str, Any]]:
    """Give variants as plain data for JSON, each with its draft file; `why_not` where it cannot be sewn."""
    found: list[dict[str, Any]] = []
    for each in tried:
        quilt = each.variant.quilt
        if quilt is None or each.proportions is None:
            found.append({"label": each.variant.label, "why_not": each.variant.why_not})
            continue
        found.append(
            {
                "label": each.variant.label,
                "finished": [side.number for side in quilt.finished_size],
                "unit": str(quilt.unit),
                **proportions_record(each.proportions),
                "text": write_quilt(quilt, find_block=find),
            }
        )
    return found
