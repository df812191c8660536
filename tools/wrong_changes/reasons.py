"""Which changes may be tried, and for what kind of reason one went unnoticed."""

from __future__ import annotations

import ast
import difflib
import json
import re
import textwrap
from pathlib import Path


def _raises(body: str) -> set[int]:
    """Which lines of a function refuse."""
    nodes = [node for node in ast.walk(ast.parse(textwrap.dedent(body))) if isinstance(node, ast.Raise)]
    return {line - 1 for node in nodes for line in range(node.lineno, (node.end_lineno or node.lineno) + 1)}


def _lines(body: str, changed: str) -> set[int]:
    """Which lines of a function are changed."""
    steps = difflib.SequenceMatcher(None, body.splitlines(), changed.splitlines(), autojunk=False).get_opcodes()
    return {line for tag, low, high, _, _ in steps if tag != "equal" for line in range(low, max(high, low + 1))}


def _bare(body: str) -> str:
    queries = r'"[^"]*\b(SELECT|INSERT|UPDATE|DELETE|PRAGMA)\b[^"]*"'
    told = re.sub(queries, lambda found: found[0].casefold(), body, flags=re.IGNORECASE)
    return re.sub(r"[\s,]+|(strict|encoding)=[^,)]*", "", told)


def changes(folder: Path) -> list[str]:
    """All changes that may be tried, by their names."""
    found = []
    for path in sorted((folder / "mutants").rglob("*.py.spans")):
        spans = json.loads(path.read_text(encoding="utf-8"))["spans"]
        text = path.with_suffix("").read_text(encoding="utf-8").splitlines(keepends=True)
        module = ".".join(path.relative_to(folder / "mutants" / "src").with_suffix("").with_suffix("").parts)
        refusing: dict[str, set[int]] = {}
        for name, (first, last) in spans.items():
            function, _, which = name.rpartition("__mutmut_")
            if which == "orig":
                continue
            begin, end = spans[f"{function}__mutmut_orig"]
            body, changed = (
                "".join(text[low - 1 : high]).strip("\n").replace(f"{function}__mutmut_{each}(", f"{function}(")
                for low, high, each in ((begin, end, "orig"), (first, last, which))
            )
            if function not in refusing:
                refusing[function] = _raises(body)
            if _bare(body) == _bare(changed) or _lines(body, changed) <= refusing[function]:
                continue
            found.append(f"{module.removesuffix('.__init__')}.{name}")
    return sorted(found)


def why(verdict: str, shown: str) -> tuple[str, str]:
    """Give the lines that a change exchanges, and for what kind of reason no test noticed.

    Parameters
    ----------
    verdict : str
    shown : str
        The change as a diff.

    Examples
    --------
    >>> why("unnoticed", "-    if a < 3:\\n+    if a <= 3:")
    ('if a < 3: -> if a <= 3:', 'a limit: no test stands just there')
    >>> why("unnoticed", '-    say("no")\\n+    say("NO")')[1]
    'words: what they say is not held letter by letter'
    """
    told = [line for line in shown.splitlines() if not line.startswith(("---", "+++"))]
    old, new = (" ".join(line[1:].strip() for line in told if line.startswith(sign)) for sign in "-+")
    steps = difflib.SequenceMatcher(None, old, new, autojunk=False).get_opcodes()
    gone = "".join(old[low:high] for tag, low, high, _, _ in steps if tag != "equal")
    come = "".join(new[low:high] for tag, _, _, low, high in steps if tag != "equal")
    if verdict == "without a test":
        reason = "no test of this room comes here; tests of rooms above do"
    elif gone.casefold() == come.casefold() or "XX" in come:
        reason = "words: what they say is not held letter by letter"
    elif re.fullmatch("=|[0-9.]*", gone + come):
        reason = "a limit: no test stands just there"
    elif "None" in come or not come:
        reason = "left out or None: what is used otherwise does the same in the cases tested"
    elif "True" in come or "False" in come or come in ("or", "and"):
        reason = "a case taken always or never: the other way leads to the same in the cases tested"
    else:
        reason = "another sum or sign: the cases tested come to the same"
    return f"{old} -> {new}", reason
