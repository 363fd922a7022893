"""Noise of a valve that throttles, at 1 m: liquid by IEC 60534-8-4, gas by IEC 60534-8-3, with a usual pipe wall."""

import functools

import numpy as np

from softseat.errors import SoftseatError
from softseat.flow.curves import fd_curve, fl_curve
from softseat.flow.noise_gas import gas_noise
from softseat.flow.noise_liquid import liquid_noise
from softseat.piping.pipe import pipe_bore
from softseat.selection.limits import limit
from softseat.sheet import Sheet

WALL_LEAST = 6.3e-3  # [m] where the wall table has not the size: the usual plate of a large steel pipe


@functools.lru_cache(maxsize=256)
def usual_wall(dn: float) -> float:
    """Wall of a standard-weight steel pipe of this size. [m]"""
    try:
        return float(pipe_bore("ASME B36.10M", class_="STD", size=f"DN{dn:g}")[1])
    except SoftseatError:
        return WALL_LEAST


def liquid_level(sheet: Sheet, rows: np.ndarray, p2: np.ndarray, opening: np.ndarray, kv: np.ndarray) -> np.ndarray:
    """Level with the band of an estimated xFz, (3, rows). [dB(A)]"""
    at = np.where(np.isnan(opening), 90.0, opening)
    p1, density = sheet["p1"][rows], sheet["density"][rows]
    level, _ = liquid_noise(
        sheet["actual_flow_normal"][rows] * density,
        p1,
        p2,
        np.nan_to_num(sheet["pv"][rows]),
        density,
        sheet["sound_speed"][rows],
        kv,
        sheet["dn"][rows] * 1e-3,
        *_pipe(sheet, rows),
        fl_curve(at)[1],
        fd_curve(at),
    )
    band = limit("X_flow", "noise_band_liquid")
    return np.stack([level - band, level, level + band])


def gas_level(sheet: Sheet, rows: np.ndarray, p2: np.ndarray, opening: np.ndarray, kv: np.ndarray) -> np.ndarray:
    """Level, (3, rows) with three equal ends: the standard states no band for it. [dB(A)]"""
    at = np.where(np.isnan(opening), 90.0, opening)
    density = sheet["density"][rows]
    level, _ = gas_noise(
        sheet["actual_flow_normal"][rows] * density,
        sheet["p1"][rows],
        p2,
        sheet["t1"][rows],
        density,
        sheet["gamma"][rows],
        sheet["molar_mass"][rows],
        kv,
        sheet["dn"][rows] * 1e-3,
        *_pipe(sheet, rows),
        fl_curve(at)[1],
        fd_curve(at),
    )
    return np.stack([level] * 3)


def _pipe(sheet: Sheet, rows: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
    """Bore and wall of the pipe behind."""
    line = sheet["dn_line"][rows]
    return line * 1e-3, np.array([usual_wall(float(dn)) for dn in line])
