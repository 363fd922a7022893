"""The line beside the valve, and what is in it. (R092-R101)"""

import numpy as np

from softseat.register import CANNOT_SAY, HOLDS, HOLDS_NOT, rule


@rule("R092", partial=True)
def near_bend(straight_upstream: np.ndarray, *, straight_up: float) -> np.ndarray:
    """{straight_upstream} of straight pipe before the valve: uneven flow shakes the disc and adds torque."""
    return straight_upstream < straight_up


@rule("R093", partial=True)
def near_pump_suction(pump_suction: np.ndarray, nozzle_distance: np.ndarray, *, pump_suction_limit: float) -> np.ndarray:
    """{nozzle_distance} before a pump suction nozzle: swirl and lost suction head."""
    return pump_suction & (nozzle_distance < pump_suction_limit)


@rule("R094", partial=True)
def discharges_freely(free_discharge: np.ndarray) -> np.ndarray:
    """Free discharge: no support behind, the full difference on the disc while it opens."""
    return free_discharge


@rule("R095", partial=True)
def vertical_shaft_in_solids(
    orientation: np.ndarray, is_settling: np.ndarray, solids: np.ndarray, settling_words: np.ndarray
) -> np.ndarray:
    """Settling solids and a vertical shaft: a bed packs at the lower bearing."""
    return (orientation == "shaft_vertical") & (is_settling | (solids > 0) | settling_words)


@rule("R096", partial=True)
def viscous(kinematic_viscosity: np.ndarray, is_gas: np.ndarray, *, viscosity_limit: float) -> np.ndarray:
    """Viscosity {kinematic_viscosity}: the turbulent Kv no longer holds."""
    return ~is_gas & (kinematic_viscosity > viscosity_limit)  # a thin gas has a high one and flows all the same


@rule("R097", partial=True)
def fibres(
    is_raw_sewage: np.ndarray,
    is_fibre_bed: np.ndarray,
    rags: np.ndarray,
    duty: np.ndarray,
    concentration: np.ndarray,
    solids: np.ndarray,
    *,
    stock: float,
) -> np.ndarray:
    """Rags or long fibres hang on the disc edge: it never closes."""
    thick = np.fmax(concentration, solids) > stock
    bed = is_fibre_bed & (np.isin(duty, ("control", "throttle")) | thick)
    return is_raw_sewage | rags | bed


@rule("R098", partial=True)
def large_particles(d_max: np.ndarray, dn: np.ndarray, stones: np.ndarray, *, particle_dn: float) -> np.ndarray:
    """Particles of {d_max} are caught in the seat."""
    return (d_max > particle_dn * dn * 1e-3) | stones


@rule("R099", partial=True)
def scales(is_scaling: np.ndarray, scaling_words: np.ndarray) -> np.ndarray:
    """The medium scales or crystallises: crust on the seat, torque doubles."""
    return is_scaling | scaling_words


@rule("R100", partial=True)
def hard_solids(
    solids: np.ndarray, d50: np.ndarray, hardness_solids: np.ndarray, *, d50_limit: float, share: float, hard: float, d50_share: float
) -> np.ndarray:
    """Hard solids of {d50}, {solids}: they cut the seat at closing."""
    coarse = (d50 > d50_limit) & (solids > share)
    product = d50 * 1e6 * solids * 100.0
    return coarse | ((product > d50_share) & ~(hardness_solids < hard))


@rule("R101", partial=True)
def sand_blast(is_mineral_dust: np.ndarray, dilute_conveying: np.ndarray, conveying: np.ndarray) -> np.ndarray:
    """Dilute pneumatic conveying of mineral dust sand-blasts the disc edge."""
    unsure = is_mineral_dust & conveying & ~dilute_conveying
    return np.select([is_mineral_dust & dilute_conveying, unsure], [HOLDS, CANNOT_SAY], HOLDS_NOT)
