"""The customer's workbook comes back as it was, with answers at the right. All items are invented."""

import io
import zipfile
from dataclasses import replace
from pathlib import Path
from typing import Any

import openpyxl
import pytest
from openpyxl.chart import BarChart, Reference
from openpyxl.comments import Comment
from openpyxl.styles import Font, PatternFill
from openpyxl.worksheet.datavalidation import DataValidation
from python_calamine import CalamineWorkbook

from softseat.errors import InputError, PaperError
from softseat.papers.returned import HEADINGS, returned_workbook
from softseat.papers.returned_sheet import columns_of, letters_of
from softseat.selection.item import Item, Question

ROWS = {7: "BV-1", 8: "BV-2", 12: "BV-3"}


def item(n: int, row: int, tag: str, **more: Any) -> Item:
    questions = (Question("flow", "Small?", 0.1), Question("oil", "Oil-free?", 0.6))
    return Item(n, "Valves & co", row, tag, (tag,), 1, "", "", "no", "if", "=Because 1 < 2 & more.", {"build": f"B-{n}"}, None, {},
                questions=questions, **more)  # fmt: skip


ITEMS = [item(n, row, tag) for n, (row, tag) in enumerate(ROWS.items(), start=1)]


@pytest.fixture
def source(tmp_path: Path) -> Path:
    """A schedule with a cover, title rows, merged cells, a repeated heading, formulas, a chart, a comment, a rule for input."""
    book = openpyxl.Workbook()
    cover = book.active
    cover.title = "Cover"
    cover["A1"] = "Enquiry"
    sheet = book.create_sheet("Valves & co")
    sheet["A1"] = "Valve schedule"
    sheet.merge_cells("A1:H1")
    for row in (6, 11):
        for k, text in enumerate(("Tag", "Size", "Flow", "Pressure"), start=1):
            cell = sheet.cell(row, k, text)
            cell.font, cell.fill = Font(name="Arial", size=14, bold=True), PatternFill("solid", fgColor="FFCC00")
    for row, tag in ROWS.items():
        for k, value in enumerate((tag, 200, 760.5, "=C7*2"), start=1):
            sheet.cell(row, k, value)
    sheet["F8"].fill = PatternFill("solid", fgColor="00CC00")  # formatted, but empty
    sheet.merge_cells("A14:B14")
    sheet["A14"] = "Total"
    sheet.column_dimensions["A"].width = 33.3
    sheet.row_dimensions[7].height = 41
    sheet["A7"].comment = Comment("note", "buyer")
    rule = DataValidation(type="list", formula1='"a,b"')
    rule.add("B7:B9")
    sheet.add_data_validation(rule)
    chart = BarChart()
    chart.add_data(Reference(sheet, min_col=3, min_row=7, max_row=8))
    sheet.add_chart(chart, "A20")
    path = tmp_path / "in.xlsx"
    book.save(path)
    return path


def returned(source: Path, items: list[Item] = ITEMS) -> Path:
    out = source.with_name("returned.xlsx")
    returned_workbook(source, items, out)
    return out


def test_answers_stand_right_of_the_last_used_column(source: Path) -> None:
    sheet = openpyxl.load_workbook(returned(source))["Valves & co"]
    for row in (6, 11):
        assert [sheet.cell(row, 5 + k).value for k in range(4)] == list(HEADINGS)
        assert sheet.cell(row, 5).font.name == "Arial"
    for n, row in enumerate(ROWS, start=1):
        said = [sheet.cell(row, 5 + k).value for k in range(4)]
        assert said == ["as asked: no; as offered: if", f"B-{n}", "=Because 1 < 2 & more.", "Oil-free? Small?"]
        assert {sheet.cell(row, 5 + k).data_type for k in range(4)} == {"s"}  # a text, never a formula
        assert sheet.cell(row, 7).alignment.wrap_text
    assert [sheet.cell(9, c).value for c in range(5, 10)] == [None] * 5
    assert sheet.column_dimensions["G"].width == 52
    seen = CalamineWorkbook.from_path(source.with_name("returned.xlsx")).get_sheet_by_name("Valves & co").to_python()
    assert seen[6][4:6] == ["as asked: no; as offered: if", "B-1"]


def test_his_own_cells_are_untouched(source: Path) -> None:
    before, after = openpyxl.load_workbook(source), openpyxl.load_workbook(returned(source))
    assert before.sheetnames == after.sheetnames
    for old in before:
        new = after[old.title]
        for row in old.iter_rows():
            for cell in row:
                if cell.column < 5 or cell.row not in {6, 11, *ROWS}:
                    twin = new[cell.coordinate]
                    assert (twin.value, twin.number_format) == (cell.value, cell.number_format)
                    assert (repr(twin.font), repr(twin.fill)) == (repr(cell.font), repr(cell.fill))
        assert old.merged_cells.ranges == new.merged_cells.ranges
        assert {k: d.width for k, d in old.column_dimensions.items() if d.width != 13}.items() <= {
            k: d.width for k, d in new.column_dimensions.items()
        }.items()
        assert {k: d.height for k, d in old.row_dimensions.items()} == {k: d.height for k, d in new.row_dimensions.items()}
    assert after["Valves & co"]["D7"].value == "=C7*2"
    assert after["Valves & co"]["A7"].comment.text == "note"


def test_every_other_part_of_the_file_is_the_same_bytes(source: Path) -> None:
    with zipfile.ZipFile(source) as old, zipfile.ZipFile(returned(source)) as new:
        assert old.namelist() == new.namelist()
        differ = {n for n in old.namelist() if old.read(n) != new.read(n)}
        assert differ == {"xl/styles.xml", "xl/worksheets/sheet2.xml"}
        assert any("chart" in n for n in new.namelist())
        assert [i.date_time for i in old.infolist()] == [i.date_time for i in new.infolist()]


def test_twice_the_same_bytes(source: Path) -> None:
    assert returned(source).read_bytes() == returned(source).read_bytes()


def test_two_items_of_one_row_stand_in_one_cell(source: Path) -> None:
    twin = replace(ITEMS[0], n=9, choice={"build": "B-9"})
    assert openpyxl.load_workbook(returned(source, [*ITEMS, twin]))["Valves & co"]["F7"].value == "B-1\nB-9"


def test_no_choice_and_hostile_texts(source: Path) -> None:
    bad = replace(ITEMS[0], choice=None, offered="no", sentence="\x00]]></t>\u202e<x>", questions=())
    sheet = openpyxl.load_workbook(returned(source, [bad]))["Valves & co"]
    assert [sheet.cell(7, c).value for c in range(5, 9)] == ["no", None, "]]></t><x>", None]


def rewritten(source: Path, change: Any) -> Path:
    """The same workbook as another program may write it: the text of every sheet passed through ``change``."""
    out = source.with_name("other.xlsx")
    with zipfile.ZipFile(source) as old, zipfile.ZipFile(out, "w") as new:
        for name in old.namelist():
            data = old.read(name)
            new.writestr(name, change(data.decode()).encode() if name.startswith("xl/worksheets/sheet") else data)
    return out


def with_prefix(text: str) -> str:
    for tag in ("sheetData", "row", "c", "v", "f", "is", "t"):
        text = text.replace(f"<{tag} ", f"<x:{tag} ").replace(f"<{tag}>", f"<x:{tag}>").replace(f"</{tag}>", f"</x:{tag}>")
        text = text.replace(f"<{tag}/>", f"<x:{tag}/>")
    return text.replace("<worksheet ", '<worksheet xmlns:x="http://schemas.openxmlformats.org/spreadsheetml/2006/main" ', 1)


@pytest.mark.parametrize(
    "change",
    [with_prefix, lambda t: t.replace('<row r="7"', '<row r="7" spans="1:4"'), lambda t: "\ufeff" + t],
    ids=["prefix", "spans", "byte order mark"],
)
def test_other_ways_to_write_a_sheet(source: Path, change: Any) -> None:
    sheet = openpyxl.load_workbook(returned(rewritten(source, change)))["Valves & co"]
    assert sheet["F7"].value == "B-1"
    assert sheet["E6"].value == HEADINGS[0]
    assert sheet["A7"].value == "BV-1"


def test_what_cannot_be_filled_in_is_said(source: Path, tmp_path: Path) -> None:
    out = tmp_path / "out.xlsx"
    (tmp_path / "photo.xlsx").write_bytes(b"\x89PNG and more")
    with pytest.raises(InputError, match="is not a workbook"):
        returned_workbook(tmp_path / "photo.xlsx", ITEMS, out)
    with pytest.raises(InputError, match="xlsx"):
        returned_workbook(tmp_path / "list.csv", ITEMS, out)
    with pytest.raises(PaperError, match="no sheet 'Pumps'; there are Cover, Valves & co"):
        returned_workbook(source, [replace(ITEMS[0], sheet="Pumps")], out)
    with pytest.raises(PaperError, match="no row 900"):
        returned_workbook(source, [replace(ITEMS[0], row=900)], out)
    assert not out.exists()
    buffer = io.BytesIO()
    with zipfile.ZipFile(buffer, "w") as book:
        book.writestr("readme.txt", "no workbook")
    (tmp_path / "zip.xlsx").write_bytes(buffer.getvalue())
    with pytest.raises(InputError):
        returned_workbook(tmp_path / "zip.xlsx", ITEMS, out)


def test_letters_of_columns() -> None:
    """A spreadsheet counts A..Z, AA..ZZ, AAA..XFD (16 384 columns)."""
    assert [letters_of(n) for n in (1, 26, 27, 702, 703, 16384)] == ["A", "Z", "AA", "ZZ", "AAA", "XFD"]
    assert all(columns_of(letters_of(n)) == n for n in range(1, 2000))
