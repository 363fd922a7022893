"""A certificate holds what was judged; a valve that failed gets none, under no kind."""

import io

import pytest
from pypdf import PdfReader

from softseat.errors import InputError, PaperError
from softseat.papers.certificate import certificate_pdf, labels_pdf
from softseat.papers.frame import Frame
from softseat.works.certificate import certificate_content, liner_temperatures, nameplate, open_points
from softseat.works.judge import judge

MAKER = {"name": "demonstration", "title": "Sample range", "invented": "yes"}


@pytest.fixture
def pairs(items, maker, record):
    return [(items["metal"], judge(items["metal"], record("metal", s), maker)) for s in ("26-0117", "26-0118")]


def text_of(pdf):
    return " ".join(page.extract_text() for page in PdfReader(io.BytesIO(pdf)).pages).replace("\n", " ")


def test_an_inspection_certificate_names_valve_heats_results_and_inspector(pairs):
    pdf = certificate_pdf(Frame("order", MAKER), certificate_content(pairs))
    said = text_of(pdf)
    for wanted in (
        "EN 10204 – 3.1",
        "26-0117",
        "26-0118",
        "H 4711",
        "L-2605-3",
        "24.3 bar(g) for 125 s",
        "Inspector One",
        "independent",
        "P-12",
    ):
        assert wanted in said
    assert "invented" in said
    assert pdf == certificate_pdf(Frame("order", MAKER), certificate_content(pairs))


def test_a_declaration_has_no_results(pairs):
    content = certificate_content(pairs, "2.1")
    assert content["results"] == content["gauges"] == []
    assert "24.3 bar(g)" not in text_of(certificate_pdf(Frame("order", MAKER), content))


@pytest.mark.parametrize("kind", ["2.1", "2.2", "3.1"])
@pytest.mark.parametrize(
    ("change", "told"),
    [
        (
            {"shell": {"pressure": "23 bar(g)", "time": "125 s", "leak": "none"}},
            "Shell test with water: 23 bar.* under the test pressure 24 bar",
        ),
        ({"hardness": [70, 78]}, "Hardness: 1 of 2 outside: 78 Shore A"),
        ({"serial": ""}, "serial: not named"),
    ],
)
def test_a_failed_valve_gets_none_and_the_value_is_said(items, maker, record, pairs, kind, change, told):
    bad = judge(items["metal"], record() | change, maker)
    with pytest.raises(PaperError, match=told):
        certificate_content([*pairs, (items["metal"], bad)], kind)
    with pytest.raises(PaperError, match=told):
        nameplate(items["metal"], bad, "x")
    assert open_points([(items["metal"], bad)])[bad.serial or "1"]


def test_a_3_1_wants_an_independent_inspector(items, maker, record):
    pair = (items["metal"], judge(items["metal"], record() | {"independent": False}, maker))
    with pytest.raises(PaperError, match="independent"):
        certificate_content([pair])
    assert certificate_content([pair], "2.2")["kind"] == "2.2"


def test_kinds_that_are_no_kinds(pairs):
    with pytest.raises(InputError, match=r"3\.1\.B"):
        certificate_content(pairs, "3.1.B")
    with pytest.raises(InputError, match="at least one"):
        certificate_content([])


def test_the_nameplate_has_the_temperatures_of_the_liner(items, pairs):
    """EPDM peroxide-cured: -40 to 120 C, the safe range of the elastomer table (from memory there)."""
    assert liner_temperatures(items["metal"]) == pytest.approx((-40, 120))
    plate = nameplate(*pairs[0], "Sample Valves")
    assert ["liner", "EPDM (EPDM_P), -40 to 120 °C"] in plate["lines"]
    assert plate["lines"][0] == ["", "DN200  PN16"]
    said = text_of(labels_pdf(Frame("order", MAKER), [plate]))
    assert "−40 to 120 °C" in said
    assert "26-0117" in said


def test_hostile_words_do_not_reach_the_compiler(items, maker, record):
    told = record() | {"inspector": '#panic("x")', "remarks": "]] $ # \u202e", "serial": '"\\'}
    pair = (items["metal"], judge(items["metal"], told, maker))
    assert certificate_pdf(Frame("#x", MAKER), certificate_content([pair])).startswith(b"%PDF")
