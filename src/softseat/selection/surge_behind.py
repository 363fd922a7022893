"""What closing does to the line behind the valve, and what a pump before it does in the end: words for the answer of one item."""

import numpy as np

from softseat.flow.surge_case import MEMBERS, Case, mirrored, shut_head
from softseat.flow.surge_safe import safe_strokes
from softseat.flow.wave import critical_time
from softseat.selection.hammer import GRAVITY, LONGEST, case_of
from softseat.sheet import ASSUMED, Sheet


def shut_off(case: Case) -> float:
    """Head before the shut valve in the end, of the first item by its bad end. [m]"""
    return float(shut_head(case, np.zeros(len(MEMBERS), int), MEMBERS).max())


def pump_words(one: Sheet, case: Case) -> list[str]:
    """What stands against a valve that is shut while the pump runs; nothing where no pump is named."""
    if not case.pump_rise[0] > 0:
        return []
    assumed = " at an assumed shut-off head" if one.state["shutoff_head"][0] == ASSUMED else ""
    pressure = shut_off(case) * float(one["density"][0]) * GRAVITY / 1e5
    return [f"With the valve shut the pump holds {pressure:.3g} bar(g){assumed}; a stop of the pump is not computed."]


def behind_words(one: Sheet) -> list[str]:
    """Lowest pressure behind the valve and what keeps the column whole; nothing where no line behind it is known."""
    lowest, vapour = one["lowest_head"][:, 0], float(one["vapour_head"][0])
    if np.isnan(lowest[1]):
        return []
    bar = float(one["density"][0]) * GRAVITY / 1e5
    length = float(one["pipe_length_behind"][0])
    both = "taken on both sides of the valve: behind it" if one["pipe_length"][0] == length else "of line behind the valve"
    told = (
        f"{'The' if one['pipe_length'][0] == length else 'In the'} {length:g} m {both} the pressure falls to {lowest[1] * bar:.3g} bar(g)"
    )
    if not lowest[0] <= vapour:
        return [f"{told} ({lowest[0] * bar:.3g} to {lowest[2] * bar:.3g})."]
    parts = "and the column separates" if lowest[1] <= vapour else "and at its bad end the column separates"
    return [f"{told} {parts}; {_whole(one, length, vapour)}."]


def _whole(one: Sheet, length: float, vapour: float) -> str:
    """The shortest even stroke that keeps the column behind the valve whole, in words."""
    case = case_of(one, np.array([0]))
    case = mirrored(case, np.array([length]), case.head_behind)
    least = critical_time(case.length, case.wave_speed[1])
    stroke = float(np.ceil(safe_strokes(case, np.array([-vapour]), least, LONGEST)[0]))
    return f"it stays whole from {stroke:g} s on" if np.isfinite(stroke) else "no even stroke keeps it whole"
