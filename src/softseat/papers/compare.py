"""Two revisions of an enquiry: what came, what went, what was changed, and what that moved."""

from collections import Counter, defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from softseat.enquiry.fieldtable import fields
from softseat.papers.texts import clean, label, word
from softseat.papers.workbook import write_tables
from softseat.papers.workbook_rows import Column, Table
from softseat.selection.item import Item

Record = Item | Mapping[str, Any]
SHOWN = 12  # lines of a kind in the summary before the rest is counted
MOVES = {"as_asked": "verdict as asked", "offered": "verdict as offered", "build": "build", "operator": "operator"}


@dataclass(frozen=True, slots=True)
class Row:
    """One item as compared: by its tag, the second of two like tags by (tag, 2)."""

    tag: str
    turn: int
    n: int
    row: int
    quantity: int
    asked: Mapping[str, str]
    results: Mapping[str, str]  # verdicts, build, operator

    @property
    def named(self) -> str:
        return f"{self.tag or f'item {self.n} without a tag'}" + (f" ({self.turn})" if self.turn > 1 else "")


@dataclass(frozen=True, slots=True)
class Change:
    """A cell of the enquiry, or a result of ours, that is not what it was."""

    tag: str
    what: str
    before: str
    after: str
    n_before: int
    n_after: int


@dataclass(frozen=True, slots=True)
class Comparison:
    added: tuple[Row, ...]
    gone: tuple[Row, ...]
    changed: tuple[Change, ...]  # cells of the enquiry
    moved: tuple[Change, ...]  # verdicts, builds, operators
    same: int  # items of which nothing differs
    repeated: tuple[str, ...]  # tags that stand more than once in either revision

    def summary(self) -> str:
        """The comparison in plain lines."""
        lines = [
            f"{len(self.added)} added, {len(self.gone)} gone, {len({(c.tag, c.n_after) for c in self.changed})} with changed cells, "
            f"{len({(c.tag, c.n_after) for c in self.moved})} with another verdict, build or operator, {self.same} unchanged."
        ]
        lines += _listed("Added", [r.named for r in self.added]) + _listed("Gone", [r.named for r in self.gone])
        lines += _listed("Changed", [_told(c) for c in self.changed]) + _listed("Moved", [_told(c) for c in self.moved])
        if self.repeated:
            lines += _listed("Tags that stand more than once, compared in their order", list(self.repeated))
        return "\n".join(lines) + "\n"


def compare(items_a: Sequence[Record], items_b: Sequence[Record]) -> Comparison:
    """Set two revisions side by side, by tag.

    Parameters
    ----------
    items_a, items_b : sequence of Item or mapping
        The earlier and the later revision, as items or as read from ``items.json``.

    Returns
    -------
    Comparison
        Rows with the same tag are paired where they are most alike, the others in their order; rows without a tag where they ask the
        same. A word written differently only in blanks or capitals is no change of a tag.
    """
    rows_a, rows_b = _rows(items_a), _rows(items_b)
    pairs, gone, added = _paired(rows_a, rows_b)
    changed = tuple(c for a, b in pairs for c in _cells(a, b))
    moved = tuple(c for a, b in pairs for c in _results(a, b))
    touched = {(c.n_before, c.n_after) for c in (*changed, *moved)}
    same = sum((a.n, b.n) not in touched for a, b in pairs)
    return Comparison(tuple(added), tuple(gone), changed, moved, same, _repeated(rows_a, rows_b))


def comparison_workbook(comparison: Comparison, path: Path, *, name_a: str = "earlier", name_b: str = "later") -> None:
    """The comparison as a workbook: one sheet a question."""
    write_tables(comparison_tables(comparison), path, head=f"{name_a} / {name_b}", foot="Comparison of two revisions", title="Comparison")


def comparison_tables(comparison: Comparison) -> list[Table]:
    """The sheets of the comparison."""
    change = (
        Column("Tag", 22, "wrap"), Column("What", 24), Column("Before", 40, "wrap"), Column("After", 40, "wrap"),
        Column("Item before", 8, "0"), Column("Item after", 8, "0"),
    )  # fmt: skip
    row = (
        Column("Tag", 22, "wrap"),
        Column("Item", 8, "0"),
        Column("Row", 8, "0"),
        Column("Quantity", 10, "0"),
        Column("Asked", 80, "wrap"),
    )
    words = (Column("Summary", 120, "wrap"),)
    return [
        Table("Summary", words, [(line,) for line in comparison.summary().splitlines()]),
        *(Table(name, row, [_line(r) for r in rows], frozen=1) for name, rows in (("Added", comparison.added), ("Gone", comparison.gone))),
        *(
            Table(name, change, [(c.tag, c.what, c.before, c.after, c.n_before, c.n_after) for c in changes], frozen=1)
            for name, changes in (("Changed cells", comparison.changed), ("Verdict, build, operator", comparison.moved))
        ),
    ]


def _line(row: Row) -> tuple[Any, ...]:
    asked = "; ".join(f"{label(k)}: {v}" for k, v in row.asked.items() if v)
    return row.named, row.n, row.row, row.quantity, asked


def _of(record: Record, key: str) -> Any:
    return record.get(key) if isinstance(record, Mapping) else getattr(record, key)


def _rows(records: Sequence[Record]) -> list[Row]:
    turns: Counter[str] = Counter()
    found = []
    for place, record in enumerate(records, start=1):
        tag, choice = clean(_of(record, "tag")), _of(record, "choice") or {}
        turns[_key(tag)] += 1
        asked = {k: clean(v) for k, v in (_of(record, "asked") or {}).items() if k != "tag"} or _from_origins(record)
        results = {k: clean(_of(record, k) if k in ("as_asked", "offered") else choice.get(k)) for k in MOVES}
        n, row, quantity = (int(_of(record, k) or d) for k, d in (("n", place), ("row", 0), ("quantity", 1)))
        found.append(Row(tag, turns[_key(tag)] if tag else 1, n, row, quantity, asked, results))
    return found


def _from_origins(record: Record) -> dict[str, str]:
    """What was asked by the cells it was read from, where the record holds no more."""
    origins = _of(record, "origins") or {}
    return {k: clean(cell.get("text")) for k, cell in origins.items() if k != "tag" and isinstance(cell, Mapping)}


def _key(tag: str) -> str:
    return "".join(tag.split()).casefold()


def _paired(rows_a: Iterable[Row], rows_b: Iterable[Row]) -> tuple[list[tuple[Row, Row]], list[Row], list[Row]]:
    """Pairs in the order of the later revision, and what has no partner on either side."""
    waiting: dict[str, list[Row]] = defaultdict(list)
    for row in rows_a:
        waiting[_key(row.tag)].append(row)
    groups: dict[str, list[Row]] = defaultdict(list)
    for row in rows_b:
        groups[_key(row.tag)].append(row)
    partner = {id(b): a for key, group in groups.items() for a, b in _matched(waiting.get(key, []), group, loose=bool(key))}
    ordered = [(partner[id(b)], b) for group in groups.values() for b in group if id(b) in partner]
    ordered.sort(key=lambda pair: pair[1].n)
    taken = {id(a) for a, _ in ordered}
    gone = [a for group in waiting.values() for a in group if id(a) not in taken]
    added = [b for group in groups.values() for b in group if id(b) not in partner]
    return ordered, sorted(gone, key=lambda r: r.n), sorted(added, key=lambda r: r.n)


def _matched(olds: Sequence[Row], news: Sequence[Row], *, loose: bool) -> list[tuple[Row, Row]]:
    """Rows of one tag: those that ask the very same first, then (where there is a tag) the rest in their order."""
    left: dict[tuple[Any, ...], list[Row]] = defaultdict(list)
    for old in olds:
        left[_print(old)].append(old)
    pairs, over = [], []
    for new in news:
        alike = left.get(_print(new))
        if alike:
            pairs.append((alike.pop(0), new))
        else:
            over.append(new)
    if loose:
        used = {id(a) for a, _ in pairs}
        pairs += zip([a for a in olds if id(a) not in used], over, strict=False)
    return pairs


def _print(row: Row) -> tuple[Any, ...]:
    return (row.quantity, *sorted((k, v) for k, v in row.asked.items() if v))


def _cells(a: Row, b: Row) -> list[Change]:
    keys = list(dict.fromkeys([*a.asked, *b.asked]))
    pairs = {k: (a.asked.get(k, ""), b.asked.get(k, "")) for k in keys}
    shown = {pair for k, pair in pairs.items() if k in fields()}
    # what a cell says is kept under names of ours too (its size as a number, its flow's kind): one change is told once
    moved = {k: (one, other) for k, (one, other) in pairs.items() if one != other and (k in fields() or (one, other) not in shown)}
    found = [Change(b.named, label(k), one, other, a.n, b.n) for k, (one, other) in moved.items()]
    if a.quantity != b.quantity and "quantity" not in keys:
        found.append(Change(b.named, label("quantity"), str(a.quantity), str(b.quantity), a.n, b.n))
    return found


def _results(a: Row, b: Row) -> list[Change]:
    return [
        Change(b.named, told, word(a.results[k]), word(b.results[k]), a.n, b.n) for k, told in MOVES.items() if a.results[k] != b.results[k]
    ]


def _repeated(*revisions: Iterable[Row]) -> tuple[str, ...]:
    return tuple(dict.fromkeys(row.tag for rows in revisions for row in rows if row.turn > 1))


def _told(change: Change) -> str:
    return f"{change.tag}: {change.what}: {change.before or 'nothing'} -> {change.after or 'nothing'}"


def _listed(title: str, lines: Sequence[str]) -> list[str]:
    if not lines:
        return []
    rest = [f"  and {len(lines) - SHOWN} more"] if len(lines) > SHOWN else []
    return [f"{title}:", *(f"  {line}" for line in lines[:SHOWN]), *rest]
