"""A log of the test bench: time and pressure read from text, spikes and gaps found, the hold and its fall judged."""

import csv
import io
import re
from dataclasses import dataclass
from datetime import datetime

import numpy as np

from softseat.errors import InputError, UnknownName
from softseat.units import ATMOSPHERE, UNITS, decimal_sign, find, number
from softseat.works.lines import NO_LINE, Line, least_squares, spread_of
from softseat.works.practice import practice

_CLOCK = re.compile(r"(?:(?P<date>\d{4}-\d{2}-\d{2})[ T])?(?P<h>\d{1,2}):(?P<m>\d{2})(?::(?P<s>\d{2}(?:[.,]\d+)?))?")
_HEADS = {
    "time": ("time", "t", "elapsed", "timestamp", "date time", "zeit", "temps", "tiempo"),
    "pressure": ("pressure", "p", "press", "druck", "pression", "presion", "pressione"),
}
DAY = 86400.0


@dataclass(frozen=True, slots=True)
class Log:
    """Readings in the order they came; the pressure above the atmosphere."""

    time: np.ndarray  # [s]
    pressure: np.ndarray  # [Pa(g)]
    notes: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Hold:
    """What one test pressure did: how long it stood, how it fell, what was wrong with the log."""

    held: float  # longest unbroken time at or above the test pressure [s]
    lowest: float  # in that time; nan where it was never reached [Pa(g)]
    highest: float  # of all readings that are no spike [Pa(g)]
    line: Line  # through the readings of that time, over seconds [Pa/s]
    spikes: int
    gaps: int
    readings: int
    notes: tuple[str, ...] = ()


def read_log(text: str, pressure_unit: str = "", kind: str = "gauge") -> Log:
    """A log as text: two columns with headings, parted by comma, semicolon or tab.

    Parameters
    ----------
    text : str
        The file; units stand in the headings: ``time [s]; pressure [bar(g)]``.
    pressure_unit : str
        Where the heading names none.
    kind : str
        gauge or absolute, for a unit that says neither.

    Raises
    ------
    InputError
        Where a column or a unit is missing, or fewer than two rows can be read.
    """
    lines = [line for line in text.splitlines() if line.strip() and not line.lstrip().startswith("#")]
    sign = max(";\t,", key=lines[0].count) if lines else ","
    rows = list(csv.reader(io.StringIO("\n".join(lines)), delimiter=sign))
    start = next((n for n, row in enumerate(rows[:50]) if {_role(c) for c in row} >= {"time", "pressure"}), None)
    if start is None:
        raise InputError("bench log: no headings for time and pressure found; wanted is a line such as: time [s], pressure [bar(g)]")
    heads, body = rows[start], rows[start + 1 :]
    at = {role: next(i for i, c in enumerate(heads) if _role(c) == role) for role in _HEADS}
    cells = {role: [row[i].strip() if i < len(row) else "" for row in body] for role, i in at.items()}
    decimal = decimal_sign([*cells["pressure"], *cells["time"]]) or ("," if sign == ";" else ".")
    time, told = _times(cells["time"], _unit(heads[at["time"]]), decimal)
    pressure = _pressures(cells["pressure"], _unit(heads[at["pressure"]]) or pressure_unit, kind, decimal)
    empty = int(np.sum(~(np.isfinite(time) & np.isfinite(pressure))))
    notes = [told] if told else []
    notes += [f"{empty} of {len(body)} rows hold no reading and were left out"] if empty else []
    kept = np.isfinite(time) & np.isfinite(pressure)
    if kept.sum() < 2:
        raise InputError("bench log: fewer than two readings of time and pressure")
    return Log(time[kept], pressure[kept], tuple(notes))


def _role(heading: str) -> str:
    word = re.split(r"[\[(/,]", heading.strip().lower())[0].strip(" .:_")
    return next((role for role, words in _HEADS.items() if word in words), "")


def _unit(heading: str) -> str:
    found = re.search(r"\[([^\[\]]+)\]|\(([^()]+(?:\(g\)|\(a\))?)\)\s*$", heading)
    return (found.group(1) or found.group(2)).strip() if found else ""


def _times(cells: list[str], unit: str, decimal: str) -> tuple[np.ndarray, str]:
    """Seconds from the first reading; a clock that passes midnight goes on."""
    if any(":" in c for c in cells):
        read = np.array([_clock(c) for c in cells])
        steps = np.diff(read[np.isfinite(read)], prepend=np.nan)
        if not any("-" in c for c in cells) and np.any(steps < -DAY / 2):
            read[np.isfinite(read)] += DAY * np.cumsum(steps < -DAY / 2)
        return read - np.nanmin(read), ""
    found = find(unit, "time") if unit else UNITS["s"]
    if found is None:
        raise InputError(f"bench log: {unit!r} is no unit of time; allowed are s, min, h")
    return _numbers(cells, decimal) * found.factor, "" if unit else "no unit of time named: seconds taken"


def _clock(cell: str) -> float:
    found = _CLOCK.search(cell)
    if not found:
        return float("nan")
    seconds = float((found["s"] or "0").replace(",", "."))
    day = datetime.fromisoformat(found["date"]).toordinal() if found["date"] else 0
    return day * DAY + int(found["h"]) * 3600 + int(found["m"]) * 60 + seconds


def _pressures(cells: list[str], unit: str, kind: str, decimal: str) -> np.ndarray:
    found = find(unit, "pressure") if unit else None
    if found is None:
        raise InputError(f"bench log: {unit or 'no'} unit of pressure; wanted is one in the heading, such as pressure [bar(g)]")
    if kind not in ("gauge", "absolute"):
        raise UnknownName(f"kind {kind!r} is not known; allowed are gauge, absolute")
    absolute = (found.kind or kind) == "absolute"
    offset = found.offset - ATMOSPHERE if found.kind == "gauge" else -ATMOSPHERE if absolute else 0.0
    return np.asarray(_numbers(cells, decimal) * found.factor + offset)


def _numbers(cells: list[str], decimal: str) -> np.ndarray:
    return np.array([_number(c, decimal) for c in cells])


def _number(cell: str, decimal: str) -> float:
    try:
        return number(cell, decimal)[0] if cell else float("nan")
    except InputError:
        return float("nan")


def hold(log: Log, test_pressure: float) -> Hold:
    """How long the pressure stood at the test pressure or above without a break, and how it fell meanwhile.

    Parameters
    ----------
    log : Log
        As read.
    test_pressure : float
        Above the atmosphere. [Pa(g)]

    Notes
    -----
    A gap in the readings and a time that runs backwards break the hold: what was not seen does not count.
    """
    time, pressure = log.time, log.pressure
    notes = list(log.notes)
    spikes = _spikes(pressure, test_pressure)
    good = ~spikes
    time, pressure = time[good], pressure[good]
    steps = np.diff(time)
    usual = float(np.median(steps[steps > 0])) if np.any(steps > 0) else float("nan")
    widest = max(practice("gap_factor") * usual, practice("gap_least"))
    breaks = (steps > widest) | (steps < 0)
    gaps, back = int(np.sum(steps > widest)), int(np.sum(steps < 0))
    first, last = _longest(time, pressure >= test_pressure, breaks)
    window = slice(first, last)
    run = time[window]
    enough = run.size >= practice("readings_least")
    line = least_squares(run - run[0], pressure[window], practice("coverage"), together=True) if enough else NO_LINE
    notes += [f"{int(spikes.sum())} spikes set aside"] if spikes.any() else []
    notes += [f"{gaps} gaps longer than {widest:.3g} s: the time before and after is not added"] if gaps else []
    notes += [f"the time runs backwards {back} times"] if back else []
    return Hold(
        float(run[-1] - run[0]) if run.size else 0.0,
        float(pressure[window].min()) if run.size else float("nan"),
        float(pressure.max()),
        line,
        int(spikes.sum()),
        gaps,
        int(log.time.size),
        tuple(notes),
    )


def _spikes(pressure: np.ndarray, test_pressure: float) -> np.ndarray:
    """Readings far off the median of their neighbours, while the neighbours agree."""
    half = int(practice("spike_window")) // 2
    if pressure.size <= 2 * half:
        return np.zeros(pressure.size, bool)
    padded = np.pad(pressure, half, mode="edge")
    near = np.median(np.lib.stride_tricks.sliding_window_view(padded, 2 * half + 1), axis=1)
    off = pressure - near
    deviation = spread_of(off)
    return np.asarray(np.abs(off) > max(practice("spike_factor") * deviation, practice("spike_floor") * abs(test_pressure)))


def _longest(time: np.ndarray, there: np.ndarray, breaks: np.ndarray) -> tuple[int, int]:
    """First and one past the last reading of the longest unbroken run that is there; (0, 0) where none is."""
    best, start = (0, 0), 0
    for k in range(time.size + 1):
        ends = k == time.size or not there[k] or (k > start and breaks[k - 1])
        if not ends:
            continue
        if k > start and (best == (0, 0) or time[k - 1] - time[start] > time[best[1] - 1] - time[best[0]]):
            best = (start, k)
        start = k if k < time.size and there[k] else k + 1
    return best


def leak_rate(fall: float, volume: float, absolute_pressure: float, gas: bool, bulk_modulus: float = float("nan")) -> float:
    """Leakage that a fall of the shut-in pressure stands for.

    Parameters
    ----------
    fall : float
        Pressure lost in a second, positive. [Pa/s]
    volume : float
        Shut in, valve and bench together. [m3]
    absolute_pressure : float
        Of the gas; its leakage comes at 101.325 kPa and the test's temperature. [Pa]
    gas : bool
        A gas, by its own law; else a liquid, by the stiffness of liquid, air in it and bench.
    bulk_modulus : float
        That stiffness, measured: pressure gained over share of volume pumped in. [Pa]

    Returns
    -------
    leakage : float
        nan where an input is missing; of a liquid without its measured stiffness always: a little air changes it a hundredfold. [m3/s]
    """
    if gas:
        return fall * volume / ATMOSPHERE if absolute_pressure > 0 else float("nan")
    return fall * volume / bulk_modulus
