"""What can be computed and judged, each with its source: commands, API, handbook and calculation sheets are made from here."""

import contextvars
import functools
import inspect
import re
from collections.abc import Callable, Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass, field
from typing import Any, TypeVar

import numpy as np

from softseat.sheet import Sheet

HOLDS, HOLDS_NOT, CANNOT_SAY = 1, 0, -1
CALCULATIONS: dict[str, "Calculation"] = {}
RULES: dict[str, "Rule"] = {}
F = TypeVar("F", bound=Callable[..., Any])
_steps: contextvars.ContextVar[list["Step"] | None] = contextvars.ContextVar("steps", default=None)


@dataclass(frozen=True, slots=True)
class Entry:
    """One argument or result of a calculation, as its docstring tells it."""

    name: str
    unit: str | None  # as printed in the brackets; None for a word (a standard, a model)
    text: str
    optional: bool = False


@dataclass(frozen=True, slots=True)
class Calculation:
    name: str
    source: str
    formula: str
    title: str
    inputs: tuple[Entry, ...]
    outputs: tuple[Entry, ...]
    example: Mapping[str, Any]
    each: bool  # computed one at a time (a table look-up), not over arrays
    function: Callable[..., Any]


@dataclass(frozen=True, slots=True)
class Step:
    calculation: str
    inputs: Mapping[str, Any]
    result: Any


@dataclass(frozen=True, slots=True)
class Rule:
    """A predicate over columns. Its positional arguments are columns, its keyword-only ones limits of the house."""

    id: str
    says: str  # with the item's own values to be filled in
    worst: str  # the end of a band that is bad for this question
    needs: tuple[str, ...]
    limits: tuple[str, ...]
    parts: tuple[str, ...]  # columns of the build: one that is not named constrains nothing
    partial: bool  # the predicate itself answers HOLDS, HOLDS_NOT, CANNOT_SAY over partly known values
    predicate: Callable[..., np.ndarray] = field(repr=False)

    def judge(self, sheet: Sheet, limits: Mapping[str, float] | None = None) -> np.ndarray:
        """For each item HOLDS, HOLDS_NOT or CANNOT_SAY; the last is where a question comes from."""
        chosen = {k: (limits or {})[k] for k in self.limits}
        if any(n not in sheet for n in self.needs):
            absent_part = any(n in self.parts and n not in sheet for n in self.needs)
            return np.full(len(sheet), HOLDS_NOT if absent_part else CANNOT_SAY, np.int8)
        values = [sheet.end(name, self.worst) for name in self.needs]
        answer = self.predicate(*values, **chosen)
        if not self.partial:
            unknown = [~sheet.known(n) & (n not in self.parts) for n in self.needs]
            if np.any(unknown):
                answer = self._at_both_ends(values, unknown, chosen)
        if self.parts:
            answer = np.where(sheet.known(*self.parts), answer, HOLDS_NOT)
        return np.asarray(answer).astype(np.int8)

    def _at_both_ends(self, values: list[np.ndarray], unknown: list[np.ndarray], limits: Mapping[str, float]) -> np.ndarray:
        """The answer where it is the same at either end of what is not known, else CANNOT_SAY."""
        low = self.predicate(*(_end(v, u, False) for v, u in zip(values, unknown, strict=True)), **limits)
        high = self.predicate(*(_end(v, u, True) for v, u in zip(values, unknown, strict=True)), **limits)
        words = np.logical_or.reduce(
            [u for v, u in zip(values, unknown, strict=True) if v.dtype.kind == "U"] or [np.zeros(np.shape(low), bool)]
        )
        return np.where(words | (np.asarray(low) != np.asarray(high)), CANNOT_SAY, low)


def _end(value: np.ndarray, unknown: np.ndarray, high: bool) -> np.ndarray:
    """The column with an extreme in place of what is not known; words cannot be varied and stay as they are."""
    if not unknown.any() or value.dtype.kind == "U":
        return value
    if value.dtype.kind == "b":
        return np.where(unknown, high, value)
    return np.where(unknown, np.inf if high else -np.inf, value)


_ENTRY = re.compile(r"^([\w, ]+?) : (.*)\n((?:[ \t]+.*\n?|\n)+)", re.M)
_SECTION = re.compile(r"^(\w[\w ]*)\n-{3,}\n", re.M)


def sections(function: Callable[..., Any]) -> dict[str, str]:
    """The numpydoc sections of a docstring; the text above the first one stands under ``""``."""
    parts = _SECTION.split(inspect.getdoc(function) or "")
    return {"": parts[0].strip(), **dict(zip(parts[1::2], parts[2::2], strict=True))}


def entries(text: str, optional: frozenset[str] = frozenset()) -> tuple[Entry, ...]:
    """Arguments or results told in one numpydoc section; the unit stands in square brackets at the end of the text."""
    found = []
    for names, _kind, body in _ENTRY.findall(text + "\n"):
        unit = re.findall(r"\[([^\[\]]+)\]", body)
        told = " ".join(body.split())
        found += [Entry(n.strip(), unit[-1] if unit else None, told, n.strip() in optional) for n in names.split(",")]
    return tuple(found)


def calculation(
    name: str, *, source: str, formula: str = "", example: Mapping[str, Any] | None = None, each: bool = False
) -> Callable[[F], F]:
    """Enter a pure array function under its public name; it runs as it stands, and is written down only under `trace`."""

    def enter(function: F) -> F:
        signature = inspect.signature(function)
        told = sections(function)
        optional = frozenset(p.name for p in signature.parameters.values() if p.default is not p.empty)

        @functools.wraps(function)
        def traced(*args: Any, **kwargs: Any) -> Any:
            result = function(*args, **kwargs)
            if (steps := _steps.get()) is not None:
                steps.append(Step(name, signature.bind(*args, **kwargs).arguments, result))
            return result

        CALCULATIONS[name] = Calculation(
            name,
            source,
            formula,
            told[""].splitlines()[0] if told[""] else name,
            entries(told.get("Parameters", ""), optional),
            entries(told.get("Returns", "")),
            example or {},
            each,
            traced,
        )
        return traced  # type: ignore[return-value]

    return enter


def rule(id: str, *, worst: str = "best", parts: tuple[str, ...] = (), partial: bool = False) -> Callable[[F], F]:
    """Enter a predicate over columns; its docstring is what the finding says, with the item's values in braces.

    Severity, area, reason, remedy and source of the rule stand once, in the rule table.
    """

    def enter(predicate: F) -> F:
        arguments = inspect.signature(predicate).parameters.values()
        needs = tuple(p.name for p in arguments if p.kind is not p.KEYWORD_ONLY)
        limits = tuple(p.name for p in arguments if p.kind is p.KEYWORD_ONLY)
        says = " ".join((inspect.getdoc(predicate) or "").split())
        RULES[id] = Rule(id, says, worst, needs, limits, parts, partial, predicate)
        return predicate

    return enter


@contextmanager
def trace() -> Iterator[list[Step]]:
    """Collect the steps of every calculation run inside: the calculation sheet of an item."""
    steps: list[Step] = []
    token = _steps.set(steps)
    try:
        yield steps
    finally:
        _steps.reset(token)
