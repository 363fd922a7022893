"""The category of a valve under the pressure-equipment directive, by the charts for piping."""

import numpy as np
import numpy.typing as npt

from softseat.errors import InputError
from softseat.register import calculation
from softseat.tables.nominal import dn

BAR = 1e5  # [Pa]: the charts are drawn in bar and DN
SEP, I, II, III = "SEP", "I", "II", "III"
OUTSIDE = "outside"
EXCLUSIONS = {
    "": "",
    "pipeline": "a pipeline to or from an installation is excluded, Art. 1(2)(a)",
    "water network": "a network for the supply, distribution and discharge of water is excluded, Art. 1(2)(b)",
}


def _table_6(ps: np.ndarray, dn: np.ndarray) -> np.ndarray:
    """Gas, group 1. Between DN 25 and 100 above PS DN = 3500 the stricter reading, III."""
    return np.select([dn <= 25, (dn <= 100) & (ps * dn <= 1000), (dn <= 350) & (ps * dn <= 3500)], [SEP, I, II], III)


def _table_7(ps: np.ndarray, dn: np.ndarray) -> np.ndarray:
    """Gas, group 2."""
    sep = (dn <= 32) | (ps * dn <= 1000)
    return np.select([sep, (ps * dn <= 3500) | (dn <= 100), (ps * dn <= 5000) | (dn <= 250)], [SEP, I, II], III)


def _table_8(ps: np.ndarray, dn: np.ndarray) -> np.ndarray:
    """Liquid, group 1."""
    return np.select([(dn <= 25) | (ps * dn <= 2000), ps <= 10, ps <= 500], [SEP, I, II], III)


def _table_9(ps: np.ndarray, dn: np.ndarray) -> np.ndarray:
    """Liquid, group 2."""
    return np.select([(dn <= 200) | (ps <= 10) | (ps * dn <= 5000), ps <= 500], [SEP, I], II)


def categories(gas: npt.ArrayLike, fluid_group: npt.ArrayLike, dn: npt.ArrayLike, ps: npt.ArrayLike) -> np.ndarray:
    """Category of each valve: SEP, I, II, III; ``outside`` at 0.5 bar or less; empty where a value is not known.

    Parameters
    ----------
    gas : array_like
        True for gases, vapours, and liquids that boil above 1.5 bar absolute at their highest temperature. [-]
    fluid_group : array_like
        1 (dangerous) or 2. [-]
    dn : array_like
        DN number. [-]
    ps : array_like
        Highest allowable pressure, a difference to the atmosphere. [Pa]

    References
    ----------
    Directive 2014/68/EU, Art. 4 and Annex II, tables 6 to 9.
    """
    is_gas, group, size, pascal = np.broadcast_arrays(np.asarray(gas, bool), *(np.asarray(x, float) for x in (fluid_group, dn, ps)))
    bar = np.round(pascal / BAR, 9)  # 1e6 Pa is 10 bar to the last bit
    charts = [(t, g) for t in (True, False) for g in (1, 2)]
    tables = [f(bar, size) for f in (_table_6, _table_7, _table_8, _table_9)]
    found = np.select([(is_gas == t) & (group == g) for t, g in charts], tables, "")
    known = np.isfinite(bar) & np.isfinite(size) & (found != "")
    return np.select([~known, bar <= 0.5], ["", OUTSIDE], found)


def boils(pv: npt.ArrayLike) -> np.ndarray:
    """Whether a liquid counts as a gas: its vapour pressure at the highest temperature is over 0.5 bar above 1013 mbar.

    Parameters
    ----------
    pv : array_like
        Vapour pressure at the highest allowable temperature, absolute. [Pa]

    References
    ----------
    Directive 2014/68/EU, Art. 4(1)(a)(i).
    """
    with np.errstate(invalid="ignore"):
        return np.asarray(pv, float) > 1.013 * BAR + 0.5 * BAR


@calculation(
    "equipment-category",
    source="Directive 2014/68/EU, Art. 1, 4 and Annex II tables 6 to 9",
    formula="piping charts over DN and PS DN",
    example={"state": "gas", "fluid_group": 2, "size": "DN200", "ps": "16 bar"},
    each=True,
)
def equipment_category(
    state: str, fluid_group: float, size: str, ps: float, pv: float = float("nan"), exclusion: str = ""
) -> tuple[str, str]:
    """Category of a valve as a pressure accessory of piping.

    Parameters
    ----------
    state : str
        gas, liquid.
    fluid_group : array_like
        1 (dangerous, Art. 13) or 2. [-]
    size : str
        DN200, NPS 8.
    ps : array_like
        Highest allowable pressure PS, a difference to the atmosphere: 10 bar, not 10 bar(g). [Pa]
    pv : array_like
        Vapour pressure of a liquid at its highest temperature, absolute: more than 0.5 bar above the atmosphere makes it a gas. [Pa]
    exclusion : str
        pipeline, water network; empty where neither.

    Returns
    -------
    category : str
        SEP (sound engineering practice, Art. 4(3), no CE mark), I, II, III, or ``outside`` the directive.
    reason : str
        What decided it.

    References
    ----------
    Directive 2014/68/EU. The charts were not seen as drawn: the lines are those of Art. 4(1)(c), and of the French order of
    15 March 2000 for gases; table 6 (PS DN above 3500 below DN 100) is read on the strict side.
    """
    if state not in ("gas", "liquid"):
        raise InputError(f"state {state!r} is not one of gas, liquid")
    if fluid_group not in (1, 2):
        raise InputError(f"fluid_group {fluid_group!r} is not one of 1, 2")
    if exclusion not in EXCLUSIONS:
        raise InputError(f"exclusion {exclusion!r} is not one of {', '.join(filter(None, EXCLUSIONS))}")
    if exclusion:
        return OUTSIDE, EXCLUSIONS[exclusion]
    gas = state == "gas" or bool(boils(pv))
    found = str(categories(gas, fluid_group, dn(size), ps))
    return found, _reason(found, gas, state, int(fluid_group))


def _reason(category: str, gas: bool, state: str, group: int) -> str:
    if category == OUTSIDE:
        return "not more than 0.5 bar above the atmosphere, Art. 1(1)"
    chart = {(True, 1): 6, (True, 2): 7, (False, 1): 8, (False, 2): 9}[gas, group]
    boiling = " (the liquid boils at more than 0.5 bar: it counts as a gas)" if gas and state == "liquid" else ""
    article = ", Art. 4(3): no CE mark" if category == SEP else ""
    return f"Annex II table {chart}{boiling}{article}"
