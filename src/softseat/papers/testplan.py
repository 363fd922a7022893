"""Inspection and test plan: pressures by build, then one plan whose lines say which builds they are for."""

from collections.abc import Mapping, Sequence
from typing import Any

from softseat.papers.figures import NONE, sentence
from softseat.papers.frame import Frame
from softseat.papers.groups import builds, pieces, ranges, tags_of
from softseat.papers.texts import catalogue, clean, short, text, titled
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
NOTES = ("remark", "certainty")  # how sure a pressure or a time is: under the table, once
UNTOLD = ("plan", *NOTES)
Line = tuple[str, ...]


def test_plan(frame: Frame, items: Sequence[Item]) -> dict[str, Any]:
    """The builds are numbered; a line that all share stands once."""
    found = builds(items)
    tests = [{k: v for k, v in group[0].tests.items() if k not in UNTOLD and sentence(v) != NONE} for _, group in found]
    keys = list(dict.fromkeys(k for t in tests for k in t))
    rows = [
        [
            str(n),
            build,
            ", ".join(short(t, 60) for t in tags_of(group)),
            str(pieces(group)),
            *(sentence(t[k]) if k in t else "" for k in keys),
        ]
        for n, ((build, group), t) in enumerate(zip(found, tests, strict=True), start=1)
    ]
    lines = _lines([group[0].tests.get("plan") or () for _, group in found])
    pressures = {"heads": [test_name(k) for k in keys], "rows": rows, "notes": _notes(found)}
    return frame.around("test-plan", pressures=pressures, lines=lines)


def test_name(key: str) -> str:
    """What a test figure is called: a shell pressure is a rating elsewhere and a test here."""
    return catalogue().get(f"test.{key}") or titled(key)


def notes(item: Item) -> str:
    """How sure the test figures of one item are, in one line."""
    told = [clean(item.tests.get(k)) for k in NOTES]
    return "; ".join(f"{titled(k)}: {said}" for k, said in zip(NOTES, told, strict=True) if said)


def _notes(found: Sequence[tuple[str, Sequence[Item]]]) -> list[str]:
    shared: dict[str, list[int]] = {}
    for n, (_, group) in enumerate(found, start=1):
        shared.setdefault(notes(group[0]), []).append(n)
    return [text("test-plan.for", builds=ranges(numbers), said=said) for said, numbers in shared.items() if said]


def _lines(plans: Sequence[Sequence[Mapping[str, Any]]]) -> list[dict[str, str]]:
    """Every different line once, in the order of manufacture, with the builds that it is for."""
    order: list[Line] = []
    meant: dict[Line, list[int]] = {}
    for n, plan in enumerate(plans, start=1):
        place = 0
        for row in plan:
            line = tuple(_first(row, keys) for keys in COLUMNS.values())
            if line not in meant:
                order.insert(place, line)
            place = order.index(line) + 1
            meant.setdefault(line, []).append(n)
    return [
        {"no": str(n), "builds": _meant(meant[line], len(plans)), **dict(zip(COLUMNS, line, strict=True))}
        for n, line in enumerate(order, start=1)
    ]


def _meant(numbers: Sequence[int], count: int) -> str:
    return text("test-plan.all") if len(set(numbers)) == count else ranges(numbers)


def _first(row: Mapping[str, Any], keys: Sequence[str]) -> str:
    return next((clean(sentence(row[k])) for k in keys if row.get(k) not in (None, "")), "")
