"""What the shell of a body stands at a temperature, by the rating tables of its standard."""

import functools

import numpy as np
import numpy.typing as npt

from softseat.errors import UnknownName
from softseat.register import calculation
from softseat.tables import Row, number, read
from softseat.tables.nominal import class_word, dn, known, listed, nps, plain, words

Curve = tuple[np.ndarray, np.ndarray, str]  # temperature [K], pressure [Pa gauge], certainty


def _curve(rows: list[Row]) -> Curve:
    """One column of a rating table; where a table has both, the metric figures."""
    metric = [r for r in rows if r["T_unit"] == "C"] or rows
    t = np.array([number(r["T"], r["T_unit"]) for r in metric])
    p = np.array([number(r["p"], r["p_unit"]) for r in metric])
    order = np.argsort(t)
    return t[order], p[order], metric[0]["certainty"]


@functools.cache
def _curves() -> dict[tuple[str, str, str, str], Curve]:
    groups: dict[tuple[str, str, str, str], list[Row]] = {}
    for row in read("pressure_temperature_ratings"):
        key = row["system"], row["material"], plain(row["rating"]), row["size_range"]
        groups.setdefault(key, []).append(row)
    return {key: _curve(rows) for key, rows in groups.items()}


@functools.cache
def _materials() -> dict[tuple[str, str], tuple[str, float, str]]:
    """Material of the table, its lowest temperature and certainty, by standard and word."""
    return {
        (row["system"], plain(row["word"])): (row["material"], number(row["t_min_C"], "C"), row["certainty"])
        for row in read("rating_materials")
    }


def _size_range(system: str, material: str, class_: str, size: float) -> str | None:
    """The column of the size: ``all``, or the range of NPS that holds it."""
    ranges = [k[3] for k in _curves() if k[:3] == (system, material, class_)]
    if "all" in ranges:
        return "all"
    for text in ranges:
        low, high = (float(x) for x in text.removeprefix("NPS ").split("-"))
        if low <= float(nps(size)) <= high:
            return text
    return None


NO_CURVE: Curve = (np.array([np.nan]), np.array([np.nan]), "")


def _found(system: str, material: str, class_: str, size: float) -> tuple[Curve, float]:
    named, lowest, certainty = _materials().get((system, plain(material)), ("", np.nan, ""))
    span = _size_range(system, named, plain(class_), size)
    if span is None:
        return NO_CURVE, np.nan
    t, p, sure = _curves()[system, named, plain(class_), span]
    return (t, p, certainty if certainty == "medium" else sure), lowest


def _at(curve: Curve, lowest: float, temperature: npt.ArrayLike) -> np.ndarray:
    """Between the points in a straight line; below the first the first, down to the lowest temperature; nan outside."""
    t, p, _ = curve
    asked = np.asarray(temperature, float)
    within = (asked >= lowest - 1e-6) & (asked <= t[-1] + 1e-6)
    return np.where(within, np.interp(asked, t, p), np.nan)


def shell_ratings(
    system: npt.ArrayLike, material: npt.ArrayLike, rating: npt.ArrayLike, dn: npt.ArrayLike, temperature: npt.ArrayLike
) -> np.ndarray:
    """Rating of each body at its temperature [Pa gauge]; nan where no table has it or the temperature is outside.

    Parameters
    ----------
    system : array_like
        Rating standard; "" takes the usual one: EN 1092-2 or -1 for PN, ASME B16.34, B16.42 or B16.1 for Class. [-]
    material : array_like
        Body material as written. [-]
    rating : array_like
        PN16, Class 150. [-]
    dn : array_like
        DN number. [-]
    temperature : array_like
        Of the body. [K]
    """
    texts = (np.asarray(x, str) for x in (system, material, rating))
    s, m, r, d, t = np.broadcast_arrays(*texts, np.asarray(dn, float), np.asarray(temperature, float))
    out = np.full(t.shape, np.nan)
    rows: dict[tuple[str, str, str, float], list[int]] = {}
    for n, key in enumerate(zip(*(x.ravel().tolist() for x in (s, m, r, d)), strict=True)):
        rows.setdefault(key, []).append(n)
    flat, temperatures = out.ravel(), t.ravel()
    for (standard, word, label, size), here in rows.items():
        curve, lowest = _found(_standard(standard) or usual_standard(word, label), word, label, size)
        flat[here] = _at(curve, lowest, temperatures[here])
    return flat.reshape(t.shape)


def _standard(word: str) -> str:
    return words("rating").get(plain(word), "")


def usual_standard(material: str, rating: str) -> str:
    """The standard that rates this material in this rating; "" where none does.

    Parameters
    ----------
    material : str
        Body material as written.
    rating : str
        PN16, Class 150.
    """
    rated = {key[:3] for key in _curves()}
    for (system, word), (named, _, _) in _materials().items():
        if word == plain(material) and (system, named, plain(rating)) in rated:
            return system
    return ""


@calculation(
    "rating",
    source="ASME B16.34, B16.42, B16.1; EN 1092-1:2018; EN 1092-2:1997",
    formula="table, straight line between temperatures",
    example={"system": "ASME B16.34", "material": "A216 WCB", "class": "Class 150", "size": "NPS 8", "temperature": "100 C"},
    each=True,
)
@class_word
def rating(system: str, material: str, size: str, temperature: float, *, class_: str) -> tuple[float, str]:
    """Pressure that the shell of a body stands at a temperature; the liner and the maker may allow less.

    Parameters
    ----------
    system : str
        ASME B16.34, ASME B16.42, ASME B16.1, EN 1092-1, EN 1092-2.
    material : str
        A216 WCB, A351 CF8M, A395, A126 Class B, EN-GJS-400-15, EN-GJL-250, GP240GH, 1.4408.
    class : str
        PN10, PN16, PN25, Class 125, Class 150, as the system has it.
    size : str
        DN200, NPS 8; it decides in ASME B16.1 only.
    temperature : array_like
        Of the body. [K]

    Returns
    -------
    pressure : float
        Above the atmosphere; nan where the temperature is outside the table (below -10 C in EN, -29 C in ASME), or the size is. [Pa(g)]
    certainty : str
        How sure the table is: high, medium-high, medium; empty where there is none.

    References
    ----------
    The standards named, from memory and public copies; straight lines between the temperatures as they allow.
    """
    standard = known("rating", "system", system)
    offered = [row["word"] for row in read("rating_materials") if row["system"] == standard]
    if (standard, plain(material)) not in _materials():
        raise UnknownName(f"material {material!r} is not rated in {standard}; it rates {listed(offered)}")
    named = _materials()[standard, plain(material)][0]
    classes = {k[2] for k in _curves() if k[:2] == (standard, named)}
    if plain(class_) not in classes:
        raise UnknownName(f"class {class_!r} is not in {standard} for {material}; it has {listed(sorted(classes))}")
    curve, lowest = _found(standard, material, class_, dn(size))
    return float(_at(curve, lowest, temperature)), curve[2]
