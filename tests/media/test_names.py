"""What is understood of media as typed. Invented wordings, in several languages; the row that is meant is plain from its name."""

import math
import time
from collections import Counter

import pytest
from hypothesis import given
from hypothesis import strategies as st

from softseat import tables
from softseat.media.names import find, find_many
from softseat.media.words import tokens

NAN = float("nan")


def name(text, concentration=NAN):
    return find(text, concentration).name


@pytest.mark.parametrize(
    ("text", "row"),
    [
        ("Sea-water cooling pump suction", "sea water"),
        ("eau de mer", "sea water"),
        ("Meerwasser Zulauf", "sea water"),
        ("Trinkwasser", "potable water, cold"),
        ("water, potable", "potable water, cold"),
        ("Kühlwasser Rücklauf", "cooling tower water"),
        ("CO2 gas from vaporiser to mixer", "carbon dioxide, dry"),
        ("nitrogen blanketing header", "nitrogen"),
        ("Instrument air supply", "compressed air, dry oil-free"),
        ("lait de chaux", "lime slurry (milk of lime)"),
        ("huile de colza", "vegetable oil (rape, soya)"),
        ("ácido nítrico 20 %", "nitric acid 10-30 %"),
        ("Methanol", "methanol"),
        ("67-56-1", "methanol"),
        ("steam to reboiler", "steam, saturated"),
        ("steam condensate return", "condensate"),
        ("milk", "milk"),
        ("Ca(OH)2 suspension, milk of lime", "lime slurry (milk of lime)"),
    ],
)
def test_plain_names(text, row):
    assert name(text) == row


@pytest.mark.parametrize(
    ("text", "column", "row"),
    [
        ("sulfuric acid", 0.98, "sulphuric acid 93-98 %"),
        ("sulfuric acid", 0.20, "sulphuric acid 10-50 %"),
        ("Schwefelsäure 96 %", NAN, "sulphuric acid 93-98 %"),
        ("H2SO4 10%", 0.7, "sulphuric acid 50-75 %"),  # the column wins over the text
        ("HCl 32%", NAN, "hydrochloric acid 18-33 %"),
        ("Natronlauge 50%", NAN, "sodium hydroxide 50 %"),
        ("caustic soda 30%", NAN, "sodium hydroxide 20-40 %"),
        ("NaOCl 3%", NAN, "sodium hypochlorite 3-10 %"),
        ("glycol 35%", NAN, "glycol heat-transfer fluid, inhibited 30 %"),
        ("ammonia solution", 0.08, "ammonia solution <= 10 %"),
    ],
)
def test_the_row_of_a_strength(text, column, row):
    assert name(text, column) == row


def test_between_two_strengths_both_rows_count():
    for text, rows in (("acetic acid 20%", (92, 243)), ("hydrogen peroxide 55%", (107, 246)), ("hydrochloric acid 14 %", (81, 238))):
        assert find(text).candidates == rows  # the gaps of conc_gaps.csv
    gaps = {(float(g["gap_from_pct"]), float(g["gap_to_pct"])) for g in tables.read("conc_gaps")}
    assert {(10.0, 30.0), (50.0, 60.0), (10.0, 18.0)} <= gaps


@pytest.mark.parametrize("word", ["acid", "oil", "sludge", "chemical", "solvent", "gas", "Säure", "huile", "process fluid"])
def test_too_loose_a_word_is_asked_back(word):
    match = find(word)
    assert match.medium_id is None
    assert match.vague
    assert match.question


def test_plain_water_is_taken_and_shown():
    for word in ("water", "Wasser", "eau", "agua", "acqua"):
        match = find(word)
        assert match.name == "service / process / irrigation water"
        assert match.guess
        assert match.vague
        assert match.share >= 0.75


@pytest.mark.parametrize("text", ["tank outlet to tanker", "filter inlet", "pump suction header", "", "  ", "n/a", "tbc", "line 12 valve"])
def test_where_nothing_is_said_nothing_is_found(text):
    match = find(text)
    assert match.medium_id is None
    assert match.share == 0


@pytest.mark.parametrize("text", ["PAC", "condensate", "glycol", "Natron", "lejía", "ammonia", "air", "soda"])
def test_ambiguous_words_are_a_guess_with_a_question(text):
    match = find(text)
    assert match.guess
    assert match.question


def test_a_spelling_mistake_is_a_guess_and_never_silent():
    match = find("sulfuric acod 98%")
    assert (match.name, match.guess, match.how) == ("sulphuric acid 93-98 %", True, "spelling")


def test_a_substance_without_its_strength_is_asked():
    match = find("nitric acid")
    assert "strength" in match.question
    assert len(match.candidates) > 1
    assert not find("glacial acetic acid").question  # the words say it


def test_parts_of_a_mixture():
    match = find("Acetone / water", 0.3)
    assert (match.name, match.concentration) == ("acetone", pytest.approx(0.3))
    assert [p.role for p in match.parts] == ["component"]
    spent = find("Spent acid (H2SO4 + oil traces)", 0.4)
    assert spent.name == "sulphuric acid 10-50 %"
    assert ("trace", 40) in [(p.role, p.medium_id) for p in spent.parts]
    assert [(p.role, p.name) for p in find("beer, sterilised with steam").parts] == [("cleaning", "steam, saturated")]
    two = find("caustic 2% 85C, HNO3 1%")
    assert (two.name, two.parts[0].name) == ("sodium hydroxide <= 20 %", "nitric acid 10 %")


def test_what_stands_in_brackets_explains():
    assert name("Fire water ring main (sea water)") == "sea water"
    assert name("ammonia (refrigerant)") == "ammonia, anhydrous liquid"
    assert name("condensate (steam)") == "condensate"


def test_an_unknown_part_is_asked():
    match = find("hop oil + beer")
    assert match.name == "beer"
    assert "hop oil" in match.question


def test_air_with_oil_is_oily_air():
    for text in ("compressed air, screw compressor oil flooded", "air with oil mist"):
        assert name(text) == "compressed air, oily"
    assert name("compressed air oil free") == "compressed air, dry oil-free"


def test_every_name_of_the_table_is_found_as_itself_or_as_its_own_substance():
    lost = []
    for row in tables.read("media"):
        match = find(row["medium"])
        hotter = row["medium"] == "steam, above 120 C"  # the temperature tells it from saturated steam, not the words
        if match.medium_id != int(row["id"]) and int(row["id"]) not in match.candidates and not hotter:
            lost.append((row["id"], row["medium"], match.name))
    assert not lost


def test_most_synonyms_lead_to_their_row():
    total = hits = 0
    for row in tables.read("media"):
        for word in row["synonyms"].split(";"):
            match = find(word)
            total += 1
            hits += match.medium_id == int(row["id"]) or int(row["id"]) in match.candidates
    assert hits / total > 0.97  # the rest are words that the table gives to two rows, or strengths


@given(st.text(max_size=60), st.floats(0, 1) | st.just(NAN))
def test_any_text_gives_an_answer(text, concentration):
    match = find(text, concentration)
    assert 0 <= match.share <= 1
    assert match.medium_id is None or match.medium_id in range(1, 400)
    assert not (match.share < 0.5 and match.medium_id is not None and not match.guess)


@given(st.permutations(["oil", "hydraulic", "supply"]))
def test_word_order_is_free(words):
    assert find(" ".join(words)).medium_id == find("hydraulic oil supply").medium_id


def test_many_are_found_once_each():
    texts = [f"cooling water line {n}" for n in range(2000)] + ["toluene"] * 8000
    start = time.perf_counter()
    found = find_many(texts, [NAN] * 10_000)
    assert len({m.medium_id for m in found}) == 2
    assert time.perf_counter() - start < 5
    assert math.isnan(found[0].concentration)


@pytest.mark.parametrize(
    "text",
    [
        "Condenser inlet, river water",
        "Ballast main and branches (sea water)",
        "Closed cooling water, demin",
        "Turbine hall, river water",
        "Control room side / cooling water",
    ],
)
def test_a_place_beside_the_medium_is_not_asked(text):
    """Common practice, no source."""
    assert find(text).question == ""


@pytest.mark.parametrize(
    "text", ["hop oil + beer", "brine with additive Q7", "solvent X 5 %, water", "morpholine / water", "picoline and water"]
)
def test_what_is_said_to_be_in_it_is_asked(text):
    """Common practice, no source: what it is and how much of it decides the liner."""
    assert find(text).question


def test_no_word_stands_twice_in_the_list_of_words():
    """Of two rows the later would win in silence."""
    rows = [r for r in tables.read("medium_words") if r["kind"] in ("alias", "guess", "vague", "with")]
    count = Counter(tokens(r["word"]) for r in rows)
    assert [" ".join(key) for key, n in count.items() if n > 1] == []
