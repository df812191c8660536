"""Write the JSON Schema of every record that others rely on into docs/schema.

python tools/schemas.py
"""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import msgspec

from seamlore.making import listing
from seamlore.photo.reading import Reading
from seamlore.steps.leaving import zipped
from seamlore.steps.study.sections import SECTIONS
from seamlore.steps.study.versions import schema
from seamlore.study import record

FOLDER = Path(__file__).resolve().parent.parent / "docs" / "schema"


def schemas() -> dict[str, dict[str, Any]]:
    """Give every schema by the name of its file."""
    found = {
        "reading.json": msgspec.json.schema(Reading),
        "plan.json": listing.schema(),
        "study.json": record.schema(),
        "study-zip.json": zipped.schema(),
    }
    return found | {f"section-{name}.json": schema(name) for name in SECTIONS}


def text(schema: dict[str, Any]) -> str:
    """Write a schema as it is kept."""
    return json.dumps(schema, indent=1, sort_keys=True) + "\n"


def main() -> None:
    """Write all of them."""
    FOLDER.mkdir(parents=True, exist_ok=True)
    for name, found in schemas().items():
        (FOLDER / name).write_text(text(found), encoding="utf-8")


if __name__ == "__main__":
    main()
