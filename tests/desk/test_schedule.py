"""Rows out of a file and back into one: the reader must see the same enquiry as in the buyer's own file."""

from pathlib import Path

import numpy as np
import pytest
import xlsxwriter
from hypothesis import given, settings
from hypothesis import strategies as st

from softseat.desk import schedule as schedules
from softseat.desk.cells import answers, column_number, not_understood, shown_columns, texts
from softseat.desk.schedule import Reading, Schedule
from softseat.enquiry.grid import letter
from softseat.enquiry.reader import read_enquiry
from softseat.errors import InputError, UnknownName

ENQUIRIES = sorted((Path(__file__).parents[1] / "enquiry" / "enquiries").glob("*.csv"))


def same(one, other):
    """Values, states and origins of two enquiries."""
    assert [(r.sheet, r.row, r.tag, r.quantity) for r in one.rows] == [(r.sheet, r.row, r.tag, r.quantity) for r in other.rows]
    for name, column in one.sheet.values.items():
        np.testing.assert_array_equal(column, other.sheet.values[name], err_msg=name)
        np.testing.assert_array_equal(one.sheet.state[name], other.sheet.state[name], err_msg=name)
    assert one.sheet.origin == other.sheet.origin


@pytest.mark.parametrize("file", ENQUIRIES, ids=lambda f: f.stem)
def test_a_text_file_reads_the_same(file):
    same(read_enquiry(file), schedules.read(schedules.opened(file.name, file.read_bytes())))


def workbook(path):
    """A workbook with all that is awkward: a title, two header rows, merged cells, numbers, a cover sheet, an error cell. Invented."""
    book = xlsxwriter.Workbook(path)
    cover = book.add_worksheet("Cover")
    cover.write("A1", "Project of nowhere, invented")
    sheet = book.add_worksheet("Valves")
    sheet.write_row(0, 0, ["Valve list, invented"])
    sheet.write_row(2, 0, ["Tag", "Medium", "Size", "", "Temperature", "Flow m3/h"])
    sheet.merge_range(2, 2, 2, 3, "Line")
    sheet.write_row(3, 2, ["DN", "PN", "C"])
    for n in range(5):
        sheet.write_row(4 + n, 0, [f"V-{n}", "cooling water", 100 + 50 * (n % 2), 10, 20.5 + n, 1.234 + n])
    sheet.merge_range(5, 1, 6, 1, "drinking water")
    sheet.write(9, 0, "Total 5 valves")
    book.close()
    return path


def test_a_workbook_reads_the_same(tmp_path):
    file = workbook(tmp_path / "list.xlsx")
    own = read_enquiry(file)
    assert len(own.rows) == 5
    assert own.sheet["flow"][0] * 3600 == pytest.approx(1.234), "a number of a workbook has no thousands"
    opened = schedules.opened(file.name, file.read_bytes())
    assert opened.rows["Valves", 5][5] == 1.234
    same(own, schedules.read(opened))


def test_an_answer_changes_its_item_and_no_other():
    file = ENQUIRIES[0]
    schedule = schedules.opened(file.name, file.read_bytes())
    before = schedules.read(schedule)
    edits, added = answers(schedule, before, [(2, "disc", "CF8M"), (2, "oil", "0 ppm")])
    assert added == {"oil": "oil"}
    rows = {p: list(c) for p, c in schedule.rows.items()}
    for e in edits:
        rows[e.sheet, e.row] += [""] * (e.column + 1 - len(rows[e.sheet, e.row]))
        rows[e.sheet, e.row][e.column] = e.text
    after = schedules.read(Schedule(schedule.name, schedule.layout, rows, Reading(added)))
    assert after.sheet["disc"][2] == "CF8M"
    assert after.sheet["oil"][2] == 0
    others = np.arange(len(before.rows)) != 2
    for name in ("disc", "liner", "dn", "flow", "p1", "t_max", "oil", "medium"):
        np.testing.assert_array_equal(before.sheet[name][others], after.sheet[name][others], err_msg=name)


def test_a_cell_of_two_fields_takes_one_part_or_both():
    schedule = schedules.opened("s.csv", b"Tag,Medium,Size,Press op/des barg\nT-1,water,DN100,2.5/6\nT-2,water,DN100,\n")
    read = schedules.read(schedule)
    assert [c.key for c in shown_columns(read)] == ["tag", "medium", "size", "p1+p_design"]
    assert texts(schedule, read)[0]["p1+p_design"] == "2.5/6"
    assert answers(schedule, read, [(0, "p_design", "8")])[0][0].text == "2.5/8"
    assert answers(schedule, read, [(0, "p1+p_design", "3/9")])[0][0].text == "3/9"
    assert answers(schedule, read, [(1, "p1", "3")])[0][0].text == "3"
    with pytest.raises(InputError, match=r"p1\+p_design"):
        answers(schedule, read, [(1, "p_design", "3")])
    with pytest.raises(UnknownName, match="'colour'"):
        answers(schedule, read, [(0, "colour", "red")])


def test_words_where_a_figure_would_stand_go_to_the_remarks():
    schedule = schedules.opened("s.csv", b"Tag,Medium,Size,Remarks\nT-1,compressed air,DN100,in pit\nT-2,compressed air,DN100,\n")
    edits, added = answers(schedule, schedules.read(schedule), [(0, "oil", "oil-free"), (1, "oil", "oil-free")])
    assert not added
    assert [(e.row, e.column, e.text) for e in edits] == [(2, 3, "in pit; oil-free"), (3, 3, "oil-free")]


def test_what_cannot_be_read_is_marked_in_its_place():
    schedule = schedules.opened("s.csv", b"Tag,Medium,Size,Flow m3/h\nT-1,water,DN100,banana\nT-2,water,DN100,20\n")
    found = not_understood(schedules.read(schedule))
    assert [(m.n, m.field, m.text) for m in found] == [(0, "flow", "banana")]


def test_a_unit_chosen_for_a_heading_counts():
    schedule = schedules.opened("s.csv", b"Tag,Medium,Size,Flow\nT-1,water,DN100,36\nT-2,water,DN100,72\n")
    chosen = Schedule(schedule.name, schedule.layout, schedule.rows, Reading(units={"Flow": "l/s"}))
    # 36 l/s is 0.036 m3/s by definition of the litre
    np.testing.assert_allclose(schedules.read(chosen).sheet["flow"], [0.036, 0.072])


@given(st.integers(0, 20000))
@settings(max_examples=50)
def test_column_letters_go_there_and_back(place):
    assert column_number(letter(place)) == place


@pytest.mark.parametrize("name", ["a.pdf", "a", "a.csv.exe"])
def test_other_kinds_of_file_are_refused(name):
    with pytest.raises(InputError, match="allowed are"):
        schedules.opened(name, b"Tag,Size\nT-1,DN100\n")
