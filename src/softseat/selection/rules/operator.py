"""What turns the disc. (R110-R122)"""

import numpy as np

from softseat.register import rule

ELECTRIC = ("electric_onoff", "electric_modulating")
POWERED = ("pneumatic_da", "pneumatic_sr", *ELECTRIC)


@rule("R110", worst="low", parts=("operator",), partial=True)
def lever_too_weak(
    operator: np.ndarray, torque_required: np.ndarray, lever_length: np.ndarray, lever_nm_asked: np.ndarray, *, hand_force_limit: float
) -> np.ndarray:
    """{torque_required} on a lever of {lever_length}: more than the permitted hand force gives."""
    return (operator == "lever") & ((torque_required > hand_force_limit * lever_length) | (torque_required > lever_nm_asked))


@rule("R184", worst="best", parts=("operator",), partial=True)
def lever_heavy_at_worst(
    operator: np.ndarray, torque_required: np.ndarray, lever_length: np.ndarray, *, hand_force_limit: float
) -> np.ndarray:
    """{torque_required} by the best value of the torque, above the permitted pull on a lever of {lever_length}: a test decides."""
    return (operator == "lever") & (torque_required > hand_force_limit * lever_length)


@rule("R111", worst="high", partial=True)
def hand_force_too_high(hand_force: np.ndarray, *, hand_force_limit: float) -> np.ndarray:
    """{hand_force} on lever or rim."""
    return hand_force > hand_force_limit


@rule("R112", parts=("operator",), partial=True)
def lever_on_liquid(operator: np.ndarray, dn: np.ndarray, is_liquid: np.ndarray, *, lever_liquid_dn: float) -> np.ndarray:
    """A lever on a liquid line of DN{dn}: fast closing by hand gives surge."""
    return (operator == "lever") & is_liquid & (dn > lever_liquid_dn)


@rule("R113", partial=True)
def dry(is_dry: np.ndarray) -> np.ndarray:
    """Dry gas or powder: no lubrication, the break torque is raised."""
    return is_dry


@rule("R114", partial=True)
def seldom_moved(cycles: np.ndarray, *, idle_per_year: float) -> np.ndarray:
    """Moved {cycles}: the rubber takes a set and sticks, the break torque is raised."""
    return cycles <= idle_per_year


@rule("R115", partial=True)
def aged_liner(aged_factor_in_torque: np.ndarray) -> np.ndarray:
    """Hardening of the liner with age is in the torque: {aged_factor_in_torque}."""
    return aged_factor_in_torque == "no"


@rule("R116", parts=("operator",), partial=True)
def operator_at_lowest_air(
    operator: np.ndarray, operator_torque_at_air_min: np.ndarray, torque_required: np.ndarray, *, operator_margin_low: float
) -> np.ndarray:
    """At its lowest supply the operator gives {operator_torque_at_air_min} against {torque_required} required, with too little margin."""
    return np.isin(operator, POWERED) & (operator_torque_at_air_min < operator_margin_low * torque_required)


@rule("R117", partial=True)
def operator_stronger_than_shaft(operator_torque_max: np.ndarray, shaft_limit: np.ndarray) -> np.ndarray:
    """The operator's highest output {operator_torque_max} is above what the shaft bears, {shaft_limit}."""
    return operator_torque_max > shaft_limit


@rule("R118", partial=True)
def top_flange_limit(torque_required: np.ndarray, top_flange_torque: np.ndarray) -> np.ndarray:
    """{torque_required} is above the limit of the top flange, {top_flange_torque}."""
    return torque_required > top_flange_torque


@rule("R119", parts=("operator",), partial=True)
def seats_on_torque(operator: np.ndarray, torque_seating: np.ndarray) -> np.ndarray:
    """The electric operator is set to close on torque: this valve is position-seated."""
    return np.isin(operator, ELECTRIC) & torque_seating


@rule("R120", parts=("operator",), partial=True)
def duty_class(operator: np.ndarray, duty: np.ndarray, cycles: np.ndarray, throttles: np.ndarray, *, starts: float) -> np.ndarray:
    """An on-off electric operator on {cycles}, or on modulating duty: motor and worm wear out."""
    modulates = np.isin(duty, ("control",)) | throttles
    return (operator == "electric_onoff") & (modulates | (cycles > starts * 8760.0))


@rule("R121", parts=("operator",), partial=True)
def gear_wears(operator: np.ndarray, cycles: np.ndarray, *, gear_cycles: float) -> np.ndarray:
    """A worm gear on {cycles}: the bronze wheel wears."""
    return (operator == "gear") & (cycles > gear_cycles)


@rule("R122", parts=("operator",), partial=True)
def often_by_lever(operator: np.ndarray, dn: np.ndarray, cycles: np.ndarray, *, often_lever: float, often_dn: float) -> np.ndarray:
    """Moved {cycles} by a lever: a gear can be chosen for ease."""
    return (operator == "lever") & (cycles >= often_lever) & (dn < often_dn)
