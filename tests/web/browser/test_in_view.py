"""Pages as they are seen: what belongs together is in view together, in the dark, on a phone and on paper.

Measured in Chromium by the boxes of what is shown; skipped, in one line, where there is none.
"""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.web.browser.driving import PATIENCE_MS, look, until

SIZES = [(1600, 1000), (1280, 800)]
PAGES = ("look", "draft", "fabrics", "date", "assess", "decide", "make", "sew", "tell", "keep")


def boxes(page, *of):
    """Where each lies in the window: left, top, right, bottom."""
    found = []
    for each in of:
        box = page.locator(each).first.bounding_box()
        assert box, each
        found.append((box["x"], box["y"], box["x"] + box["width"], box["y"] + box["height"]))
    return found


def in_view(page, *of):
    width, height = page.viewport_size["width"], page.viewport_size["height"]
    for name, (left, top, right, bottom) in zip(of, boxes(page, *of), strict=True):
        assert left >= 0, (name, left)
        assert top >= 0, (name, top)
        assert right <= width, (name, right)
        assert bottom <= height, (name, bottom)


@pytest.mark.parametrize(("width", "height"), SIZES)
def test_the_picture_its_corners_and_what_was_measured_are_in_view_together(page, study, width, height):
    page.set_viewport_size({"width": width, "height": height})
    look(page, study)
    assert page.evaluate("scrollY") == 0
    in_view(page, "#photo-view", *(f"#corner-{number}" for number in range(4)))
    fields = ("width", "height", "block", "sashing", "columns", "rows")
    in_view(page, *(f"#tape-{name}" for name in fields), *(f"#about-{name}" for name in fields))
    in_view(page, "#sums-head")
    # The picture takes the room there is.
    ((_, top, _, bottom),) = boxes(page, "#photo-view")
    assert bottom - top > 0.6 * height


@pytest.mark.parametrize(("width", "height"), SIZES)
def test_nothing_is_blank_below_the_picture(page, study, width, height):
    page.set_viewport_size({"width": width, "height": height})
    look(page, study)
    stage, under, side = boxes(page, "#stage", ".reading-under", ".reading-side > :last-child")
    assert 0 <= under[1] - stage[3] < 40
    assert under[0] == pytest.approx(stage[0], abs=2)
    assert side[3] - under[3] < 0.25 * height


@pytest.mark.parametrize(("width", "height"), SIZES)
def test_the_sweep_is_in_view_with_the_draft_and_its_sizes(page, study, width, height):
    page.set_viewport_size({"width": width, "height": height})
    page.goto(f"{study}/draft")
    page.wait_for_selector("#sweep")
    in_view(page, "#stage-picture svg", "#sweep", "#colored", "#set-block_width", "#set-sashing", "#set-border")
    page.goto(f"{study}/fabrics")
    in_view(page, ".lit-room img", "#lit-says")


def test_no_swatch_is_empty_even_before_it_is_looked_at(page, study):
    for name in ("fabrics", "draft"):
        page.goto(f"{study}/{name}")
        pictures = "[...document.querySelectorAll('img')].filter((each) => each.src.includes('/picture/swatch/'))"
        assert page.evaluate(f"{pictures}.length") > 10
        until(page, lambda: page.evaluate(f"{pictures}.every((each) => each.complete && each.naturalWidth > 1)"))  # noqa: B023


@pytest.mark.parametrize(
    ("name", "field", "wrong", "right"),
    [
        ("look", "#tape-width", "about so", "74 1/2 in"),
        ("look", "#tape-rows", "many", "8"),
        ("look", "#fix-rows", "many", ""),
        ("draft", "#set-sashing", "thin", "2 1/2 in"),
        ("draft", "#set-rows", "0", "8"),
        ("draft", "#divisions", "99", "3"),
        ("make", "#make-seam_allowance", "thin", "1/4 in"),
        ("fabrics", "#name-1", "a # b", "light"),
    ],
)
def test_a_mended_slip_takes_its_red_line_away(page, study, name, field, wrong, right):
    page.goto(f"{study}/{name}")
    page.wait_for_load_state("networkidle")
    for each in page.locator("details").all():
        each.evaluate("each => { each.open = true; }")
    # By its id: where a field is in the page twice, the one that was typed into is meant.
    page.wait_for_selector(field)

    def put(text):
        page.fill(field, text)
        page.press(field, "Tab")
        until(page, lambda: page.evaluate("!document.querySelector('.htmx-request, .htmx-swapping, .htmx-settling')"))

    put(wrong)
    until(page, lambda: page.get_attribute(field, "aria-invalid") == "true")
    assert page.locator(".slip:visible").count() == 1
    # While it is being mended already.
    page.fill(field, right + " ")
    assert page.get_attribute(field, "aria-invalid") is None
    put(right)
    until(page, lambda: page.locator("[aria-invalid=true], .slip:visible, .notice.bad:visible").count() == 0)
    page.faults = [fault for fault in page.faults if "422" not in fault]
    assert page.faults == []


def test_a_mended_slip_in_the_draft_as_text_takes_its_red_line_away(page, study):
    page.goto(f"{study}/draft")
    page.evaluate("document.querySelector('#more-files').open = true")
    field = "#draft-files textarea >> nth=1"
    block = page.input_value(field)
    for text, bad in ((block + "\nX X X", True), (block, False)):
        page.fill(field, text)
        with page.expect_response("**/block/text"):
            page.locator("#draft-files form >> nth=1").locator("button").click()
        until(page, lambda: (page.locator("#draft-files .slip:visible").count() > 0) == bad)  # noqa: B023


HIDDEN_ON_PAPER = "nav, button:not(.swatch, .brush), input[type=range], .button, .tools, #more-files"


def test_on_paper_every_step_of_sewing_is_open(page, study):
    page.goto(f"{study}/sew")
    page.wait_for_load_state("networkidle")
    assert page.locator(".sewn-steps .opened p >> visible=true").count() == 0
    page.emulate_media(media="print")
    steps = page.locator(".sewn-steps > li").count()
    assert steps > 2
    assert page.locator(".sewn-steps .opened svg >> visible=true").count() == steps
    assert page.locator(".sewn-steps .opened strong >> visible=true").count() == steps
    assert page.locator(".sewn-steps summary .picture >> visible=true").count() == 0
    assert page.locator("#lesson-sizes, [href$='booklet.pdf']").locator("visible=true").count() == 0


# Of every page: as wide as her window, dark, on paper, to a screen reader. It is loaded once, on a phone.
EVERY = ("", *PAGES, "noticing", "across", "nothing")
# 640 px are what a window of 1280 px has at 200 % zoom.
WIDTHS = (360, 390, 640, 1024, 1300, 2560)
AXE = (Path(__file__).parent / "axe" / "axe-core-4.14.1.min.js").read_text(encoding="utf-8")
LIGHT = """() => {
  const light = ([r, g, b]) => [r, g, b].map((part) => part / 255)
    .map((part) => (part <= 0.04045 ? part / 12.92 : ((part + 0.055) / 1.055) ** 2.4))
    .reduce((sum, part, index) => sum + part * [0.2126, 0.7152, 0.0722][index], 0);
  const found = [];
  for (const each of document.querySelectorAll("body, body *:not(svg *)")) {
    const box = each.getBoundingClientRect();
    const [r, g, b, alpha = 1] = (getComputedStyle(each).backgroundColor.match(/[\\d.]+/g) ?? []).map(Number);
    if (box.width * box.height > 3000 && alpha > 0.5 && light([r, g, b]) > 0.5)
      found.push(`${each.tagName}.${each.className} ${r},${g},${b}`);
  }
  return found;
}"""


@pytest.fixture(scope="module", params=EVERY)
def every(request, browser, server, study):
    context = browser.new_context(viewport={"width": WIDTHS[0], "height": 800}, bypass_csp=True)
    context.set_default_timeout(PATIENCE_MS)
    server.let_in(context)
    opened = context.new_page()
    name = request.param
    opened.goto(f"{study}/{name}" if name in (*PAGES, "noticing") else f"{server.address}/{name}")
    if name == "look":
        opened.wait_for_selector("#corner-0")
    opened.wait_for_load_state("networkidle")
    yield opened
    context.close()


def test_no_page_is_wider_than_its_window(every):
    for width in WIDTHS:
        every.set_viewport_size({"width": width, "height": 800})
        assert every.evaluate("document.documentElement.scrollWidth") <= width, width


def test_a_printed_page_is_read_and_not_pressed(every):
    every.set_viewport_size({"width": 1300, "height": 950})
    every.emulate_media(media="print", color_scheme="dark")
    assert every.locator(HIDDEN_ON_PAPER).locator("visible=true").count() == 0
    assert every.locator("#answer").is_visible()
    ink = "getComputedStyle(document.querySelector('#answer')).color"
    assert every.evaluate(ink) == "rgb(0, 0, 0)"
    boxed = """() => [...document.querySelectorAll("input, select, textarea")]
      .filter((each) => each.checkVisibility() && parseFloat(getComputedStyle(each).borderTopWidth) > 0).length"""
    assert every.evaluate(boxed) == 0
    empty = """() => [...document.querySelectorAll("input:not([type=hidden], [type=checkbox], [type=radio])")]
      .filter((each) => each.checkVisibility() && !each.value).map((each) => each.id)"""
    assert every.evaluate(empty) == []
    if every.url.endswith("/look"):
        printed = every.locator("img.print-only")
        until(every, lambda: printed.evaluate("each => each.complete && each.naturalWidth > 100"))
        assert printed.is_visible()


@pytest.fixture
def screen(every):
    """A page at the width of a desk, with what stands behind "more"."""
    every.set_viewport_size({"width": 1300, "height": 800})
    every.evaluate("document.querySelectorAll('details').forEach((each) => { each.open = true; })")
    every.wait_for_load_state("networkidle")
    every.evaluate(f"window.axe || (() => {{ {AXE} }})()")
    return every


def faults(page, rules=""):
    found = page.evaluate(f"axe.run({rules})")["violations"]
    return [f"{fault['id']}: {node['html'][:160]}" for fault in found for node in fault["nodes"]]


def test_axe_finds_nothing(screen):
    screen.emulate_media(media="screen", color_scheme="light")
    assert faults(screen) == []


def test_the_dark_has_no_white_panels_and_can_be_read(screen):
    screen.emulate_media(media="screen", color_scheme="dark")
    assert screen.evaluate(LIGHT) == []
    # In the dark only colors are others.
    assert faults(screen, "{runOnly: ['color-contrast', 'link-in-text-block']}") == []
