"""What a drawing is made of: marks on the paper [mm], in line types of ISO 128, before they become SVG or DXF."""

import math
from collections.abc import Iterable
from dataclasses import dataclass, replace

Point = tuple[float, float]

TEXT_HEIGHT = 2.5  # ISO 3098: the least height that stays readable on a copy [mm]
ADVANCE = 0.826  # pitch of a character over the height of its capitals, fixed-pitch lettering


@dataclass(frozen=True, slots=True)
class Pen:
    """A line type of ISO 128-2 with its width and dash lengths on paper [mm]."""

    layer: str
    width: float
    dashes: tuple[float, ...] = ()


PENS = {
    "outline": Pen("OUTLINE", 0.5),  # 01.2 continuous thick: visible edges
    "thin": Pen("THIN", 0.25),  # 01.1 continuous thin
    "hidden": Pen("HIDDEN", 0.25, (3.0, 0.75)),  # 02.1 dashed thin
    "centre": Pen("CENTRE", 0.25, (6.0, 0.75, 0.25, 0.75)),  # 04.1 long-dashed dotted thin
    "other": Pen("ADJACENT", 0.25, (6.0, 0.75, 0.25, 0.75, 0.25, 0.75)),  # 05.1 long-dashed double-dotted thin: other parts, end positions
    "plane": Pen("SECTION_PLANE", 0.5),  # ends of the cutting plane
    "hatch": Pen("HATCH", 0.18),
    "dimension": Pen("DIMENSION", 0.25),
    "frame": Pen("FRAME", 0.5),
    "rule": Pen("TABLE", 0.25),
    "text": Pen("TEXT", 0.25),
}


@dataclass(frozen=True, slots=True)
class Stroke:
    points: tuple[Point, ...]
    pen: str = "outline"
    closed: bool = False


@dataclass(frozen=True, slots=True)
class Arc:
    """Counter-clockwise from start to end [deg]; a whole circle by default."""

    centre: Point
    radius: float
    pen: str = "outline"
    start: float = 0.0
    end: float = 360.0


@dataclass(frozen=True, slots=True)
class Hatch:
    """A cut face: lines at an angle [deg] and pitch [mm]; pitch 0 blackens it, as ISO 128-50 allows for thin sections."""

    points: tuple[Point, ...]
    angle: float = 45.0
    pitch: float = 0.0


@dataclass(frozen=True, slots=True)
class Text:
    at: Point
    text: str
    height: float = TEXT_HEIGHT
    anchor: str = "start"  # start, middle, end
    angle: float = 0.0
    figure: bool = False  # a dimension figure


@dataclass(frozen=True, slots=True)
class Dimension:
    """A length between two points of the view, its line through ``at``, horizontal (0) or vertical (90)."""

    start: Point
    end: Point
    at: Point
    text: str
    angle: float = 0.0
    first: bool = False  # a figure that finds no room between its arrows goes to the near end, below or left


Mark = Stroke | Arc | Hatch | Text | Dimension


def text_width(text: str, height: float = TEXT_HEIGHT) -> float:
    """Length of a line of lettering on paper [mm]."""
    return len(text) * ADVANCE * height


def fitted(text: str, width: float, height: float = TEXT_HEIGHT) -> str:
    """As much of a text as fits the width, with an ellipsis where it was cut."""
    room = max(int(width / (ADVANCE * height)), 1)
    return text if len(text) <= room else text[: room - 1].rstrip() + "…"


def figure(value: float) -> str:
    """A dimension as printed: to a tenth of a millimetre, no idle zero."""
    return f"{round(value, 1):.10g}"


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
