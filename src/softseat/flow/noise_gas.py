"""Noise of a gas at a valve, outside of the pipe (IEC 60534-8-3:2010): spectrum, wall, A-weighted level at 1 m."""

from collections.abc import Iterator
from typing import Any

import numpy as np
from numpy.typing import ArrayLike

from softseat.flow.coefficient import optional
from softseat.flow.gas_viscous import GAS_CONSTANT
from softseat.flow.noise_gas_source import GasSource, gas_noise_source
from softseat.flow.sound_bands import FREQUENCIES, a_weights, ring_frequency, spread_to_1m
from softseat.register import calculation

SHIFT = 10**-0.8  # of the spectrum, equation 20
P_STANDARD = 101325.0
AIR_IMPEDANCE = 415.0  # [kg/(m2 s)], equation 24


class _Wall:
    """The pipe wall as a filter (clause 8): what it passes of each band."""

    def __init__(self, c2: np.ndarray, rho2: np.ndarray, d: np.ndarray, di: np.ndarray, wall: np.ndarray, pipe: dict[str, Any]) -> None:
        air, cp = np.asarray(pipe["air_sound_speed"], float), np.asarray(pipe["pipe_sound_speed"], float)
        self.ring = ring_frequency(di, cp)
        self.coincidence = 0.25 * self.ring * c2 / air
        self.grazing = np.sqrt(3.0) * np.square(air) / (np.pi * wall * cp)
        self.inertia = 2 * np.pi * wall * np.asarray(pipe["pipe_density"], float) * 0.1 / AIR_IMPEDANCE  # eta_s = sqrt(0.01/f)
        self.damping = rho2 * c2 / AIR_IMPEDANCE
        small = ((-16660 * d + 6370) * d - 813) * d + 35.8
        bend = np.where(d > 0.15, 0.0, np.where(d >= 0.05, small, 9.0))
        pressure = np.asarray(pipe["air_pressure"], float) / P_STANDARD
        self.scale = 8.25e-7 * np.square(c2 / wall) * pressure * 10 ** (-bend / 10) * spread_to_1m(di, wall)
        self.low_x = (self.coincidence / self.ring) ** (2 / 3) / np.square(np.square(self.coincidence))
        self.low_y = np.minimum(self.coincidence / self.grazing, 1.0)
        self.ring_root = 1 / np.sqrt(self.ring)

    def passes(self, f: float) -> np.ndarray:
        low = f < self.coincidence
        gx = np.where(low, self.low_x * f**4, np.minimum(self.ring_root * np.sqrt(f), 1.0))
        gy = np.where(low, self.low_y, np.minimum(f / self.grazing, 1.0))
        return np.asarray(self.scale / f**2 * gx / ((self.damping + self.inertia * np.sqrt(f)) / gy + 1))


class _Peak:
    """A spectrum around its peak, equation 20."""

    def __init__(self, level: np.ndarray, peak: np.ndarray) -> None:
        self.energy = SHIFT * 10 ** (level / 10)
        self.above, self.below = (0.5 / peak) ** 2.5, (0.5 * peak) ** 1.7

    def at(self, f: float) -> np.ndarray:
        return np.asarray(self.energy / ((1 + self.above * f**2.5) * (1 + self.below * f**-1.7)))


def _bands(source: GasSource, wall: _Wall) -> Iterator[np.ndarray]:
    """Energy of each band at 1 m, over that of the reference pressure."""
    valve = _Peak(source.internal_level, source.peak_frequency)
    expands = ~np.isnan(source.expander_level)
    expander = _Peak(source.expander_level, source.expander_peak) if expands.any() else None
    for f in FREQUENCIES:
        inside = valve.at(f)
        if expander is not None:
            inside = inside + np.where(expands, expander.at(f), 0.0)
        yield inside * wall.passes(f)


_PIPE = {"pipe_density": 7800.0, "pipe_sound_speed": 5000.0, "air_sound_speed": 343.0, "air_pressure": P_STANDARD}


@calculation(
    "gas-noise",
    source="IEC 60534-8-3:2010",
    formula="LpAe,1m = 10 log10 sum 10^(0.1(Lpi(f) + TL(f) + A)) - 10 log10((Di + 2t + 2)/(Di + 2t))",
    example={
        "mass_flow": 2.22,
        "p1": "10 bar",
        "p2": "7.2 bar",
        "t1": "450 K",
        "density": 5.3,
        "gamma": 1.22,
        "molar_mass": 0.0198,
        "kv": 77.85,
        "valve_bore": "100 mm",
        "pipe_bore": "203.1 mm",
        "wall": "8 mm",
        "fl": 0.805,
        "fd": 0.296,
        "acoustic_efficiency": -3.8,
        "strouhal": 0.2,
    },
)
def gas_noise(
    mass_flow: ArrayLike,
    p1: ArrayLike,
    p2: ArrayLike,
    t1: ArrayLike,
    density: ArrayLike,
    gamma: ArrayLike,
    molar_mass: ArrayLike,
    kv: ArrayLike,
    valve_bore: ArrayLike,
    pipe_bore: ArrayLike,
    wall: ArrayLike,
    fl: ArrayLike,
    fd: ArrayLike,
    acoustic_efficiency: ArrayLike = -4.2,
    strouhal: ArrayLike = 0.3,
    flp: ArrayLike | None = None,
    fp: ArrayLike | None = None,
    t2: ArrayLike | None = None,
    pipe_density: ArrayLike = _PIPE["pipe_density"],
    pipe_sound_speed: ArrayLike = _PIPE["pipe_sound_speed"],
    air_sound_speed: ArrayLike = _PIPE["air_sound_speed"],
    air_pressure: ArrayLike = _PIPE["air_pressure"],
) -> tuple[np.ndarray, np.ndarray]:
    """A-weighted level 1 m beside the pipe and 1 m behind the valve, with the noise of the expander where it counts.

    Parameters
    ----------
    mass_flow : array_like
        Mass flow. [kg/s]
    p1, p2 : array_like
        Pressure before and behind the valve, absolute. [Pa]
    t1 : array_like
        Inlet temperature. [K]
    density : array_like
        Density at the inlet. [kg/m3]
    gamma : array_like
        Ratio of specific heats. [-]
    molar_mass : array_like
        Molar mass. [kg/mol]
    kv : array_like
        Flow coefficient at this opening. [m3/h]
    valve_bore : array_like
        Bore of the valve's outlet. [m]
    pipe_bore, wall : array_like
        Bore and wall of the pipe behind. [m]
    fl, fd : array_like
        Recovery factor and style modifier at this opening. [-]
    acoustic_efficiency : array_like
        Exponent A_eta of the style; -4.2 for a butterfly valve. [-]
    strouhal : array_like
        Strouhal number of the peak; 0.3 for a butterfly valve. [-]
    flp, fp : array_like
        Recovery factor with fittings and piping factor; FLP/FP takes the place of FL where both are given. [-]
    t2 : array_like
        Temperature behind; as before where not known. [K]
    pipe_density : array_like
        Density of the pipe wall. [kg/m3]
    pipe_sound_speed : array_like
        Speed of sound in the pipe wall. [m/s]
    air_sound_speed : array_like
        Speed of sound in the air outside. [m/s]
    air_pressure : array_like
        Pressure of the air outside, absolute. [Pa]

    Returns
    -------
    noise : ndarray
        A-weighted sound pressure level; nan where p2 is not below p1 or an input is missing. [dB]
    regime : ndarray
        Regime of the jet, 1 to 5; nan where p2 is not below p1 or an input is missing. [-]

    References
    ----------
    IEC 60534-8-3:2010.
    """
    with_fittings = optional(flp) / optional(fp)
    recovery = np.where(np.isnan(with_fittings), fl, with_fittings)
    source = gas_noise_source(
        mass_flow, p1, p2, t1, density, gamma, molar_mass, kv, valve_bore, pipe_bore, recovery, fd, acoustic_efficiency, strouhal, t2
    )
    pipe = {
        "pipe_density": pipe_density,
        "pipe_sound_speed": pipe_sound_speed,
        "air_sound_speed": air_sound_speed,
        "air_pressure": air_pressure,
    }
    with np.errstate(divide="ignore", invalid="ignore"):
        filtered = _wall(p1, p2, t1 if t2 is None else t2, density, gamma, molar_mass, valve_bore, pipe_bore, wall, pipe)
        energy = sum(w * band for w, band in zip(10 ** (a_weights() / 10), _bands(source, filtered), strict=True))
        noise = np.asarray(10 * np.log10(energy))
    return noise, np.where(np.isnan(noise), np.nan, source.regime)


def _wall(p1: ArrayLike, p2: ArrayLike, t2: ArrayLike, *rest: Any) -> _Wall:
    density, gamma, molar_mass, valve_bore, pipe_bore, wall, pipe = rest
    c2 = np.sqrt(np.asarray(gamma, float) * GAS_CONSTANT * np.asarray(t2, float) / np.asarray(molar_mass, float))
    rho2 = np.asarray(density, float) * np.asarray(p2, float) / np.asarray(p1, float)
    return _Wall(c2, rho2, np.asarray(valve_bore, float), np.asarray(pipe_bore, float), np.asarray(wall, float), pipe)


def gas_noise_spectrum(
    source: GasSource,
    p1: ArrayLike,
    p2: ArrayLike,
    t2: ArrayLike,
    density: ArrayLike,
    gamma: ArrayLike,
    molar_mass: ArrayLike,
    valve_bore: ArrayLike,
    pipe_bore: ArrayLike,
    wall: ArrayLike,
    **pipe: Any,
) -> np.ndarray:
    """Unweighted third-octave levels at 1 m, bands of `FREQUENCIES` on the first axis.

    Parameters
    ----------
    source : GasSource
        The sound inside, from `gas_noise_source`.
    p1, p2 : array_like
        Pressure before and behind the valve, absolute. [Pa]
    t2 : array_like
        Temperature behind. [K]
    density : array_like
        Density at the inlet. [kg/m3]
    gamma : array_like
        Ratio of specific heats. [-]
    molar_mass : array_like
        Molar mass. [kg/mol]
    valve_bore, pipe_bore, wall : array_like
        Bore of the valve, bore and wall of the pipe behind. [m]
    pipe : array_like
        pipe_density, pipe_sound_speed, air_sound_speed, air_pressure, as in `gas_noise`. [SI]
    """
    with np.errstate(divide="ignore", invalid="ignore"):
        filtered = _wall(p1, p2, t2, density, gamma, molar_mass, valve_bore, pipe_bore, wall, {**_PIPE, **pipe})
        return np.asarray(10 * np.log10(np.stack(list(_bands(source, filtered)))))
