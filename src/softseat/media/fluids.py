"""Fluids of the reference library CoolProp, for what the small tables do not hold; imported only where such a fluid occurs."""

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

import CoolProp
import CoolProp.CoolProp as library
import numpy as np
import numpy.typing as npt

from softseat.errors import UnknownName


@dataclass(frozen=True, slots=True)
class Fluid:
    """Properties at each state, nan where the library gives none."""

    density: np.ndarray
    pv: np.ndarray
    pc: np.ndarray
    viscosity: np.ndarray
    molar_mass: np.ndarray
    gamma: np.ndarray
    z: np.ndarray
    sound_speed: np.ndarray
    boiling: np.ndarray


def _one(output: str, *state: Any) -> float:
    """One figure; nan where the library refuses the state or has no model (it says so by ValueError only)."""
    try:
        value = float(library.PropsSI(output, *state))
    except ValueError:
        return float("nan")
    return value if np.isfinite(value) else float("nan")


def known(name: str) -> bool:
    """Whether the library has this fluid.

    Parameters
    ----------
    name : str
        Name as the library knows it, without mixtures.
    """
    return not np.isnan(_one("M", name)) or not np.isnan(_one("D", "T", 293.15, "P", 101325.0, name))


def _at(name: str, phase: str, t: float, p: float, state: Any) -> tuple[float, ...]:
    """Density, vapour pressure, viscosity, ideal gamma, compressibility, speed of sound of one state."""
    if state is None or np.isnan(p) or np.isnan(t):
        return _at_plainly(name, phase, t, p)
    pv = _figure(lambda: _saturated(state, t))
    boils = phase == "liquid" and not np.isnan(pv) and p < pv
    condenses = phase == "gas" and not np.isnan(pv) and p > pv
    try:
        if boils or condenses:
            state.update(CoolProp.QT_INPUTS, 0.0 if boils else 1.0, t)
        else:
            state.update(CoolProp.PT_INPUTS, p, t)
    except ValueError:
        return _at_plainly(name, phase, t, p)
    cp0 = _figure(state.cp0molar)
    rest = _figure(state.viscosity), cp0 / (cp0 - 8.314462618), _figure(state.compressibility_factor), _figure(state.speed_sound)
    return (_figure(state.rhomass), pv, *rest)


def _saturated(state: Any, t: float) -> float:
    """Vapour pressure. [Pa]"""
    state.update(CoolProp.QT_INPUTS, 0.0, t)
    return float(state.p())


def _figure(read: Callable[[], float]) -> float:
    """One figure of a state; nan where the library has none."""
    try:
        value = float(read())
    except ValueError:
        return float("nan")
    return value if np.isfinite(value) else float("nan")


def _at_plainly(name: str, phase: str, t: float, p: float) -> tuple[float, ...]:
    """The same call by call: of a solution, and where the state is not known to the library."""
    nan = float("nan")
    if np.isnan(t):
        return (nan,) * 6
    pv = _one("P", "T", t, "Q", 0.0, name)
    if np.isnan(p) or name.startswith("INCOMP"):
        state: tuple[Any, ...] = ("T", t, "P", p if not np.isnan(p) else 101325.0, name)
    else:
        boils = phase == "liquid" and not np.isnan(pv) and p < pv
        condenses = phase == "gas" and not np.isnan(pv) and p > pv
        state = ("T", t, "Q", 0.0 if boils else 1.0, name) if boils or condenses else ("T", t, "P", p, name)
    cp0 = _one("CP0MOLAR", "T", t, "P", min(p, 1e5) if p > 0 else 1e5, name)
    gamma = cp0 / (cp0 - 8.314462618)
    found = (_one("D", *state), pv, _one("V", *state), gamma, _one("Z", *state), _one("A", *state))
    return found


def properties(name: str, temperature: npt.ArrayLike, pressure: npt.ArrayLike, phase: str = "liquid") -> Fluid:
    """Properties of one fluid, computed once for each different state.

    Parameters
    ----------
    name : str
        Name as the library knows it ("Acetone", "INCOMP::MEG[0.35]").
    temperature : array_like
        Temperature [K]
    pressure : array_like
        Pressure, absolute [Pa]
    phase : str
        "liquid" or "gas": where the state lies on the other side of saturation, the saturated value of this phase is taken.

    Returns
    -------
    fluid : Fluid
        Arrays in SI; nan where the library gives none.
    """
    if not known(name):
        raise UnknownName(f"fluid {name!r} is not known to CoolProp")
    t, p = np.broadcast_arrays(np.asarray(temperature, float), np.asarray(pressure, float))
    states, back = np.unique(np.stack([t.ravel(), p.ravel()]), axis=1, return_inverse=True)
    # one state, set anew for each row: PropsSI builds one at every call, which costs twenty times the sum
    state = None if "::" in name else CoolProp.AbstractState("HEOS", name)
    rows = np.array([_at(name, phase, float(a), float(b), state) for a, b in states.T]).reshape(-1, 6)[np.ravel(back)]
    density, pv, viscosity, gamma, z, sound = (rows[:, n].reshape(t.shape) for n in range(6))
    fixed = (_one("PCRIT", name), _one("M", name), _one("T", "P", 101325.0, "Q", 0.0, name))
    pc, mass, boiling = (np.full(t.shape, value) for value in fixed)
    return Fluid(density, pv, pc, viscosity, mass, gamma, z, sound, boiling)


def saturation_pressure(name: str, temperature: float) -> float:
    """Vapour pressure of a fluid of the library.

    Parameters
    ----------
    name : str
        Name as the library knows it.
    temperature : float
        Temperature [K]

    Returns
    -------
    pressure : float
        Bubble-point pressure, absolute [Pa]; nan above the critical point.
    """
    return _one("P", "T", temperature, "Q", 0.0, name)


def saturation_temperature(name: str, pressure: float) -> float:
    """Boiling temperature of a fluid of the library.

    Parameters
    ----------
    name : str
        Name as the library knows it.
    pressure : float
        Pressure, absolute [Pa]

    Returns
    -------
    temperature : float
        Bubble-point temperature [K]; nan above the critical pressure.
    """
    return _one("T", "P", pressure, "Q", 0.0, name)
