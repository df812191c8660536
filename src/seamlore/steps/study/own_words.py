"""A user's own words in a study, which no change of wording touches."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

from seamlore.draft.block import Block
from seamlore.draft.catalogue import names, notes
from seamlore.draft.quilt import Quilt
from seamlore.errors import SeamloreError

if TYPE_CHECKING:
    # All that follows from a study; a command that only names a quilt needs none of it.
    from seamlore.steps.study.job import Job

_IN_QUOTES = re.compile(r'"([^"\n]+)"|\'([^\'\n]+)\'')


def own_words(job: Job) -> frozenset[str]:
    """Gather what a user has written: names, the story, words of the label, fabrics, evidence; and names of blocks.

    Examples
    --------
    >>> from seamlore.steps.study.inputs import Inputs
    >>> from seamlore.steps.study.job import Job
    >>> from seamlore.steps.study.sections import About, Evidence
    >>> inputs = Inputs(about=About(name="Gray ladies"), evidence=Evidence(text='says = "a gray ground"'))
    >>> {"Gray ladies", "a gray ground", "Wide-Center Log Cabin"} <= own_words(Job(inputs))
    True
    """
    given = job.inputs
    said = {given.about.name, given.photo_name, *given.choice.fabrics.values()}
    said |= {each.name for each in given.fabrics.said}
    said |= {line.strip() for line in given.about.story.splitlines()} | {" ".join(given.about.story.split())}
    said |= {str(getattr(given.label, field)) for field in given.label.__struct_fields__}
    keeping, noticed = given.keeping, given.noticed
    said |= {*noticed.said.values(), *noticed.own}
    said |= {
        keeping.accession,
        keeping.acquired,
        keeping.acquired_from,
        keeping.kept_at,
        keeping.price,
        keeping.owner,
    }
    said |= {*keeping.tags, *keeping.living, *(line.strip() for line in keeping.address.splitlines())}
    said |= {first or second for first, second in _IN_QUOTES.findall(given.evidence.text)}
    if given.choice.draft or given.choice.block:
        try:
            quilt = job.quilt
        except SeamloreError:
            # It cannot be read; the page says why, in the user's words between quotation marks.
            pass
        else:
            said |= own_names(quilt) | {note for kind in quilt.kinds for note in kind.block.notes} - notes()
    said |= set(names())
    return frozenset(word for word in said if word)


def own_names(given: Block | Quilt) -> frozenset[str]:
    """Gather what a block or a quilt, its fabrics and its borders are called."""
    if isinstance(given, Block):
        return frozenset({given.name, *given.also})
    borders = {side.fabric for each in given.borders for side in each.sides}
    blocks = {name for kind in given.kinds for name in kind.block.names}
    fabrics = {name for kind in given.kinds for name in kind.fabrics.values()} | set(given.fabrics.values())
    own = {name for row in given.cells for cell in row for name in cell.fabrics.values()}
    return frozenset({given.name, *blocks, *fabrics, *borders, *own})
