"""Which holes a flange has, and which flange has these holes."""

import functools
from typing import Any

import numpy as np

from softseat.errors import InputError, UnknownName
from softseat.piping.drilling import drilling, drillings, size_word
from softseat.register import calculation
from softseat.tables import column, read
from softseat.tables.nominal import dn, known, listed, plain


@functools.cache
def _ratings() -> dict[str, list[str]]:
    d = drillings()
    pairs = dict.fromkeys(zip(d.system.tolist(), d.rating.tolist(), strict=True))
    return {s: [r for t, r in pairs if t == s] for s in dict.fromkeys(s for s, _ in pairs)}


@calculation(
    "flange",
    source="EN 1092-1:2018; EN 1092-2:1997; ASME B16.5, B16.1, B16.47 A; BS 10:1962; AS 4087; JIS B 2220:2012",
    formula="table",
    example={"system": "EN 1092-1", "rating": "PN16", "size": "DN200"},
    each=True,
)
def flange(system: str, rating: str, size: str) -> tuple[float, float, float, float, str, float, str]:
    """Outside diameter and drilling of a flange.

    Parameters
    ----------
    system : str
        EN 1092-1, EN 1092-2, ASME B16.5, ASME B16.1, ASME B16.47 A, BS 10, AS 4087, JIS B2220.
    rating : str
        PN6, PN10, PN16, PN25, Class 125, Class 150, Table D, Table E, 10K, as the system has it.
    size : str
        DN200, NPS 8, 200A.

    Returns
    -------
    outside_diameter : float
        Outside diameter; nan where the system has no trusted row of this size. [m]
    bolt_circle : float
        Diameter of the bolt circle; nan where the system has no trusted row of this size. [m]
    holes : float
        Number of holes; nan where the system has no trusted row of this size. [-]
    hole_diameter : float
        Diameter of the holes; nan where the system has no trusted row of this size. [m]
    bolt : str
        Thread: M20, 3/4 in (BS 10 as its metric equivalent); empty where the system has no trusted row of this size.
    flange_thickness : float
        From the contact face to the nut, raised face included: type 11 of EN 1092-1, ductile iron type 21 of EN 1092-2, the
        minimum of ASME; nan where the table has none. [m]
    certainty : str
        How sure the row is: high, medium-high, medium.

    References
    ----------
    The standards named, from memory and public lists; the table says how each row was held against others.
    """
    key = known("flange", "system", system)
    if plain(rating) not in {plain(r) for r in _ratings()[key]}:
        raise UnknownName(f"rating {rating!r} is not in {key}; it has {listed(_ratings()[key])}")
    d = drilling(key, rating, dn(size))
    numbers = (float(x) for x in (d.outside_diameter, d.bolt_circle, d.holes, d.hole_diameter))
    od, circle, holes, hole = numbers
    return od, circle, holes, hole, str(d.bolt), float(d.flange_thickness), str(d.certainty)


@functools.cache
def _allowances() -> tuple[float, ...]:
    """How far a measured flange may be off its table: bolt circle, hole, outside diameter. [m]"""
    found = {row["quantity"]: n for n, row in enumerate(read("flange_measuring"))}
    allowed = column("flange_measuring", "allowance_mm", "mm")
    return tuple(float(allowed[found[q]]) for q in ("bolt_circle", "hole_diameter", "outside_diameter"))


@calculation(
    "flange-from-measures",
    source="the drilling tables of this package",
    formula="least worst difference of bolt circle, hole and outside diameter at the same number of holes",
    example={"bolt_circle": "294 mm", "holes": 8, "hole_diameter": "22.5 mm", "outside_diameter": "341 mm"},
    each=True,
)
def flange_from_measures(
    bolt_circle: float, holes: float, hole_diameter: float, outside_diameter: float = float("nan")
) -> list[dict[str, Any]]:
    """The flanges that a measured one can be, best first.

    Parameters
    ----------
    bolt_circle : array_like
        Diameter through the centres of the holes, as measured. [m]
    holes : array_like
        Number of holes. [-]
    hole_diameter : array_like
        Diameter of a hole, as measured. [m]
    outside_diameter : array_like
        Outside diameter, as measured; left out it is not compared. [m]

    Returns
    -------
    candidates : list of dict
        system, rating, size, worst_difference [m] of the compared measures; empty where no flange is within the allowances.
    """
    if not (bolt_circle > 0 and holes > 0 and hole_diameter > 0):
        raise InputError("bolt_circle, holes and hole_diameter must be above 0")
    d = drillings()
    off = np.abs([d.bolt_circle - bolt_circle, d.hole_diameter - hole_diameter, d.outside_diameter - outside_diameter])
    within = np.all((off <= np.array(_allowances())[:, None]) | np.isnan(off), axis=0) & (d.holes == holes)
    worst = np.nanmax(off, axis=0)
    best = np.flatnonzero(within)[np.argsort(worst[within], kind="stable")]
    return [
        {"system": s, "rating": r, "size": size_word(s, n), "worst_difference": float(w)}
        for s, r, n, w in zip(d.system[best].tolist(), d.rating[best].tolist(), d.dn[best].tolist(), worst[best], strict=True)
    ]
