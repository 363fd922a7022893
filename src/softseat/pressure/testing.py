"""Pressures, times and leak limits of the production tests on a finished valve."""

import math

import numpy as np

from softseat.errors import InputError, UnknownName
from softseat.pressure.least import cold_pressure, rated_family
from softseat.register import calculation
from softseat.tables import Row, index, number, read
from softseat.tables.nominal import dn, known, listed, plain

MM3 = 1e-9  # [m3]
SURENESS = ("low", "low-medium", "medium", "medium-high", "high")


def body_family(body: str) -> str:
    """What a Class is rated by: steel, stainless, ductile iron or grey iron; steel where no body is named.

    Parameters
    ----------
    body : str
        Material as written, or one of the four words.
    """
    named = next((r["material"] for r in read("rating_materials") if plain(r["word"]) == plain(body)), body).lower()
    for word, family in (("grey iron", "grey iron"), ("ductile iron", "ductile iron"), ("group 2", "stainless"), ("1.4408", "stainless")):
        if word in named:
            return family
    return "stainless" if "stainless" in named else "steel"


def _duration(rule: str, size: float) -> Row:
    standard, test = rule.split("|")
    rows = [r for r in read("test_durations") if r["standard"] == standard and r["test"] == test]
    found = next((r for r in rows if size <= number(r["DN_max"])), None)
    if found is None:
        raise InputError(f"size DN{size:.6g} is beyond the test times of {standard}, which end at DN{number(rows[-1]['DN_max']):g}")
    return found


def _shell(rule: Row, standard: str, label: str, size: float, family: str, ps: float) -> float:
    """1.5 x, rounded up as the standard has it; iron bodies of API 598 by its own table."""
    for row in read("test_shell_iron"):
        ours = row["standard"] == standard and plain(row["rating"]) == label and row["family"] == family
        if ours and number(row["dn_from"]) <= size <= number(row["dn_to"]):
            return number(row["shell"], row["unit"])
    kind = "round_pn" if label.startswith("PN") else "round_class"
    pressure = number(rule["shell_factor"]) * ps
    if not rule[kind] or not math.isfinite(pressure):
        return pressure
    step = number(rule[kind], rule[f"{kind}_unit"])
    return math.ceil(round(pressure / step, 6)) * step


def _seat(rule: Row, medium: str, difference: float) -> float:
    liquid = number(rule["seat_factor"]) * difference
    if medium == "water":
        return liquid
    gas = number(rule["gas_seat"], rule["gas_unit"])
    return float(np.minimum(gas, liquid)) if rule["gas_capped"] == "yes" else gas


def leak_limit(leakage: str, size: float, medium: str) -> float:
    """Highest leakage of a seat at a rate of EN 12266-1 or ISO 5208. [m3/s]

    Parameters
    ----------
    leakage : str
        A (none visible) to G.
    size : array_like
        DN number. [-]
    medium : str
        water, air.

    References
    ----------
    EN 12266-1:2012, ISO 5208:2015: coefficient x DN in mm3/s, from memory.
    """
    rates = index("leakage_rates", "rate")
    if leakage not in rates:
        raise UnknownName(f"leakage {leakage!r} is not a rate; rates are {listed(rates)}")
    head = "liquid_mm3_per_s_per_DN" if medium == "water" else "gas_mm3_per_s_per_DN"
    return number(rates[leakage][head]) * size * MM3


@calculation(
    "test-pressures",
    source="EN 12266-1:2012; ISO 5208:2015; API 598; MSS SP-61",
    formula="shell = 1.5 PS, seat = 1.1 PS; gas 6 bar, or 1.1 PS if less",
    example={"standard": "EN 12266-1", "rating": "PN16", "size": "DN200", "medium": "water"},
    each=True,
)
def proof_pressures(
    standard: str,
    rating: str,
    size: str,
    medium: str = "water",
    body: str = "",
    rating_pressure: float | None = None,
    seat_rating: float | None = None,
    leakage: str = "A",
) -> tuple[float, float, float, float, float, str, str]:
    """Test pressures, times and leak limit of a finished valve; the shell is always pressed with water.

    Parameters
    ----------
    standard : str
        EN 12266-1, ISO 5208, API 598, MSS SP-61.
    rating : str
        PN16, Class 150, Table E, 10K.
    size : str
        DN200, NPS 8.
    medium : str
        Of the seat test: water, air.
    body : str
        Body material as written; it sets the pressure of a Class. Left out it is carbon steel.
    rating_pressure : array_like
        What the maker rates the valve for, above the atmosphere, where that is not what the rating says. [Pa]
    seat_rating : array_like
        Difference that the seat is rated for, where that is less than the valve. [Pa]
    leakage : str
        Rate A to G of EN 12266-1; a rubber-lined valve is tested to A.

    Returns
    -------
    shell : float
        Shell test with water, above the atmosphere; nan where the rating says no pressure. [Pa(g)]
    seat : float
        Seat test, above the atmosphere; nan where the rating says no pressure. [Pa(g)]
    shell_time : float
        Shortest time under shell test; nan where the table has none. [s]
    seat_time : float
        Shortest time under seat test; nan where the table has none. [s]
    leak_limit : float
        0: none visible; nan where the table has none. [m3/s]
    certainty : str
        How sure the least sure of these is; ``low`` where a table was not seen.
    remark : str
        What is to be checked before it is certified.

    References
    ----------
    EN 12266-1:2012, tests P10, P12, tables A.2, A.4; ISO 5208:2015; API 598; from memory. Table A.4 was not seen.
    """
    key = known("test", "standard", standard)
    if medium not in ("water", "air"):
        raise InputError(f"medium {medium!r} is not one of water, air")
    rule, number_of, label, family = index("test_rules", "standard")[key], dn(size), plain(rating), rated_family(rating, body_family(body))
    if label not in {plain(r["rating"]) for r in read("rating_pressures")}:
        raise UnknownName(f"rating {rating!r} is not known; known are {listed(r['rating'] for r in read('rating_pressures'))}")
    ps = float(cold_pressure(rating, number_of, family)) if rating_pressure is None else rating_pressure
    shell = _shell(rule, key, label, number_of, family, ps) if rating_pressure is None else number(rule["shell_factor"]) * ps
    seat = _seat(rule, medium, ps if seat_rating is None else min(ps, seat_rating))
    times = [_duration(rule[head], number_of) for head in ("shell_duration", "seat_duration")]
    shell_time, seat_time = (number(row["seconds"]) for row in times)
    sure = min((*(r["certainty"] for r in times), rule["certainty"]), key=SURENESS.index)
    remark = "; ".join(dict.fromkeys([rule["remark"], *(f"{r['standard']}: {r['source']}" for r in times)]))
    return shell, seat, shell_time, seat_time, leak_limit(leakage, number_of, medium), sure, remark
