"""What holds the valve between its flanges: lengths and numbers of studs, bolts and screws."""

from collections.abc import Callable
from dataclasses import dataclass, replace
from math import isnan

from softseat.errors import InputError
from softseat.piping.fasteners import Fastener, allowance, fastener, sold_length, sold_length_below, tightening
from softseat.register import calculation
from softseat.tables import number, read

WAFER, LUGGED, DOUBLE_FLANGED = BODY_STYLES = "wafer", "lugged", "double_flanged"


def _past_nut(f: Fastener) -> float:
    return max(allowance("protrusion_pitches") * f.pitch, allowance("protrusion_least"))


def _flange_plus(flange_thickness: float) -> float:
    thick = flange_thickness >= allowance("inch_thick_from")
    return allowance("inch_flange_plus_thick" if thick else "inch_flange_plus")


def _stud(grip: float, flange: float, f: Fastener) -> float:
    """A stud with a nut at either end over this grip: metric by its parts, inch by the rule of ASME B16.5 Annex C."""
    if f.metric:
        return grip + 2 * (f.nut + f.washer + _past_nut(f))
    return grip + 2 * (_flange_plus(flange) + f.nut + f.washer) + allowance("inch_stud_end")


def _least_engagement() -> float:
    return next(number(r["value"]) for r in read("house_limits") if r["key"] == "thread_min")


def screw_band(
    face_to_face: float, flange_thickness: float, bolt: str, washer: float | None = None, thread_depth: float | None = None
) -> tuple[float, float]:
    """Shortest and longest screw into one side of a tapped body.

    Parameters
    ----------
    face_to_face : array_like
        Clamped length of the body. [m]
    flange_thickness : array_like
        Of the line flange, raised face included. [m]
    bolt : str
        Thread.
    washer : array_like
        Thickness of the washer under the head; left out as the table has it. [m]
    thread_depth : array_like
        Depth of thread of one side where the hole does not go through; left out the hole goes through. [m]

    Returns
    -------
    shortest, longest : float
        The first catches one diameter (house limit), the second stops short of the opposed screw or the bottom; nan where a
        length is not known. [m]
    """
    f = fastener(bolt)
    under = washer if washer is not None else f.washer if f.metric else allowance("inch_screw_washer")
    through = face_to_face / 2 - allowance("opposed_gap")
    depth = through if thread_depth is None else min(through, thread_depth)
    head = flange_thickness + under
    return head + _least_engagement() * f.diameter, head + depth


def _wafer(face: float, flange: float, f: Fastener, body: float | None) -> tuple[float, float, int]:
    least = _stud(face + 2 * flange, flange, f)
    return sold_length(least, f.metric), least, 1


def _lugged(face: float, flange: float, f: Fastener, body: float | None) -> tuple[float, float, int]:
    under = f.washer if f.metric else f.washer or allowance("inch_screw_washer")
    shortest, longest = screw_band(face, flange, f.bolt, under, body)
    sold = sold_length_below(longest, f.metric)
    return (sold if sold >= shortest else float("nan")), shortest, 2


def _double_flanged(face: float, flange: float, f: Fastener, body: float | None) -> tuple[float, float, int]:
    grip = flange + (flange if body is None else body)
    least = grip + f.nut + 2 * f.washer + _past_nut(f) if f.metric else _stud(grip, flange, f)
    return sold_length(least, f.metric), least, 2


_RULES: dict[str, Callable[[float, float, Fastener, float | None], tuple[float, float, int]]] = {
    WAFER: _wafer,
    LUGGED: _lugged,
    DOUBLE_FLANGED: _double_flanged,
}


@calculation(
    "stud-length",
    source="arithmetic; inch studs in the shape of ASME B16.5 Annex C; ISO 888, ISO 4032, ISO 7089, ASME B18.2.2",
    formula="wafer: FTF + 2 flange + 2 nut + 2 washer + 2 protrusion, rounded up to a length that is sold",
    example={"body_style": "wafer", "face_to_face": "60 mm", "flange_thickness": "24 mm", "bolt": "M20"},
    each=True,
)
def stud_length(
    body_style: str,
    face_to_face: float,
    flange_thickness: float,
    bolt: str,
    nut: float | None = None,
    washer: float | None = None,
    holes: float = 1,
    body_thickness: float | None = None,
) -> tuple[float, float, float]:
    """Length and number of the studs (wafer), screws (lugged, from both sides) or bolts (double-flanged, both sides).

    Parameters
    ----------
    body_style : str
        wafer, lugged, double_flanged.
    face_to_face : array_like
        Clamped length of the body. [m]
    flange_thickness : array_like
        Of the line flange from its face to the nut, raised face included. [m]
    bolt : str
        M20, 3/4 in.
    nut, washer : array_like
        Height of nut and washer; left out as ISO 4032 and ISO 7089, or a heavy hex nut without washer for inch studs. [m]
    holes : array_like
        Holes of the flange; left out the number is that of one hole. [-]
    body_thickness : array_like
        What the bolt finds in the body. Lugged: depth of thread of one side; left out the holes go through and two screws share
        them. Double-flanged: thickness of its flange; left out that of the line flange. [m]

    Returns
    -------
    length : float
        Length that is sold; nan where a length is not known, no length is long enough, or a lugged body is too thin for its
        screws to catch one diameter each (house limit) without meeting. [m]
    number : float
        Studs, screws or bolts for these holes; nan where the holes are not known. [-]
    calculated : float
        Before rounding; for screws the shortest that catches enough thread; nan where a length is not known. [m]

    References
    ----------
    ASME B16.5, Annex C (method of stud length, from memory); ISO 888 lengths. No gasket: the liner seals.
    """
    if body_style not in _RULES:
        raise InputError(f"body_style {body_style!r} is not one of {', '.join(_RULES)}")
    f = fastener(bolt)
    own = replace(f, nut=f.nut if nut is None else nut, washer=f.washer if washer is None else washer)
    length, calculated, per_hole = _RULES[body_style](face_to_face, flange_thickness, own, body_thickness)
    return length, float(per_hole * holes), calculated


@dataclass(frozen=True, slots=True)
class BoltingLine:
    """One line of the bolting list of one valve; length nan where no standard length does it, with the reason in ``note``."""

    what: str  # stud, screw, bolt
    bolt: str
    length: float  # [m]
    number: int
    nuts: int
    washers: int
    torque_oiled: float  # [N m] at most
    torque_dry: float  # [N m] at most
    note: str


_WHAT = {WAFER: ("stud", 2, 2), LUGGED: ("screw", 0, 1), DOUBLE_FLANGED: ("bolt", 1, 2)}
_NOTE = {
    WAFER: "no gasket: the liner seals",
    LUGGED: "each side; the two screws of a hole must not meet",
    DOUBLE_FLANGED: "each side",
}


def _line(style: str, face: float, flange: float, bolt: str, holes: int, note: str, body: float | None) -> BoltingLine:
    length, count, least = stud_length(style, face, flange, bolt, None, None, holes, body)
    what, nuts, washers = _WHAT[style]
    metric = fastener(bolt).metric
    if style == DOUBLE_FLANGED and not metric:
        what, nuts = "stud", 2
    if isnan(least):
        note += "; flange thickness or face-to-face not known: length to be worked out"
    elif isnan(length):
        note += f"; no standard length does it: needs {least * 1e3:.0f} mm" + (", the body is too thin" if style == LUGGED else "")
    washered = metric or style == LUGGED
    n = int(count)
    return BoltingLine(what, bolt, length, n, n * nuts, n * washers * washered, *tightening(bolt), note)


def bolting_list(
    body_style: str,
    face_to_face: float,
    flange_thickness: float,
    bolt: str,
    holes: int,
    neck_holes: int = 0,
    thread_depth: float | None = None,
    body_flange_thickness: float | None = None,
) -> tuple[BoltingLine, ...]:
    """Lines of the bolting list of one valve.

    Parameters
    ----------
    body_style : str
        wafer, lugged, double_flanged.
    face_to_face : array_like
        Clamped length of the body. [m]
    flange_thickness : array_like
        Of the line flange, raised face included. [m]
    bolt : str
        M20, 3/4 in.
    holes : array_like
        Holes of the flange. [-]
    neck_holes : array_like
        Of these, the holes at the shaft neck and foot, where no stud goes through: tapped from both sides. [-]
    thread_depth : array_like
        Thread of one side, of tapped holes that do not go through. [m]
    body_flange_thickness : array_like
        Flange of a double-flanged body; left out as the line flange. [m]
    """
    if body_style not in _RULES:
        raise InputError(f"body_style {body_style!r} is not one of {', '.join(_RULES)}")
    neck = 0 if body_style == LUGGED else neck_holes
    body = {WAFER: None, LUGGED: thread_depth, DOUBLE_FLANGED: body_flange_thickness}[body_style]
    lines = [_line(body_style, face_to_face, flange_thickness, bolt, holes - neck, _NOTE[body_style], body)]
    if neck:
        note = "each side, into the tapped holes at the shaft neck and foot"
        lines.append(_line(LUGGED, face_to_face, flange_thickness, bolt, neck, note, thread_depth))
    return tuple(lines)
