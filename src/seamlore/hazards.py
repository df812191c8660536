"""What can hurt the reader or the quilt: one home for the words, whatever page, sheet or room shows them.

Each says who knows more: local rules and professional practice come before anything that is said here.
"""

from __future__ import annotations

from dataclasses import dataclass

from seamlore.sources import Source


@dataclass(frozen=True, slots=True)
class Hazard:
    """One kind of danger, and what keeps it off.

    Parameters
    ----------
    name : str
        What a caution about it is headed.
    says : tuple of (str, str)
        What it is of, empty where the name says it, and what to do.
    sources : tuple of Source
        Where that is known from.
    """

    name: str
    says: tuple[tuple[str, str], ...]
    sources: tuple[Source, ...]


CUTTING = Hazard(
    "Blade and iron",
    (
        (
            "Rotary cutter.",
            "Close the blade each time you lay it down, cut away from yourself with your fingers back from the "
            "ruler's edge, and keep it from children. Old blades go out wrapped, as your town's waste rules say.",
        ),
        (
            "Iron.",
            "Try a scrap first: nylon, acetate and polyester can melt. Set it on its heel, and pull the plug when "
            "you leave the room.",
        ),
    ),
    (Source("usual instructions of cutters and irons", "M"),),
)

# Dyes and mordants with lead or arsenic, pesticides to the 1970s, mold.
OLD_QUILT = Hazard(
    "Handling the old quilt",
    (
        (
            "",
            "Old cloth can hold arsenic or lead from dyes, moth powder and other pesticides, and mold. Work on a "
            "table that can be wiped, in nitrile gloves; do not shake it or eat beside it, and wash your hands. "
            "With dust, powder, a smell of mothballs or mold: bag it, and wear a well-fitting N95 or FFP mask. Keep "
            "away if you have asthma or a weak chest. Do not iron or wash it to find out what it is. A textile "
            "conservator can test it, and your local health department or waste office knows the rules where you "
            "live.",
        ),
    ),
    (
        Source("Canadian Conservation Institute, care of textiles", "M"),
        Source("US National Park Service, Conserve O Gram 2/3", "M"),
    ),
)

BABY = Hazard(
    "Not in a baby's bed",
    (
        (
            "",
            "Safe-sleep advice keeps quilts and all loose soft bedding out of a crib, for at least the first twelve "
            "months. Leave off buttons and loose ties, which a child can swallow. What is sold or given for children "
            "has rules of its own: ask your consumer product safety office, and a doctor about sleep.",
        ),
    ),
    (
        Source("American Academy of Pediatrics, safe sleep", "Vw"),
        Source("US Consumer Product Safety Commission", "Vw"),
    ),
)

HAZARDS = (CUTTING, OLD_QUILT, BABY)
