"""Cells of flow: volume, mass, gas at a reference state, and numbers without a unit."""

from softseat.enquiry.profiles import FLOW, placed
from softseat.enquiry.reading import Column, Said, unreadable
from softseat.enquiry.spans import Amount, slots
from softseat.sheet import ASSUMED, GIVEN, UNREADABLE
from softseat.units import UNITS


def flow_said(text: str, column: Column) -> tuple[Said, ...]:
    """``640 m3/h max``, ``3800 Nm3/h``, ``130,000 lb/h``, ``1,1`` beside a unit column; a bare number stays in doubt."""
    found = slots(text, ("flow", "mass_flow"), column.decimal)
    places = placed([s for s in found if s.amounts], column, FLOW)
    if not places:
        return unreadable(column.fields[0], f"{text!r} is no flow")
    said = [s for name, amount in places.items() for s in _one(name, amount, column)]
    return (*said, *_completed(said))


def _one(name: str, amount: Amount, column: Column) -> list[Said]:
    unit_name = amount.unit or column.unit or column.borrowed
    bare = not amount.unit and not column.unit
    said = [Said("flow_bare", True)] if bare else []
    if not unit_name:
        return [Said(name, "", UNREADABLE, "no unit is typed, here or in the other rows"), *said]
    unit = UNITS[unit_name]
    why = f"{unit.name} taken, the unit of the other rows" if bare else amount.note
    if unit.kind == "mass":
        name = f"mass_{name}"
    return [Said(name, amount.value * unit.factor, ASSUMED if why else GIVEN, why), Said("flow_kind", unit.kind), *said]


def _completed(said: list[Said]) -> list[Said]:
    """The highest flow stands for the operating one, where no other is given."""
    by_name = {s.name: s for s in said}
    for mass in ("", "mass_"):
        top = by_name.get(f"{mass}flow_max")
        if top and top.state != UNREADABLE and f"{mass}flow" not in by_name:
            return [Said(f"{mass}flow", top.value, ASSUMED, "only the highest flow is given", True)]
    return []
