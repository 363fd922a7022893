"""Evil words on every paper: nothing leaves as a formula, no file outside the pack, and the papers are made."""

import csv
import re
import zipfile

import openpyxl
import pytest
import xlsxwriter

from softseat.enquiry.reader import read_enquiry
from softseat.job import explained, offer_enquiry
from softseat.maker.package import load

TAGS = (
    "=cmd|' /C calc'!A0", "=1+1", "+1+1", "-1+1", "@SUM(A1:A9)", "\t=1+1", "\r=1+1",
    "=HYPERLINK(\"http://x.invalid\")", "../../x", "..\\..\\x",
    "CON", "nul.txt", "x" * 300, "\u202egpj.exe", "a\u0000b", "/etc/x", "C:\\x", "~", ".", "..", "aux", "<script>alert(1)</script>", "${x}",
    "#set page(width: 1pt)", "\u200b", "%s%n", "é" * 200, "tag;tag", "[[x]]", "#eval(1)", "$x^2$", "*_`\\", "@ref", "http://x.invalid",
)  # fmt: skip
FORMULA = re.compile(r"<f[ >]")


def schedule(path):
    """A workbook of evil tags, services and remarks, typed as texts."""
    book = xlsxwriter.Workbook(str(path), {"strings_to_formulas": False, "strings_to_urls": False})
    sheet = book.add_worksheet("Valves")
    for c, head in enumerate(("Tag", "Service", "Medium", "Size", "Rating", "P1 bar g", "T max C", "Flow m3/h", "Operator", "Remarks")):
        sheet.write_string(0, c, head)
    for r, tag in enumerate(TAGS, start=1):
        for c, cell in enumerate((tag, tag, "water", "DN100", "PN16", "4", "20", "30", "lever", f"see {tag}")):
            sheet.write_string(r, c, cell)
    book.close()
    return path


@pytest.fixture(scope="module")
def pack(tmp_path_factory):
    folder = tmp_path_factory.mktemp("evil")
    path = schedule(folder / "evil.xlsx")
    out = folder / "deep" / "er" / "pack"
    offer_enquiry(path, out=out)
    return folder, out


def test_every_file_lies_in_the_pack(pack):
    folder, out = pack
    assert {p.name for p in folder.iterdir()} == {"evil.xlsx", "deep"}
    assert {p.name for p in (folder / "deep" / "er").iterdir()} == {"pack"}
    for file in out.rglob("*"):
        assert file.resolve().is_relative_to(out.resolve())
        assert len(file.name) < 120, file
        assert not re.search(r'[<>:"|?*\\\x00-\x1f\u202e]', file.name), file


@pytest.mark.parametrize("name", ["offer.xlsx", "returned.xlsx"])
def test_nothing_leaves_as_a_formula_or_a_link(pack, name):
    with zipfile.ZipFile(pack[1] / name) as book:
        parts = {n: book.read(n).decode("utf-8", "replace") for n in book.namelist() if n.endswith((".xml", ".rels"))}
    for part, text in parts.items():
        if "worksheets/sheet" in part:
            assert not FORMULA.search(text), part
        assert "x.invalid" not in text or "sharedStrings" in part or "sheet" in part, part
        assert 'TargetMode="External"' not in text, part
    for sheet in openpyxl.load_workbook(pack[1] / name):
        for row in sheet.iter_rows():
            assert all(cell.data_type != "f" for cell in row)


def test_the_letter_has_no_field(pack):
    with zipfile.ZipFile(pack[1] / "offer.docx") as letter:
        text = letter.read("word/document.xml").decode()
    assert "w:instrText" not in text.replace("PAGE", "")
    assert "<script" not in text


def test_csv_of_rules_and_fields_begin_no_cell_with_a_sign_of_a_formula(capsys):
    from softseat.cli import app

    for command in ("rules", "fields"):
        app([command, "--format", "csv"], standalone_mode=False)
        for row in csv.reader(capsys.readouterr().out.splitlines()):
            assert not any(cell[:1] in "=@" and cell for cell in row), row


def test_every_evil_row_has_its_verdict(tmp_path):
    items = explained(read_enquiry(schedule(tmp_path / "evil.xlsx")), load())
    assert len(items) >= len(TAGS) - 6  # tags of blanks or lone dots may be no tags
    assert {i.offered for i in items} <= {"yes", "if", "no", "ask"}
