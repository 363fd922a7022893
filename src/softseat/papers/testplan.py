"""Inspection and test plan: pressures by build, then the lines with their hold, witness and review points."""

import json
from collections.abc import Mapping, Sequence
from typing import Any

from softseat.papers.figures import NONE, sentence
from softseat.papers.frame import Frame
from softseat.papers.groups import builds, pieces, tags_of
from softseat.papers.texts import clean, label, short, titled
from softseat.selection.item import Item

COLUMNS: Mapping[str, tuple[str, ...]] = {
    "stage": ("stage",),
    "characteristic": ("characteristic", "what", "test"),
    "method": ("method", "standard", "method_standard"),
    "acceptance": ("acceptance", "criterion", "limit"),
    "extent": ("extent", "frequency"),
    "document": ("document", "record", "certificate"),
    "maker": ("maker", "point", "hwr", "default"),
    "buyer": ("buyer",),
    "inspector": ("inspector", "third_party"),
}


def test_plan(frame: Frame, items: Sequence[Item]) -> dict[str, Any]:
    """Builds that share a plan stand over it together."""
    found = builds(items)
    tests = [{k: v for k, v in group[0].tests.items() if k != "plan" and sentence(v) != NONE} for _, group in found]
    keys = list(dict.fromkeys(k for t in tests for k in t))
    rows = [
        [build, ", ".join(short(t, 60) for t in tags_of(group)), str(pieces(group)), *(sentence(t[k]) if k in t else "" for k in keys)]
        for (build, group), t in zip(found, tests, strict=True)
    ]
    return frame.around("test-plan", pressures={"heads": [titled(k) for k in keys], "rows": rows}, plans=_plans(found))


def _plans(found: Sequence[tuple[str, Sequence[Item]]]) -> list[dict[str, Any]]:
    shared: dict[str, tuple[list[str], list[dict[str, str]]]] = {}
    for build, group in found:
        lines = [_line(n, row) for n, row in enumerate(group[0].tests.get("plan") or (), start=1)]
        shared.setdefault(json.dumps(lines), ([], lines))[0].append(build)
    return [{"builds": named, "lines": lines} for named, lines in shared.values()]


def _line(n: int, row: Mapping[str, Any]) -> dict[str, str]:
    told = {column: _first(row, keys) for column, keys in COLUMNS.items()}
    stray = [k for k in row if k in ("note", "remark") and clean(row[k])]
    told["acceptance"] = "; ".join(t for t in (told["acceptance"], *(f"{label(k)}: {clean(row[k])}" for k in stray)) if t)
    return {"no": str(n), **told}


def _first(row: Mapping[str, Any], keys: Sequence[str]) -> str:
    return next((clean(sentence(row[k])) for k in keys if row.get(k) not in (None, "")), "")
