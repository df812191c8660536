"""`seamlore draft`: a block or a whole quilt, drawn exactly, named, understood, varied."""

from __future__ import annotations

import json
from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Any, ClassVar

import click

from seamlore.cli.common import CountWord, FileWord, LengthWord, SideWord, json_option, print_json, say
from seamlore.cli.draft_given import SETTING, given_of, uncropped_of
from seamlore.cli.groups import Grouped
from seamlore.cli.look import showing_progress
from seamlore.errors import SeamloreError
from seamlore.files import Written, read_text, write
from seamlore.wording import american, keep_words

if TYPE_CHECKING:
    from seamlore.draft.block import Block
    from seamlore.draft.quilt import Quilt
    from seamlore.drawing.picture import Picture
    from seamlore.steps.draft.understand import BlockFacts

# Options that say something only beside another.
_TOGETHER = (
    ("drop", "--drop", "bed"),
    ("pillow_tuck", "--pillow-tuck", "bed"),
    ("placed", "--placed", "fabrics"),
    ("one_each", "--one-each", "fabrics"),
    ("seam", "--seam", "fabrics"),
)


class Draft(Grouped):
    """The command, its options in groups."""

    groups: ClassVar[Mapping[str, Sequence[str]]] = {
        "From a block to a quilt": SETTING,
        "From a photograph": ("--uncropped",),
        "Fit it to a bed": ("--bed", "--drop", "--pillow-tuck"),
        "The same quilt otherwise": ("--draw", "--try", "--color", "--value", "--exchange", "--gray"),
        "Fabrics at hand": ("--fabrics", "--scrappy", "--one-each", "--seam", "--placed"),
        "To look up and to teach": ("--list", "--units", "--names", "--layouts"),
        "What comes out": ("--svg", "--text", "--json"),
    }


@click.command("draft", cls=Draft, context_settings={"token_normalize_func": american})
@click.argument("block", metavar="[BLOCK|FILE]", required=False)
@click.option("--size", type=SideWord(), help="Finished size of the block: 9in, or 9x12in.")
@click.option("--rows", type=CountWord(), help="Blocks down; on point, where they are widest.")
@click.option("--columns", type=CountWord(), help="Blocks across.")
@click.option("--set", "set_", help='"straight", "on point", "on point, half blocks", "offset", "strips 4in".')
@click.option("--on-point", is_flag=True, help="Blocks on point, with side and corner triangles.")
@click.option("--every-other", help='A second block in every other spot: "plain", "plain dark", or a block.')
@click.option("--turn", help='Blocks turned in a pattern: "barn raising", "straight furrow", "every other" ...')
@click.option("--sashing", help='Finished width of sashing between blocks: 2in, or "2in by 3in".')
@click.option("--cornerstones", is_flag=True, help="Squares of another fabric where the sashing crosses.")
@click.option("--outer-sashing", is_flag=True, help="Sashing round the outside as well.")
@click.option(
    "--border",
    "borders",
    multiple=True,
    help='A border, from the inside outward: 4in, "4in, mitered, brown", "3in, squares, red, repeat 3in of Pinwheel".',
)
@click.option("--mitered", is_flag=True, help="Miter the corners of the borders.")
@click.option("--cut", help='What the edge has cut off: "left 2in, top 1in".')
@click.option("--fabric", "named", multiple=True, help='What a fabric is called: "A=indigo prints"; may be repeated.')
@click.option(
    "--uncropped",
    is_flag=True,
    help="From a reading (look --size ... --json): the quilt as its maker pieced it; --size and --sashing overrule.",
)
@click.option("--bed", help='Fit the quilt to a bed, such as "queen"; the nearest is drawn, others are listed.')
@click.option("--drop", type=LengthWord(), help="How far it hangs down at sides and foot; 12in when left out.")
@click.option("--pillow-tuck", type=LengthWord(), help="What is added for the pillows.")
@click.option(
    "--try", "sizes", multiple=True, help='Other sizes side by side: "sashing 1in 2in 3in"; may be repeated.'
)
@click.option(
    "--draw",
    "seams",
    multiple=True,
    help='Draw a seam in the block: "1/3,0 1/3,1", its ends in parts of the side; may be repeated.',
)
@click.option("--color", "colors", multiple=True, help='"A=madder", "sashing=#e6d6aa"; may be repeated.')
@click.option("--value", "values", multiple=True, help='"A=light", "sashing=medium"; may be repeated.')
@click.option("--exchange", is_flag=True, help="Light and dark exchanged.")
@click.option("--gray", is_flag=True, help="Drawn by value only.")
@click.option(
    "--fabrics",
    type=click.Path(path_type=Path, dir_okay=False),
    help="A table (CSV) of fabrics to place in the scrappy patches.",
)
@click.option("--scrappy", help='Which places of the block are scrappy: "A" or "A, B".')
@click.option("--one-each", is_flag=True, help="One fabric for each place of each block, not for each patch.")
@click.option("--seam", type=LengthWord(), help="Seam allowance, for amounts given as an area.")
@click.option("--placed", type=FileWord(), help="Write what each patch is cut from to this file, as JSON.")
@click.option("--list", "listing", is_flag=True, help="List the catalogue.")
@click.option(
    "--units", help='Draw units with the rest dimmed: "all", a kind such as "four patch", or the number of one.'
)
@click.option("--names", is_flag=True, help="Draw the block beside those of the catalogue that it is or comes near.")
@click.option(
    "--layouts", type=CountWord(), help="Count the blocks that half-square triangles make on so many squares a side."
)
@click.option("--svg", type=FileWord(), help="Write the picture to this file.")
@click.option("--text", "as_text", is_flag=True, help="Print the block file or draft file itself.")
@json_option
def command(block: str | None, **asked: Any) -> None:
    """Draw a block or a whole quilt exactly, say what it is called and what it is made of, and try it otherwise.

    BLOCK is a name such as "churn dash". FILE is a block file, a draft file (which describes a whole quilt), a
    photograph, or what look --json printed: of these last two the block is drawn. A block with --size, --rows and
    --columns becomes a quilt. docs/drafting.md shows it all by examples.
    """
    if asked["listing"]:
        _list(asked["as_json"])
    elif asked["layouts"] is not None:
        _layouts(asked["layouts"], asked["as_json"])
    elif block is None:
        raise click.UsageError("no block was named; --list shows the catalogue")
    else:
        for word, name, needed in _TOGETHER:
            if asked[word] not in (None, False) and asked[needed] is None:
                raise SeamloreError(
                    f"{name} without --{needed}", f"it belongs to --{needed}", f"give --{needed} too, or leave it out"
                )
        _draft(block, asked)


def _draft(named: str, asked: dict[str, Any]) -> None:
    from seamlore.cli import draft_print  # the catalogue and numpy: not needed for help
    from seamlore.steps.draft.record import block_record, quilt_record
    from seamlore.steps.draft.understand import block_of, of_block, of_quilt, quilt_of
    from seamlore.steps.draft.wanted import fitted, read
    from seamlore.steps.edit import recolor
    from seamlore.steps.study.own_words import own_names

    if asked["uncropped"] and asked["seams"]:
        raise SeamloreError(
            "--draw with --uncropped", "the quilt is drafted as it was seen", "draft it with --text first"
        )
    found = uncropped_of(named, asked) if asked["uncropped"] else None
    if found:
        given: Block | Quilt = found.quilt
    else:
        with showing_progress() as progress:
            given = given_of(_resewn(read(named, progress=progress), asked["seams"]), asked)
    fits = None
    if asked["bed"] is not None:
        fits = fitted(given, asked["bed"], asked["drop"], pillow_tuck=asked["pillow_tuck"])
        given = fits[0].quilt
    keep_words(own_names(given))
    values = recolor.values(given, asked["values"])
    given = recolor.revalued(given, values, negative=asked["exchange"])
    made = _more(given, asked, values)
    quilt = quilt_of(given)
    file: BlockFacts | None = None
    if quilt is None:
        facts = of_block(block_of(given))
        record, lines = block_record(facts), draft_print.block_lines(facts)
        file = facts
    else:
        whole = of_quilt(quilt, values)
        record, lines = quilt_record(whole), draft_print.quilt_lines(whole)
    if fits:
        record["bed"] = draft_print.fits_record(fits)
        lines += draft_print.fits_lines(fits)
    lines += made.lines
    if found:
        from seamlore.steps.draft import uncrop  # what follows from a study: few drafts need it

        record["as_found"] = uncrop.uncropped_record(found)
        lines += ["", "From as found to as drafted", *(f"  {line}" for line in uncrop.uncropped_words(found))]
        plain = given is found.quilt and not (asked["units"] or asked["names"] or asked["gray"] or asked["colors"])
        made.picture = made.picture or (uncrop.uncropped_drawn(found) if plain else None)
    picture = made.picture
    # What is not written is not drawn; but what cannot be drawn as asked is said.
    if picture is None and (asked["svg"] is not None or asked["units"] or asked["names"] or asked["colors"]):
        picture = _picture(given, asked, values)
    _write(named, asked, picture, made.record)
    if asked["as_json"]:
        print_json(record | made.record)
    elif asked["as_text"]:
        click.echo(record["text"], nl=False)
    else:
        draft_print.say(lines)
        if file:
            draft_print.say_file(file)


def _resewn(given: Block | Quilt, seams: Sequence[str]) -> Block | Quilt:
    if not seams:
        return given
    from seamlore.steps.edit.reseam import reseamed  # as above

    return reseamed(given, seams)


class _Made:
    """What else was asked for, and came of it: lines, fields of the record, the picture."""

    def __init__(self) -> None:
        self.lines: list[str] = []
        self.record: dict[str, Any] = {}
        self.picture: Picture | None = None


def _more(given: Block | Quilt, asked: dict[str, Any], values: Any) -> _Made:
    from seamlore.cli import draft_print  # as above
    from seamlore.steps.draft.understand import quilt_of

    made = _Made()
    quilt = quilt_of(given)
    if quilt is None:
        return made
    if asked["fabrics"] is not None:
        from seamlore.steps.draft import show
        from seamlore.steps.fabrics import place  # the optimizer
        from seamlore.steps.fabrics import table as fabric_table

        table = fabric_table.read_fabrics(
            read_text(asked["fabrics"], "a table of fabrics"), source=asked["fabrics"].name
        )
        placed = place.place(quilt, table, each="place" if asked["one_each"] else "patch", allowance=asked["seam"])
        made.record["placed"] = place.placed_record(placed)
        made.lines += ["", "Fabrics placed", *(f"  {line}" for line in place.placed_words(placed))]
        made.picture = show.placed_drawn(placed)
    if asked["sizes"]:
        from seamlore.steps.draft import show, vary
        from seamlore.steps.edit import recolor

        tried = vary.try_sizes(quilt, asked["sizes"], values)
        made.record["tried"] = vary.tried_record(tried)
        made.lines += draft_print.tried_lines(tried)
        made.picture = show.tried_drawn(tried, recolor.colors(given, asked["colors"]))
    return made


def _picture(given: Block | Quilt, asked: dict[str, Any], values: Any) -> Picture:
    from seamlore.steps.draft import show  # as above
    from seamlore.steps.draft.understand import block_of, of_block
    from seamlore.steps.edit import recolor

    colors = recolor.colors(given, asked["colors"])
    block = block_of(given)
    if asked["units"]:
        return show.units_drawn(of_block(block), asked["units"], colors)
    if asked["names"]:
        return show.names_drawn(of_block(block), colors)
    return show.drawn(given, colors, gray=asked["gray"], values=values)


def _write(named: str, asked: dict[str, Any], picture: Picture | None, record: Mapping[str, Any]) -> None:
    files = []
    if asked["svg"] is not None and picture is not None:
        from seamlore.drawing.svg import to_svg  # as above

        files.append(Written(asked["svg"], to_svg(picture), "the picture"))
    if asked["placed"] is not None:
        placed = json.dumps(record["placed"], ensure_ascii=False) + "\n"
        files.append(Written(asked["placed"], placed, "the assignment"))
    write(files, inputs=[Path(named), *([asked["fabrics"]] if asked["fabrics"] else [])])


def _list(as_json: bool) -> None:
    from seamlore.cli import draft_print  # as above
    from seamlore.steps.draft.listing import catalogue, catalogue_record

    if as_json:
        print_json({"blocks": catalogue_record()})
    else:
        draft_print.say(draft_print.catalogue_lines(catalogue()))


def _layouts(size: int, as_json: bool) -> None:
    from seamlore.steps.draft.layouts import layouts, layouts_record  # as above

    found = [layouts(size), layouts(size, plain=True)]
    if as_json:
        print_json({"layouts": [layouts_record(each) for each in found]})
    else:
        for each in found:
            say(str(each))
