"""Shipping, fitting and life: care. (R194-R200)"""

import numpy as np

from softseat.register import rule


@rule("R194", partial=True)
def shipped_shut(ship_position: np.ndarray) -> np.ndarray:
    """Shipped {ship_position}: a set line in the seat, or a damaged rim."""
    return np.isin(ship_position, ("fully closed", "fully open"))


@rule("R195", partial=True)
def inserted_open(insertion: np.ndarray) -> np.ndarray:
    """Inserted {insertion}: the rim is cut on the flange, or the liner squeezed on the disc."""
    return (insertion != "") & (insertion != "near closed")


@rule("R196", partial=True)
def welded_near(welded_in_place: np.ndarray) -> np.ndarray:
    """The flange is welded with the valve in place: the liner burns."""
    return welded_in_place


@rule("R197", parts=("liner",), partial=True)
def mineral_grease(liner: np.ndarray, grease: np.ndarray) -> np.ndarray:
    """Mineral grease on {liner}: it swells."""
    return (liner == "EPDM") & (grease == "mineral")


@rule("R198", partial=True)
def never_exercised(idle_months: np.ndarray, *, exercise: float) -> np.ndarray:
    """{idle_months} months without a stroke: it sticks."""
    return idle_months > exercise


@rule("R199", partial=True)
def line_dirty(not_flushed: np.ndarray) -> np.ndarray:
    """The line is not flushed before the first closing: slag in the seat."""
    return not_flushed


@rule("R200", partial=True)
def life_extrapolated(life_tested_t_max: np.ndarray, life_asked_t: np.ndarray, *, extrapolate: float) -> np.ndarray:
    """A life at {life_asked_t} from tests at {life_tested_t_max}: too far for a straight line."""
    return life_tested_t_max - life_asked_t > extrapolate
