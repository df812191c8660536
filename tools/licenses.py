"""List the licenses of everything that the program installs or carries: writes docs/licenses.md.

    python tools/licenses.py

Run it in the project's own environment after the lock has changed.
"""

from __future__ import annotations

import re
from importlib.metadata import PackageNotFoundError, distribution
from pathlib import Path

ROOT = Path(__file__).resolve().parent.parent
CARRIED = (
    ("Source Sans 3", "fonts in `src/seamlore/printing/fonts`", "SIL Open Font License 1.1"),
    ("htmx 2.0.11", "`src/seamlore/web/static/vendor`", "Zero-Clause BSD"),
    ("axe-core (for tests only)", "`tests/web/browser/axe`", "MPL-2.0"),
    ("OpenSeadragon 6.1.1", "`src/seamlore/web/static/vendor`", "BSD 3-Clause"),
)
# Where a package's data says nothing, or too much, its license file was read.
READ = {
    "opencv-python-headless": "Apache-2.0; its wheel carries FFmpeg under LGPL-2.1 and other libraries, listed in it",
    "pi-heif": "BSD-3-Clause; its wheel carries libheif and libde265 under LGPL-3.0",
    "colorama": "BSD-3-Clause",
    "flit-core": "BSD-3-Clause",
    "pyyaml-ft": "MIT",
    "shapely": "BSD-3-Clause; its wheel carries GEOS under LGPL-2.1",
}


def packages(lock: Path) -> list[tuple[str, str]]:
    """Give name and version of each package in a lock."""
    return re.findall(r"^([A-Za-z0-9_.-]+)==([^\s;\\]+)", lock.read_text(encoding="utf-8"), re.MULTILINE)


def license(name: str) -> str:
    """Give a package's license as it declares it."""
    if name in READ:
        return READ[name]
    try:
        data = distribution(name).metadata
    except PackageNotFoundError:
        return "not installed on this system"
    if data["License-Expression"]:
        return str(data["License-Expression"])
    classes = [each.rsplit(" :: ", 1)[-1] for each in data.get_all("Classifier") or [] if each.startswith("License")]
    if classes:
        return ", ".join(classes)
    return " ".join(str(data["License"] or "not declared").split())[:60]


def main() -> None:
    run, test = packages(ROOT / "requirements.lock"), packages(ROOT / "requirements-test.lock")
    names = {name for name, _ in run}
    lines = [
        "# Licenses",
        "",
        "Seamlore itself is under Apache-2.0. None of what it installs or carries forbids passing it on. Made by",
        "`python tools/licenses.py` from the locks and the installed packages.",
        "",
        "## Carried in the project",
        "",
        "| what | where | license |",
        "|---|---|---|",
        *(f"| {what} | {where} | {terms} |" for what, where, terms in CARRIED),
        "",
        "## Installed to run it",
        "",
        "| package | version | license |",
        "|---|---|---|",
        *(f"| {name} | {version} | {license(name)} |" for name, version in run),
        "",
        "## Installed to check it",
        "",
        "| package | version | license |",
        "|---|---|---|",
        *(f"| {name} | {version} | {license(name)} |" for name, version in test if name not in names),
    ]
    (ROOT / "docs" / "licenses.md").write_text("\n".join(lines) + "\n", encoding="utf-8")


if __name__ == "__main__":
    main()
