"""Curves over the opening as SVG, in the ink of the page, with the operating points and the opening in hand."""

import math
from bisect import bisect_right
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from html import escape

from softseat.papers.figures import figure
from softseat.papers.plot import round_up
from softseat.selection.item import Curve

WIDTH, HEIGHT = 520.0, 250.0
LEFT, RIGHT, TOP, BOTTOM = 58.0, 12.0, 26.0, 34.0
DASHES = ("none", "7 3", "2 3", "9 3 2 3")
TICKS = 4


@dataclass(frozen=True, slots=True)
class Point:
    """An operating point."""

    name: str
    at: float
    value: float


@dataclass(frozen=True, slots=True)
class Axes:
    """From where to where both ways go."""

    across: tuple[float, float]
    low: float
    high: float
    step: float

    def x(self, value: float) -> float:
        first, last = self.across
        return LEFT + (WIDTH - LEFT - RIGHT) * (value - first) / (last - first)

    def y(self, value: float) -> float:
        return HEIGHT - BOTTOM - (HEIGHT - TOP - BOTTOM) * (value - self.low) / (self.high - self.low)


def chart(
    title: str, unit: str, curves: Sequence[Curve], points: Iterable[Point] = (), at: float | None = None, across: str = "opening, °"
) -> str:
    """The drawing; empty where there is nothing to draw."""
    kept = [c for c in curves if len(_finite(c.opening, c.value)) > 1]
    if not kept:
        return ""
    spots = list(points)
    axes = _axes(kept, spots)
    parts = [_frame(axes, title, unit, across), *(_shade(c, axes) for c in kept)]
    parts += [_line(c, axes, DASHES[i % len(DASHES)]) for i, c in enumerate(kept)]
    parts += [_spot(p, axes) for p in spots]
    if at is not None:
        parts.append(_hand(axes, at, kept))
    legend = "".join(_legend(c, i) for i, c in enumerate(kept)) if len(kept) > 1 else ""
    height = HEIGHT + (17 * len(kept) if len(kept) > 1 else 0)
    told = f"{title}: " + "; ".join(f"{c.name} from {figure(c.value[0])} to {figure(c.value[-1])} {unit}" for c in kept)
    return f'<svg viewBox="0 0 {WIDTH:g} {height:g}" role="img" aria-label="{escape(told)}">{"".join(parts)}{legend}</svg>'


def between(curve: Curve, at: float) -> float:
    """The value of a curve between its points; nan outside."""
    xs, ys = curve.opening, curve.value
    if not xs or not xs[0] <= at <= xs[-1]:
        return math.nan
    i = min(max(bisect_right(xs, at) - 1, 0), len(xs) - 2)
    return ys[i] + (ys[i + 1] - ys[i]) * (at - xs[i]) / (xs[i + 1] - xs[i])


def _finite(xs: Sequence[float], ys: Sequence[float]) -> list[tuple[float, float]]:
    return [(x, y) for x, y in zip(xs, ys, strict=False) if math.isfinite(x) and math.isfinite(y)]


def _axes(curves: Sequence[Curve], spots: Sequence[Point]) -> Axes:
    values = [y for c in curves for series in (c.value, c.low, c.high) for _, y in _finite(c.opening, series)] + [p.value for p in spots]
    places = [x for c in curves for x, _ in _finite(c.opening, c.value)]
    step = round_up(max(*values, -min(values), 1e-12)) / TICKS
    low = -math.ceil(max(-min(values), 0.0) / step - 1e-9) * step
    high = max(math.ceil(max(values) / step - 1e-9), 1) * step
    return Axes((min(0.0, *places), max(places)), low, high, step)


def _frame(a: Axes, title: str, unit: str, across: str) -> str:
    parts = [f'<text x="0" y="14" font-size="13" font-weight="600">{escape(title)}, {escape(unit)}</text>']
    for n in range(round((a.high - a.low) / a.step) + 1):
        value = float(f"{a.low + n * a.step:.9g}")  # 0.9, and not 0.8999999
        y = a.y(value)
        parts.append(f'<line class="hair" x1="{LEFT}" x2="{WIDTH - RIGHT}" y1="{y:.1f}" y2="{y:.1f}"/>')
        parts.append(f'<text x="{LEFT - 6}" y="{y + 4:.1f}" font-size="11" text-anchor="end">{figure(value)}</text>')
    first, last = a.across
    step = 15.0 if (first, last) == (0, 90) else round_up(last - first) / TICKS
    ticks = [float(f"{first + step * k:.9g}") for k in range(math.floor((last - first) / step + 1e-9) + 1)]
    parts += [f'<text x="{a.x(t):.1f}" y="{HEIGHT - BOTTOM + 15}" font-size="11" text-anchor="middle">{figure(t)}</text>' for t in ticks]
    parts.append(f'<text x="{WIDTH - RIGHT}" y="{HEIGHT - 4}" font-size="11" text-anchor="end">{escape(across)}</text>')
    return "".join(parts)


def _path(xs: Sequence[float], ys: Sequence[float], a: Axes) -> list[str]:
    return [f"{a.x(x):.1f},{a.y(y):.1f}" for x, y in _finite(xs, ys)]


def _shade(c: Curve, a: Axes) -> str:
    if len(c.low) != len(c.opening) or len(c.high) != len(c.opening):
        return ""
    return f'<polygon class="shade" points="{" ".join(_path(c.opening, c.low, a) + _path(c.opening, c.high, a)[::-1])}"/>'


def _line(c: Curve, a: Axes, dash: str) -> str:
    points = " ".join(_path(c.opening, c.value, a))
    return f'<polyline points="{points}" fill="none" stroke="currentColor" stroke-width="1.6" stroke-dasharray="{dash}"/>'


def _spot(p: Point, a: Axes) -> str:
    x, y = a.x(p.at), a.y(p.value)
    end = x > WIDTH * 0.6
    side = f'x="{x - 7:.1f}" text-anchor="end"' if end else f'x="{x + 7:.1f}" text-anchor="start"'
    return (
        f'<circle cx="{x:.1f}" cy="{y:.1f}" r="4" fill="currentColor"/><text {side} y="{y - 5:.1f}" font-size="11">{escape(p.name)}</text>'
    )


def _hand(a: Axes, at: float, curves: Sequence[Curve]) -> str:
    x = a.x(at)
    heights = [a.y(v) for c in curves if math.isfinite(v := between(c, at))]
    rings = "".join(f'<circle cx="{x:.1f}" cy="{y:.1f}" r="4.5" fill="none" stroke="currentColor" stroke-width="1.5"/>' for y in heights)
    return f'<line x1="{x:.1f}" x2="{x:.1f}" y1="{TOP}" y2="{HEIGHT - BOTTOM}" stroke="currentColor" stroke-width="1"/>{rings}'


def _legend(c: Curve, i: int) -> str:
    y = HEIGHT + 10 + 17 * i
    ends = f'x1="{LEFT}" x2="{LEFT + 34}" y1="{y - 4}" y2="{y - 4}"'
    line = f'<line {ends} stroke="currentColor" stroke-width="1.6" stroke-dasharray="{DASHES[i % len(DASHES)]}"/>'
    return f'{line}<text x="{LEFT + 42}" y="{y}" font-size="11">{escape(c.name)}</text>'
