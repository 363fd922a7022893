"""Numbers as they are printed: as many digits as they are worth, the band beside them, columns aligned on the decimal."""

import math
from collections.abc import Mapping, Sequence
from numbers import Real
from typing import Any

from softseat.papers.texts import text, titled, unit, word
from softseat.selection.item import Number

NONE = "–"
THIN = "\u202f"
RAISED = str.maketrans("-0123456789", "⁻⁰¹²³⁴⁵⁶⁷⁸⁹")


def known(value: object) -> bool:
    """True for a number that can be printed."""
    return isinstance(value, Real) and not isinstance(value, bool) and math.isfinite(value)


def figure(value: float | None, digits: int = 3) -> str:
    """Three figures, whole numbers in full below ten thousand; a number that is shorter as given stays short."""
    if value is None or not known(value):
        return NONE
    given = float(value)
    if given == 0:
        return "0"
    if not 1e-4 <= abs(given) < 1e9:
        mantissa, _, power = f"{given:.{digits - 1}e}".replace("-", "−").partition("e")
        return f"{mantissa} × 10{str(int(power.replace('−', '-'))).translate(RAISED)}"
    place = math.floor(math.log10(abs(float(f"{given:.{digits - 1}e}"))))  # of the rounded value: 9.998 is 10.0
    after = max(digits - 1 - place, 0)
    said = f"{given:.{after}f}" if place <= digits else f"{round(given, digits - place):.0f}"
    if after and float(said) == given:
        said = said.rstrip("0").rstrip(".")
    return _grouped(said.replace("-", "−"))


def _grouped(said: str) -> str:
    whole, point, rest = said.partition(".")
    if len(whole.lstrip("−")) > 4:
        sign = "−" if whole.startswith("−") else ""
        whole = sign + f"{int(whole.lstrip('−')):,}".replace(",", THIN)
    return whole + point + rest


def banded(number: Number) -> bool:
    """True where the number has a band that is worth printing."""
    return known(number.low) and known(number.high) and figure(number.low) != figure(number.high)


def band(number: Number, digits: int = 3) -> str:
    """Both ends of the band, empty where there is none."""
    return f"{figure(number.low, digits)} … {figure(number.high, digits)}" if banded(number) else ""


def as_number(value: Any) -> Number | None:
    """A number with its unit, from a record or from a dictionary of the same words; None where it is neither."""
    if isinstance(value, Number):
        return value
    if isinstance(value, Mapping) and "value" in value and not isinstance(value["value"], str | list | tuple):
        held = {k: value[k] for k in ("value", "unit", "low", "high", "basis", "at") if k in value}
        return Number(**{"unit": "", **held})
    return None


def sentence(value: Any, digits: int = 3) -> str:
    """A value in running text: figure, band, unit; a word as it is called; a list with commas."""
    number = as_number(value)
    if number is not None:
        return _spoken(number, digits)
    if hasattr(value, "tolist"):  # arrays of a calculation step
        value = value.tolist()
    if isinstance(value, bool):
        return text("word.yes") if value else text("word.no")
    if isinstance(value, Real):
        return figure(float(value), digits)
    if isinstance(value, Mapping):
        return _several(value, digits)
    if isinstance(value, Sequence) and not isinstance(value, str):
        return listed(value, digits)
    return word(value) if value not in (None, "") else NONE


def _spoken(number: Number, digits: int) -> str:
    if not known(number.value) and not banded(number):
        return NONE
    spread = f" ({band(number, digits)})" if banded(number) else ""
    return f"{figure(number.value, digits)}{spread} {unit(number.unit)}".strip()


def _several(held: Mapping[str, Any], digits: int) -> str:
    """The first values of a longer row of numbers with their unit and how many they are; any other record by its words."""
    row = held.get("value")
    if not isinstance(row, list | tuple):
        return "; ".join(f"{titled(str(k))} {sentence(v, digits)}" for k, v in held.items())
    count = int(held.get("of") or len(row))
    more = f" … {text('list.count', n=count)}" if count > len(row) else ""
    return f"{', '.join(figure(v, digits) for v in row)}{more} {unit(str(held.get('unit', '')))}".strip()


def listed(values: Sequence[Any], digits: int = 3, most: int = 6) -> str:
    """A list in running text; a long one by its ends."""
    said = [sentence(v, digits) for v in (values if len(values) <= most else [*values[:2], values[-1]])]
    if len(values) <= most:
        return ", ".join(said)
    return f"{said[0]}, {said[1]} … {said[2]} {text('list.count', n=len(values))}"


def aligned(said: Sequence[str]) -> list[list[str]]:
    """Each figure of a column with the invisible tail that brings its decimal point under the others."""
    tails = [len(s.partition(".")[2]) for s in said]
    longest = max(tails, default=0)
    return [[s, _tail(n, longest)] for s, n in zip(said, tails, strict=True)]


def _tail(own: int, longest: int) -> str:
    return "" if own == longest else ("" if own else ".") + "0" * (longest - own)


def heading(key: str, unit_key: str = "") -> str:
    """The heading of a column of numbers, with its unit."""
    shown = unit(unit_key)
    return f"{titled(key)}, {shown}" if shown not in ("", "-") else titled(key)
