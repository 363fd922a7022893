"""Lowest, operating, highest and design value of one quantity in one cell: which figure belongs to which field."""

from dataclasses import dataclass, replace

from softseat.enquiry.reading import Column
from softseat.enquiry.spans import Amount, Slot

_WORDS = (
    ("high", {"max", "maxi", "maximum", "peak", "highest", "hochst", "pico", "punta", "pointe", "surge", "up"}),
    ("low", {"min", "mini", "minimum", "lowest"}),
    ("design", {"des", "design", "calcul", "diseno", "progetto", "projeto", "ausl", "auslegung"}),
    ("normal", {"op", "norm", "normal", "nor", "oper", "operating", "working", "nom", "betr"}),
)


@dataclass(frozen=True, slots=True)
class Profile:
    """The fields of one quantity."""

    low: str
    normal: str
    high: str
    design: str


TEMPERATURE = Profile("t_min", "t_normal", "t_max", "t_max")
PRESSURE = Profile("p_min", "p1", "p_max", "p_design")
FLOW = Profile("flow_min", "flow", "flow_max", "flow_max")


def placed(found: list[Slot], column: Column, profile: Profile) -> dict[str, Amount]:
    """Each figure under its field. Words beside a figure come first, then the order of the heading."""
    main = [s for s in found if not s.aside]
    names = _by_order(len(main), column.fields, profile)
    places: dict[str, Amount] = {}
    for slot, name in zip(main, names, strict=True):
        for key, amount in _ends(slot, _worded(slot, profile) or name, len(main) == 1, profile):
            places.setdefault(key, amount)
    for slot in (s for s in found if s.aside and s.amounts):
        if word := _worded(slot, profile):
            places.setdefault(word, slot.amounts[-1])
    return places


def _worded(slot: Slot, profile: Profile) -> str:
    """The field that a word beside the figure names."""
    return next((getattr(profile, key) for key, words in _WORDS if words & set(slot.words)), "")


def _by_order(count: int, named: tuple[str, ...], profile: Profile) -> list[str]:
    """A field for each slot: as the heading names them; where it names fewer, from low to high."""
    if count <= len(named):
        return list(named[:count])
    if count == 2:
        return [profile.normal, profile.high]
    return [profile.low, profile.normal, profile.high, *[profile.design] * (count - 3)]


def _ends(slot: Slot, name: str, alone: bool, profile: Profile) -> list[tuple[str, Amount]]:
    """A range gives the lowest value too. Alone in its cell it spans the service; beside a second figure, the operation."""
    if not slot.amounts:
        return []
    if not slot.range:
        return [(name, slot.amounts[0])]
    if len(slot.amounts) == 1:
        return [(name, replace(slot.amounts[0], note="the other end of the range is no number"))]
    first, last = sorted(slot.amounts[:2], key=lambda a: a.value)
    top = profile.high if alone and name in (profile.normal, profile.low) else name
    return [(profile.low, first), (top, last)]
