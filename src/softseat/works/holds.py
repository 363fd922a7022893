"""A pressure test of a works record against the pressure, the time and the leakage that the standard asks for."""

import re
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

import numpy as np

from softseat.errors import InputError
from softseat.selection.item import Item, Number
from softseat.units import ATMOSPHERE, to_si
from softseat.works.bench import Hold, Log, hold, leak_rate, read_log
from softseat.works.figures import figure, looked, told
from softseat.works.practice import practice

PARTS = ("pressure", "time", "leak", "log", "log_file", "unit", "volume", "bulk_modulus", "readings", "gas")
NORMAL = re.compile(r"([\d.eE+-]+)\s*mm3/s")


@dataclass(frozen=True, slots=True)
class Asked:
    """What the standard asks of one test, in SI; the pressure above the atmosphere."""

    pressure: float  # [Pa(g)]
    time: float  # [s]
    leak: float  # 0: none visible [m3/s]
    gas: bool


def asked_of(item: Item, key: str) -> Asked:
    """Pressure, time and leakage of one test of this valve, from its plan."""
    shell = key == "shell"
    tests = item.tests
    pressure, time = tests.get("shell" if shell else "seat"), tests.get("shell_time" if shell else "seat_time")
    if not isinstance(pressure, Number) or not isinstance(time, Number) or pressure.value is None or time.value is None:
        raise InputError(f"item {item.n}: its plan holds no pressure and time for the {key} test")
    gas = not shell and (key == "seat_air" or str(pressure.at) == "air")
    leak = NORMAL.search(str(tests.get("leak_limit", "")))
    limit = 0.0 if shell or leak is None else float(leak.group(1)) * 1e-9
    return Asked(pressure.value * 1e5, time.value, limit, gas)


def required(asked: Asked) -> str:
    """What is asked, in words."""
    leak = "no visible leak" if asked.leak == 0 else f"leak not above {told(asked.leak, 'ml/min')}"
    time = told(asked.time, "s") if np.isfinite(asked.time) else "as the standard says"
    return f"{told(asked.pressure, 'bar(g)')} with {'gas' if asked.gas else 'water'} for {time}, {leak}"


def judged(asked: Asked, value: Any, key: str) -> tuple[bool, str, str]:
    """Whether one test holds; what was measured; why not, and what was remarkable.

    Raises
    ------
    InputError
        Where the record of this test holds an unknown word or cannot be read.
    """
    if not isinstance(value, Mapping):
        raise InputError(f"works record, {key}: wanted is an object with {', '.join(PARTS)}")
    stray = [k for k in value if k not in PARTS]
    if stray:
        raise InputError(f"works record, {key}: {stray[0]!r} is not known; allowed are {', '.join(PARTS)}")
    faults: list[str] = []
    notes: list[str] = []
    measured = _pressed(asked, value, key, faults, notes)
    measured += _leaked(asked, value, key, faults)
    return not faults, measured, "; ".join([*faults, *notes])


def _pressed(asked: Asked, value: Mapping[str, Any], key: str, faults: list[str], notes: list[str]) -> str:
    """Pressure and time: from the log where there is one, else by hand."""
    log = _log(value)
    if log is not None:
        held = hold(log, asked.pressure)
        notes += held.notes
        _by_log(asked, held, faults, notes)
        _by_fall(asked, held, value, key, faults, notes)
        lowest = told(held.lowest, "bar(g)") if np.isfinite(held.lowest) else f"at most {told(held.highest, 'bar(g)')}"
        return f"{lowest} held for {told(held.held, 's')}"
    pressure, time = figure(value.get("pressure"), "bar(g)", key), figure(value.get("time"), "s", key)
    if not pressure >= asked.pressure:
        faults.append(f"{told(pressure, 'bar(g)')} is under the test pressure {told(asked.pressure, 'bar(g)')}")
    _enough(asked, time, faults)
    return f"{told(pressure, 'bar(g)')} for {told(time, 's')}"


def _log(value: Mapping[str, Any]) -> Log | None:
    if value.get("log"):
        return read_log(str(value["log"]), str(value.get("unit", "")))
    readings = value.get("readings")
    if readings is None:
        return None
    try:
        time, pressure = (np.asarray(readings[k], float) for k in ("time", "pressure"))
    except (KeyError, TypeError, ValueError):
        raise InputError("works record: readings want time [s] and pressure [bar(g)], two lists of one length") from None
    if time.shape != pressure.shape or time.ndim != 1 or time.size == 0:
        raise InputError("works record: readings want time [s] and pressure [bar(g)], two lists of one length")
    return Log(time, pressure * 1e5)


def _enough(asked: Asked, time: float, faults: list[str]) -> None:
    if not np.isfinite(asked.time):
        faults.append("the time that the standard asks for is not known here: look it up and write it into the plan")
    elif not time >= asked.time:
        faults.append(f"held {told(time, 's')} of {told(asked.time, 's')}: cut short" if np.isfinite(time) else "no time is written down")


def _by_log(asked: Asked, held: Hold, faults: list[str], notes: list[str]) -> None:
    if held.spikes > practice("spike_share") * held.readings:
        faults.append(f"{held.spikes} of {held.readings} readings are spikes: the log is not fit to judge by")
    if held.held == 0:
        faults.append(f"the test pressure {told(asked.pressure, 'bar(g)')} was not reached: at most {told(held.highest, 'bar(g)')}")
        return
    _enough(asked, held.held, faults)


def _by_fall(asked: Asked, held: Hold, value: Mapping[str, Any], key: str, faults: list[str], notes: list[str]) -> None:
    """The fall of the shut-in pressure over the test time, with its interval, against what may be."""
    if not np.isfinite(held.line.slope):
        if held.held > 0:
            faults.append("too few readings for a slope: the fall of the pressure cannot be told")
        return
    allowed = practice("fall_allowed") * asked.pressure
    best, most = (-s * asked.time for s in (held.line.slope, held.line.low))
    least = -held.line.high * asked.time
    said = f"falls {told(best, 'bar')} in the test time ({told(least, 'bar')} to {told(most, 'bar')})"
    if least > allowed:
        faults.append(f"{said}: over {told(allowed, 'bar')}")
    elif most > allowed:
        faults.append(f"{said}: {told(allowed, 'bar')} lies inside that interval, so it cannot be told; hold it longer")
    elif least > 0:
        notes.append(f"{said}: little, but there; look for the leak")
    _as_leak(asked, held, value, key, notes)


def _as_leak(asked: Asked, held: Hold, value: Mapping[str, Any], key: str, notes: list[str]) -> None:
    volume = figure(value.get("volume"), "l", key)
    stiffness = figure(value.get("bulk_modulus"), "MPa", key)
    ends = [leak_rate(-s, volume, held.lowest + ATMOSPHERE, asked.gas, stiffness) for s in (held.line.high, held.line.slope, held.line.low)]
    if np.isfinite(ends[1]):
        notes.append(f"as leakage {told(ends[1], 'ml/min')} ({told(ends[0], 'ml/min')} to {told(ends[2], 'ml/min')})")


def _leaked(asked: Asked, value: Mapping[str, Any], key: str, faults: list[str]) -> str:
    """What was seen or measured at the outlet; a test in which nobody looked is none."""
    leak = value.get("leak")
    if leak is None or leak == "":
        faults.append("nobody wrote whether it leaked")
        return ", leak not looked at"
    good, words = looked(leak, True)
    if good:
        return f", leak: {words}"
    amount = _amount(leak, key)
    if not np.isfinite(amount):
        faults.append(f"leak: {words}")
    elif amount > asked.leak:
        faults.append(f"leak {told(amount, 'ml/min')} where {'none may be seen' if asked.leak == 0 else told(asked.leak, 'ml/min')}")
    return f", leak: {words}"


def _amount(leak: Any, key: str) -> float:
    try:
        return float(to_si(float(leak), "ml/min")) if not isinstance(leak, str) else figure(leak, "ml/min", key)
    except InputError:
        return float("nan")
