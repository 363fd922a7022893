"""What the rules said, in the order of weight, each sentence once with the items it stands for."""

import re
from collections.abc import Iterable
from typing import Any

from softseat.papers.groups import gathered, which
from softseat.papers.lettering import opened
from softseat.papers.texts import clean, text
from softseat.selection.item import Assumption, Finding, Item

WEIGHT = ("stop", "query", "condition", "advice", "care")


def of_offer(item: Item, *severities: str) -> list[Finding]:
    """Findings on what is offered, of these severities, heaviest first."""
    wanted = severities or WEIGHT
    kept = [f for f in item.findings if f.applies_to in ("offered", "both") and f.severity in wanted]
    return sorted(kept, key=lambda f: (WEIGHT.index(f.severity), f.rule))


def of_asked(item: Item) -> list[Finding]:
    """Stops that hold only as asked: they are why something else is offered."""
    return [f for f in item.findings if f.applies_to == "asked" and f.severity in ("stop", "query")]


def line(finding: Finding) -> dict[str, str]:
    """One finding as the papers print it."""
    return {
        "severity": text(f"severity.{finding.severity}"),
        "text": finding.text or finding.reason,
        "remedy": opened(finding.remedy),
        "rule": finding.rule,
        "source": finding.source,
    }


def by_rule(items: Iterable[Item], severity: str) -> list[dict[str, Any]]:
    """One entry a rule: each different sentence with its items, the remedy once; those of most items first."""
    pairs = [(item, finding) for item in items for finding in of_offer(item, severity)]
    entries = [_entry(alike) for alike in gathered(pairs, lambda f: f.rule)]
    return sorted(entries, key=lambda e: -e["count"])


def told(assumptions: Iterable[Assumption]) -> list[Assumption]:
    """The assumptions that a reader wants: the figure behind a rating goes with the rating."""
    return [a for a in assumptions if a.field != "pn"]


def _unquoted(said: str) -> str:
    """A sentence without the buyer's words behind it: the same sentence stands for several items."""
    return re.sub(r' \("[^"]*"\)$', "", said)


def _entry(alike: list[tuple[Item, Finding]]) -> dict[str, Any]:
    first = alike[0][1]
    said = [
        {"text": f.text or f.reason if len({f.text for _, f in same}) == 1 else _unquoted(f.text), "which": which([i for i, _ in same])}
        | {"count": len({i.n for i, _ in same})}
        for same in gathered(alike, lambda f: _unquoted(clean(f.text or f.reason)))
        for f in (same[0][1],)
    ]
    return {"rule": first.rule, "said": said, "remedy": opened(first.remedy), "source": first.source, "count": len({i.n for i, _ in alike})}
