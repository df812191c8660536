"""From the words on the command line to the block or quilt that is meant."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from seamlore.errors import SeamloreError

if TYPE_CHECKING:
    from seamlore.draft.block import Block
    from seamlore.draft.quilt import Quilt
    from seamlore.lengths import Length
    from seamlore.steps.draft.uncrop import Uncropped

SETTING = (
    "--size", "--rows", "--columns", "--set", "--on-point", "--every-other", "--turn", "--sashing", "--cornerstones",
    "--outer-sashing", "--border", "--mitered", "--cut", "--fabric",
)  # fmt: skip


def uncropped_of(named: str, asked: dict[str, Any]) -> Uncropped:
    """The quilt on a photograph as its maker pieced it, some sizes overruled."""
    from seamlore.steps.draft import words  # as above
    from seamlore.steps.draft.uncrop import uncropped

    told: dict[str, Length] = {}
    if asked["size"]:
        told |= dict(zip(("block width", "block height"), asked["size"], strict=True))
    if asked["sashing"]:
        given = words.sashing(asked["sashing"])
        told |= {"sashing between columns": given.between_columns, "sashing between rows": given.between_rows}
    others = [name for name in _said(asked) if name not in ("--size", "--sashing")]
    if others:
        raise SeamloreError(
            f"{others[0]} with --uncropped", "the reading says how the quilt is set", "draft it with --text first"
        )
    return uncropped(named, told)


def _said(asked: dict[str, Any]) -> list[str]:
    """The options that say how a quilt is made, as far as they were given."""
    names = {"--set": "set_", "--border": "borders", "--fabric": "named"}
    return [name for name in SETTING if asked[names.get(name, name[2:].replace("-", "_"))] not in (None, False, ())]


def given_of(given: Block | Quilt, asked: dict[str, Any]) -> Block | Quilt:
    """The block, or the quilt that it is to become."""
    from seamlore.steps.draft import words  # as above
    from seamlore.steps.draft.understand import block_of, quilt_of
    from seamlore.steps.draft.wanted import Wanted, put_together
    from seamlore.steps.words import pair

    said = _said(asked)
    if quilt_of(given) is not None:
        if said or asked["scrappy"]:
            raise SeamloreError(
                f"{(said or ['--scrappy'])[0]} with a draft file",
                "the file says how the quilt is made",
                "change the file, or try other sizes with --try",
            )
        return given
    block = block_of(given)
    if asked["scrappy"]:
        block = words.scrappy(block, asked["scrappy"])
    if not said and asked["bed"] is None and not asked["sizes"] and asked["fabrics"] is None:
        return block
    size, rows, columns = asked["size"], asked["rows"], asked["columns"]
    if size is None or rows is None or columns is None:
        raise SeamloreError(
            f"{block.name} without all of --size, --rows and --columns",
            "a quilt needs all three",
            "add what is missing",
        )
    borders = tuple(words.border(text, mitered=asked["mitered"]) for text in asked["borders"])
    wanted = Wanted(
        size,
        rows,
        columns,
        words.sashing(asked["sashing"]) if asked["sashing"] else None,
        asked["cornerstones"],
        asked["outer_sashing"],
        borders,
        on_point=asked["on_point"],
        setting=words.setting(asked["set_"]) if asked["set_"] else None,
        every_other=asked["every_other"] or "",
        turn=asked["turn"] or "",
        cut=words.cut(asked["cut"]) if asked["cut"] else None,
        fabrics=tuple(pair(text, "--fabric") for text in asked["named"]),
    )
    return put_together(block, wanted)
