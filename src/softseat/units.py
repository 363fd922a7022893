"""The only conversion: reads what a schedule holds, used at the edges only.

Units, factors, spellings and their sources stand in ``units.csv``. Gauge pressures are above an atmosphere of 101.325 kPa;
a flow of gas at a reference state arrives as the flow at 0 C and 101.325 kPa.
"""

import csv
import functools
import math
import re
import unicodedata
from dataclasses import dataclass
from importlib.resources import files
from typing import TypeVar

import numpy as np

from softseat.errors import InputError, UnknownName

ATMOSPHERE = 101325.0  # [Pa], standard atmosphere
LARGEST = 1e20  # no quantity of a plant comes near it in any unit; what does is a slip, and would overflow further on
_T = TypeVar("_T", float, np.ndarray)

_DIGITS = r"(?:\d{1,3}(?:[ \u00a0\u202f'’]\d{3})+(?![\d])(?:[.,]\d+)?|\d+(?:[.,]\d+)*|[.,]\d+)(?:[eE][+-]?\d+)?"
NUMBER = re.compile(rf"[+\-−]?\s?{_DIGITS}")
FRACTION = re.compile(r"(?:(\d+)[ \-]+)?(\d+)\s?/\s?(2|4|8|16|32)(?!\d)")
_VULGAR = {"½": " 1/2", "¼": " 1/4", "¾": " 3/4", "⅛": " 1/8", "⅜": " 3/8", "⅝": " 5/8", "⅞": " 7/8"}
_NOMINAL = {"DN": "mm", "NB": "mm", "NW": "mm", "Ø": "mm", "NPS": "in"}
_REFERENCES = {"normal_gas": "0 C, 101.325 kPa", "standard_gas": "15 C (60 F for SCF), 101.325 kPa"}
_PLAIN = ("number", "count", "hardness", "mineral hardness", "diameters", "level")  # no factor stands between these


@dataclass(frozen=True, slots=True)
class Unit:
    name: str
    factor: float
    offset: float
    dimension: str
    kind: str  # pressure: gauge, absolute; flow: volume, mass, normal_gas, standard_gas


@dataclass(frozen=True, slots=True)
class Quantity:
    """A text as read: ``value`` in SI; ``note`` tells what was assumed."""

    value: float
    unit: str  # "" where none was typed
    dimension: str
    kind: str = ""  # gauge, absolute, unsaid, difference; volume, mass, normal_gas, standard_gas
    reference: str = ""  # state of a gas flow
    note: str = ""


def _load() -> tuple[dict[str, Unit], dict[str, list[Unit]], dict[str, list[Unit]]]:
    """Units by name, by spelling, and by spelling without regard to capitals."""
    units: dict[str, Unit] = {}
    spelt: dict[str, list[Unit]] = {}
    folded: dict[str, list[Unit]] = {}
    for row in csv.DictReader((files("softseat") / "units.csv").read_text(encoding="utf-8").splitlines()):
        unit = Unit(row["unit"], float(row["factor"]), float(row["offset"]), row["dimension"], row["kind"])
        units[unit.name] = unit
        for alias in filter(None, (unit.name, *row["aliases"].split("|"))):
            spelt.setdefault(tidy := _tidy(alias), []).append(unit)
            folded.setdefault(tidy.lower(), []).append(unit)
    return units, spelt, folded


def _tidy(text: str) -> str:
    """A unit without blanks, raised figures and dots."""
    text = text.replace("''", '"')
    plain = text if text.isascii() else unicodedata.normalize("NFKC", text.replace("º", "°")).replace("μ", "u").replace("µ", "u")
    return re.sub(r"[\s.·^_]", "", plain)


UNITS, _SPELT, _FOLDED = _load()
SI: dict[str, tuple[float, float, str]] = {u.name: (u.factor, u.offset, u.dimension) for u in UNITS.values()}


@functools.lru_cache(maxsize=16384)
def find(text: str, *dimensions: str) -> Unit | None:
    """The unit that a text names, among these dimensions (any, where none is given); None where it names none."""
    key = _tidy(text)
    for found in (_SPELT.get(key, ()), _FOLDED.get(key.lower(), ())):
        for unit in found:
            if not dimensions or unit.dimension in dimensions:
                return unit
    return None


@functools.cache
def known(unit: str) -> Unit:
    """The unit of this name or spelling.

    Raises
    ------
    UnknownName
        Where it is not known; the text lists the units.
    """
    found = UNITS.get(unit) or find(unit)
    if found is None:
        raise UnknownName(f"unit {unit!r} is not known; known are {', '.join(sorted(UNITS))}")
    return found


def to_si(value: _T, unit: str) -> _T:
    """A number of this unit in SI."""
    u = known(unit)
    return value * u.factor + u.offset


def from_si(value: _T, unit: str) -> _T:
    """A number in SI in this unit."""
    u = known(unit)
    return (value - u.offset) / u.factor


def number(text: str, decimal: str | None = None) -> tuple[float, str]:
    """A typed number and what had to be assumed of it: ``1,200``, ``1 200,5``, ``1.200,5``, ``6.000``, ``2 1/2``.

    ``decimal`` is the sign that the unambiguous neighbours use; without it a lone comma before three digits groups
    thousands and a lone dot is decimal, and the note says so.

    Raises
    ------
    InputError
        Where the text is no number.
    """
    body = re.sub(r"\s|(?<=\d)['’](?=\d{3})", "", text.replace("−", "-"))
    if len(text) < 20 and (fraction := FRACTION.fullmatch(text.strip())):
        whole, top, bottom = fraction.groups()
        return float(whole or 0) + int(top) / int(bottom), ""
    body, note = _decimal(body, decimal)
    try:
        value = float(body)
    except ValueError:
        raise InputError(f"{text!r} is no number: digits with one decimal sign are allowed") from None
    if not abs(value) <= LARGEST:
        raise InputError(f"{text[:40]!r} is no number that can be used")
    return value, note


def _decimal(body: str, decimal: str | None) -> tuple[str, str]:
    """The number with a dot as its only sign."""
    commas, dots = body.count(","), body.count(".")
    if commas and dots:
        sign = max(",.", key=body.rfind)
        other = "." if sign == "," else ","
        return body.replace(other, "").replace(sign, "." if body.count(sign) == 1 else ""), ""
    if commas + dots == 0:
        return body, ""
    sign = "," if commas else "."
    if commas + dots > 1:
        return body.replace(sign, ""), ""
    head, tail = body.split(sign)
    if not re.fullmatch(r"[+-]?[1-9]\d{0,2}", head) or not re.fullmatch(r"\d{3}", tail):
        return f"{head or 0}.{tail}" if head not in ("+", "-") else f"{head}0.{tail}", ""
    groups = sign != decimal if decimal else sign == ","
    note = "" if decimal else f"{body!r}: the {'comma' if sign == ',' else 'dot'} taken as {'grouping thousands' if groups else 'decimal'}"
    return (head + tail if groups else f"{head}.{tail}"), note


def decimal_sign(texts: list[str]) -> str:
    """The decimal sign that the unambiguous numbers of these texts use; "" where none or both do."""
    comma = dot = 0
    for text in texts:
        for body in NUMBER.findall(text):
            found = re.search(r"[.,](\d+)$", body)
            if found is None or body.count(found.group(0)[0]) > 1:
                continue
            both = "," in body and "." in body
            clear = both or len(found.group(1)) != 3 or re.match(r"[+\-−]?\s?(0|\d{4,})[.,]", body) is not None
            comma += clear and found.group(0)[0] == ","
            dot += clear and found.group(0)[0] == "."
    return "," if comma > dot else "." if dot > comma else ""


def _split(text: str, dimension: str) -> tuple[str, str, str]:
    """What stands before the number, the number, what stands behind it."""
    for vulgar, plain in _VULGAR.items():
        text = text.replace(vulgar, plain)
    text = text.strip()
    found = FRACTION.search(text) if dimension == "length" else None
    found = found or NUMBER.search(text)
    if found is None:
        raise InputError(f"{text!r} holds no number: {_allowed(dimension)}")
    return text[: found.start()].strip(" :=~<>≤≥"), found.group().strip(), text[found.end() :].strip()


def _allowed(dimension: str) -> str:
    wanted = "pressure" if dimension == "difference" else dimension
    some = [u.name for u in UNITS.values() if u.dimension == wanted]
    return f"a {dimension} is a number with one of {', '.join(some[:12])}" if some else f"{dimension!r} is not known as a dimension"


def read(text: str, dimension: str, unit: str | None = None, decimal: str | None = None) -> Quantity:
    """One quantity as typed.

    Parameters
    ----------
    text : str
        As typed: ``3.5 barg``, ``203 F``, ``8"``, ``1 200,5 m3/h``, ``DN200``, ``FV``, ``SG 1.05``.
    dimension : str
        ``pressure``, ``difference``, ``temperature``, ``flow``, ``mass_flow``, ``length``, ... as in ``units.csv``.
    unit : str
        Of the column, where the text names none itself.
    decimal : str
        Decimal sign of the neighbours.

    Raises
    ------
    InputError
        Naming the text and what is allowed.
    """
    if dimension == "pressure" and (fixed := _vacuum(text)):
        return fixed
    before, body, behind = _split(text, dimension)
    value, note = number(body, decimal)
    wanted = "pressure" if dimension == "difference" else dimension
    found = None
    for typed in (behind, before):
        if typed and found is None:
            found, note = _typed(typed, wanted, value, note)
            if found is None:
                raise InputError(f"{text!r}: {typed!r} is not understood; {_allowed(dimension)}")
    named = found is not None
    if found is None and unit is not None:
        found = known(unit)
    if found is None:
        return Quantity(value, "", dimension, "difference" if dimension == "difference" else "unsaid", "", note)
    offset = 0.0 if dimension == "difference" else found.offset
    kind = "difference" if dimension == "difference" else found.kind or ("unsaid" if wanted == "pressure" else "")
    said = note or ("" if named else f"unit {found.name} of the column")
    return Quantity(value * found.factor + offset, found.name, dimension, kind, _REFERENCES.get(found.kind, ""), said)


def _typed(typed: str, dimension: str, value: float, note: str) -> tuple[Unit | None, str]:
    """The unit beside a number; a nominal size counts as a length."""
    found = find(typed, dimension) or (find(typed, *_PLAIN) if dimension == "number" else None)
    nominal = _NOMINAL.get(typed.upper()) if dimension == "length" else None
    if found is None and nominal:
        inch = typed.upper() == "NB" and value <= 48  # "8NB" is heard as inches, "200NB" as millimetres
        return UNITS["in" if inch else nominal], "nominal size, not a measured length"
    if found is None and (bare := re.sub(r"\s*\([^)]*\)$", "", typed)) not in ("", typed):
        return find(bare, dimension), note
    return found, note


def _vacuum(text: str) -> Quantity | None:
    """Words that stand for a pressure."""
    word = re.sub(r"[\s.]+", " ", text).strip().lower()
    if word in ("fv", "full vacuum", "full vac", "vacuum"):
        return Quantity(0.0, "", "pressure", "absolute", "", "full vacuum taken as 0 bar absolute")
    if word in ("atm", "atmospheric", "atmosphere", "atmos"):
        return Quantity(ATMOSPHERE, "", "pressure", "gauge", "", "open to the atmosphere: 0 bar gauge")
    return None


def read_as(text: str, unit: str) -> float:
    """A text with its own unit, as a number of ``unit`` (for SI units: in SI); a bare number is one of ``unit`` already.

    A pressure without gauge or absolute is taken as absolute, as a bare number in SI is.

    Raises
    ------
    InputError
        Where the text is no quantity of that dimension.
    """
    target = known(unit)
    try:
        return number(text)[0]
    except InputError:
        quantity = read(text, target.dimension)
    if quantity.unit == target.name:
        return number(_split(text, target.dimension)[1])[0]
    return (quantity.value - target.offset) / target.factor


@functools.cache
def _vocabulary() -> dict[str, tuple[str, str]]:
    """Unit inside and unit shown by name. Read here: units and names stand on one level and may not import each other."""
    rows = csv.DictReader((files("softseat") / "names.csv").read_text(encoding="utf-8").splitlines())
    return {row["name"]: (row["unit"], row["shown"]) for row in rows}


def shown(value: float, name_or_unit: str, most: int = 4) -> str:
    """A number as the vocabulary holds it, for people and with its unit: ``450000`` as ``p1`` is ``3.487 bar(g)``."""
    inside, unit = _vocabulary().get(name_or_unit, ("", name_or_unit))
    if not math.isfinite(value):
        return "not known"
    text = digits(value if inside == unit else from_si(value, unit), most)  # kv, opening and cycles are held in the unit shown
    return text if unit == "-" else f"{text} {unit}"


def digits(value: float, most: int = 4) -> str:
    """Four significant digits at most (or as told), whole numbers in full, no exponent where a plain number can be read."""
    if value == 0:
        return "0"
    places = max(0, most - 1 - math.floor(math.log10(abs(value))))
    text = f"{value:.3g}" if places > 7 else f"{value:.{places}f}"
    return text.rstrip("0").rstrip(".") if "." in text and "e" not in text else text
