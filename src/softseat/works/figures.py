"""Measured figures as they are typed into a record, and each held against its limits."""

from typing import Any

import numpy as np

from softseat.errors import InputError
from softseat.units import ATMOSPHERE, from_si, known, read, to_si
from softseat.works.practice import practice

GOOD = ("ok", "yes", "pass", "passed", "in order")
NOTHING = (
    "none",
    "none visible",
    "none found",
    "no leak",
    "no visible leak",
    "no",
    "0",
    "dry",
)  # good where defects or leaks are looked for
PLAIN_UNITS = ("Shore A", "ohm")


def figure(value: Any, unit: str, where: str) -> float:
    """One figure in SI (a test pressure above the atmosphere); a bare number is one of ``unit``; nan where nothing is typed.

    Raises
    ------
    InputError
        Where it is no figure of that kind.
    """
    if value is None or value == "":
        return float("nan")
    if isinstance(value, bool) or not isinstance(value, int | float | str):
        raise InputError(f"works record, {where}: {value!r} is no figure in {unit}")
    if unit in PLAIN_UNITS:
        text = str(value).replace("Shore A", "").replace("IRHD", "").replace("ohm", "").strip()
        try:
            return float(text)
        except ValueError:
            raise InputError(f"works record, {where}: {value!r} is no figure in {unit}") from None
    if unit == "bar(g)":
        return _gauge(value, where)
    try:
        return float(to_si(float(value), unit)) if not isinstance(value, str) else read(value, known(unit).dimension, unit).value
    except InputError as error:
        raise InputError(f"works record, {where}: {error}") from None


def _gauge(value: float | str, where: str) -> float:
    try:
        found = read(str(value), "pressure", "bar(g)")
    except InputError as error:
        raise InputError(f"works record, {where}: {error}") from None
    return found.value if found.kind == "unsaid" else found.value - ATMOSPHERE


def many(value: Any, unit: str, where: str) -> np.ndarray:
    """Several figures in SI: a list, a single one, or ``{"readings": [...], "unit": "um"}``."""
    if isinstance(value, dict):
        unit, value = str(value.get("unit", unit)), value.get("readings")
    held = value if isinstance(value, list | tuple) else [value]
    read_ = np.array([figure(v, unit, where) for v in held])
    return np.asarray(read_[np.isfinite(read_)])


def digits(value: float) -> str:
    """Five figures, one more than papers print: a measured diameter is held against tenths of a millimetre."""
    return f"{value:.5g}" if 1e-4 <= abs(value) < 1e5 or value == 0 else f"{value:.3g}"


def told(value: float, unit: str) -> str:
    """A figure of SI with its unit, as a record shows it."""
    if not np.isfinite(value):
        return "not known"
    if unit in PLAIN_UNITS:
        return f"{digits(value)} {unit}"
    shown = value / 1e5 if unit == "bar(g)" else float(from_si(value, unit))
    return f"{digits(shown)} {unit}"


def span(values: np.ndarray, unit: str) -> str:
    """Several figures by their ends and their number."""
    low, high = told(float(values.min()), unit).split(" ")[0], told(float(values.max()), unit)
    return high if values.size == 1 else f"{low} to {high} ({values.size} readings)"


def readings_within(values: np.ndarray, nominal: float, either_way: float, unit: str) -> tuple[bool, str, str]:
    """Whether every reading lies within its limits; what was required; what is to be said."""
    low, high = nominal - either_way, nominal + either_way
    required = f"{told(low, unit).split(' ')[0]} to {told(high, unit)}"
    if not (np.isfinite(low) and np.isfinite(high)):
        return False, "not known", "no limits for it in item or maker's data: it cannot be judged"
    slack = 1e-9 * abs(nominal)  # 7.6 mm from 8 - 0.4 is inside
    out = values[(values < low - slack) | (values > high + slack)]
    return not out.size, required, f"{out.size} of {values.size} outside: {', '.join(told(v, unit) for v in out[:3])}" if out.size else ""


def coat_holds(values: np.ndarray, nominal: float) -> tuple[bool, str, str]:
    """Dry film by ISO 19840 (from memory): the mean, the lowest, how many are below nominal."""
    single, share, most = practice("coat_single"), practice("coat_share"), practice("coat_most")
    if not (nominal > 0):
        return False, "not known", "no nominal thickness in item or maker's data: it cannot be judged"
    shown = told(nominal, "um")
    required = f"mean {shown}, none below {single:.0%} of it, not over {share:.0%} of the readings below it"
    faults = []
    mean, low = float(values.mean()), float(values.min())
    below = float(np.mean(values < nominal))
    if mean < nominal:
        faults.append(f"mean {told(mean, 'um')} is below {shown}")
    if low < single * nominal:
        faults.append(f"lowest {told(low, 'um')} is below {told(single * nominal, 'um')}")
    if below > share:
        faults.append(f"{below:.0%} of the readings are below nominal, {share:.0%} may be")
    thick = values[values > most * nominal]
    note = f"{thick.size} over {most:g} times nominal: to be talked about" if thick.size else ""
    return not faults, required, "; ".join([*faults, note] if note else faults)


def looked(value: Any, defects: bool) -> tuple[bool, str]:
    """Whether what was looked at is in order: by one of the words for that, or, where defects are looked for, for nothing found."""
    words = value if isinstance(value, str) else "ok" if value is True else "" if value in (None, False) else str(value)
    word = " ".join(words.lower().replace(".", " ").split())
    return word in GOOD or (defects and word in NOTHING), words


def at_most(value: float, limit: float, unit: str) -> tuple[bool, str, str]:
    """Whether a figure is not above its limit; without a limit it is only written down."""
    if not np.isfinite(value):
        return False, "a figure", "no figure"
    if not np.isfinite(limit):
        return True, "written down", ""
    return value <= limit, f"not above {told(limit, unit)}", "" if value <= limit else f"{told(value - limit, unit)} over"
