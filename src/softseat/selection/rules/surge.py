"""How fast may it close. (R130-R135)"""

import numpy as np

from softseat.register import rule

ATMOSPHERE = 101325.0


@rule("R130", worst="low", partial=True)
def sudden_closing(stroke_time: np.ndarray, critical_time: np.ndarray, is_liquid: np.ndarray) -> np.ndarray:
    """Closing in {stroke_time} is shorter than 2L/a of {critical_time}: the full rise."""
    return is_liquid & (stroke_time < critical_time)


@rule("R131", partial=True)
def counted_as_linear(closing_law: np.ndarray, pipe_length: np.ndarray, *, long_main: float) -> np.ndarray:
    """{pipe_length} of line: most of the flow stops in the last quarter of the stroke, the true closing is much shorter."""
    return (closing_law == "linear") & (pipe_length > long_main)


@rule("R132", parts=("operator",), partial=True)
def spring_slam(operator: np.ndarray, fail: np.ndarray, is_liquid: np.ndarray, pipe_length: np.ndarray, *, long_main: float) -> np.ndarray:
    """Spring fail-close on a liquid main of {pipe_length}: uncontrolled slam."""
    return (operator == "pneumatic_sr") & (fail == "close") & is_liquid & (pipe_length > long_main)


@rule("R133", worst="low", partial=True)
def column_separates(lowest_head: np.ndarray, vapour_head: np.ndarray, *, separation_head: float) -> np.ndarray:
    """Lowest head {lowest_head}: the column separates behind the disc and slams back."""
    return lowest_head < np.fmax(vapour_head, separation_head) + 0.3


@rule("R134", worst="high", partial=True)
def surge_above_rating(surge_pressure: np.ndarray, pn_pressure: np.ndarray) -> np.ndarray:
    """Closing raises the pressure to {surge_pressure}, above the rating of {pn_pressure}."""
    return surge_pressure - ATMOSPHERE > pn_pressure


@rule("R135", partial=True)
def back_spin(pump_trip: np.ndarray, stroke_time: np.ndarray, no_check_valve: np.ndarray, *, slow_stroke: float) -> np.ndarray:
    """Pump trip, a slow valve ({stroke_time}) and no check valve: back-spin."""
    return (pump_trip == "yes") & no_check_valve & (stroke_time > slow_stroke)
