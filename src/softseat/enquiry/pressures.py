"""Cells of pressure: gauge and absolute, vacuum, the pressure behind the valve; and differences."""

import re

from softseat.enquiry.choices import matched
from softseat.enquiry.profiles import PRESSURE, placed
from softseat.enquiry.reading import Column, Said, unreadable
from softseat.enquiry.spans import Amount, Slot, slots
from softseat.sheet import ASSUMED, GIVEN
from softseat.units import ATMOSPHERE, UNITS

BAR = 1e5  # [Pa]
_GAUGE = "gauge pressure taken: neither gauge nor absolute is said"
_ABSOLUTE = "absolute pressure taken: neither gauge nor absolute is said"
_EVACUATED = "a line under vacuum: no pressure above the atmosphere is given"
_SATURATED = re.compile(r"\bsat(?:d|\.|urated|t|ture|urado|uro)?(?![a-z])|sattdampf", re.I)
_BEHIND = {"p2", "behind", "downstream", "after", "dahinter", "hinter", "nach", "aval", "apres", "aguas", "valle", "dietro"}


def pressure_said(text: str, column: Column) -> tuple[Said, ...]:
    """``2.8/6``, ``-0.85/FV``, ``atm``, ``-0,9 bar to 2 bar``, ``3,5 bar(g) sat.``, ``6.0 / 10 (P2 = 0.3)``, ``5 bar max``."""
    found = slots(_SATURATED.sub(" ", text), ("pressure",), column.decimal)
    vacuum = any(_full_vacuum(s) for s in found)
    for slot in found:
        if not slot.amounts and {"atm", "atmos", "atmospheric"} & set(slot.words):
            slot.amounts.append(Amount(0.0, "bar(g)"))
    behind = [s for s in found if _BEHIND & set(s.words) and s.amounts]
    main = [s for s in found if s not in behind and (s.amounts or _full_vacuum(s))]
    places = placed(main, column, PRESSURE)
    below = any(a.value < 0 for a in places.values())  # then the whole cell is in gauge
    said = [s for name, amount in places.items() for s in _one(name, amount, column, below)]
    said += [s for slot in behind for s in _one("p2", slot.amounts[0], column, below)]
    if vacuum:
        said = [s for s in said if not s.name.startswith("p_min")] + _vacuum(places, column)
    if not said:
        return unreadable(column.fields[0], f"{text!r} is no pressure")
    if _SATURATED.search(text):
        said.append(Said("state", "steam"))
    return (*said, *_completed(said, column))


def _full_vacuum(slot: Slot) -> bool:
    return not slot.amounts and bool(slot.words) and matched("vacuum", " ".join(slot.words)).key == "full"


def _vacuum(places: dict[str, Amount], column: Column) -> list[Said]:
    """Full vacuum is the lowest pressure; without another figure the atmosphere is then the highest."""
    said = [Said("p_min", 0.0)]
    if not {"p_max", "p_design"} & places.keys() and {"p_max", "p_design"} & set(column.fields):
        said.append(Said("p_max", ATMOSPHERE, ASSUMED, _EVACUATED))
    return said


def _one(name: str, amount: Amount, column: Column, below: bool) -> list[Said]:
    """One pressure in Pa absolute, with what was assumed of it."""
    unit = UNITS[amount.unit or column.unit or column.borrowed or "bar"]
    heading = UNITS[column.unit].kind if column.unit else ""
    kind = unit.kind or heading
    why = amount.note or ("" if amount.unit or column.unit else f"{unit.name} taken: no unit is typed")
    typed = amount.value * unit.factor
    value = typed + (ATMOSPHERE if (kind or "gauge") == "gauge" else 0.0)
    said_kind = kind or ("gauge" if below else "unsaid")
    if not kind and (unit.name in ("torr", "mmHg") or (name == "p_min" and 0 < typed < ATMOSPHERE)):
        value, why = typed, _ABSOLUTE
    elif said_kind == "unsaid":
        why = f"{why}; {_GAUGE}" if why else _GAUGE
    state = ASSUMED if why else GIVEN
    said = [Said(name, value, state, why)]
    if name in ("p_max", "p_design") and value < ATMOSPHERE:
        said = [Said("p_min", value, state, why), Said("p_max", ATMOSPHERE, ASSUMED, _EVACUATED)]
    elif name == "p1" and value < ATMOSPHERE:
        said.append(Said("p_min", value, state, why))
    elif name == "p_design":
        said.append(Said("p_max", value, state, why))
    if name in ("p1", "p_min"):
        said.append(Said(f"{name}_typed", typed / BAR))
    if name in ("p1", "p_min", "p_max", "p_design"):
        said.append(Said("p_kind", said_kind))
    return said


def _completed(said: list[Said], column: Column) -> list[Said]:
    """What the one pressure of a cell lets be assumed of the other."""
    by_name = {s.name: s for s in said}
    if "p1" not in by_name and "p_max" in by_name:
        return [Said("p1", by_name["p_max"].value, ASSUMED, "only the highest pressure is given", True)]
    if "p1" in by_name and "p_max" not in by_name:
        more = [Said("p_max", by_name["p1"].value, ASSUMED, "only one pressure is given", True)]
        return [*more, Said("p_design", by_name["p1"].value, ASSUMED, more[0].why, True)] if "p_design" in column.fields else more
    return []


def difference_said(text: str, column: Column) -> tuple[Said, ...]:
    """A pressure difference; of several the highest for shut-off, the operating one for the drop."""
    name = column.fields[0]
    found = slots(text, ("pressure",), column.decimal)
    amounts = [a for s in found if not s.aside for a in s.amounts]
    if not amounts:
        return unreadable(name, f"{text!r} is no pressure difference")
    amount = max(amounts, key=lambda a: a.value) if name == "shutoff" else amounts[1] if len(amounts) == 3 else amounts[0]
    unit = UNITS[amount.unit or column.unit or column.borrowed or "bar"]
    why = amount.note or ("" if amount.unit or column.unit else f"{unit.name} taken: no unit is typed")
    return (Said(name, amount.value * unit.factor, ASSUMED if why else GIVEN, why),)
