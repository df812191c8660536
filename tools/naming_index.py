"""Write the catalogue's index anew, after a block was added or mended: `python tools/naming_index.py`.

To name a block, its seams are set against those of all drawings of the catalogue at once. Laying those over each other
takes half a second, so the result lies in the package; `tests/draft/naming/test_index.py` fails when it is out of date.
"""

from __future__ import annotations

from pathlib import Path

from seamlore.draft.catalogue import all_blocks
from seamlore.draft.naming.index import index_of, to_file

FILE = Path(__file__).resolve().parent.parent / "src" / "seamlore" / "draft" / "naming" / "catalogue.npz"

if __name__ == "__main__":
    FILE.write_bytes(to_file(index_of(all_blocks())))
    print(f"{FILE.name}: {FILE.stat().st_size:,} bytes")
