import pytest
from hypothesis import given
from hypothesis import strategies as st

from softseat.enquiry.tags import tags


@pytest.mark.parametrize(
    ("text", "found"),
    [
        ("BV-1001A/B/C", ("BV-1001A", "BV-1001B", "BV-1001C")),
        ("BV-1021 to 1023", ("BV-1021", "BV-1022", "BV-1023")),
        ("1021 to 1023", ("1021", "1022", "1023")),
        ("V-101..V-103", ("V-101", "V-102", "V-103")),
        ("P-1A thru P-1C", ("P-1A", "P-1B", "P-1C")),
        ("HV-12,13,14", ("HV-12", "HV-13", "HV-14")),
        ("XV-001 & 002", ("XV-001", "XV-002")),
        ("BV-9 to BV-11", ("BV-9", "BV-10", "BV-11")),
        ("BV-1021 to 23", ("BV-1021", "BV-1022", "BV-1023")),
        ("V-101 a V-103", ("V-101", "V-102", "V-103")),
        ("A-7 to A-9", ("A-7", "A-8", "A-9")),
        ("BV-1002", ("BV-1002",)),
    ],
)
def test_lists_are_spelled_out(text, found):
    assert tags(text) == found


@pytest.mark.parametrize("text", ["10/BV-1", "V-101-104", "a to b", "BV-1 to XV-4000", "V-5 to V-3", "H2/air"])
def test_what_is_no_list_without_doubt_stays_one_tag(text):
    assert tags(text) == (text,)


@given(
    st.from_regex(r"[A-Z]{1,3}-", fullmatch=True),
    st.integers(1, 9000),
    st.integers(1, 60),
    st.sampled_from([" to ", "..", " thru ", " – "]),
)
def test_a_range_has_as_many_tags_as_it_counts(head, first, count, word):
    found = tags(f"{head}{first:04d}{word}{first + count:04d}")
    assert len(found) == count + 1
    assert found[0] == f"{head}{first:04d}"
    assert found[-1] == f"{head}{first + count:04d}"


def test_no_tag():
    assert tags("  ") == ()
