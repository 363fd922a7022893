"""The same schedule written otherwise: other columns, rows, decimals, units, sheets, files. Nothing that is decided may move."""

import csv
import io
import random
import re

import numpy as np
import pytest
import xlsxwriter
from tests.enquiry.sheets import BREWERY, OIL, SEA

from softseat.enquiry.reader import read_enquiry
from softseat.maker.package import load
from softseat.selection.bulk import columns
from softseat.selection.decide import decide

SIGN = {SEA: ",", BREWERY: ";", OIL: ","}
MAKER = load()


def rows_of(path):
    """The rows as typed; a remark with the delimiter in it is one cell."""
    head, *body = csv.reader(io.StringIO(path.read_text("utf-8")), delimiter=SIGN[path])
    last = len(head) - 1
    return [head, *([*r[:last], SIGN[path].join(r[last:])] for r in body)]


def written(path, rows, sign=","):
    out = io.StringIO()
    csv.writer(out, delimiter=sign, lineterminator="\n").writerows(rows)
    path.write_text(out.getvalue(), "utf-8")
    return path


def decided(path):
    """The tags in file order, and everything that was decided as flat columns."""
    read = read_enquiry(path)
    return [r.tag for r in read.rows], columns(decide(read.sheet, MAKER))


@pytest.fixture(scope="module", params=[SEA, BREWERY, OIL], ids=lambda p: p.stem)
def case(request):
    return request.param, *decided(request.param)


def moved(case, other, exact=True):
    """Columns that are not what they were, item by item under the same tag (the same tag twice: in their order)."""
    _, tags, before = case
    there, after = other
    assert sorted(tags) == sorted(there)
    order = np.argsort(np.array(there), kind="stable")[np.argsort(np.argsort(np.array(tags), kind="stable"), kind="stable")]
    found = []
    for name, column in before.items():
        now = after[name][order]
        if column.dtype.kind == "f" and not exact:
            same = np.isclose(column, now, rtol=1e-5, atol=1e-9, equal_nan=True).all()
        else:
            same = np.array_equal(column, now, equal_nan=column.dtype.kind == "f")
        if not same:
            found.append(name)
    return found


@pytest.mark.parametrize("seed", range(3))
def test_columns_in_another_order(case, tmp_path, seed):
    rows = rows_of(case[0])
    order = list(range(len(rows[0])))
    random.Random(seed).shuffle(order)
    other = written(tmp_path / "a.csv", [[r[i] for i in order] for r in rows], SIGN[case[0]])
    assert moved(case, decided(other)) == []


@pytest.mark.parametrize("seed", range(3))
def test_rows_in_another_order(case, tmp_path, seed):
    """But for rows of which a tag stands twice: which of them is the first is what the order says."""
    head, *body = rows_of(case[0])
    random.Random(seed).shuffle(body)
    tags, made = decided(written(tmp_path / "a.csv", [head, *body], SIGN[case[0]]))
    once = [t for t in case[1] if case[1].count(t) == 1]

    def only(tags, made):
        keep = np.array([t in once for t in tags])
        return [t for t in tags if t in once], {n: c[keep] for n, c in made.items()}

    assert len(once) > 15
    assert moved((case[0], *only(case[1], case[2])), only(tags, made)) == []


@pytest.mark.parametrize("sign", [";", "\t", "|"])
def test_another_delimiter(case, tmp_path, sign):
    assert moved(case, decided(written(tmp_path / "a.csv", rows_of(case[0]), sign))) == []


@pytest.mark.parametrize("encoding", ["utf-8-sig", "utf-16", "utf-16-be"])
def test_another_encoding(case, tmp_path, encoding):
    path = tmp_path / "a.csv"
    path.write_bytes(case[0].read_text("utf-8").encode(encoding))
    assert moved(case, decided(path)) == []


def book_of(path, sheets):
    """A workbook of text cells; sheet name -> rows."""
    book = xlsxwriter.Workbook(str(path), {"strings_to_formulas": False})
    for name, rows in sheets.items():
        sheet = book.add_worksheet(name)
        for r, row in enumerate(rows):
            for c, cell in enumerate(row):
                sheet.write_string(r, c, cell.strip())
    book.close()
    return path


@pytest.mark.parametrize("name", ["Valves", "Liste Armaturen", "表1", "a" * 31])
def test_a_workbook_whatever_its_sheet_is_called(case, tmp_path, name):
    assert moved(case, decided(book_of(tmp_path / "a.xlsx", {name: rows_of(case[0])}))) == []


@pytest.mark.parametrize("cut", [4, 15])
def test_split_over_two_sheets(case, tmp_path, cut):
    head, *body = rows_of(case[0])
    two = {"One": [head, *body[:cut]], "Two": [head, *body[cut:]]}
    assert moved(case, decided(book_of(tmp_path / "a.xlsx", two))) == []


def test_two_blocks_in_one_file(case, tmp_path):
    """Headings again in the middle, as schedules of many pages have them."""
    head, *body = rows_of(case[0])
    path = written(tmp_path / "a.csv", [head, *body[:8], [""] * len(head), head, *body[8:]], SIGN[case[0]])
    assert moved(case, decided(path)) == []


def test_a_title_and_empty_rows_and_columns(case, tmp_path):
    wide = [[r[0], "", *r[1:], ""] for r in rows_of(case[0])]
    blank = [""] * len(wide[0])
    rows = [["Valve schedule", *blank[1:]], blank, wide[0], *(x for r in wide[1:] for x in (r, blank))]
    assert moved(case, decided(written(tmp_path / "a.csv", rows, SIGN[case[0]]))) == []


def in_other_units(changes, rows):
    """Heading -> (new heading, factor, offset); every plain number of that column converted, to eight digits."""
    new = [list(r) for r in rows]
    for old, (label, factor, offset) in changes.items():
        place = rows[0].index(old)
        new[0][place] = label
        for row in new[1:]:
            row[place] = re.sub(r"-?\d+(?:\.\d+)?", lambda m, f=factor, o=offset: f"{float(m.group()) * f + o:.8g}", row[place])
    return new


@pytest.mark.parametrize(
    "changes",
    [
        {"OP PRESS (PSIG)": ("OP PRESS (BARG)", 0.06894757293, 0.0), "MAX PRESS (PSIG)": ("MAX PRESS (KPAG)", 6.894757293, 0.0)},
        {"OP TEMP (F)": ("OP TEMP (C)", 5 / 9, -160 / 9), "MAX TEMP (F)": ("MAX TEMP (K)", 5 / 9, 255.37222222)},
    ],
    ids=["pressures", "temperatures"],
)
def test_other_units(tmp_path, changes):
    """1 psi = 6.894 757 293 kPa, t_C = (t_F - 32)/1.8 (NIST SP 811, appendix B.8)."""
    case = (OIL, *decided(OIL))
    assert moved(case, decided(written(tmp_path / "a.csv", in_other_units(changes, rows_of(OIL)))), exact=False) == []


def test_decimal_comma_or_point(tmp_path):
    """The schedule of the brewery is typed with decimal commas; its words stay as typed."""
    case = (BREWERY, *decided(BREWERY))
    rows = [[re.sub(r"(?<=\d),(?=\d)", ".", c) for c in r] for r in rows_of(BREWERY)]
    assert set(moved(case, decided(written(tmp_path / "a.csv", rows, ";")))) <= {"medium"}
