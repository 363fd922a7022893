"""Sound of a gas inside the pipe: five regimes of the jet, and the expander behind (IEC 60534-8-3:2010)."""

from typing import NamedTuple

import numpy as np
from numpy.typing import ArrayLike

from softseat.flow.coefficient import CV
from softseat.flow.gas_viscous import GAS_CONSTANT
from softseat.flow.noise_liquid_source import N14, REFERENCE
from softseat.register import calculation

CONTRACTION = 0.93  # of the valve's outlet, equation 40
SMOOTH_MACH = 0.3  # up to it the pipe flow adds no noise, clause 7
EXPANDER_EFFICIENCY, EXPANDER_STROUHAL = 1e-3, 0.2  # table 4: A_eta -3.0; with it annex example 6 gives the 94 it prints
DEEP = 22.0  # pressure ratio of the jet from which it grows no louder, regime V


class GasSource(NamedTuple):
    """What the registered calculation returns, by name; arrays of one shape."""

    regime: np.ndarray
    vena_contracta_pressure: np.ndarray
    jet_diameter: np.ndarray
    sound_power: np.ndarray
    peak_frequency: np.ndarray
    mach: np.ndarray
    mach_correction: np.ndarray
    internal_level: np.ndarray
    expander_level: np.ndarray
    expander_peak: np.ndarray


@calculation(
    "gas-noise-limits",
    source="IEC 60534-8-3:2010, clause 5",
    formula="xvcc = 1 - (2/(gamma + 1))^(gamma/(gamma - 1)), xC = FL^2 xvcc",
    example={"gamma": 1.22, "fl": 0.805},
)
def gas_noise_limits(gamma: ArrayLike, fl: ArrayLike) -> tuple[np.ndarray, np.ndarray, np.ndarray, np.ndarray, np.ndarray]:
    """Pressure drop ratios between the regimes of the jet.

    Parameters
    ----------
    gamma : array_like
        Ratio of specific heats. [-]
    fl : array_like
        Liquid pressure recovery factor, FLP/FP with fittings. [-]

    Returns
    -------
    x_c : ndarray
        End of regime I, sonic flow in the vena contracta; nan where an input is missing. [-]
    x_vcc : ndarray
        End of regime II; nan where an input is missing. [-]
    x_b : ndarray
        End of regime III, break point; nan where an input is missing. [-]
    x_ce : ndarray
        End of regime IV, constant efficiency; nan where an input is missing. [-]
    recovery : ndarray
        Recovery correction alpha; nan where an input is missing. [-]

    References
    ----------
    IEC 60534-8-3:2010, clause 5.
    """
    k = np.asarray(gamma, float)
    with np.errstate(divide="ignore", invalid="ignore"):
        x_vcc = 1 - (2 / (k + 1)) ** (k / (k - 1))
        x_c = np.square(np.asarray(fl, float)) * x_vcc
        alpha = (1 - x_vcc) / (1 - x_c)
        x_b = 1 - (1 / k) ** (k / (k - 1)) / alpha
        return x_c, x_vcc, np.asarray(x_b), 1 - 1 / (DEEP * alpha), alpha


@calculation(
    "gas-noise-source",
    source="IEC 60534-8-3:2010, clauses 5 and 7",
    formula="Wa = eta Wm, Lpi = 10 log10(3.2e9 Wa rho2 c2/Di^2) + Lg",
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
        "fl": 0.805,
        "fd": 0.296,
        "acoustic_efficiency": -3.8,
        "strouhal": 0.2,
    },
)
def gas_noise_source(
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
    fl: ArrayLike,
    fd: ArrayLike,
    acoustic_efficiency: ArrayLike = -4.2,
    strouhal: ArrayLike = 0.3,
    t2: ArrayLike | None = None,
) -> GasSource:
    """Sound power and internal level of a gas at a valve, step by step.

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
    pipe_bore : array_like
        Bore of the pipe behind. [m]
    fl : array_like
        Recovery factor at this opening, FLP/FP with fittings. [-]
    fd : array_like
        Style modifier at this opening. [-]
    acoustic_efficiency : array_like
        Exponent A_eta of the style; -4.2 for a butterfly valve. [-]
    strouhal : array_like
        Strouhal number of the peak; 0.3 for a butterfly valve. [-]
    t2 : array_like
        Temperature behind; as before where not known. [K]

    Returns
    -------
    regime : ndarray
        1 to 5; nan where p2 is not below p1 or an input is missing. [-]
    vena_contracta_pressure : ndarray
        By the subsonic equation, below zero where it does not hold; nan where an input is missing. [Pa]
    jet_diameter : ndarray
        Diameter of one jet; nan where an input is missing. [m]
    sound_power : ndarray
        Sound power; nan as regime. [W]
    peak_frequency : ndarray
        Peak of the spectrum; nan as regime. [Hz]
    mach : ndarray
        Mach number in the pipe behind; nan as regime. [-]
    mach_correction : ndarray
        Correction for that Mach number, Lg; nan as regime. [dB]
    internal_level : ndarray
        Sound pressure level of the valve inside the pipe; nan as regime. [dB]
    expander_level : ndarray
        Level inside the pipe of the flow from the valve into it; nan where the Mach number is not above 0.3. [dB]
    expander_peak : ndarray
        Peak frequency of that flow; nan where the Mach number is not above 0.3. [Hz]

    References
    ----------
    IEC 60534-8-3:2010, clauses 5 and 7.
    """
    p1, p2, k, fl, di = (np.asarray(v, float) for v in (p1, p2, gamma, fl, pipe_bore))
    m, rho1, a_eta, st = (np.asarray(v, float) for v in (mass_flow, density, acoustic_efficiency, strouhal))
    with np.errstate(divide="ignore", invalid="ignore"):
        x = np.where((p2 < p1) & (p2 >= 0), 1 - p2 / p1, np.nan)
        jet = N14 * np.asarray(fd, float) * np.sqrt(np.asarray(kv, float) / CV * fl)
        regime, eta, power, peak = _jet(x, k, fl, np.sqrt(p1 / rho1), 10**a_eta, st / jet)
        sound = eta * power * m
        rho2 = rho1 * p2 / p1
        c2 = np.sqrt(k * GAS_CONSTANT * np.asarray(t1 if t2 is None else t2, float) / np.asarray(molar_mass, float))
        mach = np.where(np.isnan(x), np.nan, 4 * m / (np.pi * np.square(di) * rho2 * c2))
        lg = -16 * np.log10(1 - np.minimum(mach, SMOOTH_MACH))
        to_level = REFERENCE * rho2 * c2 / np.square(di)
        level = 10 * np.log10(to_level * sound) + lg
        loud, pitch = _expander(mach, m, c2, np.asarray(valve_bore, float), di)
        loud = 10 * np.log10(to_level * loud) + lg
    return GasSource(regime, p1 * (1 - x / np.square(fl)), jet, sound, peak, mach, lg, level, loud, pitch)


def _jet(
    x: np.ndarray, k: np.ndarray, fl: np.ndarray, root: np.ndarray, base: np.ndarray, pitch: np.ndarray
) -> tuple[np.ndarray, np.ndarray, np.ndarray, np.ndarray]:
    """Regime, acoustic efficiency, stream power of 1 kg/s and peak frequency. ``root`` is sqrt(p1/rho1), ``pitch`` is Stp/Dj."""
    x_c, x_vcc, x_b, x_ce, alpha = gas_noise_limits.__wrapped__(k, fl)  # type: ignore[attr-defined]
    regime = np.where(np.isnan(x), np.nan, 1.0 + (x > x_c) + (x > x_vcc) + (x > x_b) + (x > x_ce))
    n, two = (k - 1) / k, 2 / (k - 1)
    relative = (1 - x / np.square(fl)) ** n  # temperature in the vena contracta over that before the valve
    mvc2 = two * (1 / relative - 1)
    mj2 = np.minimum(two * ((alpha * (1 - x)) ** -n - 1), two * (DEEP**n - 1))
    mj2 = np.where(x >= 1, two * (DEEP**n - 1), mj2)
    sonic2 = 2 * k / (k + 1) * np.square(root)
    first, late = regime == 1, regime >= 4
    power = 0.5 * np.where(first, mvc2 * k * np.square(root) * relative, sonic2)
    speed = np.where(first, np.sqrt(mvc2 * k * relative) * root, np.sqrt(sonic2 * np.where(late, 1.96 / (mj2 - 1), mj2)))
    e = 3.3 * np.square(fl)
    shock = np.where(late, 0.5 * mj2 * np.exp2(e), mj2**e * np.where(regime == 2, x / x_vcc, 1.0))
    eta = base * np.where(first, np.square(fl) * mvc2 * np.sqrt(mvc2), shock)
    return regime, eta, power, pitch * speed


def _expander(mach: np.ndarray, m: np.ndarray, c2: np.ndarray, d: np.ndarray, di: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
    """Sound power and peak frequency of the flow that leaves the valve for a larger pipe, from a Mach number of 0.3."""
    speed = np.where(mach > SMOOTH_MACH, mach * c2 * np.square(di / d) / CONTRACTION, np.nan)
    power = 0.5 * m * np.square(speed) * (np.square(1 - np.square(d / di)) + 0.2)
    return np.asarray(EXPANDER_EFFICIENCY * (speed / c2) ** 3 * power), np.asarray(EXPANDER_STROUHAL * speed / d)
