"""Face-to-face by series, and the spool in the gap of an old valve."""

import numpy as np
import pytest

from softseat.errors import UnknownName
from softseat.piping.length import face_to_face, lengths, replacement_spool

SIZES = [40, 50, 65, 80, 100, 125, 150, 200, 250, 300, 350, 400, 450, 500, 600]


def test_series_20_is_the_inch_lengths_of_mss_sp_67_narrow():
    # MSS SP-67 / API 609 Category A lengths in inches, from memory, rounded to the millimetre
    inches = [1.69, 1.81, 1.81, 2.06, 2.19, 2.19, 2.38, 2.69, 3.06, 3.06, 4.00, 4.50, 5.00, 6.06]
    assert lengths("EN 558 20", SIZES[1:]) == pytest.approx(np.array(inches) * 0.0254, rel=0, abs=0.6e-3)


def test_series_14_and_15_obey_their_rules():
    # DIN 3202 F4: 150 + 0.4 DN from DN 100; F5: 200 + DN from DN 80 (from memory)
    assert lengths("EN 558 14", SIZES[4:]) == pytest.approx([(150 + 0.4 * d) / 1e3 for d in SIZES[4:]])
    assert lengths("EN 558 15", SIZES[3:]) == pytest.approx([(200 + d) / 1e3 for d in SIZES[3:]])


def test_the_series_lie_over_each_other():
    short, medium, long, flanged, f4 = (lengths(f"EN 558 {n}", SIZES[:10]) for n in (20, 25, 16, 13, 14))
    for lower, upper in ((short, medium), (medium, long), (long, flanged), (flanged, f4)):
        assert (lower <= upper).all()


@pytest.mark.parametrize("word", ["EN 558 20", "EN 558 series 20", "EN 558-1 basic series 20", "20", "DIN 3202 K1", "ISO 5752 20"])
def test_words_as_typed(word):
    assert face_to_face(word, "8 in")[0] == 0.060


def test_what_is_not_trusted_is_nan_and_what_is_not_known_is_said():
    assert np.isnan(
        [face_to_face("EN 558 25", "DN350")[0], face_to_face("EN 558 20", "DN750")[0], face_to_face("API 609 A", "NPS 36")[0]]
    ).all()
    assert np.isnan(lengths(["EN 558 20", "x"], [200, 200])).tolist() == [False, True]
    with pytest.raises(UnknownName, match="EN 558 20"):
        face_to_face("EN 558 99", "DN200")


def test_a_spool_and_a_valve_fill_the_gap():
    line_gap, new, joints = np.array([0.230, 0.060, np.nan]), 0.060, 0.003
    spool = replacement_spool(line_gap, new, joints)
    assert spool[:2] + new + joints == pytest.approx(line_gap[:2])
    assert np.isnan(spool[2])
