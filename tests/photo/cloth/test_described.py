"""A description tells prints apart, and neither a turn nor what lies round a patch changes it."""

import numpy as np
from numpy.testing import assert_allclose

from seamlore.photo.cloth.described import NAMES, Cut, describe, strength
from tests.photo.cloth.cloths import cut, sheet


def stripes(period: float, *, check: bool = False) -> Cut:
    at = np.arange(80)
    line = np.where((at / period) % 1 < 0.5, 200, 60).astype(np.uint8)
    field = np.tile(line, (80, 1))
    if check:
        field = ((field.astype(int) + field.T) // 2).astype(np.uint8)
    return Cut(np.dstack([field] * 3), np.full((80, 80), 255, np.uint8))


def figure(described: np.ndarray, name: str) -> float:
    return float(described[NAMES.index(name)])


def test_a_stripe_runs_one_way_and_a_check_two() -> None:
    stripe, check = describe([stripes(12)]), describe([stripes(12, check=True)])
    assert figure(stripe, "stripe of 0.2 cm") > 0.9
    assert figure(check, "stripe of 0.2 cm") < 0.2
    # Rings run every way alike: neither is seen in them.
    y, x = np.mgrid[0:80, 0:80] - 39.5
    rings = np.where(np.hypot(x, y) / 12 % 1 < 0.5, 200, 60).astype(np.uint8)
    ring = describe([Cut(np.dstack([rings] * 3), np.full((80, 80), 255, np.uint8))])
    assert figure(check, "check of 0.2 cm") > 0.3
    assert max(figure(ring, "check of 0.2 cm"), figure(ring, "stripe of 0.2 cm")) < 0.2


def test_a_quarter_turn_changes_nothing() -> None:
    one = stripes(12)
    turned = Cut(np.ascontiguousarray(np.rot90(one.pixels)), one.mask)
    # The last waves, of which there is nearly nothing, depend on where the picture ends.
    assert_allclose(describe([one]), describe([turned]), atol=0.15)


def test_the_energy_of_a_print_lies_at_its_own_wavelength() -> None:
    # 8 pixels make a centimeter: a period of 8 px is 1 cm, one of 20 px 2.5 cm.
    waves = [name for name in NAMES if name.endswith(" cm") and " to " in name]
    for period, length in ((8, 1.0), (20, 2.5)):
        described = describe([stripes(period)])
        most = max(waves, key=lambda name: figure(described, name))
        low, _, high, _ = most.split()
        assert float(low) <= length <= float(high)


def test_what_lies_round_a_patch_does_not_count() -> None:
    pixels, mask = stripes(12).pixels.copy(), np.zeros((80, 80), np.uint8)
    mask[16:64, 16:64] = 255
    inner = describe([Cut(pixels, mask)])
    pixels[mask == 0] = [255, 0, 0]
    assert_allclose(describe([Cut(pixels, mask)]), inner, atol=1e-4)


def test_a_print_is_strong_and_a_plain_cloth_is_not() -> None:
    plain = Cut(np.full((64, 64, 3), 140, np.uint8), np.full((64, 64), 255, np.uint8))
    assert strength(describe([plain])) < 0.01
    assert strength(describe([cut(sheet(1, step=20, size=6), 80, 80)])) > 5


def test_patches_weigh_as_much_as_they_are_large() -> None:
    small, large = stripes(12), stripes(20)
    little = np.zeros((80, 80), np.uint8)
    little[:20, :40] = 255
    part = Cut(small.pixels, little)
    both, alone, other = describe([part, large]), describe([large]), describe([part])
    weight = 800 / (800 + 6400)
    assert_allclose(both, (1 - weight) * alone + weight * other, atol=1e-4)
