"""Section A-A through the shaft and the pipe axis: disc closed, and the circle that its edge sweeps when it opens."""

import math

from softseat.papers.drawing_lettering import figure, text_width
from softseat.papers.drawing_marks import Arc, Dimension, Hatch, Mark, Point, Stroke, Text
from softseat.papers.drawing_measures import Measures
from softseat.papers.drawing_operator import depth, side_outline
from softseat.papers.drawing_shapes import leader, mirrored, rectangle

STUB = 0.16  # pipe shown beyond the flange, over the disc diameter
STEP = 6.5  # between dimension lines [mm]


def half_width(m: Measures) -> float:
    """Half of what the section needs along the pipe [mm on paper]."""
    return max(_pipe_end(m), m.swing / 2 + 2, m.plate, depth(m))


def right_side(m: Measures) -> float:
    """How far figures and words reach to the right of the shaft axis [mm on paper]."""
    words = [mark for mark in _leaders(m) if isinstance(mark, Text)]
    return max([half_width(m) + 2 * STEP + 2, *(mark.at[0] + text_width(mark.text) + 1 for mark in words)])


def section(m: Measures) -> list[Mark]:
    """The marks of the section, the valve's centre at (0, 0), the pipe horizontal, the operator above."""
    return [*_body(m), *_liner(m), *_disc(m), *_shaft(m), *_flanges(m), *_swing(m), *side_outline(m), *_axes(m), *_dimensions(m)]


def _pipe_end(m: Measures) -> float:
    return m.length / 2 + (m.flange_thickness if m.flange else 0.0) + STUB * m.disc


def _both(points: tuple[Point, ...], angle: float, pitch: float) -> list[Mark]:
    """One cut face at each side of the shaft."""
    other = mirrored(points)
    return [Hatch(points, angle, pitch), Stroke(points, closed=True), Hatch(other, angle, pitch), Stroke(other, closed=True)]


def _upper(m: Measures) -> tuple[Point, ...]:
    """Right half of the upper body, from the bore to the top flange."""
    x, inner, outer = m.length / 2 - m.lip, m.bore / 2 + m.liner, m.body / 2
    plate, neck = m.plate, min(m.neck, m.plate)
    sole = max(m.top - max(0.5 * m.shaft, 0.06 * m.top), outer)
    ring: tuple[Point, ...] = ((x, outer), (neck, outer))
    if m.style == "double_flanged" and m.flange:
        t, r = min(m.flange_thickness, 0.4 * m.length), m.flange / 2
        ring = ((x, r), (x - t, r), (x - t, outer), (neck, outer))
    return ((m.bush, inner), (x, inner), *ring, (neck, sole), (plate, sole), (plate, m.top), (m.bush, m.top))


def _lower(m: Measures) -> tuple[Point, ...]:
    """The lower body with the blind end of the shaft, both sides in one: the wall below the bearing has no seam."""
    x, inner, outer, end = m.length / 2 - m.lip, m.bore / 2 + m.liner, m.body / 2, max(m.bottom, m.body / 2)
    ring: tuple[Point, ...] = ((x, -outer),)
    if m.style == "double_flanged" and m.flange:
        t, r = min(m.flange_thickness, 0.4 * m.length), m.flange / 2
        ring = ((x, -r), (x - t, -r), (x - t, -outer))
    boss: tuple[Point, ...] = ((m.neck, -outer), (m.neck, -end)) if end > outer else ()
    right = ((m.bush, -_blind(m)), (m.bush, -inner), (x, -inner), *ring, *boss)
    return (*right, *mirrored(right)[::-1])


def _blind(m: Measures) -> float:
    """Where the lower bearing ends: the wall below it is a proportion."""
    end = max(m.bottom, m.body / 2)
    return end - min(0.3 * m.shaft, 0.3 * (end - m.bore / 2 - m.liner))


def _body(m: Measures) -> list[Mark]:
    lower = _lower(m)
    return [*_both(_upper(m), 45, 2.0), Hatch(lower, 45, 2.0), Stroke(lower, closed=True)]


def _liner(m: Measures) -> list[Mark]:
    """The liner with its folds over the faces; black where it is thin on paper."""
    half, inner, outer, top, lip = m.length / 2, m.bore / 2, m.bore / 2 + m.liner, m.lip_top, m.lip
    points = ((m.shaft / 2, inner), (half, inner), (half, top), (half - lip, top), (half - lip, outer), (m.shaft / 2, outer))
    lower = tuple((x, -y) for x, y in points)
    pitch = 0.0 if m.liner < 3.0 else 1.0
    return [*_both(points, -45, pitch), *_both(lower, -45, pitch)]


def _disc(m: Measures) -> list[Mark]:
    """The closed disc, cut along its hub; the shaft is not cut lengthwise (ISO 128-50)."""
    r, s, hub = m.disc / 2, m.shaft / 2, m.hub
    if hub <= s * 1.01:
        return [rectangle(-hub, -r, hub, r)]
    dome = min(0.25 * (hub - s), 0.05 * r)
    return _both(((s, -r), (hub - dome, -r), (hub, -r + dome), (hub, r - dome), (hub - dome, r), (s, r)), -45, 2.0)


def _shaft(m: Measures) -> list[Mark]:
    s, q, end = m.shaft / 2, m.square / 2, -_blind(m) + 0.15 * m.shaft
    drive = m.top + 1.1 * m.square
    pen = "hidden" if m.operator else "outline"
    square: list[Mark] = [Stroke(((-q, m.top), (-q, drive), (q, drive), (q, m.top)), pen)]
    if not m.operator:  # thin diagonals: flat faces
        square += [Stroke(((-q, m.top), (q, drive)), "thin"), Stroke(((q, m.top), (-q, drive)), "thin")]
    low = m.body / 2 + 0.55 * (m.top - m.body / 2)
    near, far, high = m.bush - 0.22 * s, m.bush + 0.48 * s, low + 0.22 * m.shaft
    collar: list[Mark] = [Hatch(((side * near, low), (side * far, low), (side * far, high), (side * near, high))) for side in (1, -1)]
    return [rectangle(-s, end, s, m.top), *square, *collar]


def _flanges(m: Measures) -> list[Mark]:
    """The pipe's flanges and bore, and through bolts of a wafer body: parts that are not ours, in thin double-dotted lines."""
    marks: list[Mark] = []
    face, out = m.length / 2, _pipe_end(m)
    back = face + m.flange_thickness
    for side in (1, -1):
        for way in (1, -1):
            inside = (m.pipe or m.bore) / 2
            if m.flange:
                corners = ((face, inside), (face, m.flange / 2), (back, m.flange / 2), (back, inside))
                marks.append(Stroke(tuple((side * x, way * y) for x, y in corners), "other"))
            if m.pipe:
                marks.append(Stroke(((side * face, way * inside), (side * out, way * inside)), "other"))
    return [*marks, *_bolts(m, back)]


def _bolts(m: Measures, back: float) -> list[Mark]:
    """The first bolts beside the shaft as they stand behind the plane: through bolts, tapped lugs or flange holes."""
    if not m.pairs:
        return []
    y, r, x = m.circle / 2 * math.cos(math.pi / m.holes), m.hole / 2, m.length / 2 - m.lip
    aside = m.circle / 2 * math.sin(math.pi / m.holes) - r < m.neck  # then the neck hides its middle
    gap = m.neck if aside else 0.0
    marks: list[Mark] = []
    for way in (1, -1):
        marks.append(Stroke(((-back - 2, way * y), (back + 2, way * y)), "centre"))
        if m.style == "wafer":
            hides = gap if way > 0 or m.bottom > y else 0.0
            for edge in (y - 0.42 * m.hole, y + 0.42 * m.hole):
                for side in (1, -1):
                    marks.append(Stroke(((side * hides, way * edge), (side * (back + 0.9 * m.hole), way * edge)), "other"))
            nut = 0.8 * m.hole
            marks += [rectangle(side * back, way * (y - nut), side * (back + 0.8 * m.hole), way * (y + nut), "other") for side in (1, -1)]
        elif m.style == "lugged":
            marks += _lug(m, way, x, y)
    return marks


def _lug(m: Measures, way: int, x: float, y: float) -> list[Mark]:
    """A tapped lug behind the plane, its thread hidden."""
    marks: list[Mark] = []
    hides = m.neck if way > 0 or m.bottom > y + m.hole else 0.0
    top = y + m.lug
    for side in (1, -1):
        marks.append(Stroke(((side * hides, way * top), (side * x, way * top), (side * x, way * min(m.body / 2, top)))))
        marks += [Stroke(((side * hides, way * e), (side * x, way * e)), "hidden") for e in (y - 0.42 * m.hole, y + 0.42 * m.hole)]
    return marks


def _swing(m: Measures) -> list[Mark]:
    return [Arc((0.0, 0.0), m.swing / 2, "other")]


def _axes(m: Measures) -> list[Mark]:
    out = half_width(m) + 3
    return [
        Stroke(((-out, 0.0), (out, 0.0)), "centre"),
        Stroke(((0.0, -max(m.bottom, m.body / 2) - 3), (0.0, m.top + m.crest + 3)), "centre"),
    ]


def _dimensions(m: Measures) -> list[Mark]:
    held, face, edge = m.held, m.length / 2, half_width(m)
    marks: list[Mark] = []
    low = -m.foot

    def upright(name: str, half: float, x: float, at: float) -> None:
        said = f"⌀{figure(held[name])}"
        if 2 * half > text_width(said) + 1:  # where it is too small for its figure, the table says it
            marks.append(Dimension((x, -half), (x, half), (at, 0.0), said, 90.0))

    if "face_to_face" in held:
        marks.append(Dimension((-face, -m.lip_top), (face, -m.lip_top), (0.0, low - STEP), figure(held["face_to_face"])))
    if "bore" in held and m.true("bore") < m.bore + 1e-6:
        upright("bore", m.bore / 2, -face, -edge - STEP)
    if "disc_swing" in held and "face_to_face" in held:
        upright("disc_swing", m.true("disc_swing") / 2, face, edge + STEP)
    if "pipe_bore" in held:
        upright("pipe_bore", m.pipe / 2, _pipe_end(m), edge + 2 * STEP)
    if (
        "flange_thickness" in held and m.flange and m.flange_thickness > 4 and m.top - m.flange / 2 > 16
    ):  # smaller ones stand in the table only
        y = m.flange / 2
        marks.append(Dimension((face, y), (face + m.flange_thickness, y), (face, y + 4.5), figure(held["flange_thickness"])))
    return [*marks, *_leaders(m), *_numbers(m)]


def _leaders(m: Measures) -> list[Mark]:
    held = m.held
    marks: list[Mark] = []
    right = max(m.plate, m.length / 2 + m.flange_thickness) + 3
    outer = max(m.over, m.flange) / 2
    if "disc_diameter" in held:
        a = math.radians(-45)
        tip = (m.swing / 2 * math.cos(a), m.swing / 2 * math.sin(a))
        marks += leader(
            tip, (max(0.6 * half_width(m), tip[0]) + 2, -max(m.flange, m.over) / 2 - 3), f"⌀{figure(held['disc_diameter'])}", figure=True
        )
    if "shaft_diameter" in held:
        y = outer + 0.62 * (m.top - outer)
        marks += leader((m.shaft / 2, y), (right, y + 1.5), f"shaft ⌀{figure(held['shaft_diameter'])}", figure=True)
    if "square" in held:
        y = m.top + 0.7 * m.square
        marks += leader((m.square / 2, y), (max(right, depth(m) + 2), m.top + 4), f"□{figure(held['square'])}", figure=True)
    if "operator_length" in held and m.operator == "gear":
        a = math.radians(50)
        tip = (m.wheel / 2 * math.cos(a), m.top + 0.45 * m.high + m.wheel / 2 * math.sin(a))
        marks += leader(tip, (max(tip[0] + 3, m.wheel / 2), tip[1] + 2), f"⌀{figure(held['operator_length'])}", figure=True)
    return marks


def _numbers(m: Measures) -> list[Mark]:
    """Numbers of the parts list, where the view is large enough for them."""
    if m.disc < 30:
        return []
    s, inside = m.shaft / 2, -0.26 * m.disc
    tips = (
        ((-(m.bush + m.neck) / 2, m.top * 0.86), (-m.plate - 4, m.top - 1), "1"),
        ((-m.length / 2 + m.lip / 2, -(m.bore + m.liner) / 2), (-m.length / 2 - 8, -(m.bore + m.liner) / 2 - m.flange / 6), "2"),
        ((-(s + m.hub) / 2, -0.2 * m.disc), (inside, -0.14 * m.disc), "3"),
        ((0.0, 0.16 * m.disc), (inside, 0.22 * m.disc), "4"),
    )
    return [mark for tip, knee, text in tips for mark in leader(tip, knee, text, dot=True)]
