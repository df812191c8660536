"""What the years of the parts mean together, in the words that a curator has for it: married, quilted later, reproduction."""

from __future__ import annotations

from dataclasses import dataclass

from seamlore.chronology.clues import clues
from seamlore.chronology.evidence_file import Dossier
from seamlore.chronology.likelihoods import REPLACED, few_patches
from seamlore.chronology.parts import place_of
from seamlore.chronology.reasons import Answer, Weighed, upper, was
from seamlore.chronology.usual import ways

# From this probability on a thing is said; below three quarters with "perhaps".
_SAID, _PROBABLE = 0.5, 0.75
# Answers narrower than this are given as years in a headline; the others as not known closely.
_CLOSE_YEARS = 110
_TOGETHER_YEARS = 6
# What is sewn on a quilt says "about": half the probability lies within this many years, nearly all within those.
_LABEL_HALF, _LABEL_MOST = 20, 80
# A reproduction is told when old-looking cloth went out of use so long before the answer begins.
_LONG_GONE_YEARS = 25


@dataclass(frozen=True, slots=True)
class Reading:
    """One thing that the years mean.

    Parameters
    ----------
    kind : str
        "quilted later", "set later", "bound later", "older back", "married", "reproduction", "old cloth", "replaced",
        "bounds".
    sentence : str
    chance : float
        How likely it is.
    """

    kind: str
    sentence: str
    chance: float


_LONG = {
    "setting": ("set later", "the blocks are older: old blocks set new, about {years} years later"),
    "border": ("set later", "the border was added about {years} years after the setting"),
    "quilting": ("quilted later", "a top quilted later, about {years} years after it was pieced"),
    "ties": ("quilted later", "a top tied later, about {years} years after it was pieced"),
    "edge finish": ("bound later", "the edge was finished, or bound again, about {years} years after the quilting"),
    "backing": ("older back", "the backing was made about {years} years before the quilting: an older sheet or top"),
    "filling": (
        "older back",
        "the filling was made about {years} years before the quilting: an older quilt or blanket",
    ),
}


def readings(dossier: Dossier, weighed: Weighed, found: tuple[Answer, ...]) -> tuple[Reading, ...]:
    """Name what the years of the parts mean together.

    Parameters
    ----------
    dossier : Dossier
    weighed : Weighed
        Of the same dossier.
    found : tuple of Answer

    Returns
    -------
    tuple of Reading
        The likeliest first.
    """
    named: list[Reading] = []
    found_ways = ways(weighed.dates, weighed.bonds)
    into = {bond.child: (bond, long) for bond, long, _ in found_ways}
    named_rows = len(weighed.dates.problem.parts)
    for bond, long, against in found_ways:
        # Where the part between was not named, its long gap is told of the part that follows it.
        start = bond.parent
        while start >= named_rows and start in into:
            long = min(long + into[start][1], 1.0)
            start = into[start][0].parent
        if bond.place in _LONG and bond.child < named_rows and start < named_rows and long >= _SAID:
            kind, words = _LONG[bond.place]
            years = _years_between(weighed, start, bond.child)
            named.append(Reading(kind, _sure(words.format(years=years), long), long))
        if against >= _SAID:
            part = weighed.bonds.rows[bond.child].strip("()")
            words = f"the {part} {was(part)} made against the usual order: parts of two quilts are married here"
            named.append(Reading("married", _sure(words, against), against))
    named += _few(dossier)
    named += _gone(dossier, found)
    return tuple(sorted(named, key=lambda each: -each.chance))


def _sure(words: str, chance: float) -> str:
    return f"{'Most likely' if chance >= _PROBABLE else 'Perhaps'} {words} ({min(round(100 * chance), 99)} in 100)."


def _years_between(weighed: Weighed, one: int, two: int) -> int:
    years = weighed.dates.problem.years
    means = [float(weighed.dates.p[row] @ years) for row in (one, two)]
    return max(round(abs(means[1] - means[0]) / 5) * 5, 1)


def _few(dossier: Dossier) -> list[Reading]:
    """Late cloth in one or two patches, or spread over the whole."""
    if not dossier.usual:
        return []
    out = []
    latest: dict[str, int] = {}
    for each in dossier.evidence:
        if each.dates == "cloth" and each.trust > 0 and each.clue and clues()[each.clue].when.earliest is not None:
            latest[each.part] = max(latest.get(each.part, 0), clues()[each.clue].when.earliest or 0)
    for each in dossier.evidence:
        if each.patches is None or each.dates != "cloth" or not each.clue:
            continue
        first = clues()[each.clue].when.earliest
        if first is None or first < latest.get(each.part, 0):
            continue
        count = f"{each.patches} of {each.of} patches" if each.of else f"{each.patches} patches"
        if few_patches(each):
            words = f"{upper(each.says)} stands in {count} only: likely a replacement, which dates the repair."
            out.append(Reading("replaced", words, REPLACED))
        else:
            words = f"{upper(each.says)} is spread over {count}: the {each.part} {was(each.part)} not made before {first}."
            out.append(Reading("bounds", words, each.trust))
    return out


def _gone(dossier: Dossier, found: tuple[Answer, ...]) -> list[Reading]:
    """Cloth of old looks in a part that is much later: old cloth, or a reproduction."""
    out = []
    for answer in found:
        old, new = [], []
        for each in dossier.evidence:
            if each.part != answer.part or not each.clue or each.trust <= 0:
                continue
            when = clues()[each.clue].when
            high = when.usual_to if when.usual_to is not None else when.latest
            if each.dates == "cloth" and high is not None and high + _LONG_GONE_YEARS < answer.most[0]:
                old.append(each.says)
            elif when.earliest is not None and high is None:
                new.append(each.says)
        if old and answer.median >= 1970:
            words = (
                f"The {answer.part} {was(answer.part)} made about {answer.median}, yet {_listed(old)} look much older"
            )
            out.append(Reading("reproduction", f"{words}: a reproduction, or old cloth used again.", 0.6))
        elif old:
            words = f"In the {answer.part} {_listed(old)} had long gone out of use by about {answer.median}"
            out.append(Reading("old cloth", f"{words}: old cloth used late.", 0.5))
    return out


def _listed(words: list[str]) -> str:
    once = list(dict.fromkeys(words))
    return once[0] if len(once) == 1 else f"{', '.join(once[:-1])} and {once[-1]}"


_DONE = {
    "blocks": "pieced", "setting": "set", "border": "bordered", "backing": "backed", "filling": "filled",
    "quilting": "quilted", "ties": "tied", "edge finish": "bound", "repair": "mended", "label": "labeled",
    "fabric": "its cloth made", "thread": "sewn with thread of",
}  # fmt: skip


def deed(part: str) -> str:
    """Give what was done when a part was made; empty when there is no word for it.

    Examples
    --------
    >>> deed("top"), deed("binding"), deed("lid")
    ('pieced', 'bound', '')
    """
    if part.casefold() in ("top", "applique", "appliqué"):
        return {"top": "pieced"}.get(part.casefold(), "appliqued")
    return _DONE.get(place_of(part), "")


def span_words(answer: Answer) -> str:
    """Give the years of an answer as one says them.

    Examples
    --------
    >>> from types import SimpleNamespace as Told
    >>> span_words(Told(half=(1884, 1896), most=(1879, 1904), median=1890))
    'about 1875 to 1905'
    >>> span_words(Told(half=(1933, 1934), most=(1932, 1936), median=1933))
    'about 1933'
    >>> span_words(Told(half=(1933, 1933), most=(1933, 1933), median=1933))
    'in 1933'
    """
    low, high = answer.most
    if low == high:
        return f"in {low}"
    if high - low <= _TOGETHER_YEARS:
        return f"about {answer.median}"
    return f"about {low // 5 * 5} to {-(-high // 5) * 5}"


def headline(found: tuple[Answer, ...]) -> str:
    """Name every part that is known, those of the same years together, in the order of making.

    Parameters
    ----------
    found : tuple of Answer

    Returns
    -------
    str
        One sentence, without its full stop; empty when nothing is known.
    """
    known = [each for each in found if each.known and each.most[1] - each.most[0] <= _CLOSE_YEARS]
    vague = [each for each in found if each not in known]
    groups: dict[str, list[Answer]] = {}
    for each in known:
        groups.setdefault(span_words(each), []).append(each)
    told = [f"{_deeds([each.part for each in group])} {years}" for years, group in groups.items()]
    if vague and known:
        told.append(f"the {_listed([each.part for each in vague])} not known closely")
    elif vague:
        told.append("not known closely yet: more evidence is needed")
    return upper("; ".join(told))


def _deeds(parts: list[str]) -> str:
    done = [deed(part) or f"the {part} made" for part in parts]
    return _listed(done)


def label_words(found: tuple[Answer, ...]) -> str:
    """Give the years for a label: "pieced about 1890, quilted about 1935"; only what is known closely.

    Parameters
    ----------
    found : tuple of Answer

    Returns
    -------
    str
        Empty when nothing is known closely enough to be sewn on a quilt.
    """
    told: list[tuple[str, str]] = []
    for each in found:
        done = deed(each.part)
        if not each.known or not done or each.half[1] - each.half[0] > _LABEL_HALF:
            continue
        if each.most[1] - each.most[0] > _LABEL_MOST:
            continue
        if place_of(each.part) not in ("blocks", "setting", "quilting", "ties", "edge finish"):
            continue
        width = each.most[1] - each.most[0]
        near = each.median if width <= _TOGETHER_YEARS else round(each.median / 5) * 5
        years = f"in {near}" if width == 0 else f"about {near}"
        if told and told[-1][1] == years:
            told[-1] = (_listed([told[-1][0], done]), years)
        elif (done, years) not in told:
            told.append((done, years))
    return ", ".join(f"{done} {years}" for done, years in told)
