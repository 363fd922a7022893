"""Files that want to break the reader: each is refused by a sentence, or read and decided, with a verdict for every row."""

import csv
import io
import os
import random
import zipfile

import numpy as np
import pytest
import xlsxwriter
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from tests.enquiry.sheets import BREWERY, OIL, SEA

from softseat.enquiry.reader import read_enquiry
from softseat.errors import InputError, SoftseatError
from softseat.maker.package import load
from softseat.selection.decide import decide
from softseat.sheet import GIVEN, MISSING, UNREADABLE

CASES = int(os.environ.get("SOFTSEAT_CASES", "40"))
many = settings(max_examples=CASES, deadline=None, derandomize="SOFTSEAT_CASES" not in os.environ, suppress_health_check=list(HealthCheck))
EVIL = (
    "", " ", "-", "nan", "inf", "1e309", "-1e308", "9" * 400, "0", "-5", "=1+1", "=cmd|' /C calc'!A0", "@SUM(A1)", "+1", "\u202e", "\x00",
    "é",
    "../../x", "CON", "x" * 300, "#REF!", "tbd", "Tag", "Size", '"', "''", ";", ",", "\t", "DN200", "PN16", "12 bar", "-300 C",
    "1e6 C", "FV",
    "5 m3/h 6 kg/h", "1/0", "٣٫٥", "BV-1/2/3", "BV-1 to 999999", "1 2 3 4 5", "yes/no", "Σ total", "\ufeff", "EPDM/NBR/FKM", "lever; gear",
)  # fmt: skip
HEADS = (
    "Tag", "Size", "Medium", "Rating", "Flow", "P1 bar g", "Design pressure", "T max", "T min C", "Liner", "Disc", "Body", "Operator",
    "Qty",
    "Fail", "Remarks", "pH", "Cycles", "Stroke time", "Unit", "", "Tag", "???", "Shut-off dP", "Viscosity", "Density", "Pipe length", "Air",
)  # fmt: skip
cells = st.one_of(st.sampled_from(EVIL), st.text(max_size=20), st.floats().map(repr), st.integers().map(str))


def judged(path):
    """Reads and decides; every number that counts as known is one, every row has its verdicts."""
    try:
        read = read_enquiry(path)
    except SoftseatError as error:
        told = str(error)
    else:
        told = ""
    if told:
        assert 10 < len(told) < 600, told
        return None
    assert len(read.rows) == len(read.sheet) > 0
    for name, column in read.sheet.values.items():
        if column.dtype.kind == "f":
            known = ~np.isin(read.sheet.state[name], (MISSING, UNREADABLE))
            assert np.isfinite(column[known]).all(), name
    if len(read.sheet) < 500:
        made = decide(read.sheet, load())
        assert np.isin(made.as_asked, (0, 1, 2, 3)).all()
        assert np.isin(made.as_offered, (0, 1, 2, 3)).all()
        for name, column in made.offered.values.items():  # what was typed is never larger than what is told of it
            if column.dtype.kind == "f" and column.ndim == 1:
                given_ = made.offered.state[name] == GIVEN
                assert not np.isinf(column[given_]).any(), name
    return read


def typed(rows, delimiter=","):
    out = io.StringIO()
    csv.writer(out, delimiter=delimiter).writerows(rows)
    return out.getvalue()


@many
@given(data=st.binary(max_size=3000), name=st.sampled_from(["a.csv", "a.xlsx", "a.tsv", "a.xls", "a.ods"]))
def test_any_bytes(tmp_path_factory, data, name):
    path = tmp_path_factory.mktemp("b") / name
    path.write_bytes(data)
    judged(path)


@many
@given(
    heads=st.lists(st.sampled_from(HEADS), min_size=2, max_size=12),
    rows=st.lists(st.lists(cells, max_size=14), max_size=8),
    delimiter=st.sampled_from(",;\t|"),
    encoding=st.sampled_from(["utf-8", "utf-8-sig", "utf-16", "cp1252", "utf-16-le", "latin-1"]),
)
def test_any_cells_under_known_headings(tmp_path_factory, heads, rows, delimiter, encoding):
    path = tmp_path_factory.mktemp("c") / "a.csv"
    path.write_bytes(typed([heads, *rows], delimiter).encode(encoding, "replace"))
    judged(path)


@many
@given(source=st.sampled_from([SEA, BREWERY, OIL]), seed=st.integers(0, 10**9), changes=st.integers(1, 40))
def test_a_good_enquiry_gone_bad(tmp_path_factory, source, seed, changes):
    rng = random.Random(seed)
    text = source.read_text("utf-8")
    sign = ";" if source == BREWERY else ","
    rows = list(csv.reader(io.StringIO(text), delimiter=sign))
    for _ in range(changes):
        r = rng.randrange(len(rows))
        if rows[r]:
            rows[r][rng.randrange(len(rows[r]))] = rng.choice(EVIL)
        if rng.random() < 0.1:
            rows[r] += [rng.choice(EVIL)] * rng.randrange(6)
    path = tmp_path_factory.mktemp("g") / "a.csv"
    path.write_bytes(typed(rows, sign).encode("utf-8", "replace"))
    judged(path)


@many
@given(seed=st.integers(0, 10**9))
def test_any_workbook(tmp_path_factory, seed):
    rng = random.Random(seed)
    path = tmp_path_factory.mktemp("x") / "a.xlsx"
    book = xlsxwriter.Workbook(str(path), {"strings_to_numbers": rng.random() < 0.5, "nan_inf_to_errors": True})
    for name in rng.sample(["Valves", "Cover", "=1+1", "Liste", "表"], rng.randint(1, 3)):
        sheet = book.add_worksheet(name)
        heads = rng.sample(HEADS, rng.randint(2, 12))
        top = rng.randrange(4)
        for c, head in enumerate(heads):
            sheet.write_string(top, c, head)
        for r in range(top + 1, top + 1 + rng.randrange(6)):
            for c in range(len(heads)):
                value = rng.choice(EVIL)
                kind = rng.randrange(5)
                if kind == 0:
                    sheet.write_formula(r, c, "=1/0", value="#DIV/0!")
                elif kind == 1:
                    sheet.write_number(r, c, rng.choice([0, -1, 1e300, 1e-300, 200, 44000.5]))
                elif kind == 2:
                    sheet.write_boolean(r, c, True)
                else:
                    sheet.write_string(r, c, value)
        if rng.random() < 0.4:
            sheet.merge_range(top, 0, top, 1, "Tag", None)
        if rng.random() < 0.3:
            sheet.merge_range(top + 1, 1, top + 3, 1, "DN200", None)
    book.close()
    data = bytearray(path.read_bytes())
    if rng.random() < 0.3:  # a few bits turned
        for _ in range(rng.randint(1, 20)):
            data[rng.randrange(len(data))] ^= 1 << rng.randrange(8)
        path.write_bytes(bytes(data))
    judged(path)


@pytest.mark.parametrize(("head", "cell"), [("c", "x"), ("", "x"), ("", "")])
def test_ten_thousand_columns(tmp_path, head, cell):
    path = tmp_path / "wide.csv"
    path.write_text(typed([["Tag", "Size", "Medium", *[head] * 10_000], ["V-1", "DN80", "water", *[cell] * 10_000]]))
    read = judged(path)
    assert read is None or read.sheet["dn"].tolist() == [80]
    assert read is not None or cell


def test_an_entity_bomb_is_not_unfolded(tmp_path):
    """Ten entities, each ten of the one before: a reader that unfolds them would need gigabytes."""
    entities = '<!ENTITY e0 "Tag">' + "".join(f'<!ENTITY e{n} "{f"&e{n - 1};" * 10}">' for n in range(1, 11))
    sheet = (
        f'<?xml version="1.0"?><!DOCTYPE x [{entities}]><worksheet xmlns="http://schemas.openxmlformats.org/spreadsheetml/2006/main"><sheetData>'
        '<row r="1"><c r="A1" t="inlineStr"><is><t>&e10;</t></is></c></row></sheetData></worksheet>'
    )
    path = tmp_path / "bomb.xlsx"
    book = xlsxwriter.Workbook(str(path))
    book.add_worksheet("Valves").write(0, 0, "Tag")
    book.close()
    with zipfile.ZipFile(path) as old:
        parts = {n: old.read(n) for n in old.namelist()}
    parts["xl/worksheets/sheet1.xml"] = sheet.encode()
    with zipfile.ZipFile(path, "w", zipfile.ZIP_DEFLATED) as new:
        for name, data in parts.items():
            new.writestr(name, data)
    with pytest.raises(InputError):
        read_enquiry(path)


@pytest.mark.parametrize("encoding", ["utf-8", "utf-8-sig", "cp1252", "utf-16", "utf-16-le", "utf-16-be"])
def test_every_usual_encoding(tmp_path, encoding):
    path = tmp_path / "a.csv"
    path.write_bytes("Tag;Nennweite;Medium;Nenndruck\nV-1;DN80;Kühlwasser;PN16\n".encode(encoding))
    read = judged(path)
    assert (read.sheet["dn"][0], read.sheet["medium"][0], read.sheet["pn"][0]) == (80, "Kühlwasser", 16)


def test_half_the_file_in_another_encoding(tmp_path):
    path = tmp_path / "a.csv"
    path.write_bytes("Tag;Size;Medium;Rating\nV-1;DN80;Kühlwasser;PN16\n".encode() + "V-2;DN100;Kühlwasser;PN16\n".encode("cp1252"))
    assert judged(path).sheet["dn"].tolist() == [80, 100]
