"""The history of one valve's strokes: read from a log, and split into what the seat, the run and the operator show."""

import csv
import io
import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from datetime import datetime

import numpy as np

from softseat.errors import InputError, UnknownName
from softseat.tables import index, number
from softseat.units import ATMOSPHERE, UNITS, decimal_sign, find, from_si
from softseat.units import number as read_number

PLAIN = {
    "stroke": ("stroke", "stroke number", "cycle", "no", "n"),
    "date": ("date", "day", "time", "timestamp"),
    "stroke_time": ("stroke time", "stroke_time", "closing time", "opening time", "travel time"),
    "supply": ("supply", "supply pressure", "air", "air pressure"),
    "torque": ("torque", "peak torque", "motor torque"),
    "current": ("current", "motor current"),
    "leak": ("leak", "leakage"),
    "temperature": ("temperature", "temp", "medium temperature"),
}
DIMENSION = {
    "stroke_time": "time",
    "supply": "pressure",
    "torque": "torque",
    "current": "current",
    "leak": "flow",
    "temperature": "temperature",
}
AT_ANGLE = re.compile(r"torque[ _@]*(?:at )?(\d+(?:\.\d+)?)\s*(?:deg|°)?$")
SIGNALS = ("seat", "run", "torque", "current", "stroke_time", "supply", "leak")


@dataclass(frozen=True, slots=True)
class History:
    """Signals over strokes, in SI, nan where nothing was logged; the supply is above the atmosphere, the current as logged."""

    stroke: np.ndarray
    days: np.ndarray  # from the first; nan without dates
    signals: Mapping[str, np.ndarray]
    angles: np.ndarray  # openings of the torque columns; empty without [deg]
    torque: np.ndarray  # (strokes, angles) [N m]
    notes: tuple[str, ...] = ()
    shaped: bool = False  # seat and run parted by the shape of this valve's torque, not by angle alone

    def __len__(self) -> int:
        return int(self.stroke.size)

    def upto(self, count: int) -> "History":
        """The history as it was after so many strokes."""
        signals = {k: v[:count] for k, v in self.signals.items()}
        return replace(self, stroke=self.stroke[:count], days=self.days[:count], signals=signals, torque=self.torque[:count])


def practice(key: str) -> float:
    """One figure of ``watch_practice.csv``; angles in degrees.

    Raises
    ------
    UnknownName
        Where the table has no such key.
    """
    rows = index("watch_practice")
    if key not in rows:
        raise UnknownName(f"watch practice {key!r} is not known; known are {', '.join(rows)}")
    return number(rows[key]["value"])


def history_of(
    stroke: np.ndarray,
    signals: Mapping[str, np.ndarray],
    angles: np.ndarray | None = None,
    torque: np.ndarray | None = None,
    days: np.ndarray | None = None,
    shapes: np.ndarray | None = None,
) -> History:
    """A history from arrays; where torque stands over angle, seat and run are parted by where on the stroke they show.

    Parameters
    ----------
    stroke : ndarray
        Number of each stroke, rising.
    signals : mapping
        Of ``SIGNALS`` and ``temperature``, each over the strokes, in SI.
    angles, torque : ndarray
        Openings [deg] and torque over strokes and openings [N m].
    days : ndarray
        Days from the first stroke.
    shapes : ndarray
        Torque of the rubber and of the bushes over the openings, (2, angles), from ``shapes_of``: the hub's rubber rubs along the
        whole stroke and the bushes most where the difference is largest, which angle alone cannot part.
    """
    unknown = sorted(set(signals) - set(SIGNALS) - {"temperature"})
    if unknown:
        raise UnknownName(f"signal {unknown[0]!r} is not known; known are {', '.join((*SIGNALS, 'temperature'))}")
    held = {k: np.asarray(v, float) for k, v in signals.items()}
    count = np.asarray(stroke, float)
    open_ = np.zeros(0) if angles is None else np.asarray(angles, float)
    over = np.zeros((count.size, 0)) if torque is None else np.asarray(torque, float)
    held |= _parted(open_, over, shapes)
    gone = np.full(count.size, np.nan) if days is None else np.asarray(days, float)
    return History(count, gone, held, open_, over, (), shapes is not None)


def _parted(angles: np.ndarray, torque: np.ndarray, shapes: np.ndarray | None) -> dict[str, np.ndarray]:
    """Torque of seat and run for each stroke: by their shapes, else by angle."""
    near = angles <= practice("seat_angle")
    clear = (angles >= practice("run_low")) & (angles <= practice("run_high"))
    if shapes is not None:
        steep = (angles > 0) & (angles < practice("run_low"))  # there the rim leaves the liner: where, depends on the interference itself
        return _by_shape(np.where(steep, np.nan, torque), np.asarray(shapes, float))
    if not clear.any():
        return {}
    run = _row_wise(np.nanmedian, torque[:, clear])
    return {"run": run, "seat": _row_wise(np.nanmax, torque[:, near]) - run} if near.any() else {"run": run}


def _by_shape(torque: np.ndarray, shapes: np.ndarray) -> dict[str, np.ndarray]:
    """Least squares of each stroke on the two shapes, every opening by its share; each part as its torque at the closed disc."""
    if shapes.shape != (2, torque.shape[1]) or not np.all(np.isfinite(shapes)):
        raise InputError(f"shapes: wanted are two finite rows over the {torque.shape[1]} openings of the torque")
    weight = np.where(np.isfinite(torque), 1.0, 0.0) / np.square(shapes.sum(axis=0))
    filled = np.nan_to_num(torque)
    rubber, bushes = shapes
    rr, rb, bb = (weight @ (x * y) for x, y in ((rubber, rubber), (rubber, bushes), (bushes, bushes)))
    tr, tb = ((weight * filled) @ x for x in shapes)
    with np.errstate(invalid="ignore", divide="ignore"):
        whole = rr * bb - rb**2
        seat, run = (tr * bb - tb * rb) / whole, (tb * rr - tr * rb) / whole
        good = (np.isfinite(torque).sum(axis=1) >= 3) & (whole > 1e-9 * rr * bb)
    return {"seat": np.where(good, seat * rubber[0], np.nan), "run": np.where(good, run * bushes[0], np.nan)}


def _row_wise(of: Callable[..., np.ndarray], rows: np.ndarray) -> np.ndarray:
    """A figure of each row; nan where the row is empty."""
    some = np.isfinite(rows).any(axis=1)
    found = np.full(rows.shape[0], np.nan)
    found[some] = of(rows[some], axis=1)
    return found


def read_history(text: str, shapes: Callable[[np.ndarray], np.ndarray] | None = None) -> History:
    """A log of strokes as text: a heading row with units, one row a stroke.

    Columns: stroke or date; stroke time, supply, torque or torque_0, torque_10 ... (at an opening), current, leak, temperature.

    Parameters
    ----------
    text : str
        The file.
    shapes : callable
        From the openings to the shapes of this valve's torque: ``lambda angles: shapes_of(item, maker, difference, angles)``.

    Raises
    ------
    InputError
        Where no column can be read, a unit is missing, or the strokes do not rise.
    """
    lines = [line for line in text.splitlines() if line.strip() and not line.lstrip().startswith("#")]
    if len(lines) < 2:
        raise InputError("history: wanted are a heading row and one row a stroke")
    sign = max(";\t,", key=lines[0].count)
    heads, *body = list(csv.reader(io.StringIO("\n".join(lines)), delimiter=sign))
    decimal = decimal_sign([c for row in body for c in row]) or ("," if sign == ";" else ".")
    columns = {i: _named(h) for i, h in enumerate(heads)}
    unread = [heads[i] for i, (name, _) in columns.items() if not name]
    if not any(name in SIGNALS or name.startswith("@") for name, _ in columns.values()):
        raise InputError(
            f"history: no signal among the columns {', '.join(heads)}; known are {', '.join(SIGNALS)}, torque_0, torque_10 ..."
        )
    cells = {name: [row[i].strip() if i < len(row) else "" for row in body] for i, (name, _) in columns.items() if name}
    units = {name: unit for name, unit in columns.values() if name}
    values = {n: _values(n, c, units[n], decimal) for n, c in cells.items() if n != "date"}
    days = _days(cells["date"]) if "date" in cells else np.full(len(body), np.nan)
    stroke = values.pop("stroke", np.arange(1, len(body) + 1, dtype=float))
    if np.any(np.diff(stroke[np.isfinite(stroke)]) <= 0):
        raise InputError("history: the stroke numbers do not rise")
    turned = sorted((float(n[1:]), v) for n, v in values.items() if n.startswith("@"))
    over = np.stack([v for _, v in turned], axis=1) if turned else None
    plain = {n: v for n, v in values.items() if not n.startswith("@")}
    angles = np.array([a for a, _ in turned]) if turned else None
    made = history_of(stroke, plain, angles, over, days, shapes(angles) if shapes is not None and angles is not None else None)
    return replace(made, notes=(f"columns not read: {', '.join(unread)}",) if unread else ())


def _named(heading: str) -> tuple[str, str]:
    """The signal and the unit of a heading; torque at an opening is ``@10``."""
    found = re.search(r"\[([^\[\]]*)\]|\(([^()]*(?:\(g\))?)\)\s*$", heading)
    unit = (found.group(1) or found.group(2) or "") if found else ""
    word = re.split(r"[\[(]", heading)[0].strip().lower()
    at = AT_ANGLE.match(word)
    if at:
        return f"@{at.group(1)}", unit
    return next((name for name, words in PLAIN.items() if word in words or word.replace("_", " ") in words), ""), unit


def _values(name: str, cells: list[str], unit: str, decimal: str) -> np.ndarray:
    numbers = np.array([_number(c, decimal) for c in cells])
    if name in ("stroke", "current"):
        return numbers
    dimension = "torque" if name.startswith("@") else DIMENSION[name]
    found = find(unit, dimension) if unit else None
    if found is None:
        allowed = ", ".join([u.name for u in UNITS.values() if u.dimension == dimension][:5])
        raise InputError(
            f"history, column {name.replace('@', 'torque_')}: {unit or 'no'} unit; wanted in the heading is one such as [{allowed}]"
        )
    inside = numbers * found.factor + found.offset
    return inside - (ATMOSPHERE if found.kind in ("gauge", "absolute") else 0.0) if name == "supply" else inside


def _number(cell: str, decimal: str) -> float:
    try:
        return read_number(cell, decimal)[0] if cell else float("nan")
    except InputError:
        return float("nan")


def _days(cells: list[str]) -> np.ndarray:
    """Days from the first date; nan where a cell is none."""
    found = []
    for cell in cells:
        try:
            at = datetime.fromisoformat(cell)
            found.append(at.toordinal() + (at.hour * 60 + at.minute) / 1440)
        except ValueError:
            found.append(float("nan"))
    days = np.array(found)
    return days - days[np.isfinite(days)][0] if np.isfinite(days).any() else days


def shown(signal: str, value: float) -> str:
    """A figure of a signal with its unit, as people read it."""
    units = {"stroke_time": "s", "supply": "bar", "leak": "ml/min", "current": "A as logged"}
    unit = units.get(signal, "N m")
    inside = value if signal == "current" else float(from_si(value, unit))
    return f"{inside:.4g} {unit}"
