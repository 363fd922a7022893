"""The valve seen along the pipe: ring, lugs or flange, bolt circle, neck, top flange, operator."""

import math

from softseat.papers.drawing_lettering import figure
from softseat.papers.drawing_marks import Arc, Dimension, Mark, Stroke, Text
from softseat.papers.drawing_measures import Measures
from softseat.papers.drawing_operator import crown, face_outline, reach
from softseat.papers.drawing_shapes import arrow, leader, rectangle

STEP = 6.5
SMALL = 30.0  # disc on paper [mm] below which words and part numbers would cover the view


def extent(m: Measures) -> tuple[float, float]:
    """How far the face view goes to the left and right of the shaft axis [mm on paper]."""
    r = m.outer
    left, right = reach(m)
    return min(-r, left, -m.plate), max(r, right, m.plate)


def face(m: Measures, lifting: str = "") -> list[Mark]:
    """The marks of the face view, the pipe axis at (0, 0)."""
    return [*_ring(m), *_bolting(m), *_bore(m), *_neck(m), *_lifting(m, lifting), *face_outline(m), *_axes(m), *_plane(m), *_dimensions(m)]


def _angles(m: Measures) -> list[float]:
    """Holes straddle the centre lines [rad]."""
    return [math.pi / 2 + math.pi / m.holes * (2 * k + 1) for k in range(m.holes)]


def _outer(m: Measures) -> float:
    """Radius at which neck and lower boss leave the body."""
    return m.flange / 2 if m.style == "double_flanged" and m.flange else m.body / 2


def _ring(m: Measures) -> list[Mark]:
    if m.style == "double_flanged" and m.flange:
        return [Arc((0.0, 0.0), m.flange / 2), Arc((0.0, 0.0), m.lip_top, "thin")]
    adjacent: list[Mark] = [Arc((0.0, 0.0), m.flange / 2, "other")] if m.flange else []
    return [*adjacent, *(_lugs(m) if m.style == "lugged" and m.pairs else _plain(m)), Arc((0.0, 0.0), m.lip_top, "thin")]


def _gaps(m: Measures, radius: float) -> list[float]:
    """Directions and half angles [deg] in which neck or boss cover the edge of the ring."""
    half = math.degrees(math.asin(min(m.neck / radius, 1.0)))
    return [half, half if m.bottom > radius else 0.0]


def _plain(m: Measures) -> list[Mark]:
    r = m.body / 2
    up, down = _gaps(m, r)
    return [Arc((0.0, 0.0), r, "outline", 90 + up, 270 - down), Arc((0.0, 0.0), r, "outline", 270 + down, 450 - up)]


def _lugs(m: Measures) -> list[Mark]:
    """The ring with a lug round every hole; lugs that would touch run together into a wider ring."""
    r, c, lug = m.body / 2, m.circle / 2, m.lug
    if c + lug <= r:
        return _plain(m)
    foot = math.asin(min(lug / r, 1.0))
    if foot >= math.pi / m.holes:
        return [Arc((0.0, 0.0), c + lug)]
    marks: list[Mark] = []
    root = math.sqrt(r * r - lug * lug)
    for a in _angles(m):
        u, v = (math.cos(a), math.sin(a)), (-math.sin(a), math.cos(a))
        for side in (1, -1):
            points = tuple((d * u[0] + side * lug * v[0], d * u[1] + side * lug * v[1]) for d in (root, max(c, root)))
            if abs(points[1][0]) > m.neck or (points[1][1] < 0 and m.bottom <= r):  # not where neck or boss stand over it
                marks.append(Stroke(points))
        d = math.degrees(a)
        marks.append(Arc((c * u[0], c * u[1]), lug, "outline", d - 90, d + 90))
        marks += _between(m, d + math.degrees(foot), d + 360 / m.holes - math.degrees(foot))
    return marks


def _between(m: Measures, start: float, end: float) -> list[Mark]:
    """The ring between two lugs, less what the neck or the lower boss cover."""
    r, middle = m.body / 2, (start + end) / 2 % 360
    up, down = _gaps(m, r)
    for at, half in ((90, up), (270, down)):
        if half and abs(middle - at) < 1:
            reach_out = (end - start) / 2
            if half >= reach_out:
                return []
            return [
                Arc((0.0, 0.0), r, "outline", middle - reach_out, at - half),
                Arc((0.0, 0.0), r, "outline", at + half, middle + reach_out),
            ]
    return [Arc((0.0, 0.0), r, "outline", start, end)]


def _bolting(m: Measures) -> list[Mark]:
    if not m.circle:
        return []
    marks: list[Mark] = [Arc((0.0, 0.0), m.circle / 2, "centre")]
    for a in _angles(m) if m.pairs else []:
        at = (m.circle / 2 * math.cos(a), m.circle / 2 * math.sin(a))
        if m.style == "lugged":  # thread: root thick, crest three quarters of a thin circle (ISO 6410-1)
            marks += [Arc(at, 0.36 * m.hole), Arc(at, 0.43 * m.hole, "thin", 100, 10 + 360)]
        elif m.style == "wafer":
            marks.append(Arc(at, 0.43 * m.hole, "thin"))
        else:
            marks.append(Arc(at, m.hole / 2))
        out = m.hole / 2 + 1
        u = (math.cos(a), math.sin(a))
        marks.append(Stroke(tuple((at[0] + d * u[0], at[1] + d * u[1]) for d in (-out, out)), "centre"))
    return marks


def _bore(m: Measures) -> list[Mark]:
    """The closed disc inside the liner, its hub, and the hidden shaft."""
    r, hub, s = m.bore / 2, min(m.hub, 0.6 * m.bore / 2), m.shaft / 2
    end = math.sqrt(r * r - hub * hub)
    marks: list[Mark] = [Arc((0.0, 0.0), r)]
    for side in (1, -1):
        marks.append(Stroke(((side * hub, -end), (side * hub, end))))
        marks.append(Stroke(((side * s, -max(m.bottom, m.body / 2) + 0.4 * m.shaft), (side * s, m.top)), "hidden"))
    return marks


def _neck(m: Measures) -> list[Mark]:
    r = _outer(m)
    neck = min(m.neck, m.plate)
    sole = max(m.top - max(0.5 * m.shaft, 0.06 * m.top), m.body / 2)
    foot = math.sqrt(max(r * r - neck * neck, 0.0))
    marks: list[Mark] = [rectangle(-m.plate, sole, m.plate, m.top)]
    marks += [Stroke(((side * neck, foot), (side * neck, sole))) for side in (1, -1) if sole > foot]
    if m.bottom > r:
        foot = -math.sqrt(max(r * r - m.neck**2, 0.0))
        marks.append(Stroke(((-m.neck, foot), (-m.neck, -m.bottom), (m.neck, -m.bottom), (m.neck, foot))))
    if not m.operator:
        q, drive = m.square / 2, m.top + 1.1 * m.square
        marks += [rectangle(-q, m.top, q, drive), Stroke(((-q, m.top), (q, drive)), "thin"), Stroke(((q, m.top), (-q, drive)), "thin")]
    return marks


def _lifting(m: Measures, kind: str) -> list[Mark]:
    """The lifting eye or hole at the neck, where the maker's data name one."""
    word = kind.strip().lower()
    if word not in ("eye", "hole"):
        return []
    foot = max(_outer(m), (m.circle + m.hole) / 2 if m.style != "wafer" else 0.0)
    neck, r = min(m.neck, m.plate), max(min(0.35 * m.shaft, 0.11 * (m.top - foot)), 0.8)
    at = (-neck - 1.2 * r, foot + 0.45 * (m.top - foot))
    ear: list[Mark] = [Arc(at, r)]
    if word == "eye":
        ear += [Arc(at, 2 * r, "outline", 60, 300)]
    else:
        ear += [
            Stroke(((-neck, at[1] + 2 * r), (at[0] - 1.6 * r, at[1] + 2 * r), (at[0] - 1.6 * r, at[1] - 2 * r), (-neck, at[1] - 2 * r)))
        ]
    return ear if m.disc < SMALL else [*ear, *leader((at[0] - r, at[1]), (at[0] - r - 4, at[1] + 2), "5")]


def _axes(m: Measures) -> list[Mark]:
    r = m.outer
    return [
        Stroke(((-r - 3, 0.0), (r + 3, 0.0)), "centre"),
        Stroke(((0.0, -max(m.bottom, r) - 3), (0.0, m.top + m.crest + 3)), "centre"),
    ]


def _plane(m: Measures) -> list[Mark]:
    """The cutting plane: thick ends, arrows the way it is looked at, letters."""
    low, high = -max(m.foot, m.outer) - 3, m.top + m.crest + 3
    marks: list[Mark] = []
    for y, way in ((high, 1), (low, -1)):
        marks += [Stroke(((0.0, y), (0.0, y + way * 4)), "plane"), Stroke(((0.0, y + way * 3), (-6.0, y + way * 3)), "thin")]
        marks += [arrow((0.0, y + way * 3), 0.0), Text((-8.5, y + way * 3 - 1.7), "A", 3.5, "middle")]
    return marks


def _dimensions(m: Measures) -> list[Mark]:
    held = m.held
    marks: list[Mark] = []
    left, _right = extent(m)
    at, r = left - STEP, m.outer
    if "centre_to_bottom" in held:
        marks.append(Dimension((-m.neck, -m.bottom), (-r - 3, 0.0), (at, 0.0), figure(held["centre_to_bottom"]), 90.0, first=True))
    if "centre_to_top" in held:
        marks.append(Dimension((-r - 3, 0.0), (-m.plate, m.top), (at, 0.0), figure(held["centre_to_top"]), 90.0))
    if "operator_height" in held and m.operator:
        marks.append(Dimension((-m.plate, m.top), (crown(m), m.top + m.high), (at, 0.0), figure(held["operator_height"]), 90.0))
    return [*marks, *_across(m), *_holes(m)]


def _across(m: Measures) -> list[Mark]:
    held = m.held
    marks: list[Mark] = []
    low = -max(m.foot, m.outer) - 12.5
    for name in ("body_outside", "flange_outside"):
        if name in held and not (name == "body_outside" and m.style == "double_flanged"):  # there the flange hides it
            half = m.true(name) / 2
            marks.append(Dimension((-half, 0.0), (half, 0.0), (0.0, low), f"⌀{figure(held[name])}"))
            low -= STEP
    if "operator_length" in held and m.operator not in ("", "gear"):
        left, right = reach(m)
        start = 0.0 if m.operator == "lever" else left
        marks.append(
            Dimension(
                (start, m.top + m.high * 0.5), (right, m.top + m.high * 0.5), (0.0, m.top + m.crest + 9), figure(held["operator_length"])
            )
        )
    return marks


def _holes(m: Measures) -> list[Mark]:
    """One note at a hole says number, hole and bolt circle."""
    held = m.held
    if "bolt_circle" not in held:
        return []
    told, under = f"⌀{figure(held['bolt_circle'])}", ""
    a = min(_angles(m), key=lambda x: abs(math.cos(x - math.radians(-55)) - 1)) if m.pairs else math.radians(-55)
    tip = (m.circle / 2 * math.cos(a), m.circle / 2 * math.sin(a))
    if m.pairs:
        told, under = f"{m.holes} × " + ("tapped" if m.style == "lugged" else f"⌀{figure(held['hole_diameter'])}"), f"on {told}"
        tip = (tip[0] + m.hole / 2 * math.cos(a), tip[1] + m.hole / 2 * math.sin(a))
    out = m.outer
    return leader(tip, (max(out * 0.72 + 3, tip[0] + 1), -out - 2.5), told, under=under, figure=True)
