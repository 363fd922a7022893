"""Evil files from the shell: one sentence and exit 2 with nothing left behind, or a pack; below 1 GiB either way."""

import csv
import io
import zipfile

import pytest
import xlsxwriter
from pyarrow import parquet
from tests.hostile.shell import softseat
from tests.hostile.test_papers import TAGS, schedule

MOST = 1024  # [MiB]
PHOTO = b"\xff\xd8\xff\xe0\x00\x10JFIF\x00" + bytes(range(256)) * 200
OLE = b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1"
GOOD = "Tag;Size;Medium;Rating;P1 bar g;T max C\nV-1;DN80;water;PN16;4;20\n"


def packed(parts):
    file = io.BytesIO()
    with zipfile.ZipFile(file, "w", zipfile.ZIP_DEFLATED) as book:
        for name, data in parts.items():
            book.writestr(name, data)
    return file.getvalue()


def laughs():
    """A workbook of which the sheet, or the strings of it, is ten entities, each ten of the one before."""
    entities = '<!ENTITY e0 "Tag">' + "".join(f'<!ENTITY e{n} "{f"&e{n - 1};" * 10}">' for n in range(1, 11))
    file = io.BytesIO()
    book = xlsxwriter.Workbook(file)
    book.add_worksheet("Valves").write_row(0, 0, ["Tag", "Size", "Medium"])
    book.close()
    with zipfile.ZipFile(file) as old:
        parts = {n: old.read(n) for n in old.namelist()}
    space = "http://schemas.openxmlformats.org/spreadsheetml/2006/main"
    strings = f'<?xml version="1.0"?><!DOCTYPE sst [{entities}]><sst xmlns="{space}"><si><t>&e10;</t></si></sst>'
    return packed({**parts, "xl/sharedStrings.xml": strings})


def bomb():
    return packed({"[Content_Types].xml": "<Types/>", "xl/worksheets/sheet1.xml": bytes(240 << 20)})


REFUSED = {
    "empty.csv": (b"", "empty"),
    "photo.xlsx": (PHOTO, "neither a workbook nor a text"),
    "photo.pdf": (PHOTO, ""),
    "photo.eml": (PHOTO, ""),
    "locked.xlsx": (OLE + bytes(504) + "EncryptedPackage".encode("utf-16-le"), "password"),
    "cut.xlsx": (b"PK\x03\x04" + bytes(300), "damaged"),
    "laughs.xlsx": (laughs, ""),
    "bomb.xlsx": (bomb, "unpacks to more than"),
    "no-heading.csv": (b"1,2,3\n4,5,6\n7,8,9\n", "no heading row"),
    "one-column.csv": (b"Tag\nV-1\nV-2\n", "one column"),
    "noise.txt": (b"\n".join(bytes([n]) * 9 for n in range(14, 256)), ""),
}


@pytest.mark.parametrize("name", REFUSED)
def test_one_sentence_and_nothing_left(tmp_path, name):
    data, words = REFUSED[name]
    (tmp_path / name).write_bytes(data() if callable(data) else data)
    ran = softseat("offer", name, "--out", "pack", folder=tmp_path)
    assert (ran.code, ran.out) == (2, ""), ran
    assert ran.told.startswith("softseat: ")
    assert ran.told.count("\n") == 1
    assert name.split(".")[0] in ran.told
    assert words in ran.told
    assert 20 < len(ran.told) < 600
    assert ran.memory < MOST
    assert [p.name for p in tmp_path.iterdir()] == [name]


@pytest.mark.parametrize("words", [("offer", "no.csv"), ("offer", "."), ("item",), ("calc", "liquid-kv", "no.json"), ("watch", "no.csv")])
def test_what_is_not_there(tmp_path, words):
    ran = softseat(*words, folder=tmp_path)
    assert ran.code == 2
    assert "Traceback" not in ran.told
    assert list(tmp_path.iterdir()) == []


@pytest.mark.parametrize("place", ["good.csv", "good.csv/deep", "/proc/pack", "/dev/null/pack"])
@pytest.mark.parametrize("form", ["table", "parquet"])
def test_a_place_that_cannot_be_written(tmp_path, place, form):
    """A file, a folder in a file, folders that take no files (the machine of the tests may be allowed to write anywhere else)."""
    (tmp_path / "good.csv").write_text(GOOD)
    ran = softseat("offer", "good.csv", "--out", place, "--format", form, folder=tmp_path)
    assert ran.code == 2, ran
    assert ran.told.startswith("softseat: ")
    assert ran.told.count("\n") == 1, ran.told
    assert [p.name for p in tmp_path.iterdir()] == ["good.csv"]
    assert (tmp_path / "good.csv").read_text() == GOOD


@pytest.mark.parametrize("encoding", ["utf-16", "latin-1", "utf-8-sig"])
def test_encodings_from_the_shell(tmp_path, encoding):
    (tmp_path / "a.csv").write_bytes(GOOD.replace("water", "Kühlwasser").encode(encoding))
    ran = softseat("offer", "a.csv", "--out", "pack", "--papers", "none", folder=tmp_path)
    assert ran.code == 0, ran.told
    assert "1 items offered" in ran.out
    assert "Kühlwasser" in (tmp_path / "pack" / "items.json").read_text("utf-8")


@pytest.mark.parametrize(("head", "code"), [("", 0), ("Size", 0), ("c", 2)])
def test_ten_thousand_columns_from_the_shell(tmp_path, head, code):
    """Blank ones and repeated ones are no matter; unknown ones drown the heading row, which is said."""
    wide = f"Tag,Size,Medium,{','.join([head] * 10_000)}\nV-1,DN80,water,{','.join(['x' * bool(head)] * 10_000)}\n"
    (tmp_path / "wide.csv").write_text(wide)
    ran = softseat("offer", "wide.csv", "--out", "pack", "--papers", "none", folder=tmp_path)
    assert ran.code == code, ran.told
    assert ran.told.count("\n") == bool(code)
    assert ran.memory < MOST


def test_nothing_in_parquet_is_more_than_a_text(tmp_path):
    """Evil tags are texts there: who opens the file in a spreadsheet makes formulas of none, for a column of texts has none."""
    schedule(tmp_path / "evil.xlsx")
    ran = softseat("offer", "evil.xlsx", "--out", "pack", "--format", "parquet", folder=tmp_path)
    assert ran.code == 0, ran.told
    assert {p.name for p in (tmp_path / "pack").iterdir()} == {"items.parquet"}
    table = parquet.read_table(tmp_path / "pack" / "items.parquet")
    assert table.num_rows >= len(TAGS) - 6
    assert str(table.schema.field("tag").type) == "string"


def test_the_table_on_the_screen_has_no_signs_that_steer_it(tmp_path):
    """What a terminal would obey (colours, titles, bells, direction) is not printed."""
    out = io.StringIO()
    csv.writer(out).writerows([["Tag", "Medium", "Size"], ["\x1b[31mred", "water", "DN80"], ["a\u202eb", "wa\x07ter", "DN80"]])
    (tmp_path / "a.csv").write_text(out.getvalue(), "utf-8")
    ran = softseat("offer", "a.csv", "--out", "pack", "--papers", "none", folder=tmp_path)
    assert ran.code == 0, ran.told
    assert not [sign for sign in ran.out if not sign.isprintable() and sign != "\n"]
