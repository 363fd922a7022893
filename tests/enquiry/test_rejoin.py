from hypothesis import given
from hypothesis import strategies as st

from softseat.enquiry.rejoin import profile, rejoined

WHOLE = [["1", "V-1", "water", "7", "wafer please"], ["2", "V-2", "beer", "12", ""], ["3", "V-3", "air", "9", "lugged"]]
EXPECTED = profile(WHOLE, 5)


def test_a_delimiter_in_the_last_text_is_given_back():
    row, place = rejoined(["4", "V-4", "wort", "8", "wafer", " nothing behind"], 5, ";", EXPECTED, [4])
    assert (row, place) == (["4", "V-4", "wort", "8", "wafer; nothing behind"], 4)


def test_a_delimiter_in_a_middle_text_is_found_by_the_figures_behind_it():
    row, place = rejoined(["4", "V-4", "wort", " hot", "8", "lugged"], 5, ";", EXPECTED, [4])
    assert (row, place) == (["4", "V-4", "wort; hot", "8", "lugged"], 2)


def test_a_thousands_sign_in_a_comma_file():
    row, place = rejoined(["4", "V-4", "sea", "7", "200", "lugged"], 5, ",", EXPECTED, [4])
    assert (row, place) == (["4", "V-4", "sea", "7,200", "lugged"], 3)


def test_where_every_column_fits_alike_the_free_text_is_taken():
    words = [["a", "b", "c"], ["d", "e", "f"]]
    assert rejoined(["p", "q", "r", "s"], 3, ";", profile(words, 3), [1]) == (["p", "q;r", "s"], 1)


@given(st.lists(st.text(alphabet="abc1 ", max_size=5), min_size=6, max_size=9))
def test_nothing_is_lost(row):
    joined, _ = rejoined(row, 5, ";", EXPECTED, [4])
    assert len(joined) == 5
    assert ";".join(joined) == ";".join(row)
