"""Recomputes every published check value on this machine: source, expected, got, pass."""

import csv
import json
from collections.abc import Iterator
from dataclasses import dataclass
from importlib.resources import files
from typing import Any

from softseat.calculator import run
from softseat.errors import SoftseatError


@dataclass(frozen=True, slots=True)
class Check:
    """One published value and what this machine makes of it."""

    id: str
    calculation: str
    source: str
    item: str
    output: str
    expected: float | str
    got: Any
    tolerance: str
    certainty: str
    passed: bool


def verify() -> Iterator[Check]:
    """Every row of the check tables, in file order."""
    folder = files("softseat.tables") / "checks"
    for file in sorted(folder.iterdir(), key=lambda f: f.name):
        if file.name.endswith(".csv"):
            lines = [line for line in file.read_text(encoding="utf-8").splitlines() if not line.startswith("#")]
            for row in csv.DictReader(lines):
                yield check(row)


def check(row: dict[str, str]) -> Check:
    """One row recomputed through its calculation; a row that cannot be run has failed."""
    try:
        got = run(row["calculation"], json.loads(row["inputs"]))[row["output"]]
    except (SoftseatError, KeyError) as error:
        got = f"{type(error).__name__}: {error}"
    expected = _expected(row["expected"])
    source = f"{row['source']} {row['edition']}".strip()
    passed = agrees(got, expected, row["tolerance"])
    return Check(
        row["id"], row["calculation"], source, row["item"], row["output"], expected, got, row["tolerance"], row["certainty"], passed
    )


def _expected(text: str) -> float | str:
    try:
        return float(text)
    except ValueError:
        return text


def agrees(got: Any, expected: float | str, tolerance: str) -> bool:
    """Whether a value agrees within ``rel:x`` or ``abs:x``; words and flags agree when they are equal."""
    if isinstance(expected, str):
        return str(got).lower() == expected.lower()
    if isinstance(got, bool) or not isinstance(got, (int, float)):
        return isinstance(got, bool) and float(got) == expected
    kind, _, size = tolerance.partition(":")
    allowed = float(size) if size else 0.0
    return abs(got - expected) <= (allowed * abs(expected) if kind == "rel" else allowed)
