"""Draw every block of the catalogue with its names onto sheets to be looked at.

Run from the project's folder: ``python tools/contact_sheet.py FOLDER [--across 6] [--side 220]``.
"""

from __future__ import annotations

import argparse
from pathlib import Path

from PIL import Image, ImageDraw, ImageFont

from seamlore.draft.block import Block
from seamlore.draft.catalogue import all_blocks

FILL = {
    "light": ["#f4efe2", "#e7dcc0", "#efe3e3"],
    "medium": ["#c9a26b", "#a9b98f", "#d29a8c"],
    "dark": ["#2f4a6d", "#7d2e2e", "#3e5a3b"],
}
# Drawn three times too large and reduced, so that slanted seams look straight.
FINE = 3


def colors(block: Block) -> dict[str, str]:
    """A color for each place by its value; places of one value differ."""
    used: dict[str, int] = {}
    found = {}
    for letter, place in block.places.items():
        shade = used.get(place.value, 0)
        used[place.value] = shade + 1
        found[letter] = FILL[place.value][shade % 3]
    return found


def tile(block: Block, side: int) -> Image.Image:
    """One block as a square picture."""
    picture = Image.new("RGB", (side * FINE, side * FINE), "white")
    pen = ImageDraw.Draw(picture)
    fill = colors(block)
    for each in block.patches:
        corners = [(float(x) * (side * FINE - 1), float(y) * (side * FINE - 1)) for x, y in each.outline]
        pen.polygon(corners, fill=fill[each.place], outline="#333333", width=FINE)
    return picture.resize((side, side), Image.Resampling.LANCZOS)


def sheets(blocks: tuple[Block, ...], across: int, side: int) -> list[Image.Image]:
    """All blocks, `across` in a row and as many rows on a sheet, with names under them."""
    font = ImageFont.load_default(size=13)
    step_x, step_y = side + 30, side + 62
    made = []
    for start in range(0, len(blocks), across * across):
        page = Image.new("RGB", (across * step_x, across * step_y), "white")
        pen = ImageDraw.Draw(page)
        for index, block in enumerate(blocks[start : start + across * across]):
            left, top = index % across * step_x + 15, index // across * step_y + 10
            page.paste(tile(block, side), (left, top))
            said = f"{block.name} ({block.divisions})"
            pen.text((left, top + side + 4), said[: side // 7], fill="black", font=font)
            pen.text((left, top + side + 22), ", ".join(block.also)[: side // 7], fill="#666666", font=font)
        made.append(page)
    return made


def main() -> None:
    """Write the sheets as PNG files into a folder."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("folder", type=Path)
    parser.add_argument("--across", type=int, default=6)
    parser.add_argument("--side", type=int, default=220)
    asked = parser.parse_args()
    asked.folder.mkdir(parents=True, exist_ok=True)
    for number, page in enumerate(sheets(all_blocks(), asked.across, asked.side), start=1):
        page.save(asked.folder / f"blocks-{number}.png")


if __name__ == "__main__":
    main()
