"""Nominal sizes and words as typed."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from softseat.errors import InputError, UnknownName
from softseat.tables.nominal import class_word, dn, known, nps, plain


@pytest.mark.parametrize(
    ("typed", "number"),
    [("DN200", 200), ("dn 200", 200), ("200A", 200), ("NW200", 200), (200, 200), ("NPS 8", 200), ('8"', 200), ("8 in", 200),
     ("NPS 2 1/2", 65), ("2-1/2 in", 65), ("NPS 2.5", 65), ("1/2 in", 15), ("DN175", 175)],
)  # fmt: skip
def test_sizes_as_typed(typed, number):
    assert dn(typed) == number  # ISO 6708 against ASME B36.10M


@pytest.mark.parametrize("typed", ["", "DN", "8 inn", "NPS 7.3", "1/0 in", "big", "nan"])
def test_what_is_no_size_is_said(typed):
    with pytest.raises(InputError, match="DN200"):
        dn(typed)


@given(st.integers(12, 48).filter(lambda n: n % 2 == 0))
def test_from_nps_12_a_dn_is_25_times_its_nps(inches):
    assert dn(f"NPS {inches}") == 25 * inches
    assert nps(25.0 * inches) == inches


def test_no_nps_is_nan():
    assert np.isnan(nps([200, 175])).tolist() == [False, True]


def test_words():
    assert plain("PN 16") == plain("pn-16") == "PN16"
    assert known("flange", "system", "bs 4504") == "EN 1092-1"
    with pytest.raises(UnknownName, match=r"series 'K7' is not known; known are EN 558 20"):
        known("series", "series", "K7")


def test_class_reaches_its_argument():
    @class_word
    def said(system: str, class_: str) -> str:
        return system + class_

    assert said("a", **{"class": "b"}) == said("a", "b") == said("a", class_="b") == "ab"
