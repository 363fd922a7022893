"""Two revisions side by side. All items are invented."""

import json
from dataclasses import replace
from pathlib import Path

import openpyxl
from hypothesis import given, settings
from hypothesis import strategies as st

from softseat.papers.compare import compare, comparison_workbook
from softseat.selection.item import Item


def item(n: int, tag: str, flow: str = "760 m3/h", build: str = "B-1", offered: str = "yes", quantity: int = 1) -> Item:
    choice = {"build": build, "operator": "gear"} if build else None
    return Item(n, "Valves", n + 5, tag, (tag,), quantity, "", "", "yes", offered, "", choice, None, {}, asked={"tag": tag, "flow": flow})


A = [item(1, "BV-1"), item(2, "BV-2"), item(3, "BV-3"), item(4, "BV-4", quantity=2)]


def test_added_gone_changed_moved() -> None:
    b = [
        item(1, "BV-2", flow="900 m3/h"),
        item(2, "BV-1"),
        replace(item(3, "BV-4", build="B-9", offered="if"), quantity=3),
        item(4, "BV-5"),
    ]
    found = compare(A, b)
    assert [r.tag for r in found.added] == ["BV-5"]
    assert [r.tag for r in found.gone] == ["BV-3"]
    changes = {(c.tag, c.what, c.before, c.after) for c in found.changed}
    assert changes == {("BV-2", "flow", "760 m3/h", "900 m3/h"), ("BV-4", "quantity", "2", "3")}
    assert {(c.tag, c.what, c.before, c.after) for c in found.moved} == {
        ("BV-4", "build", "B-1", "B-9"),
        ("BV-4", "verdict as offered", "yes", "if"),
    }
    assert found.same == 1
    summary = found.summary()
    assert summary.startswith("1 added, 1 gone, 2 with changed cells, 1 with another verdict, build or operator, 1 unchanged.")
    assert "BV-2: flow: 760 m3/h -> 900 m3/h" in summary


def test_a_verdict_that_loses_its_build() -> None:
    moved = compare([A[0]], [item(1, "BV-1", build="", offered="no")]).moved
    assert {(c.what, c.before, c.after) for c in moved} == {
        ("build", "B-1", ""), ("operator", "worm gear", ""), ("verdict as offered", "yes", "no"),
    }  # fmt: skip


def test_repeated_tags_are_paired_by_what_they_ask() -> None:
    """Three rows of one tag: the one that is gone is the one that nobody asks any more, whatever the order."""
    old = [item(1, "BV-1", "10 m3/h"), item(2, "BV-1", "20 m3/h"), item(3, "BV-1", "30 m3/h")]
    new = [item(1, "BV-1", "30 m3/h"), item(2, "bv-1 ", "10 m3/h")]
    found = compare(old, new)
    assert [r.asked["flow"] for r in found.gone] == ["20 m3/h"]
    assert not found.added
    assert not found.changed
    assert found.repeated == ("BV-1", "bv-1")


def test_rows_without_a_tag_are_paired_only_where_they_ask_the_same() -> None:
    found = compare([item(1, "", "10 m3/h"), item(2, "", "20 m3/h")], [item(1, "", "20 m3/h"), item(2, "", "25 m3/h")])
    assert [r.asked["flow"] for r in found.gone] == ["10 m3/h"]
    assert [r.asked["flow"] for r in found.added] == ["25 m3/h"]
    assert found.same == 1


def test_records_read_from_json_compare_like_items() -> None:
    b = [replace(A[0], offered="if"), *A[1:]]
    plain = json.loads(json.dumps([i.as_json() for i in b]))
    assert compare(A, plain) == compare(A, b)
    assert len(compare(A, plain).moved) == 1
    bare = {"n": 1, "tag": "BV-1", "quantity": 1, "as_asked": "yes", "offered": "yes", "choice": None, "row": 6,
            "origins": {"flow": {"sheet": "Valves", "row": 6, "column": "C", "text": "5 m3/h"}}}  # fmt: skip
    changed = compare([bare], [{**bare, "origins": {"flow": {"text": "6 m3/h"}}}]).changed
    assert [(c.before, c.after) for c in changed] == [("5 m3/h", "6 m3/h")]


rows = st.lists(st.tuples(st.sampled_from(["BV-1", "BV-2", "BV-3", ""]), st.sampled_from(["1", "2", "3"])), max_size=8)


@settings(max_examples=120, deadline=None)
@given(rows, rows)
def test_every_row_is_counted_once_and_the_way_back_mirrors(old: list[tuple[str, str]], new: list[tuple[str, str]]) -> None:
    a, b = ([item(n, t, f) for n, (t, f) in enumerate(rows, start=1)] for rows in (old, new))
    there, back = compare(a, b), compare(b, a)
    changed = len({(c.n_before, c.n_after) for c in there.changed})
    assert there.same + changed + len(there.gone) == len(a)
    assert there.same + changed + len(there.added) == len(b)
    assert (len(back.added), len(back.gone), back.same) == (len(there.gone), len(there.added), there.same)
    assert compare(a, a).same == len(a)


def test_comparison_workbook(tmp_path: Path) -> None:
    b = [item(1, "=BV-9", flow="=1+1"), *A[1:3], item(4, "BV-4", flow="1", build="B-2", quantity=2)]
    for name in ("a", "b"):
        comparison_workbook(compare(A, b), tmp_path / f"{name}.xlsx", name_a="rev 0", name_b="rev A & B")
    assert (tmp_path / "a.xlsx").read_bytes() == (tmp_path / "b.xlsx").read_bytes()
    book = openpyxl.load_workbook(tmp_path / "a.xlsx")
    assert book.sheetnames == ["Summary", "Added", "Gone", "Changed cells", "Verdict, build, operator"]
    assert [c.value for c in book["Added"][2]][:2] == ["=BV-9", 1]
    assert book["Added"]["A2"].data_type == "s"
    assert [c.value for c in book["Changed cells"][2]] == ["BV-4", "flow", "760 m3/h", "1", 4, 4]
    assert [c.value for c in book["Verdict, build, operator"][2]][1:4] == ["build", "B-1", "B-2"]
