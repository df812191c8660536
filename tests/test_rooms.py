"""The rooms hold to docs/design.md where the ranks of imports do not say it all."""

import ast
from pathlib import Path

import pytest

from seamlore.draft.quilt import Quilt

ROOT = Path(__file__).parents[1] / "src" / "seamlore"
# A folder with more modules than this is no longer taken in at one look.
MOST_MODULES = 22
# What pages and commands are made of: steps, and what shows a step's answer.
SHOWING = {"steps", "pictures", "drawing", "lengths", "errors", "limits", "wording", "files", "shelf", "web", "cli"}


def imported(path: Path) -> set[str]:
    """What a module imports when it runs, within functions too; not what it names for types alone."""
    found, left = set(), [ast.parse(path.read_text(encoding="utf-8"))]
    while left:
        node = left.pop()
        if isinstance(node, ast.If) and isinstance(node.test, ast.Name) and node.test.id == "TYPE_CHECKING":
            continue
        if isinstance(node, ast.ImportFrom):
            assert node.level == 0, f"{path}: rooms are named whole"
            found |= {f"{node.module}.{name.name}" for name in node.names}
        elif isinstance(node, ast.Import):
            found |= {name.name for name in node.names}
        left += ast.iter_child_nodes(node)
    return found


def modules(room: str) -> list[Path]:
    found = sorted((ROOT / room).rglob("*.py"))
    assert found, room
    return found


@pytest.mark.parametrize("folder", sorted({path.parent for path in ROOT.rglob("*.py")}), ids=lambda path: path.name)
def test_no_folder_is_crowded(folder):
    named = [path.stem for path in folder.glob("*.py") if path.stem != "__init__"]
    assert len(named) <= MOST_MODULES, f"{len(named)} modules: {', '.join(sorted(named))}"


@pytest.mark.parametrize("path", modules("web") + modules("cli"), ids=lambda path: str(path.relative_to(ROOT)))
def test_pages_and_commands_hold_no_rule(path):
    """They reach the quilt through steps alone, so that screen and command line cannot come to differ."""
    rooms = {name.split(".")[1] for name in imported(path) if name.startswith("seamlore.")}
    assert rooms <= SHOWING | {"__version__"}
    assert not {name for name in imported(path) if name.split(".")[0] in ("numpy", "fractions", "cv2", "PIL")}


def test_a_study_knows_nothing_of_its_edits():
    for path in modules("steps/study"):
        assert not {name for name in imported(path) if name.startswith("seamlore.steps.edit")}, path


# Rooms whose kinds are those of a reading or of rectangles.
OTHER_KINDS = ("draft", "photo", "packing")


def first_of_kinds(text: str) -> list[int]:
    """The lines in which one of a quilt's kinds is asked for by its number."""
    found = []
    for node in ast.walk(ast.parse(text)):
        if isinstance(node, ast.Subscript) and isinstance(node.value, ast.Attribute) and node.value.attr == "kinds":
            index = node.slice.operand if isinstance(node.slice, ast.UnaryOp) else node.slice
            found += [node.lineno] * isinstance(index, ast.Constant)
    return found


def test_no_room_asks_for_the_block_of_a_quilt():
    """A quilt has kinds, counted and placed; which comes first among them says nothing."""
    assert first_of_kinds("one\nquilt.kinds[0].block, quilt.kinds[-1], quilt.kinds[sign]") == [2, 2]
    for path in sorted(ROOT.rglob("*.py")):
        text = path.read_text(encoding="utf-8")
        if path.relative_to(ROOT).parts[0] not in OTHER_KINDS and ".kinds[" in text:
            assert not first_of_kinds(text), path


def test_a_quilt_has_no_main_block_and_no_second_one():
    named = {name for name in dir(Quilt) if not name.startswith("_")} | set(Quilt.__dataclass_fields__)
    assert not named & {"block", "main_block", "second", "second_block", "first_kind", "main_kind"}
