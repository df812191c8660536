"""Change how the next quilt is to be sewn."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

import msgspec

from seamlore.errors import NotationError
from seamlore.steps.study.sections import Sewing

_CHOICES: Mapping[str, tuple[str, ...]] = {
    "method": ("machine", "hand", "papers"),
    "quilted": ("off the seams", "in the ditch"),
    "ink": ("color", "black"),
}


def resewn(now: Sewing, typed: Mapping[str, str]) -> Sewing:
    """Take what was chosen; what was not asked stays.

    Raises
    ------
    NotationError
        When something is chosen that there is not.

    Examples
    --------
    >>> resewn(Sewing(), {"method": "hand"})
    Sewing(method='hand', quilted='off the seams', ink='color')
    >>> resewn(Sewing(), {"ink": "blue"})
    Traceback (most recent call last):
        ...
    seamlore.errors.NotationError: ink "blue": it is color or black; choose one of these
    """
    given: dict[str, Any] = {}
    for name, choices in _CHOICES.items():
        if name in typed:
            if typed[name] not in choices:
                said = f"{', '.join(choices[:-1])} or {choices[-1]}"
                raise NotationError(f'{name} "{typed[name][:20]}"', f"it is {said}", "choose one of these")
            given[name] = typed[name]
    return msgspec.structs.replace(now, **given)
