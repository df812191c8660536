"""A reading that tests of measurements begin with."""

from seamlore.photo.reading import Edge, Reading, Uncertainty


def reading(unit="in", scale=1.0, **changes):
    """A reading of a quilt 70 1/2 in wide whose outer blocks are cut by 1 3/4 in at each side."""
    fields = {
        "photo_size": (3000, 4000),
        "corners": ((0, 0), (2999, 0), (2999, 3999), (0, 3999)),
        "corners_from": "given",
        "unit": unit,
        "size": (70.5 * scale, 81.5 * scale),
        "setting": "straight",
        "rows": 8,
        "columns": 7,
        "block_size": (8.02 * scale, 7.97 * scale),
        "sashing": (3.0 * scale, 3.0 * scale),
        "edge": Edge(left=-1.7 * scale, top=-1.8 * scale, right=-1.8 * scale, bottom=-1.7 * scale),
        "uncertainty": Uncertainty(block_size=(0.04 * scale, 0.04 * scale), sashing=(0.04, 0.04), edge=0.1 * scale),
    }
    return Reading(**{**fields, **changes})
