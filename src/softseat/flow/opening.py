"""The opening at which a disc passes a flow. FL, xT and Fd are taken at the opening that is found, not at full open."""

from collections.abc import Callable, Mapping
from dataclasses import replace

import numpy as np
from numpy.typing import ArrayLike

from softseat.flow.coefficient import positive
from softseat.flow.curves import KvEnds, kv_curve
from softseat.flow.disc import Disc
from softseat.flow.gas import gas_kv, gas_needed
from softseat.flow.liquid import liquid_duty, liquid_kv
from softseat.register import calculation

Curve = Callable[[np.ndarray], np.ndarray]
Given = Mapping[str, np.ndarray | None]
HALVINGS, CHORDS = (
    6,
    6,
)  # 90 deg / 2^6 = 1.4 deg, in which both curves are nearly straight; six chords then end within 1e-3 deg, mostly 1e-6


def solve_opening(kv_at: Curve, kv_needed: Curve, like: ArrayLike) -> np.ndarray:
    """Opening at which the disc's Kv is the Kv needed there; nan where even the full-open disc is too small.

    Parameters
    ----------
    kv_at, kv_needed : callable
        Kv of the disc and Kv needed at these openings. [m3/h]
    like : array_like
        Array of the shape of the answer. [-]
    """
    low, high = np.zeros(np.shape(like)), np.full(np.shape(like), 90.0)
    short, spare = kv_at(low) - kv_needed(low), kv_at(high) - kv_needed(high)
    enough, at, before = spare >= 0, high, np.zeros(np.shape(like), int)
    for step in range(HALVINGS + CHORDS):
        with np.errstate(invalid="ignore", divide="ignore"):
            chord = np.where(spare > short, np.clip(high - spare * (high - low) / (spare - short), low, high), high)
        at = 0.5 * (low + high) if step < HALVINGS else chord
        over = kv_at(at) - kv_needed(at)
        passes = over >= 0
        side = np.where(passes, 1, -1) * (step >= HALVINGS)
        # an end that stays twice counts half (Illinois): the chord does not creep up on the root from one side
        stays = np.where(side * before > 0, 0.5, 1.0)
        short, spare = np.where(passes, stays * short, over), np.where(passes, over, stays * spare)
        low, high, before = np.where(passes, low, at), np.where(passes, at, high), side
    return np.where(enough, at, np.nan)


@calculation(
    "opening-for-kv",
    source="inverse of butterfly-kv",
    example={"kv": 300, "bore": "200 mm"},
)
def opening_for_kv(kv: ArrayLike, bore: ArrayLike) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """Opening at which a disc without a test of its own has this Kv.

    Parameters
    ----------
    kv : array_like
        Flow coefficient needed. [m3/h]
    bore : array_like
        Bore of the valve. [m]

    Returns
    -------
    opening_low, opening, opening_high : ndarray
        Opening by the high, best and low end of the Kv band; nan where the full-open disc has less. [deg]
    """
    needed, d = np.broadcast_arrays(np.asarray(kv, float), positive(bore))
    high, best, low = solve_opening(KvEnds(d).at, lambda at: needed, np.stack([needed] * 3))
    return low, best, high


def liquid_opening(
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
) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """Opening, Kv needed and choking of a disc in liquid, for the low, best and high end of its Kv.

    Parameters
    ----------
    disc : Disc
        The disc with its curves.
    flow : array_like
        Volume flow at inlet conditions. [m3/s]
    p1, p2 : array_like
        Pressure before and behind the valve, absolute. [Pa]
    density : array_like
        Density. [kg/m3]
    pv, pc : array_like
        Vapour pressure and critical pressure. [Pa]
    viscosity : array_like
        Dynamic viscosity. [Pa s]
    pipe_in, pipe_out : array_like
        Bore of the pipe before and behind; as the valve's where not known. [m]

    Returns
    -------
    opening : ndarray, shape (3, ...)
        At the low, best and high end of the Kv band, so falling; nan where the disc is too small. [deg]
    kv_needed : ndarray, shape (3, ...)
        At that opening, or full open where the disc is too small; nan where `liquid_kv` has none. [m3/h]
    choked : ndarray of bool, shape (3, ...)
        At that opening. [-]
    """

    given = {"flow": flow, "p1": p1, "p2": p2, "density": density, "pv": pv, "pc": pc, "viscosity": viscosity}
    given |= {"pipe_in": pipe_in, "pipe_out": pipe_out}

    def need(at: np.ndarray, end: int) -> tuple[np.ndarray, np.ndarray]:
        sized = liquid_kv(**given, fl=disc.fl(at)[end], fd=disc.fd(at), valve_bore=disc.bore)  # type: ignore[arg-type]
        return sized[0], sized[1]

    return _over_ends(disc, _liquid_needed, given, need, np.broadcast(flow, p1, p2, density, pv, pc, disc.bore).shape)


def _liquid_needed(disc: Disc, given: Given) -> Curve:
    """Kv needed by the liquid at three openings at once."""
    turbulent = {name: value for name, value in given.items() if name != "viscosity"}
    if given["viscosity"] is None:
        duty = liquid_duty(**turbulent, valve_bore=disc.bore)  # type: ignore[arg-type]
        return lambda at: duty.kv(disc.fl_ends(at))
    return lambda at: liquid_kv(**given, fl=disc.fl_ends(at), fd=disc.fd(at), valve_bore=disc.bore)[0]  # type: ignore[arg-type]


def gas_opening(
    disc: Disc,
    *,
    p1: ArrayLike,
    p2: ArrayLike,
    t1: ArrayLike,
    molar_mass: ArrayLike,
    gamma: ArrayLike,
    z: ArrayLike,
    flow: ArrayLike | None = None,
    mass_flow: ArrayLike | None = None,
    viscosity: ArrayLike | None = None,
    pipe_in: ArrayLike | None = None,
    pipe_out: ArrayLike | None = None,
) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """Opening, Kv needed and choking of a disc in gas, for the low, best and high end of its Kv.

    Parameters
    ----------
    disc : Disc
        The disc with its curves.
    p1, p2 : array_like
        Pressure before and behind the valve, absolute. [Pa]
    t1 : array_like
        Inlet temperature. [K]
    molar_mass : array_like
        Molar mass. [kg/mol]
    gamma, z : array_like
        Ratio of specific heats and compressibility. [-]
    flow : array_like
        Volume flow at 0 °C and 101.325 kPa. [m3/s]
    mass_flow : array_like
        Mass flow, where the volume flow is not known. [kg/s]
    viscosity : array_like
        Dynamic viscosity. [Pa s]
    pipe_in, pipe_out : array_like
        Bore of the pipe before and behind; as the valve's where not known. [m]

    Returns
    -------
    opening, kv_needed, choked : ndarray, shape (3, ...)
        As in `liquid_opening`. [deg]
    """
    given = {"p1": p1, "p2": p2, "t1": t1, "molar_mass": molar_mass, "gamma": gamma, "z": z, "flow": flow, "mass_flow": mass_flow}
    given |= {"viscosity": viscosity, "pipe_in": pipe_in, "pipe_out": pipe_out}

    def need(at: np.ndarray, end: int) -> tuple[np.ndarray, np.ndarray]:
        sized = gas_kv(**given, valve_bore=disc.bore, xt=disc.xt(at)[end], fl=disc.fl(at)[end], fd=disc.fd(at))  # type: ignore[arg-type]
        return sized[0], sized[1]

    asked = np.asarray(mass_flow if flow is None else flow, float)
    return _over_ends(disc, _gas_needed, given, need, np.broadcast(asked, p1, p2, t1, molar_mass, gamma, z, disc.bore).shape)


def _gas_needed(disc: Disc, given: Given) -> Curve:
    """Kv needed by the gas at three openings at once."""
    turbulent = {name: value for name, value in given.items() if name != "viscosity"}
    if given["viscosity"] is None:
        needed = gas_needed(**turbulent, valve_bore=disc.bore)  # type: ignore[arg-type]
        return lambda at: needed(disc.xt_ends(at))

    def viscous(at: np.ndarray) -> np.ndarray:
        return gas_kv(**given, valve_bore=disc.bore, xt=disc.xt_ends(at), fl=disc.fl_ends(at), fd=disc.fd(at))[0]  # type: ignore[arg-type]

    return viscous


def _over_ends(
    disc: Disc,
    needed_by: Callable[[Disc, Given], Curve],
    given: Mapping[str, ArrayLike | None],
    need: Callable[[np.ndarray, int], tuple[np.ndarray, np.ndarray]],
    shape: tuple[int, ...],
) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """Opening, Kv needed and choking at the ends of the band; only discs that are large enough full open are turned."""
    flat = {name: None if value is None else _each(value, shape) for name, value in given.items()}
    bore = _each(disc.bore, shape)
    opening, needed, choked = np.full((3, bore.size), np.nan), np.empty((3, *shape)), np.empty((3, *shape), bool)
    wide = np.full(opening.shape, 90.0)
    some = replace(disc, bore=bore)
    with np.errstate(invalid="ignore", divide="ignore"):
        rows = np.flatnonzero((some.kv_ends()(wide) - needed_by(some, flat)(wide) >= 0).any(axis=0))
        if rows.size:
            some = replace(disc, bore=bore[rows])
            taken = {name: None if value is None else value[rows] for name, value in flat.items()}
            opening[:, rows] = solve_opening(some.kv_ends(), needed_by(some, taken), opening[:, rows])
    opening = opening.reshape(3, *shape)
    for end in range(3):
        needed[end], choked[end] = need(np.where(np.isnan(opening[end]), 90.0, opening[end]), end)
    return opening, needed, choked


def _each(value: ArrayLike, shape: tuple[int, ...]) -> np.ndarray:
    """One value an item, in a row."""
    return np.broadcast_to(np.asarray(value, float), shape).ravel()


@calculation(
    "control-range",
    source="definition: largest over smallest Kv that can be controlled",
    example={"bore": "200 mm", "opening_low": 20, "opening_high": 70},
)
def control_range(bore: ArrayLike, opening_low: ArrayLike, opening_high: ArrayLike) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """Smallest and largest Kv between two openings, and their ratio.

    Parameters
    ----------
    bore : array_like
        Bore of the valve. [m]
    opening_low, opening_high : array_like
        Openings between which the disc is let to control. [deg]

    Returns
    -------
    kv_low, kv_high : ndarray
        Best value of Kv at both; nan where an opening is not within 0 to 90. [m3/h]
    turndown : ndarray
        Their ratio; nan where an opening is not within 0 to 90 or the lower is 0. [-]
    """
    small, large = kv_curve(bore, opening_low)[1], kv_curve(bore, opening_high)[1]
    return small, large, large / positive(small)
