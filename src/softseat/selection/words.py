"""Values in words for people: what a finding, a question or an assumption says."""

import string
from typing import Any

import numpy as np

from softseat.names import names
from softseat.selection.item import Number
from softseat.selection.limits import limits_of
from softseat.sheet import GIVEN, Sheet
from softseat.units import from_si, shown

STAYS = " stay"  # of a candidate that gives the fail action up
WORDS = {
    "double_flanged": "double-flanged",
    "pneumatic_da": "double-acting cylinder",
    "pneumatic_sr": "spring-return cylinder",
    "electric_onoff": "electric, on-off",
    "electric_modulating": "electric, modulating",
    "bare_shaft": "bare shaft",
    "shaft_horizontal": "shaft horizontal",
    "shaft_vertical": "shaft vertical",
    "onoff": "on-off",
    "PA_coated_DI": "ductile iron, polyamide coated",
    "epoxy_DI": "ductile iron, epoxy coated",
    "Ni_plated_DI": "ductile iron, nickel plated",
    "rubber_covered": "rubber-covered",
    "4462_4A": "duplex (1.4470, 4A)",
    "4469": "super duplex (1.4469)",
    "4517": "duplex with copper (1.4517)",
    "NiAlBz": "nickel aluminium bronze",
    "AlBz_lowNi": "aluminium bronze",
    "EPDM_P": "EPDM, peroxide-cured",
    "EPDM_S": "EPDM, sulphur-cured",
    "NBR_medACN": "NBR, medium nitrile",
    "NBR_lowACN": "NBR, low nitrile",
    "NBR_highACN": "NBR, high nitrile",
}


def said(value: Any) -> str:
    """A word of the vocabulary as people say it."""
    text = str(value)
    drive, stays, _ = text.partition(STAYS)
    return f"{WORDS.get(drive, drive)}, stays where it is" if stays else WORDS.get(text, text)


def told(sheet: Sheet, name: str, n: int, worst: str = "best", worth: int = 3) -> str:
    """One value of one item, with its unit; "not known" where there is none. A calculated one in as many figures as it is worth."""
    value = sheet.end(name, worst)[n]
    if isinstance(value, str | np.str_):
        return said(value) if value else "not named"
    if isinstance(value, bool | np.bool_):
        return "yes" if value else "no"
    most = 4 if sheet.state[name][n] == GIVEN else worth
    return shown(float(value), name, most) if name in names() else shown(float(value), "-", most)


class _Blank(string.Formatter):
    def get_value(self, key: Any, args: Any, kwargs: Any) -> Any:
        return kwargs.get(key, "?")


def filled(text: str, sheet: Sheet, n: int, needs: tuple[str, ...], worst: str) -> str:
    """The sentence of a rule with the item's own values in place of its braces."""
    asked = [name for name in needs if f"{{{name}}}" in text]
    values = {name: told(sheet, name, n, worst) for name in asked}
    if len(set(values.values())) < len(
        {str(sheet.end(name, worst)[n]) for name in asked}
    ):  # "10 bar is above 10 bar" tells nobody anything
        values = {name: told(sheet, name, n, worst, worth=4) for name in asked}
    said = _Blank().format(text, **values)
    for hole in (" at not known", " (not known)", " to not known"):
        said = said.replace(hole, "")
    return said


def limit_words(rule: str) -> tuple[float | None, str]:
    """The first limit of the house that a rule compares with, as the table holds it in SI, and its key."""
    known = limits_of(rule)
    return (next(iter(known.values())), next(iter(known))) if known else (None, "")


def number(sheet: Sheet, name: str, n: int, basis: str = "calculated", at: str = "") -> Number | None:
    """A value of one item as shown, with its band; None where it is not known."""
    column = sheet[name]
    entry = names()[name]
    ends = [float(v) for v in (column[:, n] if column.ndim == 2 else (column[n],))]
    if not np.isfinite(ends[len(ends) // 2]):
        return None
    shown_ends = [v if entry.unit == entry.shown else float(from_si(v, entry.shown)) for v in ends]
    rounded = [_significant(v) for v in shown_ends]
    if len(rounded) == 3:
        return Number(rounded[1], entry.shown, rounded[0], rounded[2], basis, at)
    return Number(rounded[0], entry.shown, None, None, basis, at)


def _significant(value: float) -> float:
    """Five significant digits: no more than any of these figures is worth."""
    return float(f"{value:.5g}") if np.isfinite(value) else value
