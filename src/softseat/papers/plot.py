"""Curves over the opening (or over time, or along the line) as SVG text: one ink, told apart by dash and label, the band shaded."""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from html import escape

from softseat.papers.figures import figure
from softseat.papers.texts import clean, text, unit
from softseat.selection.item import Curve

INK, SHADE, HAIR = "#1a1a1a", "#d4d7d9", "#9a9fa3"
DASHES = ("", "5 2.5", "1.2 2", "7 2 1.2 2", "3 1.5")
LEFT, RIGHT, TOP, BOTTOM = 34.0, 8.0, 18.0, 27.0
UNITS = {"opening": "deg", "time": "s", "way": "m"}
STEPS = 4  # of the axis from zero to its far end
ROW = 10.0  # of the legend under the axis
FONT = "font-family='Libertinus Serif' font-size='8'"


@dataclass(frozen=True, slots=True)
class Spot:
    """An operating point on the curves; the opening may have a band."""

    name: str
    opening: float
    value: float
    low: float | None = None
    high: float | None = None


@dataclass(frozen=True, slots=True)
class Scale:
    """The upright axis: from which to which multiple of the step."""

    first: int
    last: int
    step: float


@dataclass(frozen=True, slots=True)
class Plot:
    title: str
    curves: Sequence[Curve]
    spots: Sequence[Spot] = ()
    width: float = 236.0
    height: float = 108.0

    @property
    def _along(self) -> str:
        return self.curves[0].along

    @property
    def _ticks(self) -> list[float]:
        """Ticks of the level axis: every 15 degrees of opening, or quarters of a round end of time or way."""
        if self._along == "opening":
            return [float(o) for o in range(0, 91, 15)]
        end = round_up(max(a for c in self.curves for a in c.opening if math.isfinite(a)))
        return [end * n / STEPS for n in range(STEPS + 1)]

    def svg(self) -> str:
        """The drawing; empty where no curve has two finite points."""
        kept = [c for c in self.curves if len(_finite(c.opening, c.value)) > 1]
        if not kept:
            return ""
        scale = self._scale(kept)
        parts = [*self._axes(scale, kept[0].unit), *(self._band(c, scale) for c in kept)]
        parts += [self._line(c, scale, DASHES[n % len(DASHES)]) for n, c in enumerate(kept)]
        parts += [self._spot(s, scale) for s in self.spots] + self._legend(kept)
        height = self.height + (ROW * len(kept) + 3 if len(kept) > 1 else 0)
        size = f"width='{self.width:g}pt' height='{height:g}pt' viewBox='0 0 {self.width:g} {height:g}'"
        return f"<svg xmlns='http://www.w3.org/2000/svg' {size}>{''.join(parts)}</svg>"

    def _scale(self, curves: Sequence[Curve]) -> Scale:
        """From zero, or from below where a curve goes there: the flow then drives the disc."""
        values = [v for c in curves for series in (c.value, c.low, c.high) for _, v in _finite(c.opening, series)]
        values += [s.value for s in self.spots]
        step = round_up(max(*values, -min(values), 0.0)) / STEPS
        return Scale(-math.ceil(max(-min(values), 0.0) / step), max(math.ceil(max(values) / step - 1e-9), 0), step)

    def _x(self, opening: float) -> float:
        return LEFT + (self.width - LEFT - RIGHT) * opening / self._ticks[-1]

    def _y(self, value: float, scale: Scale) -> float:
        share = (value / scale.step - scale.first) / (scale.last - scale.first)
        return self.height - BOTTOM - (self.height - TOP - BOTTOM) * share

    def _axes(self, scale: Scale, unit_key: str) -> list[str]:
        floor = self.height - BOTTOM
        parts = []
        for tick in self._ticks:
            x = self._x(tick)
            parts.append(_rule(x, floor, x, floor + 2.5) + _said(x, floor + 10, _tick(tick), "middle"))
        for n in range(scale.first, scale.last + 1):
            y = self._y(n * scale.step, scale)
            parts.append(_rule(LEFT, y, self.width - RIGHT, y, INK if not n else SHADE))
            parts.append(_said(LEFT - 3, y + 2.6, _tick(n * scale.step), "end"))
        name = f"{text(f'plot.{self._along}')}, {unit(UNITS[self._along])}"
        parts.append(_said(self.width - RIGHT, self.height - 6, name, "end"))
        parts.append(_said(2, 9, f"{self.title}, {unit(unit_key)}", "start"))
        return parts

    def _path(self, opening: Sequence[float], value: Sequence[float], scale: Scale) -> list[str]:
        return [f"{self._x(a):.2f},{self._y(v, scale):.2f}" for a, v in _finite(opening, value)]

    def _band(self, curve: Curve, scale: Scale) -> str:
        if len(curve.low) != len(curve.opening) or len(curve.high) != len(curve.opening):
            return ""
        round_trip = self._path(curve.opening, curve.low, scale) + self._path(curve.opening, curve.high, scale)[::-1]
        return f"<polygon points='{' '.join(round_trip)}' fill='{SHADE}' fill-opacity='0.75'/>"

    def _line(self, curve: Curve, scale: Scale, dash: str) -> str:
        points = " ".join(self._path(curve.opening, curve.value, scale))
        return f"<polyline points='{points}' fill='none' stroke='{INK}' stroke-width='1.1' stroke-dasharray='{dash or 'none'}'/>"

    def _spot(self, spot: Spot, scale: Scale) -> str:
        x, y = self._x(spot.opening), self._y(spot.value, scale)
        span = ""
        if spot.low is not None and spot.high is not None:
            span = _rule(self._x(spot.low), y, self._x(spot.high), y, INK, 0.8)
        left = x > self.width * 0.55
        label = _said(x - 5, y - 4, spot.name, "end") if left else _said(x + 4, y + 9, spot.name, "start")
        return f"{span}<circle cx='{x:.2f}' cy='{y:.2f}' r='2.4' fill='{INK}'/>{label}"

    def _legend(self, curves: Sequence[Curve]) -> list[str]:
        """One row a line under the axis; needed only where there is more than one line."""
        if len(curves) == 1:
            return []
        parts = []
        for n, curve in enumerate(curves):
            y = self.height + ROW * n + 7  # under the name of the axis
            dash = f"stroke-dasharray='{DASHES[n % len(DASHES)] or 'none'}'"
            rule = f"x1='{LEFT:g}' y1='{y - 2.5:g}' x2='{LEFT + 22:g}' y2='{y - 2.5:g}'"
            parts.append(f"<line {rule} stroke='{INK}' stroke-width='1.1' {dash}/>")
            parts.append(_said(LEFT + 26, y, curve.name, "start"))
        return parts


def _tick(value: float) -> str:
    """A figure on an axis without closing zeros."""
    said = figure(value)
    return said.rstrip("0").rstrip(".") if "." in said and "×" not in said else said


def _finite(opening: Sequence[float], value: Sequence[float]) -> list[tuple[float, float]]:
    return [(a, v) for a, v in zip(opening, value, strict=False) if math.isfinite(a) and math.isfinite(v)]


def round_up(value: float) -> float:
    """The next of 1, 1.2, 1.6, 2, 2.4, 3.2, 4, 6, 8 times a power of ten: quarters of it are short figures."""
    if value <= 0:
        return 1.0
    power = 10.0 ** math.floor(math.log10(value))
    return next(step * power for step in (1, 1.2, 1.6, 2, 2.4, 3.2, 4, 6, 8, 10) if step * power >= value * (1 - 1e-12))


def _rule(x1: float, y1: float, x2: float, y2: float, ink: str = HAIR, width: float = 0.5) -> str:
    return f"<line x1='{x1:.2f}' y1='{y1:.2f}' x2='{x2:.2f}' y2='{y2:.2f}' stroke='{ink}' stroke-width='{width:g}'/>"


def _said(x: float, y: float, said: str, anchor: str) -> str:
    return f"<text x='{x:.2f}' y='{y:.2f}' text-anchor='{anchor}' fill='{INK}' {FONT}>{escape(clean(said))}</text>"
