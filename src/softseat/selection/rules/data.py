"""Can the row be read, and can it be right? (R001-R018)"""

import numpy as np

from softseat.register import rule


@rule("R001", partial=True)
def must_have_missing(missing_must: np.ndarray) -> np.ndarray:
    """Not given: {missing_must}."""
    return missing_must != ""


@rule("R002", partial=True)
def above_design(
    p1: np.ndarray, p_max: np.ndarray, p_design: np.ndarray, t_normal: np.ndarray, t_max: np.ndarray, *, design_below_operating_p: float
) -> np.ndarray:
    """Operating values lie above the highest or design values: {p1} against {p_max}, {t_normal} against {t_max}."""
    return (np.fmin(p_design, p_max) - p1 < design_below_operating_p - 1.0) | (t_max - t_normal < -0.01)


@rule("R003", partial=True)
def flow_without_unit(flow_bare: np.ndarray, flow: np.ndarray, mass_flow: np.ndarray) -> np.ndarray:
    """The flow is a bare number without a unit."""
    return flow_bare & np.isnan(flow) & np.isnan(mass_flow)


@rule("R004", partial=True)
def impossible_velocity(
    velocity_stated: np.ndarray,
    is_gas: np.ndarray,
    state: np.ndarray,
    medium_phase: np.ndarray,
    dn: np.ndarray,
    *,
    slip_velocity_liquid: float,
    slip_velocity_gas: float,
    slip_velocity_low: float,
    dosing_dn: float,
) -> np.ndarray:
    """The stated flow gives {velocity_stated} in this size: a unit or a size has slipped."""
    too_fast = velocity_stated > np.where(is_gas | (medium_phase == "powder"), slip_velocity_gas, slip_velocity_liquid)  # dust flies in air
    too_slow = (velocity_stated < slip_velocity_low) & (velocity_stated > 0) & ~np.isin(state, ("powder", "slurry"))
    return too_fast | (too_slow & ~is_gas & (dn > dosing_dn))  # a dosing line is slow, and small


@rule("R005", partial=True)
def tag_stands_twice(tag_clash: np.ndarray) -> np.ndarray:
    """The tag stands twice with different data: {tag_clash}."""
    return tag_clash != ""


@rule("R006", partial=True)
def tag_repeated(tag_repeat: np.ndarray) -> np.ndarray:
    """The tag stands twice with the same data: {tag_repeat}."""
    return tag_repeat != ""


@rule("R007", partial=True)
def bare_size(size_bare: np.ndarray) -> np.ndarray:
    """The size is a bare number: taken as shown."""
    return size_bare


@rule("R008", partial=True)
def implausible_temperature(
    t_lowest: np.ndarray, t_highest: np.ndarray, is_naturally_hot: np.ndarray, is_naturally_cold: np.ndarray,
    *, t_low_plausible: float, t_high_plausible: float,
) -> np.ndarray:  # fmt: skip
    """A temperature of {t_lowest} to {t_highest} is not plausible for a soft-lined valve."""
    # flue gas at 450 C or liquid nitrogen is no slip of the pen: R021, R022 and R170 refuse it
    cold = (np.round(t_lowest, 1) < np.round(t_low_plausible, 1)) & ~is_naturally_cold
    hot = (np.round(t_highest, 1) > np.round(t_high_plausible, 1)) & ~is_naturally_hot
    return cold | hot


@rule("R009", partial=True)
def boils(
    p1: np.ndarray, t1: np.ndarray, pv: np.ndarray, saturation: np.ndarray, state: np.ndarray, saturated: np.ndarray,
    *, saturation_tolerance_t: float, boiling_margin: float,
) -> np.ndarray:  # fmt: skip
    """At {t1} the vapour pressure is {pv} against {p1} before the valve: state, pressure and temperature do not fit."""
    boiling = (state == "liquid") & (pv >= boiling_margin * p1)
    wrong_pair = (state == "steam") & saturated & (np.abs(t1 - saturation) > saturation_tolerance_t)
    return boiling | wrong_pair


@rule("R010", parts=("operator",))
def fail_action(operator: np.ndarray, fail: np.ndarray, stored_energy: np.ndarray) -> np.ndarray:
    """Fail position "{fail}" asked of an operator that cannot give it ({operator})."""
    stays = np.isin(operator, ("pneumatic_da", "electric_onoff", "electric_modulating", "gear", "lever"))
    return stays & np.isin(fail, ("open", "close")) & ~stored_energy


@rule("R187", parts=("operator",), partial=True)
def fail_action_given_up(fail_given_up: np.ndarray, operator: np.ndarray) -> np.ndarray:
    """The fail action that was asked is given up: on loss of supply the {operator} operator stays where it is."""
    return fail_given_up > 0


@rule("R011", partial=True)
def gauge_or_absolute(
    p_kind: np.ndarray, pressure_typed: np.ndarray, liner_build_taken: np.ndarray, *, near_atmospheric_low: float
) -> np.ndarray:
    """The pressure {pressure_typed} is near the atmosphere and does not say gauge or absolute."""
    # a liner held to the body stands either reading: then the answer changes nothing
    near = (np.abs(pressure_typed) < near_atmospheric_low) & (pressure_typed > 0)
    return (p_kind == "unsaid") & near & ~np.isin(liner_build_taken, ("bonded", "backed"))


@rule("R012", partial=True)
def gas_reference(flow_kind: np.ndarray, is_gas: np.ndarray, flow: np.ndarray, flow_reference: np.ndarray) -> np.ndarray:
    """The gas flow does not say its reference state: taken at 0 C and 101.325 kPa."""
    return is_gas & (flow_kind == "volume") & ~np.isnan(flow) & (flow_reference == "")


@rule("R013", partial=True)
def shutoff_missing(shutoff_asked: np.ndarray) -> np.ndarray:
    """The shut-off difference is not given: highest pressure against zero is taken."""
    return np.isnan(shutoff_asked)


@rule("R014", partial=True)
def medium_too_loose(
    medium: np.ndarray, medium_loose: np.ndarray, medium_question: np.ndarray, is_compressed_air: np.ndarray, oil_known: np.ndarray
) -> np.ndarray:
    """ "{medium}" does not say enough: {medium_question}"""
    return (medium != "") & medium_loose & ~(is_compressed_air & oil_known)  # of air the oil is all that is asked


@rule("R015", partial=True)
def mixed_systems(rating_family: np.ndarray, system_family: np.ndarray) -> np.ndarray:
    """The rating is of the {rating_family} system, the flanges are drilled to {system_family}."""
    return (rating_family != "") & (system_family != "") & (rating_family != system_family)


@rule("R016", parts=("operator",), partial=True)
def specification_against_schedule(operator: np.ndarray, dn: np.ndarray, spec_gear_dn: np.ndarray) -> np.ndarray:
    """The specification asks a gear from DN{spec_gear_dn}, the schedule a lever."""
    return (operator == "lever") & (dn >= spec_gear_dn)


@rule("R017", partial=True)
def quantity_against_tags(quantity_given: np.ndarray, tags_count: np.ndarray) -> np.ndarray:
    """{tags_count} tags stand in the row, the quantity is {quantity_given}."""
    return ~np.isnan(quantity_given) & (tags_count > 1) & (quantity_given != tags_count) & (tags_count > 0)


@rule("R018", partial=True)
def superseded_standard(old_standard: np.ndarray) -> np.ndarray:
    """{old_standard}"""
    return old_standard != ""
