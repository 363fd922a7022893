"""Cells of temperature: operating and highest, ranges, ambient, short excursions."""

import re

from softseat.enquiry.choices import matched
from softseat.enquiry.profiles import TEMPERATURE, placed
from softseat.enquiry.reading import Column, Said, house_default, unreadable
from softseat.enquiry.spans import Amount, slots
from softseat.sheet import ASSUMED, GIVEN
from softseat.units import NUMBER, find, number, to_si

_SHORT = re.compile(
    rf"({NUMBER.pattern})\s*(°?\s?[CFK]|deg\.?\s?[CF])?\s*(?:for|during|x|,|/|pendant|fur|für|per|durante)?\s*"
    rf"({NUMBER.pattern})\s*(minutes|minute|mins|min|Min|hours|hrs|hour|hr|h|sec|seconds|s)(?![a-z])",
)  # fmt: skip
_PER = re.compile(
    rf"({NUMBER.pattern})?\s*(?:x|times|cycles)?\s*(?:per|/|a|pro|par)\s*(year|yr|y|day|d|week|month|annum|an|Jahr|Tag)(?![a-z])", re.I
)  # fmt: skip
_EVERY = {"year": "1/y", "yr": "1/y", "y": "1/y", "annum": "1/y", "an": "1/y", "jahr": "1/y", "day": "1/d", "d": "1/d", "tag": "1/d",
          "week": "1/week", "month": "1/month"}  # fmt: skip


def temperature_said(text: str, column: Column) -> tuple[Said, ...]:
    """``18-36/45``, ``-10 to 40``, ``amb``, ``203 F``, ``121 C for 30 min`` (an excursion, not the highest of the service)."""
    short = excursion(text, column.decimal)
    rest = _PER.sub(" ", _SHORT.sub(" ", text)).strip(" ,;") if short else text
    if not rest:
        return short
    worded = matched("temperature", rest)
    if worded.key and not re.search(r"\d", rest):
        return (*short, *_word(worded.key, worded.meaning, rest, column))
    places = placed([s for s in slots(rest, ("temperature",), column.decimal) if s.amounts], column, TEMPERATURE)
    if not places:
        return short or unreadable(column.fields[0], f"{text!r} is no temperature")
    said = [_one(name, amount, column) for name, amount in places.items()]
    return (*short, *_falling(said, text, column), *_completed(said))


def _falling(said: list[Said], text: str, column: Column) -> list[Said]:
    """``82/71`` under a heading that names no order is flow and return: the higher is what the valve bears."""
    by_name = {s.name: s for s in said}
    normal, highest = by_name.get("t_normal"), by_name.get("t_max")
    if len(column.fields) > 1 or normal is None or highest is None or float(normal.value) <= float(highest.value):
        return said
    why = f"{text!r}: flow and return, the higher taken for both"
    return [s if s.name not in ("t_normal", "t_max") else Said(s.name, normal.value, ASSUMED, why) for s in said]


def _one(name: str, amount: Amount, column: Column) -> Said:
    unit = amount.unit or column.unit or column.borrowed or "C"
    why = "" if amount.unit or column.unit else f"{unit} taken{', the unit of the other rows' if column.borrowed else ': no unit is typed'}"
    why = amount.note or why
    return Said(name, to_si(amount.value, unit), ASSUMED if why else GIVEN, why)


def _completed(said: list[Said]) -> list[Said]:
    """One temperature stands for both where the other has no place of its own."""
    by_name = {s.name: s for s in said}
    if "t_normal" in by_name and "t_max" not in by_name:
        return [Said("t_max", by_name["t_normal"].value, ASSUMED, "only one temperature is given", True)]
    if "t_max" in by_name and "t_normal" not in by_name:
        return [Said("t_normal", by_name["t_max"].value, ASSUMED, "only the highest temperature is given", True)]
    return []


def _word(key: str, meaning: str, text: str, column: Column) -> tuple[Said, ...]:
    """Ambient by the defaults of the house; chilled and cooling by their usual range; hot or boiling say no number."""
    ends = re.search(r"(\d+)-(\d+) C", meaning)
    if key == "ambient":
        low, high = house_default("ambient_min_default"), house_default("ambient_max_default")
    elif ends:
        low, high = float(ends[1]), float(ends[2])
    else:
        return unreadable(column.fields[0], f"{text!r} is no figure")
    why = f"{text!r} taken as {low:g} to {high:g} C"
    by_name = {"t_min": low, "t_max": high, "t_normal": high}
    names = {"t_normal": ("t_min", "t_normal", "t_max")}.get(column.fields[0], column.fields)
    return tuple(Said(n, to_si(by_name[n], "C"), ASSUMED, why) for n in names if n in by_name)


def excursion(text: str, decimal: str = "") -> tuple[Said, ...]:
    """A temperature for a stated time: ``121 C for 30 min``; how often, where it is said."""
    short = _SHORT.search(text)
    if short is None:
        return ()
    hot, scale, lasting, unit = short.groups()
    if find(unit, "time") is None:
        return ()
    degrees = find(scale, "temperature") if scale else None
    said = [Said("excursion", text), Said("t_excursion", to_si(number(hot, decimal or None)[0], degrees.name if degrees else "C"))]
    said.append(Said("excursion_time", to_si(number(lasting, decimal or None)[0], unit)))
    if (per := _PER.search(text[short.end() :])) or (per := _PER.search(text[: short.start()])):
        times = number(per.group(1))[0] if per.group(1) else 1.0
        said.append(Said("excursion_count", to_si(times, _EVERY[per.group(2).lower()])))
    return tuple(said)


def cleaning_said(text: str, column: Column) -> tuple[Said, ...]:
    """The column of cleaning or upset: kept as typed, its highest temperature and time taken out."""
    if found := excursion(text, column.decimal):
        return found
    said = [Said("excursion", text)]
    hot = [to_si(a.value, a.unit) for s in slots(text, ("temperature",), column.decimal) for a in s.amounts if a.unit]
    if not hot and column.unit and (bare := NUMBER.fullmatch(text.strip())):
        hot = [to_si(number(bare.group(), column.decimal or None)[0], column.unit)]
    return (*said, Said("t_excursion", max(hot))) if hot else tuple(said)
