"""A valve is rated by the least of its parts."""

import functools

import numpy as np
import numpy.typing as npt

from softseat.register import calculation
from softseat.tables import Row, number, read
from softseat.tables.nominal import plain

PARTS = "shell", "seat", "shaft", "dead end"


@calculation(
    "valve-rating",
    source="API 609:2009, 3.1: least of shell, seat and pressure difference",
    formula="min(shell, seat, shaft, dead end)",
    example={"shell": "16 bar", "seat": "10 bar", "shaft": "12 bar"},
)
def valve_rating(
    shell: npt.ArrayLike, seat: npt.ArrayLike, shaft: npt.ArrayLike = np.inf, dead_end: npt.ArrayLike = np.inf
) -> tuple[np.ndarray, np.ndarray]:
    """Highest pressure of a valve, and the part that sets it.

    Parameters
    ----------
    shell : array_like
        Rating of the body at temperature, above the atmosphere. [Pa]
    seat : array_like
        Difference that the seat is rated for. [Pa]
    shaft : array_like
        Difference that shaft and disc stand; left out it does not limit. [Pa]
    dead_end : array_like
        Rating with one flange removed; left out where both sides are piped. [Pa]

    Returns
    -------
    pressure : ndarray
        Above the atmosphere; nan where one of the parts is not known. [Pa]
    limited_by : ndarray of str
        shell, seat, shaft or dead end; empty where one of the parts is not known.
    """
    parts = np.array(np.broadcast_arrays(shell, seat, shaft, dead_end), float)
    unknown = np.isnan(parts).any(axis=0)
    first = np.argmin(np.where(np.isnan(parts), np.inf, parts), axis=0)
    return np.where(unknown, np.nan, parts.min(axis=0)), np.where(unknown, "", np.array(PARTS)[first])


@functools.cache
def _rows(rating: str) -> tuple[Row, ...]:
    return tuple(row for row in read("rating_pressures") if plain(row["rating"]) == rating)


def _cold(rating: str, dn: float, family: str) -> float:
    for row in _rows(plain(rating)):
        if number(row["dn_from"]) <= dn <= number(row["dn_to"]) and row["material"] in (family, ""):
            return number(row["pressure"], row["unit"])
    return float("nan")


def cold_pressure(rating: npt.ArrayLike, dn: npt.ArrayLike, family: npt.ArrayLike = "steel") -> np.ndarray:
    """What a rating says of the pressure at room temperature [Pa gauge]; nan where the rating is not known.

    Parameters
    ----------
    rating : array_like
        PN16, Class 150, Table E, 10K. [-]
    dn : array_like
        DN number; it decides in Class 125 only. [-]
    family : array_like
        steel, stainless, ductile iron, grey iron: what a Class is rated by; a PN asks nothing. [-]

    References
    ----------
    EN 1333; ASME B16.34, B16.42, B16.1; BS 10; JIS B 2220: table ``rating_pressures``.
    """
    label, size, body = np.broadcast_arrays(np.asarray(rating, str), np.asarray(dn, float), np.asarray(family, str))
    rows = zip(label.ravel(), size.ravel(), body.ravel(), strict=True)
    return np.array([_cold(str(r), float(d), rated_family(str(r), str(b))) for r, d, b in rows]).reshape(size.shape)


def rated_family(rating: str, family: str) -> str:
    """What a rating is a rating of: Class 125 is one of grey iron, whatever else was said.

    Parameters
    ----------
    rating : str
        PN16, Class 150.
    family : str
        steel, stainless, ductile iron, grey iron.
    """
    return "grey iron" if plain(rating) == "CLASS125" else family
