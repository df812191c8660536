"""What can hurt the reader or the quilt, said where it matters; always with who knows more."""

from __future__ import annotations

from seamlore.printing.content import Note, Paragraph, Span

CUTTING = Note(
    "Blade and iron",
    (
        Paragraph(
            (
                Span("Rotary cutter. ", "strong"),
                "Close the blade each time you lay it down, cut away from yourself with your fingers back from the "
                "ruler's edge, and keep it from children. Old blades go out wrapped, as your town's waste rules say.",
            ),
            "small",
        ),
        Paragraph(
            (
                Span("Iron. ", "strong"),
                "Try a scrap first: nylon, acetate and polyester can melt. Set it on its heel, and pull the plug when "
                "you leave the room.",
            ),
            "small",
        ),
    ),
    "caution",
)

# Hazards of old textiles after trade.md C (Canadian Conservation Institute; US National Park Service,
# Conserve O Gram 2/3): dyes and mordants with lead or arsenic, pesticides to the 1970s, mold.
OLD_QUILT = Note(
    "Handling the old quilt",
    (
        Paragraph(
            "Old cloth can hold arsenic or lead from dyes, moth powder and other pesticides, and mold. Work on a "
            "table that can be wiped, in nitrile gloves; do not shake it or eat beside it, and wash your hands. "
            "With dust, powder, a smell of mothballs or mold: bag it, and wear a well-fitting N95 or FFP mask. Keep "
            "away if you have asthma or a weak chest. Do not iron or wash it to find out what it is. A textile "
            "conservator can test it, and your local health department or waste office knows the rules where you "
            "live.",
            "small",
        ),
    ),
    "caution",
)

# American Academy of Pediatrics, safe sleep; US Consumer Product Safety Commission (trade.md, hazards).
BABY = Note(
    "Not in a baby's bed",
    (
        Paragraph(
            "Safe-sleep advice keeps quilts and all loose soft bedding out of a crib, for at least the first twelve "
            "months. Leave off buttons and loose ties, which a child can swallow. What is sold or given for children "
            "has rules of its own: ask your consumer product safety office, and a doctor about sleep.",
            "small",
        ),
    ),
    "caution",
)
