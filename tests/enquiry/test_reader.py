"""The three invented enquiries, shuffled, in other dresses, and workbooks as they come."""

import csv
import random
import re

import numpy as np
import openpyxl
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from tests.enquiry.sheets import BREWERY, OIL, SEA, at, cells, differences, row_of

from softseat.enquiry.fieldtable import columns, fields
from softseat.enquiry.reader import read_enquiry
from softseat.errors import InputError, UnknownName
from softseat.sheet import ASSUMED, GIVEN, MISSING, UNREADABLE

FILES = [(SEA, ",", 26), (BREWERY, ";", 23), (OIL, ",", 24)]
FREE = {
    "Service",
    "Remarks",
    "Disc",
    "Size",
    "what flows",
    "comment",
    "cleaned with",
    "rubber wanted",
    "REMARKS",
    "FLUID",
    "Tag No.",
    "valve id",
    "TAG",
}


def write(path, rows, delimiter=","):
    with path.open("w", encoding="utf-8", newline="") as file:
        csv.writer(file, delimiter=delimiter).writerows(rows)
    return path


@pytest.mark.parametrize(("path", "delimiter", "count"), FILES, ids=["sea", "brewery", "oil"])
def test_counts(path, delimiter, count):
    found = read_enquiry(path)
    assert len(found.rows) == len(found.sheet) == count
    assert [r.n for r in found.rows] == list(range(1, count + 1))
    assert [r.row for r in found.rows] == list(range(2, count + 2))
    assert found.skipped == ()
    assert found.unmapped == ()


@pytest.mark.parametrize(("path", "delimiter", "count"), FILES, ids=["sea", "brewery", "oil"])
def test_every_field_is_a_column_of_fixed_kind(path, delimiter, count):
    sheet = read_enquiry(path).sheet
    assert set(fields()) <= set(sheet.values)
    kinds = {"number": "f", "flag": "b", "text": "U"}
    assert {n for n, kind in columns().items() if sheet[n].dtype.kind != kinds[kind] or len(sheet[n]) != count} == set()
    for name, state in sheet.state.items():
        value = sheet[name]
        nothing = np.isnan(value) if value.dtype.kind == "f" else value == "" if value.dtype.kind == "U" else np.zeros(count, bool)
        known = (state != MISSING) & (state != UNREADABLE)
        assert not (known & nothing).any(), name
        assert not (~known & ~nothing).any(), name


@pytest.mark.parametrize(("path", "delimiter", "count"), FILES, ids=["sea", "brewery", "oil"])
def test_every_given_value_has_its_cell_and_every_assumption_its_reason(path, delimiter, count):
    sheet = read_enquiry(path).sheet
    rows = cells(path, delimiter)
    for name, state in sheet.state.items():
        for n in np.flatnonzero(state == GIVEN):
            if sheet[name].dtype.kind != "b" and name != "tags_count":
                origin = sheet.origin[int(n), name]
                assert origin.row == n + 2
                assert origin.text in delimiter.join(rows[origin.row - 1])
        for n in np.flatnonzero(state == ASSUMED):
            assert sheet.why[int(n), name]


def test_a_row_broken_by_an_unquoted_delimiter_is_put_together():
    found = read_enquiry(BREWERY)
    assert at(found, "V-119", "remarks") == "wafer; hose coupling, nothing behind"
    assert at(found, "V-119", "liner") == "EPDM"
    assert [n for n in found.notes if "row 20" in n and "14 cells under 13 headings" in n]


@pytest.mark.parametrize(("path", "delimiter", "count"), FILES, ids=["sea", "brewery", "oil"])
@pytest.mark.parametrize("seed", [1, 2, 3])
@pytest.mark.parametrize("other", [",", ";", "\t", "|"])
def test_columns_in_any_order_under_any_delimiter_are_the_same_sheet(tmp_path, path, delimiter, count, seed, other):
    rows = [r if len(r) == len(cells(path, delimiter)[0]) else [*r[:12], ";".join(r[12:])] for r in cells(path, delimiter)]
    order = list(range(len(rows[0])))
    random.Random(seed).shuffle(order)
    if path is BREWERY:  # a unit column means the value beside it: the two stay together
        order.remove(5)
        order.insert(order.index(4) + 1, 5)
    shuffled = write(tmp_path / path.name, [[r[i] for i in order] for r in rows], other)
    assert differences(read_enquiry(path), read_enquiry(shuffled)) == []


@pytest.mark.parametrize(("path", "delimiter", "count"), FILES, ids=["sea", "brewery", "oil"])
def test_the_other_decimal_sign_is_the_same_sheet(tmp_path, path, delimiter, count):
    head, *rows = cells(path, delimiter)
    swapped = str.maketrans(",.", ".,")
    rows = [r if len(r) == len(head) else [*r[:12], ";".join(r[12:])] for r in rows]
    turned = [
        [c if h in FREE else re.sub(r"\d[\d.,]*\d", lambda m: m[0].translate(swapped), c) for h, c in zip(head, r, strict=True)]
        for r in rows
    ]
    found = read_enquiry(write(tmp_path / path.name, [head, *turned], ";"))
    assert differences(read_enquiry(path), found, ("position",)) == []
    assert any(a != b for a, b in zip(turned, rows, strict=True))


@pytest.mark.parametrize("encoding", ["utf-8-sig", "utf-16", "cp1252"])
def test_encodings(tmp_path, encoding):
    text = BREWERY.read_text(encoding="utf-8").replace("glycol 35%", "Kühlsole 35%")
    other = tmp_path / "other.csv"
    other.write_bytes(text.encode(encoding))
    assert at(read_enquiry(other), "V-105", "medium") == "Kühlsole 35%"


def test_values_of_the_sea_water_enquiry():
    found = read_enquiry(SEA)
    assert found.rows[0].tags == ("BV-1001A", "BV-1001B", "BV-1001C")
    assert len(found.rows[3].tags) == 6
    assert at(found, "BV-1010", "p_min") == 0.0
    assert at(found, "BV-1010", "p1") == pytest.approx(101325 - 0.85e5)
    assert at(found, "BV-2004", "p2") == pytest.approx(101325 + 0.3e5)
    assert at(found, "BV-3010", "flow") == pytest.approx(0.25)
    assert at(found, "BV-1021 to 1026", "operator") == "pneumatic_da"
    assert at(found, "BV-2004", "duty") == "control"
    assert found.sheet["flow_bare"].sum() == 7  # items 2, 5, 8, 9, 15, 17, 18
    assert found.sheet.state["flow"][1] == ASSUMED
    assert found.sheet["size_bare"].nonzero()[0].tolist() == [6, 19]
    assert (found.sheet["medium"] == "").all()


def test_values_of_the_brewery_enquiry():
    found = read_enquiry(BREWERY)
    assert at(found, "V-103", "state") == "steam"
    assert at(found, "V-121", "mass_flow") == pytest.approx(1100 / 3600)
    assert at(found, "V-104", "t_excursion") == pytest.approx(394.15)
    assert np.isnan(at(found, "V-104", "t_max"))
    assert at(found, "V-116", "t_max") == pytest.approx(368.15)
    assert at(found, "V-118", "cycles") == pytest.approx(8760)
    assert at(found, "V-122", "p_min") == pytest.approx(101325 - 0.9e5)
    assert found.sheet.state["t_min"][row_of(found, "V-116")] == MISSING


def test_values_of_the_oil_enquiry():
    found = read_enquiry(OIL)
    assert at(found, "XV-509", "p_min") == 0.0
    assert at(found, "XV-509", "t_max") == pytest.approx(523.15)
    assert at(found, "XV-501", "concentration") == pytest.approx(0.98)
    assert at(found, "XV-501", "fail") == "close"
    assert at(found, "XV-501", "liner") == "CSM"
    assert found.sheet["rating"][22] == "Class 125"
    assert found.sheet["flange_face"][22] == "FF"


def workbook(path):
    """A workbook as they come: a cover, titles, three header rows, merged cells, sections, totals, a new page, an error cell."""
    book = openpyxl.Workbook()
    cover = book.active
    cover.title = "Cover"
    cover["B2"], cover["B3"] = "an invented plant", "valve schedule"
    sheet = book.create_sheet("Valves")
    heads = [
        ["Tag", "Service", "Size", "Rating", "Flow", "", "Pressure (barg)", "", "Temperature (°C)", "", "Seat", "Fail", "Remarks", "Price"],
        ["", "", "", "", "norm", "max", "op", "design", "min", "max", "", "", "", ""],
        ["", "", "DN", "PN", "m3/h", "m3/h", "", "", "", "", "", "", "", ""],
    ]
    rows = [
        ["VALVE SCHEDULE"], [], *heads,
        ["V-1", "cooling water", 200, 16, 450.5, 600, 4, 10, 5, 40, "EPDM", "", "", 10],
        ["V-2", '"', 250, "do.", 1.234, "n/a", 3.5, 10, 5, 45, "ditto", "FC", "a remark", None],
        [], ["Area 200 - utilities"],
        ["V-3/4", "air", 80, 10, None, None, 6, 10, "amb", 60, "NBR", "", "see note 3", None],
        ["V-5 to V-9", "glycol 30 %", 100, 16, 0, 80, 4, 8, -10, 40, "Unobtainium", "", "", None],
        ["Total", *[None] * 12, 10], *heads,
        ["V-10", "sea water", 300, 16, 900, 1000, 4, 10, 5, 40, "EPDM", "", "", None],
        ["Note: all dimensions in mm"],
    ]  # fmt: skip
    for row in rows:
        sheet.append(row)
    sheet["E11"].value, sheet["E11"].data_type = "#REF!", "e"
    for place in ("E3:F3", "G3:H3", "I3:J3"):
        sheet.merge_cells(place)
    second = book.create_sheet("List B")
    second.append(["KKS", "Medium", "NPS", "Class", "Betriebsdruck [bar]", "Temp. max. °C", "Menge", "Einheit", "Sitz", "Stk"])
    second.append(["10LAB20", "Kühlwasser", 8, 150, "4,5", 60, "1.200", "m3/h", "EPDM", 2])
    second.append(["10LAB21", "Dampf", 6, 150, "2,5", None, 5.5, "t/h", "FPM", 1])
    book.save(path)
    return path


def test_a_workbook_as_they_come(tmp_path):
    found = read_enquiry(workbook(tmp_path / "valves.xlsx"))
    assert [r.tag for r in found.rows] == ["V-1", "V-2", "V-3/4", "V-5 to V-9", "V-10", "10LAB20", "10LAB21"]
    assert [name for name, _ in found.skipped] == ["Cover"]
    assert [(u.heading, u.cells) for u in found.unmapped] == [("Price", ((6, "10"),))]
    assert at(found, "V-1", "flow") == pytest.approx(450.5 / 3600)
    assert at(found, "V-2", "flow") == pytest.approx(1.234 / 3600)  # a number of the workbook is never grouped
    assert (at(found, "V-2", "service"), at(found, "V-2", "liner"), at(found, "V-2", "rating")) == ("cooling water", "EPDM", "PN16")
    assert (at(found, "V-10", "t_min"), at(found, "V-10", "p_design")) == (pytest.approx(278.15), pytest.approx(10e5 + 101325))
    assert at(found, "10LAB20", "flow") == pytest.approx(1200 / 3600)
    assert (at(found, "10LAB20", "dn"), at(found, "10LAB20", "rating"), at(found, "10LAB20", "quantity")) == (200, "Class 150", 2)
    assert at(found, "10LAB21", "mass_flow") == pytest.approx(5500 / 3600)


def test_an_error_cell_is_unreadable_with_its_text_kept(tmp_path):
    found = read_enquiry(workbook(tmp_path / "valves.xlsx"))
    n = row_of(found, "V-5 to V-9")
    assert found.sheet.state["flow"][n] == UNREADABLE
    assert "#REF!" in found.sheet.why[n, "flow"]
    assert found.sheet.state["flow_max"][n] == GIVEN


def test_a_cell_over_several_rows_speaks_for_each(tmp_path):
    book = openpyxl.Workbook()
    for row in (["Tag", "Medium", "Size", "PN"], ["V-1", "brine", "DN80", 10], ["V-2", None, "DN100", 10], ["V-3", "water", "DN100", 10]):
        book.active.append(row)
    book.active.merge_cells("B2:B3")
    book.save(tmp_path / "merged.xlsx")
    assert read_enquiry(tmp_path / "merged.xlsx").sheet["medium"].tolist() == ["brine", "brine", "water"]


def test_the_users_own_words_for_columns(tmp_path):
    path = write(tmp_path / "own.csv", [["Tag", "Size", "Grommet", "Squeeze (barg)"], ["V-1", "DN80", "NBR", "4"]])
    plain, told = read_enquiry(path), read_enquiry(path, {"Grommet": "liner", "Squeeze (barg)": "p_max"})
    assert [u.heading for u in plain.unmapped] == ["Grommet"]
    assert plain.sheet["p1"][0] == pytest.approx(4e5 + 101325)  # by its unit, where no other column is a pressure
    assert (told.sheet["liner"][0], told.sheet["p_max"][0]) == ("NBR", pytest.approx(4e5 + 101325))
    with pytest.raises(UnknownName, match="grommet_field"):
        read_enquiry(path, {"Grommet": "grommet_field"})


def test_a_lone_quotation_mark_in_a_text_file_is_ditto(tmp_path):
    path = tmp_path / "ditto.csv"
    path.write_text('Tag;Size;Medium;Seat\nV-1;8";water;EPDM\nV-2;6";";"\nV-3;"4""";beer;NBR\n', encoding="utf-8")
    found = read_enquiry(path)
    assert found.sheet["medium"].tolist() == ["water", "water", "beer"]
    assert found.sheet["liner"].tolist() == ["EPDM", "EPDM", "NBR"]
    assert found.sheet["dn"].tolist() == [200, 150, 100]


HEADS = st.sampled_from(
    [
        "Tag",
        "Size",
        "Medium",
        "Press op/des barg",
        "Temp °C",
        "Flow",
        "unit",
        "Seat",
        "Disc",
        "Rating",
        "Remarks",
        "dP",
        "Q",
        "PN",
        "Class",
        "",
        "?",
    ]
)


@given(
    st.lists(HEADS, min_size=2, max_size=7),
    st.lists(st.lists(st.text(max_size=9), max_size=8), max_size=5),
    st.sampled_from([",", ";", "\t", "|"]),
)
@settings(max_examples=150, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
def test_any_text_is_read_or_refused_in_one_sentence(tmp_path, heads, rows, delimiter):
    path = write(tmp_path / "any.csv", [heads, *rows], delimiter)
    refusal, found = "", None
    try:
        found = read_enquiry(path)
    except InputError as error:
        refusal = str(error)
    assert "any.csv" in refusal if found is None else len(found.sheet) == len(found.rows) > 0


def test_many_rows_take_no_long_time(tmp_path):
    """A loose bound that a quadratic step would break; the figure of the benchmark stands in the theory page."""
    head, *rows = cells(SEA, ",")
    many = [[str(i), f"BV-{i:05d}", *rows[i % len(rows)][2:]] for i in range(5000)]
    assert len(read_enquiry(write(tmp_path / "many.csv", [head, *many])).rows) == 5000
