"""How many different valves a schedule is, and what making two of them one would cost."""

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from softseat.selection.choose import CONDITION, UNSURE
from softseat.selection.decide import Decision
from softseat.selection.item import Item
from softseat.selection.words import said

PARTS = {"liner": "liner_grade", "disc": "disc"}
NOT_MADE = "R150"  # the part is not had in this size: no rule was asked about it
SAME = ("body_style", "dn", "pn_valve", "body", "liner_grade", "disc", "shaft", "operator", "operator_key", "drilling")


@dataclass(frozen=True, slots=True)
class Merge:
    """Items that could carry the part of their neighbours; ``conditions`` is what they would lose by it."""

    part: str
    instead_of: str
    take: str
    items: tuple[int, ...]  # places in the enquiry
    pieces: int
    conditions: int
    why_not: str  # rule that stops it for one of them, "" where nothing does


def builds(items: Sequence[Item]) -> dict[str, int]:
    """Each distinct build with its pieces, the most first."""
    count: dict[str, int] = defaultdict(int)
    for item in items:
        if item.choice:
            count[str(item.choice["build"])] += item.quantity
    return dict(sorted(count.items(), key=lambda kv: (-kv[1], kv[0])))


def merges(decision: Decision, items: Sequence[Item]) -> tuple[Merge, ...]:
    """Pairs of builds that differ in liner or disc only, and whether the rules let the one serve for the other.

    An oily line and one that is not are never made one in silence: the rule that stops it is named.
    """
    sheet = decision.offered
    chosen = [n for n, item in enumerate(items) if item.choice]
    found = []
    for part, column in PARTS.items():
        groups: dict[tuple[str, ...], dict[str, list[int]]] = defaultdict(lambda: defaultdict(list))
        for n in chosen:
            rest = tuple(str(sheet[c][n]) for c in SAME if c != column)
            groups[rest][str(sheet[column][n])].append(n)
        for by_part in groups.values():
            for mine in by_part:
                found += [_merge(decision, items, part, mine, other, by_part[mine]) for other in by_part if other != mine]
    return tuple(sorted(found, key=lambda m: (bool(m.why_not), m.conditions, -m.pieces)))


def _merge(decision: Decision, items: Sequence[Item], part: str, mine: str, other: str, rows: list[int]) -> Merge:
    weighed = decision.weighed[part]
    now, then = weighed.names.index(mine), weighed.names.index(other)
    stopped = [str(weighed.stopped_by[then, n]) or NOT_MADE for n in rows if weighed.cost[then, n] >= UNSURE]
    lost = sum(
        max(0, round((weighed.cost[then, n] - weighed.cost[now, n]) / CONDITION)) for n in rows if np.isfinite(weighed.cost[then, n])
    )
    pieces = sum(items[n].quantity for n in rows)
    return Merge(part, said(mine), said(other), tuple(rows), pieces, int(min(lost, 99)), stopped[0] if stopped else "")


def least_sure(items: Sequence[Item]) -> list[tuple[int, int, str]]:
    """Items by how little holds their verdict: places, weight of doubt, and why; the least sure first.

    The weight counts small changes that turn the verdict, questions whose answer would, and reasons that rest on memory.
    """
    found = []
    for n, item in enumerate(items):
        open_ = [q.field for q in item.questions if q.effect]
        memory = sum("from memory" in f.source for f in item.findings if f.severity in ("stop", "query", "condition"))
        weight = 2 * len(item.flips) + 2 * len(open_) + memory
        told = [f"turns with {item.flips[0]}"] if item.flips else []
        told += [f"open: {', '.join(open_[:3])}"] if open_ else []
        told += [f"{memory} reason{'s' if memory > 1 else ''} from memory"] if memory else []
        if weight:
            found.append((n, weight, "; ".join(told)))
    return sorted(found, key=lambda f: -f[1])
