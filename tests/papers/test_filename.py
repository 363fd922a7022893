"""Names of files: properties that every file system asks for (reserved device names as the Windows documentation lists them)."""

import re

import pytest
from hypothesis import given
from hypothesis import strategies as st

from softseat.papers.filename import file_name

RESERVED = {"con", "prn", "aux", "nul", *(f"{d}{n}" for d in ("com", "lpt") for n in range(1, 10))}


@given(st.text(max_size=400))
def test_any_text_makes_a_safe_name(said):
    name = file_name(said, ".pdf", set())
    assert not re.search(r'[<>:"/\\|?*\x00-\x1f\u202a-\u202e\u2066-\u2069]', name)
    assert len(name.encode()) <= 255
    assert name.endswith(".pdf")
    assert name[0] not in " .-"
    assert name.split(".")[0].casefold() not in RESERVED


@given(st.lists(st.sampled_from(["BV-1", "bv-1", "BV/1", "BV 1", "x" * 300, "x" * 299 + "y", "../../x", "x"]), max_size=12))
def test_no_name_comes_twice(tags):
    taken = set()
    names = [file_name(t, ".dxf", taken).casefold() for t in tags]
    assert len(set(names)) == len(names)


@pytest.mark.parametrize(
    ("said", "name"),
    [
        ("BV-1001A", "BV-1001A.pdf"),
        ("../../x", "x.pdf"),
        ("CON", "tag-CON.pdf"),
        ("con.1", "tag-con.1.pdf"),
        ("", "item.pdf"),
        ("…", "item.pdf"),
    ],
)
def test_names_that_were_thought_of(said, name):
    assert file_name(said, ".pdf", set()) == name
