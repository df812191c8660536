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

COMING_IN = Hazard(
    "Before it comes into the house",
    (
        (
            "Look outdoors, by daylight.",
            "Seams, folds and the binding first: dark specks, cast skins, small flat brown insects (bed bugs), webbing, "
            "grains or bare grazed spots (moths, carpet beetles), droppings. Smell it: musty, mothballs, smoke.",
        ),
        (
            "Bag it only if it is dry.",
            "Closed in clear plastic until it was looked at twice, two weeks apart; never damp, since mold grows in a "
            "closed bag. With live insects or droppings ask a pest service or your health office before you open it.",
        ),
    ),
    (
        Source("Canadian Conservation Institute, Notes 13/15 and agents: pests, incorrect humidity", "V"),
        Source("common practice, no source: two weeks, daylight", "M"),
    ),
)

INSIDE = Hazard(
    "Pins and needles inside",
    (
        (
            "",
            "Old quilts hold pins, broken needles and wire. Pass a strong magnet wrapped in cloth over it, feel with the "
            "flat of the hand before you grip or kneel, and keep what you find in a closed tin. After a prick ask a doctor "
            "about tetanus.",
        ),
    ),
    (Source("common practice, no source", "M"),),
)

DUST = Hazard(
    "Dust and mold",
    (
        (
            "",
            "Mask (well-fitting N95 or FFP2, for mold FFP3), nitrile gloves, outdoors or by an open window; never shake or "
            "beat it. Lowest suction with a fine filter (HEPA) through a screen that is bound at its edges, lifting and "
            "setting down, never rubbing. No steam: it sets dirt and can drive out mercury. No mothballs, no cedar. Who has "
            "asthma, allergies or a weak chest, who is pregnant, and children stay away.",
        ),
    ),
    (
        Source("Canadian Conservation Institute, Note 13/15", "V"),
        Source("quiltmuseum.org, care; Shelburne Museum, 2011: screened suction", "V"),
        Source("clothestellstories.com: mercury and steam", "V"),
    ),
)

POISON = Hazard(
    "Old pesticides",
    (
        (
            "",
            "Arsenic, mercury, DDT, naphthalene and paradichlorobenzene were used on wool and in storage until the 1970s, "
            "and on sacks and mothproofed blankets. Suspect what is old and oddly perfect, powdery or smells of "
            "mothballs. Home tests do not prove it safe. Bag and label it, and ask a conservator.",
        ),
    ),
    (
        Source("US National Park Service, Conserve O Gram 2/3", "V"),
        Source("Pitt Rivers Museum, 2012; clothestellstories.com", "V"),
    ),
)

DYES = Hazard(
    "Greens, oranges and yellows",
    (
        (
            "",
            "Bright greens from about 1775 to 1900 may hold arsenic (Scheele's, emerald or Paris green); chrome and "
            "antimony oranges and yellows hold lead. Gloves, no dust, no food beside it; nothing of these for skin, food "
            "or children.",
        ),
    ),
    (
        Source("heritagesciencejournal 2024: arsenic greens", "V"),
        Source("quiltindex 12-91-173: lead in chrome and antimony colors", "V"),
    ),
)

BURN = Hazard(
    "No burn test",
    (
        (
            "",
            "Do not burn a thread to find out what it is: weighted silk, old coatings and pesticides give off what is not "
            "to be breathed, and batting catches fire. A conservator or a laboratory looks at fibers under a microscope.",
        ),
    ),
    (Source("common practice, no source", "M"),),
)

WATER = Hazard(
    "No water before the dye test",
    (
        (
            "",
            "Try every color by itself: distilled water on a white cloth, pressed and held; then the same with what would "
            "be used for washing. Any color on the cloth: it is not washed. Never wash silk, wool, painted or inked cloth, or "
            "what is weak. Vinegar does not fix dyes. It is usually best left as it is.",
        ),
    ),
    (
        Source("bradystandard.com 2001 (extension service): test every color", "V"),
        Source("NebGuide G1821, Niemeyer and Crews: usually best to leave", "V"),
        Source("vintagepatterns, practical directions: vinegar does not fix dyes", "V"),
    ),
)

WEAK = Hazard(
    "Weak cloth carries no load",
    (
        (
            "",
            "Carry it on a sheet or a board, two people at the ends. Lay it flat to photograph it, in parts where it is "
            "large; do not hang what is rotted, and nobody stands on a chair over it. Pull no thread that is not loose "
            "already.",
        ),
    ),
    (
        Source("International Quilt Museum, care and conservation", "V"),
        Source("common practice, no source: board, two people", "M"),
    ),
)

FIRE = Hazard(
    "Fire",
    (
        (
            "",
            "Nothing here says that a quilt is safe near flame or heat, or meets a rule on flammability. What is sold has "
            "rules of its own where you live: ask.",
        ),
    ),
    (Source("16 CFR 1632 and 1633 are for mattresses (Federal Register 71:13472)", "V"),),
)

REUSE = Hazard(
    "Nothing for food, skin or children",
    (
        (
            "",
            "What is made from old cloth stays away from food, skin and children until arsenic, lead, pesticides and mold "
            "are ruled out by someone who can test for them, and pins by a magnet. Wash your hands after sewing it.",
        ),
    ),
    (Source("common practice, no source", "M"),),
)

CONSERVATOR = Hazard(
    "When to ask a textile conservator",
    (
        (
            "",
            "Shattered silk, cloth that powders, mold that smears, painted or inked work, anything older than a century "
            "and a half, dated or of a known family or community, and before any water. Local rules on pests, waste and "
            "sale come before this page.",
        ),
    ),
    (Source("NebGuide G1821; American Institute for Conservation", "V"),),
)

# What stands where: where a photograph is asked for, at the reading, at the dates, at the condition, before anything is cut.
AT_FIRST = (COMING_IN, WEAK, DUST, OLD_QUILT)
AT_THE_READING = (INSIDE, WEAK)
AT_THE_DATES = (DYES, POISON, BURN)
AT_THE_CONDITION = (COMING_IN, DUST, INSIDE, POISON, DYES, WATER, BURN, WEAK, CONSERVATOR)
BEFORE_THE_CHOICE = (CUTTING, WATER, WEAK, REUSE, BABY, FIRE, CONSERVATOR)

HAZARDS = (
    CUTTING,
    OLD_QUILT,
    BABY,
    COMING_IN,
    INSIDE,
    DUST,
    POISON,
    DYES,
    BURN,
    WATER,
    WEAK,
    FIRE,
    REUSE,
    CONSERVATOR,
)
