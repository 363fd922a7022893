"""Marks that belong together: rectangles, arrow heads, leaders; and marks moved over the paper."""

import math
from collections.abc import Iterable
from dataclasses import replace

from softseat.papers.drawing_lettering import text_width
from softseat.papers.drawing_marks import Arc, Dimension, Hatch, Mark, Point, Stroke, Text


def moved(marks: Iterable[Mark], dx: float, dy: float) -> list[Mark]:
    """The same marks elsewhere on the paper."""

    def to(point: Point) -> Point:
        return point[0] + dx, point[1] + dy

    found: list[Mark] = []
    for mark in marks:
        match mark:
            case Stroke():
                found.append(Stroke(tuple([to(p) for p in mark.points]), mark.pen, mark.closed))
            case Hatch():
                found.append(replace(mark, points=tuple([to(p) for p in mark.points])))
            case Arc():
                found.append(Arc(to(mark.centre), mark.radius, mark.pen, mark.start, mark.end))
            case Text():
                found.append(replace(mark, at=to(mark.at)))
            case Dimension():
                found.append(replace(mark, start=to(mark.start), end=to(mark.end), at=to(mark.at)))
    return found


def rectangle(x0: float, y0: float, x1: float, y1: float, pen: str = "outline") -> Stroke:
    return Stroke(((x0, y0), (x1, y0), (x1, y1), (x0, y1)), pen, closed=True)


def mirrored(points: Iterable[Point]) -> tuple[Point, ...]:
    """The outline on the other side of the shaft axis."""
    return tuple((-x, y) for x, y in points)


def arrow(tip: Point, towards: float, length: float = 2.5) -> Hatch:
    """A filled arrow head that points to ``towards`` [deg]."""
    c, s = math.cos(math.radians(towards)), math.sin(math.radians(towards))
    half = length / 6
    back = (tip[0] - length * c, tip[1] - length * s)
    return Hatch((tip, (back[0] - half * s, back[1] + half * c), (back[0] + half * s, back[1] - half * c)))


def leader(tip: Point, knee: Point, text: str, *, under: str = "", dot: bool = False, figure: bool = False) -> list[Mark]:
    """A reference line to an edge (arrow) or a face (dot) with its text on a short shelf, and more of it ``under`` the shelf."""
    side = 1.0 if knee[0] >= tip[0] else -1.0
    shelf = max(text_width(text), text_width(under)) + 1.0
    towards = math.degrees(math.atan2(tip[1] - knee[1], tip[0] - knee[0]))
    end = (knee[0] + side * shelf, knee[1])
    head: Mark = Hatch(tuple((tip[0] + 0.5 * math.cos(a), tip[1] + 0.5 * math.sin(a)) for a in (k * math.pi / 4 for k in range(8))))
    return [
        Stroke((tip, knee, end), "dimension"),
        head if dot else arrow(tip, towards),
        Text((min(knee[0], end[0]) + 0.5, knee[1] + 0.7), text, figure=figure),
        *([Text((min(knee[0], end[0]) + 0.5, knee[1] - 3.3), under, figure=figure)] if under else []),
    ]
