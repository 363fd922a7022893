"""The sheets of the offer's workbook: which columns, and what stands in the rows."""

import functools
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from softseat.papers.figures import as_number, banded, known
from softseat.papers.frame import Frame
from softseat.papers.groups import builds, offered, pieces, ranges, tag_of, tags_of
from softseat.papers.texts import label, some, text, texts, titled, unit, word
from softseat.selection.item import Item, Number

LONG = 1000  # items from which what is said of many is said once
_RANK = {"stop": 0, "query": 1, "condition": 2, "advice": 3, "care": 4}
_PARTS = (
    "body",
    "liner",
    "liner_grade",
    "liner_build",
    "disc",
    "coating",
    "shaft",
    "bush",
    "drilling",
    "operator",
    "operator_size",
    "top_flange",
)


@dataclass(frozen=True, slots=True)
class Column:
    heading: str
    width: float = 12.0
    kind: str = "text"  # text, wrap (long text), number, or a number format
    of: Callable[[Any], Any] = str


@dataclass(frozen=True, slots=True)
class Table:
    name: str
    columns: tuple[Column, ...]
    rows: Iterable[Sequence[Any]]
    lead: tuple[str, ...] = ()
    frozen: int = 0  # columns that stay in sight


def tables(items: Sequence[Item], frame: Frame) -> Iterator[Table]:
    """All sheets in their order; rows are made while they are written."""
    yield items_table(items)
    yield builds_table(items)
    for make in (questions_table, deviations_table, assumptions_table, bolting_table, findings_table):
        yield make(items)
    yield sources_table(items, frame)


def items_table(items: Sequence[Item]) -> Table:
    """One row an item in the customer's order."""
    columns = (
        Column("Item", 6, "0", lambda i: i.n),
        Column("Tag", 18, "wrap", lambda i: i.tag),
        Column("Quantity", 9, "0", lambda i: i.quantity),
        Column("Service", 22, "wrap", lambda i: i.service),
        Column("Medium", 18, "wrap", lambda i: i.medium),
        Column("As asked", 9, "text", lambda i: i.as_asked),
        Column("Offered", 9, "text", lambda i: i.offered),
        Column("Part code", 24, "text", lambda i: _part(i, "build")),
        *(Column(titled(k), 14, "text", functools.partial(_worded, key=k)) for k in ("size", "rating", "body_style", *_used(items))),
        Column("Mass [kg]", 9, "number", lambda i: _part(i, "mass")),
        Column("Face-to-face [mm]", 11, "number", lambda i: _value(i.dimensions.get("face_to_face"))),
        *_number_columns(items),
        Column("Why", 48, "wrap", reason),
        Column("Other kind of valve", 24, "wrap", _family),
        Column("Price each", 12, "0.00", lambda i: None),
        Column("Price in all", 12, "0.00", lambda i: None),
        Column("Delivery [weeks]", 11, "0", lambda i: None),
        Column("Sheet", 12, "text", lambda i: i.sheet),
        Column("Row", 6, "0", lambda i: i.row),
    )
    return Table("Items", columns, ([c.of(i) for c in columns] for i in items), frozen=2)


def reason(item: Item) -> str:
    """The verdict in a sentence, else the gravest finding that speaks of what is offered."""
    if item.sentence:
        return item.sentence
    told = sorted((f for f in item.findings if f.applies_to != "asked"), key=lambda f: _RANK.get(f.severity, 9))
    return told[0].text if told else ""


def _part(item: Item, key: str) -> Any:
    return (item.choice or {}).get(key)


@functools.lru_cache(maxsize=1 << 12)
def _word(said: str) -> str:
    return word(said)


def _worded(item: Item, key: str) -> str:
    value = _part(item, key)
    return "" if value is None else _word(str(value))


def _used(items: Sequence[Item]) -> list[str]:
    """Parts that any item names: a column without an entry is no help."""
    return [k for k in _PARTS if any(_part(i, k) not in (None, "") for i in items)]


def _family(item: Item) -> str:
    told = item.other_family or {}
    family, why = word(told.get("family")), told.get("why") or ""
    return f"{family}: {why}" if family and why else family or why


def _value(number: Number | None) -> float | None:
    return number.value if number is not None and known(number.value) else None


def _number_columns(items: Sequence[Item]) -> Iterator[Column]:
    """A column a number and unit, with both ends beside it where any item has a band."""
    found: dict[tuple[str, str], bool] = {}
    for item in items:
        for key, number in item.numbers.items():
            if known(number.value):
                found[key, number.unit] = found.get((key, number.unit), False) or banded(number)
    for (key, of), band in found.items():
        yield Column(_headed(key, of), 12, "number", functools.partial(_end, key=key, of=of, end="value"))
        for end in ("low", "high") if band else ():
            yield Column(f"{_headed(key, of)}, {end}", 11, "number", functools.partial(_end, key=key, of=of, end=end))


def _headed(key: str, of: str) -> str:
    said = unit(of)
    return f"{titled(key)} [{said}]" if said else titled(key)


def _end(item: Item, key: str, of: str, end: str) -> float | None:
    number = item.numbers.get(key)
    value = getattr(number, end) if number is not None and number.unit == of else None
    return value if known(value) else None


def builds_table(items: Sequence[Item]) -> Table:
    """Distinct builds with their quantities and tags."""
    columns = (
        Column("Part code", 24),
        *(Column(titled(k), 14) for k in ("size", "rating", "body_style", *_used(items))),
        Column("Mass each [kg]", 10, "number"),
        Column("Items", 7, "0"),
        Column("Quantity", 9, "0"),
        Column("Tags", 70, "wrap"),
    )
    parts = ("size", "rating", "body_style", *_used(items))
    found = builds(items)
    rows = (
        (code, *(_worded(group[0], k) for k in parts), _part(group[0], "mass"), len(group), pieces(group), ", ".join(tags_of(group)))
        for code, group in found
    )
    whole = offered(items)
    tags = len({t for i in whole for t in (i.tags or (tag_of(i),))})
    said = f"{tags} {'tag' if tags == 1 else 'tags'} = {some(len(found), 'build')}, {some(pieces(whole), 'piece')}"
    return Table("Builds", columns, rows, lead=(said,), frozen=1)


def _listed(name: str, items: Sequence[Item], columns: tuple[Column, ...], lines: Callable[[Item], Iterable[Sequence[Any]]]) -> Table:
    """A list of lines under their items: number and tag stand in front of each."""
    head = (Column("Item", 6, "0"), Column("Tag", 18, "wrap"))
    return Table(name, (*head, *columns), ((i.n, i.tag, *line) for i in items for line in lines(i)), frozen=2)


def _gathered(name: str, items: Sequence[Item], columns: tuple[Column, ...], lines: Callable[[Item], Iterable[Sequence[Any]]]) -> Table:
    """As ``_listed``; of a long schedule each distinct line once, with the items that it stands for."""
    if len(items) <= LONG:
        return _listed(name, items, columns, lines)
    found: dict[tuple[Any, ...], list[int]] = {}
    for item in items:
        for line in lines(item):
            found.setdefault(tuple(line), []).append(item.n)
    head = (Column("Items", 8, "0"), Column("Which", 40, "wrap"))
    said = f"Each line once, with the items that it stands for ({len(items)} items)."
    rows = ((len(numbers), ranges(numbers), *line) for line, numbers in found.items())
    return Table(name, (*head, *columns), rows, lead=(said,), frozen=2)


def questions_table(items: Sequence[Item]) -> Table:
    columns = (
        Column("Field", 18),
        Column("Question", 60, "wrap"),
        Column("Effect: share of answers that change verdict or build", 16, "0%"),
        Column("Assumed until answered", 36, "wrap"),
        Column("Answer", 36, "wrap"),
    )
    return _listed("Questions", items, columns, lambda i: ((label(q.field), q.text, q.effect, q.assumed, None) for q in i.questions))


def deviations_table(items: Sequence[Item]) -> Table:
    columns = (Column("Field", 18), Column("Asked", 24, "wrap"), Column("Offered", 24, "wrap"), Column("Why", 60, "wrap"))
    return _listed("Deviations", items, columns, lambda i: ((label(d.field), word(d.asked), word(d.offered), d.why) for d in i.deviations))


def assumptions_table(items: Sequence[Item]) -> Table:
    columns = (Column("Field", 20), Column("Value", 28, "wrap"), Column("Why", 60, "wrap"))
    return _gathered("Assumptions", items, columns, lambda i: ((label(a.field), word(a.value), a.reason) for a in i.assumptions))


def bolting_table(items: Sequence[Item]) -> Table:
    """The bolting lists, each line under the keys that its maker gave it."""
    heads: dict[str, str] = {}
    for line in (line for i in items for line in i.bolting):
        for key, value in line.items():
            number = as_number(value)
            heads.setdefault(key, _headed(key, number.unit) if number else titled(key))
    columns = (
        Column("Quantity of valves", 10, "0"),
        *(Column(h, 16, "number") for h in heads.values()),
        *((Column("Number in all", 10, "0"),) if "number" in heads else ()),
    )

    def line_of(item: Item, line: Mapping[str, Any]) -> tuple[Any, ...]:
        each = _plain(line.get("number"))
        in_all = (each * item.quantity if known(each) else None,) if "number" in heads else ()
        return item.quantity, *(_plain(line.get(k)) for k in heads), *in_all

    return _listed("Bolting", items, columns, lambda i: (line_of(i, line) for line in i.bolting))


def _plain(value: Any) -> Any:
    number = as_number(value)
    if number is not None:
        return _value(number)
    return value if known(value) or value is None else word(value)


def findings_table(items: Sequence[Item]) -> Table:
    """Every rule that fired, and on which of the two: as asked or as offered."""
    columns = (
        Column("Rule", 8),
        Column("Severity", 11),
        Column("Applies to", 10),
        Column("Finding", 60, "wrap"),
        Column("Value", 10, "number"),
        Column("Limit", 10, "number"),
        Column("Unit", 8),
        Column("Remedy", 40, "wrap"),
        Column("Source", 28, "wrap"),
    )
    return _gathered("Findings", items, columns, lambda i: (
        (f.rule, f.severity, f.applies_to, f.text, f.value, f.limit, unit(f.unit), f.remedy, f.source) for f in i.findings
    ))  # fmt: skip


def sources_table(items: Sequence[Item], frame: Frame) -> Table:
    """What the offer rests on: cautions, maker's data, the order, every source with the items that use it."""
    rows: list[tuple[Any, ...]] = [("Caution", text("caution"), None)]
    rows += [("Caution", said, None) for said in texts("caution.long")]
    rows += [("Maker's data", frame.rests, None), *((head, said, None) for head, said in frame.facts)]
    used: dict[str, int] = {}
    for item in items:
        for source in {*item.sources, *(f.source for f in item.findings if f.source)}:
            used[source] = used.get(source, 0) + 1
    rows += [("Source", source, count) for source, count in sorted(used.items())]
    return Table("Sources and cautions", (Column("Kind", 16), Column("Text", 110, "wrap"), Column("Items", 8, "0")), rows)
