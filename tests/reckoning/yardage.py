"""The yardage that is told of a fabric held against a handbook's sum, which shares no code with the program."""

from __future__ import annotations

from numpy.testing import assert_allclose

from tests.reckoning.cloth import WIDTH, eighths, strips


def yardage(need, cuts):
    """A handbook's sum of one fabric, kind by kind; templates in the rectangles that `test_templates_cut` holds them to."""
    found = [cut for cut in cuts if cut[0] != "template"]
    for cut in need.cuts:
        if cut.shape == "template":
            one, two = (side.inches_float for side in cut.size)
            if cut.nest is not None:
                # A strip of templates lies along the strip that it is cut from.
                one, two = cut.nest.run(cut.yields).inches_float, cut.nest.depth.inches_float
            found.append(("strip" if cut.nest else "template", one, two, cut.count))
    return strips(found)


def told(need, cuts):
    """Hold the yardage that is told of a fabric against the reckoning."""
    assert_allclose(need.plain.inches_float, yardage(need, cuts), err_msg=need.fabric)
    assert need.buy == f"{eighths(need.length.inches_float)} yd"
    # What the ends of strips take is saved, and no more than their area allows.
    area = sum(float(cut.cloth_sq_in) * cut.count for cut in need.cuts)
    assert (
        area / WIDTH - 1e-9 <= need.least_length.inches_float <= need.length.inches_float <= need.plain.inches_float
    )
