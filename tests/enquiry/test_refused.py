"""Files that cannot be used: one clear sentence each, nothing half-read."""

import io
import struct
import zipfile

import openpyxl
import pytest

from softseat.enquiry.grid import MOST_BYTES
from softseat.enquiry.reader import read_enquiry
from softseat.errors import InputError

PNG = b"\x89PNG\r\n\x1a\n" + bytes(range(256)) * 40
OLE = b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1"
ODS = """<?xml version="1.0" encoding="UTF-8"?><office:document-content xmlns:office="urn:oasis:names:tc:opendocument:xmlns:office:1.0"
 xmlns:table="urn:oasis:names:tc:opendocument:xmlns:table:1.0" xmlns:text="urn:oasis:names:tc:opendocument:xmlns:text:1.0"><office:body>
<office:spreadsheet><table:table table:name="List">{rows}</table:table></office:spreadsheet></office:body></office:document-content>"""
MANIFEST = """<?xml version="1.0"?><manifest:manifest xmlns:manifest="urn:oasis:names:tc:opendocument:xmlns:manifest:1.0">
<manifest:file-entry manifest:full-path="/" manifest:media-type="application/vnd.oasis.opendocument.spreadsheet"/></manifest:manifest>"""


def refused(path, words):
    with pytest.raises(InputError, match=words) as caught:
        read_enquiry(path)
    assert path.name in str(caught.value)


@pytest.mark.parametrize(
    ("name", "data", "words"),
    [
        ("a.csv", b"", "empty"), ("a.xlsx", b"", "empty"), ("a.xlsx", PNG, "neither a workbook nor a text"),
        ("a.csv", PNG, "neither a workbook nor a text"),
        ("a.xlsx", b"PK\x03\x04" + bytes(200), "damaged"), ("a.xlsx", OLE + "EncryptedPackage".encode("utf-16-le"), "password"),
        ("a.xls", OLE + bytes(600), "workbook"),
        ("a.csv", b"Tag\nV-1\nV-2\n", "one column"), ("a.csv", b"a,b,c\n1,2,3\n4,5,6\n", "no heading row"),
        ("a.csv", b"\n\n\n", "one column"),
        ("a.csv", b"Tag,Size,Medium\n", "no heading row|no item"),
    ],
)  # fmt: skip
def test_files_that_cannot_be_used(tmp_path, name, data, words):
    path = tmp_path / name
    path.write_bytes(data)
    refused(path, words)


def test_no_file(tmp_path):
    refused(tmp_path / "none.csv", "not a file")
    with pytest.raises(InputError, match="not a file"):
        read_enquiry(tmp_path)


def test_a_packed_file_that_is_no_workbook(tmp_path):
    path = tmp_path / "a.xlsx"
    with zipfile.ZipFile(path, "w") as packed:
        packed.writestr("holiday.jpg", PNG)
    refused(path, "no workbook")


def bomb(size):
    """A workbook whose sheet unpacks to this many bytes."""
    packed = io.BytesIO()
    with zipfile.ZipFile(packed, "w", zipfile.ZIP_DEFLATED) as file:
        file.writestr("[Content_Types].xml", "<Types/>")
        with file.open("xl/worksheets/sheet1.xml", "w", force_zip64=False) as part:
            for _ in range(size // (1 << 20)):
                part.write(bytes(1 << 20))
    return packed.getvalue()


def test_a_workbook_that_unpacks_to_too_much(tmp_path):
    path = tmp_path / "bomb.xlsx"
    path.write_bytes(bomb(MOST_BYTES + (8 << 20)))
    assert path.stat().st_size < 1_000_000
    refused(path, "unpacks to more than 200 MB")


def test_a_workbook_that_lies_about_its_size(tmp_path):
    """The declared size is made small in the local header and in the directory: only the real one can be trusted."""
    data = bytearray(bomb(MOST_BYTES + (8 << 20)))
    for mark_, offset in ((b"PK\x03\x04", 22), (b"PK\x01\x02", 24)):
        at = data.rfind(mark_)
        data[at + offset : at + offset + 4] = struct.pack("<I", 1000)
    path = tmp_path / "liar.xlsx"
    path.write_bytes(bytes(data))
    refused(path, "unpacks to more than 200 MB")


def test_a_stray_cell_at_the_end_of_the_sheet(tmp_path):
    book = openpyxl.Workbook()
    book.active["A1"], book.active["XFD1048576"] = "Tag", "x"
    book.save(tmp_path / "stray.xlsx")
    refused(tmp_path / "stray.xlsx", "stray cells")


def test_a_workbook_without_a_table_names_its_sheets(tmp_path):
    book = openpyxl.Workbook()
    book.active.title = "Letter"
    book.active["A1"], book.active["B2"] = "Dear all", "please quote"
    book.save(tmp_path / "letter.xlsx")
    refused(tmp_path / "letter.xlsx", "Letter")


def ods(path, rows):
    with zipfile.ZipFile(path, "w") as packed:
        packed.writestr("mimetype", "application/vnd.oasis.opendocument.spreadsheet")
        packed.writestr("META-INF/manifest.xml", MANIFEST)
        packed.writestr("content.xml", ODS.format(rows=rows))
    return path


def test_an_open_document_is_read(tmp_path):
    cell = '<table:table-cell office:value-type="string"><text:p>{}</text:p></table:table-cell>'
    rows = "".join(
        f"<table:table-row>{''.join(cell.format(c) for c in row)}</table:table-row>"
        for row in (("Tag", "Medium", "Size", "Rating"), ("V-1", "water", "DN80", "PN16"))
    )
    found = read_enquiry(ods(tmp_path / "a.ods", rows))
    assert (found.rows[0].tag, found.sheet["dn"][0], found.sheet["medium"][0]) == ("V-1", 80, "water")


def test_an_open_document_with_a_cell_repeated_without_end(tmp_path):
    cell = '<table:table-cell office:value-type="string" table:number-columns-repeated="16000"><text:p>x</text:p></table:table-cell>'
    row = f'<table:table-row table:number-rows-repeated="1000000">{cell}</table:table-row>'
    refused(ods(tmp_path / "b.ods", row), "stray cells")
