"""The line-size valve against smaller ones between reducers: opening, choking and velocity of each."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from softseat.flow.disc import Disc
from softseat.flow.opening import liquid_opening
from softseat.flow.velocity import velocity


@dataclass(frozen=True, slots=True)
class Sizes:
    """Candidates on the first axis, items behind it. ``opening`` and ``kv_needed`` are bands: axis (low, best, high) before all."""

    bore: np.ndarray  # [m], shape (sizes,)
    opening: np.ndarray  # [deg], nan where this size is too small
    kv_needed: np.ndarray  # [m3/h], with FP and FLP of its own reducers
    choked: np.ndarray
    velocity: np.ndarray  # [m/s], in the bore of the valve

    def suits(self, lowest: float, highest: float, fastest: float) -> np.ndarray:
        """Sizes whose whole band of opening lies between two openings and whose velocity is not above the limit.

        Parameters
        ----------
        lowest, highest : float
            Openings. [deg]
        fastest : float
            Velocity. [m/s]
        """
        within = (self.opening >= lowest) & (self.opening <= highest)
        return np.asarray(within.all(axis=0) & (self.velocity <= fastest))


def compare_sizes(
    bores: ArrayLike,
    flow: ArrayLike,
    p1: ArrayLike,
    p2: ArrayLike,
    density: ArrayLike,
    pv: ArrayLike,
    pc: ArrayLike,
    pipe_bore: ArrayLike,
    viscosity: ArrayLike | None = None,
) -> Sizes:
    """Every candidate bore at one liquid duty in a pipe, with the reducers that it needs.

    Parameters
    ----------
    bores : array_like
        Bores of the candidate valves. [m]
    flow : array_like
        Volume flow at inlet conditions. [m3/s]
    p1, p2 : array_like
        Pressure before and behind the valve with its reducers, absolute. [Pa]
    density : array_like
        Density. [kg/m3]
    pv, pc : array_like
        Vapour pressure and critical pressure. [Pa]
    pipe_bore : array_like
        Bore of the pipe on both sides. [m]
    viscosity : array_like
        Dynamic viscosity. [Pa s]
    """
    sizes = np.atleast_1d(np.asarray(bores, float))
    items = np.broadcast(flow, p1, p2, density, pv, pc, pipe_bore).ndim
    d = sizes.reshape(-1, *(1,) * items)
    opening, needed, choked = liquid_opening(Disc(d), flow, p1, p2, density, pv, pc, viscosity, pipe_bore, pipe_bore)
    return Sizes(sizes, opening, needed, choked, velocity(flow, d))
