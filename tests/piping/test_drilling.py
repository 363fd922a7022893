"""Drilling in arrays, what it is called, and its guards."""

from dataclasses import replace

import numpy as np
import pytest

from softseat.errors import DataError
from softseat.piping import drilling as module
from softseat.piping.drilling import drilling, drillings, size_word, usual_system


def test_arrays_with_words_as_typed_and_one_that_is_not_there():
    d = drilling(["EN 1092-1", "BS 4504", "", "EN 1092-1"], ["PN16", "PN 16", "Class 150", "PN16"], [200, 200, 750, 175])
    assert d.bolt_circle[:3] == pytest.approx([0.295, 0.295, 0.9144])  # B16.47 A NPS 30: 36.00 in
    assert d.system.tolist() == ["EN 1092-1", "EN 1092-1", "ASME B16.47 A", ""]
    assert np.isnan(d.holes).tolist() == [False, False, False, True]


def test_the_drilling_that_a_rating_goes_with():
    asked = {("PN10", 200): "EN 1092-1", ("Class 150", 600): "ASME B16.5", ("Class 150", 650): "ASME B16.47 A"}
    asked |= {("Class 125", 80): "ASME B16.1", ("Table E", 80): "BS 10", ("10K", 80): "JIS B2220", ("?", 80): ""}
    ratings, sizes = zip(*asked, strict=True)
    assert usual_system(ratings, sizes).tolist() == list(asked.values())


def test_untrusted_rows_are_not_used():
    assert np.isnan(drilling("BS 10", "Table D", 700).bolt_circle)
    assert "low" not in drillings().certainty


def test_class_125_and_150_drill_alike_to_nps_24():
    """ASME B16.1 and B16.5: one pattern of drilling, a property of the two standards."""
    sizes = [40, 50, 65, 80, 100, 125, 150, 200, 250, 300, 350, 400, 450, 500, 600]
    a, b = drilling("ASME B16.1", "Class 125", sizes), drilling("ASME B16.5", "Class 150", sizes)
    for column in ("bolt_circle", "holes", "bolt_diameter"):
        assert np.array_equal(getattr(a, column), getattr(b, column))


def test_tables_d_and_e_share_their_bolt_circle_but_not_their_bolts():
    """BS 10: Tables D and E differ in number and size of bolts only."""
    sizes = [40, 50, 65, 80, 100, 125, 150, 200, 250, 300, 350, 400, 450, 500, 600]
    d, e = drilling("BS 10", "Table D", sizes), drilling("BS 10", "Table E", sizes)
    assert np.array_equal(d.bolt_circle, e.bolt_circle)
    assert not np.array_equal(d.holes, e.holes)


@pytest.mark.parametrize(
    ("column", "value"),
    [("holes", 6), ("holes", 24), ("bolt_circle", 0.34), ("bolt_circle", 0.239), ("hole_diameter", 0.030), ("hole_diameter", 0.019)],
)
def test_a_misprint_is_found(column, value):
    good = drillings()
    place = int(np.flatnonzero((good.system == "EN 1092-1") & (good.rating == "PN16") & (good.dn == 200))[0])
    wrong = getattr(good, column).copy()
    wrong[place] = value
    with pytest.raises(DataError, match="PN16 DN200"):
        module._no_misprint(replace(good, **{column: wrong}))


def test_sizes_are_called_as_the_standard_does():
    assert [size_word(s, 65) for s in ("ASME B16.5", "JIS B2220", "EN 1092-1")] == ["NPS 2.5", "65A", "DN65"]
