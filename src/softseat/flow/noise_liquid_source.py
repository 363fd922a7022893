"""Sound of a liquid inside the pipe: turbulence and cavitation at the valve (IEC 60534-8-4:2015)."""

from typing import NamedTuple

import numpy as np
from numpy.typing import ArrayLike

from softseat.flow.cavitation import N34, incipient_xfz
from softseat.flow.coefficient import CV
from softseat.register import calculation

N14 = 4.6e-3  # with C as Cv, in whose column the annex is worked; the Kv column's 4.9e-3 is the same within its rounding
REFERENCE = 3.2e9  # 4/(pi 2e-5^2): level from intensity and bore


class LiquidSource(NamedTuple):
    """What the registered calculation returns, by name; `LiquidSource` of arrays of one shape."""

    xf: np.ndarray
    xfzp1: np.ndarray
    jet_diameter: np.ndarray
    jet_velocity: np.ndarray
    stream_power: np.ndarray
    efficiency_turbulent: np.ndarray
    efficiency_cavitating: np.ndarray
    sound_power: np.ndarray
    internal_level: np.ndarray
    strouhal: np.ndarray
    peak_turbulent: np.ndarray
    peak_cavitating: np.ndarray


@calculation(
    "liquid-noise-source",
    source="IEC 60534-8-4:2015, clauses 5 and 6",
    formula="Wa = (eta_turb + eta_cav) Wm, eta_turb = 10^A U/c, Lpi = 10 log10(3.2e9 Wa rho c/Di^2)",
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
        "fl": 0.92,
        "fd": 0.42,
        "acoustic_efficiency": -4.6,
    },
)
def liquid_noise_source(
    mass_flow: ArrayLike,
    p1: ArrayLike,
    p2: ArrayLike,
    pv: ArrayLike,
    density: ArrayLike,
    sound_speed: ArrayLike,
    kv: ArrayLike,
    valve_bore: ArrayLike,
    pipe_bore: ArrayLike,
    fl: ArrayLike,
    fd: ArrayLike,
    xfz: ArrayLike | None = None,
    acoustic_efficiency: ArrayLike = -4.3,
) -> LiquidSource:
    """Sound power and internal level of a liquid at a valve, step by step.

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
    pipe_bore : array_like
        Bore of the pipe behind. [m]
    fl, fd : array_like
        Recovery factor and style modifier at this opening. [-]
    xfz : array_like
        Tested xFz at 6 bar; estimated where not known. [-]
    acoustic_efficiency : array_like
        Exponent A_eta of the style; -4.3 for a butterfly valve. [-]

    Returns
    -------
    xf : ndarray
        Pressure ratio (p1 - p2)/(p1 - pv); nan where p2 is not below p1 or the liquid flashes. [-]
    xfzp1 : ndarray
        Ratio at which cavitation is first heard, at this inlet pressure; nan where an input is missing. [-]
    jet_diameter : ndarray
        Diameter of one jet; nan where an input is missing. [m]
    jet_velocity : ndarray
        Velocity in the vena contracta; nan as xf. [m/s]
    stream_power : ndarray
        Mechanical stream power; nan as xf. [W]
    efficiency_turbulent, efficiency_cavitating : ndarray
        Share that becomes sound, by turbulence and by cavitation (0 where there is none); nan as xf. [-]
    sound_power : ndarray
        Sound power; nan as xf. [W]
    internal_level : ndarray
        Sound pressure level inside the pipe; nan as xf. [dB]
    strouhal : ndarray
        Strouhal number of the turbulent peak; nan as xf. [-]
    peak_turbulent, peak_cavitating : ndarray
        Peak frequencies; nan as xf, the second also where nothing cavitates. [Hz]

    References
    ----------
    IEC 60534-8-4:2015, clauses 5 and 6.
    """
    p1, p2, pv, fl, fd, d, di = (np.asarray(v, float) for v in (p1, p2, pv, fl, fd, valve_bore, pipe_bore))
    rho, c, cv = np.asarray(density, float), np.asarray(sound_speed, float), np.asarray(kv, float) / CV
    with np.errstate(divide="ignore", invalid="ignore"):
        xf = np.where((p2 < p1) & (p2 > pv), (p1 - p2) / (p1 - pv), np.nan)
        limit = incipient_xfz(kv, fl, fd, p1, xfz)[1]
        fl2 = np.square(fl)
        drop = np.where(np.isnan(xf), np.nan, np.minimum(p1 - p2, fl2 * (p1 - pv)))
        jet = N14 * fd * np.sqrt(cv * fl)
        speed = np.sqrt(2 * drop / rho) / fl
        power = np.asarray(mass_flow, float) * drop / rho
        turbulent = 10 ** np.asarray(acoustic_efficiency, float) * speed / c
        cavitating = np.where(xf > limit, turbulent * _cavitation_gain(xf, limit, (p1 - p2) / drop), 0.0)
        cavitating = np.where(np.isnan(xf), np.nan, cavitating)
        sound = (turbulent + cavitating) * power
        level = 10 * np.log10(REFERENCE * sound * rho * c / np.square(di))
        strouhal = 0.036 * fl2 * cv * fd**0.75 / (N34 * limit**1.5 * np.square(d)) * (p1 - pv) ** -0.57
        peak = strouhal * speed / jet
        peak_cav = np.where(xf > limit, 6 * peak * np.square((1 - xf) / (1 - limit)) * (limit / xf) ** 2.5, np.nan)
    return LiquidSource(xf, limit, jet, speed, power, turbulent, cavitating, sound, level, strouhal, peak, peak_cav)


def _cavitation_gain(xf: np.ndarray, limit: np.ndarray, drops: np.ndarray) -> np.ndarray:
    """eta_cav over eta_turb. Powers are written as products and roots: they are most of the time of a noise run."""
    ratio, excess = xf / limit, xf - limit
    fifth = np.square(np.square(ratio)) * ratio
    return np.asarray(0.32 * np.sqrt(drops / limit * (1 - limit) / (1 - xf)) * np.exp(5 * limit) * fifth * excess * np.sqrt(excess))
