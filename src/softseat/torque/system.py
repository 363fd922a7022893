"""What the line leaves across the disc as it opens: without it the flow's torque is overstated tenfold near open."""

import numpy as np
import numpy.typing as npt


def line_loss(shutoff: npt.ArrayLike, velocity: npt.ArrayLike, density: npt.ArrayLike, k: npt.ArrayLike) -> np.ndarray:
    """Loss coefficient of the rest of the line from the velocity that runs with the valve open.

    Parameters
    ----------
    shutoff : array_like
        Difference across the closed disc, which drives the flow. [Pa]
    velocity : array_like
        Velocity in the bore with the valve open. [m/s]
    density : array_like
        Density. [kg/m3]
    k : array_like
        Loss coefficient of the open valve on the bore's velocity head. [-]

    Returns
    -------
    k_line : ndarray
        Never below 0; nan where an input is missing or nothing flows. [-]
    """
    with np.errstate(invalid="ignore", divide="ignore"):
        whole = 2 * np.asarray(shutoff, float) / (np.asarray(density, float) * np.square(np.asarray(velocity, float)))
        return np.asarray(np.maximum(np.where(np.isfinite(whole), whole, np.nan) - np.asarray(k, float), 0.0))


def running(shutoff: npt.ArrayLike, k: npt.ArrayLike, k_line: npt.ArrayLike, density: npt.ArrayLike) -> tuple[np.ndarray, np.ndarray]:
    """Drop across the disc and velocity at an opening, in a line with a constant head and a square law.

    Parameters
    ----------
    shutoff : array_like
        Difference across the closed disc. [Pa]
    k : array_like
        Loss coefficient of the valve at this opening; infinite where closed. [-]
    k_line : array_like
        Loss coefficient of the rest of the line; 0 for an unlimited source, the worst case. [-]
    density : array_like
        Density. [kg/m3]

    Returns
    -------
    difference : ndarray
        Net drop across the disc; nan where an input is missing. [Pa]
    velocity : ndarray
        Velocity in the bore; nan where an input is missing. [m/s]
    """
    whole, valve, line = (np.asarray(x, float) for x in (shutoff, k, k_line))
    with np.errstate(invalid="ignore", divide="ignore"):
        drop = whole / (1 + line / valve)
        velocity = np.sqrt(2 * whole / (np.asarray(density, float) * (valve + line)))
    drop, velocity = np.broadcast_arrays(drop, velocity)
    return drop, velocity


def gas_drop(difference: npt.ArrayLike, p1: npt.ArrayLike, xt: npt.ArrayLike, gamma: npt.ArrayLike) -> np.ndarray:
    """Drop of a gas that still loads the disc: beyond choking a lower pressure behind changes nothing.

    Parameters
    ----------
    difference : array_like
        Difference across the disc. [Pa]
    p1 : array_like
        Pressure before the valve, absolute. [Pa]
    xt : array_like
        Pressure differential ratio factor at this opening. [-]
    gamma : array_like
        Ratio of specific heats. [-]

    Returns
    -------
    difference : ndarray
        At most x_T gamma/1.4 p1; nan where an input is missing. [Pa]
    """
    limit = np.asarray(xt, float) * np.asarray(gamma, float) / 1.4 * np.asarray(p1, float)
    return np.asarray(np.minimum(np.abs(np.asarray(difference, float)), limit))
