"""Cells of plain figures: quantity, shares, lengths, cycles, pH, opening; and text kept as it is."""

import re

from softseat.enquiry.fieldtable import inside_unit, shown_unit
from softseat.enquiry.folding import plain
from softseat.enquiry.reading import Column, Said, unreadable
from softseat.enquiry.spans import Amount, Slot, slots
from softseat.enquiry.tags import tags
from softseat.sheet import ASSUMED, DERIVED, GIVEN
from softseat.units import NUMBER, UNITS, find, from_si, known, number, to_si

_COUNTS = {"one": 1, "two": 2, "three": 3, "four": 4, "five": 5, "six": 6, "seven": 7, "eight": 8, "nine": 9, "ten": 10, "a pair": 2}
_LIGHTEST = 20.0  # [kg/m3] below it a bare density can only be one relative to water


def text_said(text: str, column: Column) -> tuple[Said, ...]:
    return (Said(column.fields[0], text),)


def tag_said(text: str, column: Column) -> tuple[Said, ...]:
    return (Said("tag", text), Said("tags_count", float(len(tags(text)))))


def quantity_said(text: str, column: Column) -> tuple[Said, ...]:
    """``3``, ``4 off``, ``two``, ``2+1`` (working and standby)."""
    low = plain(text)
    if low in _COUNTS:
        return (Said("quantity", float(_COUNTS[low])),)
    if summed := re.fullmatch(r"(\d+)\s*\+\s*(\d+)\D*", low):
        return (Said("quantity", float(summed[1]) + float(summed[2]), ASSUMED, f"{text!r} added up"),)
    figure = re.fullmatch(
        r"(?:qty\.?\s*)?(\d[\d.,' ]*)\s*(?:x|nos?\.?|off|pcs?\.?|ea\.?|each|sets?|stk\.?|stck\.?|st\.?|pieces|units?|uds?\.?|pz\.?)?", low
    )
    if figure is None:
        return unreadable("quantity", f"{text!r} is no number of pieces")
    value = number(figure[1].strip(), column.decimal or None)[0]
    whole = value == int(value) and value >= 0
    return (Said("quantity", value),) if whole else unreadable("quantity", f"{text!r}: pieces are whole")


def _amounts(text: str, name: str, column: Column) -> tuple[list[Slot], str]:
    dimension = known(inside_unit(name)).dimension
    if dimension == "number" and shown_unit(name) in ("D", "Mohs", "Shore A"):
        return slots(text, ("number", "length", known(shown_unit(name)).dimension), column.decimal), dimension
    return slots(text, (dimension,), column.decimal), dimension


def viscosity_said(text: str, column: Column) -> tuple[Said, ...]:
    """Dynamic or kinematic viscosity, by its unit."""
    found = [s for s in slots(text, ("viscosity", "kinematic viscosity"), column.decimal) if s.amounts]
    if not found:
        return unreadable("viscosity", f"{text!r} is no viscosity")
    amount = max(found[0].amounts, key=lambda a: a.value)
    unit = known(amount.unit or column.unit or column.borrowed or shown_unit("viscosity"))
    name = "viscosity" if unit.dimension == "viscosity" else "kinematic_viscosity"
    why = amount.note or ("" if amount.unit or column.unit else f"{unit.name} taken: no unit is typed")
    return (Said(name, amount.value * unit.factor, ASSUMED if why else GIVEN, why),)


def figure_said(text: str, column: Column) -> tuple[Said, ...]:
    """One number of a field in its unit; of a range the highest end."""
    name = column.fields[0]
    found = [s for s in _amounts(text, name, column)[0] if s.amounts]
    if not found:
        return unreadable(name, f"{text!r} is no figure")
    amount = max(found[0].amounts, key=lambda a: a.value)
    return (_in_unit(name, amount, column),)


def _in_unit(name: str, amount: Amount, column: Column) -> Said:
    """A number in the unit inside; without any unit, in the one that is shown to people."""
    unit = amount.unit or column.unit or column.borrowed or shown_unit(name)
    why = ""
    if name == "density" and not (amount.unit or column.unit) and amount.value < _LIGHTEST:
        unit, why = "SG", "density relative to water taken: no unit is typed"
    elif not (amount.unit or column.unit) and unit not in ("-", "D", "Mohs"):
        why = f"{unit} taken: no unit is typed"
    why = why or amount.note
    inside = inside_unit(name)
    if known(unit).dimension not in (known(inside).dimension, "number", "diameters", "mineral hardness"):
        return unreadable(name, f"{unit} is a unit of {known(unit).dimension}; wanted is {inside}")[0]
    value = amount.value if unit == inside else from_si(to_si(amount.value, unit), inside)
    return Said(name, value, ASSUMED if why else GIVEN, why)


def air_said(text: str, column: Column) -> tuple[Said, ...]:
    """Air supply: a gauge pressure; of a range both ends."""
    found = [a for s in slots(text, ("pressure",), column.decimal) for a in s.amounts]
    if not found:
        return unreadable(column.fields[0], f"{text!r} is no air pressure")
    ends = sorted(_air(a, column) for a in found)
    if len(ends) > 1:
        return (Said("air_min", ends[0]), Said("air_max", ends[-1]))
    return (Said(column.fields[0], ends[0]),)


def _air(amount: Amount, column: Column) -> float:
    unit = UNITS[amount.unit or column.unit or column.borrowed or "bar"]
    gauge = unit if unit.kind else known(f"{unit.name}(g)")
    return to_si(amount.value, gauge.name)


def cycles_said(text: str, column: Column) -> tuple[Said, ...]:
    """Operations in a year; a bare number by the heading, else a day's."""
    found = [a for s in slots(text.replace("x ", ""), ("rate of use",), column.decimal) for a in s.amounts]
    if not found:
        rare = re.search(r"\b(?:rare|seldom|selten|occasional)", plain(text))
        word = find(text, "rate of use")
        if word:
            return (Said("cycles", word.factor),)
        return (
            (Said("cycles", 1.0, ASSUMED, f"{text!r} taken as once a year"),)
            if rare
            else unreadable("cycles", f"{text!r} is no number of operations")
        )
    amount = max(found, key=lambda a: a.value)
    unit = amount.unit or column.unit or column.borrowed
    why = "" if unit and not column.borrowed else "operations of a day taken: no period is said"
    return (Said("cycles", to_si(amount.value, unit or "1/d"), ASSUMED if why else GIVEN, why),)


def ph_said(text: str, column: Column) -> tuple[Said, ...]:
    """pH; of a range both ends, and as the value itself the end farther from neutral."""
    found = [float(n.replace(",", ".")) for n in re.findall(r"\d+(?:[.,]\d+)?", text)]
    if not found or max(found) > 14:
        return unreadable("ph", f"{text!r} is no pH")
    low, high = min(found), max(found)
    worst = max((low, high), key=lambda v: abs(v - 7))
    return (Said("ph", worst, GIVEN if low == high else DERIVED), Said("ph_min", low), Said("ph_max", high))


def concentration_said(text: str, column: Column) -> tuple[Said, ...]:
    """Strength as a share: a bare number is in per cent."""
    found = NUMBER.search(text)
    if found is None:
        return (Said("medium", text),)
    behind = re.match(r"\s*(ppm|mg/l|g/l|%)?", text[found.end() :], re.I)
    unit = (behind.group(1) if behind else None) or column.unit or "%"
    scale = find(unit, "number")
    share = to_si(number(found.group(), column.decimal or None)[0], scale.name if scale else "%")
    return (Said("concentration", share),) if 0 <= share <= 1 else unreadable("concentration", f"{text!r} is no share")


def opening_said(text: str, column: Column) -> tuple[Said, ...]:
    """Opening in degrees; per cent of the stroke are read as of 90 degrees."""
    found = NUMBER.search(text)
    if found is None:
        return unreadable("opening", f"{text!r} is no opening")
    value = number(found.group(), column.decimal or None)[0]
    if "%" in text or column.unit == "%":
        return (Said("opening", 0.9 * value, ASSUMED, "per cent of the stroke taken as of 90 degrees"),)
    return (Said("opening", value),) if 0 <= value <= 90 else unreadable("opening", f"{text!r} is no opening")
