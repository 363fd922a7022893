"""The offer's workbook, read back with an independent reader. All items are invented."""

import math
import zipfile
from dataclasses import replace
from pathlib import Path
from typing import Any
from xml.etree import ElementTree

import openpyxl
import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st
from python_calamine import CalamineWorkbook

from softseat.errors import PaperError
from softseat.papers.order import Order
from softseat.papers.workbook import offer_workbook, places
from softseat.selection.item import Assumption, Deviation, Finding, Item, Number, Question

MAKER = {"name": "demo", "title": "Sample range & more", "invented": "yes"}
HOSTILE = ("=1+1", "+1", "-1+cmd", "@x", '=HYPERLINK("x")', "a\x00b\x07c", "\u202eabc", "{=1}", "http://x.example", "1e5")
SHEETS = ["Items", "Builds", "Questions", "Deviations", "Assumptions", "Bolting", "Findings", "Sources and cautions"]


def item(n: int, tag: str = "", build: str | None = "B-1", offered: str = "yes", quantity: int = 1, **more: Any) -> Item:
    choice = {"build": build, "size": "DN200", "rating": "PN16", "body_style": "wafer", "liner": "EPDM", "operator": "gear", "mass": 14.25}
    return Item(
        n, "Valves", n + 4, tag or f"BV-{n}", (tag or f"BV-{n}",), quantity, "duty", "water", offered, offered, f"Sentence {n}.",
        choice if build else None, None, {"kv_full": Number(905.5, "m3/h", 742.0, 1086.0), "velocity": Number(2.98, "m/s")},
        dimensions={"face_to_face": Number(60.0, "mm")}, **more,
    )  # fmt: skip


FINDINGS = (
    Finding("R046", "condition", "offered", "Too fast.", 3.1, 3.0, "m/s", "common practice", "One size up."),
    Finding("R160", "stop", "asked", "Steam.", "148 C", None),
)
ITEMS = [
    item(1, quantity=2, questions=(Question("flow", "How much?", 0.42, "760 m3/h"),), findings=FINDINGS),
    item(2, build="B-2", offered="if", deviations=(Deviation("liner", "NBR", "EPDM", "Too hot."),)),
    item(3, build=None, offered="no", assumptions=(Assumption("ambient_max", "40 C", "not said"),)),
    item(4, quantity=3, bolting=({"part": "stud", "number": 12, "length": Number(170.0, "mm")}, {"part": "nut"})),
]


def rows(path: Path, sheet: str) -> list[list[Any]]:
    return CalamineWorkbook.from_path(path).get_sheet_by_name(sheet).to_python()


def made(tmp_path: Path, items: list[Item], order: Order | None = None) -> Path:
    path = tmp_path / "offer.xlsx"
    offer_workbook(items, path, name="enquiry & co", maker=MAKER, order=order)
    return path


def under(table: list[list[Any]], heading: str) -> list[Any]:
    column = table[0].index(heading)
    return [row[column] for row in table[1:]]


def test_one_row_an_item_in_the_customers_order(tmp_path: Path) -> None:
    path = made(tmp_path, ITEMS[::-1])
    assert CalamineWorkbook.from_path(path).sheet_names == SHEETS
    table = rows(path, "Items")
    assert under(table, "Tag") == ["BV-4", "BV-3", "BV-2", "BV-1"]
    assert under(table, "Offered") == ["yes", "no", "if", "yes"]
    assert under(table, "Part code") == ["B-1", "", "B-2", "B-1"]
    assert under(table, "Mass [kg]") == [14.25, "", 14.25, 14.25]
    assert under(table, "Face-to-face [mm]") == [60.0] * 4
    assert under(table, "Kv, full open [m³/h], low") == [742.0] * 4
    assert [c for c in table[0] if "low" in c] == ["Kv, full open [m³/h], low"]  # no columns for a band that is not there
    for empty in ("Price each", "Price in all", "Delivery [weeks]"):
        assert under(table, empty) == [""] * 4


def test_builds_with_quantities_and_tags(tmp_path: Path) -> None:
    table = rows(made(tmp_path, ITEMS), "Builds")
    assert table[0][0] == "3 tags = 2 builds, 6 valves"
    assert [(r[0], r[-2], r[-1]) for r in table[3:]] == [("B-1", 5.0, "BV-1, BV-4"), ("B-2", 1.0, "BV-2")]


def test_lists_stand_under_their_items(tmp_path: Path) -> None:
    path = made(tmp_path, ITEMS)
    assert rows(path, "Questions")[1][:6] == [1.0, "BV-1", "flow", "How much?", 0.42, "760 m3/h"]
    assert rows(path, "Deviations")[1] == [2.0, "BV-2", "liner", "NBR", "EPDM", "Too hot."]
    assert rows(path, "Assumptions")[1][3:] == ["40 C", "not said"]
    assert rows(path, "Bolting")[1:] == [[4.0, "BV-4", 3.0, "stud", 12.0, 170.0, 36.0], [4.0, "BV-4", 3.0, "nut", "", "", ""]]
    assert rows(path, "Findings")[1][2:9] == ["R046", "condition", "offered", "Too fast.", 3.1, 3.0, "m/s"]
    assert rows(path, "Findings")[2][6] == "148 C"
    told = " ".join(str(c) for r in rows(path, "Sources and cautions") for c in r)
    for said in ("competent engineer", "Sample range & more", "invented", "common practice"):
        assert said in told, said


def test_a_long_schedule_says_once_what_holds_for_many(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """No item and no line is lost: the numbers behind the lines are those of the items."""
    same = [replace(i, assumptions=(Assumption("ambient_max", "40 C", "not said"),)) for i in ITEMS]
    short = rows(made(tmp_path, same), "Assumptions")
    monkeypatch.setattr("softseat.papers.workbook_rows.LONG", 3)
    path = made(tmp_path, same)
    table = rows(path, "Assumptions")
    assert len(short) == 1 + len(ITEMS)
    assert [r[:2] + r[3:] for r in table[3:]] == [[4.0, "1–4", "40 C", "not said"]]
    assert [r[:3] for r in rows(path, "Findings")[3:]] == [[1.0, "1", "R046"], [1.0, "1", "R160"]]
    assert rows(path, "Questions")[1][:2] == [1.0, "BV-1"]  # questions are answered in their row: one each


def test_order_is_named_and_no_date_is_made_up(tmp_path: Path) -> None:
    told = str(rows(made(tmp_path, ITEMS, Order(buyer="Sample works", date="2031-02-03")), "Sources and cautions"))
    assert "Sample works" in told
    assert "2031-02-03" in told
    assert "Date" not in str(rows(made(tmp_path, ITEMS), "Sources and cautions"))


@pytest.mark.parametrize("text", HOSTILE)
def test_text_of_a_user_is_never_a_formula(tmp_path: Path, text: str) -> None:
    bad = replace(item(1, text), service=text, sentence=text, questions=(Question(text, text, None, text),))
    path = made(tmp_path, [bad, item(2)])
    for sheet in openpyxl.load_workbook(path):
        for row in sheet.iter_rows():
            for cell in row:
                assert cell.data_type != "f"
                assert cell.hyperlink is None
                if str(cell.value)[:1] in "=+-@":
                    assert cell.quotePrefix
    with zipfile.ZipFile(path) as book:
        for part in book.namelist():
            if part.endswith(".xml"):
                assert not [e for e in ElementTree.fromstring(book.read(part)).iter() if e.tag.endswith("}f")], part
    kept = "".join(c for c in text if c.isprintable())
    assert under(rows(path, "Items"), "Service")[0] == kept


@settings(max_examples=40, deadline=None)
@example(value=math.nan)
@example(value=-math.inf)
@example(value=None)
@given(value=st.one_of(st.floats(-1e300, 1e300), st.integers(-(10**9), 10**9), st.none()))
def test_a_number_stays_a_number_and_none_is_an_empty_cell(tmp_path_factory: pytest.TempPathFactory, value: float | None) -> None:
    path = tmp_path_factory.mktemp("book") / "o.xlsx"
    good = item(2)
    offer_workbook([replace(good, n=1, numbers={"velocity": Number(value, "m/s")}), good], path, name="x", maker=MAKER)
    told = under(rows(path, "Items"), "Velocity [m/s]")
    finite = value is not None and value - value == 0
    assert told[0] == (pytest.approx(value, rel=1e-14) if finite else "")
    assert told[1] == 2.98


def test_numbers_show_three_figures() -> None:
    assert [places(v) for v in (0.1234, 1.234, 12.34, 123.4, 1234.5, 12.0, -0.5)] == ["0.000", "0.00", "0.0", "0.0", "0", "0", "0.000"]


def test_sheets_are_fit_for_an_office_printer(tmp_path: Path) -> None:
    for sheet in openpyxl.load_workbook(made(tmp_path, ITEMS)):
        assert sheet.page_setup.orientation == "landscape"
        assert sheet.page_setup.fitToWidth in (None, 1)  # 1 is what the file format takes where nothing is said
        assert sheet.page_setup.fitToHeight == 0
        assert sheet.sheet_properties.pageSetUpPr.fitToPage
        assert sheet.oddFooter.right.text == "Page &P of &N"
        assert "invented" in (sheet.oddFooter.left.text or "")
        assert sheet.freeze_panes
        assert sheet.print_title_rows
        assert sheet.auto_filter.ref
    assert "enquiry && co" in sheet.oddHeader.left.text


def test_the_same_bytes_twice_and_no_day_in_them(tmp_path: Path) -> None:
    (tmp_path / "a").mkdir()
    (tmp_path / "b").mkdir()
    first, second = made(tmp_path / "a", ITEMS), made(tmp_path / "b", ITEMS)
    assert first.read_bytes() == second.read_bytes()
    assert openpyxl.load_workbook(first).properties.created.year == 2000


def test_no_items_and_no_place(tmp_path: Path) -> None:
    assert rows(made(tmp_path, []), "Items")[0][0] == "Item"
    with pytest.raises(PaperError, match="could not be written"):
        offer_workbook(ITEMS, tmp_path / "not there" / "o.xlsx", name="x", maker=MAKER)
