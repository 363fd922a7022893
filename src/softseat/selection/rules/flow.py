"""Speed, opening, cavitation, noise. (R080-R091)"""

import numpy as np

from softseat.register import CANNOT_SAY, HOLDS, HOLDS_NOT, rule

CONTROL = ("control", "throttle")


@rule("R080", worst="high", partial=True)
def fast_liquid(
    velocity: np.ndarray,
    velocity_line: np.ndarray,
    is_liquid: np.ndarray,
    pn: np.ndarray,
    *,
    v_pn6: float,
    v_pn10: float,
    v_pn16: float,
    v_pn25: float,
) -> np.ndarray:
    """{velocity} in the valve, {velocity_line} in the line: above the design velocity behind the standard torque of PN{pn}."""
    limit = np.select([pn <= 6, pn <= 10, pn <= 20], [v_pn6, v_pn10, v_pn16], v_pn25)
    return is_liquid & (np.fmax(velocity, velocity_line) > np.where(np.isnan(pn), v_pn10, limit))


@rule("R081", worst="high", partial=True)
def waterworks_class(
    velocity: np.ndarray, is_liquid: np.ndarray, waterworks_spec: np.ndarray, class_a: np.ndarray, class_b: np.ndarray,
    *, v_c504_a: float, v_c504_b: float,
) -> np.ndarray:  # fmt: skip
    """{velocity} is above that of the waterworks class asked."""
    return is_liquid & waterworks_spec & ((class_a & ~class_b & (velocity > v_c504_a)) | (velocity > v_c504_b))


@rule("R082", worst="high", partial=True)
def too_fast_liquid(
    velocity: np.ndarray, is_liquid: np.ndarray, is_abrasive: np.ndarray, pn: np.ndarray,
    *, v_stop_clean: float, v_stop_pn25: float, v_slurry_max_high: float,
) -> np.ndarray:  # fmt: skip
    """{velocity} held for long wears the liner edge and shakes the disc."""
    clean = np.where(pn >= 25, v_stop_pn25, v_stop_clean)
    return is_liquid & (velocity > np.where(is_abrasive, v_slurry_max_high, clean))


@rule("R083", worst="high", partial=True)
def slurry_speed(
    velocity: np.ndarray, state: np.ndarray, is_abrasive: np.ndarray, is_settling: np.ndarray, settling_velocity: np.ndarray,
    *, v_slurry_max_low: float, v_settle_plain: float,
) -> np.ndarray:  # fmt: skip
    """{velocity} in a slurry: above 2.5 m/s it wears, below its settling velocity beds form."""
    slurry = (state == "slurry") | is_abrasive
    floor = np.where(np.isnan(settling_velocity), v_settle_plain, settling_velocity)
    return slurry & ((is_abrasive & (velocity > v_slurry_max_low)) | (is_settling & (velocity < floor)))


@rule("R084", worst="high", partial=True)
def fast_gas(
    velocity: np.ndarray,
    is_gas: np.ndarray,
    mach: np.ndarray,
    p1: np.ndarray,
    *,
    v_gas_condition: float,
    v_gas_blower: float,
    mach_gas: float,
) -> np.ndarray:
    """Gas at {velocity}: the disc vibrates, and it is loud."""
    limit = np.where(p1 < 1.5e5, np.where(p1 > 1.02e5, v_gas_blower, v_gas_condition), v_gas_condition)
    return is_gas & ((velocity > limit) | (mach > mach_gas))


@rule("R085", worst="low", partial=True)
def nearly_shut_control(duty: np.ndarray, opening_normal: np.ndarray, *, opening_stop: float) -> np.ndarray:
    """For its normal flow the control valve stands at {opening_normal}: the jet cuts the liner edge."""
    control = np.isin(duty, CONTROL)
    # without flow and drop nobody can say where a control valve will stand
    return np.select([control & np.isnan(opening_normal), control & (opening_normal < opening_stop)], [CANNOT_SAY, HOLDS], HOLDS_NOT)


@rule("R086", worst="low", partial=True)
def wide_open_control(
    duty: np.ndarray, opening_normal: np.ndarray, opening_highest: np.ndarray, *, opening_high: float, opening_high_max: float
) -> np.ndarray:
    """For its normal flow the control valve stands at {opening_normal}: little authority left."""
    return np.isin(duty, CONTROL) & ((opening_normal > opening_high) | (opening_highest > opening_high_max))


@rule("R087", worst="low", partial=True)
def cavitates(duty: np.ndarray, sigma_margin: np.ndarray, *, sigma_stop: float) -> np.ndarray:
    """The cavitation index is {sigma_margin} times the choking one: the liner is torn from behind the disc (without test data)."""
    return np.isin(duty, CONTROL) & (sigma_margin < sigma_stop)


@rule("R088", partial=True)
def cavitates_at_closing(duty: np.ndarray, cavitates_last_degrees: np.ndarray) -> np.ndarray:
    """It cavitates in the last degrees of closing only: usual, for a short time."""
    return ~np.isin(duty, CONTROL) & cavitates_last_degrees


@rule("R089", partial=True)
def loud(noise: np.ndarray, *, noise_limit: float) -> np.ndarray:
    """{noise} at 1 m."""
    return noise > noise_limit


@rule("R090", worst="low", partial=True)
def oversized_control(duty: np.ndarray, kv_share: np.ndarray, *, kv_share_condition: float) -> np.ndarray:
    """Needs {kv_share} of its full Kv only: it lives near its seat."""
    return np.isin(duty, CONTROL) & (kv_share < kv_share_condition)


@rule("R091", partial=True)
def loss_from_one_source(kv_basis: np.ndarray, kv_sources: np.ndarray) -> np.ndarray:
    """The full-open loss rests on {kv_sources} source, {kv_basis}: a band is given."""
    return (kv_basis != "tested") & (kv_sources <= 1)
