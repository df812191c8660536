"""Whether booklets say all that is sewn: of every catalogue block, and of twenty whole quilts.

`python -m judging.making.booklets` prints each as PDF and writes a line for each to docs/accuracy/booklets.txt: how many pages, how
many steps, what is amiss. `--every 10` prints each tenth alone. A booklet is looked at twice, with nothing of the code that lays
it out: as a tree of headings, words, tables and pictures, and as the PDF that came of it. The tests do the first for the whole
quilts and a sixth of the blocks, the second for four; all of it is done here alone.
"""

from __future__ import annotations

import argparse
import dataclasses
import datetime
import io
import re
import shutil
import subprocess
import sys
from collections.abc import Iterator, Sequence
from itertools import pairwise
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any

import numpy as np

from judging.making.booklet_quilts import QUILTS

DAY = datetime.date(2026, 11, 30)
TABLE = Path(__file__).parents[2] / "docs" / "accuracy" / "booklets.txt"
# ISO 216 A4; ANSI Y14.1 size A.
PAPERS_MM = {"a4": (210.0, 297.0), "letter": (215.9, 279.4)}
# What printers leave white at the edge of a page at most: common practice, no source.
EDGE_MM = 6.0
# A page with less on it than this part of its height is nearly empty; the last page before drawings at true scale may be.
FULL = 0.12
# Dots to the inch of the pictures that pages are looked at by.
DOTS = 40
# Where one label of the cutting list ends and the next begins.
LABELS = re.compile(
    r", (?=[A-Z]|(?:vertical |horizontal )?sashing|border|(?:side|corner) triangle|strip|row end|cornerstone)"
)


def of_block(name: str, side: str = "12 in", rows: int = 1, columns: int = 2) -> Any:
    """A quilt of one block, as a draft file would say it."""
    from seamlore.draft.catalogue import find
    from seamlore.draft.repeated import repeated
    from seamlore.lengths import length

    return repeated(name, find(name), length(side), length(side), rows, columns)


def of_text(text: str) -> Any:
    """A quilt from its draft file."""
    from seamlore.draft.catalogue import find
    from seamlore.draft.text.quilt_file import read_quilt

    return read_quilt(text, find_block=find)


def laid_out(quilt: Any, paper: str = "letter", *, plain: bool = False) -> tuple[Any, Any]:
    """The content of a quilt's booklet, and the document."""
    from seamlore.making.plan import plan
    from seamlore.sheets.booklet import booklet
    from seamlore.steps.booklet import booklet_content

    content = booklet_content(plan(quilt), printed=DAY)
    return content, booklet(content, paper, plain=plain)  # type: ignore[arg-type]


def walked(thing: Any) -> Iterator[Any]:
    """Everything that a document holds, pictures whole."""
    if type(thing).__name__ == "Picture":
        yield thing
    elif dataclasses.is_dataclass(thing):
        yield thing
        for each in dataclasses.fields(thing):
            yield from walked(getattr(thing, each.name))
    elif isinstance(thing, tuple | list):
        for each in thing:
            yield from walked(each)


def text_of(thing: Any) -> str:
    """All words of a part of a document, and what its pictures say to who cannot see them."""
    if isinstance(thing, str):
        return thing
    if type(thing).__name__ == "Picture":
        return str(thing.description)
    if dataclasses.is_dataclass(thing):
        return " ".join(text_of(getattr(thing, each.name)) for each in dataclasses.fields(thing))
    return " ".join(map(text_of, thing)) if isinstance(thing, tuple | list) else ""


def faults(quilt: Any, content: Any, document: Any, paper: str = "letter") -> tuple[int, list[str]]:
    """How many steps a booklet has, and what is amiss in it."""
    from seamlore.steps.sewing.sew import sewing_record

    record = sewing_record(quilt, "machine")
    steps = [step for block in record["blocks"] for step in block["steps"]] + record["top"]
    sections = [each for each in walked(document.blocks) if type(each).__name__ == "Section"]
    numbered = [each for each in sections if re.match(r"\d+  ", each.heading)]
    found = []
    if [each.heading for each in numbered] != [f"{n}  {step['title']}" for n, step in enumerate(steps, start=1)]:
        found.append("steps are not those of the record, one after the other")
    for section, step in zip(numbered, steps, strict=False):
        said = text_of(section)
        pictures = [each for each in walked(section) if type(each).__name__ == "Picture"]
        if len(pictures) != 1 or any(words not in said for words in step["words"]):
            found.append(f"{section.heading}: not drawn, or not told")
        if "should now measure" not in text_of(section.beside):
            found.append(f"{section.heading}: its size is not told")
    told = " ".join(text_of(section) for section in numbered)
    for fabric in content.cutting:
        for label in (each for line in fabric.lines for each in re.split(LABELS, line.label)):
            if not spoken(label, told) and len(content.top_pieces) + len(numbered) > 1:
                found.append(f"{label} is cut and never sewn")
    plates = " ".join(text_of(each) for each in document.blocks if type(each).__name__ in ("Plate", "Section"))
    for template in content.templates:
        if not re.search(rf"(?<!\w){re.escape(template.label)}(?!\w)", plates):
            found.append(f"no template and no size for {template.label}")
    wide, high = PAPERS_MM[paper]
    for picture in (each for each in walked(document.blocks) if type(each).__name__ == "Picture"):
        if picture.width_mm > wide - 2 * EDGE_MM or picture.height_mm > high - 2 * EDGE_MM:
            found.append(f"{picture.title} runs past the page")
    return len(numbered), found


def untold(content: Any) -> list[str]:
    """What is amiss in the content of a booklet before it is laid out: without a picture, so that it is soon done for every block.

    Every step joins pieces and what was made before it, all that is made is used, the last has all pieces; each says what is
    done and what it should measure; all that is cut is sewn; foundations hold every piece once; no chapter is empty.
    """
    found, told = [], ""
    for name, labels, steps in (
        *((each.name, each.labels, each.steps) for each in content.blocks),
        *((("the top", [piece.name for piece in content.top_pieces], content.top),) if content.top else ()),
    ):
        stock = {label: list(labels).count(label) for label in labels}
        for told_step in steps:
            step = told_step.step
            said = " ".join(told_step.words)
            told += f" {said} {' '.join(part.name for part in step.parts)}"
            if not said or "should now measure" not in told_step.size or not told_step.title:
                found.append(f"{name}, {step.name}: not told")
            for part in step.parts:
                if part.name not in said.replace(f"{part.name}s", part.name):
                    found.append(f"{name}, {step.name}: {part.name} is not in its words")
                stock[part.name] = stock.get(part.name, 0) - step.count
            stock[step.name] = stock.get(step.name, 0) + step.count
        if steps and {each for each, count in stock.items() if count} != {steps[-1].step.name}:
            found.append(f"{name}: made and used do not balance: {stock}")
        if steps and len(steps[-1].step.pieces) != len(labels):
            found.append(f"{name}: the last step does not hold all pieces")
    labels = [each for fabric in content.cutting for line in fabric.lines for each in re.split(LABELS, line.label)]
    if len(content.top_pieces) + sum(len(each.steps) for each in content.blocks) > 1:
        found += [f"{label} is cut and never sewn" for label in labels if not spoken(label, told)]
    for each in content.foundations:
        held = sorted(piece for section in each.foundations.sections for piece in section.pieces)
        if held != list(range(len(each.labels))) or not all(each.said):
            found.append(f"{each.name}: its foundations do not hold every piece once")
    for chapter in (
        "buy",
        "cutting",
        "blocks",
        "templates",
        "difficulty",
        "tools",
        "hours",
        "layout",
        "finishing_steps",
    ):
        if not getattr(content, chapter):
            found.append(f"nothing is told of {chapter.replace('_', ' ')}")
    return found


def spoken(label: str, told: str) -> bool:
    """Whether a label of the cutting list is named, as it stands or with its place in brackets, or in a drawing's letters."""
    if ", all sides" in label:
        # Strips of one size are listed once; they are sewn on pair by pair.
        return all(spoken(label.replace("all sides", pair), told) for pair in ("sides", "top and bottom"))
    bare = label.rsplit(" ", maxsplit=1)[-1] if re.fullmatch(r"\w{1,2} [A-Z]\d+r?", label) else label
    name, comma, where = label.partition(", ")
    ways = [label, bare, f"{name} ({where})" if comma else label]
    if any(re.search(rf"(?<!\w){re.escape(way)}s?(?!\w)", told) for way in ways):
        return True
    # Strips of one size are listed once, and sewn on side by side: "sides and bottom".
    places = re.split(r", | and ", where)
    return len(places) > 1 and all(spoken(f"{name}, {place}", told) for place in places)


def pdf_faults(pdf: bytes, paper: str) -> tuple[int, list[str]]:
    """How many pages a PDF has, and what is amiss in it: structure by a PDF library, pages by their picture."""
    import pikepdf

    found = []
    with pikepdf.open(io.BytesIO(pdf)) as opened:
        pages = len(opened.pages)
        found += [f"syntax: {each}" for each in opened.check_pdf_syntax()]
        found += list(structure_faults(opened))
        wide, high = (side / 25.4 * 72 for side in PAPERS_MM[paper])
        if any(
            np.abs(np.array([float(side) for side in page.mediabox]) - (0, 0, wide, high)).max() > 0.01
            for page in opened.pages
        ):
            found.append(f"a page that is not {paper}")
    rendered = list(pictures(pdf))
    edge = int(EDGE_MM / 25.4 * DOTS)
    for number, page in enumerate(rendered, start=1):
        ink = page < 250
        inner = ink[edge:-edge, edge:-edge]
        if ink.sum() != inner.sum():
            found.append(f"page {number}: something is printed past the edge")
        # Below the line with the page's number.
        body = ink[int(15 / 25.4 * DOTS) :]
        rows = np.flatnonzero(body.any(axis=1))
        if not len(rows) or rows.max() < FULL * ink.shape[0]:
            found.append(f"page {number}: nearly empty")
    return pages, found


def pictures(pdf: bytes) -> Iterator[np.ndarray]:
    """Each page as grays, small; none where no program that renders is installed."""
    if shutil.which("pdftoppm") is None:
        return
    from PIL import Image

    with TemporaryDirectory() as folder:
        (Path(folder) / "given.pdf").write_bytes(pdf)
        subprocess.run(
            ["pdftoppm", "-r", str(DOTS), "-gray", "given.pdf", "p"],
            cwd=folder,
            check=True,
            stderr=subprocess.DEVNULL,
        )
        for file in sorted(Path(folder).glob("p*.pgm")):
            yield np.asarray(Image.open(file))


def structure_faults(opened: Any) -> Iterator[str]:
    """What of PDF/UA-1 (ISO 14289-1) a PDF library can see and does not stand.

    Tagged (7.1), a title that is shown (7.1), a language (7.2), every tag a standard one or mapped to one (7.1), another
    text for every figure (7.3), headings that leave no level out (7.4.2), heads in every table (7.5), every mark of a
    page's content in the tree and in its order (7.1, 7.2), fonts embedded (7.21.4).
    """
    root = opened.Root
    if not bool(root.get("/MarkInfo", {}).get("/Marked", False)) or "/StructTreeRoot" not in root:
        yield "not tagged"
        return
    if not str(root.get("/Lang", "")):
        yield "no language"
    if not bool(root.get("/ViewerPreferences", {}).get("/DisplayDocTitle", False)):
        yield "the title is not shown"
    metadata = root.Metadata.read_bytes()
    if not re.search(rb"pdfuaid:part\W+1", metadata) or b"dc:title" not in metadata:
        yield "no title, or not said to be PDF/UA-1"
    roles = {str(key): str(value) for key, value in dict(root.StructTreeRoot.get("/RoleMap", {})).items()}
    elements = list(tree(root.StructTreeRoot))
    kinds = [roles.get(kind, kind) for kind, _ in elements]
    for kind in sorted(set(kinds) - STANDARD):
        yield f"tag {kind} is no standard one"
    for kind, element in elements:
        if roles.get(kind, kind) == "/Figure" and not str(element.get("/Alt", "")):
            yield "a figure without words"
        if roles.get(kind, kind) == "/Table" and not any(below == "/TH" for below, _ in tree(element)):
            yield "a table without heads"
    levels = [int(kind[2:]) for kind in kinds if re.fullmatch(r"/H[1-6]", kind)]
    if not levels or levels[0] != 1 or any(after > before + 1 for before, after in pairwise(levels)):
        yield "headings leave a level out"
    yield from marks_faults(opened)
    for number, page in enumerate(opened.pages, start=1):
        for name, font in dict(page.get("/Resources", {}).get("/Font", {})).items():
            if not embedded(font):
                yield f"page {number}: font {name} is not embedded"


# ISO 32000-1, 14.8.4: the standard structure types.
STANDARD = {
    f"/{name}"
    for name in [
        "Document",
        "Part",
        "Art",
        "Sect",
        "Div",
        "BlockQuote",
        "Caption",
        "TOC",
        "TOCI",
        "Index",
        "NonStruct",
        "Private",
        "P",
        "H",
        "H1",
        "H2",
        "H3",
        "H4",
        "H5",
        "H6",
        "L",
        "LI",
        "Lbl",
        "LBody",
        "Table",
        "TR",
        "TH",
        "TD",
        "THead",
        "TBody",
        "TFoot",
        "Span",
        "Quote",
        "Note",
        "Reference",
        "BibEntry",
        "Code",
        "Link",
        "Annot",
        "Ruby",
        "Warichu",
        "RB",
        "RT",
        "RP",
        "WT",
        "WP",
        "Figure",
        "Formula",
        "Form",
    ]
}


def tree(element: Any) -> Iterator[tuple[str, Any]]:
    """Every tag below an element, in reading order."""
    import pikepdf

    below = element.get("/K")
    for each in below if isinstance(below, pikepdf.Array) else [below] if below is not None else []:
        if isinstance(each, pikepdf.Dictionary) and "/S" in each:
            yield str(each["/S"]), each
            yield from tree(each)


def marks_faults(opened: Any) -> Iterator[str]:
    """Whether every mark of a page's content is an artifact or in the tree, and the tree reads each page from its first mark on."""
    import pikepdf

    numbers = {page.objgen: number for number, page in enumerate(opened.pages, start=1)}
    told: dict[int, list[int]] = {number: [] for number in numbers.values()}
    for _, element in tree(opened.Root.StructTreeRoot):
        own = element.get("/Pg")
        below = element.get("/K")
        for each in below if isinstance(below, pikepdf.Array) else [below]:
            if isinstance(each, int):
                told[numbers[own.objgen]].append(each)
            elif isinstance(each, pikepdf.Dictionary) and str(each.get("/Type", "")) == "/MCR":
                told[numbers[each.get("/Pg", own).objgen]].append(int(each["/MCID"]))
    for number, page in enumerate(opened.pages, start=1):
        done = [(str(each.operator), list(each.operands)) for each in pikepdf.parse_content_stream(page)]
        marked = [
            int(operands[1]["/MCID"])
            for name, operands in done
            if name == "BDC" and isinstance(operands[1], pikepdf.Dictionary) and "/MCID" in operands[1]
        ]
        if set(marked) != set(told[number]):
            yield f"page {number}: marks that are not in the tree"
        if told[number] and told[number][0] != min(told[number]):
            yield f"page {number}: is not read from its beginning"


def embedded(font: Any) -> bool:
    """Whether a font's program is in the file."""
    described = font.get("/FontDescriptor")
    if described is None and "/DescendantFonts" in font:
        described = font["/DescendantFonts"][0].get("/FontDescriptor")
    return str(font.get("/Subtype")) == "/Type3" or (
        described is not None and any(key in described for key in ("/FontFile", "/FontFile2", "/FontFile3"))
    )


def line(name: str, quilt: Any, paper: str, plain: bool) -> tuple[str, int]:
    """One line of the table, and how much is amiss."""
    from seamlore.printing.pages import to_pdf

    content, document = laid_out(quilt, paper, plain=plain)
    steps, amiss = faults(quilt, content, document, paper)
    amiss = [*untold(content), *amiss]
    pages, more = pdf_faults(to_pdf(document, paper), paper)  # type: ignore[arg-type]
    said = "; ".join([*amiss, *more]) or "nothing amiss"
    how = f"{paper}{', black' if plain else ''}"
    return f"{name[:44]:44} {how:14} {steps:4} {pages:6}  {said}", len(amiss) + len(more)


def main(given: Sequence[str]) -> None:
    """Print every booklet, look at it, and write the table."""
    from seamlore.draft.catalogue import all_blocks

    parser = argparse.ArgumentParser(prog="python -m judging.making.booklets")
    parser.add_argument("--every", type=int, default=1, help="each so many alone, and no table is written")
    every = parser.parse_args(given).every
    quilts = [(each.name, of_block(each.name)) for each in all_blocks()]
    quilts += [(f"quilt: {name}", of_text(text)) for name, text in QUILTS.items()]
    lines, amiss = [], 0
    for number, (name, quilt) in enumerate(quilts[::every]):
        # Both papers, and both inks, by turns.
        said, count = line(name, quilt, ("letter", "a4")[number % 2], number % 4 > 1)
        print(said, flush=True)
        lines.append(said)
        amiss += count
    head = f"{'booklet of':44} {'paper':14} {'steps':>4} {'pages':>6}  looked at as a tree and as PDF"
    foot = f"{len(lines)} booklets printed, {amiss} things amiss"
    print(foot)
    if every == 1:
        TABLE.write_text("\n".join([head, *lines, foot]) + "\n", encoding="utf-8")


if __name__ == "__main__":
    main(sys.argv[1:])
