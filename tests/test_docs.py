"""Documents that must not fall behind what they speak of."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parent.parent


@pytest.mark.parametrize("lock", ["requirements.lock", "requirements-test.lock"])
def test_every_locked_package_has_its_license_listed(lock):
    listed = (ROOT / "docs" / "licenses.md").read_text(encoding="utf-8")
    for name, version in re.findall(r"^([A-Za-z0-9_.-]+)==([^\s;\\]+)", (ROOT / lock).read_text(), re.MULTILINE):
        assert f"| {name} | {version} |" in listed


@pytest.mark.parametrize("lock", ["requirements.lock", "requirements-test.lock"])
def test_a_lock_pins_by_hash_and_names_no_address(lock):
    text = (ROOT / lock).read_text()
    assert "://" not in text
    entries = re.findall(r"^[A-Za-z0-9_.-]+==.*?(?=^[A-Za-z]|\Z)", text, re.MULTILINE | re.DOTALL)
    assert len(entries) > 10
    assert all("--hash=sha256:" in entry for entry in entries)


def test_every_vendored_script_has_its_license_beside_it_and_names_no_other_host():
    folder = ROOT / "src" / "seamlore" / "web" / "static" / "vendor"
    scripts = list(folder.glob("*.js"))
    assert scripts
    for script in scripts:
        assert (folder / f"{script.name.split('-')[0]}.LICENSE").exists()
        assert "sourceMappingURL" not in script.read_text(encoding="utf-8")


def test_every_schema_is_as_the_records_are():
    from tools.schemas import FOLDER, schemas, text

    assert {name: text(schema) for name, schema in schemas().items()} == {
        path.name: path.read_text(encoding="utf-8") for path in FOLDER.glob("*.json")
    }


def test_the_quick_part_of_the_accuracy_page_is_up_to_date():
    from tools.accuracy import quick

    page = (ROOT / "docs" / "accuracy.md").read_text(encoding="utf-8")
    for row in quick():
        assert "| " + " | ".join(row) + " |" in page


def test_every_command_stands_in_the_readme_or_the_plan():
    from seamlore.cli.main import COMMANDS

    pages = "".join((ROOT / name).read_text(encoding="utf-8") for name in ("README.md", "docs/design.md"))
    for command in COMMANDS:
        assert command in pages


def test_every_link_of_the_readme_leads_somewhere():
    for target in re.findall(r"\]\(([^)#:]+)\)", (ROOT / "README.md").read_text(encoding="utf-8")):
        assert (ROOT / target).exists(), target
