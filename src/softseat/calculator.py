"""Runs any registered calculation on plain numbers, texts with units, and lists: what the command line and the HTTP interface share."""

import functools
import importlib
import math
import pkgutil
from collections.abc import Mapping
from typing import Any

import numpy as np

from softseat.errors import InputError, SoftseatError, UnknownName
from softseat.register import CALCULATIONS, Calculation, Entry
from softseat.units import read_as

DOMAINS = ("media", "materials", "flow", "seat", "torque", "operators", "pressure", "piping")
SLOW = ("softseat.media.fluids",)  # starts a large library: imported by what needs it


@functools.cache
def calculations() -> Mapping[str, Calculation]:
    """Every calculation of the domain folders, by its public name, sorted."""
    for domain in DOMAINS:
        package = importlib.import_module(f"softseat.{domain}")
        for module in pkgutil.iter_modules(package.__path__, f"softseat.{domain}."):
            if module.name not in SLOW:
                importlib.import_module(module.name)
    return dict(sorted(CALCULATIONS.items()))


def calculation(name: str) -> Calculation:
    """One calculation by its public name."""
    known = calculations()
    if name not in known:
        raise UnknownName(f"no calculation is called {name!r}; there are {', '.join(known)}")
    return known[name]


def described(known: Calculation) -> dict[str, Any]:
    """A calculation as plain data: inputs and outputs with units, formula, source, an example."""
    return {
        "name": known.name,
        "title": known.title,
        "source": known.source,
        "formula": known.formula,
        "inputs": [_told(e) for e in known.inputs],
        "outputs": [_told(e) for e in known.outputs],
        "example": dict(known.example),
    }


def _told(e: Entry) -> dict[str, Any]:
    return {"name": e.name, "unit": e.unit, "optional": e.optional, "text": e.text}


def run(name: str, inputs: Mapping[str, Any]) -> dict[str, Any]:
    """Results by name in SI, with ``units`` and ``notes``; what cannot be computed is None with its reason.

    Raises
    ------
    UnknownName, InputError
        Where the calculation or an argument is not known, one is missing, or a value cannot be read.
    """
    found = calculation(name)
    arguments = _arguments(found, inputs)
    lists = any(isinstance(v, list) for k, v in inputs.items() if _entry(found, k).unit is not None or found.each)
    results = _each(found, arguments) if found.each else _arrays(found, arguments)
    return _answer(found, results, lists)


def _entry(found: Calculation, name: str) -> Entry:
    for entry in found.inputs:
        if entry.name == name:
            return entry
    allowed = ", ".join(f"[{e.name}]" if e.optional else e.name for e in found.inputs)
    raise UnknownName(f"{found.name} has no argument {name!r}; it takes {allowed}")


def _arguments(found: Calculation, inputs: Mapping[str, Any]) -> dict[str, Any]:
    arguments = {name: _read(found.name, _entry(found, name), value) for name, value in inputs.items() if value is not None}
    missing = [e.name for e in found.inputs if not e.optional and e.name not in arguments]
    if missing:
        raise InputError(f"{found.name}: missing argument{'s' if len(missing) > 1 else ''} {', '.join(missing)}")
    return arguments


def _read(name: str, entry: Entry, value: Any) -> Any:
    if entry.unit is None:
        return value
    if isinstance(value, list):
        return [_read(name, entry, v) for v in value]
    if value is None:
        return math.nan
    if isinstance(value, bool) or not isinstance(value, (int, float, str)):
        raise InputError(f"{name}: {entry.name} = {value!r} is neither a number in {entry.unit} nor a text with a unit")
    if isinstance(value, str):
        try:
            return read_as(value, entry.unit)
        except SoftseatError as error:
            raise InputError(f"{name}: {entry.name} = {value!r}: {error}") from None
    try:
        return float(value)
    except OverflowError:
        raise InputError(f"{name}: {entry.name} is no number that can be used") from None


def _arrays(found: Calculation, arguments: Mapping[str, Any]) -> list[np.ndarray]:
    ready = {
        k: np.asarray(v, float) if isinstance(v, (list, float)) and _entry(found, k).unit is not None else v for k, v in arguments.items()
    }
    try:
        with np.errstate(all="ignore"):
            result = found.function(**ready)
    except SoftseatError as error:
        raise InputError(f"{found.name}: {error}") from None
    except (ValueError, TypeError, IndexError, OverflowError) as error:
        raise InputError(f"{found.name}: these arguments do not fit together ({error})") from None
    return [np.asarray(r) for r in (result if isinstance(result, tuple) else (result,))]


def _each(found: Calculation, arguments: Mapping[str, Any]) -> list[np.ndarray]:
    many = {k: v for k, v in arguments.items() if isinstance(v, list)}
    length = {len(v) for v in many.values()}
    if len(length) > 1:
        raise InputError(f"{found.name}: lists of different length ({', '.join(f'{k} {len(v)}' for k, v in many.items())})")
    count = length.pop() if length else 1
    rows = [_one(found, {k: v[i] if k in many else v for k, v in arguments.items()}) for i in range(count)]
    columns = [np.array([row[j] for row in rows], dtype=object) for j in range(len(found.outputs))]
    return columns if many else [c[0] if isinstance(c[0], np.ndarray) else np.asarray(c[0], dtype=object) for c in columns]


def _one(found: Calculation, arguments: Mapping[str, Any]) -> tuple[Any, ...]:
    try:
        with np.errstate(all="ignore"):
            result = found.function(**arguments)
    except SoftseatError as error:
        raise InputError(f"{found.name}: {error}") from None
    except (ValueError, TypeError, AttributeError) as error:
        raise InputError(f"{found.name}: these arguments do not fit together ({error})") from None
    return result if isinstance(result, tuple) else (result,)


def _answer(found: Calculation, results: list[np.ndarray], lists: bool) -> dict[str, Any]:
    answer: dict[str, Any] = {}
    notes: list[str] = []
    for entry, result in zip(found.outputs, results, strict=True):
        value = _plain(result)
        if entry.name == "notes":
            notes += [n for n in (value if isinstance(value, list) else [value]) if n]
            continue
        single = isinstance(value, list) and len(value) == 1 and not isinstance(value[0], dict | list)
        answer[entry.name] = value[0] if single and not lists else value
        if _has_none(answer[entry.name]):
            notes.append(f"{entry.name}: {_reason(entry)}")
    answer["units"] = {e.name: e.unit.split(" at ")[0] for e in found.outputs if e.unit and e.unit != "-"}
    answer["notes"] = notes
    return answer


def _reason(entry: Entry) -> str:
    start = entry.text.find("nan where")
    return f"none where{entry.text[start + 9 :]}" if start >= 0 else "cannot be computed from these inputs"


def _has_none(value: Any) -> bool:
    return value is None or (isinstance(value, list) and any(_has_none(v) for v in value))


def _plain(value: Any) -> Any:
    if isinstance(value, np.ndarray):
        return _plain(value.item()) if value.ndim == 0 else [_plain(v) for v in value.tolist()]
    if isinstance(value, np.generic):
        return _plain(value.item())
    if isinstance(value, (list, tuple)):
        return [_plain(v) for v in value]
    if isinstance(value, float) and not math.isfinite(value):
        return None
    return value
