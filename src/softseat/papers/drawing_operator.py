"""Envelopes of the operator above the top flange: outlines of our own that fill the height and length held."""

from softseat.papers.drawing_marks import Arc, Mark, Stroke
from softseat.papers.drawing_measures import Measures
from softseat.papers.drawing_shapes import rectangle


def _box(m: Measures) -> float:
    """Half length of a gear box: a proportion."""
    return max(0.8 * m.high, 1.1 * m.plate)


def reach(m: Measures) -> tuple[float, float]:
    """How far the operator goes to the left and right of the shaft axis in the face view [mm on paper]."""
    if m.operator == "lever":
        return -m.plate, m.long
    if m.operator == "gear":  # the wheel stands clear of the box, and of the flange where it hangs beside it
        beside = m.top + 0.45 * m.high - m.wheel / 2 < m.outer
        return -max(_box(m) + 0.4 * m.wheel, m.outer + 0.14 * m.wheel if beside else 0.0), _box(m)
    left = {"cylinder": 0.5, "electric": 0.42}.get(m.operator, 0.0)
    return -left * m.long, (1 - left) * m.long


def depth(m: Measures) -> float:
    """Half width of the operator along the pipe [mm on paper]."""
    half = {"lever": m.plate, "gear": max(0.8 * _box(m), m.wheel / 2), "cylinder": 0.36 * m.high, "electric": 0.26 * m.long}
    return half.get(m.operator, 0.0)


def crown(m: Measures) -> float:
    """Left end of the operator's highest edge in the face view [mm on paper]."""
    ends = {"lever": -0.55 * m.plate, "gear": -0.4 * _box(m), "cylinder": -0.06 * m.long, "electric": 0.12 * m.high - 0.24 * m.long}
    return ends.get(m.operator, 0.0)


def face_outline(m: Measures) -> list[Mark]:
    """The operator as seen along the pipe, the valve closed."""
    draw = {"lever": _lever, "gear": _gear, "cylinder": _cylinder, "electric": _electric}.get(m.operator)
    return draw(m) if draw else []


def side_outline(m: Measures) -> list[Mark]:
    """The operator as seen across the pipe."""
    draw = {"lever": _lever_end, "gear": _gear_end, "cylinder": _cylinder_end, "electric": _electric_end}.get(m.operator)
    return draw(m) if draw else []


def _lever(m: Measures) -> list[Mark]:
    y, h, right = m.top, m.high, m.long
    arm, half, hub = y + 0.72 * h, 0.1 * h, 0.55 * m.plate
    grip = max(0.72 * right, hub)
    return [
        rectangle(-m.plate, y, m.plate, y + 0.12 * h),  # notched plate
        rectangle(-hub, y + 0.12 * h, hub, y + h),
        Stroke(((hub, arm - half), (grip, arm - half))),
        Stroke(((hub, arm + half), (grip, arm + half))),
        Stroke(
            (
                (grip, arm - 1.7 * half),
                (right - half, arm - 1.7 * half),
                (right, arm),
                (right - half, arm + 1.7 * half),
                (grip, arm + 1.7 * half),
            ),
            closed=True,
        ),
        Stroke(((hub * 0.6, y + 0.12 * h), (hub * 0.6, y + 0.5 * h), (hub * 1.6, y + 0.5 * h), (hub * 1.6, y + 0.12 * h)), "thin"),  # latch
    ]


def _lever_end(m: Measures) -> list[Mark]:
    y, h, hub = m.top, m.high, 0.55 * m.plate
    return [
        rectangle(-m.plate, y, m.plate, y + 0.12 * h),
        rectangle(-hub, y + 0.12 * h, hub, y + h),
    ]


def _gear(m: Measures) -> list[Mark]:
    """A box with its input shaft across the pipe and the hand wheel seen edge-on."""
    y, h, box = m.top, m.high, _box(m)
    left, _right = reach(m)
    rim, axis, r = 0.09 * m.wheel, y + 0.45 * h, m.wheel / 2
    return [
        rectangle(-box, y, box, y + 0.85 * h),
        rectangle(-0.4 * box, y + 0.85 * h, 0.4 * box, y + h),  # position indicator
        Stroke(((-box, axis - 0.06 * h), (left + rim, axis - 0.06 * h))),
        Stroke(((-box, axis + 0.06 * h), (left + rim, axis + 0.06 * h))),
        rectangle(left, axis - r, left + rim, axis + r),
        Stroke(((left - 1.5, axis), (box + 1.5, axis)), "centre"),
    ]


def _gear_end(m: Measures) -> list[Mark]:
    """The wheel stands before the cutting plane: an outline in thin double-dotted lines."""
    y, h, half = m.top, m.high, 0.8 * _box(m)
    axis = (0.0, y + 0.45 * h)
    return [
        rectangle(-half, y, half, y + 0.85 * h),
        rectangle(-0.4 * half, y + 0.85 * h, 0.4 * half, y + h),
        Arc(axis, 0.12 * h, "thin"),
        Arc(axis, m.wheel / 2, "other"),
    ]


def _cylinder(m: Measures) -> list[Mark]:
    y, h = m.top, m.high
    left, right = reach(m)
    low, high, cap = y + 0.2 * h, y + 0.92 * h, 0.07 * m.long
    middle = (low + high) / 2
    return [
        rectangle(-m.plate * 0.9, y, m.plate * 0.9, low),  # bracket
        rectangle(left + cap, low, right - cap, high),
        rectangle(left, low - 0.03 * h, left + cap, high),
        rectangle(right - cap, low - 0.03 * h, right, high),
        rectangle(-0.06 * m.long, high, 0.06 * m.long, y + h),  # position indicator
        Stroke(((left - 1.5, middle), (right + 1.5, middle)), "centre"),
        Arc((-0.04 * m.long, low + 0.2 * h), 0.022 * m.long, "thin"),  # air connections
        Arc((0.04 * m.long, low + 0.2 * h), 0.022 * m.long, "thin"),
    ]


def _cylinder_end(m: Measures) -> list[Mark]:
    y, h = m.top, m.high
    low, high, half = y + 0.2 * h, y + 0.92 * h, 0.36 * m.high
    return [
        rectangle(-m.plate * 0.9, y, m.plate * 0.9, low),
        rectangle(-half, low, half, high),
        Arc((0.0, (low + high) / 2), 0.3 * h, "thin"),
        rectangle(-0.1 * h, high, 0.1 * h, y + h),
        Stroke(((-half - 1.5, (low + high) / 2), (half + 1.5, (low + high) / 2)), "centre"),
    ]


def _electric(m: Measures) -> list[Mark]:
    """A gear box on a bracket with a cover for the switches, a motor at one side and the hand wheel at the other."""
    y, h = m.top, m.high
    left, right = reach(m)
    box = 0.24 * m.long
    low, seam, middle, corner = y + 0.15 * h, y + 0.66 * h, y + 0.42 * h, 0.12 * h
    cover = ((-box, seam), (-box, y + h - corner), (corner - box, y + h), (box - corner, y + h), (box, y + h - corner), (box, seam))
    motor = ((box, 0.2), (right - corner, 0.2), (right, 0.1), (right, -0.1), (right - corner, -0.2), (box, -0.2))
    return [
        rectangle(-m.plate * 0.9, y, m.plate * 0.9, low),
        rectangle(-box, low, box, seam),
        Stroke(cover),
        Stroke(tuple((x, middle + part * h) for x, part in motor)),
        rectangle(left + 0.04 * m.long, middle - 0.04 * h, -box, middle + 0.04 * h),
        rectangle(left, middle - 0.24 * h, left + 0.04 * m.long, middle + 0.24 * h),
        rectangle(-0.5 * box, y + 0.74 * h, 0.5 * box, y + 0.92 * h, "thin"),  # window of the position indicator
        Stroke(((left - 1.5, middle), (right + 1.5, middle)), "centre"),
    ]


def _electric_end(m: Measures) -> list[Mark]:
    y, h, half = m.top, m.high, 0.2 * m.long
    return [
        rectangle(-m.plate * 0.9, y, m.plate * 0.9, y + 0.15 * h),
        rectangle(-half, y + 0.15 * h, half, y + 0.66 * h),
        rectangle(-half, y + 0.66 * h, half, y + h),
        Arc((0.0, y + 0.42 * h), 0.24 * h, "outline"),
        Arc((0.0, y + 0.42 * h), 0.05 * h, "thin"),
    ]
