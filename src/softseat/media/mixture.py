"""Mixtures of common gases taken as one gas by ideal mixing."""

import functools
from collections.abc import Mapping

import numpy as np

from softseat.errors import InputError
from softseat.media.gases import Gas, gas

_SLACK = 0.02  # shares printed as rounded per cent need not add up exactly


def mixture(shares: Mapping[str, float]) -> Gas:
    """One gas that stands for a mixture.

    Parameters
    ----------
    shares : mapping
        Mole (volume) share of each gas by its key, adding up to 1 [-]

    Returns
    -------
    gas : Gas
        Critical point and acentric factor by Kay's rule (mole means), heat capacity by mole, viscosity weighted with the root
        of the molar mass.

    Raises
    ------
    InputError
        Where the shares do not add up to 1.

    References
    ----------
    Kay's rule: W. B. Kay, Ind. Eng. Chem. 28 (1936) 1014; viscosity: Herning and Zipperer 1936 (both from memory).
    """
    total = sum(shares.values())
    if abs(total - 1) > _SLACK or any(share < 0 for share in shares.values()):
        raise InputError(f"shares of the mixture add up to {total:.3f}; they must be positive and add up to 1")
    parts = [gas(key) for key in shares]
    x = np.array(list(shares.values())) / total
    weight = x * np.sqrt([g.molar_mass for g in parts])
    at_20 = [g.viscosity * _cooled(g) for g in parts]
    mean = {name: np.sum(x * [getattr(g, name) for g in parts]) for name in ("molar_mass", "t_critical", "p_critical", "acentric")}
    return Gas(
        " ".join(f"{key}:{share:g}" for key, share in shares.items()),
        mean["molar_mass"],
        mean["t_critical"],
        mean["p_critical"],
        mean["acentric"],
        np.sum(x * np.array([g.heat for g in parts]).T, axis=1),
        np.asarray(np.sum(weight * at_20) / np.sum(weight)),
        np.array(293.15),
        np.asarray(np.sum(x * [g.boiling for g in parts])),
    )


def _cooled(one: Gas) -> float:
    """Sutherland's factor that brings the printed viscosity (steam: at 100 C) to 20 C."""
    c, t0, t = 1.47 * one.boiling, one.t_viscosity, 293.15
    return float((t / t0) ** 1.5 * (t0 + c) / (t + c))


@functools.cache
def of(text: str) -> Gas:
    """A gas, or a mixture written as ``methane:0.60 carbon_dioxide:0.40``.

    Parameters
    ----------
    text : str
        Key of a gas, or keys with their mole shares.
    """
    if ":" not in text:
        return gas(text)
    pairs = (word.split(":") for word in text.split())
    return mixture({key: float(share) for key, share in pairs})
