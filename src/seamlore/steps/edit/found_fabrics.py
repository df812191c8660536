"""Say of the fabrics that the photograph shows what they are called, which are one cloth, and which are two."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace

import msgspec

from seamlore.errors import ShapeError
from seamlore.limits import FABRIC_NAME
from seamlore.steps.fabrics.facts import alike, called, fabric_facts
from seamlore.steps.study.her_fabrics import HerFabric, HerFabrics, Piece, written
from seamlore.steps.study.job import Job
from seamlore.steps.study.patch_rings import PatchAt
from seamlore.steps.study.said_fabrics import FoundFabrics, SaidFabric

_PATCH = re.compile(r"(b?)(\d{1,3}),(\d{1,3}),(\d{1,4})")


@dataclass(frozen=True, slots=True)
class Said:
    """What was said of the fabrics, and what was done, in words."""

    fabrics: FoundFabrics
    says: str


def change_fabrics(job: Job, done: str, said_of: Mapping[str, str], patches: Sequence[str] = ()) -> Said:
    """Do what a page asks for with one fabric.

    Parameters
    ----------
    job : Job
        With its photograph read.
    done : str
        "name", "merge", "split" or "back".
    said_of : mapping of str to str
        "fabric": the number of the fabric in the order of `fabric_facts`, from 0; "name"; "other": the number of the
        fabric that it is one with, or "alike" for all of nearly its color.
    patches : sequence of str
        For "split": the patches that are another cloth, as `steps.fabrics.swatches.patch_name` names them.

    Raises
    ------
    ShapeError
        When there is no such fabric or patch, or it cannot be done.
    """
    hers = job.her_fabrics
    order = _order(hers)
    at = _number(said_of.get("fabric", ""), order)
    if done == "name":
        return name_fabric(job, at, said_of.get("name", ""))
    if done == "merge":
        other = said_of.get("other", "")
        if other == "alike":
            facts = fabric_facts(hers.fabrics)
            shown = next(number for number, index in enumerate(order) if index == at)
            others = [order[each] for each in alike([fact.fabric for fact in facts])[shown]]
        else:
            others = [_number(other, order)]
        return merge_fabrics(job, [at, *others])
    if done == "split":
        return split_fabric(job, at, [_patch(each) for each in patches])
    if done == "back":
        return as_told(job, at)
    raise ShapeError(f'"{done[:20]}"', "the page asks for nothing that is known", "reload the page")


def _order(hers: HerFabrics) -> list[int]:
    """The places in `HerFabrics.fabrics` of the fabrics as pages list them."""
    index = {id(each): number for number, each in enumerate(hers.fabrics)}
    return [index[id(each.fabric)] for each in fabric_facts(hers.fabrics)]


def _number(text: str, order: Sequence[int]) -> int:
    if not re.fullmatch(r"\d{1,5}", text) or int(text) >= len(order):
        raise ShapeError(f'a fabric "{text[:20]}"', f"there are {len(order)}", "choose one of these")
    return order[int(text)]


def _patch(text: str) -> PatchAt:
    read = _PATCH.fullmatch(text)
    if read is None:
        raise ShapeError(f'a patch "{text[:20]}"', "the quilt has none there", "reload the page")
    return bool(read[1]), int(read[2]), int(read[3]), int(read[4])


def name_fabric(job: Job, at: int, name: str) -> Said:
    """Call a fabric by a name; an empty one takes it back.

    Raises
    ------
    ShapeError
        When the name is too long, or another fabric has it.
    """
    text = " ".join(name.split())
    if "#" in text or len(text) > FABRIC_NAME:
        limit = f"a fabric's name is at most {FABRIC_NAME} letters, without #"
        raise ShapeError(f'"{text[:40]}"', limit, "write it otherwise")
    hers = job.her_fabrics
    if text and any(each.name == text for number, each in enumerate(hers.fabrics) if number != at):
        raise ShapeError(f'"{text}"', "another fabric is called so", "merge the two if they are one cloth")
    said = _told(job)
    before = said[at] or SaidFabric()
    now = msgspec.structs.replace(before, name=text)
    alone = len(hers.made_of[at].pieces) == 1 and hers.made_of[at].pieces[0].whole
    said[at] = None if not text and alone and not now.by_hand else now
    label = called(hers.fabrics)[at]
    return _said(job, hers.made_of, said, f"called {label} {text}" if text else f"took back the name of {label}")


def merge_fabrics(job: Job, which: Sequence[int]) -> Said:
    """Say that fabrics are one cloth, told apart by light or wear; they go by the first name that one of them has.

    Raises
    ------
    ShapeError
        When there are not two.
    """
    meant = list(dict.fromkeys(which))
    if len(meant) < 2:
        raise ShapeError("one fabric", "two are wanted to be one cloth", "choose the other one")
    hers, said = job.her_fabrics, _told(job)
    first = meant[0]
    told_of = [each for at in meant if (each := said[at])]
    now = SaidFabric(
        name=next((each.name for each in told_of if each.name), ""),
        parts=tuple(part for each in told_of for part in each.parts),
        by_hand=len(told_of) == len(meant) and all(each.by_hand for each in told_of),
    )
    joined = HerFabric(_joined([piece for at in meant for piece in hers.made_of[at].pieces]))
    made = [joined if at == first else each for at, each in enumerate(hers.made_of) if at == first or at not in meant]
    told = [now if at == first else each for at, each in enumerate(said) if at == first or at not in meant]
    labels = [called(hers.fabrics)[at] for at in meant]
    return _said(job, made, told, f"said that {', '.join(labels[:-1])} and {labels[-1]} are one cloth")


def _joined(pieces: Sequence[Piece]) -> tuple[Piece, ...]:
    """Pieces of one fabric told apart put together again."""
    found: dict[str, Piece] = {}
    for each in pieces:
        before = found.get(each.fabric.id)
        found[each.fabric.id] = replace(before, spots=(*before.spots, *each.spots)) if before else each
    return tuple(found.values())


def split_fabric(job: Job, at: int, patches: Sequence[PatchAt]) -> Said:
    """Say that some patches of a fabric are of another cloth.

    Raises
    ------
    ShapeError
        When none or all are meant, or one is not of this fabric.
    """
    hers, said = job.her_fabrics, _told(job)
    out, there = set(patches), set(hers.made_of[at].spots)
    label = called(hers.fabrics)[at]
    if not out:
        raise ShapeError("no patch", f"none of {label} is marked", "mark those that are of another cloth")
    if not out <= there:
        raise ShapeError("a patch that is marked", f"it is not of {label}", "reload the page")
    if out == there:
        raise ShapeError(
            f"every patch of {label}", "nothing of it would be left", "mark those of the other cloth only"
        )

    def part(keep: Callable[[PatchAt], bool]) -> HerFabric:
        kept = [replace(each, spots=tuple(filter(keep, each.spots))) for each in hers.made_of[at].pieces]
        return HerFabric(tuple(each for each in kept if each.spots))

    made = [*hers.made_of, part(lambda spot: spot in out)]
    made[at] = part(lambda spot: spot not in out)
    told = [*said, SaidFabric(by_hand=True)]
    says = f"split {len(out)} of {len(there)} patches from {label}"
    return _said(job, made, told, says)


def as_told(job: Job, at: int) -> Said:
    """Take back what was said of a fabric: it is as the photograph tells it, merged and split no more.

    What was split from it, or what it was split from, gets its patches back where nothing else was said of that.
    """
    said = _told(job)
    label = called(job.her_fabrics.fabrics)[at]
    said[at] = None
    return _said(job, job.her_fabrics.made_of, said, f"took back what was said of {label}")


def _told(job: Job) -> list[SaidFabric | None]:
    """What is said of each fabric of the reading as it is now; of its parts those that the reading does not show."""
    found, hers = job.inputs.fabrics.said, job.her_fabrics

    def told(number: int) -> SaidFabric:
        gone = hers.gone.get(number, ())
        return msgspec.structs.replace(found[number], parts=tuple(found[number].parts[k] for k in gone))

    return [None if each.said is None else told(each.said) for each in hers.made_of]


def _said(job: Job, made: Sequence[HerFabric], told: Sequence[SaidFabric | None], says: str) -> Said:
    now, gone = job.inputs.fabrics.said, job.her_fabrics.gone
    kept = {each.said for each in job.her_fabrics.made_of if each.said is not None}
    # What this reading does not show may come again with the next.
    lost = [now[number] for number in gone if number not in kept]
    return Said(written(job.look, list(zip(made, told, strict=True)), lost), says)
