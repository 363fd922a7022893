"""What flows in numbers: density, vapour pressure, viscosity and gas properties of each item, and on what they rest."""

import functools
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from softseat import tables
from softseat.media import gases, liquids, seawater, water
from softseat.media import mixture as mixtures
from softseat.media.table import table

NAMES = ("density", "pv", "pc", "viscosity", "molar_mass", "gamma", "z", "sound_speed", "boiling")
GASEOUS = ("gas", "steam", "vapour")
_PHASES = {"liquid": "liquid", "gas": "gas", "slurry": "slurry", "powder": "powder", "liquefied gas": "liquid", "two-phase": "liquid"}
_GAS_MODELS = ("gas", "steam")
_ATMOSPHERE = 101325.0
_NAN = float("nan")


@dataclass(frozen=True, slots=True)
class _Case:
    """The items of one row of the table: row, temperature, pressure, strength, state."""

    row: tables.Row
    t: np.ndarray
    p: np.ndarray
    share: np.ndarray
    gaseous: np.ndarray
    medium: int

    def figure(self, head: str, unit: str = "-") -> float:
        return tables.number(self.row[head], unit)


Values = dict[str, np.ndarray]


def _water(case: _Case) -> Values:
    wet = water.liquid(case.t, np.fmax(case.p, water.saturation_pressure(case.t)))
    found = {
        "density": wet.density,
        "pv": water.saturation_pressure(case.t),
        "viscosity": water.viscosity(case.t, wet.density),
        "sound_speed": wet.sound_speed,
    }
    steam = _steam(case)
    found |= {name: steam[name] for name in ("pc", "molar_mass", "boiling")}
    return {name: np.where(case.gaseous, steam[name], found.get(name, np.array(_NAN))) for name in steam}


def _steam(case: _Case) -> Values:
    """Steam; where it would condense, the saturated vapour of the stated temperature is taken."""
    pressure = np.fmin(case.p, water.saturation_pressure(case.t))
    state = water.vapour(case.t, np.where(case.t > water.T_CRITICAL, case.p, pressure))
    ideal = gases.ideal_gamma(gases.gas("water_vapour"), case.t)
    with np.errstate(invalid="ignore", divide="ignore"):
        z = pressure / (state.density * water.GAS_CONSTANT * case.t)
    return {
        "density": state.density,
        "pv": water.saturation_pressure(case.t),
        "pc": np.array(water.P_CRITICAL),
        "viscosity": water.viscosity(case.t, state.density),
        "molar_mass": np.array(water.MOLAR_MASS),
        "gamma": ideal,
        "z": z,
        "sound_speed": state.sound_speed,
        "boiling": np.array(373.124),
    }


def _seawater(case: _Case) -> Values:
    salt = float(case.row["fluid"])
    share = np.where(np.isnan(case.share) | (case.share < 1e-3), salt, case.share)  # a strength in ppm is a dose, not the salt
    return {
        "density": seawater.density(case.t, case.p, share),
        "pv": seawater.vapour_pressure(case.t, share),
        "pc": np.array(water.P_CRITICAL),
        "viscosity": seawater.viscosity(case.t, case.p, share),
        "molar_mass": np.array(water.MOLAR_MASS),
        "sound_speed": seawater.sound_speed(case.t, case.p, share),
        "boiling": np.array(373.124),
    }


def _gas(case: _Case) -> Values:
    one = mixtures.of(case.row["fluid"])
    return {
        "density": gases.density(one, case.t, case.p),
        "pv": np.array(_NAN),
        "pc": one.p_critical,
        "viscosity": gases.viscosity(one, case.t),
        "molar_mass": one.molar_mass,
        "gamma": gases.ideal_gamma(one, case.t),
        "z": gases.compressibility(one, case.t, case.p),
        "sound_speed": gases.sound_speed(one, case.t, case.p),
        "boiling": one.boiling,
    }


def _solution(case: _Case) -> Values:
    """By strength; where none is said, the usual one of the row, or the middle of its range."""
    key, _, usual = case.row["fluid"].partition(" ")
    media, place = table(), case.medium - 1
    middle = float(usual) if usual else (media.c_min[place] + media.c_max[place]) / 2
    density, viscosity, pv = liquids.solution(key, np.where(np.isnan(case.share), middle, case.share), case.t)
    return {"density": density, "viscosity": viscosity, "pv": pv, "pc": np.array(water.P_CRITICAL), "boiling": np.array(373.124)}


def _liquid(case: _Case) -> Values:
    row = case.figure
    boiling, pc, tc = row("boiling_C", "C"), row("critical_bar", "bar"), row("critical_C", "C")
    ratio = row("pv_over_water")
    with np.errstate(invalid="ignore"):
        pv = ratio * water.saturation_pressure(case.t) if not np.isnan(ratio) else liquids.vapour_pressure_at(boiling, tc, pc, case.t)
    return {
        "density": liquids.density_at(row("density_20C_kg_m3"), row("expansion_1e-3_K") * 1e-3, case.t),
        "viscosity": liquids.viscosity_at(row("viscosity_20C_mPas") * 1e-3, row("viscosity_60C_mPas") * 1e-3, case.t),
        "pv": pv,
        "pc": np.array(pc),
        "boiling": np.array(373.124 if not np.isnan(ratio) else boiling),
    }


def _nothing(case: _Case) -> Values:
    return {}


_MODELS = {
    "water": _water,
    "seawater": _seawater,
    "steam": _steam,
    "gas": _gas,
    "solution": _solution,
    "liquid": _liquid,
    "slurry": _liquid,
    "powder": _nothing,
}


def _by_library(case: _Case) -> Values:
    from softseat.media import fluids  # takes seconds to import: only where such a fluid occurs

    found = {name: np.full(case.t.shape, _NAN) for name in NAMES}
    for phase, here in (("gas", case.gaseous), ("liquid", ~case.gaseous)):
        if here.any():
            fluid = fluids.properties(case.row["fluid"], case.t[here], case.p[here], phase)
            for name in NAMES:
                found[name][here] = getattr(fluid, name)
    return found


@functools.cache
def _rows() -> dict[int, tables.Row]:
    return {int(row["medium_id"]): row for row in tables.read("fluid_properties")}


def _state(row: tables.Row, phase: str, asked: np.ndarray) -> np.ndarray:
    """State of each item: as stated, else by its row; two-phase rows flow as what carries them."""
    own = row["model"] if row["model"] in _GAS_MODELS else _PHASES.get(phase, "liquid")
    return np.where((asked == "") | (asked == "two-phase") | (asked == "vacuum"), own, asked)


def _filled(out: dict[str, np.ndarray], here: np.ndarray, case: _Case) -> None:
    model = case.row["model"]
    values = _by_library(case) if model == "coolprop" else _MODELS[model](case)
    for name, value in values.items():
        out[name][here] = np.broadcast_to(value, case.t.shape)
    out["source"][here] = f"{case.row['source']} ({case.row['certainty']})"


def properties(
    medium_id: npt.ArrayLike,
    temperature: npt.ArrayLike,
    pressure: npt.ArrayLike,
    concentration: npt.ArrayLike = _NAN,
    state: npt.ArrayLike = "",
) -> dict[str, np.ndarray]:
    """Properties of the medium of each item at its state.

    Parameters
    ----------
    medium_id : array_like
        Row of media.csv, nan where the medium is not known [-]
    temperature : array_like
        Temperature [K]
    pressure : array_like
        Pressure, absolute [Pa]
    concentration : array_like
        Strength, mass share; nan: the middle of the row [-]
    state : str or array of str
        "liquid", "gas", "steam" where it was said; "" takes the phase of the row.

    Returns
    -------
    properties : dict of ndarray
        density, pv, pc, viscosity, molar_mass, gamma (ideal), z, sound_speed, boiling in SI, nan where nothing is known;
        state and source as words, "" where the medium is not known.
    """
    arrays = np.broadcast_arrays(
        *(np.atleast_1d(np.asarray(x, float)) for x in (medium_id, temperature, pressure, concentration)),
        np.atleast_1d(np.asarray(state, str)),
    )
    number, t, p, share, asked = arrays
    out: dict[str, np.ndarray] = {name: np.full(number.shape, _NAN) for name in NAMES}
    out |= {"state": np.full(number.shape, "", "U12"), "source": np.full(number.shape, "", "U160")}
    phases = table().phase
    for one in np.unique(number[~np.isnan(number)]):
        row = _rows().get(int(one))
        if row is None:
            continue
        here = number == one
        kind = _state(row, str(phases[int(one) - 1]), asked[here])
        out["state"][here] = kind
        _filled(out, here, _Case(row, t[here], p[here], share[here], np.isin(kind, GASEOUS), int(one)))
    return out
