"""Nominal sizes: DN, NPS, inches and bare numbers."""

import functools
import re
from collections.abc import Mapping
from fractions import Fraction

from softseat.enquiry.folding import plain
from softseat.enquiry.reading import Column, Said, unreadable
from softseat.sheet import ASSUMED, GIVEN
from softseat.tables import read
from softseat.units import FRACTION

_INCH = r"(?:\"|''|”|″|(?<![a-z])in\b\.?|inch(?:es)?|zoll|pouces?|pulg(?:adas)?|pollici|-inch)"
_BODY = r"(\d+(?:[.,]\d+)?)"
METRIC = re.compile(rf"\b(?:dn|nw|nb|dia\.?|d)\s*[.:]?\s*{_BODY}|ø\s*{_BODY}|{_BODY}\s*(?:nb|mm)\b")
IMPERIAL = re.compile(rf"nps\s*{_BODY}|{_BODY}\s*-?\s*{_INCH}")
JIS = re.compile(r"(\d{2,4})\s*a|(\d{1,2}(?:[.,]5)?)\s*b")  # nominal diameters of the Japanese standards: A in mm, B in inches
PARTED = re.compile(rf"(?:nps\s*)?((?:\d+[ \-]+)?\d+\s?/\s?(?:2|4|8))\s*-?\s*{_INCH}?")
_SMALLEST_MADE = 15
_SMALLEST_DN = 40  # below it a bare number that is an NPS too is read as inches, unless its neighbours say DN


@functools.cache
def dn_of_nps() -> Mapping[float, float]:
    """DN by NPS."""
    return {float(sum(Fraction(p) for p in row["nps"].split())): float(row["dn"]) for row in read("nominal_sizes")}


@functools.cache
def plastic_sizes() -> Mapping[float, float]:
    """DN of the flange by the outside diameter of a plastic pipe; only diameters that are no DN themselves."""
    return {float(row["od"]): float(row["dn"]) for row in read("plastic_sizes")}


@functools.cache
def nominal(text: str) -> tuple[float, bool] | None:
    """DN of a size typed with its sign, and whether the sign was an inch's; None for a bare number or no size."""
    low = plain(text.replace("½", " 1/2").replace("¼", " 1/4").replace("¾", " 3/4"))
    if letter := JIS.fullmatch(low.strip()):
        dn = float(letter[1]) if letter[1] else dn_of_nps().get(float(letter[2].replace(",", ".")))
        return (dn, not letter[1]) if dn else None
    if metric := METRIC.search(low):
        figure = float(next(g for g in metric.groups() if g).replace(",", "."))
        if "nb" in metric.group() and figure <= 48 and figure in dn_of_nps():
            return dn_of_nps()[figure], True
        return figure, False
    if parted := PARTED.search(low):
        found = FRACTION.search(parted.group(1))
        if found and (dn := dn_of_nps().get(float(found[1] or 0) + float(found[2]) / float(found[3]))):
            return dn, True
    if inches := IMPERIAL.search(low):
        dn = dn_of_nps().get(float(next(g for g in inches.groups() if g).replace(",", ".")))
        return (dn, True) if dn else None
    return None


def size_said(text: str, column: Column) -> tuple[Said, ...]:
    """The size of an item: as typed, and its DN."""
    typed = Said("size", text)
    if (found := nominal(text)) and not found[1] and (plastic := plastic_sizes().get(found[0])):
        return (typed, Said("dn", plastic, ASSUMED, f"{found[0]:g} is the outside diameter of a plastic pipe: DN{plastic:g} taken"))
    if found:
        doubt = "outside diameter or DN not said: taken as DN" if "ø" in text.lower() and "dn" not in text.lower() else ""
        return (typed, Said("dn", found[0], ASSUMED if doubt else GIVEN, doubt))
    bare = re.fullmatch(rf"{_BODY}", text.strip())
    if bare is None:
        return unreadable("size", f"{text!r} is no nominal size")
    figure = float(bare.group(1).replace(",", "."))
    if column.unit != "in" and (plastic := plastic_sizes().get(figure)):
        return (typed, Said("dn", plastic, ASSUMED, f"{figure:g} is the outside diameter of a plastic pipe: DN{plastic:g} taken"))
    if column.unit in ("in", "DN"):
        dn = dn_of_nps().get(figure) if column.unit == "in" else figure
        return (typed, Said("dn", dn)) if dn else unreadable("size", f"NPS {text} is not known")
    return _bare(typed, figure, column.borrowed)


def _bare(typed: Said, figure: float, neighbours: str) -> tuple[Said, ...]:
    """A number that may be DN or inches, decided by its neighbours, else by its size."""
    as_nps = dn_of_nps().get(figure)
    tiny = figure < _SMALLEST_MADE  # no valve is as small as a DN of that number
    inch = as_nps is not None and (neighbours == "in" or tiny if neighbours else figure < _SMALLEST_DN and figure not in (15, 25, 32))
    dn = as_nps if inch and as_nps else figure
    why = f"bare number read as {'NPS' if inch else 'DN'}" + (", as the rows beside it" if neighbours else "")
    return (typed, Said("dn", dn, ASSUMED, why), Said("size_bare", True))


def column_sign(texts: list[str]) -> str:
    """What most sizes of a column are typed in: ``in``, ``DN`` or "" where none tells."""
    found = [nominal(t) for t in texts]
    inches = sum(1 for f in found if f and f[1])
    metric = sum(1 for f in found if f and not f[1])
    return "" if inches == metric else "in" if inches > metric else "DN"
