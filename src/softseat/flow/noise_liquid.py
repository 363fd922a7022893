"""Noise of a liquid at a valve, outside of the pipe (IEC 60534-8-4:2015): spectrum, wall, A-weighted level at 1 m."""

from collections.abc import Iterator
from typing import Any

import numpy as np
from numpy.typing import ArrayLike

from softseat.flow.noise_liquid_source import LiquidSource, liquid_noise_source
from softseat.flow.sound_bands import FREQUENCIES, a_weights, ring_frequency, spread_to_1m
from softseat.register import calculation

TURBULENT_SHIFT, CAVITATING_SHIFT = 10**-0.8, 10**-0.9  # of the two spectra, equations 17 and 18


def _bands(
    source: LiquidSource,
    pipe_bore: ArrayLike,
    wall: ArrayLike,
    pipe_density: ArrayLike,
    pipe_sound_speed: ArrayLike,
    air_density: ArrayLike,
    air_sound_speed: ArrayLike,
) -> Iterator[np.ndarray]:
    """Energy of each band at 1 m, over that of the reference pressure. Sums stay in energies: one logarithm at the end."""
    bore, thick = np.asarray(pipe_bore, float), np.asarray(wall, float)
    cp = np.asarray(pipe_sound_speed, float)
    ring = ring_frequency(bore, cp)
    at_ring = (
        0.1 * np.asarray(air_sound_speed, float) * np.asarray(air_density, float) * bore / (cp * np.asarray(pipe_density, float) * thick)
    )
    total = source.efficiency_turbulent + source.efficiency_cavitating
    scale = 10 ** (source.internal_level / 10) * at_ring * spread_to_1m(bore, thick)
    turbulent = TURBULENT_SHIFT * source.efficiency_turbulent / total * scale
    cavitating = CAVITATING_SHIFT * source.efficiency_cavitating / total * scale
    peak, peak3 = source.peak_turbulent, 0.25 / source.peak_turbulent**3
    cav = np.where(source.efficiency_cavitating > 0, source.peak_cavitating, 1.0)
    cav15, ring15 = cav * np.sqrt(cav), 1 / (ring * np.sqrt(ring))
    cav15_inverse = 0.25 / cav15
    for f in FREQUENCIES:
        f15 = f**1.5
        inside = turbulent / (peak3 * f**3 + peak / f) + cavitating / (cav15_inverse * f15 + cav15 / f15)
        yield inside / np.square(ring / f + ring15 * f15)


_PIPE = {"pipe_density": 7800.0, "pipe_sound_speed": 5000.0, "air_density": 1.293, "air_sound_speed": 343.0}


@calculation(
    "liquid-pipe-loss",
    source="IEC 60534-8-4:2005 and 2015, clause 7",
    formula="TL = -10 - 10 log10(cp rhop t/(co rhoo Di)) - 20 log10(fr/f + (f/fr)^1.5)",
    example={"frequency": 654, "pipe_bore": "107.1 mm", "wall": "3.6 mm"},
)
def liquid_pipe_loss(
    frequency: ArrayLike,
    pipe_bore: ArrayLike,
    wall: ArrayLike,
    pipe_density: ArrayLike = _PIPE["pipe_density"],
    pipe_sound_speed: ArrayLike = _PIPE["pipe_sound_speed"],
    air_density: ArrayLike = _PIPE["air_density"],
    air_sound_speed: ArrayLike = _PIPE["air_sound_speed"],
) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """What the wall of a pipe full of liquid takes from the sound inside, at a frequency and at its ring frequency.

    Parameters
    ----------
    frequency : array_like
        Frequency. [Hz]
    pipe_bore, wall : array_like
        Bore and wall of the pipe. [m]
    pipe_density : array_like
        Density of the pipe wall. [kg/m3]
    pipe_sound_speed : array_like
        Speed of sound in the pipe wall. [m/s]
    air_density : array_like
        Density of the air outside. [kg/m3]
    air_sound_speed : array_like
        Speed of sound in the air outside. [m/s]

    Returns
    -------
    ring_frequency : ndarray
        Ring frequency of the pipe; nan where the bore is missing. [Hz]
    ring_loss : ndarray
        Loss there, a negative number; nan where an input is missing. [dB]
    pipe_loss : ndarray
        Loss at the frequency, a negative number; nan where an input is missing. [dB]

    References
    ----------
    IEC 60534-8-4:2015, clause 7.
    """
    bore, cp = np.asarray(pipe_bore, float), np.asarray(pipe_sound_speed, float)
    ring, f = ring_frequency(bore, cp), np.asarray(frequency, float)
    wall_mass = cp * np.asarray(pipe_density, float) * np.asarray(wall, float)
    at_ring = -10 - 10 * np.log10(wall_mass / (np.asarray(air_sound_speed, float) * np.asarray(air_density, float) * bore))
    return ring, at_ring, at_ring - 20 * np.log10(ring / f + (f / ring) ** 1.5)


@calculation(
    "liquid-noise",
    source="IEC 60534-8-4:2015",
    formula="LpAe,1m = 10 log10 sum 10^(0.1(Lpi + F + TL + A)) - 10 log10((Di + 2t + 2)/(Di + 2t))",
    example={
        "mass_flow": 40,
        "p1": "10 bar",
        "p2": "6.5 bar",
        "pv": "2320 Pa",
        "density": 997,
        "sound_speed": 1400,
        "kv": 77.85,
        "valve_bore": "100 mm",
        "pipe_bore": "107.1 mm",
        "wall": "3.6 mm",
        "fl": 0.92,
        "fd": 0.42,
        "acoustic_efficiency": -4.6,
    },
)
def liquid_noise(
    mass_flow: ArrayLike,
    p1: ArrayLike,
    p2: ArrayLike,
    pv: ArrayLike,
    density: ArrayLike,
    sound_speed: ArrayLike,
    kv: ArrayLike,
    valve_bore: ArrayLike,
    pipe_bore: ArrayLike,
    wall: ArrayLike,
    fl: ArrayLike,
    fd: ArrayLike,
    xfz: ArrayLike | None = None,
    acoustic_efficiency: ArrayLike = -4.3,
    pipe_density: ArrayLike = _PIPE["pipe_density"],
    pipe_sound_speed: ArrayLike = _PIPE["pipe_sound_speed"],
    air_density: ArrayLike = _PIPE["air_density"],
    air_sound_speed: ArrayLike = _PIPE["air_sound_speed"],
) -> tuple[np.ndarray, np.ndarray]:
    """A-weighted level 1 m beside the pipe and 1 m behind the valve, and whether turbulence or cavitation makes it.

    Where xFz is estimated the level is no better than 10 dB. A liner and lagging are not credited.

    Parameters
    ----------
    mass_flow : array_like
        Mass flow. [kg/s]
    p1, p2 : array_like
        Pressure before and behind the valve, absolute. [Pa]
    pv : array_like
        Vapour pressure at inlet temperature. [Pa]
    density : array_like
        Density. [kg/m3]
    sound_speed : array_like
        Speed of sound in the liquid. [m/s]
    kv : array_like
        Flow coefficient at this opening. [m3/h]
    valve_bore : array_like
        Bore of the valve (seat orifice). [m]
    pipe_bore, wall : array_like
        Bore and wall of the pipe behind. [m]
    fl, fd : array_like
        Recovery factor and style modifier at this opening. [-]
    xfz : array_like
        Tested xFz at 6 bar; estimated where not known. [-]
    acoustic_efficiency : array_like
        Exponent A_eta of the style; -4.3 for a butterfly valve. [-]
    pipe_density : array_like
        Density of the pipe wall. [kg/m3]
    pipe_sound_speed : array_like
        Speed of sound in the pipe wall. [m/s]
    air_density : array_like
        Density of the air outside. [kg/m3]
    air_sound_speed : array_like
        Speed of sound in the air outside. [m/s]

    Returns
    -------
    noise : ndarray
        A-weighted sound pressure level; nan where p2 is not below p1, where the liquid flashes (outside of the standard) or an input
        is missing. [dB]
    regime : ndarray of str
        turbulent or cavitating; empty where there is no level.

    References
    ----------
    IEC 60534-8-4:2015.
    """
    source = liquid_noise_source(mass_flow, p1, p2, pv, density, sound_speed, kv, valve_bore, pipe_bore, fl, fd, xfz, acoustic_efficiency)
    with np.errstate(divide="ignore", invalid="ignore"):
        bands = _bands(source, pipe_bore, wall, pipe_density, pipe_sound_speed, air_density, air_sound_speed)
        energy = sum(w * band for w, band in zip(10 ** (a_weights() / 10), bands, strict=True))
        noise = 10 * np.log10(energy)
    words = np.where(source.efficiency_cavitating > 0, "cavitating", "turbulent")
    return np.asarray(noise), np.where(np.isnan(noise), "", words)


def liquid_noise_spectrum(source: LiquidSource, pipe_bore: ArrayLike, wall: ArrayLike, **pipe: Any) -> np.ndarray:
    """Unweighted third-octave levels at 1 m, bands of `FREQUENCIES` on the first axis.

    Parameters
    ----------
    source : LiquidSource
        The sound inside, from `liquid_noise_source`.
    pipe_bore, wall : array_like
        Bore and wall of the pipe behind. [m]
    pipe : array_like
        pipe_density, pipe_sound_speed, air_density, air_sound_speed, as in `liquid_noise`. [SI]
    """
    with np.errstate(divide="ignore", invalid="ignore"):
        return np.asarray(10 * np.log10(np.stack(list(_bands(source, pipe_bore, wall, **{**_PIPE, **pipe})))))
