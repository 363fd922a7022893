"""Between those flanges. (R140-R151)"""

import numpy as np

from softseat.register import rule

ATMOSPHERE = 101325.0


@rule("R140", parts=("body_style",), partial=True)
def wafer_at_the_end(body_style: np.ndarray, removable_side: np.ndarray, open_end: np.ndarray, one_side_removed: np.ndarray) -> np.ndarray:
    """A wafer body where one side is open or taken off: nothing holds the valve."""
    return (body_style == "wafer") & ((removable_side == "yes") | open_end | one_side_removed)


@rule("R141", parts=("body_style",), partial=True)
def dead_end_pressure_unstated(
    body_style: np.ndarray, removable_side: np.ndarray, open_end: np.ndarray, one_side_removed: np.ndarray,
    dead_end_pressure: np.ndarray, p_highest: np.ndarray,
) -> np.ndarray:  # fmt: skip
    """Lugged, and one side is open or taken off: only so far as the one-sided rating ({dead_end_pressure}) covers the pressure then."""
    enough = p_highest <= dead_end_pressure + ATMOSPHERE + 1.0
    return (body_style == "lugged") & ((removable_side == "yes") | open_end | one_side_removed) & ~enough


@rule("R189", parts=("body_style",), partial=True)
def above_the_dead_end_rating(
    body_style: np.ndarray, open_end: np.ndarray, dead_end_pressure: np.ndarray, p_highest: np.ndarray
) -> np.ndarray:
    """One side is open: {p_highest} is above the one-sided rating of this body, {dead_end_pressure}."""
    return (body_style != "wafer") & open_end & (p_highest > dead_end_pressure + ATMOSPHERE + 1.0)


@rule("R142", parts=("body_style",), partial=True)
def lug_thread(body_style: np.ndarray, thread_depth: np.ndarray, bolt_diameter: np.ndarray, *, thread_min: float) -> np.ndarray:
    """Lug thread of {thread_depth} for a bolt of {bolt_diameter}: at least one diameter is wanted."""
    unknown = np.isnan(thread_depth) & ~np.isnan(bolt_diameter)
    return (body_style == "lugged") & ((thread_depth < thread_min * bolt_diameter) | unknown)


@rule("R143", worst="low", partial=True)
def disc_strikes(bore_gap: np.ndarray, pipe_bore_known: np.ndarray, *, clearance: float) -> np.ndarray:
    """The opening disc clears the pipe by {bore_gap} a side: it strikes or nearly does."""
    return (bore_gap < clearance) & pipe_bore_known


@rule("R220", worst="low", partial=True)
def disc_would_strike(bore_gap: np.ndarray, pipe_bore_known: np.ndarray) -> np.ndarray:
    """The pipe is not named: in the narrowest that is usual in this service the opening disc would strike ({bore_gap} a side)."""
    return (bore_gap < 0) & ~pipe_bore_known


@rule("R183", partial=True)
def ring_offered(spacer: np.ndarray) -> np.ndarray:
    """With a ring of {spacer} on each side, or a chamfer as deep in the pipe end: else the opening disc strikes the pipe."""
    return spacer > 0


@rule("R144", partial=True)
def slip_on_flange(flange_type: np.ndarray) -> np.ndarray:
    """Slip-on flanges: the inner edge stands under the liner, which wants support."""
    return flange_type == "SO"


@rule("R145", partial=True)
def gasket_against_liner(gasket_asked: np.ndarray) -> np.ndarray:
    """A separate gasket is asked: the liner is the gasket."""
    return gasket_asked


@rule("R146", partial=True)
def flange_bore_too_large(flange_bore: np.ndarray, liner_seat_outside: np.ndarray) -> np.ndarray:
    """The flange bore {flange_bore} is larger than the seat of the liner face, {liner_seat_outside}."""
    return flange_bore > liner_seat_outside


@rule("R147", partial=True)
def soft_on_soft(rubber_faced_flange: np.ndarray, pipe_system: np.ndarray) -> np.ndarray:
    """A rubber-lined or soft plastic flange against the rubber liner: soft on soft."""
    return rubber_faced_flange | (pipe_system == "lined_steel")


@rule("R148", partial=True)
def wrong_face(flange_face: np.ndarray, serrated: np.ndarray) -> np.ndarray:
    """Flange faces of {flange_face} cut the liner."""
    return np.isin(flange_face, ("RTJ", "TG")) | serrated


@rule("R149", parts=("body",), partial=True)
def raised_face_on_iron(body: np.ndarray, flange_face: np.ndarray) -> np.ndarray:
    """A raised face against a flat grey-iron body: over-tight bolts break the flange."""
    return np.char.startswith(body, "GJL") & (flange_face == "RF")


@rule("R150", partial=True)
def outside_range(
    dn: np.ndarray, in_range: np.ndarray, maker_range: np.ndarray, valve_row: np.ndarray, body_style: np.ndarray, pn_valve: np.ndarray
) -> np.ndarray:  # fmt: skip
    """DN{dn} is outside what is made in this style and rating: {maker_range}."""
    not_at_rating = (valve_row < 0) & (body_style != "") & ~np.isnan(pn_valve)
    return (~in_range | not_at_rating) & ~np.isnan(dn)


@rule("R151", partial=True)
def other_length(face_to_face: np.ndarray, face_to_face_series: np.ndarray) -> np.ndarray:
    """The gap is {face_to_face}, the valve of this series is {face_to_face_series}."""
    return np.abs(face_to_face - face_to_face_series) > 2e-3
