"""Surge as a screen: what the stated closing does, by Joukowsky and the effective closing time; the transient run belongs to explain."""

import numpy as np

from softseat.flow.wave import critical_time, joukowsky
from softseat.selection.limits import limit
from softseat.sheet import DERIVED, MISSING, Sheet

GRAVITY = 9.80665  # [m/s2]
ATMOSPHERE = 101325.0
WAVE_BAND = (250.0, 1000.0, 1350.0)  # [m/s] plastic, usual, thick steel: where the pipe is not known (hydraulics table of docs/theory)
EFFECTIVE = (0.2, 0.275, 0.35)  # share of a linear stroke in which nearly all flow stops (house limit R131 linear_share)


def surge_screen(sheet: Sheet) -> Sheet:
    """The Sheet with critical time, surge pressure and lowest head of closing in the stated stroke time, as bands."""
    speed = np.stack([np.where(np.isnan(sheet["wave_speed"]), w, sheet["wave_speed"]) for w in WAVE_BAND])
    length, stroke = sheet["pipe_length"], sheet["stroke_time"]
    # the best guess stands for the verdict where only the pipe's own speed is unknown: steel or iron is the usual main
    critical = critical_time(length, speed)
    sudden = joukowsky(sheet["density"], speed, sheet["velocity"])
    effective = np.array(EFFECTIVE)[::-1, None] * stroke
    with np.errstate(divide="ignore", invalid="ignore"):
        rise = sudden * np.minimum(1.0, critical / effective)
    rise = np.sort(rise, axis=0)
    liquid = sheet["is_liquid"] & ~np.isnan(length) & ~np.isnan(stroke)
    rise = np.where(liquid, rise, np.nan)
    lowest = np.where(liquid, -(rise - (sheet["p1"] - ATMOSPHERE)) / (sheet["density"] * GRAVITY), np.nan)
    mark = np.where(np.isnan(rise[1]), MISSING, DERIVED).astype(np.uint8)
    long_main = length > limit("R132", "long_main")
    return sheet.adding(
        mark,
        critical_time=np.where(liquid, critical[1], np.nan),
        surge_pressure=sheet["p1"] + rise,
        lowest_head=np.full(len(sheet), np.nan) if "lowest_head" not in sheet else sheet["lowest_head"],
        separation_head=lowest,
        closing_law=np.where(liquid & long_main, "linear", ""),
    )


def safe_stroke(sheet: Sheet) -> np.ndarray:
    """Shortest full stroke whose rise stays within the rating, by the slow-closing screen at the bad end; nan without a line length. [s]"""
    speed = np.where(np.isnan(sheet["wave_speed"]), WAVE_BAND[1], sheet["wave_speed"])
    room = sheet["pn_valve"] * 1e5 - (sheet["p1"] - ATMOSPHERE)
    sudden = joukowsky(sheet["density"], speed, sheet["velocity"])
    critical = critical_time(sheet["pipe_length"], speed)
    with np.errstate(divide="ignore", invalid="ignore"):
        needed = np.maximum(sudden * critical / room, critical) / EFFECTIVE[0]
    return np.where(sheet["is_liquid"] & (room > 0), np.ceil(needed), np.nan)
