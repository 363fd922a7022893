"""The catalogue: complete, unique, and the words that pass through it."""

import csv
import re
from importlib.resources import files

import pytest
from hypothesis import given
from hypothesis import strategies as st

from softseat.errors import UnknownName
from softseat.papers.lettering import breakable, ended, opened, valued
from softseat.papers.texts import clean, short, text, word

FOLDER = files("softseat.papers")


def test_keys_are_unique_and_texts_are_there():
    rows = list(csv.DictReader((FOLDER / "texts.csv").read_text("utf-8").splitlines()))
    assert len({r["key"] for r in rows}) == len(rows)
    assert [r["key"] for r in rows if not r["en"] and r["key"] != "unit.-"] == []


def test_every_text_that_a_template_or_a_module_asks_for_is_in_the_catalogue():
    rows = {r["key"] for r in csv.DictReader((FOLDER / "texts.csv").read_text("utf-8").splitlines())}
    asked = set()
    for place in FOLDER.iterdir():
        if place.name.endswith(".py") and not place.name.startswith(("drawing", "workbook", "returned", "compare")):
            asked |= set(re.findall(r'\btext\(\s*"([^"{}]+)"', place.read_text("utf-8")))
    for place in (FOLDER / "typst").iterdir():
        paper = place.name.removesuffix(".typ")
        asked |= {f"{paper}.{key}" for key in re.findall(r'\bof\("([^"]+)"\)', place.read_text("utf-8"))}
        asked |= set(re.findall(r't\.at\("([^"]+)"\)', place.read_text("utf-8")))
    assert len(asked) > 60
    assert asked - rows == set()


@given(st.text() | st.text("a \u202e\u2066\u200b\ufeff\x00\t\n\x85\u2028"))
def test_a_clean_text_is_one_line_that_json_and_xml_can_hold(said):
    held = clean(said)
    held.encode("utf-8")
    assert not re.search("[\x00-\x1f\x7f-\x9f\u2028\u2029\u202a-\u202e\u2066-\u2069\ud800-\udfff]", held)
    assert clean(held) == held
    assert len(short(said, 10)) <= 10


def test_long_runs_may_break_and_short_ones_are_left_whole():
    assert breakable("W200-16-EPDM-P-CF8M-1.4462-gear") == "W200-16-EPDM-P-CF8M-1.4462-gear"
    assert breakable("A" * 40).replace("\u200b", "") == "A" * 40
    assert max(map(len, breakable("A" * 40).split("\u200b"))) == 9


def test_words():
    assert word("pneumatic_sr") == "cylinder, spring return"
    assert word("some_new_word") == "some new word"
    assert word("1.4462") == "1.4462"
    with pytest.raises(UnknownName, match=r"texts\.csv"):
        text("no.such.text")


def test_sentences_are_begun_and_ended():
    assert opened("one size up") == "One size up"
    assert opened("pH above 9") == "pH above 9"
    assert opened("kV") == "kV"
    assert ended("one size up") == "One size up."
    assert ended("who says so?") == "Who says so?"
    assert ended("") == ""


def test_units_in_words_of_the_chain():
    assert valued("5 C") == "5 °C"
    assert valued("-10 C") == "−10 °C"
    assert valued("21600 m3/h") == "21600 m³/h"
    assert valued("5 Council") == "5 Council"
    assert valued("double_flanged") == "double-flanged"
