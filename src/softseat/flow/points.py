"""The operating points of a disc in liquid: lowest, normal and largest flow through the same functions at once."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from softseat.flow.cavitation import cavitation_index, cavitation_regime
from softseat.flow.coefficient import kv_size_share, positive
from softseat.flow.disc import Disc
from softseat.flow.opening import liquid_opening
from softseat.flow.velocity import velocity

STEP = 0.25  # [deg] half the interval over which the slope is taken


@dataclass(frozen=True, slots=True)
class Points:
    """Arrays of the shape of the flows. Those that hang on the curve are bands: low, best, high end of Kv on a leading axis."""

    opening: np.ndarray  # [deg], band, falling; nan where the disc is too small
    kv_needed: np.ndarray  # [m3/h], band
    choked: np.ndarray  # band
    gain: np.ndarray  # band: change of Kv/Kv full open over change of opening/90
    velocity: np.ndarray  # [m/s] in the bore
    sigma: np.ndarray
    margin: np.ndarray  # band: sigma over sigma choking, without a test of this valve
    regime: np.ndarray  # of cavitation, at the best value
    beyond_standard: np.ndarray  # band: Kv/(N18 d2) above the range of IEC 60534-2-1


def inherent_gain(disc: Disc, opening: ArrayLike) -> np.ndarray:
    """Slope of the curve of the disc alone: change of Kv over Kv full open for a change of the opening over 90 deg.

    Parameters
    ----------
    disc : Disc
        The disc with its curves.
    opening : array_like
        Opening, 0 closed, 90 open. [deg]

    Returns
    -------
    gain : ndarray, shape (3, ...)
        For the low, best and high end of Kv; nan where the opening is not within 0 to 90. [-]
    """
    at = np.asarray(opening, float)
    below, above = np.maximum(at - STEP, 0.0), np.minimum(at + STEP, 90.0)
    rise = disc.kv(above) - disc.kv(below)
    return np.asarray(rise / positive(disc.kv(np.full(at.shape, 90.0))) / (above - below) * 90)


def liquid_points(
    disc: Disc,
    flow: ArrayLike,
    p1: ArrayLike,
    p2: ArrayLike,
    density: ArrayLike,
    pv: ArrayLike,
    pc: ArrayLike,
    viscosity: ArrayLike | None = None,
    pipe_in: ArrayLike | None = None,
    pipe_out: ArrayLike | None = None,
) -> Points:
    """What a disc does at one or several flows; give the flows of an item on an axis before the items.

    Parameters
    ----------
    disc : Disc
        The disc with its curves.
    flow : array_like
        Volume flow at inlet conditions. [m3/s]
    p1, p2 : array_like
        Pressure before and behind the valve at that flow, absolute. [Pa]
    density : array_like
        Density. [kg/m3]
    pv, pc : array_like
        Vapour pressure and critical pressure. [Pa]
    viscosity : array_like
        Dynamic viscosity. [Pa s]
    pipe_in, pipe_out : array_like
        Bore of the pipe before and behind; as the valve's where not known. [m]
    """
    opening, needed, choked = liquid_opening(disc, flow, p1, p2, density, pv, pc, viscosity, pipe_in, pipe_out)
    fl, fd = disc.fl(opening), disc.fd(opening)
    own = np.arange(3)
    at_end = fl[own, own]  # the low end of FL with the low end of Kv, and so on
    regimes, margin = cavitation_regime(p1, p2, pv, needed, at_end, fd, pc)
    gains = inherent_gain(disc, opening)[own, own]
    beyond = kv_size_share(needed, disc.bore)[1]
    sigma = np.broadcast_to(cavitation_index(p1, p2, pv)[0], opening.shape[1:])
    return Points(opening, needed, choked, gains, velocity(flow, disc.bore), sigma, margin, regimes[1], beyond)
