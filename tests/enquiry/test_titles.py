"""What stands above a table and holds for all its rows. The lines are invented."""

import pytest

from softseat.enquiry.reader import read_enquiry
from softseat.enquiry.titles import spelled, titles

TITLED = """Cooling house - butterfly valves
Flows in l/s where no unit is written. Pressures normal / design in bar gauge. Everything PN16 flanges. Instrument air 4.5 bar least
W=wafer L=lug
Tag;What flows;DN;Flow;Pressure;T min;T max;Body;Seat
V-1;cooling water;200;60;4 / 8;5;35;W;EPDM
V-2;do., return;200;216 m3/h;4 / 8;5;35;L;EPDM
"""


@pytest.mark.parametrize(
    ("line", "units", "kind"),
    [
        ("All pressures kPa gauge.", {"pressure": "kPa(g)"}, "gauge"),
        ("Drücke bar Überdruck, Temperaturen °C", {"pressure": "bar", "temperature": "C"}, "gauge"),
        ("Q L/s u.n.o.; P kPag; T degC", {"flow": "l/s", "pressure": "kPa(g)", "temperature": "C"}, ""),
        ("heads in metres of water, flows in litres a second", {"pressure": "m head", "flow": "l/s"}, ""),
        ("pressures absolute", {}, "absolute"),
        ("Pump house, revision C, sheet 2 of 3", {}, ""),
        ("The flow is to be confirmed; pressure as before", {}, ""),
    ],
)
def test_units_of_all_rows(line, units, kind):
    told = titles([line])
    assert (told.units, told.kind) == (units, kind)


@pytest.mark.parametrize(
    ("line", "rating"),
    [
        ("Everything PN16 flanges", "PN16"),
        ("flg CL150", "Class 150"),
        ("All flanges PN10 unless said otherwise", "PN10"),
        ("Flanges PN 10/16 on the whole list", None),  # two: the row has to say which
        ("replaces our PN16 list of last year", None),  # of another list
    ],
)
def test_flanges_of_all_rows(line, rating):
    assert next((s.value for s in titles([line]).said if s.name == "rating"), None) == rating


def test_of_the_air_the_lowest_counts():
    said = {s.name: s.value for s in titles(["Instrument air 600 kPa nominal, 450 kPa least."]).said}
    assert said["air_min"] == pytest.approx(450e3 + 101325)
    assert said["air_max"] == pytest.approx(600e3 + 101325)


def test_short_words_are_spelled_out():
    told = titles(["CWS/CWR cool wtr, FW fire wtr, AB alu bronze, PA/DI polyamide ctd"])
    assert spelled("CWS", "service", told) == "cool wtr"
    assert spelled("FW ring main", "service", told) == "fire wtr ring main"
    assert spelled("PA/DI", "disc", told) == "polyamide ctd"
    assert spelled("DI", "disc", told) == "DI"  # ductile iron alone is not what the pair says
    assert spelled("CWSX", "service", told) == "CWSX"
    assert spelled("AB-12", "tag", told) == "AB-12"  # a tag is a name
    assert titles(["WFR the usual kind"]).short == {}  # one pair without a sign may be anything


def test_rows_take_what_is_said_above_and_keep_their_own(tmp_path):
    path = tmp_path / "a.csv"
    path.write_text(TITLED, encoding="utf-8")
    read = read_enquiry(path)
    sheet = read.sheet
    assert sheet["flow"] == pytest.approx([0.060, 0.060])  # 60 l/s and 216 m3/h are the same
    assert sheet["p_max"] == pytest.approx([8e5 + 101325] * 2)  # gauge, as said
    assert sheet["rating"].tolist() == ["PN16", "PN16"]
    assert sheet["air_min"] == pytest.approx([4.5e5 + 101325] * 2)
    assert sheet["body_style"].tolist() == ["wafer", "lugged"]
    assert sheet["medium"].tolist() == ["cooling water", "cooling water, return"]
    assert any("said above the table" in note for note in read.notes)


def test_an_item_of_the_table_above_is_no_title(tmp_path):
    """Its remark speaks of its own line, not of the next table."""
    path = tmp_path / "a.csv"
    path.write_text(
        "Tag;Medium;DN;Flow;Press bar;T max;Remarks\n"
        "V-1;water;200;60 m3/h;4;35;all flanges PN16 in this line\n"
        "Part B - all pressures kPa gauge\n"
        "Mark;Fluid;Size;Flow;Pressure;Temp;Notes\n"
        "V-2;water;DN200;60 m3/h;400;35;\n",
        encoding="utf-8",
    )
    sheet = read_enquiry(path).sheet
    assert sheet["rating"].tolist() == ["", ""]
    assert sheet["p1"][1] == pytest.approx(400e3 + 101325)
