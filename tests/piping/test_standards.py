"""Standards found in the words of a specification."""

import re

import pytest

from softseat.piping.standards import citations, superseded
from softseat.tables import read


@pytest.mark.parametrize(
    ("text", "cited", "present"),
    [
        ("butterfly valves to BS 5155", "BS 5155", "EN 593"),  # foreword of BS EN 593:1998
        ("tested to BS6755 part 1", "BS 6755-1", "EN 12266-1"),  # foreword of BS EN 12266-2:2002
        ("DIN 2501 PN10", "DIN 2501", "EN 1092"),
        ("F/F DIN 3202-K1", "DIN 3202 K1", "EN 558 series 20"),
        ("certificate 3.1B", "DIN 50049", "EN 10204:2004"),  # EN 10204:2004, summary of changes
        ("EN 10204:1991 3.1B", "EN 10204:1991", "EN 10204:2004"),
        ("GOST 12821-80", "GOST 12815-80", "GOST 33259"),
        ("hardness DIN 53 505", "DIN 53505", "ISO 48-4"),
    ],
)
def test_a_superseded_standard_is_met(text, cited, present):
    found = [c for c in superseded(text) if c.cited.startswith(cited)]
    assert len(found) == 1
    assert present in found[0].present
    assert len(found[0].sentence) > 10


@pytest.mark.parametrize(
    "text",
    [
        "BS 1042 orifice",
        "BS 100",
        "EN 593",
        "EN 593:2017",
        "ASME B16.10",
        "DIN 25010",
        "ISO 48-4",
        "ISO 12944",
        "EN 558",
        "ABS 10",
        "API 598",
        "EN 12266-1",
        "MSS SP-67",
    ],
)
def test_what_stands_or_only_looks_alike_is_left(text):
    assert superseded(text) == ()


def test_every_row_of_the_table_can_be_met():
    """A pattern finds its own entry (the entry that sets two standards against each other has none)."""
    rows, patterns = read("standards"), {r["cited"]: r["pattern"] for r in read("standards_cited")}
    assert {r["cited"] for r in rows} - set(patterns) == {"EN 558 against ISO 5752"}
    for cited in patterns:
        text = re.sub(r"NW, ND", "NW 200", cited)
        assert cited in [c.cited for c in citations(text)], cited


def test_in_the_order_of_the_text():
    assert [c.cited for c in citations("DIN 2501, tests API 598, BS 5155")] == ["DIN 2501", "API 598", "BS 5155"]
