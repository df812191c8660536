"""What the documents name is there: rooms, ranks, commands, options, files, modules, decisions."""

from __future__ import annotations

import re
import tomllib
from functools import cache
from importlib import import_module
from itertools import chain
from pathlib import Path
from pkgutil import resolve_name

import pytest

from seamlore.cli.main import COMMANDS

ROOT = Path(__file__).resolve().parent.parent
SOURCE = ROOT / "src" / "seamlore"
DESIGN = ROOT / "docs" / "design.md"
DECISIONS = ROOT / "docs" / "decisions"
# The changelog tells what was, and names what has gone since.
PAGES = sorted({*ROOT.glob("*.md"), *(ROOT / "docs").rglob("*.md")} - {ROOT / "CHANGELOG.md"})
CODE = sorted(path for name in ("src", "tests", "judging", "tools") for path in (ROOT / name).rglob("*.py"))
PLANNED = "(not standing yet)"
# Words in backquotes that look like a path of the project and are none: what a user's own files are called.
HERS = {
    "quilt.toml",
    "quilt.jpg",
    "my.block",
    "photo.jpg",
    "evidence.toml",
    "scraps.csv",
    "pieces.csv",
    "placed.json",
    "reading.json",
}


def text(path: Path) -> str:
    """A document's text."""
    return path.read_text(encoding="utf-8")


def section(heading: str) -> str:
    """One section of the design."""
    return text(DESIGN).split(f"\n## {heading}\n")[1].split("\n## ")[0]


def drawn_rooms() -> dict[str, str]:
    """Each room that the design draws, and what it says of it."""
    tree = section("The rooms").split("```")[1]
    return {name.rstrip("/"): says for name, says in re.findall(r"^  (\w[\w.]*/?) +(\S.*)$", tree, re.MULTILINE)}


def in_quotes(path: Path) -> list[str]:
    """What stands in backquotes in a document, blocks of code left out."""
    plain = re.sub(r"```.*?```", "", text(path), flags=re.DOTALL)
    return re.findall(r"`([^`\n]+)`", plain)


@cache
def options(command: str) -> frozenset[str]:
    """The options of a command and of what stands under it."""
    found = import_module(f"seamlore.cli.{command}").command
    every = [found, *getattr(found, "commands", {}).values()]
    return frozenset(chain.from_iterable(p.opts + p.secondary_opts for each in every for p in each.params)) | {
        "--help"
    }


def test_every_room_is_drawn_in_the_design_and_every_room_drawn_is_there() -> None:
    there = {path.name for path in SOURCE.iterdir() if not path.name.startswith("_")}
    drawn = drawn_rooms()
    assert {name for name, says in drawn.items() if not says.startswith(PLANNED)} == there
    planned = {name for name, says in drawn.items() if says.startswith(PLANNED)}
    for name in planned:
        assert f"`{name}`" in section("Not standing yet")


def test_the_ranks_are_those_that_the_imports_are_held_to() -> None:
    line = next(line for line in section("The rooms").splitlines() if line.startswith("`errors"))
    told = [set(re.split(r", ", rank.strip("`. "))) for rank in line.split(" < ")]
    settings = tomllib.loads(text(ROOT / "pyproject.toml"))["tool"]["importlinter"]["contracts"]
    layers = next(
        each["layers"] for each in settings if each["type"] == "layers" and each["containers"] == ["seamlore"]
    )
    held = [set(re.findall(r"\w+", layer)) for layer in reversed(layers)]
    assert told == held
    # What holds data alone has no rank.
    assert set.union(*told) == {name.removesuffix(".py") for name in drawn_rooms()} - {"demo"}


def commands_in(page: Path) -> list[str]:
    """What is to be typed after `seamlore` or `python3 start.py`, in code and in backquotes."""
    code = "\n".join([*re.findall(r"```.*?```", text(page), re.DOTALL), *in_quotes(page)])
    return re.findall(r"^(?:\$ )?(?:python3 start\.py|seamlore) ([^\n#]+)", code, re.MULTILINE)


@pytest.mark.parametrize("page", PAGES, ids=lambda page: page.name)
def test_every_command_and_option_that_a_page_names_is_there(page: Path) -> None:
    planned = set(re.findall(r"`(\w+)`", section("Not standing yet")))
    for line in commands_in(page):
        for each in line.split(" | "):
            command = each.split()[0]
            if command == "test" or command in planned or command.startswith("-"):
                continue
            assert command in COMMANDS, f"{page.name}: seamlore {line}"
            for option in re.findall(r"(?<![\w-])--[a-z][a-z-]*", each):
                assert option in options(command), f"{page.name}: seamlore {command} {option}"


def test_every_module_and_tool_that_is_to_be_run_is_there() -> None:
    missing = []
    for page in [*PAGES, *CODE]:
        for module in re.findall(r"-m ((?:judging|seamlore|tools)(?:\.\w+)+)", text(page)):
            top = SOURCE.parent if module.startswith("seamlore") else ROOT
            if not (top / Path(*module.split("."))).with_suffix(".py").exists():
                missing.append(f"{page.name}: {module}")
        for tool in re.findall(r"python3? (tools/\w+\.py)", text(page)):
            if not (ROOT / tool).exists():
                missing.append(f"{page.name}: {tool}")
    assert not missing


@pytest.mark.parametrize("page", PAGES, ids=lambda page: page.name)
def test_every_file_that_a_page_names_is_there(page: Path) -> None:
    for word in set(in_quotes(page)) - HERS:
        if re.fullmatch(r"[\w.][\w./-]*(?:/|\.(?:py|md|toml|json|csv|txt|npz|onnx|lock|typ|js|html))", word):
            near = (ROOT, SOURCE, ROOT / "docs", page.parent)
            assert any((place / word).exists() for place in near), f"{page.name}: {word}"
    for target in re.findall(r"\]\(([^)#:]+)\)", text(page)):
        assert (page.parent / target).exists(), f"{page.name}: {target}"


@cache
def exists(dotted: str) -> bool:
    """Whether a module, or a name in one, is there; what needs PyTorch is not imported."""
    parts = dotted.split(".")
    if (ROOT if parts[0] == "judging" else SOURCE.parent).joinpath(*parts).with_suffix(".py").exists():
        return True
    try:
        resolve_name(dotted)
    except (ImportError, AttributeError):
        return False
    return True


def test_every_module_and_name_that_is_given_with_its_dots_is_there() -> None:
    rooms = {path.stem for path in SOURCE.iterdir()}
    missing = []
    for page in [*PAGES, *CODE]:
        for word in re.findall(r"(?<!`)`([a-z_]+(?:\.\w+)+)`", text(page)):
            head = word.split(".")[0]
            # In code, what has no room before it may be an attribute of what is spoken of.
            if head in {"seamlore", "judging"} or (page.suffix == ".md" and head in rooms):
                whole = word if head in {"seamlore", "judging"} else f"seamlore.{word}"
                if word not in HERS and not (SOURCE / word).exists() and not exists(whole):
                    missing.append(f"{page.relative_to(ROOT)}: {word}")
    assert not missing


def test_decisions_are_numbered_without_gaps_and_none_twice() -> None:
    numbers = sorted(int(path.name[:4]) for path in DECISIONS.glob("*.md"))
    assert numbers == list(range(1, len(numbers) + 1))
    for path in DECISIONS.glob("*.md"):
        assert re.match(r"# [A-Z]", text(path)), path.name
        for word in ("Context", "Choice", "Rejected", "Consequence"):
            assert word in text(path), f"{path.name}: {word}"


def test_every_decision_that_is_referred_to_is_there() -> None:
    numbers = {path.name[:4] for path in DECISIONS.glob("*.md")}
    for page in [*PAGES, *CODE]:
        assert set(re.findall(r"[Dd]ecisions? (\d{4})", text(page))) <= numbers, page.name


def test_nothing_refers_to_where_work_is_talked_over() -> None:
    word = re.compile(r"\b" + "iss" + r"ues?\b", re.IGNORECASE)
    ours = [path for kind in ("html", "js", "css", "typ", "sql", "toml") for path in SOURCE.rglob(f"*.{kind}")]
    ours += [ROOT / "start.py", ROOT / "pyproject.toml"]
    found = [path for path in [*PAGES, *CODE, *ours] if "vendor" not in path.parts and word.search(text(path))]
    assert not found


def test_the_design_says_what_each_command_is_called() -> None:
    line = next(line for line in section("The formats that others rely on").splitlines() if "Command line" in line)
    assert line.split("`")[1].removeprefix("seamlore ").split(" | ") == list(COMMANDS)
