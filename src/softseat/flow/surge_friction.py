"""Friction of a line whose pipe is known by name only, or not at all."""

import numpy as np
from numpy.typing import ArrayLike

from softseat.tables import index, number


def friction_factor(reynolds: ArrayLike, roughness: ArrayLike) -> np.ndarray:
    """Darcy friction factor of a pipe, explicit.

    Parameters
    ----------
    reynolds : array_like
        Reynolds number. [-]
    roughness : array_like
        Sand roughness over bore. [-]

    Returns
    -------
    friction_factor : ndarray
        Laminar below 2300, else by Haaland (within 2 % of Colebrook); nan where the Reynolds number is not above zero. [-]

    References
    ----------
    S. E. Haaland, J. Fluids Eng. 105 (1983) 89.
    """
    re = np.asarray(reynolds, float)
    with np.errstate(divide="ignore", invalid="ignore"):
        re = np.where(re > 0, re, np.nan)
        turbulent = np.square(-1.8 * np.log10((np.asarray(roughness, float) / 3.7) ** 1.11 + 6.9 / re)) ** -1
        return np.asarray(np.where(re < 2300, 64 / re, turbulent))


def pipe_roughness(pipe_system: str) -> np.ndarray:
    """Sand roughness of a pipe by its material, new to old; the widest band where no pipe is named.

    Parameters
    ----------
    pipe_system : str
        As in `pipe_wave_speed`; "" where none is named.

    Returns
    -------
    roughness : ndarray, shape (3,)
        Low, usual, high. [m]
    """
    row = index("pipe_elasticity", "pipe_system")[pipe_system or "unknown"]
    return np.array([number(row[f"roughness{end}_mm"], "mm") for end in ("_low", "", "_high")])
