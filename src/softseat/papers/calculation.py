"""The calculation sheet of one item: the trace of the very functions that decided."""

from collections.abc import Mapping, Sequence
from typing import Any

from softseat.names import names
from softseat.papers.figures import NONE, sentence
from softseat.papers.frame import Frame
from softseat.papers.groups import build_of, tag_of
from softseat.papers.texts import clean, label, unit
from softseat.selection.item import Item, Number

DIGITS = 6


def calculations(frame: Frame, item: Item) -> dict[str, Any]:
    """Every step with its formula, source, inputs and results."""
    content = {
        "tag": tag_of(item),
        "item": item.n,
        "build": build_of(item) if item.choice else "",
        "verdict": item.offered,
        "sentence": item.sentence,
        "steps": [_step(n, s) for n, s in enumerate(item.steps, start=1)],
    }
    return frame.around("calculations", **content)


def _step(n: int, step: Mapping[str, Any]) -> dict[str, Any]:
    return {
        "n": n,
        "name": clean(step.get("title") or step.get("calculation")).rstrip("."),
        "key": clean(step.get("calculation")),
        "formula": clean(step.get("formula")),
        "source": clean(step.get("source")),
        "inputs": _named(step.get("inputs"), step.get("units")),
        "results": _named(step.get("results", step.get("result")), step.get("units")),
    }


def _named(held: Any, units: Any) -> list[list[str]]:
    """Name and value of each, with the unit that the step tells, else that of the vocabulary: bare numbers are SI."""
    if isinstance(held, Mapping):
        told = units if isinstance(units, Mapping) else {}
        return [[label(str(k)), _valued(str(k), v, str(told.get(k, "")))] for k, v in held.items() if v is not None]
    if isinstance(held, Sequence) and not isinstance(held, str):
        return [["", sentence(v, DIGITS)] for v in held]
    return [["", sentence(held, DIGITS)]] if held is not None else []


def _valued(key: str, value: Any, told: str) -> str:
    said = sentence(value, DIGITS)
    bare = not isinstance(value, str | bool | Number | Mapping)
    own = names()[key].unit if key in names() else ""
    return f"{said} {unit(told or own)}".strip() if bare and said != NONE else said
