"""Third-octave bands, the A-weighting, and what both parts of IEC 60534-8 share about the pipe."""

import functools

import numpy as np
from numpy.typing import ArrayLike

from softseat.errors import InputError
from softseat.register import calculation
from softseat.tables import number, read

_TEN = np.array([1, 1.25, 1.6, 2, 2.5, 3.15, 4, 5, 6.3, 8])
FREQUENCIES = np.concatenate([10 * _TEN[1:], 100 * _TEN, 1000 * _TEN, 10000 * _TEN[:4]])  # [Hz] nominal mid frequencies, IEC 61260-1


_A_WEIGHTS = """-63.4 -56.7 -50.5 -44.7 -39.4 -34.6 -30.2 -26.2 -22.5 -19.1 -16.1 -13.4 -10.9 -8.6 -6.6 -4.8 -3.2 -1.9 -0.8
    0.0 0.6 1.0 1.2 1.3 1.2 1.0 0.5 -0.1 -1.1 -2.5 -4.3 -6.6 -9.3"""


@functools.cache
def a_weights() -> np.ndarray:
    """A-weighting of the bands, as the standard prints it. [dB]

    References
    ----------
    IEC 61672-1:2013, table 3.
    """
    return np.array(_A_WEIGHTS.split(), float)


def ring_frequency(pipe_bore: ArrayLike, pipe_sound_speed: ArrayLike) -> np.ndarray:
    """Ring frequency of the pipe.

    Parameters
    ----------
    pipe_bore : array_like
        Bore of the pipe. [m]
    pipe_sound_speed : array_like
        Speed of sound in the pipe wall. [m/s]
    """
    return np.asarray(np.asarray(pipe_sound_speed, float) / (np.pi * np.asarray(pipe_bore, float)))


def spread_to_1m(pipe_bore: ArrayLike, wall: ArrayLike) -> np.ndarray:
    """Share of the sound power per area at the wall that is left 1 m from it.

    Parameters
    ----------
    pipe_bore, wall : array_like
        Bore and wall of the pipe. [m]
    """
    outside = np.asarray(pipe_bore, float) + 2 * np.asarray(wall, float)
    return np.asarray(outside / (outside + 2.0))


def octave_levels(third_levels: ArrayLike) -> np.ndarray:
    """Octave levels from 12.5 Hz (band 16 Hz) to 20 kHz (band 16 kHz), of 33 third-octave levels on the first axis.

    Parameters
    ----------
    third_levels : array_like
        Third-octave levels, 33 on the first axis. [dB]

    Returns
    -------
    octave_levels : ndarray
        Levels of the 11 octaves 16 Hz to 16 kHz; nan where a third is not known. [dB]
    """
    thirds = np.asarray(third_levels, float)
    if thirds.shape[:1] != (33,):
        raise InputError(f"third_levels has {thirds.shape[:1]} bands on its first axis; needed are 33, from 12.5 Hz to 20 kHz")
    energy = 10 ** (thirds / 10)
    return np.asarray(10 * np.log10(energy.reshape(11, 3, *thirds.shape[1:]).sum(axis=1)))


@calculation("noise-coefficients", source="IEC 60534-8-3:2010, table 4; IEC 60534-8-4:2015", example={"style": "swing-through"}, each=True)
def noise_coefficients(style: str) -> tuple[float, float, float, float]:
    """Acoustic efficiency exponents and Strouhal number of a style of valve.

    Parameters
    ----------
    style : str
        swing-through, flat disc 60, fluted, eccentric, globe, expander.

    Returns
    -------
    gas_efficiency : float
        Exponent A_eta in gas; never nan. [-]
    gas_strouhal : float
        Strouhal number of the peak in gas; never nan. [-]
    liquid_efficiency : float
        Exponent A_eta in liquid; never nan. [-]
    acoustic_ratio : float
        rW of the 2005 edition; nan where the edition has none for the style. [-]
    """
    rows = {r["style"]: r for r in read("noise_styles")}
    if style not in rows:
        raise InputError(f"style {style!r} is not known; allowed are {', '.join(rows)}")
    row = rows[style]
    return number(row["gas_efficiency"]), number(row["gas_strouhal"]), number(row["liquid_efficiency"]), number(row["acoustic_ratio"])
