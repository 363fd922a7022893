"""Single look-ups by the words of a medium: what it is, its properties at a state, where it boils."""

import math

import numpy as np

from softseat.errors import InputError, UnknownName
from softseat.media import gases, water
from softseat.media.lexicon import lexicon
from softseat.media.names import Match, find
from softseat.media.properties import properties
from softseat.register import calculation

_NAN = float("nan")
_WATER = ("water", "steam")


def recognised(medium: str, concentration: float = _NAN) -> Match:
    """The medium that these words mean, or a mistake that says so.

    Parameters
    ----------
    medium : str
        Medium as typed, or its number in the media table.
    concentration : array_like
        Strength, mass share; nan where none is said [-]

    Raises
    ------
    UnknownName
        Where nothing, or too loose a word, was found.
    """
    names = lexicon().names
    if medium.strip().isdigit() and int(medium) in names:
        return Match(medium, int(medium), names[int(medium)], 1.0, False, concentration, how="number")
    match = find(medium, concentration)
    if match.medium_id is None:
        near = f" ({'; '.join(names[n] for n in match.candidates)})" if match.candidates else ""
        raise UnknownName(f"medium {medium!r} is not known: {match.question or 'name it as a substance, with its strength'}{near}")
    return match


@calculation(
    "medium",
    source="media.csv, from memory of general guides",
    formula="",
    example={"medium": "H2SO4 98% dosing"},
    each=True,
)
def medium(medium: str, concentration: float = _NAN) -> tuple[float, str, float, float, str]:
    """What is meant by a medium as typed.

    Parameters
    ----------
    medium : str
        Medium as typed.
    concentration : array_like
        Strength, mass share [-]

    Returns
    -------
    medium_id : float
        Row of the media table [-]; nan where nothing was found or the word is too loose.
    name : str
        Name of that row.
    share : float
        How sure, 0 to 1 [-]
    concentration : float
        Strength that was read, mass share [-]; nan where none was said.
    question : str
        What to ask back.
    """
    match = find(medium, concentration)
    return (_NAN if match.medium_id is None else float(match.medium_id), match.name, match.share, match.concentration, match.question)


@calculation(
    "gas-properties",
    source="G. Soave, Chem. Eng. Sci. 27 (1972) 1197; Sutherland's law for viscosity",
    formula="z^3 - z^2 + (A - B - B^2) z - A B = 0",
    example={"gas": "air", "temperature": "20 C", "pressure": "7 barg"},
    each=True,
)
def gas_properties(gas: str, temperature: float, pressure: float) -> tuple[float, float, float, float, float, float]:
    """Properties of a common gas at its state.

    Parameters
    ----------
    gas : str
        Row of the gas table, its formula or CAS number.
    temperature : array_like
        Temperature, 220 to 500 [K]
    pressure : array_like
        Pressure, absolute [Pa]

    Returns
    -------
    density : float
        Density [kg/m3]; nan where temperature or pressure is not positive.
    molar_mass : float
        Molar mass [kg/mol]
    gamma : float
        Ratio of specific heats of the ideal gas at this temperature [-]
    z : float
        Compressibility [-]; nan where temperature or pressure is not positive.
    viscosity : float
        Dynamic viscosity [Pa s]
    sound_speed : float
        Speed of sound [m/s]; nan where temperature or pressure is not positive.

    References
    ----------
    G. Soave, Chem. Eng. Sci. 27 (1972) 1197.
    """
    one = gases.gas(gas)
    return (
        float(gases.density(one, temperature, pressure)),
        float(one.molar_mass),
        float(gases.ideal_gamma(one, temperature)),
        float(gases.compressibility(one, temperature, pressure)),
        float(gases.viscosity(one, temperature)),
        float(gases.sound_speed(one, temperature, pressure)),
    )


@calculation(
    "medium-properties",
    source="IAPWS R7-97(2012) and R12-08; Soave 1972; handbook figures by row (fluid_properties.csv); CoolProp",
    formula="",
    example={"medium": "sea water", "temperature": "36 C", "pressure": "2.8 barg"},
    each=True,
)
def medium_properties(
    medium: str, temperature: float, pressure: float, concentration: float = _NAN, state: str = ""
) -> tuple[float, float, float, float, float, float, float, float, str, str]:
    """Properties of a medium at its state.

    Parameters
    ----------
    medium : str
        Medium as typed.
    temperature : array_like
        Temperature [K]
    pressure : array_like
        Pressure, absolute [Pa]
    concentration : array_like
        Strength, mass share [-]
    state : str
        "liquid", "gas" or "steam"; empty takes the usual one.

    Returns
    -------
    density : float
        Density [kg/m3]; nan where the row holds none or the state lies outside.
    pv : float
        Vapour pressure [Pa]; nan where the medium is a gas by its row, or above its critical point.
    pc : float
        Critical pressure [Pa]; nan where the row holds none.
    viscosity : float
        Dynamic viscosity [Pa s]; nan where the row holds none.
    molar_mass : float
        Molar mass [kg/mol]; nan where the row is a liquid other than water.
    gamma : float
        Ratio of specific heats of the ideal gas [-]; nan where the state is liquid.
    z : float
        Compressibility [-]; nan where the state is liquid.
    sound_speed : float
        Speed of sound [m/s]; nan where no equation of state is known.
    state : str
        State that was taken.
    basis : str
        On what the figures rest.
    """
    match = recognised(medium, concentration)
    found = properties(match.medium_id, temperature, pressure, match.concentration, state)  # type: ignore[arg-type]
    numbers = [float(found[name][0]) for name in ("density", "pv", "pc", "viscosity", "molar_mass", "gamma", "z", "sound_speed")]
    return (*numbers, str(found["state"][0]), f"{match.name}: {found['source'][0]}")  # type: ignore[return-value]


def _boiling(name: str, t: float, p: float) -> tuple[float, float]:
    """Both ends of saturation of any fluid but water."""
    from softseat.media import fluids  # takes seconds to import: only where such a fluid occurs

    if fluids.known(name):
        return (fluids.saturation_pressure(name, t), t) if math.isnan(p) else (p, fluids.saturation_temperature(name, p))
    match = recognised(name)
    if math.isnan(t):
        raise InputError(f"pressure: the boiling temperature of {match.name} is not tabulated; give a temperature")
    return float(properties(match.medium_id, t, 1e5)["pv"][0]), t  # type: ignore[arg-type]


@calculation(
    "saturation",
    source="IAPWS R7-97(2012), region 4; CoolProp for other fluids",
    formula="beta^2 theta^2 + n1 beta^2 theta + n2 beta^2 + n3 beta theta^2 + n4 beta theta + n5 beta + n6 theta^2 + n7 theta + n8 = 0",
    example={"medium": "water", "temperature": "120 C"},
    each=True,
)
def saturation(medium: str, temperature: float = _NAN, pressure: float = _NAN) -> tuple[float, float]:
    """At which pressure or temperature a medium boils.

    Parameters
    ----------
    medium : str
        "water", "steam", a fluid of the reference library, or any medium with a vapour pressure.
    temperature : array_like
        Temperature; left out where the pressure is given [K]
    pressure : array_like
        Pressure, absolute; left out where the temperature is given [Pa]

    Returns
    -------
    pressure : float
        Saturation pressure, absolute [Pa]; nan where the state lies beyond triple or critical point.
    temperature : float
        Saturation temperature [K]; nan where the state lies beyond triple or critical point.

    References
    ----------
    IAPWS R7-97(2012), equations 30 and 31.
    """
    if math.isnan(temperature) == math.isnan(pressure):
        raise InputError("temperature, pressure: give exactly one of the two")
    if medium.strip().casefold() not in _WATER and not _is_water(medium):
        return _boiling(medium, temperature, pressure)
    if math.isnan(pressure):
        return float(water.saturation_pressure(temperature)), float(temperature)
    return float(pressure), float(np.asarray(water.saturation_temperature(pressure)))


def _is_water(words: str) -> bool:
    match = find(words)
    return (
        match.medium_id is not None
        and not match.guess
        and match.name.startswith(("steam", "condensate", "demineralised", "potable", "hot water"))
    )
