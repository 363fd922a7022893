"""Limits of the house, by rule and by key, in SI: editable data, never a constant in code."""

import functools
from collections.abc import Mapping

from softseat import tables
from softseat.errors import UnknownName
from softseat.register import RULES
from softseat.units import to_si

PLAIN = (
    "-",
    "DN",
    "D",
    "1/y",
    "1/h",
    "y",
    "months",
    "degrees",
    "Mohs",
    "um %",
    "dB",
    "dB(A)",
    "pH",
    "questions",
    "-/page",
    "h",
    "min/visit",
)
SPELLED = {"% v/v": "%", "m gauge": "m", "bar abs": "bar", "um": "um"}


@functools.cache
def _by_key() -> Mapping[tuple[str, str], float]:
    found = {}
    for row in tables.read("house_limits"):
        unit = SPELLED.get(row["unit"], row["unit"])
        try:
            value = float(row["value"])
            found[row["rule"], row["key"]] = value if unit in PLAIN else float(to_si(value, unit))
        except (ValueError, UnknownName):
            continue  # a word, a band or a formula: not a plain limit
    return found


def limit(rule: str, key: str) -> float:
    """One limit in SI; a key that the rule has not is looked for under the other rules (a shared limit stands once).

    Raises
    ------
    UnknownName
        Where no rule has this key.
    """
    known = _by_key()
    for name in (key, key.removesuffix("_limit")):
        if (rule, name) in known:
            return known[rule, name]
    for name in (key, key.removesuffix("_limit")):
        shared = [v for (_, k), v in known.items() if k == name]
        if shared:
            return shared[0]
    raise UnknownName(f"house limit {key!r} of {rule} is not in house_limits.csv")


@functools.cache
def limits_of(rule: str) -> Mapping[str, float]:
    """Every limit that a rule reads."""
    return {key: limit(rule, key) for key in RULES[rule].limits}
