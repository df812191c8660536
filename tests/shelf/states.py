"""What the shelf's tests do to a study, and how they look at it afterwards."""

from __future__ import annotations

from seamlore.shelf.cards import Card
from seamlore.shelf.change import Change
from seamlore.shelf.collection import Arrival, Collection
from seamlore.shelf.photographs import reference_of

PHOTOGRAPH = b"\x89PNG not looked into" * 2000


def snapshot(shelf):
    """Everything that a user can see of a shelf: names, sections, and the history of each study."""
    return {
        entry.name: {
            "sections": {
                name: each.value for name, each in sorted(shelf.read_all(entry.number).items()) if each.value
            },
            "history": [[done.says, list(done.sections), done.stands] for done in shelf.history(entry.number)],
        }
        for entry in shelf.studies()
    }


def edit(shelf, study, value, *sections, says="edited"):
    """Change sections, all at once."""
    kept = shelf.read_all(study)
    bases = {name: kept[name].revision if name in kept else 0 for name in sections}
    shelf.apply_all(study, [Change(name, base, value, says) for name, base in bases.items()])


def arrived(shelf, study):
    """Bring a study with a photograph in."""
    Collection(shelf).arrive(
        Arrival("b" * 32, "From afar", {"tape": '"1"'}, {reference_of(PHOTOGRAPH, "png"): PHOTOGRAPH})
    )


def carded(shelf, study):
    """Make every card anew."""
    Collection(shelf).renew(lambda standing, before, worked: (Card(words="indigo"), standing.moves), version=1)


# What a program may be at when it ends; each is wholly done afterwards, or not at all.
ACTIONS = {
    "edit": lambda shelf, study: edit(shelf, study, "9" * 40_000, "tape"),
    "edit of two sections": lambda shelf, study: edit(shelf, study, "9" * 9_000, "tape", "label"),
    "undo": lambda shelf, study: shelf.undo(study),
    "redo": lambda shelf, study: shelf.redo(study),
    "rename": lambda shelf, study: shelf.rename(study, "Another name"),
    "begin": lambda shelf, study: shelf.create("Begun", [Change("photographs", 0, '"x"', "added")]),
    "photograph": lambda shelf, study: shelf.add_photograph(PHOTOGRAPH, "png"),
    "backup": lambda shelf, study: shelf.backup(),
    "restore": lambda shelf, study: shelf.restore("newest"),
    "duplicate": lambda shelf, study: Collection(shelf).duplicate(study),
    "set aside": lambda shelf, study: Collection(shelf).set_aside(study),
    "go back": lambda shelf, study: Collection(shelf).restore(study, 2),
    "arrive": arrived,
    "cards": carded,
}


def work(shelf):
    """Begin a study and change it in every way; give its number."""
    study = shelf.create("First name", [Change("photographs", 0, '"ref"', "added the photograph")])
    for number in range(4):
        edit(shelf, study, f'"{number}"', "tape", "draft")
    shelf.rename(study, "Second name")
    shelf.add_photograph(b"another picture", "jpg")
    edit(shelf, study, '"kept"', "of a room to come")
    shelf.backup()
    edit(shelf, study, '"later"', "draft")
    shelf.undo(study)
    return study
