"""The surge of one item in full: what its closing does, what is allowed, which setting of the operator gives it, with curves and words."""

from dataclasses import dataclass, field, replace

import numpy as np

from softseat.flow.surge_case import MEMBERS, Case, Stroke, band, run, shut_head
from softseat.flow.surge_record import Transient
from softseat.flow.surge_safe import safe_strokes
from softseat.flow.surge_screen import effective_time
from softseat.flow.surge_setting import TwoSpeed, two_speed
from softseat.flow.wave import critical_time
from softseat.selection.hammer import ATMOSPHERE, GRAVITY, LONGEST, case_of
from softseat.selection.item import Curve, Number
from softseat.selection.surge_behind import behind_words, pump_words, shut_off
from softseat.sheet import Sheet

REACHES = 24
POINTS = 240  # of a curve
NEVER = -1e9  # [m] no floor
LEAKS = 1e-6  # share of the steady flow below which a curve shows none


@dataclass(frozen=True, slots=True)
class SurgeAnswer:
    """Numbers as shown with their bands; ``opening`` of a curve is the time [s] or the way from the source [m]."""

    sentence: str
    numbers: dict[str, Number] = field(default_factory=dict)
    history: tuple[Curve, ...] = ()  # over time: pressure before the valve, flow
    envelope: tuple[Curve, ...] = ()  # over the way: highest and lowest pressure
    sudden: bool = False  # the flow stops within the wave return: a rigid column misleads
    separates: bool = False  # nothing after that is a number
    safe: bool = False  # the bad end stays within rating


@dataclass(frozen=True, slots=True)
class _Facts:
    """One item: the case, its limits as heads, and the fine runs of its band."""

    case: Case
    stroke: Stroke
    weight: float  # rho g [N/m3]
    rating: float  # [Pa] above the atmosphere
    vapour: float  # [m]
    found: Transient
    one: Sheet

    @property
    def room(self) -> float:
        return self.rating / self.weight

    @property
    def velocity(self) -> float:
        return float(self.case.flow[0] / (np.pi / 4 * self.case.bore[0] ** 2))

    def bar(self, head: np.ndarray) -> np.ndarray:
        return np.asarray(head * self.weight / 1e5)


def surge_answer(sheet: Sheet, n: int) -> SurgeAnswer | None:
    """What the closing of the n-th item does; None where it is no liquid, or line, stroke, flow or pressure are not known."""
    if not _known(sheet, n):
        return _only_behind(sheet, n)
    facts = _facts(replace(sheet, origin={}, why={}).item(n))
    peak, lowest = _ends(facts)
    critical = critical_time(facts.case.length[0], facts.case.wave_speed[:, 0])[::-1]
    reservoir = float(facts.found.head[0, 0])
    effective = float(effective_time(facts.case.length[0], facts.velocity, max(peak[1] - reservoir, 0.0), facts.stroke.time[0]))
    separates = bool(np.isfinite(facts.found.separation_time[0]).any())
    safe = bool(peak[2] <= facts.room)
    even, gentle = _even(facts, float(critical[1]))
    setting = None if safe or np.isnan(even) else two_speed(facts.case, facts.room, NEVER, float(critical[1]), even)
    numbers = _numbers(facts, peak, lowest, critical, separates)
    numbers |= {"effective_time": _number([effective], "s")} | _settings(even, gentle, setting)
    sudden = effective <= 1.02 * critical[1]
    return SurgeAnswer(
        _sentence(facts, numbers, sudden, separates, setting),
        numbers,
        _history(facts),
        _envelope(facts),
        bool(sudden),
        separates,
        safe,
    )


def _only_behind(sheet: Sheet, n: int) -> SurgeAnswer | None:
    """The answer of an item of which only the line behind the valve is known."""
    if np.isnan(sheet["lowest_head"][1, n]):
        return None
    one = replace(sheet, origin={}, why={}).item(n)
    separates = bool(one["lowest_head"][0, 0] <= one["vapour_head"][0])
    return SurgeAnswer(" ".join(behind_words(one)), {"lowest_head": _lowest_behind(one)}, separates=separates)


def _lowest_behind(one: Sheet) -> Number:
    return _number(one["lowest_head"][:, 0], "m", "behind the valve")


def _known(sheet: Sheet, n: int) -> bool:
    needed = [sheet[c][n] for c in ("pipe_length", "stroke_time", "actual_flow", "p1", "density", "dn")]
    return bool(sheet["is_liquid"][n] and np.isfinite(needed).all() and sheet["pipe_length"][n] > 0 and sheet["actual_flow"][n] > 0)


def _facts(one: Sheet) -> _Facts:
    case = case_of(one, np.array([0]))
    weight = float(one["density"][0]) * GRAVITY
    pv = float(np.nan_to_num(one["pv"][0]))
    vapour = (pv - ATMOSPHERE) / weight
    law = "spring" if str(one["operator"][0]) == "pneumatic_sr" and str(one["fail"][0]) == "close" else "linear"
    stroke = Stroke(one["stroke_time"][:1], law)
    found = run(case, stroke, np.zeros(len(MEMBERS), int), MEMBERS, REACHES, vapour)
    return _Facts(case, stroke, weight, _rating(one), vapour, found, one)


def _rating(one: Sheet) -> float:
    stated = [float(one[c][0]) for c in ("valve_rating", "pn_pressure") if c in one and np.isfinite(one[c][0])]
    return stated[0] if stated else float("inf")


def _ends(facts: _Facts) -> tuple[np.ndarray, np.ndarray]:
    """Band of the highest and the lowest head along the line; where the column separates the highest until then, and the vapour's. [m]"""
    broken = np.isfinite(facts.found.separation_time[0])
    lowest = np.where(broken, facts.vapour, facts.found.lowest.min(axis=0))
    highest = np.fmax(facts.found.highest.max(axis=0), shut_head(facts.case, np.zeros(len(MEMBERS), int), MEMBERS))
    return band(highest), np.fmax(band(lowest), facts.vapour)


def _even(facts: _Facts, critical: float) -> tuple[float, float]:
    """Shortest even stroke within the rating, and the one that also keeps the column whole. [s]"""
    if not np.isfinite(facts.room):
        return float("nan"), float("nan")
    room, least = np.array([facts.room]), np.array([critical])
    within, whole = (float(safe_strokes(facts.case, room, least, LONGEST, floor)[0]) for floor in (NEVER, facts.vapour))
    return float(np.ceil(within)), float(np.ceil(whole))


def _number(ends: np.ndarray | list[float], unit: str, at: str = "") -> Number:
    plain = [float(f"{v:.4g}") for v in ends]
    low, high = (plain[0], plain[2]) if len(plain) == 3 else (None, None)
    return Number(plain[len(plain) // 2], unit, low, high, "calculated", at)


def _numbers(facts: _Facts, peak: np.ndarray, lowest: np.ndarray, critical: np.ndarray, separates: bool) -> dict[str, Number]:
    found, end = facts.found, facts.case.length[0]
    top, bottom = int(found.highest[:, 0].argmax()), int(found.lowest[:, 0].argmin())
    way = np.linspace(0, end, found.highest.shape[0])

    def where(k: int, when: np.ndarray) -> str:
        place = "at the valve" if k == len(way) - 1 else f"{end - way[k]:.0f} m before the valve"
        return f"{place}, {when[k, 0]:.3g} s after the start"

    speed = facts.case.wave_speed[:, 0]
    numbers = {
        "wave_speed": _number(speed, "m/s"),
        "critical_time": _number(critical, "s"),
        "pressure_rise": _number(facts.bar(speed * facts.velocity / GRAVITY), "bar", "sudden stop of the whole flow"),
        "surge_pressure": _number(facts.bar(peak), "bar(g)", where(top, found.highest_time)),
        "peak_time": _number([float(found.highest_time[top, 0])], "s"),
        "lowest_pressure": _number(facts.bar(lowest), "bar(g)", "the column separates" if separates else where(bottom, found.lowest_time)),
        "vapour_margin": _number(facts.bar(lowest - facts.vapour), "bar"),
    }
    if np.isfinite(facts.rating):
        numbers["rating_margin"] = _number(facts.rating / 1e5 - facts.bar(peak)[::-1], "bar")
    if not np.isnan(facts.one["lowest_head"][1, 0]):
        numbers["lowest_head"] = _lowest_behind(facts.one)
    if separates:
        own = float(found.separation_time[0, 0])
        numbers["separation_time"] = _number([own if np.isfinite(own) else float(np.nanmin(found.separation_time[0]))], "s")
    return numbers


def _settings(even: float, gentle: float, setting: TwoSpeed | None) -> dict[str, Number]:
    numbers = {}
    if np.isfinite(even):
        numbers["safe_stroke"] = _number([even], "s", "even stroke within the rating")
    if np.isfinite(gentle):
        numbers["whole_stroke"] = _number([gentle], "s", "even stroke that also keeps the column whole")
    if setting is not None:
        numbers["two_speed_time"] = _number([setting.stroke_time], "s", "both parts together")
        numbers["break_opening"] = _number([setting.break_opening], "deg")
        numbers["break_time"] = _number([setting.break_time], "s", "fast part")
    return numbers


def _sampled(values: np.ndarray) -> np.ndarray:
    """Rows of a history for a curve: even, the first and the last among them."""
    return np.unique(np.linspace(0, len(values) - 1, min(POINTS, len(values))).round().astype(int))


def _curve(name: str, unit: str, at: np.ndarray, ends: np.ndarray) -> Curve:
    """Where there is no number the curve ends."""
    last = int(np.isnan(ends).any(axis=0).argmax()) if np.isnan(ends).any() else ends.shape[1]
    low, best, high = (tuple(float(f"{v:.4g}") for v in row[:last]) for row in ends)
    return Curve(name, unit, tuple(float(f"{v:.4g}") for v in at[:last]), best, low, high)


def _history(facts: _Facts) -> tuple[Curve, ...]:
    """Pressure before the valve and flow over time; each member of the band on its own time step is read at that of the first."""
    found = facts.found
    times = found.times()
    flow = np.where(np.abs(found.flow) < LEAKS * found.flow[0], 0.0, found.flow)
    at = times[_sampled(times), 0]
    curves = []
    for name, unit, values in (("pressure before the valve", "bar(g)", facts.bar(found.head)), ("flow", "m3/h", 3600 * flow)):
        members = np.stack([np.interp(at, times[:, k], values[:, k]) for k in range(values.shape[1])])
        curves.append(_curve(name, unit, at, _spread(members)))
    return tuple(curves)


def _spread(members: np.ndarray) -> np.ndarray:
    """Best member with the envelope of all: instants of different runs do not add as squares. One that has separated is left out."""
    best = members[0]
    others = np.where(np.isnan(members), best, members)
    return np.stack([others.min(axis=0), best, others.max(axis=0)])


def _envelope(facts: _Facts) -> tuple[Curve, ...]:
    found = facts.found
    way = np.linspace(0, facts.case.length[0], found.highest.shape[0])
    return tuple(
        _curve(name, "bar(g)", way, facts.bar(_spread(values.T)))
        for name, values in (("highest pressure along the line", found.highest), ("lowest pressure along the line", found.lowest))
    )


def _sentence(facts: _Facts, numbers: dict[str, Number], sudden: bool, separates: bool, setting: TwoSpeed | None) -> str:
    """The answer in words."""
    stroke, surge, wave = float(facts.stroke.time[0]), numbers["surge_pressure"], numbers["critical_time"]
    slower = f", no slower than the wave returns (2L/a {wave.value:.3g} s): a rigid column misleads." if sudden else "."
    before = facts.bar(facts.case.head)[0]
    told = [
        f"Closing in {stroke:g} s stops the flow as an even stop of {numbers['effective_time'].value:.3g} s would{slower}",
        f"The pressure rises from {before:.3g} to {surge.value:.3g} bar(g) ({surge.low:.3g} to {surge.high:.3g}) "
        f"{surge.at}{_against(facts, surge)}.",
    ]
    if separates:
        who = "The column separates" if np.isfinite(facts.found.separation_time[0, 0]) else "At its bad end the column separates"
        told.append(f"{who} {numbers['separation_time'].value:.3g} s after the start: nothing behind that is a number.")
    allowed = _allowed(numbers, stroke, setting, shut_off(facts.case) > facts.room)
    return " ".join([*told, *allowed, *pump_words(facts.one, facts.case), *behind_words(facts.one)])


def _against(facts: _Facts, surge: Number) -> str:
    if not np.isfinite(facts.rating) or surge.high is None:
        return ""
    rating = facts.rating / 1e5
    return f", {'above' if surge.high > rating else 'within'} the rating of {rating:.3g} bar(g) at its bad end"


def _seconds(time: float) -> str:
    return f"{time:.2g} s" if time < 10 else f"{time:.0f} s"


def _allowed(numbers: dict[str, Number], stroke: float, setting: TwoSpeed | None, hopeless: bool) -> list[str]:
    told = []
    safe, whole = (numbers[k].value if k in numbers else None for k in ("safe_stroke", "whole_stroke"))
    if hopeless:
        return ["No stroke keeps to the rating: what stands before the shut valve is above it. A higher rating is needed."]
    if safe is None:
        return ["No even stroke within the hour keeps to the rating: a surge vessel, a by-pass or a higher rating is needed."]
    if safe > stroke:
        told.append(f"Allowed: an even stroke of {safe:g} s or more.")
    if setting is not None:
        slow = setting.stroke_time - setting.break_time
        told.append(
            f"Or two speeds: {_seconds(setting.break_time)} to {setting.break_opening:g} degrees open, then {_seconds(slow)} to shut."
        )
    if whole is not None and whole > max(stroke, safe):
        told.append(f"The column stays whole from {whole:g} s on.")
    return told
