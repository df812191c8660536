"""A block lesson as one page for a site: its pictures in it, nothing fetched from elsewhere, and the steps as HowTo data."""

from __future__ import annotations

import json
from collections.abc import Iterator
from typing import Any

from seamlore.drawing.svg import escape, to_svg
from seamlore.drawing.words import runs
from seamlore.hazards import CUTTING
from seamlore.lengths import show_seam
from seamlore.pictures.sewing.steps import step_picture
from seamlore.sheets.lesson import LessonContent, whole_picture
from seamlore.wording import reworded, reworded_page, spoken

_STEP_MM = 118.0
# Only what a browser has by itself: no font, no script and no picture comes from elsewhere.
_STYLE = """
:root { color-scheme: light; --ink: #2b2622; --quiet: #65594e; --hair: #d8cec1; --madder: #8a3b35; }
body { margin: 0; background: #fff; color: var(--ink); font: 1.06rem/1.55 'Source Sans 3', 'Helvetica Neue', Arial, sans-serif; }
main { max-width: 46rem; margin: 0 auto; padding: 1.5rem 1rem 4rem; }
h1 { font-size: 2.1rem; line-height: 1.15; margin: 0 0 0.6rem; }
h2 { font-size: 1.35rem; margin: 2.2rem 0 0.5rem; border-top: 1px solid var(--hair); padding-top: 0.9rem; }
h3 { font-size: 1.08rem; margin: 1.6rem 0 0.3rem; }
figure { margin: 0.8rem 0; }
svg { max-width: 100%; height: auto; }
.quiet { color: var(--quiet); }
.care { border-left: 4px solid var(--madder); padding: 0.2rem 0 0.2rem 1rem; }
.scroll { overflow-x: auto; }
table { border-collapse: collapse; width: 100%; }
th, td { text-align: left; padding: 0.4rem 0.7rem 0.4rem 0; border-bottom: 1px solid var(--hair); vertical-align: top; }
th.number, td.number { text-align: right; white-space: nowrap; }
ol.steps { list-style: none; padding: 0; }
.fraction { font-feature-settings: "frac"; }
@media print { li { break-inside: avoid; } }
"""


def page(content: LessonContent) -> str:
    """Write a block lesson as one HTML document.

    Parameters
    ----------
    content : LessonContent

    Returns
    -------
    str
        HTML with its pictures as SVG, its style, and the steps as schema.org HowTo in JSON-LD. It asks for nothing outside
        itself.
    """
    block = content.block
    lang = "en-GB" if spoken.get() == "british" else "en-US"
    body = "\n".join(_body(content))
    made = (
        "<!doctype html>\n"
        f'<html lang="en-US">\n<head>\n<meta charset="utf-8">\n'
        '<meta name="viewport" content="width=device-width, initial-scale=1">\n'
        f"<title>{escape(block.name)}: block lesson</title>\n"
        f'<meta name="description" content="{escape(_subject(content))}">\n'
        f"<style>{_STYLE}</style>\n"
        f'<script type="application/ld+json">{_safe(how_to(content, lang))}</script>\n'
        f"</head>\n<body>\n<main>\n{body}\n</main>\n</body>\n</html>\n"
    )
    return reworded_page(made, spoken.get(), keep=block.names)


def how_to(content: LessonContent, lang: str = "en-US") -> dict[str, Any]:
    """Give the steps of a lesson as a HowTo of schema.org, for programs that read pages.

    Types and properties: HowTo, HowToStep, HowToDirection, HowToSupply and HowToTool as schema.org defines them.

    Parameters
    ----------
    content : LessonContent
    lang : str
        Language tag after BCP 47.
    """
    sewn = content.sewn[0]

    def said(text: str) -> str:
        return reworded(text, keep=content.block.names)

    first = {
        "@type": "HowToStep",
        "position": 1,
        "name": said("Cut"),
        "itemListElement": [
            {"@type": "HowToDirection", "position": number, "text": said(line)}
            for number, line in enumerate(_cut_lines(content), start=1)
        ],
    }
    sewing = [
        {
            "@type": "HowToStep",
            "position": number,
            "name": said(step.title),
            "itemListElement": [
                {"@type": "HowToDirection", "position": at, "text": said(line)}
                for at, line in enumerate((*step.words, step.make, *content.measures(number - 2)), start=1)
            ],
        }
        for number, step in enumerate(sewn.steps, start=2)
    ]
    fabrics = dict.fromkeys(each.fabric for each in content.cutting)
    return {
        "@context": "https://schema.org",
        "@type": "HowTo",
        "name": said(f"Sew the {content.block.name} block"),
        "description": said(_subject(content)),
        "inLanguage": lang,
        "dateModified": content.printed.isoformat(),
        "yield": said(f"1 block, {' or '.join(content.sizes)} finished"),
        "supply": [{"@type": "HowToSupply", "name": said(name)} for name in fabrics],
        "tool": [{"@type": "HowToTool", "name": said(each.rstrip("."))} for each in content.tools],
        "step": [first, *sewing],
    }


def _subject(content: LessonContent) -> str:
    return f"How to sew the quilt block {content.block.name}, {' or '.join(content.sizes)} finished."


def _safe(record: dict[str, Any]) -> str:
    # A script ends at the first end tag, whatever stands in its strings.
    return json.dumps(record, ensure_ascii=False).replace("<", "\\u003c")


def _text(words: str) -> str:
    """Words as HTML, fractions set as fractions."""
    return "".join(
        f'<span class="fraction">{escape(stretch)}</span>' if fraction else escape(stretch)
        for stretch, fraction in runs(words)
    )


def _cut_lines(content: LessonContent) -> list[str]:
    lines = []
    for each in content.cutting:
        sizes = (
            each.sizes[0]
            if len(each.sizes) == 1
            else ", ".join(
                f"{size} for the {whole} block" for size, whole in zip(each.sizes, content.sizes, strict=True)
            )
        )
        then = f", {each.then}" if each.then else ""
        lines.append(f"{each.label}: {each.count} {each.what} of {sizes}{then}, from {each.fabric}.")
    return lines


def _body(content: LessonContent) -> Iterator[str]:
    block, sewn = content.block, content.sewn[0]
    yield f"<h1>{_text(block.name)}</h1>"
    yield f"<p>{_text(content.lead)}</p>"
    yield f"<figure>{to_svg(whole_picture(content, content.paints), in_page=True)}</figure>"
    yield f'<p><span class="quiet">Finished</span> {_text(", ".join(content.sizes))}<br>'
    yield f'<span class="quiet">For whom</span> {_text(content.difficulty)}</p>'
    yield f"<h2>Whose design</h2><p>{_text(content.design)}</p>"
    yield "<h2>What you need</h2><ul>"
    yield from (f"<li>{_text(each)}</li>" for each in content.tools)
    yield f'</ul><div class="care"><h3>{_text(CUTTING.name)}</h3>'
    yield from (f"<p><strong>{_text(what)}</strong> {_text(words)}</p>" for what, words in CUTTING.says)
    yield "</div>"
    yield from _cutting(content)
    yield "<h2>Sewing</h2>"
    if sewn.steps:
        yield f"<ul>{''.join(f'<li>{_text(line)}</li>' for line in content.read)}</ul>"
    yield '<ol class="steps">'
    for number, step in enumerate(sewn.steps):
        drawn = step_picture(
            step.step,
            sewn.outlines,
            sewn.lettered,
            [content.paints[each.place] for each in sewn.patches],
            _STEP_MM,
            allowance=content.left,
            title=f"{block.name}: {step.title}",
            sized=len(content.sizes) == 1,
        )
        yield f"<li><h3>{number + 1}. {_text(step.title)}</h3>"
        yield f"<figure>{to_svg(drawn, in_page=True, ids=f's{number + 1}')}</figure>"
        yield from (f"<p>{_text(line)}</p>" for line in step.words)
        aside = "<br>".join(_text(line) for line in (step.make, *content.measures(number)))
        yield f'<p class="quiet">{aside}</p></li>'
    yield "</ol>"
    for each in content.foundations:
        yield f"<h2>{_text(each.name)} on foundations</h2>"
        yield from (f"<p>{_text(line)}</p>" for line in each.said)


def _cutting(content: LessonContent) -> Iterator[str]:
    several = len(content.sizes) > 1
    yield f"<h2>Cutting</h2><p>For one block. All sizes include the seam allowance of {_text(show_seam(content.allowance))}.</p>"
    yield '<div class="scroll"><table><thead><tr><th scope="col">Piece</th><th scope="col">Cut</th>'
    yield "".join(
        f'<th scope="col" class="number">{_text(f"{size} block" if several else "Size")}</th>'
        for size in content.sizes
    )
    yield "</tr></thead><tbody>"
    for each in content.cutting:
        cut = f"{each.count} {each.what}{f', {each.then}' if each.then else ''}, {each.fabric}"
        sizes = "".join(f'<td class="number">{_text(size)}</td>' for size in each.sizes)
        yield f'<tr><th scope="row">{_text(each.label)}</th><td>{_text(cut)}</td>{sizes}</tr>'
    yield "</tbody></table></div>"
