"""Metals of body, disc and shaft: strength by grade and temperature, resistance to pitting, brittleness in frost."""

import functools
import re
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from softseat import tables
from softseat.errors import UnknownName
from softseat.register import calculation
from softseat.tables import number

_NAN = float("nan")


def _first(text: str) -> float:
    found = re.match(r"\s*(-?\d+(?:\.\d+)?)", text)
    return float(found.group(1)) if found else _NAN


@dataclass(frozen=True, slots=True)
class Body:
    """One body or disc material of body_class.csv, in SI."""

    key: str
    material: str
    en: str
    astm: str
    tensile_strength: float  # Pa, the lower end of a printed range
    yield_strength: float  # Pa
    elongation: float  # share
    t_min: float  # K
    t_max: float  # K, nan where the liner decides
    brittle: bool
    frost_rule: str
    cost_rank: int
    certainty: str


@functools.cache
def bodies() -> dict[str, Body]:
    """Every body and disc material by its key."""
    found = {}
    for row in tables.read("body_class"):
        found[row["key"]] = Body(
            row["key"],
            row["material"],
            row["EN"],
            row["ASTM_UNS"],
            _first(row["Rm_MPa"]) * 1e6,
            _first(row["Rp02_MPa"]) * 1e6,
            _first(row["A_percent"]) / 100,
            _first(row["t_min_C"]) + 273.15,
            _first(row["t_max_C"]) + 273.15,
            row["brittle"] == "yes",
            row["frost_shock_rule"],
            int(row["rank_cost_1low"]),
            row["certainty"],
        )
    return found


def body(key: str) -> Body:
    """One body or disc material.

    Parameters
    ----------
    key : str
        Key of body_class.csv.
    """
    try:
        return bodies()[key]
    except KeyError:
        raise UnknownName(f"body or disc material {key!r} is not known; known are {', '.join(bodies())}") from None


def brittle_below(key: npt.ArrayLike) -> np.ndarray:
    """Temperature below which a body material is not to be used.

    Parameters
    ----------
    key : str or array of str
        Keys of body_class.csv.

    Returns
    -------
    t_min : ndarray
        Lowest temperature in pressure service [K]; nan where the key is not known or the rubber decides.
    """
    words = np.asarray(key, str)
    found = [bodies()[str(w)].t_min if str(w) in bodies() else _NAN for w in words.ravel()]
    return np.array(found).reshape(words.shape)


@calculation(
    "pitting-resistance",
    source="PREN = Cr + 3.3 Mo + 16 N (EN 10088-1 annex, ISO 15156-3; common form)",
    formula="PREN = 100 (Cr + 3.3 (Mo + 0.5 W) + 16 N)",
    example={"chromium": 0.25, "molybdenum": 0.04, "nitrogen": 0.27e-2},
)
def pren(chromium: npt.ArrayLike, molybdenum: npt.ArrayLike, nitrogen: npt.ArrayLike, tungsten: npt.ArrayLike = 0.0) -> np.ndarray:
    """Pitting resistance equivalent of a stainless steel.

    Parameters
    ----------
    chromium, molybdenum, nitrogen, tungsten : array_like
        Mass share of the element [-]

    Returns
    -------
    pren : ndarray
        Pitting resistance equivalent number [-]; nan where an element is not known.

    References
    ----------
    ISO 15156-3 (the form with tungsten); EN 10088-1 annex (from memory).
    """
    share = [np.asarray(x, float) for x in (chromium, molybdenum, tungsten, nitrogen)]
    return np.asarray(100 * (share[0] + 3.3 * (share[1] + 0.5 * share[2]) + 16 * share[3]))


@functools.cache
def _shaft_rows() -> dict[str, tables.Row]:
    """Rows of the shaft table: ``<number> <condition>``, and the number alone for the weakest condition of it."""
    found: dict[str, tables.Row] = {}
    for row in tables.read("shaft_materials"):
        found[f"{row['number']} {row['condition']}"] = row
        weakest = found.get(row["number"])
        if weakest is None or number(row["Rp02_min_MPa"]) < number(weakest["Rp02_min_MPa"]):
            found[row["number"]] = row
    return found


@functools.cache
def _hot() -> dict[str, tuple[np.ndarray, np.ndarray]]:
    """Yield over temperature as a share of the printed room value, by family."""
    found: dict[str, list[tuple[float, float]]] = {}
    for row in tables.read("yield_over_temperature"):
        found.setdefault(row["family"], []).append((number(row["temperature_C"], "C"), number(row["share"])))
    return {family: (np.array([t for t, _ in pairs]), np.array([s for _, s in pairs])) for family, pairs in found.items()}


def _family(steel: str) -> str:
    return next((row["family"] for row in tables.read("shaft_families") if row["number"] == steel.partition(" ")[0]), "")


def _yield(steel: str, temperature: np.ndarray) -> np.ndarray:
    row = _shaft_rows().get(steel)
    if row is None:
        return np.full(temperature.shape, _NAN)
    over, share = _hot().get(_family(steel), (np.array([293.15]), np.array([1.0])))
    factor = np.interp(temperature, over, share)
    inside = (temperature <= over[-1] + 1e-9) | (len(over) == 1)
    return np.where(np.isnan(temperature) | ~inside, _NAN, number(row["Rp02_min_MPa"], "MPa") * factor)


@calculation(
    "shaft-yield",
    source="EN 10088-3:2014, ASTM A276, A564, EN 10083-2 (from memory); fall with temperature EN 10088-3 (from memory)",
    formula="Rp0.2(t) = Rp0.2(20 C) f(t)",
    example={"shaft": "1.4462", "temperature": "20 C"},
    each=True,
)
def shaft_yield(shaft: str, temperature: float = 293.15) -> float:
    """Smallest proof strength of a shaft steel at its temperature.

    Parameters
    ----------
    shaft : str
        Number of the steel, with its condition where it has several ("1.4021 QT800"); the number alone takes the weakest.
    temperature : array_like
        Temperature of the shaft [K]

    Returns
    -------
    yield_strength : float
        0.2 % proof strength [Pa]; nan where the temperature is above the last of the table.

    References
    ----------
    EN 10088-3:2014, EN 10083-2:2006, ASTM A276, A564, B865 (from memory).
    """
    if shaft not in _shaft_rows():
        raise UnknownName(f"shaft {shaft!r} is not known; known are {', '.join(_shaft_rows())}")
    return float(_yield(shaft, np.asarray(temperature, float)))


def shaft_yields(shaft: npt.ArrayLike, temperature: npt.ArrayLike) -> np.ndarray:
    """The same for many shafts at once.

    Parameters
    ----------
    shaft : str or array of str
        Numbers of steels, with or without condition; "" where none is named.
    temperature : array_like
        Temperature of the shaft [K]

    Returns
    -------
    yield_strength : ndarray
        0.2 % proof strength [Pa]; nan where the steel is not known or the table ends.
    """
    words, t = np.broadcast_arrays(np.asarray(shaft, str), np.asarray(temperature, float))
    found = np.full(words.shape, _NAN)
    for key in np.unique(words):
        found = np.where(words == key, _yield(str(key), t), found)
    return found
