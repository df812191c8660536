"""A block beside those of the catalogue."""

from seamlore.draft.catalogue import find
from seamlore.draft.naming.naming import name_block
from seamlore.draft.text.notation import read_block
from seamlore.drawing.shapes import Group, Line, walk
from seamlore.pictures.names import names_picture


def drawn_for(block):
    return names_picture(block, name_block(block), 180, words=lambda match: (match.block.name,))


def test_every_match_is_drawn_after_the_block_itself():
    block = find("pinwheel")
    names = [group.name for group in drawn_for(block).shapes if isinstance(group, Group) and group.name]
    assert names == ["Pinwheel", *(match.block.name for match in name_block(block))]


def test_seams_are_marked_only_on_what_is_near():
    block = find("shoo fly")
    marked = {
        group.name
        for group in drawn_for(block).shapes
        if isinstance(group, Group) and group.name and any(isinstance(each, Line) for each in walk(group.shapes))
    }
    assert marked == {match.block.name for match in name_block(block) if match.kind == "near"}


def test_a_block_that_nothing_matches_is_drawn_alone():
    plain = read_block("block Plain\nA light\n\nA")
    assert drawn_for(plain).description == "Plain beside nothing that the catalogue has."
