"""An engineer may overrule a stop, with a reason and a name; it stays on every paper as a condition."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any

import numpy as np

from softseat.errors import InputError
from softseat.register import HOLDS, HOLDS_NOT, RULES
from softseat.selection.decide import Decision
from softseat.selection.judge import safety, severity
from softseat.selection.verdict import verdict

OVERRULED = "overruled"  # a condition beside the rules: somebody answers for it with his name


@dataclass(frozen=True, slots=True)
class Override:
    """One stop of one item (``n`` counts from 1, as in items.json) that an engineer answers for."""

    n: int
    rule: str
    reason: str
    by: str


def overrides(rows: Sequence[Mapping[str, Any]]) -> tuple[Override, ...]:
    """Overrides as they stand in a file.

    Raises
    ------
    InputError
        Where an item, a rule, the reason or the name is missing or not known.
    """
    found = []
    for row in rows:
        rule = str(row.get("rule", ""))
        if rule not in RULES or severity()[rule] != "stop":
            raise InputError(f"override of rule {rule!r}: it is no stop of the rulebook")
        for name in ("reason", "by"):
            if not str(row.get(name, "")).strip():
                raise InputError(f"override of {rule}: {name} is missing; wanted are n, rule, reason and by (who answers for it)")
        if not isinstance(row.get("n"), int):
            raise InputError(f"override of {rule}: n, the number of the item, is missing")
        found.append(Override(row["n"], rule, str(row["reason"]).strip(), str(row["by"]).strip()))
    return tuple(found)


def overrule(decision: Decision, told: Sequence[Override], numbers: Sequence[int]) -> Decision:
    """The decision with these stops taken back on the offered build; each leaves a condition in its place.

    ``numbers`` are the item numbers in the order of the arrays.
    """
    if not told:
        return decision
    place = {number: i for i, number in enumerate(numbers)}
    judged = {rule: said.copy() for rule, said in decision.judged_offered.items()}
    mark = np.full(len(numbers), HOLDS_NOT, np.int8)
    for one in told:
        if one.n not in place:
            raise InputError(f"override of {one.rule}: there is no item {one.n}; items go from {min(place)} to {max(place)}")
        judged[one.rule][place[one.n]] = HOLDS_NOT
        mark[place[one.n]] = HOLDS
    weights = {**severity(), OVERRULED: "condition"}
    verdicts = verdict({**judged, OVERRULED: mark}, weights, safety())
    return replace(
        decision, judged_offered=judged, as_offered=verdicts, overruled=tuple((place[o.n], o.rule, o.reason, o.by) for o in told)
    )
