"""Vacuum and the liner. (R032-R035)"""

import numpy as np

from softseat.register import rule

ATMOSPHERE = 101325.0


@rule("R032", parts=("liner_build",), partial=True)
def vacuum_on_loose_liner(vacuum: np.ndarray, liner_build: np.ndarray) -> np.ndarray:
    """Vacuum and a loose liner: it is drawn off the body into the way of the disc."""
    return vacuum & (liner_build == "loose")


@rule("R188", partial=True)
def vacuum_needs_the_bond(vacuum: np.ndarray, liner_build_open: np.ndarray) -> np.ndarray:
    """Vacuum, and a bonded liner is not what was asked: the offer holds for a bonded liner only."""
    return vacuum & liner_build_open


@rule("R033", partial=True)
def hot_vacuum(vacuum: np.ndarray, t_hottest: np.ndarray, *, vacuum_t: float) -> np.ndarray:
    """Vacuum together with {t_hottest}: the bond of the liner weakens with heat."""
    return vacuum & (t_hottest > vacuum_t)


@rule("R034", partial=True)
def vacuum_by_cooling(cold_rinse: np.ndarray, steaming: np.ndarray, excursion_hot: np.ndarray) -> np.ndarray:
    """Hot cleaning or steam, then cold in a closed line: counted as full vacuum."""
    return cold_rinse & (steaming | excursion_hot)


@rule("R035", partial=True)
def high_vacuum(p_min: np.ndarray, high_vacuum_leak: np.ndarray, *, high_vacuum_p: float) -> np.ndarray:
    """High vacuum ({p_min}) or a vacuum leak rate is asked: rubber outgasses and permeates."""
    return (p_min < high_vacuum_p) & (p_min > 0) | high_vacuum_leak
