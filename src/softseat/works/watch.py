"""What drifts in a valve: seat, bearing or operator, told apart by where on the stroke it shows; silent where the data cannot tell."""

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from softseat.errors import UnknownName
from softseat.selection.item import Item
from softseat.works.changes import Change, change, change_point, thinned
from softseat.works.history import SIGNALS, History, practice, shown
from softseat.works.lines import Line, theil_sen

UPWARD = ("torque", "seat", "run", "current", "stroke_time", "leak")
CAUSES = {
    ("seat", 1): ("seat", "the rim rubs harder: swell, hardening, or deposit on the rim"),
    ("seat", -1): ("seat", "the rim rubs less: set or wear"),
    ("run", 1): ("bearing", "harder along the whole stroke: solids or corrosion in the bushes, or packing"),
    ("run", -1): ("bearing", "easier along the whole stroke: play in bushes or joint"),
    ("supply", -1): ("supply", "the air at the operator falls"),
    ("supply", 1): ("supply", "the air at the operator rises"),
    ("leak", 1): ("seat", "it leaks more past the disc"),
    ("leak", -1): ("seat", "it leaks less past the disc"),
}


MIXED = ("seat or bearing", "it moves near the seat and along the stroke; only the shape of this valve's torque could part them")


@dataclass(frozen=True, slots=True)
class Drift:
    """One thing that changed. Strokes to the limit are nan where there is no limit or no trend that is sure."""

    part: str  # seat, bearing, operator, supply, valve or operator
    cause: str
    signal: str
    score: float  # standard errors between then and now
    before: float
    now: float
    step: bool  # at one stroke, rather than little by little
    since: float  # stroke number
    slope: Line
    limit: float
    margin: float  # limit over now, or now over limit where it falls
    strokes_low: float
    strokes: float
    strokes_high: float
    text: str


@dataclass(frozen=True, slots=True)
class Watch:
    """All that changed, and all that the data cannot tell."""

    strokes: int
    drifts: tuple[Drift, ...]
    silent: tuple[str, ...]  # why nothing is said of a part


def limits_of(item: Item) -> dict[str, float]:
    """Limits that the offered item has itself: the torque its operator gives where it gives least. [N m], [s]"""
    found = {}
    for curve in item.curves:
        if curve.name == "torque of the operator" and curve.value:
            found["torque"] = float(min(curve.value))
    asked = item.duty.get("stroke_time")
    if asked is not None and asked.value is not None:
        found["stroke_time"] = float(asked.value)
    return found


def watch(history: History, limits: Mapping[str, float] | None = None) -> Watch:
    """What changed between the first strokes and the last, and how long each has to its limit.

    Parameters
    ----------
    history : History
        One valve.
    limits : mapping
        Of torque [N m], stroke_time [s], leak [m3/s], current, supply (lowest, above the atmosphere) [Pa]; ``seat_low``: the
        least seat torque at which it is tight [N m].

    Raises
    ------
    UnknownName
        Where a limit is of no signal.
    """
    bounds = dict(limits or {})
    unknown = sorted(set(bounds) - set(SIGNALS) - {"seat_low"})
    if unknown:
        raise UnknownName(f"limit of {unknown[0]!r}: allowed are {', '.join(SIGNALS)}, seat_low")
    found = {name: change(history, name) for name in SIGNALS if name in history.signals}
    silent = [told for c in found.values() if (told := c.silent)]
    moved = {name: c for name, c in found.items() if c.seen}
    mixed = _mixed(history, moved)
    if mixed:
        del moved[mixed]
    told_of = [c for c in moved.values() if not _explained(c.signal, moved)]
    drifts = [_drift(history, c, *(MIXED if mixed and c.signal in ("seat", "run") else _cause(c, moved, found)), bounds) for c in told_of]
    return Watch(len(history), tuple(sorted(drifts, key=lambda d: -abs(d.score))), (*silent, *_cannot_tell(history, moved)))


def _mixed(history: History, moved: Mapping[str, Change]) -> str:
    """The weaker of seat and run where both move one way and were parted by angle alone: the hub's rubber shows in both, the bushes too."""
    if history.shaped or not {"seat", "run"} <= set(moved) or moved["seat"].score * moved["run"].score < 0:
        return ""
    return "run" if abs(moved["seat"].score) >= abs(moved["run"].score) else "seat"


def _explained(signal: str, moved: Mapping[str, Change]) -> bool:
    """A peak torque, a current or a time that another part already tells."""
    harder = [n for n in ("seat", "run", "torque") if n in moved]
    if signal in ("torque", "current"):
        return bool({"seat", "run"} & set(moved)) or (signal == "current" and "torque" in moved)
    return signal == "stroke_time" and (bool(harder) or "supply" in moved)


def _cause(moved: Change, all_moved: Mapping[str, Change], known: Mapping[str, Change]) -> tuple[str, str]:
    way = 1 if moved.score > 0 else -1
    if (moved.signal, way) in CAUSES:
        part, cause = CAUSES[moved.signal, way]
        leaks = "leak" in all_moved and moved.signal == "seat" and way < 0
        return part, f"{cause}; it leaks more too" if leaks else cause
    turned = [known[n] for n in ("seat", "run", "torque", "current") if n in known and not known[n].silent]
    if moved.signal == "stroke_time" and turned:
        if way > 0:
            return "operator", "slower at the same torque and supply: leaking air, tired spring, or friction inside it"
        return "operator", "faster at the same torque and supply: throttle or travel stop moved"
    if moved.signal == "stroke_time":
        return "valve or operator", "the time changes, and no torque is logged: it cannot be told which"
    return "seat or bearing", f"the {moved.signal} changes; without torque over the angle it cannot be told where"


def _drift(history: History, moved: Change, part: str, cause: str, bounds: Mapping[str, float]) -> Drift:
    x, y = history.stroke, moved.values
    since, step = change_point(x, y)
    start = np.searchsorted(x, since) if step else 0
    line = theil_sen(thinned(x[start:]), thinned(y[start:]), practice("coverage"))
    bound = _bound(history, moved, bounds)
    low, best, high = _strokes_left(moved, line, bound)
    if step and abs(line.slope) * (x[-1] - since) < practice("effect") * abs(moved.now):  # what is left of a season, no trend
        low = best = high = float("nan") if best > 0 else best
    before, now = shown(moved.signal, moved.before), shown(moved.signal, moved.now)
    rising = moved.now > moved.before
    margin = float(bound / moved.now if rising else moved.now / bound) if np.isfinite(bound) and moved.now and bound else float("nan")
    how = f"at stroke {since:.0f}" if step else f"little by little, seen since stroke {since:.0f}"
    told = f"{part}: {cause}. {moved.signal.replace('_', ' ')} {before} then, {now} now, {how}."
    told += _in_words(bound, moved.signal, margin, low, best, high, step)
    return Drift(part, cause, moved.signal, moved.score, moved.before, moved.now, step, since, line, bound, margin, low, best, high, told)


def _in_words(bound: float, signal: str, margin: float, low: float, best: float, high: float, step: bool) -> str:
    if not np.isfinite(bound):
        return " No limit is known for it."
    said = f" Limit {shown(signal, bound)}, margin {margin:.2f}."
    if np.isfinite(best):
        upper = f"{high:.0f}" if np.isfinite(high) else "no end seen"
        return f"{said} Strokes to it: about {best:.0f} ({low:.0f} to {upper})."
    return said + (" It does not go on since then." if step else " The trend is not sure enough for a forecast.")


def _bound(history: History, moved: Change, bounds: Mapping[str, float]) -> float:
    """The limit of a signal the way it moves; of seat or run what the whole torque leaves to it."""
    rising = moved.now > moved.before
    if moved.signal == "seat" and not rising:
        return bounds.get("seat_low", float("nan"))
    if moved.signal in ("seat", "run") and rising and "torque" in bounds:
        other = history.signals.get("run" if moved.signal == "seat" else "seat")
        beside = float(np.nanmedian(other[-int(practice("recent")) :])) if other is not None else 0.0
        return bounds["torque"] - beside
    goes = rising if moved.signal in UPWARD else not rising
    return bounds.get(moved.signal, float("nan")) if goes else float("nan")


def _strokes_left(moved: Change, line: Line, bound: float) -> tuple[float, float, float]:
    """Strokes to the limit at the slow, best and fast end of the slope; nan where the trend is not surely that way."""
    left = bound - moved.now
    nothing = (float("nan"),) * 3
    if not np.isfinite(left) or not np.isfinite(line.slope) or line.slope * left <= 0:
        return (0.0, 0.0, 0.0) if np.isfinite(left) and left * (moved.now - moved.before) <= 0 else nothing
    slopes = sorted((line.low, line.high), key=abs)
    slow = slopes[0] if slopes[0] * left > 0 and line.low * line.high > 0 else 0.0
    if line.low * line.high <= 0:
        return nothing
    return left / slopes[1], left / line.slope, left / slow if slow else float("inf")


def _cannot_tell(history: History, moved: Mapping[str, Change]) -> list[str]:
    """What more has to be logged for what is not told."""
    said = []
    if not {"seat", "run"} & set(history.signals):
        said.append("no torque over the angle: seat and bearing cannot be told apart")
    if "leak" not in history.signals:
        said.append("no leak is logged: a seat that lost its tightness is seen by its torque only")
    if "stroke_time" in moved and "supply" not in history.signals:
        said.append("no supply pressure is logged: a slower stroke may be the air")
    return said
