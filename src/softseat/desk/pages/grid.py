"""The items of an enquiry as a table that is edited like a spreadsheet."""

from collections.abc import Sequence
from typing import Any

from softseat.desk.bench import Decided, Work
from softseat.desk.cells import not_understood, shown_columns, texts
from softseat.desk.marks import SIGNS, six_words
from softseat.enquiry.fieldtable import fields
from softseat.enquiry.reader import Enquiry
from softseat.selection.item import Item
from softseat.selection.verdict import WORDS

OURS = ("n", "offered", "asked", "why", "moved", "questions")
ORDER = "(a, b) => 'yes if ask no'.indexOf(a.slice(2)) - 'yes if ask no'.indexOf(b.slice(2))"


def verdicts(decided: Decided) -> list[dict[str, Any]]:
    """One line an item with its verdicts and cells, before anything is explained."""
    typed = texts(decided.schedule, decided.read)
    asked, offered = (WORDS[v] for v in (decided.decision.as_asked, decided.decision.as_offered))
    return [
        {
            "n": i + 1,
            "offered": f"{SIGNS[o]} {o}",
            "asked": f"{SIGNS[a]} {a}",
            "why": "…",
            "moved": "",
            "questions": None,
            "doubt": [],
            **typed[i],
        }
        for i, (a, o) in enumerate(zip(map(str, asked), map(str, offered), strict=True))
    ]


def rows(work: Work, before: dict[int, tuple[str, str]]) -> list[dict[str, Any]]:
    """One line an item: ours first, then the buyer's cells as typed."""
    typed = texts(work.schedule, work.read)
    doubts: dict[int, list[str]] = {}
    for m in not_understood(work.read):
        doubts.setdefault(m.n, []).append(m.field)
    return [line(item, typed[i], doubts.get(i, []), before.get(item.n)) for i, item in enumerate(work.items)]


def line(item: Item, typed: dict[str, str], doubts: Sequence[str], before: tuple[str, str] | None) -> dict[str, Any]:
    """One item as a line."""
    return {
        "n": item.n,
        "offered": f"{SIGNS[item.offered]} {item.offered}",
        "asked": f"{SIGNS[item.as_asked]} {item.as_asked}",
        "why": six_words(item),
        "moved": moved(item, before),
        "questions": len(item.questions) or None,
        "doubt": [k for k in typed if set(k.split("+")) & set(doubts)],
        **typed,
    }


def stand(item: Item) -> tuple[str, str]:
    """What is compared to tell that an item moved: verdict and build."""
    return item.offered, str((item.choice or {}).get("build", ""))


def moved(item: Item, before: tuple[str, str] | None) -> str:
    """What the last changes did to it."""
    if before is None or before == stand(item):
        return ""
    return f"{before[0]} → {item.offered}" if before[0] != item.offered else "other build"


def options(read: Enquiry, lines: list[dict[str, Any]], editable: bool) -> dict[str, Any]:
    """The table: ours stand still at the left, the buyer's columns follow in his order."""
    columns = [
        {"field": "n", "headerName": "n", "width": 58, "pinned": "left", "filter": "agNumberColumnFilter", "cellClass": "figures"},
        {"field": "offered", "headerName": "Offered", "width": 92, "pinned": "left", ":comparator": ORDER},
        {"field": "asked", "headerName": "As asked", "width": 92, "pinned": "left", ":comparator": ORDER},
        {"field": "why", "headerName": "In short", "width": 268, "pinned": "left", "tooltipField": "why"},
        {"field": "moved", "headerName": "Moved", "width": 100, "cellClass": "moved"},
        {"field": "questions", "headerName": "Ask", "width": 70, "filter": "agNumberColumnFilter"},
        *(_column(c.key, c.heading, editable) for c in shown_columns(read)),
    ]
    return {
        "columnDefs": columns,
        "rowData": lines,
        "suppressFieldDotNotation": True,
        ":getRowId": "p => String(p.data.n)",
        "defaultColDef": {"sortable": True, "resizable": True, "filter": True, "minWidth": 56},
        "rowSelection": {"mode": "multiRow", "checkboxes": True, "headerCheckbox": True, "enableClickSelection": False},
        "selectionColumnDef": {"pinned": "left", "width": 42},
        "enterNavigatesVertically": True,
        "enterNavigatesVerticallyAfterEdit": True,
        "stopEditingWhenCellsLoseFocus": True,
        "undoRedoCellEditing": False,
        "enableCellTextSelection": False,
        "ensureDomOrder": True,
        "suppressColumnVirtualisation": True,
        "tooltipShowDelay": 400,
        "rowHeight": 30,
        "headerHeight": 34,
    }


def _column(key: str, heading: str, editable: bool) -> dict[str, Any]:
    own = key in fields() and heading == key
    return {
        "field": key,
        "headerName": heading.replace("_", " ") or key,
        "headerTooltip": "read as " + ", ".join(k.replace("_", " ") for k in key.split("+")),
        "editable": editable,
        "width": 150 if key in ("service", "remarks", "medium") else 112,
        "tooltipField": key,
        "cellClassRules": {"doubt": f"data.doubt.includes('{key}')", "added": str(own).lower()},
    }
