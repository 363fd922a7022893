"""What every rule says of a Sheet, and what the rule table tells of a rule."""

import functools
from collections.abc import Iterable, Mapping

import numpy as np

import softseat.selection.rules  # noqa: F401 (enters the rules)
from softseat import tables
from softseat.register import RULES
from softseat.selection.limits import limits_of
from softseat.sheet import Sheet

Judged = Mapping[str, np.ndarray]


def judge(sheet: Sheet, rules: Iterable[str] | None = None) -> dict[str, np.ndarray]:
    """Rule -> HOLDS, HOLDS_NOT or CANNOT_SAY for each item, for every rule or for these."""
    with np.errstate(invalid="ignore", divide="ignore"):
        return {id: RULES[id].judge(sheet, limits_of(id)) for id in (RULES if rules is None else rules)}


@functools.cache
def severity() -> Mapping[str, str]:
    """Severity of each rule, from the rule table."""
    return {row["id"]: row["severity"] for row in tables.read("rules")}


@functools.cache
def safety() -> frozenset[str]:
    """The stops of the table's area "special": people can be hurt, whatever else of the row is in doubt."""
    return frozenset(row["id"] for row in tables.read("rules") if row["area"] == "special" and row["severity"] == "stop")


@functools.cache
def reading(*columns: str) -> tuple[str, ...]:
    """The rules that read any of these columns and weigh in the verdict."""
    weighty = severity()
    return tuple(id for id, rule in RULES.items() if set(rule.needs) & set(columns) and weighty[id] in ("stop", "query", "condition"))
