"""One measured length."""

import pytest

from seamlore.errors import MeasureError
from seamlore.lengths import centimeters, inches
from seamlore.study.by_photograph import from_reading
from seamlore.study.measured import Known, What, taken

from .taken import reading


def test_each_measurement_says_how_it_is_known():
    assert str(taken(What.BLOCK, inches(8))) == "the block: 8 in (by tape, ± 1/8 in)"
    seen = from_reading(reading())[0]
    assert seen.known is Known.PHOTO
    assert str(seen) == "the block, across: 8 in (measured on the photograph, ± 1/16 in)"


def test_a_tolerance_is_two_standard_uncertainties():
    # JCGM 100:2008 (GUM), 6.2: expanded uncertainty U = k u; coverage factor 2 for about 95 in 100.
    assert taken(What.BLOCK, inches(8), tolerance=inches("1/4")).sigma_in == 0.125


def test_metric_tapes_get_metric_tolerances():
    assert taken(What.OVERALL, centimeters(180), "across").tolerance == centimeters("0.6")


@pytest.mark.parametrize("value", [0, -1])
def test_a_measurement_of_nothing_is_refused(value):
    with pytest.raises(MeasureError, match="a measurement is more than 0; measure it again"):
        taken(What.SASHING, inches(value))


def test_an_exact_tape_is_refused():
    with pytest.raises(MeasureError, match="no tape is exact"):
        taken(What.BLOCK, inches(8), tolerance=inches(0))


@pytest.mark.parametrize(("blocks", "sashings"), [(0, 0), (4, 2), (2, -1), (1, 3)])
def test_a_span_that_no_tape_can_follow_is_refused(blocks, sashings):
    with pytest.raises(MeasureError, match="blocks and sashings take turns"):
        taken(What.SPAN, inches(44), "across", blocks=blocks, sashings=sashings)
