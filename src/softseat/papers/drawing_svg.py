"""Marks as SVG: black only, text as text, the same bytes every time."""

import math
from collections.abc import Iterable, Sequence
from itertools import groupby
from xml.sax.saxutils import escape

from softseat.papers.drawing_lettering import TEXT_HEIGHT, text_width
from softseat.papers.drawing_marks import PENS, Arc, Dimension, Hatch, Mark, Point, Stroke, Text
from softseat.papers.drawing_shapes import arrow

FONT = "DejaVu Sans Mono, Liberation Mono, Menlo, Consolas, monospace"
CAPITAL = 0.729  # height of capitals over the font size of that face


def svg(marks: Iterable[Mark], width: float, height: float, title: str) -> str:
    """A picture of this size [mm]; marks outside are not cut away."""
    body = []
    plain = [part for mark in marks for part in (dimension_marks(mark) if isinstance(mark, Dimension) else [mark])]
    for pen, group in groupby(sorted(plain, key=lambda m: (_pen(m) == "text", _pen(m))), key=_pen):  # letters above all lines
        parts = [_drawn(mark, height) for mark in group]
        told = "".join(parts) if pen == "text" else "".join(f'<path d="{p}"/>' for p in (parts if pen == "solid" else ["".join(parts)]))
        body.append(f"<g {_style(pen)}>{told}</g>")
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{width:g}mm" height="{height:g}mm" viewBox="0 0 {width:g} {height:g}" role="img">'
        f"<title>{escape(title)}</title>\n" + "\n".join(body) + "\n</svg>\n"
    )


def dimension_marks(d: Dimension) -> list[Mark]:
    """A dimension as lines, arrow heads and its figure (ISO 129-1); arrows outside where the room is short."""
    turned = d.angle == 90.0
    a, b = sorted((p[1], p[0]) if turned else p for p in (d.start, d.end))
    at = d.at[0] if turned else d.at[1]

    def to(along: float, across: float) -> Point:
        return (across, along) if turned else (along, across)

    marks: list[Mark] = []
    for along, across in (a, b):
        if abs(at - across) > 1:
            over = math.copysign(1.5, at - across)
            marks.append(Stroke((to(along, across + over / 2), to(along, at + over)), "dimension"))
    low, high, turn = a[0], b[0], 90.0 if turned else 0.0
    wide, room = text_width(d.text), high - low
    above = at - 0.8 if turned else at + 0.8
    if room < 6.0:
        marks += [Stroke((to(low - 5, at), to(high + 5, at)), "dimension"), arrow(to(low, at), turn), arrow(to(high, at), turn + 180)]
    else:
        marks += [Stroke((to(low, at), to(high, at)), "dimension"), arrow(to(low, at), turn + 180), arrow(to(high, at), turn)]
    if room > wide + 1 and (room >= 6.0):
        return [*marks, Text(to((low + high) / 2, above), d.text, TEXT_HEIGHT, "middle", d.angle, figure=True)]
    out = 5.0 if room < 6.0 else 0.0
    end, start = (low, low - out - wide - 1) if d.first else (high, high + out)
    far = start if d.first else start + wide + 1
    words = Text(to(start + 0.5, above), d.text, TEXT_HEIGHT, "start", d.angle, figure=True)
    return [*marks, Stroke((to(end, at), to(far, at)), "dimension"), words]


def hatch_lines(points: Sequence[Point], angle: float, pitch: float) -> list[tuple[Point, Point]]:
    """Parallel lines inside a polygon (even-odd), at multiples of the pitch from the origin so that neighbours agree."""
    c, s = math.cos(math.radians(angle)), math.sin(math.radians(angle))
    turned = [(x * c + y * s, -x * s + y * c) for x, y in points]
    lines = []
    low, high = (f(v for _, v in turned) for f in (min, max))
    for k in range(math.floor(low / pitch) + 1, math.ceil(high / pitch)):
        v = k * pitch
        cuts = sorted(
            p[0] + (v - p[1]) / (q[1] - p[1]) * (q[0] - p[0])
            for p, q in zip(turned, [*turned[1:], turned[0]], strict=True)
            if (p[1] > v) != (q[1] > v)
        )
        lines += [((u * c - v * s, u * s + v * c), (w * c - v * s, w * s + v * c)) for u, w in zip(cuts[::2], cuts[1::2], strict=True)]
    return lines


def _pen(mark: Mark) -> str:
    match mark:
        case Stroke() | Arc():
            return mark.pen
        case Hatch():
            return "hatch" if mark.pitch else "solid"
        case _:
            return "text"


def _style(pen: str) -> str:
    if pen == "solid":
        return 'fill="#000" stroke="none"'
    if pen == "text":
        return f'fill="#000" stroke="#fff" stroke-width="0.7" stroke-linejoin="round" paint-order="stroke" font-family="{FONT}"'
    p = PENS[pen]
    dashes = f' stroke-dasharray="{" ".join(f"{d:g}" for d in p.dashes)}"' if p.dashes else ""
    return f'fill="none" stroke="#000" stroke-width="{p.width:g}" stroke-linejoin="round"{dashes}'


def _at(point: Point, height: float) -> str:
    return f"{point[0] + 0.0:.2f} {height - point[1] + 0.0:.2f}"


def _path(points: Sequence[Point], height: float, closed: bool) -> str:
    return "M" + "L".join(_at(p, height) for p in points) + ("Z" if closed else "")


def _drawn(mark: Mark, height: float) -> str:
    match mark:
        case Stroke():
            return _path(mark.points, height, mark.closed)
        case Hatch() if not mark.pitch:
            return _path(mark.points, height, True)
        case Hatch():
            return "".join(_path(line, height, False) for line in hatch_lines(mark.points, mark.angle, mark.pitch))
        case Arc():
            return _arc(mark, height)
        case Text():
            return _text(mark, height)
    return ""


def _arc(arc: Arc, height: float) -> str:
    r = arc.radius
    whole = arc.end - arc.start >= 360
    ends = (arc.start, arc.start + 180, arc.start) if whole else (arc.start, arc.end)
    far = int(not whole and arc.end - arc.start > 180)
    a, *on = (_at((arc.centre[0] + r * math.cos(t), arc.centre[1] + r * math.sin(t)), height) for t in map(math.radians, ends))
    return f"M{a}" + "".join(f"A{r:.2f} {r:.2f} 0 {far} 0 {b}" for b in on) + ("Z" if whole else "")


def _text(text: Text, height: float) -> str:
    x, y = text.at[0], height - text.at[1]
    turn = f' transform="rotate({-text.angle:g} {x:.2f} {y:.2f})"' if text.angle else ""
    kind = ' class="figure"' if text.figure else ""
    anchor = f' text-anchor="{text.anchor}"' if text.anchor != "start" else ""
    return f'<text x="{x:.2f}" y="{y:.2f}" font-size="{text.height / CAPITAL:.2f}"{anchor}{turn}{kind}>{escape(text.text)}</text>'
