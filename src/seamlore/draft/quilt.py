"""The quilt as it is drafted: kinds of blocks in a setting, with sashing and borders; sizes exact."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from functools import cached_property

from seamlore.draft.block import Place
from seamlore.draft.border import Border, rounds
from seamlore.draft.kinds import AS_DRAWN, Cell, Cells, Kind, Turned
from seamlore.draft.quilt_checks import check_cut, check_kinds, check_numbers, check_shape, counts_of
from seamlore.draft.setting.setting import (
    STRAIGHT,
    Cut,
    Measure,
    Setting,
    check_setting,
    field_size,
)
from seamlore.errors import UnknownNameError, nearest
from seamlore.lengths import Length, Unit, inches, show


@dataclass(frozen=True, slots=True)
class Sashing:
    """Strips between the blocks.

    Parameters
    ----------
    between_columns, between_rows : Length
        Finished widths; the width of the strips that stand, and of those that lie.
    outer : bool
        Whether a strip also runs round the outside of the blocks.
    cornerstones : bool
        Whether squares of another fabric stand where strips cross. Otherwise the lying strips run through.
    """

    between_columns: Length
    between_rows: Length
    outer: bool = False
    cornerstones: bool = False


# Without slots: what is looked up by name is kept.
@dataclass(frozen=True)
class Quilt:
    """A quilt of blocks in a setting, uncropped as pieced unless `cut` says otherwise.

    `repeated.repeated` makes one of a single block, or of two that take turns.

    Parameters
    ----------
    name : str
        What the quilt is called.
    kinds : tuple of Kind
        The kinds of blocks in its cells and borders; each is used.
    cells : tuple of tuple of Cell
        What stands where, row by row from the top; on point every second row is one of the blocks between the whole
        rows, as `setting.spots` counts them.
    block_width, block_height : Length
        Finished size of the blocks.
    sashing : Sashing, optional
        Strips between the blocks.
    borders : tuple of Border
        From the inside outward.
    fabrics : mapping of str to str
        What the fabric of "sashing", "cornerstone", "strip", "setting triangle" and "plain block" (the plain ends of
        offset rows) is called.
    setting : Straight, OnPoint, Offset or Strips
        How the blocks lie.
    cut : Cut, optional
        What the edge has cut off blocks and sashing.
    """

    name: str
    kinds: tuple[Kind, ...]
    cells: Cells
    block_width: Length
    block_height: Length
    sashing: Sashing | None = None
    borders: tuple[Border, ...] = ()
    fabrics: Mapping[str, str] = field(default_factory=dict)
    setting: Setting = STRAIGHT
    cut: Cut | None = None

    def __post_init__(self) -> None:
        object.__setattr__(self, "cells", tuple(map(self._own_row, self.cells)))
        check_shape(self)
        check_numbers(self)
        check_setting(self.setting, self.measure, cornerstones=bool(self.sashing and self.sashing.cornerstones))
        check_kinds(self)
        check_cut(self)
        for _ in rounds(self.borders, self.field_size):
            pass

    def _own_row(self, row: tuple[Cell, ...]) -> tuple[Cell, ...]:
        """A row of cells; the very same one where none of them has fabrics of its own, which are looked at cell by cell."""
        return tuple(map(self._own, row)) if any(cell.fabrics for cell in row) else row

    def _own(self, cell: Cell) -> Cell:
        """A cell keeps only the fabrics that are not its kind's anyway."""
        if not cell.fabrics:
            return cell
        kind = self._by_name.get(cell.kind)
        own = {
            letter: name
            for letter, name in cell.fabrics.items()
            if kind is None or name != self.fabric_of(self.key(kind, letter))
        }
        return Cell(cell.kind, cell.lies, own)

    @cached_property
    def _by_name(self) -> dict[str, Kind]:
        return {kind.name: kind for kind in self.kinds}

    @property
    def unit(self) -> Unit:
        """The unit that the quilt is worked in."""
        return self.block_width.unit

    @property
    def rows(self) -> int:
        """Rows of blocks; on point of whole blocks where they are widest."""
        return counts_of(self.setting, self.cells)[0]

    @property
    def columns(self) -> int:
        """Columns of blocks; on point of whole blocks where they are widest."""
        return counts_of(self.setting, self.cells)[1]

    @property
    def gaps(self) -> tuple[Length, Length]:
        """Finished sashing between columns and between rows; 0 when there is none."""
        zero = inches(0).shown_in(self.unit)
        return (self.sashing.between_columns, self.sashing.between_rows) if self.sashing else (zero, zero)

    @property
    def measure(self) -> Measure:
        """The numbers that the size of the setting hangs on."""
        outer = bool(self.sashing and self.sashing.outer)
        return Measure(self.rows, self.columns, self.block_width, self.block_height, *self.gaps, outer)

    @cached_property
    def spots(self) -> tuple[tuple[int, int], ...]:
        """Row and column of every cell, cut ones too."""
        return tuple((row, column) for row, cells in enumerate(self.cells) for column in range(len(cells)))

    @cached_property
    def not_read(self) -> tuple[tuple[int, int], ...]:
        """Row and column of every cell of which it is not known what stands there."""
        return tuple((row, column) for row, column in self.spots if not self.cells[row][column].read)

    @property
    def turned(self) -> Mapping[tuple[int, int], Turned]:
        """How the blocks lie that lie otherwise than their kind is drawn."""
        return {
            (row, column): cell.lies
            for row, cells in enumerate(self.cells)
            for column, cell in enumerate(cells)
            if cell.lies != AS_DRAWN
        }

    @cached_property
    def counts(self) -> Mapping[str, int]:
        """How many cells each kind takes, by its name; in the order of the kinds that take any."""
        found = dict.fromkeys((kind.name for kind in self.kinds), 0)
        for row in self.cells:
            for cell in row:
                if cell.read:
                    found[cell.kind] += 1
        return {name: number for name, number in found.items() if number}

    def kind(self, name: str) -> Kind:
        """Give a kind by its name.

        Raises
        ------
        UnknownNameError
            When the quilt has none.
        """
        if name not in self._by_name:
            raise UnknownNameError(f'a kind called "{name}"', "the quilt has none", nearest(name, self._by_name))
        return self._by_name[name]

    def key(self, kind: Kind | str, letter: str) -> str:
        """Give the key that a letter of a kind has in this quilt: "A", or "SF A" where there are several kinds."""
        name = kind if isinstance(kind, str) else kind.name
        return letter if len(self.kinds) == 1 else f"{name} {letter}"

    @cached_property
    def places(self) -> Mapping[str, Place]:
        """The places of every kind, by their keys."""
        return {
            self.key(kind, letter): place
            for kind in self.kinds
            for letter, place in sorted(kind.block.places.items())
        }

    @cached_property
    def _fabrics(self) -> dict[str, str]:
        found = {}
        for kind in self.kinds:
            for letter in kind.block.places:
                plain = f"Fabric {letter}" if len(self.kinds) == 1 else f"Fabric {kind.name}-{letter}"
                found[self.key(kind, letter)] = kind.fabrics.get(letter, plain)
        return found

    def fabric_of(self, key: str) -> str:
        """What the fabric of a key is called: of a letter of a kind, of the sashing, of the cornerstones."""
        return self._fabrics.get(key) or self.fabrics.get(key, key)

    @property
    def field_size(self) -> tuple[Length, Length]:
        """Finished size of blocks and setting, without borders."""
        width, height = field_size(self.setting, self.measure)
        if self.cut:
            width, height = width - self.cut.left - self.cut.right, height - self.cut.top - self.cut.bottom
        return width, height

    @property
    def bands(self) -> tuple[Length, Length, Length, Length]:
        """How wide all borders are together at the top, right, bottom and left."""
        zero = inches(0).shown_in(self.unit)
        top, right, bottom, left = (
            sum((border.sides[index].width for border in self.borders), zero) for index in range(4)
        )
        return top, right, bottom, left

    @property
    def finished_size(self) -> tuple[Length, Length]:
        """Finished size of the whole quilt.

        Examples
        --------
        >>> from seamlore.draft.text.notation import read_block
        >>> from seamlore.draft.repeated import repeated
        >>> from seamlore.lengths import length
        >>> plain = read_block("block Plain\\nA light\\n\\nA")
        >>> gap = Sashing(length("3in"), length("3in"))
        >>> repeated("check", plain, length("8in"), length("8in"), 1, 7, gap).finished_size
        (Length('74 in'), Length('8 in'))
        """
        width, height = self.field_size
        top, right, bottom, left = self.bands
        return width + left + right, height + top + bottom

    def __str__(self) -> str:
        width, height = self.finished_size
        return f"{self.name}: {self.rows} rows of {self.columns} {self.made_of}, {show(width)} by {show(height)}"

    @property
    def made_of(self) -> str:
        """The names of the blocks in its cells, the commonest first, three at most and how many more.

        Examples
        --------
        >>> from seamlore.draft.catalogue import find
        >>> from seamlore.draft.repeated import repeated
        >>> from seamlore.lengths import inches
        >>> repeated("q", find("nine patch"), inches(6), inches(6), 3, 3, every_other=find("pinwheel")).made_of
        'Nine Patch and Pinwheel'
        """
        return listed(
            self.kind(name).block.name for name, _ in sorted(self.counts.items(), key=lambda each: -each[1])
        )


def listed(names: Iterable[str]) -> str:
    """List names, each once, three at most and how many more.

    Examples
    --------
    >>> listed("abcda"), listed("ab"), listed("")
    ('a, b, c and 1 more', 'a and b', 'blocks not read')
    """
    found = list(dict.fromkeys(names))
    if len(found) > 3:
        return f"{', '.join(found[:3])} and {len(found) - 3} more"
    return " and ".join([", ".join(found[:-1]), found[-1]] if len(found) > 1 else found) or "blocks not read"
