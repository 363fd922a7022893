import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from softseat import tables
from softseat.errors import UnknownName
from softseat.materials import elastomers

GRADES = [row["code"] for row in tables.read("elastomers")]


# ISO 1629: letters; the left column is the old or trade word
@pytest.mark.parametrize(
    ("typed", "letters"),
    [
        ("CSPE", "CSM"),
        ("FPM", "FKM"),
        ("EPT", "EPDM"),
        ("EPM", "EPDM"),
        ("Q", "VMQ"),
        ("nitrile", "NBR"),
        ("Silicone", "VMQ"),
        ("chloroprene", "CR"),
        ("natural rubber", "NR"),
        ("EPDM_P", "EPDM"),
        ("nbr", "NBR"),
    ],
)
def test_old_codes_become_letters_of_iso_1629(typed, letters):
    assert elastomers.liner_letters(typed) == letters


def test_the_grade_that_is_meant():
    assert [elastomers.default_grade(w) for w in ("EPDM", "NBR", "NBR high", "CSPE")] == ["EPDM_P", "NBR_medACN", "NBR_highACN", "CSM"]
    with pytest.raises(UnknownName, match="known are AU, CR, CSM"):
        elastomers.liner_letters("leather")


def test_limits_of_the_table():
    """elastomers.csv: EPDM -40 to 120 C, NBR medium -25 to 90, CSM -20 to 90 (safe column)."""
    found = elastomers.limits(["EPDM_P", "NBR", "CSM", "", "leather"])
    assert found.t_min[:3] - 273.15 == pytest.approx([-40, -25, -20])
    assert found.t_max[:3] - 273.15 == pytest.approx([120, 90, 90])
    assert np.isnan(found.t_max).tolist() == [False, False, False, True, True]
    assert elastomers.limits("FKM").t_max.shape == ()


@given(st.lists(st.sampled_from(GRADES), min_size=1, max_size=20))
def test_short_time_allows_more_and_order_does_not_matter(grades):
    found = elastomers.limits(grades)
    assert (found.t_min < found.t_max).all()
    assert (found.t_max <= found.t_short).all()
    assert found.t_max.tolist() == [float(elastomers.limits(g).t_max) for g in grades]


def test_the_safe_limit_stays_below_the_published_peak():
    """Handbook of plastics technologies, elastomer chapter, Table 4.2: its heat limits."""
    peak = {"NR": 100, "EPDM": 140, "CR": 125, "NBR": 125, "HNBR": 160, "CSM": 150}
    for liner, celsius in peak.items():
        assert elastomers.limits(liner).t_max - 273.15 < celsius


def test_ph_ranges():
    low, high = elastomers.ph_range(["EPDM", "NBR", "FKM", "x"])
    assert low[:3].tolist() == [2, 4, 0]
    assert high[:3].tolist() == [13, 10, 9]
    assert np.isnan(low[3])
